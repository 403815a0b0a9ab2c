"""How a rail whose section racks or warps holds a crossmember's end: an energy on the end's movement against the part
of the rail that carries it, and on the rail's racking.

A crossmember on one web moves with that web: its points move sideways with uy - z (rx - g/2) and turn about x by
rx - g/2 (the web's line), move up and down with uz + y (rx + g/2), along with ux - y rz + z (ry + f y) and turn about y
by ry + f y, about z by rz; y and z from the rail's pole, g its racking angle, f its warping.  What is left between that
and the crossmember's end bends the web out of its plane: `web_stiffness` on (u, psi, g).  Where the crossmember comes
from the rail's other side, u and the web's bending change sign together, as uy, rx and g do in the mirror; so in
vehicle axes u stands for -uy at either side and one matrix serves both.

A crossmember through both webs carries both up and down and so turns by rx + g/2; racking then bends both webs against
it.  One that embraces the rail holds its shape.  A rail that does not rack (an open one) moves as a rigid section, its
warping apart.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf, isinf
from typing import Literal

import numpy as np

from ladderfe.joints.estimate import EQUAL_AREA, EQUAL_GIRTH, GUSSETS, TUBE, as_square, link, warping_link
from ladderfe.joints.kinds import TUBE_BAND, band, traits, warnings
from ladderfe.joints.local import in_plan, on_both_webs, on_one_web, twisting, twisting_through, without_rail, wrapped
from ladderfe.joints.types import GUSSETED, SOURCE, Array, JointGeometry

__all__ = ["Meeting", "Webs", "meeting"]

Webs = Literal["met", "both", "flanges", "section"]
ALONG_Y, ABOUT_X, ABOUT_Y, ABOUT_Z = 1, 3, 4, 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meeting:
    """How a crossmember's end is held by a rail; vehicle axes, N, mm, rad.

    webs: what carries the end.  "met": the web it meets (see the module).  "both": both webs; as "met", but it turns
    about x by rx + g/2 (both webs follow up and down), about y by ry, and moves along with ux - y rz + z ry.
    "flanges": of a channel rail both flanges, which the crossmember's lie on.  "section": the rail's section, which
    warps but does not rack.
    directions: the k relative movements of the end that are left, of 0 to 5: along x, y, z, about x, y, z; all others
    are rigid.
    stiffness (k + 1, k + 1): energy 1/2 d.S d, d the relative movements (end less rail) in that order, then g;
    positive semidefinite; the last row and column 0 for rails that do not rack.
    plan, held: besides, energy plan r f + 1/2 held f^2 on the end's turn about z (r) and the warping f of a rail that
    racks; N mm2, N mm4; with them too it is positive semidefinite.
    warping: of an open crossmember's end, bimoment B = warping (w - link w_rail), w the twist rates, N mm3; 0 free, inf
    tied.  link: 0 on rails that rack, +1 or -1 on open rails.
    """

    webs: Webs
    directions: tuple[int, ...]
    stiffness: Array
    plan: float
    held: float
    warping: float
    link: int
    warnings: tuple[str, ...]
    kind: str
    source: str

    def __post_init__(self) -> None:
        self.stiffness.setflags(write=False)

    def times(self, factor: float) -> Meeting:
        """The same with everything `factor` times as stiff."""
        return replace(
            self, stiffness=self.stiffness * factor, plan=self.plan * factor, held=self.held * factor,
            warping=self.warping * factor,
        )  # fmt: skip


@lru_cache(maxsize=1024)
def meeting(joint: JointGeometry, level: float = 0.0) -> Meeting:
    """How the joint holds its crossmember's end, on rails at the left and at the right alike.

    level: where in the estimate's range, -1 low, 0 middle, 1 high (along the logarithm), inf rigid: as on a section
    that neither racks nor gives way.
    """
    if isinf(level):
        return Meeting(
            webs="flanges" if joint.flanges_meet else "section", directions=(), stiffness=np.zeros((1, 1)), plan=0.0,
            held=0.0, warping=_warping(joint, level)[0], link=link(joint), warnings=(), kind="rigid", source="",
        )
    if joint.kind in GUSSETED:
        found = meeting(joint.spread((1 + min(max(level, -1.0), 1.0)) / 2), level)
        return replace(found, warnings=(GUSSETS, *found.warnings), kind=f"{found.kind}, {joint.kind}")
    square, factor = as_square(joint, EQUAL_AREA), _factors(joint, level)
    directions, stiffness, held = _energy(square, factor)
    about_z, plan, on_warping = (v * factor[ABOUT_Z] for v in in_plan(as_square(joint, EQUAL_GIRTH)))
    if not isinf(about_z):
        directions, stiffness = (*directions, ABOUT_Z), _beside(stiffness, about_z)
    warping, sign = _warping(joint, level)
    words = warnings(square)
    return Meeting(
        webs=_webs(joint),
        directions=directions, stiffness=stiffness, plan=plan, held=held + on_warping, warping=warping, link=sign,
        warnings=(TUBE, *words) if joint.crossmember == "tube" else words,
        kind=", ".join((f"{joint.rail} rail", *traits(square))), source=SOURCE,
    )


def _webs(joint: JointGeometry) -> Webs:
    if joint.rail == "channel":
        return "flanges" if joint.flanges_meet else "section"
    return "both" if joint.through or joint.wrapped else "met"


def _factors(joint: JointGeometry, level: float) -> Array:
    """(6,) on the stiffness at a level of the range; that about x is the webs' own, without the rail."""
    low, high = band(as_square(joint, EQUAL_AREA), webs=True)
    if joint.crossmember == "tube":
        low, high = low * TUBE_BAND[0], high * TUBE_BAND[1]
    out: Array = (high if level > 0 else low) ** abs(level)
    return out


