"""Spring about z: the web bent in and out by a crossmember's end that turns in plan.

The web's half above and its half below the crossmember's middle are plates.  Over the crossmember's width the bare
strip follows the end rigidly; beside it the deflection keeps the strip's profile over the height and dies out along
the rail as the profile's energies say (one-term solution after Kantorovich).  Each half hands its couple to a flange,
in series with that flange's own stiffness.  Six constants (LOW_OPEN apart) found on rows marked "fit" of
tests/data/joints.csv, rows marked "check" in view.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from ladderfe.joints.types import JointGeometry

__all__ = ["halves", "low_open"]

KAPPA = 0.74  # share of the plate's stiffness that acts
HELD: Final = {"box": 0.98, "channel": 0.28}  # hold of the flange, times 4 D/B
CLAMP = 1.62  # the strip is that many web thicknesses longer than the bare web
FLANGE = 0.49  # couple on a box rail's flange over E t c^2 B/H
LOW_OPEN = 8.0  # over the half that bears on bare web; from the one such joint of the data
OPEN: Final = {"channel rearward": 0.96, "channel forward": 0.96}
# Integrals over x = 0 to 1 of products of the profile's two cubics (1 at the edge; slope 1 at the flange), and of their
# slopes.
PLACES: Final = np.array([[13 / 35, -13 / 420], [-13 / 420, 1 / 105]])
SLOPES: Final = np.array([[6 / 5, 1 / 10], [1 / 10, 2 / 15]])


def low_open(joint: JointGeometry) -> float:
    """Spring about z in N mm/rad of an open crossmember that reaches one flange only: it turns with its warping free,
    LOW_OPEN stands for that.  0 where it is none such."""
    low = not joint.closed and min(joint.gaps()) == 0 < max(joint.gaps())
    return LOW_OPEN * min(halves(joint)) if low else 0.0


def halves(joint: JointGeometry) -> tuple[float, float]:
    """Couple over turn of the upper and the lower half, each held by its flange, in N mm/rad."""
    E, c = joint.youngs_modulus, joint.width
    found = []
    for gap, flange in zip(joint.gaps(), (joint.top, joint.bottom), strict=True):
        corner = HELD[joint.rail] * 4 * joint.plate(flange) / joint.rail_width
        web = KAPPA * OPEN.get(joint.crossmember, 1.0) * _half(joint, gap + CLAMP * joint.web, corner)
        flexible = 0.0
        if joint.rail == "box":
            flexible = 1 / (FLANGE * E * (joint.web * flange) ** 0.5 * c * c * joint.rail_width / joint.rail_depth)
        found.append(1 / (1 / web + flexible))
    return found[0], found[1]


def _half(joint: JointGeometry, g: float, corner: float) -> float:
    """One half's plate: strip of height g over the crossmember's width, and both fields beside it."""
    D, c = joint.plate(joint.web), joint.width
    turn = -6 * D / g / (4 * D / g + corner)  # of the strip at the flange, times g
    profile = np.array([1.0, turn])
    bending = (12 + 6 * turn) / g**3
    twisting = float(profile @ SLOPES @ profile) / g
    weight = joint.depth / 2 + float(profile @ PLACES @ profile) * g
    product = (bending / weight) ** 0.5  # of the two decay rates, and their sum
    total = (2 * twisting / weight + 2 * product) ** 0.5
    beside = weight * (product * total * c * c / 4 + product * c + total)
    return float(D * (bending * c**3 / 12 + 2 * beside))
