"""A joint of tests/data/joints.csv as a frame sees it: an exact member of box section on both sides, clamped at its far
ends, and the energy between the rail's node and the crossmember's end."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import exp, inf, log

import numpy as np

from ladderfe.elements import Beams, beam
from ladderfe.elements.racking_beam import RackingBeams, stiffness
from ladderfe.elements.racking_walls import BoxWalls
from ladderfe.joints import JointGeometry, Meeting, meeting
from ladderfe.sections import Box, properties

__all__ = ["flexibility", "needed"]

Array = np.ndarray
ABOUT_X = 3
SMALLEST, LARGEST = 0.02, 50.0  # of the factors that `needed` tries


@cache
def rail(joint: JointGeometry, half: float) -> tuple[Array, Array]:
    """Stiffness (8, 8) at the node of a rail that racks and (6, 6) of one that does not; the node in the middle of the
    mid-lines, the clamps `half` away on both sides, or a free end `to_end` away on one."""
    b, h, G = _size(joint)
    E, nu = joint.youngs_modulus, joint.poissons_ratio
    p = properties(Box(depth=joint.rail_depth, width=joint.rail_width, top=joint.top, bottom=joint.bottom,
                       minus=joint.web, plus=joint.far).section())
    pole = _pole(joint)
    two, lengths = np.ones(2), np.array([half, half if joint.to_end == inf else joint.to_end])
    beams = Beams(
        lengths, E * p.A * two, G * p.J * two, np.tile(E * np.array([[p.Izz, p.Iyz], [p.Iyz, p.Iyy]]), (2, 1, 1)),
        np.tile(p.shear / G, (2, 1, 1)), np.tile([p.yc, p.zc] - pole, (2, 1)), np.tile([p.ys, p.zs] - pole, (2, 1)),
    )
    walls = BoxWalls(b * two, h * two, np.tile([joint.web, joint.far, joint.top, joint.bottom], (2, 1)))
    racking = stiffness(RackingBeams.of_walls(beams, walls, np.zeros((2, 2)), E, nu))
    free = joint.to_end < inf
    return _node(racking, free), _node(beam.stiffness(beams), free)


def _size(joint: JointGeometry) -> tuple[float, float, float]:
    """Width and height of the mid-lines, shear modulus."""
    b = joint.rail_width - (joint.web + joint.far) / 2
    return b, joint.rail_depth - (joint.top + joint.bottom) / 2, joint.shear_modulus


def _pole(joint: JointGeometry) -> Array:
    """Middle of the mid-lines from that of the outline; the met web at -y."""
    return np.array([(joint.web - joint.far) / 4, (joint.bottom - joint.top) / 4])


def _node(k: Array, free: bool) -> Array:
    """From the members before and behind the node; the far end of the second clamped or free."""
    n = k.shape[1] // 2
    near, both, end = k[1, :n, :n], k[1, :n, n:], k[1, n:, n:]
    out: Array = k[0, n:, n:] + (near - both @ np.linalg.solve(end, both.T) if free else near)
    return out


def carried(joint: JointGeometry, webs: str) -> Array:
    """(6, 8): what the node's unknowns do to the place on the met web where the crossmember's middle is."""
    y, z = -_size(joint)[0] / 2, joint.height - _pole(joint)[1]
    T = np.eye(6, 8)
    T[0, 4:6], T[1, 3], T[2, 3] = [z, -y], -z, y
    if webs == "met":
        T[:5, 6:] = [[0, z * y], [z / 2, 0], [y / 2, 0], [-1 / 2, 0], [0, y]]
    if webs == "both":
        T[1:4, 6] = z / 2, y / 2, 1 / 2
    return T


def arm(joint: JointGeometry, load: tuple[float, float]) -> Array:
    """(6, 6) from that place to the one of the loads, x and z from the crossmember's middle, on the web's face."""
    x, y, z = load[0], -joint.web / 2, load[1] - joint.height
    out = np.eye(6)
    out[0, 4:6], out[1, 3:6:2], out[2, 3:5] = [z, -y], [-z, x], [y, -x]
    return out


def flexibility(joint: JointGeometry, half: float, load: tuple[float, float], met: Meeting | None = None) -> Array:
    """(6, 6) of the crossmember's end at the place `load` (x, z), less that of the rail as a beam: D of the data."""
    met = met or meeting(joint)
    racking, plain = rail(joint.changed(height=0.0), half)
    k = len(met.directions)
    K = np.zeros((8 + k, 8 + k))
    K[:8, :8] = racking
    own = [*range(8, 8 + k), 6]
    K[np.ix_(own, own)] += met.stiffness
    K[7, 7] += met.held
    if 5 in met.directions:
        turn = 8 + met.directions.index(5)
        K[turn, 7] += met.plan
        K[7, turn] += met.plan
    left = np.eye(6)[:, list(met.directions)]
    at = arm(joint, load)
    moved, rigid = at @ np.hstack([carried(joint, met.webs), left]), at @ carried(joint, "section")[:, :6]
    out: Array = moved @ np.linalg.solve(K, moved.T) - rigid @ np.linalg.solve(plain, rigid.T)
    return out


def needed(joint: JointGeometry, half: float, load: tuple[float, float], solid: float) -> float:
    """Factor on the webs' stiffness that brings the flexibility about x to that of the solids; nan beyond limits."""
    from scipy.optimize import brentq

    met = meeting(joint)
    webs = [i for i, d in enumerate(met.directions) if d in (1, 3)] + [len(met.directions)]

    def off(power: float) -> float:
        S = met.stiffness.copy()
        S[np.ix_(webs, webs)] *= exp(power)
        return float(flexibility(joint, half, load, replace(met, stiffness=S))[ABOUT_X, ABOUT_X]) / solid - 1

    ends = log(SMALLEST), log(LARGEST)
    if off(ends[0]) * off(ends[1]) > 0:
        return float("nan")
    return exp(brentq(off, *ends, xtol=1e-6))
