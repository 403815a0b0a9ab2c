"""Section resultants anywhere inside members, by equilibrium of the part up to there."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.beam import Beams
from ladderfe.elements.line_loads import LineLoads, wrench

__all__ = ["pairs", "resultants"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def pairs(member: IntArray, loads: LineLoads) -> tuple[IntArray, IntArray]:
    """Indices (row, load) of every line load on the member of every row."""
    order = np.argsort(loads.member, kind="stable")
    first = np.searchsorted(loads.member[order], member, side="left")
    last = np.searchsorted(loads.member[order], member, side="right")
    count = last - first
    row = np.repeat(np.arange(len(member)), count)
    step = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    return row, order[np.repeat(first, count) + step]


def _line_part(x: Array, loads: LineLoads, k: IntArray) -> Array:
    """(pairs, 6, c) force and moment about the reference line at x of the loads k as far as they lie before x."""
    start, c = loads.start[k], loads.force[k]
    h = np.clip(x - start, 0, loads.end[k] - start)[:, None, None]
    force = h * (c[:, 0] + h * (c[:, 1] / 2 + h * c[:, 2] / 3))
    first = h**2 * (c[:, 0] / 2 + h * (c[:, 1] / 3 + h * c[:, 2] / 4)) + (start - x)[:, None, None] * force
    out = wrench(loads.point[k], force)
    out[:, 4] -= first[:, 2]
    out[:, 5] += first[:, 1]
    return out


def resultants(p: Beams, end_1: Array, loads: LineLoads, member: IntArray, x: Array) -> Array:
    """N, Vy, Vz, T, My, Mz on the face with outward normal +x'.

    Parameters
    ----------
    p : Beams of all members
    end_1 : (n_members, 6, c) forces that act on end 1 at the reference line, member axes, N and N mm
    loads : line loads of all members
    member, x : (rows,) member and distance from its end 1, mm

    Returns
    -------
    (rows, 6, c): N, My, Mz about the centroid, Vy, Vz, T about the shear centre; N and N mm.
    """
    before = end_1[member].copy()
    before[:, 4] += x[:, None] * end_1[member, 2]
    before[:, 5] -= x[:, None] * end_1[member, 1]
    if len(loads):
        row, k = pairs(member, loads)
        np.add.at(before, row, _line_part(x[row], loads, k))
    n, vy, vz, t, my, mz = (-before[:, i] for i in range(6))
    yc, zc = p.centroid[member, 0, None], p.centroid[member, 1, None]
    ys, zs = p.shear_centre[member, 0, None], p.shear_centre[member, 1, None]
    return np.stack([n, vy, vz, t - ys * vz + zs * vy, my - zc * n, mz + yc * n], axis=1)
