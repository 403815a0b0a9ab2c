"""Points of the sections looked at, grouped by the wall they lie on and by whatever else keeps them apart; the first of
the greatest in every group, all groups and cases at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["NEAR", "ByWall", "by_wall", "first_greatest"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Values this near to the greatest, as a part of it, differ by rounding only.
NEAR = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class ByWall:
    """row and point (n,) of every point that exists, group after group, in the order of the rows within each; start
    (g,): where each group begins; owner (g,) what keeps it apart and wall (g,) its name.

    Groups come in the order of their owners, those of one owner in the order in which its walls appear.
    """

    row: IntArray
    point: IntArray
    start: IntArray
    owner: IntArray
    wall: tuple[str, ...]

    def sizes(self, values: Array) -> Array:
        """(n, c) sizes of values (r, p, c) at the points."""
        out: Array = np.abs(values[self.row, self.point])
        return out

    def first_greatest(self, sizes: Array) -> IntArray:
        """(g, c) numbers among the n points: the first that is the greatest of its group within rounding."""
        n = len(sizes)
        group = np.repeat(np.arange(len(self.start)), np.diff(np.append(self.start, n)))
        top = np.maximum.reduceat(sizes, self.start, axis=0)
        near = sizes >= (top - NEAR * np.abs(top))[group]
        out: IntArray = np.minimum.reduceat(np.where(near, np.arange(n)[:, None], n), self.start, axis=0)
        return out


def by_wall(section: IntArray, walls: Sequence[Sequence[str]], owner: IntArray) -> ByWall:
    """Group the points of rows: section (r,) of each row, names of the walls of every section's points, and owner (r,),
    a number from 0."""
    names = {name: k for k, name in enumerate(dict.fromkeys(w for own in walls for w in own))}
    code = np.full((len(walls), max(map(len, walls))), -1)
    for k, own in enumerate(walls):
        code[k, : len(own)] = [names[w] for w in own]
    found = code[section]
    row, point = np.nonzero(found >= 0)
    key = owner[row] * len(names) + found[row, point]
    keys, first, group = np.unique(key, return_index=True, return_inverse=True)
    order = np.lexsort((first, keys // len(names)))
    rank = np.argsort(order)[group]
    sort = np.argsort(rank, kind="stable")
    listed = list(names)
    return ByWall(
        row=row[sort],
        point=point[sort],
        start=np.searchsorted(rank[sort], np.arange(len(keys))),
        owner=keys[order] // len(names),
        wall=tuple(listed[k] for k in keys[order] % len(names)),
    )


def first_greatest(values: Array) -> int:
    """Index of the first value that is the greatest within rounding."""
    top = float(values.max())
    return int(np.argmax(values >= top - NEAR * abs(top)))
