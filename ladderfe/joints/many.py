"""`meeting` for many states of rails' walls and joints of one kind at once; the same formulas, array by array.

Usual: in the middle of the estimate's range, a crossmember on one web (or between a channel's flanges), without doubler
and gussets.  Others are left to `meeting`.  Rows r are joints times states, all states of the first joint first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.joints import local, plan, web
from ladderfe.joints.estimate import EQUAL_AREA, EQUAL_GIRTH, LYING, WARP, WARP_LYING, WARP_WALL, link
from ladderfe.joints.meeting import ABOUT_X, ABOUT_Y, ABOUT_Z, ALONG_Y, Webs
from ladderfe.joints.types import CLOSED, GUSSETED, JointGeometry
from ladderfe.sections import Channel
from ladderfe.sections.alike import Alike

__all__ = ["Joints", "Meetings", "Rails", "kind_of", "meetings", "usual"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Joints:
    """Joints that have their words in common: which (r,) of them each row is of, and their sizes (r,), as in
    `JointGeometry`."""

    all: tuple[JointGeometry, ...]
    which: IntArray
    crossmember: str
    rail_depth: Array
    rail_width: Array
    depth: Array
    width: Array
    wall: Array
    height: Array
    youngs_modulus: Array
    poissons_ratio: Array

    @staticmethod
    def of(joints: Sequence[JointGeometry], states: int) -> Joints:
        """Joints of one kind, each in so many states."""
        which = np.repeat(np.arange(len(joints)), states)
        names = list(Joints.__dataclass_fields__)[3:]
        sizes = (np.array([getattr(j, n) for j in joints], dtype=float)[which] for n in names)
        return Joints(tuple(joints), which, joints[0].crossmember, *sizes)

    @property
    def rail(self) -> str:
        return self.all[0].rail

    @property
    def closed(self) -> bool:
        return self.crossmember in CLOSED

    @property
    def shear_modulus(self) -> Array:
        out: Array = self.youngs_modulus / (2 * (1 + self.poissons_ratio))
        return out

    def as_square(self, side: float) -> Joints:
        """As `estimate.as_square`."""
        if self.crossmember != "tube":
            return self
        return replace(self, crossmember="box", depth=side * self.depth, width=side * self.width)


def kind_of(joint: JointGeometry) -> tuple[str, str, bool, bool]:
    """What joints must have in common to be worked out together: words, and which gaps they leave to the flanges."""
    gaps = joint.gaps()
    return joint.rail, joint.crossmember, max(gaps) == 0, min(gaps) == 0


@dataclass(frozen=True, eq=False)
class Rails:
    """The walls of the joints' rails: top, bottom, web (met), far, all (r,) mm; `joint` has all else."""

    joint: Joints
    top: Array
    bottom: Array
    web: Array
    far: Array

    def plate(self, thickness: Array | float) -> Array:
        """(r,) bending stiffness of a plate."""
        j = self.joint
        return np.asarray(j.youngs_modulus * thickness**3 / 12 / (1 - j.poissons_ratio**2))

    def gaps(self, joint: Joints) -> tuple[Array, Array]:
        """(r,) as `JointGeometry.gaps`."""
        half, depth = joint.rail_depth / 2, joint.depth / 2
        above, below = half - self.top - joint.height - depth, half - self.bottom + joint.height - depth
        return np.maximum(above, 0.0), np.maximum(below, 0.0)

    @property
    def clear_depth(self) -> Array:
        out: Array = self.joint.rail_depth - self.top - self.bottom
        return out

    def possible(self) -> NDArray[np.bool_]:
        """(r,) rows in which there is such a joint."""
        j = self.joint
        across = self.web + (self.far if j.rail == "box" else 0.0)
        lowest, highest = -j.rail_depth / 2 + self.bottom, j.rail_depth / 2 - self.top
        meets = (j.height + j.depth / 2 > lowest) & (j.height - j.depth / 2 < highest)
        out: NDArray[np.bool_] = meets & (across < j.rail_width) & (self.clear_depth > 0)
        return out


