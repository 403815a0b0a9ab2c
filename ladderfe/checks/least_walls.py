"""Stress in walls thinner than those that stiffness goes by, under the forces of the latter."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import Coefficients, Pair, bending_across
from ladderfe.sections import Cell, Properties, Section, cell_of, properties

__all__ = ["carried_over", "under_forces_of"]

Array = NDArray[np.float64]
N, VY, VZ, T, MY, MZ, _, LAST = range(8)


def carried_over(least: Properties, stiff: Properties) -> Array:
    """(8, 8) resultants of the section `least` from those of `stiff` at the same place of the reference line.

    N, My, Mz act about the centroid, Vy, Vz, T about the shear centre of a section (see `elements.resultants`); the
    forces stay where they are, their moments are counted from the other's places.  The torque that comes of it is
    warping torque in open walls that warp, else part of T.  Neglected: that this torque would change the bimoment along
    the member, which like racking's B and R is taken over as it is; and that forces move to stiffer members.
    """
    out = np.eye(8)
    out[MY, N], out[MZ, N] = stiff.zc - least.zc, least.yc - stiff.yc
    out[T, VZ], out[T, VY] = stiff.ys - least.ys, least.zs - stiff.zs
    if least.Iw > 0:
        out[LAST, [VY, VZ]] = out[T, [VY, VZ]]
    return out


def under_forces_of(own: Coefficients, least: Pair, stiff: Pair) -> Coefficients:
    """Coefficients `own` of the section `least`, per unit resultant of the section `stiff`.

    Box walls that bend as the box racks take the moments that `stiff` has at the same racking angle.
    """
    if least == stiff:
        return own
    by = carried_over(properties(least[1]), properties(stiff[1]))
    across = own.across
    cell, other = cell_of(least[0]), cell_of(stiff[0])
    if cell and other:
        across = _across(cell, least[1], other)
    return replace(own, normal=own.normal @ by, shear=own.shear @ by, mean=own.mean @ by, across=across)


@lru_cache(maxsize=2048)
def _across(least: Cell, section: Section, stiff: Cell) -> Array:
    out = bending_across(least, section, stiff, properties(section))
    out.setflags(write=False)
    return out
