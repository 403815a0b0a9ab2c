"""What pages of readings' uncertainty say: how far off walls count, and what these pages are not."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.governing import Governing
from ladderfe.advice.walls import SCATTER, Fixed, Wall
from ladderfe.condition.places import ENOUGH
from ladderfe.report.cautions import NO_INSPECTION, USUAL

__all__ = ["CAUTIONS_READINGS", "at", "fixed_words", "gauge_words", "points", "read_words"]

CAUTIONS_READINGS = (
    "These are stresses under the stated loads, with walls as read and as ASSUMED, compared with the stated limits: "
    "whole walls, without what local buckling takes away and without the force on webs at spring seats. "
    + NO_INSPECTION,
    *USUAL,
)


def points(change: float) -> str:
    """A change of utilisation in percent points."""
    return f"{100 * change:+.2f}" if abs(change) < 0.1 else f"{100 * change:+.1f}"


def at(g: Governing) -> str:
    """Where something governs, in words."""
    return f"{g.part} at {g.along:.0f} mm, {g.wall}, {g.criterion}, {g.case}"


def read_words(wall: Wall) -> str:
    """How often a wall was read, and its mean."""
    return f"{wall.n} x {wall.mean:.2f}" if wall.read else "unread"


def gauge_words(gauge: float, scatter: float, walls: Sequence[Wall]) -> str:
    """How far off readings count."""
    few = sum(1 for w in walls if w.read and w.n < ENOUGH)
    whose = "stated" if scatter != SCATTER else "common practice, no source"
    words = f"Gauge +-{gauge:g} mm (as +-2 standard deviations, each place its own error)"
    if few:
        words += f"; ASSUMED: scatter s = {scatter:g} mm at {few} places of fewer than {ENOUGH} readings ({whose})"
    return words + "."


def fixed_words(fixed: Sequence[Fixed]) -> str:
    """Walls that could not vary."""
    if not fixed:
        return ""
    where = "; ".join(f"{f.side} rail, {f.wall} from {f.start:.0f} to {f.end:.0f} mm" for f in fixed)
    return f"As found in all states, for they are of no box or channel or change their thickness along them: {where}."
