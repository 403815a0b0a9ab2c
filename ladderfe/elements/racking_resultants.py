"""Section resultants and the racking state anywhere inside members of box section.

N, Vy, Vz, T, My, Mz follow from equilibrium as in `resultants`.  Racking and warping follow from the state at both ends
and the line loads between, see `foundation_inside`; what T and V strain by is added to the warping.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.foundation_inside import state_under_loads
from ladderfe.elements.line_loads import LineLoads
from ladderfe.elements.pieces import take_loads
from ladderfe.elements.racking_beam import RACKING, RackingBeams, from_own
from ladderfe.elements.racking_loads import driving
from ladderfe.elements.resultants import pairs
from ladderfe.elements.resultants import resultants as plain_resultants

__all__ = ["resultants"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def resultants(
    p: RackingBeams, movements: Array, ends: Array, loads: LineLoads, member: IntArray, x: Array,
    arms: Array | None = None,
) -> Array:  # fmt: skip
    """N, Vy, Vz, T, My, Mz, B, R, g, f on the face with outward normal +x'.

    Parameters
    ----------
    p : RackingBeams of all members
    movements, ends : (n_members, 16, c) movements of both ends and forces that act on them, member axes
    loads, arms : line loads of all members, as in `equivalent_loads`
    member, x : (rows,) member and distance from its end 1, mm

    Returns
    -------
    (rows, 10, c): N, My, Mz about the centroid, Vy, Vz, T about the shear centre; bimoment B in N mm2 (warping stress
    B omega/I with omega = y z - plane . (1, y, z)), racking force R in N mm, racking angle g, warping f in 1/mm.
    """
    back = from_own(p).transpose(0, 2, 1)
    one, two = back @ ends[:, :8], back @ ends[:, 8:]
    plain = plain_resultants(p.beams, one[:, :6], loads, member, x)
    state = movements[:, RACKING]
    state[:, 1] += strain_of_forces(p, one) / 2
    state[:, 3] -= strain_of_forces(p, two) / 2
    forces = np.concatenate([one[:, 6:], two[:, 6:]], axis=1)
    row, load = pairs(member, loads)
    own, mine = p.take(member), take_loads(loads, load)
    pieces = driving(p.take(mine.member), mine, None if arms is None else arms[load])
    inner = state_under_loads(own.foundation, own.length, x, (state[member], forces[member]), (row, pieces))
    inner[:, 1] += (own.coupling[:, None, [1, 2, 0]] @ plain[:, 1:4])[:, 0] / 2  # by Vy, Vz, T
    return np.concatenate([plain, inner[:, [3, 2, 0, 1]]], axis=1)


def strain_of_forces(p: RackingBeams, force: Array) -> Array:
    """(n, c) strain of racking by the torque and shear of forces (n, 8, c) that act on an end."""
    turn, side, up = p.coupling.T
    ys, zs = p.beams.shear_centre.T
    work = np.stack([side + turn * zs, up - turn * ys, turn], axis=1)  # T about the shear centre
    out: Array = (work[:, None] @ force[:, 1:4])[:, 0]
    return out
