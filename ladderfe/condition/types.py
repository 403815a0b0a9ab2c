"""What was read on the rails of a chassis: frozen types.  Stations and thicknesses in mm."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.chassis import Side

__all__ = ["Hole", "Reading", "Readings", "Suspect", "Unread"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A thickness read on one wall of a rail; `line` is that of the file, 0 where there is none."""

    side: Side
    station: float
    wall: str
    value: float
    note: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A wall that is gone from `start` to `end`, and `rim` mm more at both ends until metal of sound thickness.

    `rim_given` tells whether the rim was measured; otherwise it is assumed.
    """

    side: Side
    wall: str
    start: float
    end: float
    rim: float
    rim_given: bool = True
    note: str = ""
    line: int = 0

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where the wall counts as gone, rims included."""
        return self.start - self.rim, self.end + self.rim


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A place that rings dull or is pitted: never a thickness."""

    side: Side
    station: float
    wall: str
    note: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A place that was listed and not read."""

    side: Side
    station: float
    wall: str
    note: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """All rows of a file of readings; `source` is its name."""

    source: str
    readings: tuple[Reading, ...] = ()
    holes: tuple[Hole, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    unread: tuple[Unread, ...] = ()
