"""What a joint adds to a rail that carries racking and warping itself: the webs round the crossmember's end, without
the rail's own part.  Constants found as those of `web`; those of doublers and of crossmembers through both webs on the
six joints of that kind each, which nothing checks.
"""

from __future__ import annotations

from functools import lru_cache
from math import inf, sqrt
from typing import Final

import numpy as np

from ladderfe.joints.plan import halves, low_open
from ladderfe.joints.racking import racking
from ladderfe.joints.types import Array, JointGeometry
from ladderfe.joints.web import LEVEL, web_stiffness
from ladderfe.sections import Box, Channel, Flat, Properties, Shape, properties
from ladderfe.sections.shapes import Opens

__all__ = [
    "far", "in_plan", "on_both_webs", "on_one_web", "twisting", "twisting_through", "without_rail",
    "wrapped",
]  # fmt: skip

DOUBLED = np.array([0.87, 1.1, 1.1])  # a doubler's effect over that of a doubled web, as powers, on u, psi, g
COVERED = 0.65  # power of the share of the bare web that it covers
COVERED_PLAN = 0.6  # the same power in plan
# Twist about y over moment, times G t (area of the crossmember's outline): bare web on all sides, one or both edges on
# a flange.
TWIST: Final = {"box": (0.20, 0.29), "channel": (1 / 2.9, 1 / 3.8), "channel that warps": (0.08, 0.03)}
WIDE = 1.37  # less by this times the twist that comes with the rail's warping, times the width over decay length
LEAST = 0.02  # and never less than that
LEFT = 0.2  # of a channel rail's spring about x that stays when the rail's own part is taken off: judgement
THROUGH_TWIST = 0.35  # of one web round a crossmember that passes it
THROUGH = 0.63  # spring about z of a crossmember held by both webs, over E t b^2, t the thinner of flange and its wall
FLANGES = 1.95  # and of one whose flanges lie on a channel rail's, over E t B^2; from the one such joint of the data
WRAPPED = 10.0  # hold of an embraced box rail's shape over that of the long rail itself: judgement, no source
OPENS: Final[dict[str, Opens]] = {
    "channel rearward": "-y", "channel forward": "+y", "channel downward": "-z", "channel upward": "+z",
}


def on_one_web(joint: JointGeometry) -> Array:
    """Stiffness (3, 3) of the met web, doubler included, on (u, psi, g) as in `web_stiffness`; N, mm, rad.

    A doubler stiffens each motion by a power of what a web doubled all over would, the power by the share of the bare
    web that it covers.
    """
    K = web_stiffness(joint, _slopes(joint))
    if joint.doubler:
        whole = joint.changed(web=joint.web + joint.doubler)
        more = np.diag(web_stiffness(whole, _slopes(whole))) / np.where(np.diag(K) > 0, np.diag(K), 1.0)
        root = more ** (DOUBLED * _covered(joint) ** COVERED / 2)
        K = K * np.outer(root, root)
    return K


def without_rail(joint: JointGeometry, K: Array) -> Array:
    """The stiffness on (u, psi) of a channel rail's web without what a rail's own member brings now.

    The data took off a rail whose walls warp without shear strain, so theirs is in the spring about x: at a couple on
    an endless rail it is (1 - sqrt(rho))/(2 G J k), k the rate at which warping dies out, rho = 1/(1 + G J sigma),
    sigma the shear flexibility against warping (own derivation from mixed torsion).  What the clamps of the data's
    rails brought stays in, so that the spring is some 10 % soft.  At least LEFT of its flexibility is left to the web.
    """
    p, G = _rail(joint), joint.shear_modulus
    rho = 1 / (1 + p.J * p.warp_shear)
    k = sqrt(G * p.J / (joint.youngs_modulus * p.Iw))
    F: Array = np.linalg.inv(K[:2, :2]).astype(float)
    F[1, 1] = max(F[1, 1] - (1 - sqrt(rho)) / (2 * G * p.J * k), (LEFT + (1 - LEFT) * _shared(F)) * F[1, 1])
    out = np.zeros((3, 3))
    out[:2, :2] = np.linalg.inv(F)
    return out


def _shared(F: Array) -> float:
    """Share of a flexibility (2, 2) on psi that comes with u."""
    return float(F[0, 1] ** 2 / (F[0, 0] * F[1, 1]))


def on_both_webs(joint: JointGeometry) -> Array:
    """Stiffness (3, 3) on (u, d, g) of a crossmember that both webs hold: d is its end's turn about x against the line
    between its places on both webs, which racking turns by g against the webs' own lines.

    Between the webs it bends as a beam whose ends turn by d and, left to itself, e against that line; each web bends
    by `web_stiffness` on (u, g + d or g + e, g).
    """
    K = np.zeros((4, 4))  # u, d, g, e
    for own, turned in ((joint, 1), (far(joint), 3)):
        A = np.zeros((3, 4))
        A[0, 0] = A[1, turned] = A[1, 2] = A[2, 2] = 1
        K += A.T @ on_one_web(own) @ A
    near, across = _between_webs(joint)
    K[np.ix_([1, 3], [1, 3])] += np.array([[near, across], [across, near]])
    out: Array = K[:3, :3] - K[:3, 3:] * K[3:, :3] / K[3, 3]
    return out


def wrapped(joint: JointGeometry) -> tuple[float, float]:
    """Stiffness with which an end that embraces a box rail holds its racking (N mm) and its warping (N mm4)."""
    rack = racking(joint)
    return WRAPPED * rack.foundation(), WRAPPED * rack.warping()


