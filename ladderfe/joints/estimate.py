"""The estimate of a joint: springs, range, kind and warnings."""

from __future__ import annotations

from math import inf, pi, sqrt

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.joints.kinds import TUBE_BAND, band, traits, warnings
from ladderfe.joints.springs import about_x, about_y, about_z, along_y
from ladderfe.joints.types import GUSSETED, SOURCE, JointEstimate, JointGeometry, WarpingLink

__all__ = ["as_square", "estimate", "link", "warping_link"]

# Sides of the squares that stand for a tube, over its diameter.  Own study: a rigid round patch against square ones
# in a thin plate strip, 0.4 to 0.9 of its depth: 0.83 to 0.93 about x and along y, 0.78 to 0.82 about z.
EQUAL_AREA = sqrt(pi) / 2
EQUAL_GIRTH = pi / 4
TUBE = "tube: taken as a square box of equal area, about z of equal girth"
GUSSETS = "no data on gussets: half of each leg taken as part of the crossmember's outline; range: none to all of it"
WARP = 1.32  # warping spring over E t^3 (area)^1.4 / (gap)^0.8
WARP_WALL, WARP_LYING = 0.27, 1.13  # power of the crossmember's wall over the web; factor where its web lies
WARP_BAND = (0.89, 1.19)  # of the data, see scripts/joint-accuracy
LYING = ("channel downward", "channel upward")
LINKS = {"box": (0, 0), "channel": (1, -1)}  # web of the crossmember upright, lying


def estimate(joint: JointGeometry) -> JointEstimate:
    """Springs of a crossmember on a rail's web, with their range; along x and z rigid.

    About x by racking of the box rail and bending of its web (for channel rails the web alone), about z by bending of
    the web in plan, about y and along y as in the data where those are resolved, else rigid.  Own studies of T-joints
    in solid elements (20-node bricks, sharp corners, parts fully merged); no published source.
    """
    if joint.kind in GUSSETED:
        return _gusseted(joint)
    square = as_square(joint, EQUAL_AREA)
    plan = about_z(as_square(joint, EQUAL_GIRTH))
    stiffness = np.array([inf, along_y(square), inf, about_x(square), about_y(square), plan])
    low, high = band(square)
    words = warnings(square)
    if joint.crossmember == "tube":
        low, high, words = low * TUBE_BAND[0], high * TUBE_BAND[1], (TUBE, *words)
    kind = ", ".join((f"{joint.rail} rail", *traits(square)))
    return JointEstimate(stiffness, stiffness * low, stiffness * high, kind, SOURCE, words)


def _gusseted(joint: JointGeometry) -> JointEstimate:
    """From none of the gussets counting (low) by half of them to all of them (high)."""
    bare, half, whole = (estimate(joint.spread(share)) for share in (0.0, 0.5, 1.0))
    low, high = np.minimum(bare.low, half.low), np.maximum(whole.high, half.high)
    return JointEstimate(half.stiffness, low, high, f"{half.kind}, {joint.kind}", SOURCE, (GUSSETS, *half.warnings))


def warping_link(joint: JointGeometry) -> WarpingLink:
    """Warping spring of an open crossmember that meets bare web only.

    Raises ModelError for closed and flat crossmembers, which carry no such spring, and where flanges meet.
    """
    if joint.closed or joint.crossmember == "flat" or joint.flanges_meet:
        raise ModelError("joint", f"no warping spring for a {joint.crossmember} crossmember here",
                         "Ask for it where an open crossmember meets bare web")
    gap = sum(joint.gaps()) / 2 + (joint.top + joint.bottom) / 4 + joint.web / 2
    area = joint.width * joint.depth
    kind = (joint.wall / joint.web) ** WARP_WALL * (WARP_LYING if joint.crossmember in LYING else 1.0)
    spring = WARP * kind * joint.youngs_modulus * joint.web**3 * area**1.4 / gap**0.8
    return WarpingLink(spring, spring * WARP_BAND[0], spring * WARP_BAND[1], link(joint))


def link(joint: JointGeometry) -> int:
    """Sign of the rail's twist rate in the warping spring: 0 on box rails, on channel rails by the web of the other."""
    return LINKS[joint.rail][joint.crossmember in LYING]


def as_square(joint: JointGeometry, side: float) -> JointGeometry:
    """A tube's joint with the square box that stands for it; any other joint as it is."""
    if joint.crossmember != "tube":
        return joint
    return joint.changed(crossmember="box", depth=side * joint.depth, width=side * joint.width)
