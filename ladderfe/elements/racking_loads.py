"""Line loads inside members of box section, carried to the ends: what they do to racking and warping beside the beam.

A force per length at (y, z) from the pole acts on the walls: upright on the webs' movement, sideways on the flanges',
along the member on warping.  A point outside the box hangs rigidly on the wall nearest to it and turns with it:

    on g:  fz (2 y1 - y)/2 + fy (2 z1 - z)/2        on f:  fx y1 z1        y1, z1 = y, z cut at the walls' mid-lines,

so an upright force on the web at y1 = +-b/2 brings fz y1/2, a bracket beyond it less.
The end loads are exact (see `foundation_inside.on_ends`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import line_loads
from ladderfe.elements.arrays import in_order, sum_by
from ladderfe.elements.foundation_inside import Pieces, Works, on_ends
from ladderfe.elements.line_loads import LineLoads, Together
from ladderfe.elements.racking_beam import (
    WARPS,
    RackingBeams,
    racking_strain,
    shear_movement,
    turn_to_own,
)

__all__ = ["driving", "each_equivalent", "equivalent_loads", "wall_arms", "with_racking"]

Array = NDArray[np.float64]


def driving(p: RackingBeams, loads: LineLoads, arms: Array | None = None) -> Pieces:
    """What line loads do to racking; p has one entry per load.

    arms (k, 3): work of unit fx on f, of unit fy and fz on g; None: by the points, see `wall_arms`.  T and V fall by
    the loads, and with them the strain of racking that they bring along: half of that is `slip`."""
    if arms is None:
        arms = wall_arms(p, loads.point)
    y, z = (loads.point - p.pole).T
    plane = p.plane
    omega = arms[:, 0] - plane[:, 0] - plane[:, 1] * y - plane[:, 2] * z
    by_y, by_z = arms[:, 1] - plane[:, 1] / 2, arms[:, 2] - plane[:, 2] / 2
    arm_y, arm_z = (loads.point - p.beams.shear_centre).T
    turn, side, up = p.coupling.T
    work = np.zeros((len(loads), 4, 3))
    work[:, 0, 1], work[:, 0, 2], work[:, 1, 0] = by_y, by_z, omega
    work[:, 3, 1], work[:, 3, 2] = (side - turn * arm_z) / 2, (up + turn * arm_y) / 2
    return Pieces(loads.start, loads.end, loads.start, work, loads.force)


def wall_arms(p: RackingBeams, point: Array) -> Array:
    """(k, 3) work of unit fx on f, fy on g and fz on g at points (k, 2) from the reference line; see the module."""
    place = point - p.pole
    wall = np.clip(place, -p.size / 2, p.size / 2)
    other = (2 * wall - place) / 2
    return np.stack([wall[:, 0] * wall[:, 1], other[:, 1], other[:, 0]], axis=1)


def equivalent_loads(p: RackingBeams, loads: LineLoads, arms: Array | None = None) -> Array:
    """(n_members, 16, c) end loads that move the ends just as the line loads do; N, N mm and, for f, N mm2.

    Parameters
    ----------
    p : RackingBeams of all members
    loads : line loads on them
    arms : (k, 3) work of unit fx on f, fy on g, fz on g; None: `wall_arms` of the loads' points
    """
    if not len(loads):
        return np.zeros((len(p), 16, loads.cases))
    work = driving(p.take(loads.member), loads, arms).work
    whole = Together.of(loads, np.concatenate([line_loads.resultant_work(loads.point), work], axis=1))
    plain = line_loads.of_resultants(p.beams, whole.part(slice(6)))
    return with_racking(p, whole.part(slice(6, 10)), plain)


def with_racking(p: RackingBeams, whole: Together, plain: Array) -> Array:
    """The same by loads on the four movements of `Pieces.work` and the equivalent loads of `Beams` (n, 12, c)."""
    stiff, works = p.coupled.racking, Works(whole.start, whole.end, whole.start, whole.force)
    if in_order(whole.member, len(p)):
        found = _on_racking(p, works, stiff)
    else:
        found = _on_racking(p.take(whole.member), works, stiff[whole.member])
    return _end_loads(p, (racking_strain(p), stiff), plain, sum_by(len(p), whole.member, found))


def each_equivalent(p: RackingBeams, loads: LineLoads, arms: Array | None = None) -> Array:
    """(k, 16, c) equivalent end loads of every line load by itself."""
    strain, stiff, own = racking_strain(p)[loads.member], p.coupled.racking[loads.member], p.take(loads.member)
    racking = _on_racking(own, driving(own, loads, arms).works, stiff)
    return _end_loads(own, (strain, stiff), line_loads.each_equivalent(p.beams, loads), racking)


def _on_racking(p: RackingBeams, works: Works, stiff: Array) -> Array:
    """(k, 6, c) loads on the racking state at both ends, the whole force on f and the whole slip; stiff (k, 4, 4): as
    in `RackingEnds`, p and stiff with one entry per piece."""
    return np.concatenate([on_ends(p.foundation, p.length, works, stiff), works.total[:, 1::2]], axis=1)


def _end_loads(p: RackingBeams, ends: tuple[Array, Array], plain: Array, racking: Array) -> Array:
    """(n, 16, c) end loads by equivalent loads of `Beams` (n, 12, c) and `_on_racking` (n, 6, c), the movement lost by
    the end loads at end 2 among them; ends: `racking_strain` (n, 16) and (n, 4, 4) as in `RackingEnds`.

    The transpose of `RackingEnds`: what acts on the bimoment at end 1 and on its growth acts on the racking state, and
    that on the end unknowns and on the strain."""
    strain, stiff = ends
    lost = shear_movement(p)[:, None] @ plain[:, 6:] / 2
    on_state = racking[:, :4] + stiff[:, 1, :, None] * racking[:, 5:] - (stiff @ WARPS)[:, :, None] * lost
    on_strain = (racking[:, 4:5] - on_state[:, 1:2] - on_state[:, 3:4]) / 2
    out: Array = strain[:, :, None] * on_strain
    out[:, :6] += plain[:, :6]
    out[:, 8:14] += plain[:, 6:]
    out[:, 6:8] += on_state[:, :2]
    out[:, 14:] += on_state[:, 2:]
    turn_to_own(p, out.transpose(0, 2, 1))
    return out
