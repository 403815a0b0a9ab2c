"""What was read on the rails of a chassis: frozen types.  Stations and thicknesses in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ladderfe.chassis import Side
from ladderfe.errors import ModelError

__all__ = ["BOUND", "SMALLEST", "Hole", "Options", "Reading", "Readings", "Strength", "Suspect", "Unread"]

Strength = Literal["smallest", "mean less k s"]
SMALLEST: Strength = "smallest"
BOUND: Strength = "mean less k s"
#: Shorter reaches may lie between cuts of the rail, which are no nearer to each other than a millimetre, mm.
LEAST_REACH = 2.0


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How readings become walls.

    reach : mm (2 at least), how far a place speaks for its wall where no other place is nearer
    pool : mm, readings of one wall within this length become one place
    strength : the thickness by which strength is judged, the smallest reading or the lower bound mean - k s
    unread_loss : share of its thickness that a wall which nobody read is assumed to have lost
    """

    reach: float = 250.0
    pool: float = 0.0
    strength: Strength = SMALLEST
    unread_loss: float = 0.0

    def __post_init__(self) -> None:
        if not LEAST_REACH <= self.reach < float("inf"):
            raise ModelError("readings", f"the reach of a place is {self.reach} mm", f"Give {LEAST_REACH:g} mm or more")
        if not 0 <= self.pool < float("inf"):
            raise ModelError(
                "readings", f"readings are pooled over {self.pool} mm", "Give 0 mm for no pooling, or more"
            )
        if not 0 <= self.unread_loss < 1:
            hint = "Give a share from 0 to less than 1"
            raise ModelError("readings", f"unread walls are assumed to have lost {self.unread_loss} of them", hint)
