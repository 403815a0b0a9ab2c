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
    """A suspension spring: seats (place name, share of its force), rate in N/mm, and the force in N that the
    weighed wheel loads ask of it (None where wheel loads were not weighed)."""

    name: str
    axle: str
    side: str
    seats: tuple[tuple[str, float], ...]
    rate: float
    weighed: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """A load case.

    gravity: factor on 1 g.  spring_factors: None where the springs find their own forces; else for every axle name
    the factor on its static spring forces, which then act as given forces, balanced by the inertia of all masses.
    """

    name: str
    kind: str
    about: str
    source: str
    gravity: float = 1.0
    spring_factors: tuple[tuple[str, float], ...] | None = None
