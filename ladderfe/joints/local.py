"""What a joint adds to a rail that carries racking and warping itself: stiffness of the webs round the crossmember's
end, without the rail's own part."""

from __future__ import annotations

from math import inf

import numpy as np

from ladderfe.joints.racking import racking
from ladderfe.joints.springs import LOW_TWIST, PULLED, TWIST
from ladderfe.joints.types import Array, JointGeometry
from ladderfe.joints.web import LEVEL, web_stiffness

__all__ = ["on_both_webs", "on_one_web", "twisting"]

COVERED = 0.6  # power of the share of the bare web that a doubler covers
STIFFENED = 1.75  # more of a doubler's effect on a box rail


def on_one_web(joint: JointGeometry) -> Array:
    """Stiffness (3, 3) of the met web, doubler included, on (u, psi, g) as in `web_stiffness`; N, mm, rad."""
    slopes = racking(joint).web if joint.rail == "box" else LEVEL
    K = web_stiffness(joint, slopes)
    if joint.doubler:
        gap = max(joint.gaps())
        covered = min(1.0, joint.margin / gap) if gap else 1.0
        doubled = web_stiffness(joint.changed(web=joint.web + joint.doubler), slopes)
        K = _between(K, doubled, (STIFFENED if joint.rail == "box" else 1.0) * covered**COVERED)
    pull = np.diag([PULLED[joint.rail] ** 0.5, 1.0, 1.0])
    out: Array = pull @ K @ pull
    return out


def on_both_webs(joint: JointGeometry) -> Array:
    """Stiffness (2, 2) of both webs on (u, g) where the crossmember is held by both: its turn against either web's
    line is the racking angle, psi = g."""
    held = np.array([[1.0, 0.0], [0.0, 1.0], [0.0, 1.0]])
    out: Array = held.T @ (on_one_web(joint) + web_stiffness(far(joint), racking(far(joint)).web)) @ held
    return out


def far(joint: JointGeometry) -> JointGeometry:
    """The same joint seen from the far web, where no doubler is."""
    return joint.changed(web=joint.far, far=joint.web, doubler=0.0, margin=0.0)


def twisting(joint: JointGeometry) -> float:
    """Spring about y in N mm/rad of a closed crossmember on the met web; inf for open ones and where flanges meet, not
    resolved in the data."""
    if not joint.closed or joint.flanges_meet:
        return inf
    around = 2 * joint.margin if joint.doubler else 0.0
    area = (joint.width + around) * (joint.depth + around)
    factor = (LOW_TWIST if min(joint.gaps()) == 0 < max(joint.gaps()) else TWIST)[joint.rail]
    return factor * joint.shear_modulus * (joint.web + joint.doubler) * area


def _between(bare: Array, doubled: Array, share: float) -> Array:
    """The geometric way from one stiffness to another, bare (bare^-1 doubled)^share: symmetric and positive; racking
    apart where neither resists it."""
    n = len(bare) if bare[-1, -1] else len(bare) - 1
    values, vectors = np.linalg.eigh(bare[:n, :n])
    root, unroot = (vectors * values**p @ vectors.T for p in (0.5, -0.5))
    values, vectors = np.linalg.eigh(unroot @ doubled[:n, :n] @ unroot)
    out = np.zeros_like(bare)
    out[:n, :n] = root @ (vectors * values**share) @ vectors.T @ root
    return out
