"""The one large cell of a box-like shape: a box, a box with plates on it, a channel that a plate closes.

Such a shape racks as a box does.  Its four walls, with what lies on them, stand for themselves in two ways.  Membrane:
the plate's area counts with the wall beside it, spread over the wall's whole length.  Across the rail, wall and plate
bend each by itself, t^3 + tp^3, joined along the plate's edges only (no shear between them: a lower bound); as the box
racks, the moment across a wall runs evenly from M at one end to -M at the other, so that a plate in the middle of a
wall stiffens it little.  All is counted on the base's mid-lines, a plate outside a little low and one inside a little
high (by the offset (t + tp)/2 over half the box).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from ladderfe.sections.lines import Array
from ladderfe.sections.plated import BOXING, Plated, Shape
from ladderfe.sections.shapes import Box, Channel

__all__ = ["Cell", "Lapped", "cell_of", "open_channel"]

WALLS = ("minus", "plus", "top", "bottom")


class Lapped(NamedTuple):
    """A plate on a wall of a cell: the wall's number, the plate's in the section, where it lies as shares of the wall's
    mid-line from bottom to top or left to right, its thickness, and its area spread over the wall's length, mm."""

    wall: int
    number: int
    first: float
    last: float
    thickness: float
    spread: float


@dataclass(frozen=True, slots=True)
class Cell:
    """Walls in the order minus, plus, top, bottom.

    pole: (y, z) of the middle of the mid-lines' rectangle from the reference line; size: its width and height; bare:
    thickness of the walls themselves; radius: outside corner radius; laps: plates on them.  mm.
    """

    pole: tuple[float, float]
    size: tuple[float, float]
    bare: tuple[float, float, float, float]
    radius: float = 0.0
    laps: tuple[Lapped, ...] = ()

    @property
    def box(self) -> Box:
        """The box of these walls, without what lies on them, wherever it stands."""
        minus, plus, top, bottom = self.bare
        return Box(depth=self.size[1] + (top + bottom) / 2, width=self.size[0] + (minus + plus) / 2, top=top,
                   bottom=bottom, minus=minus, plus=plus, radius=self.radius)

    @property
    def membrane(self) -> Array:
        """(4,) thickness with the plates' area spread over the wall's length, mm."""
        out: Array = np.array(self.bare, dtype=np.float64)
        for lap in self.laps:
            out[lap.wall] += lap.spread
        return out

    @property
    def bending(self) -> Array:
        """(4,) thickness of a wall that bends across the rail as much as wall and plates do under M at one end and -M
        at the other: the mean of 1/t^3 weighted by the moment squared."""
        out: Array = np.array(self.bare, dtype=np.float64)
        for i in {lap.wall for lap in self.laps}:
            stops = sorted({0.0, 1.0, *(v for lap in self.laps if lap.wall == i for v in (lap.first, lap.last))})
            soft = 0.0
            for a, b in pairwise(stops):
                soft += ((1 - 2 * a) ** 3 - (1 - 2 * b) ** 3) / 2 / sum(t**3 for t in self.at(i, (a + b) / 2))
            out[i] = soft ** (-1 / 3)
        return out

    def at(self, wall: int, share: float) -> tuple[float, ...]:
        """Thickness of all that lies side by side at a place of a wall, the wall's own first."""
        over = (lap.thickness for lap in self.laps if lap.wall == wall and lap.first <= share <= lap.last)
        return (self.bare[wall], *over)


def open_channel(shape: Shape) -> Channel | None:
    """The channel that a shape is, whatever lies on its walls; None for other shapes and for one that is closed."""
    base = shape.base if isinstance(shape, Plated) and not shape.closed else shape
    return base if isinstance(base, Channel) else None


@lru_cache(maxsize=4096)
def cell_of(shape: Shape) -> Cell | None:
    """The large cell of a box-like shape; None for all others."""
    if isinstance(shape, Box):
        return _of_box(shape)
    if not isinstance(shape, Plated) or not shape.closed:
        return None
    bare = _of_box(shape.base) if isinstance(shape.base, Box) else _closed(shape)
    laps = tuple(_laps(shape, bare))
    return Cell(bare.pole, bare.size, bare.bare, bare.radius, laps)


def _of_box(box: Box) -> Cell:
    pole = (box.minus - box.plus) / 4, (box.bottom - box.top) / 4
    size = box.width - (box.minus + box.plus) / 2, box.depth - (box.top + box.bottom) / 2
    return Cell(pole, size, (box.minus, box.plus, box.top, box.bottom), box.radius)


def _closed(shape: Plated) -> Cell:
    """Of a channel with a plate on its open side."""
    section = shape.section()
    closing = shape.closing[0].wall
    opposite = {"minus": "plus", "plus": "minus", "top": "bottom", "bottom": "top"}[closing]
    names = {name: name for name in WALLS} | {closing: BOXING, opposite: "web"}
    minus, plus, top, bottom = (section.flat(names[name]) for name in WALLS)
    left, right, high, low = minus.start[0], plus.start[0], top.start[1], bottom.start[1]
    return Cell(((left + right) / 2, (low + high) / 2), (right - left, high - low),
                (minus.thickness, plus.thickness, top.thickness, bottom.thickness), getattr(shape.base, "radius", 0.0))


def _laps(shape: Plated, cell: Cell) -> list[Lapped]:
    """The lapped plates where they lie on the walls of the cell; those on no wall of it (on lips) left out."""
    out = []
    for number, wall in enumerate(shape.section().walls):
        if " plate" not in wall.name or wall.name == BOXING:
            continue
        upright = abs(wall.end[1] - wall.start[1]) > abs(wall.end[0] - wall.start[0])
        axis, across = (1, 0) if upright else (0, 1)
        beyond = (wall.start[across] + wall.end[across]) / 2 - cell.pole[across]
        which = int(beyond > 0) if upright else 2 + int(beyond < 0)
        size, low = cell.size[axis], cell.pole[axis] - cell.size[axis] / 2
        first, last = sorted((end[axis] - low) / size for end in (wall.start, wall.end))
        first, last = (min(max(round(v, 12), 0.0), 1.0) for v in (first, last))
        out.append(Lapped(which, number, first, last, wall.thickness, wall.area / size))
    return out
