"""Springs of a crossmember on a bare web about the vehicle's x, y and z and along y, from walls as they are.

A box rail's racking is folded in as that of a long rail whose next joint is far: a rail held in shape 400 mm away is
stiffer about x (1.13 times as a median of the data, 2.5 times in deep thin rails).
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Final

import numpy as np

from ladderfe.joints.plan import plan_stiffness
from ladderfe.joints.racking import Racking, racking
from ladderfe.joints.types import Array, JointGeometry
from ladderfe.joints.web import LEVEL, local_stiffness, web_stiffness

__all__ = ["about_x", "about_y", "about_z", "along_y", "k_rx_closed"]

TWIST: Final = {"box": 6.0, "channel": 2.9}  # spring about y over G t (area of the crossmember's outline)
LOW_TWIST: Final = {"box": 4.3, "channel": 3.8}  # and where it lies on one flange
THROUGH = 0.4  # spring about z of a crossmember held by both webs, over E t b^2 of the flanges
FLANGES = 1.95  # and of one whose flanges lie on a channel rail's, over E t B^2; from the one such joint of the data
PULLED: Final = {"box": 1.0, "channel": 1.3}  # spring along y over that of the strips
COVERED = 0.6  # power of the share of the bare web that a doubler covers
STIFFENED = 1.75  # more of a doubler's effect about x on a box rail, since it also spreads the load that racks

Spring = Callable[[JointGeometry, Racking | None], float]


def k_rx_closed(K2: Array, rack: Racking, to_end: float = inf) -> float:
    """Spring about x of a long box rail, N mm/rad: local stiffness K2 on (psi, gamma) in series with the racking."""
    A = np.array([[1.0, 0.5], [0.0, 1.0]])
    K = A.T @ K2 @ A
    K[1, 1] += rack.foundation(to_end)
    return float(K[0, 0] - K[0, 1] ** 2 / K[1, 1])


def about_x(joint: JointGeometry) -> float:
    """Spring about x in N mm/rad: bending of the crossmember up and down on the web.  Rigid where flanges meet."""
    if joint.flanges_meet:
        return inf
    return _doubled(_about_x, joint, STIFFENED if joint.rail == "box" and not joint.through else 1.0)


def about_y(joint: JointGeometry) -> float:
    """Spring about y in N mm/rad: twist of the crossmember, fed into one web and so into the rail's warping.

    Rigid for open crossmembers and where flanges meet: not resolved in the data.
    """
    if not joint.closed or joint.flanges_meet:
        return inf
    around = 2 * joint.margin if joint.doubler else 0.0
    area = (joint.width + around) * (joint.depth + around)
    factor = (LOW_TWIST if min(joint.gaps()) == 0 < max(joint.gaps()) else TWIST)[joint.rail]
    spring = factor * joint.shear_modulus * (joint.web + joint.doubler) * area
    if joint.rail == "channel":
        return spring
    rack = racking(joint)
    return 1 / (1 / spring + (rack.width / 2) ** 2 / rack.warping(joint.to_end, joint.width))


def about_z(joint: JointGeometry) -> float:
    """Spring about z in N mm/rad: bending of the crossmember in plan."""
    flange = (joint.top + joint.bottom) / 2
    if joint.flanges_meet:
        return FLANGES * joint.youngs_modulus * flange * joint.rail_width**2
    if joint.through:
        return THROUGH * joint.youngs_modulus * flange * racking(joint).width ** 2
    return _doubled(plan_stiffness, joint)


def along_y(joint: JointGeometry) -> float:
    """Spring along y in N/mm, the crossmember free to turn about x: push and pull on the web.

    Rigid where no more bare web is left than the web's thickness: not resolved in the data.
    """
    return inf if max(joint.gaps()) <= joint.web else _doubled(_along_y, joint)


def _doubled(spring: Spring, joint: JointGeometry, power: float = 1.0) -> float:
    """The spring with its doubler: between that of the bare web and that of a web doubled all over (a joint's only,
    not the rail's), by the share of the bare web that is covered.  Found on the seven doublers of the data."""
    rack = racking(joint) if joint.rail == "box" else None
    bare = spring(joint, rack)
    if not joint.doubler:
        return bare
    gap = max(joint.gaps())
    covered = min(1.0, joint.margin / gap) if gap else 1.0
    doubled = spring(joint.changed(web=joint.web + joint.doubler), rack)
    return float(bare * max(doubled / bare, 1.0) ** (power * covered**COVERED))


def _about_x(joint: JointGeometry, rack: Racking | None) -> float:
    if rack is None:
        K = web_stiffness(joint, LEVEL)
        return float(K[1, 1] - K[0, 1] ** 2 / K[0, 0])
    met = local_stiffness(joint, rack)
    if not joint.through:
        return k_rx_closed(met, rack, joint.to_end)
    # both webs follow the crossmember up and down, so it turns by gamma/2 against the rail and by gamma on either web
    far = local_stiffness(*_from_far(joint, rack))
    return float(4 * (met.sum() + far.sum() + rack.foundation(joint.to_end)))


def _along_y(joint: JointGeometry, rack: Racking | None) -> float:
    if rack is None:
        K = web_stiffness(joint, LEVEL)
        return float(PULLED["channel"] * (K[0, 0] - K[0, 1] ** 2 / K[1, 1]))
    met = _web_along_y(joint, rack)
    return met + _web_along_y(*_from_far(joint, rack)) if joint.through else met


def _web_along_y(joint: JointGeometry, rack: Racking) -> float:
    K = web_stiffness(joint, rack.web).copy()
    K[2, 2] += rack.foundation(joint.to_end)
    pull = np.array([-1.0, 0.0, joint.height / 2])
    return float(PULLED["box"] / (pull @ np.linalg.solve(K, pull)))


def _from_far(joint: JointGeometry, rack: Racking) -> tuple[JointGeometry, Racking]:
    """The same joint seen from the far web."""
    return joint.changed(web=joint.far, far=joint.web), rack.from_far()
