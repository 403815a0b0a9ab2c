"""Bolts and rivets that hold a part on a rail: frozen types.  mm; places are (station, height) on the rail's wall."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import hypot, inf
from typing import Literal

__all__ = ["BoltPattern"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltPattern:
    """The fasteners of one joint, all alike.

    member, side: the part and the rail that it meets.  grade: of bolts, "" of rivets; thread_pitch None: the coarse
    one.  planes: shear planes of each.  plate: thickness of the bracket's plate, edge: least distance from a hole's
    middle to its edges, both None where not given.  head: diameter that bears on wall and plate.  line: that of the
    file.
    """

    name: str
    member: str
    side: Literal["left", "right"]
    places: tuple[tuple[float, float], ...]
    diameter: float
    grade: str
    hole: float
    planes: int = 1
    thread_pitch: float | None = None
    thread_in_shear: bool = True
    plate: float | None = None
    edge: float | None = None
    head: float = 0.0
    line: int = field(default=0, compare=False)

    @property
    def reach(self) -> tuple[float, float]:
        """From which station to which its holes reach."""
        own = [x for x, _ in self.places]
        return min(own) - self.hole / 2, max(own) + self.hole / 2

    @property
    def nearest(self) -> tuple[float, ...]:
        """Of each fastener the distance to the next one, middle to middle; inf of one alone."""
        return tuple(
            min((hypot(x - a, z - b) for j, (a, b) in enumerate(self.places) if j != i), default=inf)
            for i, (x, z) in enumerate(self.places)
        )

    @property
    def in_row(self) -> int:
        """How many stand above each other at most."""
        own = [round(x, 1) for x, _ in self.places]
        return max(own.count(x) for x in own)
