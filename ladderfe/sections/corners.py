"""What the sharp corners and the plates of a box add to its torsion constant beside Bredt's formula."""

from __future__ import annotations

from functools import lru_cache
from math import atan, log, pi

import numpy as np

from ladderfe.sections.lines import Array
from ladderfe.sections.properties import properties
from ladderfe.sections.shapes import Box

__all__ = ["box_torsion", "corner_factor", "corner_factors"]


def box_torsion(box: Box) -> float:
    """Torsion constant of a box as it is, mm4: J of the mid-lines, corners and the walls' own t^3/3 included."""
    q = properties(box.section())
    return q.J * corner_factor(box) + q.J_plates


@lru_cache(maxsize=4096)
def corner_factor(box: Box) -> float:
    """What sharp corners multiply a box's J of the mid-lines by.

    Torsion of a hollow bar is a field between two outlines, like that of two conductors.  A sharp corner between walls
    a and b thick carries what (2/pi) (ln((a^2 + b^2)/(4 a b)) + (a/b) atan(b/a) + (b/a) atan(a/b)) squares of wall
    would (0.559 for equal walls, against 1 of the mid-lines), by conformal mapping (classical result for the field at
    a corner, formula from memory; checked against a two-dimensional solution in the tests).  Corners rounded by two
    walls and more are left as their mid-lines are.
    """
    width, height = box.width - (box.minus + box.plus) / 2, box.depth - (box.top + box.bottom) / 2
    around = width / box.top + width / box.bottom + height / box.minus + height / box.plus
    wall = (box.top + box.bottom + box.minus + box.plus) / 4
    sharp = min(1.0, max(0.0, 2 - box.radius / wall))  # the inner edge stays sharp up to a radius of one wall
    less = sharp * sum(
        (a / b + b / a) / 2 - squares(a, b) for a in (box.top, box.bottom) for b in (box.minus, box.plus)
    )
    return around / (around - less)


def squares(a: float, b: float) -> float:
    """Squares of wall that a sharp corner between walls a and b thick stands for, from its inner edges on."""
    return 2 / pi * (log((a * a + b * b) / (4 * a * b)) + a / b * atan(b / a) + b / a * atan(a / b))


def corner_factors(outline: Array, thickness: Array) -> Array:
    """(...,) `corner_factor` of boxes by depth, width and corner radius (..., 3), walls minus, plus, top, bottom."""
    (depth, width, radius), (minus, plus, top, bottom) = np.moveaxis(outline, -1, 0), np.moveaxis(thickness, -1, 0)
    wide, high = width - (minus + plus) / 2, depth - (top + bottom) / 2
    around = wide / top + wide / bottom + high / minus + high / plus
    sharp = np.clip(2 - radius / ((top + bottom + minus + plus) / 4), 0.0, 1.0)
    less = np.zeros_like(around)
    for a in (top, bottom):
        for b in (minus, plus):
            share = a / b
            both = share + 1 / share
            stands = np.log(both / 4) + share * np.arctan(1 / share) + np.arctan(share) / share
            less += both / 2 - 2 / np.pi * stands
    out: Array = around / (around - sharp * less)
    return out
