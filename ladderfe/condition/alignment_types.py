"""What was measured to see whether a frame is straight: points on the rails, readings between them.  mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ladderfe.chassis import Side

__all__ = ["Alignment", "AlignmentReading", "Kind", "RailPoint"]

Kind = Literal["distance", "height", "offset"]


@dataclass(frozen=True, slots=True, order=True)
class RailPoint:
    """A point of a rail at a station: the middle of its outline, or of one of its faces where `face` names it."""

    side: Side
    station: float
    face: str = ""

    @property
    def name(self) -> str:
        """As tables of readings write it: "left 250", "right 1110 bottom"."""
        return f"{self.side} {self.station:.10g}" + (f" {self.face}" if self.face else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class AlignmentReading:
    """A distance between two points, the height of one over a level datum, or how far one lies from the centre line
    (without sign).  `line` is that of the file, 0 where there is none."""

    kind: Kind
    first: RailPoint
    second: RailPoint | None = None
    value: float
    note: str = ""
    line: int = 0

    @property
    def name(self) -> str:
        """Its points in words."""
        return self.first.name + (f" to {self.second.name}" if self.second else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """All readings of a file, and how many of its rows stayed empty; `source` is its name."""

    source: str
    readings: tuple[AlignmentReading, ...]
    unread: int = 0