@dataclass(frozen=True, eq=False)
class Meetings:
    """`Meeting` of r rows: stiffness (r, k + 1, k + 1), plan and held (r,), warping (r,) or inf."""

    webs: Webs
    directions: tuple[int, ...]
    stiffness: Array
    plan: Array
    held: Array
    warping: Array
    link: int

    def take(self, rows: slice) -> Meetings:
        """Some rows."""
        return replace(
            self, stiffness=self.stiffness[rows], plan=self.plan[rows], held=self.held[rows], warping=self.warping[rows]
        )


def usual(joint: JointGeometry, level: float) -> bool:
    """True for joints that `meetings` knows."""
    odd = joint.through or joint.wrapped or joint.kind in GUSSETED or joint.doubler > 0
    return level == 0 and not odd


class _Racking(NamedTuple):
    """As `Racking`, (v,), the met web's slopes."""

    k_D: Array
    beta: Array
    width: Array
    depth: Array
    slopes: tuple[Array, Array]

    @property
    def warping(self) -> Array:
        out: Array = 4 * self.k_D / self.beta**3
        return out


def meetings(rails: Rails) -> Meetings | None:
    """How usual joints hold their ends; None where some rows are of one kind and some of another."""
    joint = rails.joint
    square, girth = (joint.as_square(side) for side in (EQUAL_AREA, EQUAL_GIRTH))
    gaps = rails.gaps(joint)
    alike = [np.maximum(*gaps) == 0, np.minimum(*gaps) == 0, np.minimum(*rails.gaps(square)) == 0]
    if any(a.any() != a.all() for a in alike):
        return None
    if joint.rail == "channel" and bool(alike[0].all()):
        return _flanges(rails)
    rack = _racking(rails) if joint.rail == "box" else None
    K = _on_web(rails, square, rack)
    if joint.rail == "channel":
        K = _without_rail(rails, K)
    turned = np.array([-1.0, 1.0, 1.0])
    directions: tuple[int, ...] = (ALONG_Y, ABOUT_X)
    stiffness = K * np.outer(turned, turned)
    if square.closed:
        directions, stiffness = (*directions, ABOUT_Y), _beside(stiffness, _twisting(rails, square, rack))
    about_z, coupled, held = _in_plan(rails, girth, rack)
    directions, stiffness = (*directions, ABOUT_Z), _beside(stiffness, about_z)
    webs: Webs = "section" if joint.rail == "channel" else "met"
    return Meetings(webs, directions, stiffness, coupled, held, *_warping(rails, gaps))


def _flanges(rails: Rails) -> Meetings:
    joint, v = rails.joint, len(rails.web)
    spring = local.FLANGES * joint.youngs_modulus * (rails.top + rails.bottom) / 2 * joint.rail_width**2
    none = np.zeros(v)
    free = joint.closed or joint.crossmember == "flat"
    warping, sign = (none, 0) if free else (np.full(v, inf), link(joint.all[0]))
    return Meetings("flanges", (ABOUT_Z,), _beside(np.zeros((v, 1, 1)), spring), none, none, warping, sign)


def _beside(stiffness: Array, spring: Array) -> Array:
    v, n, _ = stiffness.shape
    out = np.zeros((v, n + 1, n + 1))
    old = np.array([*range(n - 1), n])
    out[:, old[:, None], old] = stiffness
    out[:, n - 1, n - 1] = spring
    return out


def _racking(rails: Rails) -> _Racking:
    joint = rails.joint
    clear = joint.rail_width - rails.web - rails.far
    near, far = rails.plate(rails.web) / rails.clear_depth, rails.plate(rails.far) / rails.clear_depth
    top, bottom = rails.plate(rails.top) / clear, rails.plate(rails.bottom) / clear
    none = np.zeros_like(top)
    K = 2 * np.array([
        [2 * (near + bottom), near, none, bottom], [near, 2 * (near + top), top, none],
        [none, top, 2 * (top + far), far], [bottom, none, far, 2 * (far + bottom)],
    ]).transpose(2, 0, 1)  # fmt: skip
    held = 6 * np.stack([bottom, top, top, bottom], axis=1)
    turns = np.linalg.solve(K, held[:, :, None])[:, :, 0]
    k_D = 12 * (top + bottom) - (held * turns).sum(axis=1)
    b, h = joint.rail_width - (rails.web + rails.far) / 2, joint.rail_depth - (rails.top + rails.bottom) / 2
    inertia = b * b * h**3 * (rails.web + rails.far) / 48 + h * h * b**3 * (rails.top + rails.bottom) / 48
    return _Racking(k_D, (k_D / joint.youngs_modulus / inertia) ** 0.25, b, h, (turns[:, 0], turns[:, 1]))