def _energy(joint: JointGeometry, factor: Array) -> tuple[tuple[int, ...], Array, float]:
    """Directions left but about z, stiffness on them and racking, and on warping."""
    if joint.flanges_meet:
        return (), np.zeros((1, 1)), 0.0
    if joint.wrapped:
        shape, held = wrapped(joint)
        return (), np.array([[shape * factor[ABOUT_X]]]), held * factor[ABOUT_X]
    K = (on_both_webs if joint.through else on_one_web)(joint)
    if joint.rail == "channel":
        K = without_rail(joint, K)
    K = K * factor[ABOUT_X]
    turned = np.array([-1.0, 1.0, 1.0])  # u stands for -uy
    stiffness = K * np.outer(turned, turned)
    about_y, held = twisting_through(joint) if joint.through else (twisting(joint, warps=True), 0.0)
    if isinf(about_y):
        return (ALONG_Y, ABOUT_X), stiffness, 0.0
    stiffness = _beside(stiffness, about_y * factor[ABOUT_Y])
    return (ALONG_Y, ABOUT_X, ABOUT_Y), stiffness, held * factor[ABOUT_Y]


def _beside(stiffness: Array, spring: float) -> Array:
    """The stiffness with one more movement before the last, held by a spring of its own."""
    n = len(stiffness)
    out = np.zeros((n + 1, n + 1))
    old = [*range(n - 1), n]
    out[np.ix_(old, old)] = stiffness
    out[n - 1, n - 1] = spring
    return out


def _warping(joint: JointGeometry, level: float) -> tuple[float, int]:
    """Warping spring and link of an open crossmember, at a level of the range; tied where flanges meet."""
    if joint.closed or joint.crossmember == "flat":
        return 0.0, 0
    if joint.flanges_meet or isinf(level):
        return inf, link(joint)
    found = warping_link(joint)
    end = found.high if level > 0 else found.low
    return float(found.stiffness * (end / found.stiffness) ** abs(level)), found.link
