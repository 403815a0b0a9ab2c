"""Section resultants and the racking state anywhere inside members of box section.

N, Vy, Vz, T, My, Mz follow from equilibrium as in `resultants`.  Racking and warping follow from the state at both ends
and the line loads between, see `foundation_inside`; what T and V strain by is added to the warping.  Both are linear in
the forces and states at the ends and in the loads: matrices are made once for all cases and applied last.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import sum_rows
from ladderfe.elements.foundation_inside import carried, carried_loads, is_close, meeting
from ladderfe.elements.line_loads import LineLoads
from ladderfe.elements.racking_beam import RackingBeams, from_own
from ladderfe.elements.racking_loads import driving
from ladderfe.elements.resultants import OnRows, by_end_1, by_line_loads, pairs

__all__ = ["of_rows", "resultants"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: B, R, g, f in the racking state g, f, R, B.
ORDER = [3, 2, 0, 1]


def resultants(
    p: RackingBeams, movements: Array, ends: Array, loads: LineLoads, member: IntArray, x: Array,
    arms: Array | None = None, fields: Array | None = None,
) -> Array:  # fmt: skip
    """N, Vy, Vz, T, My, Mz, B, R, g, f on the face with outward normal +x'.

    Parameters
    ----------
    p : RackingBeams of all members
    movements, ends : (n_members, 16, c) movements of both ends and forces that act on them, member axes
    loads, arms : line loads of all members, as in `equivalent_loads`
    member, x : (rows,) member and distance from its end 1, mm
    fields : as in `resultants` of plain members

    Returns
    -------
    (rows, 10, c): N, My, Mz about the centroid, Vy, Vz, T about the shear centre; bimoment B in N mm2 (warping stress
    B omega/I with omega = y z - plane . (1, y, z)), racking force R in N mm, racking angle g, warping f in 1/mm.
    """
    on_rows = OnRows.of(member, loads)
    if arms is not None:
        arms = arms[pairs(member, loads)[1]]
    return of_rows(p.take(member), (movements[member], ends[member]), on_rows, x, arms, fields)


def of_rows(
    p: RackingBeams, ends: tuple[Array, Array], loads: OnRows, x: Array,
    arms: Array | None = None, fields: Array | None = None,
) -> Array:  # fmt: skip
    """The same with one entry of p, ends (movements and forces) and x per row, and of arms per line load on a row."""
    row, mine = loads
    at_loads = p.take(row)
    pieces = driving(at_loads, mine, arms)
    c, length = p.foundation, p.length
    way, by_load = np.zeros((len(x), 10, 10)), np.zeros((len(row), 10, 9))
    way[:, :6, :6], by_load[:, :6] = by_end_1(p.beams, x), by_line_loads(at_loads.beams, mine, x[row])
    way[:, 6:, 6:], by_load[:, 6:] = carried(c, length, x)[:, ORDER], carried_loads(c, length, x, row, pieces)[:, ORDER]
    strain = p.coupling[:, None, [1, 2, 0]] / 2  # of f, by Vy, Vz, T
    way[:, 9:] += strain @ way[:, 1:4]
    by_load[:, 9:] += strain[row] @ by_load[:, 1:4]
    out: Array = way @ _near(p, ends, x > length / 2)
    out += sum_rows(len(x), row, by_load @ mine.coefficients, fields)
    middle = ~is_close(c, length, x)
    if middle.any():
        rows, inner = np.flatnonzero(middle), np.flatnonzero(middle[row])
        within = (np.cumsum(middle) - 1)[row[inner]], pieces.take(inner)
        moves = _moves(p.take(rows), (ends[0][rows], ends[1][rows]))
        met = meeting(c.take(rows), length[rows], x[rows], moves, within, fields)
        out[rows, 6:] = met[:, ORDER]
        out[rows, 9:] += strain[rows] @ out[rows, 1:4]
    return out


def _near(p: RackingBeams, ends: tuple[Array, Array], late: NDArray[np.bool_]) -> Array:
    """(r, 10, c) forces on end 1 that `Beams` know and then the racking state at the nearer end, end 2 where `late`:
    movements g, f, less what torque and shear strain by there, and R, B."""
    (moved, forces), back, every = (e.reshape(len(p), 2, 8, -1) for e in ends), from_own(p), np.arange(len(p))
    back = back.transpose(0, 2, 1)
    one = back @ forces[:, 0]
    there = np.where(late[:, None, None], back @ forces[:, 1], one) if late.any() else one
    sign = np.where(late, -1.0, 1.0)[:, None]
    out = np.zeros((len(p), 10, one.shape[2]))
    out[:, :6], out[:, 6:8] = one[:, :6], moved[every, late.astype(np.int64), 6:]
    out[:, 7] += sign * _strain(p, there) / 2
    out[:, 8:] = -sign[:, None] * there[:, 6:]
    return out


def _moves(p: RackingBeams, ends: tuple[Array, Array]) -> Array:
    """(r, 4, c) movements g1, f1, g2, f2, less what torque and shear strain by at the ends."""
    one, two = (_near(p, ends, np.full(len(p), late)) for late in (False, True))
    return np.concatenate([one[:, 6:8], two[:, 6:8]], axis=1)


def _strain(p: RackingBeams, force: Array) -> Array:
    """(n, c) strain of racking by the torque and shear of forces (n, 8, c) that act on an end."""
    turn, side, up = p.coupling.T
    ys, zs = p.beams.shear_centre.T
    work = np.stack([side + turn * zs, up - turn * ys, turn], axis=1)  # T about the shear centre
    out: Array = (work[:, None] @ force[:, 1:4])[:, 0]
    return out
