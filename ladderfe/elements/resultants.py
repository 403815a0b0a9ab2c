"""Section resultants anywhere inside members, by equilibrium of the part up to there."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import powers, sum_rows
from ladderfe.elements.beam import Beams
from ladderfe.elements.line_loads import LineLoads
from ladderfe.elements.pieces import take_loads

__all__ = ["OnRows", "by_end_1", "by_line_loads", "of_rows", "pairs", "resultants"]

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


class OnRows(NamedTuple):
    """Line loads on the members of rows: the row (k,) of each, in order, and the loads (k)."""

    row: IntArray
    loads: LineLoads

    @staticmethod
    def of(member: IntArray, loads: LineLoads) -> OnRows:
        """All line loads on the members (rows,) of rows."""
        row, load = pairs(member, loads)
        return OnRows(row, take_loads(loads, load))

    def some(self, number: IntArray) -> OnRows:
        """Those on some of the rows; number (rows,): their new number, -1 for rows left out."""
        new = number[self.row]
        kept = np.flatnonzero(new >= 0)
        return OnRows(new[kept], take_loads(self.loads, kept))


def resultants(
    p: Beams, end_1: Array, loads: LineLoads, member: IntArray, x: Array, fields: Array | None = None
) -> Array:
    """N, Vy, Vz, T, My, Mz on the face with outward normal +x'.

    Parameters
    ----------
    p : Beams of all members
    end_1 : (n_members, 6, c) forces that act on end 1 at the reference line, member axes, N and N mm
    loads : line loads of all members
    member, x : (rows,) member and distance from its end 1, mm
    fields : (u, c); None, or the loads are u units of which every case has so much of each

    Returns
    -------
    (rows, 6, c): N, My, Mz about the centroid, Vy, Vz, T about the shear centre; N and N mm.
    """
    return of_rows(p.take(member), end_1[member], OnRows.of(member, loads), x, fields)


def of_rows(p: Beams, end_1: Array, loads: OnRows, x: Array, fields: Array | None = None) -> Array:
    """The same with one entry of p and end_1 per row."""
    out: Array = by_end_1(p, x) @ end_1
    if len(loads.row):
        by_load = by_line_loads(p.take(loads.row), loads.loads, x[loads.row])
        out += sum_rows(len(x), loads.row, by_load @ loads.loads.coefficients, fields)
    return out


def by_end_1(p: Beams, x: Array) -> Array:
    """(rows, 6, 6) resultants at x per unit force on end 1; one entry of p per row."""
    out = np.zeros((len(x), 6, 6))
    (yc, zc), (ys, zs) = p.centroid.T, p.shear_centre.T
    out[:, range(6), range(6)] = -1
    out[:, 3, 1], out[:, 3, 2] = -zs, ys
    out[:, 4, 0], out[:, 4, 2] = zc, -x
    out[:, 5, 0], out[:, 5, 1] = -yc, x
    return out


def by_line_loads(p: Beams, loads: LineLoads, x: Array) -> Array:
    """(pairs, 6, 9) resultants at x by the coefficients of line loads (power by power x' y' z'), as far as they lie
    before x; one entry of p, loads and x per pair."""
    h, power = powers(np.clip(x - loads.start, 0, loads.end - loads.start), 5), np.arange(5)
    force = h[:, 1:4] / power[1:4]
    lever = (x - loads.start)[:, None] * force - h[:, 2:] / power[2:]
    (yc, zc), (ys, zs) = (c[:, :, None] for c in ((loads.point - p.centroid).T, (loads.point - p.shear_centre).T))
    out = np.zeros((len(x), 6, 3, 3))
    out[:, 0, :, 0] = out[:, 1, :, 1] = out[:, 2, :, 2] = -force
    out[:, 3, :, 1], out[:, 3, :, 2] = zs * force, -ys * force
    out[:, 4, :, 0], out[:, 4, :, 2] = -zc * force, -lever
    out[:, 5, :, 0], out[:, 5, :, 1] = yc * force, lever
    return out.reshape(-1, 6, 9)
