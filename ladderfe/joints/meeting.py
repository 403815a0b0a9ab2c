"""How a rail whose section racks or warps holds a crossmember's end: an energy on the end's movement against the part
of the rail that carries it, and on the rail's racking.

A crossmember on one web moves with that web: its points move sideways with uy - z (rx - g/2) and turn about x by
rx - g/2 (the web's line), move up and down with uz + y (rx + g/2), along with ux - y rz + z (ry + f y) and turn about y
by ry + f y, about z by rz; y and z from the rail's pole, g its racking angle, f its warping.  What is left between that
and the crossmember's end bends the web out of its plane: `web_stiffness` on (u, psi, g).  Where the crossmember comes
from the rail's other side, u and the web's bending change sign together, as uy, rx and g do in the mirror; so in
vehicle axes u stands for -uy at either side and one matrix serves both.

A crossmember through both webs carries both up and down and so turns by rx + g/2; racking then bends both webs against
it.  A rail that does not rack (an open one) moves as a rigid section, its warping apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import inf, isinf
from typing import Literal

import numpy as np

from ladderfe.joints.estimate import EQUAL_AREA, EQUAL_GIRTH, TUBE, as_square, link, warping_link
from ladderfe.joints.kinds import TUBE_BAND, band, traits, warnings
from ladderfe.joints.local import on_both_webs, on_one_web, twisting
from ladderfe.joints.racking import racking
from ladderfe.joints.springs import about_z
from ladderfe.joints.types import SOURCE, Array, JointGeometry

__all__ = ["Meeting", "Webs", "meeting"]

Webs = Literal["met", "both", "section"]
ALONG_Y, ABOUT_X, ABOUT_Y, ABOUT_Z = 1, 3, 4, 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meeting:
    """How a crossmember's end is held by a rail; vehicle axes, N, mm, rad.

    webs: what carries the end.  "met": the web it meets (see the module).  "both": both webs; as "met", but it turns
    about x by rx + g/2 (both webs follow up and down), about y by ry, and moves along with ux - y rz + z ry.
    "section": the rigid section, g and f apart.
    directions: the k relative movements of the end that are left, of 0 to 5: along x, y, z, about x, y, z; all others
    are rigid.
    stiffness (k + 1, k + 1): energy 1/2 d.S d, d the relative movements (end less rail) in that order, then g;
    positive semidefinite; the last row and column 0 for rails that do not rack.
    held: energy 1/2 held f^2 on the warping f of a rail that racks, N mm4.
    warping: of an open crossmember's end, bimoment B = warping (w - link w_rail), w the twist rates, N mm3; 0 free, inf
    tied.  link: 0 on rails that rack, +1 or -1 on open rails.
    """

    webs: Webs
    directions: tuple[int, ...]
    stiffness: Array
    held: float
    warping: float
    link: int
    warnings: tuple[str, ...]
    kind: str
    source: str

    def __post_init__(self) -> None:
        self.stiffness.setflags(write=False)


@lru_cache(maxsize=1024)
def meeting(joint: JointGeometry, level: float = 0.0) -> Meeting:
    """How the joint holds its crossmember's end, on rails at the left and at the right alike.

    level: where in the estimate's range, -1 low, 0 middle, 1 high (along the logarithm), inf rigid: as on a section
    that neither racks nor gives way.
    """
    warping, sign = _warping(joint, level)
    if isinf(level):
        return Meeting(webs="section", directions=(), stiffness=np.zeros((1, 1)), held=0.0, warping=warping, link=sign,
                       warnings=(), kind="rigid", source="")
    square = as_square(joint, EQUAL_AREA)
    directions, stiffness = _energy(square, about_z(as_square(joint, EQUAL_GIRTH)), _factors(joint, square, level))
    webs: Webs = "section" if joint.rail == "channel" else "both" if joint.through else "met"
    held = 2 * twisting(square) * (racking(square).width / 2) ** 2 if joint.through and joint.closed else 0.0
    words = warnings(square)
    return Meeting(
        webs=webs, directions=directions, stiffness=stiffness, held=held, warping=warping, link=sign,
        warnings=(TUBE, *words) if joint.crossmember == "tube" else words,
        kind=", ".join((f"{joint.rail} rail", *traits(square))), source=SOURCE,
    )


def _factors(joint: JointGeometry, square: JointGeometry, level: float) -> Array:
    """(6,) on the stiffness at a level of the range."""
    low, high = band(square)
    if joint.crossmember == "tube":
        low, high = low * TUBE_BAND[0], high * TUBE_BAND[1]
    out: Array = (high if level > 0 else low) ** abs(level)
    return out


def _energy(joint: JointGeometry, about_z: float, factor: Array) -> tuple[tuple[int, ...], Array]:
    """Directions left and stiffness on them and racking."""
    if joint.flanges_meet:
        places, K = [], np.zeros((1, 1))
    elif joint.through:
        places, K = [ALONG_Y], on_both_webs(joint)
    else:
        places, K = [ALONG_Y, ABOUT_X], on_one_web(joint)
    springs = {ABOUT_Y: twisting(joint) * (2 if joint.through else 1), ABOUT_Z: about_z}
    left = [place for place, k in springs.items() if not isinf(k)]
    n = len(places)
    S = np.zeros((n + len(left) + 1,) * 2)
    S[np.ix_([*range(n), -1], [*range(n), -1])] = K * factor[ABOUT_X]
    if n:  # u stands for -uy
        S[0] *= -1
        S[:, 0] *= -1
    for i, place in enumerate(left, start=n):
        S[i, i] = springs[place] * factor[place]
    return (*places, *left), S


def _warping(joint: JointGeometry, level: float) -> tuple[float, int]:
    """Warping spring and link of an open crossmember, at a level of the range; tied where flanges meet."""
    if joint.closed or joint.crossmember == "flat":
        return 0.0, 0
    if joint.flanges_meet or isinf(level):
        return inf, link(joint)
    found = warping_link(joint)
    end = found.high if level > 0 else found.low
    return float(found.stiffness * (end / found.stiffness) ** abs(level)), found.link
