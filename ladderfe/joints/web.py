"""A web in bending round the crossmember's end: strips of plate above and below it, and its stiffness in three motions.

The crossmember's end is taken as rigid.  A strip between its edge and the flange is a clamped plate strip whose edge
value and slope follow the mismatch between that rigid end and the racked web.  At the flange it is held by the flange
in bending across the rail, its far edge fixed (4 D/B), and by what lies beside the strip along the rail; at the
crossmember through a spring that stands for the web inside the crossmember and the crossmember's wall.  It is some
web thicknesses longer than the bare web, since neither end is a clamp.  The constants were found on rows marked "fit"
of tests/data/joints.csv with the rail as an exact member on both sides, at both lengths of rail (scripts/joint-accuracy
shows how well they do); rows marked "check" were in view.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from ladderfe.joints.racking import Racking, Slopes, racking
from ladderfe.joints.types import Array, JointGeometry

__all__ = ["LEVEL", "local_stiffness", "web_stiffness"]

LEVEL: Final[Slopes] = (0.0, 0.0)  # a web that does not bend with racking
LONGER: Final = {"box": 1.83, "channel": 1.59}  # strip beyond the bare web, in web thicknesses
LONGER_THROUGH = 0.92  # and where the crossmember passes the web, which then clamps it
SPREAD = 1.09  # strip's width beyond the crossmember's, in its lengths
INSIDE, WALL = 2.2, 3.7  # springs at the edge: web inside the crossmember, crossmember's wall
HELD: Final = {"box": 1.0, "channel": 0.122}  # hold of the flange over 4 D/B: a channel's is free to turn
BESIDE: Final = {"box": 7.1, "channel": 1.18}  # and of what lies beside, over D of the web and the rail's depth
PULLED: Final = {"box": (0.87, 0.56), "channel": (1.3, 1.59)}  # stiffness along y: factor, and strip's length instead
OPEN: Final = {"channel rearward": 0.87, "channel forward": 0.87, "channel downward": 0.88, "channel upward": 0.88}


def local_stiffness(joint: JointGeometry, rack: Racking | None = None) -> Array:
    """Stiffness (2, 2) on (psi, gamma) that the joint adds to a rail which racks, in N mm/rad.

    psi is the crossmember's turn about x less that of the web's chord (rx - gamma/2), gamma the racking angle; the web
    is free to move in and out.  `rack` saves working it out again.  Raises ModelError for channel rails.
    """
    return _let_go(web_stiffness(joint, (rack or racking(joint)).web))


@lru_cache(maxsize=1024)
def web_stiffness(joint: JointGeometry, slopes: Slopes) -> Array:
    """Stiffness (3, 3) of the met web on (u, psi, gamma): crossmember pulled out of the web in mm, turned about x
    against the web's chord, racking; `slopes` are those of the web's (bottom, top) ends against its chord for gamma = 1
    (LEVEL where the rail does not rack).  Read-only.
    """
    middle = joint.height - (joint.bottom - joint.top) / 2  # above the middle of the clear web
    longer = (LONGER_THROUGH if joint.through else LONGER[joint.rail]) * joint.web
    K = np.zeros((3, 3))
    for sign, gap, flange in zip((1, -1), joint.gaps(), (joint.top, joint.bottom), strict=True):
        edge = sign * min(sign * middle + joint.depth / 2, joint.rail_depth / 2)
        g = gap + longer
        corner = HELD[joint.rail] * 4 * joint.plate(flange) / joint.rail_width
        corner += BESIDE[joint.rail] * joint.plate(joint.web) / joint.rail_depth
        value, slope = _racked(edge, joint.clear_depth, slopes)
        T = np.array([[1, edge - middle, -value], [0, sign, -sign * slope]])
        K += (joint.width + SPREAD * g) * T.T @ _strip(joint.plate(joint.web), g, corner, _yielding(joint)) @ T
    factor, instead = PULLED[joint.rail]
    gap = max(joint.gaps())
    pull = (factor * ((gap + longer) / (gap + min(instead * joint.web, longer))) ** 3) ** 0.5
    K = (K + K.T) * (OPEN.get(joint.crossmember, 1.0) / 2 * np.outer([pull, 1, 1], [pull, 1, 1]))
    K.setflags(write=False)
    return K


def _let_go(K: Array) -> Array:
    """The stiffness with its first motion free."""
    free: Array = K[1:, 1:] - K[1:, :1] * K[:1, 1:] / K[0, 0]
    return free


def _racked(z: float, depth: float, slopes: Slopes) -> tuple[float, float]:
    """Sideways place and slope at the height z from the middle of a web bent by its end slopes, a cubic."""
    x = min(max(z / depth + 0.5, 0.0), 1.0)
    bottom, top = slopes
    value = depth * (bottom * (x**3 - 2 * x * x + x) + top * (x**3 - x * x))
    return value, bottom * (3 * x * x - 4 * x + 1) + top * (3 * x * x - 2 * x)


def _yielding(joint: JointGeometry) -> float:
    """Turn of a strip's edge against the crossmember's end per moment and length, rad/N."""
    if joint.through:
        return 0.0
    return 1 / (INSIDE * 6 * joint.plate(joint.web) / joint.depth + WALL * 4 * joint.plate(joint.wall) / joint.width)


def _strip(D: float, g: float, corner: float, yielding: float) -> Array:
    """Stiffness (2, 2) per mm of a strip of height g on its edge's value and slope, the slope given through a spring
    of compliance `yielding`; the far edge does not move and turns against `corner` (N mm/rad per mm)."""
    pushed, far = 6 * D / g**2, 4 * D / g + corner
    value, both = 2 * pushed / g - pushed**2 / far, pushed * (1 - 2 * D / g / far)
    slope = 4 * D / g - (2 * D / g) ** 2 / far
    less = 1 + yielding * slope
    return np.array([[value - yielding * both**2 / less, both / less], [both / less, slope / less]])
