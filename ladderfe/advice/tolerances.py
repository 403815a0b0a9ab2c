"""How far a frame may be off, by figures that were published; each with its source.

Where a chassis' maker gives a tolerance, that one counts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

__all__ = ["TOLERANCES", "Tolerance", "chosen"]

QUOTED: Final = "as quoted, source text not seen"
SKEWED: Final = f"diagonals that differ by more count as skewed, army truck frame, TM 9-2320-280-34 ({QUOTED})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """Limits in mm, None where the source has none: of a reading against what was built, and between two diagonals."""

    name: str
    points: float | None
    points_source: str = ""
    diagonals: float | None
    diagonals_source: str = ""


#: Name -> figures.
TOLERANCES: Final = {
    t.name: t
    for t in (
        Tolerance(
            name="body-over-frame",
            points=5.0,
            points_source=f"body over frame, where no maker's tolerance exists, NZTA VIRM repair manual ({QUOTED})",
            diagonals=6.0,
            diagonals_source=SKEWED,
        ),
        Tolerance(
            name="utility-truck",
            points=3.0,
            points_source=f"point to point, army utility truck frame, TM 9-2320-289-34 ({QUOTED})",
            diagonals=5.0,
            diagonals_source=f"diagonals equal, army utility truck frame, TM 9-2320-289-34 ({QUOTED})",
        ),
        Tolerance(
            name="diagonals-only",
            points=None,
            diagonals=6.0,
            diagonals_source=f"largest difference of plumb-line diagonals, textbook on frame repairs ({QUOTED})",
        ),
    )
}


def chosen(name: str, points: float | None, diagonals: float | None) -> Tolerance:
    """A named tolerance with figures of the user's own in place of its."""
    out = TOLERANCES[name]
    if points is not None:
        out = replace(out, points=points, points_source="as chosen (--points)")
    if diagonals is not None:
        out = replace(out, diagonals=diagonals, diagonals_source="as chosen (--diagonals)")
    return out
