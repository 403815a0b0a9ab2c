"""A web in bending round the crossmember's end: strips of plate above and below it, and its stiffness in three motions.

The crossmember's end is taken as rigid.  A strip of height g between its edge and the flange is a clamped plate strip
whose edge value and slope follow the mismatch between that rigid end and the racked web; at the flange it is held by
the flange's own bending, and at the crossmember through a spring that stands for the web inside the crossmember and
the crossmember's wall.  The six constants were found on rows marked "fit" of tests/data/joints.csv (and on their
values for rails held 400 mm away), the channel rail's two on its rows; rows marked "check" were in view.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from ladderfe.joints.racking import Racking, Slopes, racking
from ladderfe.joints.types import Array, JointGeometry

__all__ = ["LEVEL", "local_stiffness", "web_stiffness"]

LEVEL: Final[Slopes] = (0.0, 0.0)  # a web that does not bend with racking
KAPPA: Final = {"box": 0.65, "channel": 0.905}  # share of the strips' stiffness that acts
HELD: Final = {"box": 4.3, "channel": 0.03}  # hold of the flange: a channel's is free to turn
SPREAD = 2.05  # strip width beyond the crossmember's, in gaps
INSIDE, WALL = 1.15, 1.8  # springs at the edge: web inside the crossmember, crossmember's wall
RACKED = 1.9  # stiffness against pure racking, over that of the strips
OPEN: Final = {"channel rearward": 0.83, "channel forward": 0.83, "channel downward": 0.92, "channel upward": 0.92}


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
    hold = INSIDE * 6 * joint.plate(joint.web) / joint.depth + WALL * 4 * joint.plate(joint.wall) / joint.width
    K = np.zeros((3, 3))
    for sign, gap, flange in zip((1, -1), joint.gaps(), (joint.top, joint.bottom), strict=True):
        edge = sign * min(sign * middle + joint.depth / 2, joint.rail_depth / 2)
        g = gap + joint.web / 2
        corner = HELD[joint.rail] * 4 * joint.plate(flange) / joint.rail_width
        value, slope = _racked(edge, joint.clear_depth, slopes)
        T = np.array([[1, edge - middle, -value], [0, sign, -sign * slope]])
        K += (joint.width + SPREAD * g) * T.T @ _strip(joint.plate(joint.web), g, corner, hold) @ T
    K *= KAPPA[joint.rail] * OPEN.get(joint.crossmember, 1.0)
    free = _let_go(K)
    K[2, 2] += (RACKED - 1) * (free[1, 1] - free[0, 1] ** 2 / free[0, 0])
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


def _strip(D: float, g: float, corner: float, hold: float) -> Array:
    """Stiffness (2, 2) per mm of a strip of height g on its edge's value and slope, the slope given through `hold`;
    the far edge does not move and turns against `corner` (both N mm/rad per mm)."""
    near, across, far = 4 * D / g + hold, 2 * D / g, 4 * D / g + corner  # web's slope at the edge, turn at the flange
    pushed = 6 * D / g**2
    inner = near * far - across**2
    value = 2 * pushed / g - pushed**2 * (near + far - 2 * across) / inner
    both = pushed * hold * (far - across) / inner
    return np.array([[value, both], [both, hold - hold**2 * far / inner]])