def _on_web(rails: Rails, joint: Joints, rack: _Racking | None) -> Array:
    """(r, 3, 3) as `web.web_stiffness`."""
    v = len(rails.web)
    none = np.zeros(v)
    slopes = (none, none) if rack is None else rack.slopes
    middle = joint.height - (rails.bottom - rails.top) / 2
    longer = web.LONGER[joint.rail] * rails.web
    gaps, D = rails.gaps(joint), rails.plate(rails.web)
    yielding = 1 / (web.INSIDE * 6 * D / joint.depth + web.WALL * 4 * rails.plate(joint.wall) / joint.width)
    K = np.zeros((v, 3, 3))
    for sign, gap, flange in zip((1, -1), gaps, (rails.top, rails.bottom), strict=True):
        edge = sign * np.minimum(sign * middle + joint.depth / 2, joint.rail_depth / 2)
        g = gap + longer
        corner = web.HELD[joint.rail] * 4 * rails.plate(flange) / joint.rail_width
        corner = corner + web.BESIDE[joint.rail] * D / joint.rail_depth
        value, slope = _racked(edge, rails.clear_depth, slopes)
        T = np.zeros((v, 2, 3))
        T[:, 0, 0], T[:, 0, 1], T[:, 0, 2] = 1, edge - middle, -value
        T[:, 1, 1], T[:, 1, 2] = sign, -sign * slope
        K += (joint.width + web.SPREAD * g)[:, None, None] * T.transpose(0, 2, 1) @ _strip(D, g, corner, yielding) @ T
    factor, instead = web.PULLED[joint.rail]
    gap = np.maximum(*gaps)
    pull = (factor * ((gap + longer) / (gap + np.minimum(instead * rails.web, longer))) ** 3) ** 0.5
    way = np.stack([pull, none + 1, none + 1], axis=1)
    scale = web.OPEN.get(joint.crossmember, 1.0) / 2 * way[:, :, None] * way[:, None]
    out: Array = (K + K.transpose(0, 2, 1)) * scale
    return out


def _racked(z: Array, depth: Array, slopes: tuple[Array, Array]) -> tuple[Array, Array]:
    x = np.clip(z / depth + 0.5, 0.0, 1.0)
    bottom, top = slopes
    value = depth * (bottom * (x**3 - 2 * x * x + x) + top * (x**3 - x * x))
    return value, bottom * (3 * x * x - 4 * x + 1) + top * (3 * x * x - 2 * x)


def _strip(D: Array, g: Array, corner: Array, yielding: Array) -> Array:
    pushed, far = 6 * D / g**2, 4 * D / g + corner
    value, both = 2 * pushed / g - pushed**2 / far, pushed * (1 - 2 * D / g / far)
    slope = 4 * D / g - (2 * D / g) ** 2 / far
    less = 1 + yielding * slope
    return np.array([[value - yielding * both**2 / less, both / less], [both / less, slope / less]]).transpose(2, 0, 1)


def _without_rail(rails: Rails, K: Array) -> Array:
    """(r, 3, 3) as `local.without_rail`."""
    j = rails.joint
    alike = _alike(tuple(
        Channel(depth=g.rail_depth, width=g.rail_width, web=g.web, top=g.top, bottom=g.bottom, opens="-y")
        for g in j.all
    ))  # fmt: skip
    p, G = alike.at(np.stack([rails.top, rails.web, rails.bottom], axis=1), j.which), j.shear_modulus
    rho = 1 / (1 + p.J * p.warp_shear)
    k = np.sqrt(G * p.J / (j.youngs_modulus * p.Iw))
    F = np.linalg.inv(K[:, :2, :2])
    shared = F[:, 0, 1] ** 2 / (F[:, 0, 0] * F[:, 1, 1])
    least = (local.LEFT + (1 - local.LEFT) * shared) * F[:, 1, 1]
    F[:, 1, 1] = np.maximum(F[:, 1, 1] - (1 - np.sqrt(rho)) / (2 * G * p.J * k), least)
    out = np.zeros_like(K)
    out[:, :2, :2] = np.linalg.inv(F)
    return out


