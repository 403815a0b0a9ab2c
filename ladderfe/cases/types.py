"""Masses along the rails, springs under them and load cases."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.chassis import Mass

__all__ = ["GRAVITY", "Carried", "LineMass", "LoadCase", "Push", "Spring"]

#: Standard gravity, mm/s2.
GRAVITY = 9806.65


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMass:
    """A mass spread along one rail, t/mm of projected length, linear from `start` to `end` (stations, mm); it acts
    `outward` mm from the rail's reference line.  height: of its centre, None for the rail's own."""

    name: str
    side: str
    start: float
    end: float
    at_start: float
    at_end: float
    outward: float
    height: float | None = None

    @property
    def mass(self) -> float:
        """Its mass, t."""
        return (self.at_start + self.at_end) / 2 * (self.end - self.start)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """All that the frame carries beside its own weight: residual lines and listed masses."""

    lines: tuple[LineMass, ...]
    masses: tuple[Mass, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """Where the suspension of one side acts on the frame: seats (place name, share of its force), y in mm of the
    resultant (the spring of a beam axle; the wheel of an independent one, whose force and couple come together), rate
    in N/mm, and the force in N that the weighed wheel loads ask of it (None where they were not weighed).

    Its force is all that reaches the frame there: spring, bump stop, strap, the anti-roll bar's share, and of an
    independent wheel what its arms lift under side forces."""

    name: str
    axle: str
    side: str
    y: float
    seats: tuple[tuple[str, float], ...]
    rate: float
    weighed: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Push:
    """A force at a wheel ("front left"): factors x, z on the standing load (N) under `of`, a wheel or an axle; tip: to
    the right, factor on that load x track/(2 h), the side force that tips it over, h the height of the laden vehicle's
    centre of gravity; `hub`: through the wheel's centre instead of at the ground."""

    wheel: str
    of: str
    x: float = 0.0
    z: float = 0.0
    tip: float = 0.0
    hub: bool = False


Force = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """A load case.

    gravity: factor on 1 g.  How the frame stands:
    on its wheels (stands), with `heights` (wheel or stand, mm) of raised feet, on `stands` (mounts) with all wheels
    hanging, or jacked up at the mount `jack` until the wheel `clears`; or
    with given forces: `static_factors` (axle, factor) times the static forces of its springs, plus `couple` times the
    limit couple, `lifted` naming the wheel pushed up ("front left"), plus `pushes` at wheels, plus `stop_factors`
    (axle, factor) of the static forces above the axle itself, `dampers` (axle) of which part of the springs' force
    comes through the dampers.  What is missing to balance is inertia.
    `scale`: the static case as it is, times this.  `of`: other cases (name, factor) added up.

    acceleration: of the vehicle, mm/s2, x rearward and y right.  pulls: forces (N) on the frame at mounts;
    hung: masses (t) at mounts that move with the frame; static forces are those with them, standing.  holds: axles
    whose wheels balance fore-aft forces; side forces are balanced by both.  Where less than all of it tips the vehicle,
    only that much is applied.
    times: on all results of the case.
    """

    name: str
    kind: str
    about: str
    source: str
    gravity: float = 1.0
    heights: tuple[tuple[str, float], ...] = ()
    static_factors: tuple[tuple[str, float], ...] | None = None
    couple: float = 0.0
    lifted: str = ""
    scale: float | None = None
    of: tuple[tuple[str, float], ...] = ()
    pushes: tuple[Push, ...] = ()
    stop_factors: tuple[tuple[str, float], ...] = ()
    dampers: tuple[str, ...] = ()
    acceleration: tuple[float, float] = (0.0, 0.0)
    pulls: tuple[tuple[str, Force], ...] = ()
    hung: tuple[tuple[str, float], ...] = ()
    holds: tuple[str, ...] = ("front", "rear")
    dug_in: bool = False
    stands: tuple[str, ...] = ()
    jack: str = ""
    clears: str = ""
    times: float = 1.0

    @property
    def on_ground(self) -> bool:
        """True where wheels, stands and springs find their own forces."""
        return self.static_factors is None and self.scale is None and not self.of

    @property
    def in_plan(self) -> bool:
        """True where forces act along or across the vehicle."""
        return any(self.acceleration) or bool(self.pushes) or any(f[0] or f[1] for _, f in self.pulls)

    @property
    def at_hubs(self) -> bool:
        """True where forces act on the wheels' centres."""
        return self.dug_in or any(p.hub for p in self.pushes)

    def at_mounts(self) -> tuple[tuple[str, Force], ...]:
        """Mounts and which ways something may act there."""
        every = [(place, (1.0, 1.0, 1.0)) for place, _ in self.hung]
        every += [(self.jack, (0.0, 0.0, 1.0))] if self.jack else []
        return (*self.pulls, *every)
