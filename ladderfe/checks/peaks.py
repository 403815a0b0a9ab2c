"""The greatest stresses of every case, worked out only where bounds leave room for them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Places, PointTable, point_table, von_mises_squared
from ladderfe.mesh import Mesh
from ladderfe.sections.kept import lately
from ladderfe.solve import Responses

__all__ = ["peaks"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Pairs of row and case worked on at a time, so that what is in between stays in the processor's cache.
AT_A_TIME = 500
#: What rounding may take off a bound.
ROUNDING = 1e-12
#: What is looked for, in the order of the result.
NORMAL, MEAN, VON_MISES = range(3)


def peaks(solution: Responses, rows: Rows, group: IntArray | None = None) -> Array:
    """`Stresses.peaks` without the stresses: (3, c) the greatest normal stress, average shear stress of a wall and von
    Mises stress of every case; with a group (c,) for every case, numbered from 0 on, (3, groups) those of each group.

    The row with the greatest bound of a group tells what the others have to pass.
    """
    of = solution.mesh, point_table(solution.mesh), rows
    bound = _bounds(*of)
    group = np.arange(bound.shape[2]) if group is None else group
    out = np.zeros((3, int(group.max(initial=-1)) + 1))
    for kind in (NORMAL, MEAN, VON_MISES):
        first = _first_of_groups(bound[kind].max(axis=0), group)
        _look(out[kind], kind, of, (bound[kind][:, first].argmax(axis=0), first), group)
        row, case = np.nonzero(bound[kind] * (1 + ROUNDING) > out[kind, group])
        _look(out[kind], kind, of, (row, case), group)
    return out


def _first_of_groups(bound: Array, group: IntArray) -> IntArray:
    """The case with the greatest bound (c,) of every group."""
    order = np.lexsort((-bound, group))
    out: IntArray = order[np.diff(group[order], prepend=-1) > 0]
    return out


def _bounds(mesh: Mesh, table: PointTable, rows: Rows) -> Array:
    """(3, r, c) what no stress of a row passes: every resultant by its greatest coefficient at any point."""
    at = Places.of(mesh, rows.member, rows.x)
    at = at._replace(share=np.abs(at.share))
    greatest, across = (at.of_table(a) for a in _greatest(table))
    size = np.abs(rows.resultants)
    out = greatest @ size[:, :8]
    bend = (_plate(mesh) * across)[:, None] * size[:, 8]
    out[:, VON_MISES] = np.sqrt(
        von_mises_squared(out[:, NORMAL], out[:, VON_MISES], bend, mesh.material.poissons_ratio)
    )
    return out.swapaxes(0, 1)


@lately
def _greatest(table: PointTable) -> tuple[Array, Array]:
    """(s, 3, 8) the greatest size of each coefficient at any point of every section: of normal, mean and shear; and
    (s,) of `across`."""
    each = [np.abs(a).max(axis=1) for a in (table.normal, table.mean, table.shear)]
    return np.stack(each, axis=1), table.across.max(axis=1)


def _plate(mesh: Mesh) -> float:
    return mesh.material.youngs_modulus / (1 - mesh.material.poissons_ratio**2)


def _look(
    most: Array, kind: int, of: tuple[Mesh, PointTable, Rows], pairs: tuple[IntArray, IntArray], group: IntArray
) -> None:
    """Raise `most` (groups,) to the stresses of pairs of row and case."""
    mesh, table, rows = of
    which = 1 if kind == MEAN else 0
    order = np.argsort(table.count[mesh.section_of[rows.member[pairs[0]]], which], kind="stable")  # few points first
    for first in range(0, len(order), AT_A_TIME):
        row, case = (p[order[first : first + AT_A_TIME]] for p in pairs)
        at, each = Places.of(mesh, rows.member[row], rows.x[row]), rows.resultants[row, :, case]
        eight, most_points = each[:, :8, None], table.count[at.section, which].max()
        if kind == VON_MISES:
            normal, shear = ((at.of_table(t[:, :most_points]) @ eight)[:, :, 0] for t in (table.normal, table.shear))
            across = _plate(mesh) * at.of_table(table.across[:, :most_points]) * np.abs(each[:, 8:])
            found = np.sqrt(von_mises_squared(normal, shear, across, mesh.material.poissons_ratio).max(axis=1))
        else:
            coefficients = table.normal if kind == NORMAL else table.mean
            found = np.abs((at.of_table(coefficients[:, :most_points]) @ eight)[:, :, 0]).max(axis=1)
        np.maximum.at(most, group[case], found)