_ALIKE: dict[tuple[Channel, ...], Alike] = {}


def _alike(bases: tuple[Channel, ...]) -> Alike:
    if bases not in _ALIKE:
        _ALIKE[bases] = Alike.of(bases, [("minus", "plus")] * len(bases))
    return _ALIKE[bases]


def _twisting(rails: Rails, joint: Joints, rack: _Racking | None) -> Array:
    """(r,) as `local.twisting` where the rail warps by itself."""
    whole = joint.shear_modulus * rails.web * joint.width * joint.depth
    kind = "channel that warps" if rack is None else "box"
    soft: Array = np.full(len(whole), local.TWIST[kind][bool((np.minimum(*rails.gaps(joint)) == 0).all())])
    if rack is not None:
        soft = soft - local.WIDE * rack.beta * joint.width * (rack.width / 2) ** 2 / rack.warping * whole
    return np.asarray(whole / np.maximum(soft, local.LEAST))


def _in_plan(rails: Rails, joint: Joints, rack: _Racking | None) -> tuple[Array, Array, Array]:
    """(r,) each, as `local.in_plan`."""
    above, below = _halves(rails, joint)
    none, gaps = np.zeros_like(above), rails.gaps(joint)
    if not joint.closed and bool((np.minimum(*gaps) == 0).all()) and bool((np.maximum(*gaps) > 0).all()):
        return np.minimum(plan.LOW_OPEN * np.minimum(above, below), above + below), none, none
    if rack is None:
        return above + below, none, none
    z = rack.depth / 2
    return above + below, (above - below) * z, (above + below) * z * z


def _halves(rails: Rails, joint: Joints) -> tuple[Array, Array]:
    E, c = joint.youngs_modulus, joint.width
    found = []
    for gap, flange in zip(rails.gaps(joint), (rails.top, rails.bottom), strict=True):
        corner = plan.HELD[joint.rail] * 4 * rails.plate(flange) / joint.rail_width
        half = _half(rails, joint, gap + plan.CLAMP * rails.web, corner)
        own = plan.KAPPA * plan.OPEN.get(joint.crossmember, 1.0) * half
        flexible: Array | float = 0.0
        if joint.rail == "box":
            flexible = 1 / (plan.FLANGE * E * (rails.web * flange) ** 0.5 * c * c * joint.rail_width / joint.rail_depth)
        found.append(1 / (1 / own + flexible))
    return found[0], found[1]


def _half(rails: Rails, joint: Joints, g: Array, corner: Array) -> Array:
    D, c = rails.plate(rails.web), joint.width
    turn = -6 * D / g / (4 * D / g + corner)
    profile = np.stack([np.ones_like(turn), turn], axis=1)
    bending = (12 + 6 * turn) / g**3
    twisting = np.einsum("vi,ij,vj->v", profile, plan.SLOPES, profile) / g
    weight = joint.depth / 2 + np.einsum("vi,ij,vj->v", profile, plan.PLACES, profile) * g
    product = (bending / weight) ** 0.5
    total = (2 * twisting / weight + 2 * product) ** 0.5
    beside = weight * (product * total * c * c / 4 + product * c + total)
    out: Array = D * (bending * c**3 / 12 + 2 * beside)
    return out


def _warping(rails: Rails, gaps: tuple[Array, Array]) -> tuple[Array, int]:
    """(r,) as `warping_link`."""
    joint = rails.joint
    if joint.closed or joint.crossmember == "flat":
        return np.zeros(len(rails.web)), 0
    gap = (gaps[0] + gaps[1]) / 2 + (rails.top + rails.bottom) / 4 + rails.web / 2
    lying = WARP_LYING if joint.crossmember in LYING else 1.0
    kind = (joint.wall / rails.web) ** WARP_WALL * lying
    area = joint.width * joint.depth
    spring = WARP * kind * joint.youngs_modulus * rails.web**3 * area**1.4 / gap**0.8
    return spring, link(joint.all[0])
