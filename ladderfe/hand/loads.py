"""What a beam carries: loads on a line and at a point."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite

from ladderfe.errors import ModelError

__all__ = ["Beam", "LineLoad", "PointLoad", "resultant"]


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A load spread from `start` to `end` (mm), q_start to q_end in N/mm, linear between; downward positive."""

    start: float
    end: float
    q_start: float
    q_end: float
    name: str = ""

    def __post_init__(self) -> None:
        _check_finite("line load", self.name, (self.start, self.end, self.q_start, self.q_end))
        if not self.start < self.end:
            raise ModelError(
                f"line load {self.name}".strip(), f"it begins at {self.start:g} mm and ends at {self.end:g} mm",
                "Give it a length: the end lies behind the start",
            )

    @property
    def force(self) -> float:
        """The whole of it, N."""
        return (self.q_start + self.q_end) / 2 * (self.end - self.start)

    def moment(self, station: float) -> float:
        """First moment about a station, N mm: force times how far behind the station it acts."""
        length, middle = self.end - self.start, (self.start + self.end) / 2
        return self.force * (middle - station) + (self.q_end - self.q_start) * length**2 / 12


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A load at one station (mm), force in N, downward positive.

    What hangs beyond the beam's end comes in at that end: `arm` (mm, positive rearward) is how far behind the station
    it hangs, so that it brings the couple force times arm there.
    """

    station: float
    force: float
    name: str = ""
    arm: float = 0.0

    def __post_init__(self) -> None:
        _check_finite("point load", self.name, (self.station, self.force, self.arm))

    @property
    def couple(self) -> float:
        """N mm, by which M rises on passing the station rearward."""
        return self.force * self.arm

    def moment(self, station: float) -> float:
        """First moment about a station, N mm."""
        return self.force * (self.station + self.arm - station)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A straight beam from station `start` to `end` on two supports (front, rear); what reaches past them overhangs.

    Raises ModelError where the supports are not two places on it in order, or a load lies off it.
    """

    start: float
    end: float
    supports: tuple[float, float]
    line_loads: tuple[LineLoad, ...] = ()
    point_loads: tuple[PointLoad, ...] = ()

    def __post_init__(self) -> None:
        front, rear = self.supports
        _check_finite("beam", "", (self.start, self.end, front, rear))
        if not self.start <= front < rear <= self.end:
            raise ModelError(
                "beam",
                f"supports at {front:g} and {rear:g} mm do not fit a beam from {self.start:g} to {self.end:g} mm",
                "Give two supports on the beam, the front one first",
            )
        ends = [(load.name, load.start, load.end) for load in self.line_loads]
        ends += [(load.name, load.station, load.station) for load in self.point_loads]
        for name, first, last in ends:
            if first < self.start or last > self.end:
                raise ModelError(
                    f"load {name}".strip(),
                    f"it reaches from {first:g} to {last:g} mm, the beam from {self.start:g} to {self.end:g} mm",
                    "Move the load onto the beam, or carry it at the mounts that hold it",
                )

    @property
    def span(self) -> float:
        """Between the supports, mm."""
        return self.supports[1] - self.supports[0]

    @property
    def loads(self) -> tuple[LineLoad | PointLoad, ...]:
        return (*self.line_loads, *self.point_loads)


def resultant(loads: Iterable[LineLoad | PointLoad], station: float) -> tuple[float, float]:
    """Sum of forces (N) and of first moments about a station (N mm, positive behind it)."""
    loads = tuple(loads)
    return sum(load.force for load in loads), sum(load.moment(station) for load in loads)


def _check_finite(kind: str, name: str, values: Iterable[float]) -> None:
    for value in values:
        if not isfinite(value):
            raise ModelError(f"{kind} {name}".strip(), f"{value} is not a number to calculate with",
                             "Give a finite number")
