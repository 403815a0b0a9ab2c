"""Masses along the rails, springs under them and load cases."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.chassis import Mass

__all__ = ["GRAVITY", "Carried", "LineMass", "LoadCase", "Spring"]

#: Standard gravity, mm/s2.
GRAVITY = 9806.65


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMass:
    """A mass spread along one rail, t/mm of projected length, linear from `start` to `end` (stations, mm); it acts
    `outward` mm from the rail's reference line."""

    name: str
    side: str
    start: float
    end: float
    at_start: float
    at_end: float
    outward: float

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

    Its force is all that reaches the frame there: spring, bump stop, strap and the anti-roll bar's share."""

    name: str
    axle: str
    side: str
    y: float
    seats: tuple[tuple[str, float], ...]
    rate: float
    weighed: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """A load case.

    gravity: factor on 1 g.  How the frame stands:
    on its wheels (stands), with `heights` (wheel, mm) of raised wheels; or
    with given forces: `static_factors` (axle, factor) times the static forces of its springs, plus `couple` times the
    limit couple, `lifted` naming the wheel pushed up ("front left").  What is missing to balance is inertia.
    `scale`: the static case as it is, times this.
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

    @property
    def stands(self) -> bool:
        """True where wheels and springs find their own forces."""
        return self.static_factors is None and self.scale is None
