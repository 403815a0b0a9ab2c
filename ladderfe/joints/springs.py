"""Springs of a crossmember on a rail about the vehicle's x, y and z and along y, from walls as they are.

A box rail's racking is folded in as that of a long rail whose next joint is far: a rail held in shape 400 mm away is
stiffer about x (1.13 times as a median of the data, 2.5 times in deep thin rails).  For rails that carry racking
themselves see `meeting`.
"""

from __future__ import annotations

from math import inf

import numpy as np

from ladderfe.joints.local import in_plan, on_both_webs, on_one_web, twisting, twisting_through, wrapped
from ladderfe.joints.racking import Racking, racking
from ladderfe.joints.types import Array, JointGeometry

__all__ = ["about_x", "about_y", "about_z", "along_y", "k_rx_closed"]


def k_rx_closed(K2: Array, rack: Racking, to_end: float = inf) -> float:
    """Spring about x of a long box rail, N mm/rad: local stiffness K2 on (psi, gamma) in series with the racking."""
    A = np.array([[1.0, 0.5], [0.0, 1.0]])
    K = A.T @ K2 @ A
    K[1, 1] += rack.foundation(to_end)
    return float(K[0, 0] - K[0, 1] ** 2 / K[1, 1])


def about_x(joint: JointGeometry) -> float:
    """Spring about x in N mm/rad: bending of the crossmember up and down on the web.  Rigid where flanges meet."""
    if joint.wrapped and joint.rail == "box":  # the line between the webs turns by half the racking angle
        return 4 * (wrapped(joint)[0] + racking(joint).foundation(joint.to_end))
    return inf if joint.flanges_meet else 1 / _softness(joint, np.array([0.0, 1.0]))


def along_y(joint: JointGeometry) -> float:
    """Spring along y in N/mm, the crossmember free to turn about x: push and pull on the web.

    Rigid where no more bare web is left than the web's thickness (not resolved in the data), or the rail is embraced.
    """
    return inf if max(joint.gaps()) <= joint.web or joint.wrapped else 1 / _softness(joint, np.array([-1.0, 0.0]))


def _softness(joint: JointGeometry, load: Array) -> float:
    """Movement of the crossmember's middle, along -y and about x, under a unit `load` (2,) on it, along that load."""
    if joint.rail == "channel":
        return float(load @ np.linalg.solve(on_one_web(joint)[:2, :2], load))
    rack = racking(joint)
    K = (on_both_webs if joint.through else on_one_web)(joint).copy()
    K[2, 2] += rack.foundation(joint.to_end)
    # the web's line turns by -gamma/2 and the line between both webs by gamma/2; the web's places move along
    racked = load[1] * (0.5 if joint.through else -0.5) - load[0] * joint.height / 2
    loads = np.array([*load, racked])
    return float(loads @ np.linalg.solve(K, loads))


def about_y(joint: JointGeometry) -> float:
    """Spring about y in N mm/rad: twist of the crossmember, fed into one web and so into the rail's warping.

    Rigid for open crossmembers and where flanges meet (not resolved in the data), or the rail is embraced.
    """
    if joint.through:
        return twisting_through(joint)[0]
    spring = twisting(joint)
    if joint.rail == "channel" or spring == inf:
        return spring
    rack = racking(joint)
    return 1 / (1 / spring + (rack.width / 2) ** 2 / (rack.warping(joint.to_end) + in_plan(joint)[2]))


def about_z(joint: JointGeometry) -> float:
    """Spring about z in N mm/rad: bending of the crossmember in plan; unlike couples on the flanges warp a box rail.
    Rigid where that is embraced."""
    alone, both, held = in_plan(joint)
    return alone - both**2 / (racking(joint).warping(joint.to_end, joint.width) + held) if both else alone
