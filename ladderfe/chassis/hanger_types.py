"""Brackets of spring hangers: frozen types.  mm."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

__all__ = ["Hanger"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanger:
    """A bracket on one rail under seat `seat` (0 front, 1 rear) of an axle.

    on: wall of the rail.  station, height: of the outline's middle (height of no meaning on the bottom); length along
    the rail, depth up the wall or across the bottom.  throat: None: not stated.  line: that of the file.
    """

    name: str
    axle: str
    side: Literal["left", "right"]
    seat: int
    on: Literal["outer", "inner", "bottom"]
    station: float
    height: float
    length: float
    depth: float
    thickness: float
    welds: Literal["all round", "lengthwise", "across"] = "all round"
    throat: float | None = None
    line: int = field(default=0, compare=False)
