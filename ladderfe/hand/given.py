"""What a hand calculation of one rail starts from: plain numbers of the weighbridge, the tape and the gauge."""

from __future__ import annotations

from dataclasses import dataclass, field

from ladderfe.errors import ModelError
from ladderfe.hand.line_loads import Spread
from ladderfe.hand.loads import LineLoad, PointLoad
from ladderfe.hand.rail import Permissible, RailSpan
from ladderfe.units import G, kilograms

__all__ = ["HandAxle", "HandGiven", "ListedMass"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HandAxle:
    """An axle as weighed: station in mm, load and unsprung mass in t."""

    name: str
    station: float
    load: float
    unsprung: float

    def __post_init__(self) -> None:
        if not 0 <= self.unsprung < self.load:
            raise ModelError(
                self.name,
                f"its unsprung mass of {kilograms(self.unsprung):g} kg leaves nothing of the "
                f"{kilograms(self.load):g} kg weighed",
                "Give the axle load in full, and the wheels, brakes and axle as its unsprung mass",
            )

    @property
    def sprung_weight(self) -> float:
        """What the axle carries of the frame and all on it, N."""
        return (self.load - self.unsprung) * G


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedMass:
    """A mass in t taken by itself, at the station of its centre, and whether it was aboard when weighed.  `spread`:
    from where to where (mm) it lies along the rail, None at one station."""

    name: str
    station: float
    mass: float
    aboard: bool = True
    spread: tuple[float, float] | None = None

    @property
    def off_middle(self) -> float:
        """How far behind the middle of its stretch its centre is, mm; 0 where it is not spread."""
        return 0.0 if self.spread is None else self.station - sum(self.spread) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class HandGiven:
    """One rail from `start` to `end`, its axles, what lies on it and its sections; mm, t, MPa.

    Masses ahead of the rail or behind it are carried at its end, with the couple that they bring; those that are spread
    along it are line loads.  `stations` are further places where stresses are wanted.
    """

    title: str
    start: float
    end: float
    axles: tuple[HandAxle, HandAxle]
    spread: Spread
    spans: tuple[RailSpan, ...]
    masses: tuple[ListedMass, ...] = ()
    stations: tuple[float, ...] = ()
    permissible: Permissible = field(default_factory=Permissible)

    def __post_init__(self) -> None:
        for station in self.stations:
            if not self.start <= station <= self.end:
                raise ModelError("stations", f"{station:g} mm is off the rail from {self.start:g} to {self.end:g} mm",
                                 "Give stations on the rail, in mm behind the datum")

    @property
    def supports(self) -> tuple[float, float]:
        return self.axles[0].station, self.axles[1].station

    def carried(self, mass: ListedMass) -> PointLoad | LineLoad:
        """A mass as the rail carries it: at its station, or at the nearest end on an arm; along its stretch where it is
        spread, with q = W/l (1 -+ 6 e/l) at the ends and e its centre behind the middle."""
        if mass.spread is not None:
            start, end = mass.spread
            even, tilt = mass.mass * G / (end - start), 6 * mass.off_middle / (end - start)
            return LineLoad(start, end, even * (1 - tilt), even * (1 + tilt), mass.name)
        station = min(max(mass.station, self.start), self.end)
        return PointLoad(station, mass.mass * G, mass.name, mass.station - station)

    @property
    def aboard(self) -> tuple[ListedMass, ...]:
        return tuple(m for m in self.masses if m.aboard)

    @property
    def added(self) -> tuple[ListedMass, ...]:
        """The masses that were not aboard when the axles were weighed."""
        return tuple(m for m in self.masses if not m.aboard)
