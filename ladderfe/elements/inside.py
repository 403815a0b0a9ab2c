"""Movement anywhere inside members, line loads included, exact for every kernel.

A member is cut at the wanted place: what line loads do there while both its ends are held is the movement of a node
between its two pieces, whose stiffness and end loads are exact.  Movement of the ends comes on top by `influence`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.line_loads import LineLoads
from ladderfe.elements.members import PLACES, Members
from ladderfe.elements.pieces import take_loads
from ladderfe.elements.resultants import pairs

__all__ = ["inside"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Places nearer than this part of its length to a member's end move as the end does.
AT_END = 1e-9


def inside(members: Members, movements: Array, loads: LineLoads, member: IntArray, x: Array) -> Array:
    """Movement of the reference line, and of warping and racking, at x (rows,) of the members.

    Parameters
    ----------
    members : all members
    movements : (m, 16, c) movements of their ends in member axes, mm and rad
    loads : line loads of all members
    member, x : (rows,) member and distance from its end 1, mm

    Returns
    -------
    (rows, 8, c): ux uy uz rx ry rz, then f or g and f, zero where the member's kernel has none.
    """
    out: Array = members.influence(member, x) @ movements[member]
    length = members.beams.length[member]
    rows = np.flatnonzero(np.isin(member, loads.member) & (np.minimum(x, length - x) > AT_END * length))
    if len(rows):
        out[rows] += _held(members, loads, member[rows], x[rows])
    return out


def _held(members: Members, loads: LineLoads, member: IntArray, x: Array) -> Array:
    """(rows, 8, c) movement by the line loads while the ends of the members are held."""
    length = members.beams.length[member]
    before, behind = (members.pieces(member, own) for own in (x, length - x))
    row, k = pairs(member, loads)
    own = take_loads(loads, k)
    pull = before.equivalent_loads(_part(own, row, 0 * x[row], x[row]))[:, PLACES:]
    pull += behind.equivalent_loads(_part(own, row, x[row], length[row]))[:, :PLACES]
    stiffness = before.stiffness()[:, PLACES:, PLACES:] + behind.stiffness()[:, :PLACES, :PLACES]
    size = np.einsum("eii->ei", stiffness)
    size[size == 0] = 1.0  # writes ones in the places that a kernel does not know
    scale = 1 / np.sqrt(size)
    even = stiffness * scale[:, :, None] * scale[:, None, :]
    return np.asarray(scale[:, :, None] * np.linalg.solve(even, scale[:, :, None] * pull))


def _part(loads: LineLoads, row: IntArray, first: Array, last: Array) -> LineLoads:
    """The line loads as far as they lie between two places (loads,) of their members, on pieces that begin there and
    are numbered by `row`."""
    start, end = np.maximum(loads.start, first), np.minimum(loads.end, last)
    own = np.flatnonzero(end > start)
    s = (start - loads.start)[own, None, None]
    c = loads.force[own]
    force = np.stack([c[:, 0] + s * (c[:, 1] + s * c[:, 2]), c[:, 1] + 2 * s * c[:, 2], c[:, 2]], axis=1)
    return LineLoads(row[own], (start - first)[own], (end - first)[own], loads.point[own], force)
