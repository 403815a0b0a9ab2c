"""The greatest utilisation among some rows and some walls of a solution."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Criteria
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.checks.utilisation import Utilisation, entry, tables
from ladderfe.mesh import Mesh
from ladderfe.solve import Solution

__all__ = ["greatest_in", "members_in", "rows_of"]

IntArray = NDArray[np.int64]
WallFilter = Callable[[int, str], bool]


def members_in(mesh: Mesh, side: str, start: float, end: float) -> IntArray:
    """Members of a rail whose middle lies between two stations."""
    part = next(p for p in mesh.parts if p.kind == "rail" and p.side == side)
    middle = mesh.along[part.first : part.last].mean(axis=1)
    return part.first + np.flatnonzero((middle > start) & (middle < end))


def rows_of(rows: Rows, members: IntArray) -> IntArray:
    """Numbers of the rows that lie on some members."""
    return np.flatnonzero(np.isin(rows.member, members))


def greatest_in(
    solution: Solution, rows: Rows, s: Stresses, criteria: Criteria, own: IntArray, wanted: WallFilter | None = None
) -> Utilisation | None:
    """The greatest of all cases and criteria on rows `own`; None where there is nothing.

    wanted : tells of a member and the name of one of its walls whether it counts; None: all do.
    """
    best: tuple[float, tuple[int, int, int], int] | None = None
    every = tables(s, criteria)
    for n, (_, stress, walls, limit) in enumerate(every):
        ratio = np.abs(stress[own][:, :, 1:]) / limit
        if wanted is not None:
            keep = np.zeros(ratio.shape[:2], dtype=bool)
            for i, r in enumerate(own.tolist()):
                names, member = walls[int(s.section[r])], int(rows.member[r])
                keep[i, : len(names)] = [wanted(member, name) for name in names]
            ratio = np.where(keep[:, :, None], ratio, -1.0)
        if not ratio.size or ratio.max() < 0:
            continue
        k, p, c = np.unravel_index(int(ratio.argmax()), ratio.shape)
        found = float(ratio[k, p, c])
        if best is None or found > best[0] * (1 + 1e-9):
            best = found, (int(own[k]), int(p), int(c) + 1), n
    if best is None:
        return None
    name, stress, _, limit = every[best[2]]
    return entry(solution, rows, s, best[1], name, stress, limit)
