"""Section resultants and the racking state anywhere inside members of box section.

N, Vy, Vz, T, My, Mz follow from equilibrium as in `resultants`.  Racking and warping follow from the state at both ends
and the line loads between, see `foundation_inside`; what T and V strain by is added to the warping.  Both are linear in
the forces and states at the ends and in the loads: matrices are made once for all cases and applied last.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import sum_rows
from ladderfe.elements.foundation_inside import carried, carried_loads, is_close, meeting
from ladderfe.elements.line_loads import LineLoads
from ladderfe.elements.racking_beam import RackingBeams, from_own
from ladderfe.elements.racking_loads import driving
from ladderfe.elements.resultants import OnRows, pairs
from ladderfe.elements.resultants import of_rows as plain_rows

__all__ = ["Ends", "resultants", "state_rows"]

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
    on_rows, own = OnRows.of(member, loads), p.take(member)
    if arms is not None:
        arms = arms[pairs(member, loads)[1]]
    plain = plain_rows(own.beams, ends[member, :6], on_rows, x, fields)
    state = state_rows(own, Ends(movements, ends, member), on_rows, x, arms, fields)
    out = np.concatenate([plain, state], axis=1)
    strain = own.coupling[:, None, [1, 2, 0]] / 2  # of f, by Vy, Vz, T
    out[:, 9:] += strain @ out[:, 1:4]
    return out


class Ends(NamedTuple):
    """Movements and forces (n, 16, c) of both ends of all members, member axes; which member (rows,) each row is of."""

    movements: Array
    forces: Array
    member: IntArray

    def at(self, end: IntArray) -> tuple[Array, Array]:
        """(rows, 2, c) racking and warping, and (rows, 8, c) forces, at one end (rows,) of every row's member."""
        moved, forces = (a.reshape(len(a), 2, 8, a.shape[2]) for a in (self.movements, self.forces))
        return moved[self.member, end, 6:], forces[self.member, end]

    def take(self, index: IntArray) -> Ends:
        """Those of the rows in `index`."""
        return self._replace(member=self.member[index])


def state_rows(
    p: RackingBeams, ends: Ends, loads: OnRows, x: Array,
    arms: Array | None = None, fields: Array | None = None,
) -> Array:  # fmt: skip
    """(r, 4, c) B, R, g and f less what T and V strain by there; one entry of p and x per row, and of arms per line
    load on a row."""
    c, length, (row, mine) = p.foundation, p.length, loads
    pieces = driving(p.take(row), mine, arms)
    by_load = carried_loads(c, length, x, row, pieces)[:, ORDER]
    out: Array = carried(c, length, x)[:, ORDER] @ _near(p, ends, x > length / 2)
    out += sum_rows(len(x), row, by_load @ mine.coefficients, fields)
    middle = ~is_close(c, length, x)
    if middle.any():
        rows, inner = np.flatnonzero(middle), np.flatnonzero(middle[row])
        within = (np.cumsum(middle) - 1)[row[inner]], pieces.take(inner)
        moves = _moves(p.take(rows), ends.take(rows))
        out[rows] = meeting(c.take(rows), length[rows], x[rows], moves, within, fields)[:, ORDER]
    return out


def _near(p: RackingBeams, ends: Ends, late: NDArray[np.bool_]) -> Array:
    """(r, 4, c) racking state at the nearer end, end 2 where `late`: movements g, f, less what torque and shear strain
    by there, and R, B."""
    moved, forces = ends.at(late.astype(np.int64))
    forces, sign = from_own(p).transpose(0, 2, 1) @ forces, np.where(late, -1.0, 1.0)[:, None]
    moved[:, 1] += sign * _strain(p, forces) / 2
    return np.concatenate([moved, -sign[:, None] * forces[:, 6:]], axis=1)


def _moves(p: RackingBeams, ends: Ends) -> Array:
    """(r, 4, c) movements g1, f1, g2, f2, less what torque and shear strain by at the ends."""
    return np.concatenate([_near(p, ends, np.full(len(p), late))[:, :2] for late in (False, True)], axis=1)


def _strain(p: RackingBeams, force: Array) -> Array:
    """(n, c) strain of racking by the torque and shear of forces (n, 8, c) that act on an end."""
    turn, side, up = p.coupling.T
    ys, zs = p.beams.shear_centre.T
    work = np.stack([side + turn * zs, up - turn * ys, turn], axis=1)  # T about the shear centre
    out: Array = (work[:, None] @ force[:, 1:4])[:, 0]
    return out
