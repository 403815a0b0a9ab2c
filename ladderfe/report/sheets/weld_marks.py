"""Weld symbols after ISO 2553 (system A) in their plain form, from memory of the authors.

Arrow line, reference line with its dashed companion, the elementary symbol on the line of the arrow's side, its size
before it and number x length (gap) after it, a ring at the elbow where the weld goes all round.
"""

from __future__ import annotations

from typing import Final

from ladderfe.report.sheets.dimensions import arrow
from ladderfe.report.sheets.letters import DOWN, width_of
from ladderfe.report.sheets.pen import Pen, Point
from ladderfe.report.sheets.plates import PlateWeld
from ladderfe.report.sheets.words import mm

__all__ = ["mark_width", "runs_of", "size_words", "stitch_words", "weld_mark"]

#: Size of an elementary symbol as a part of the size of type.
SYMBOL: Final = 0.95


def size_words(weld: PlateWeld) -> str:
    """Throat of a fillet ("a2.1"), depth of a butt weld ("s3"), diameter of a plug ("d12")."""
    letter = {"fillet": "a", "plug": "d"}.get(weld.kind, "s")
    return f"{letter}{mm(weld.size)}" if weld.size else ""


def runs_of(weld: PlateWeld, length: float) -> list[tuple[float, float]]:
    """From where to where along an edge of a length there is weld, mm: all of it, or as many runs as fit, in its
    middle."""
    if not weld.run:
        return [(0.0, length)]
    pitch = weld.run + weld.gap
    count = max(1, int((length + weld.gap) / pitch + 1e-9))
    first = max(0.0, (length - count * pitch + weld.gap) / 2)
    return [(first + k * pitch, min(length, first + k * pitch + weld.run)) for k in range(count)]


def stitch_words(weld: PlateWeld, length: float) -> str:
    """Number x length (gap) of a stitched seam along an edge, nothing for one that runs on."""
    return f"{len(runs_of(weld, length))} x {mm(weld.run)} ({mm(weld.gap)})" if weld.run else ""


def mark_width(pen: Pen, weld: PlateWeld, length: float) -> float:
    """Length of the reference line of a mark."""
    size = pen.format.size
    words = width_of(size_words(weld), size) + width_of(stitch_words(weld, length), size)
    return words + 2.2 * SYMBOL * size + 10


def weld_mark(pen: Pen, at: Point, elbow: Point, weld: PlateWeld, length: float) -> None:
    """The mark of a weld: arrow at `at`, the reference line from the elbow to the right; length: of the edge, mm."""
    f, s = pen.format, SYMBOL * pen.format.size
    (x, y), wide = elbow, mark_width(pen, weld, length)
    dx, dy = at[0] - x, at[1] - y
    far = (dx * dx + dy * dy) ** 0.5 or 1.0
    pen.line("thin", elbow, at)
    arrow(pen, at, (dx / far, dy / far), "dot", 7)
    pen.line("thin", elbow, (x + wide, y))
    pen.line("hidden", (x, y + 3.5), (x + wide, y + 3.5))
    if weld.edge == "all round":
        pen.circle("mark", elbow, 3.2)
    size = size_words(weld)
    left = x + 5 + width_of(size, f.size)
    if size:
        pen.write(size, (x + 5, y - DOWN * f.size - 1), what="weld")
    _symbol(pen, weld.kind, left + 3, y, s)
    stitch = stitch_words(weld, length)
    if stitch:
        pen.write(stitch, (left + 3 + 1.4 * s, y - DOWN * f.size - 1), what="weld")
    if weld.words:
        pen.write(weld.words, (x + 3, y + 3.5 + 1.2 * f.small), "soft", size=f.small, what="words")


def _symbol(pen: Pen, kind: str, x: float, y: float, s: float) -> None:
    """The elementary symbol that stands on a line at height y; fillets have their upright leg on the left."""
    if kind == "fillet":
        pen.area("mark", [(x, y), (x, y - s), (x + s, y)])
    elif kind == "single-V butt":
        pen.line("outline", (x, y - s), (x + s / 2, y), (x + s, y - s))
    elif kind == "plug":
        pen.line("outline", (x, y), (x, y - 0.7 * s), (x + s, y - 0.7 * s), (x + s, y))
    else:
        pen.lines("outline", [[(x + k * s, y), (x + k * s, y - s)] for k in (0.3, 0.7)])