def far(joint: JointGeometry) -> JointGeometry:
    """The same joint seen from the far web, where no doubler is."""
    return joint.changed(web=joint.far, far=joint.web, doubler=0.0, margin=0.0)


def twisting(joint: JointGeometry, *, warps: bool = False) -> float:
    """Spring about y in N mm/rad of a crossmember on the met web, against the web where the rail's node is; inf for
    open ones and where flanges meet, not resolved in the data.

    The couple enters the web over the crossmember's width, which warps a box rail less than at one place would.  Of
    the data's flexibility of channel rails 70 to 85 % is the bimoment that a couple on the web brings: it warps the
    rail; `warps`: the rail's node carries that.
    """
    if not joint.closed or joint.flanges_meet or joint.wrapped:
        return inf
    around = 2 * joint.margin if joint.doubler else 0.0
    width = joint.width + around
    whole = joint.shear_modulus * (joint.web + joint.doubler) * width * (joint.depth + around)
    soft = TWIST["channel that warps" if warps and joint.rail == "channel" else joint.rail][min(joint.gaps()) == 0]
    if joint.rail == "box":
        rack = racking(joint)
        soft -= WIDE * rack.beta * width * (rack.width / 2) ** 2 / rack.warping() * whole
    return whole / max(soft, LEAST)


def twisting_through(joint: JointGeometry) -> tuple[float, float]:
    """Spring about y in N mm/rad of a crossmember that both webs hold, and the stiffness in N mm4 with which it holds
    the rail's warping: each web a spring, between them the crossmember's own twist.  (inf, 0) for open ones."""
    if not joint.closed:
        return inf, 0.0
    apart, area = racking(joint).width, joint.width * joint.depth
    one, two = (joint.shear_modulus * web * area / THROUGH_TWIST for web in (joint.web, joint.far))
    two = 1 / (1 / two + apart / (joint.shear_modulus * _section(joint).J))
    return one + two, one * two / (one + two) * apart**2


def in_plan(joint: JointGeometry) -> tuple[float, float, float]:
    """Stiffness on the end's turn about z (N mm/rad), between that and the rail's warping f (N mm2), and on f (N mm4):
    on box rails the upper and the lower half of the web are driven by the turn of their flange, rz - f z."""
    if joint.flanges_meet or joint.through or joint.wrapped:
        return _on_flanges(joint), 0.0, 0.0
    above, below = _halves(joint)
    if low := low_open(joint):
        return min(low, above + below), 0.0, 0.0
    if joint.rail == "channel":
        return above + below, 0.0, 0.0
    z = racking(joint).depth / 2
    return above + below, (above - below) * z, (above + below) * z * z


def _on_flanges(joint: JointGeometry) -> float:
    """Spring about z where flanges meet, or where both webs hold the crossmember, which bends between them; inf where
    it embraces a box rail."""
    E, flange = joint.youngs_modulus, (joint.top + joint.bottom) / 2
    if joint.flanges_meet:
        return FLANGES * E * flange * joint.rail_width**2
    if joint.wrapped:
        return inf
    apart = racking(joint).width
    return E / (1 / (THROUGH * min(flange, joint.wall) * apart**2) + apart / (3 * _section(joint).Izz))


def _halves(joint: JointGeometry) -> tuple[float, float]:
    """`halves` with the doubler."""
    bare = halves(joint)
    if not joint.doubler:
        return bare
    doubled = halves(joint.changed(web=joint.web + joint.doubler))
    share = _covered(joint) ** COVERED_PLAN
    above, below = (b * (d / b) ** share for b, d in zip(bare, doubled, strict=True))
    return above, below


def _covered(joint: JointGeometry) -> float:
    """Share of the bare web that the doubler covers."""
    gap = max(joint.gaps())
    return min(1.0, joint.margin / gap) if gap else 1.0


def _slopes(joint: JointGeometry) -> tuple[float, float]:
    return racking(joint).web if joint.rail == "box" else LEVEL


def _between_webs(joint: JointGeometry) -> tuple[float, float]:
    """Beam between the webs: moment over the turn of the same end and of the other, N mm/rad (Timoshenko)."""
    p, length = _section(joint), racking(joint).width
    bending = joint.youngs_modulus * p.Iyy / length
    soft = 12 * bending * float(p.shear[1, 1]) / joint.shear_modulus / length
    return bending * (4 + soft) / (1 + soft), bending * (2 - soft) / (1 + soft)


@lru_cache(maxsize=256)
def _rail(joint: JointGeometry) -> Properties:
    """Of a channel rail."""
    return properties(
        Channel(depth=joint.rail_depth, width=joint.rail_width, web=joint.web, top=joint.top, bottom=joint.bottom,
                opens="-y").section()
    )


@lru_cache(maxsize=256)
def _section(joint: JointGeometry) -> Properties:
    """Of the crossmember, all its walls alike."""
    t, kind = joint.wall, joint.crossmember
    whole: Shape
    if kind in OPENS:
        whole = Channel(depth=joint.depth, width=joint.width, web=t, top=t, bottom=t, opens=OPENS[kind])
    elif kind == "flat":
        whole = Flat(depth=joint.depth, thickness=joint.width)
    else:
        whole = Box(depth=joint.depth, width=joint.width, top=t, bottom=t, minus=t, plus=t)
    return properties(whole.section())
