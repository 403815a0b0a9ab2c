"""Kinds of joint by their traits, the spread of the solid-element studies about the estimate, and words of warning."""

from __future__ import annotations

from typing import Final

import numpy as np

from ladderfe.joints.racking import racking
from ladderfe.joints.types import Array, JointGeometry

__all__ = ["BANDS", "LIMITS", "TOGETHER", "TUBE_BAND", "band", "measures", "traits", "warnings"]

NEAR_END = 2.0  # in decay lengths of a box rail, in depths of a channel rail
UNEVEN = 0.1  # walls count as alike within that share
OFF_MIDDLE = 0.05  # and a crossmember as central within that share of the rail's depth
NOTE_BAND = (0.5, 2.0)  # each note widens the band by these factors: judgement, no source
APART_BAND = (0.8, 1.25)  # so do sizes outside the data, and traits that the data do not hold together: judgement
TUBE_BAND = (0.85, 1.15)  # and a tube by these: its square's side is good to 5 %, stiffness goes as its cube

Band = tuple[float, float]
# Solids over estimate, low and high, about x, y, z and along y, and (box rails) of the webs alone about x, without the
# rail; None where the data resolve nothing.  "wrapped" is judgement, no source.  Of the others 90 % of the rows of that
# kind lie inside (up to 20 values: all), of n < 5 values the extremes moved outward by 30 %/n; 0.9 to 1.1 at least.
# scripts/joint-accuracy prints them anew.
BANDS: Final[dict[tuple[str, str], tuple[Band | None, ...]]] = {
    ("box", "butted"): ((0.9, 1.1), (0.88, 1.1), (0.9, 1.1), (0.84, 1.3), (0.79, 1.1)),
    ("box", "through both webs"): ((0.9, 1.1), (0.83, 1.37), (0.9, 1.1), (0.9, 1.17), (0.9, 1.1)),
    ("box", "full depth"): ((0.9, 1.1), (0.69, 1.1), (0.9, 1.26), None, (0.74, 1.89)),
    ("box", "flush with one flange"): ((0.9, 1.1), (0.84, 1.1), (0.88, 1.1), (0.9, 1.54), (0.9, 1.1)),
    ("box", "doubled web"): ((0.9, 1.1), (0.8, 1.1), (0.84, 1.1), (0.9, 1.14), (0.9, 1.24)),
    ("box", "thinned web"): ((0.9, 1.1), (0.87, 1.1), (0.9, 1.1), (0.9, 1.12), (0.7, 1.1)),
    ("box", "thinned flanges"): ((0.85, 1.18), (0.86, 1.28), (0.85, 1.18), (0.69, 1.1), (0.89, 1.19)),
    ("box", "near a free end"): ((0.9, 1.1), (0.69, 1.1), (0.9, 1.1), (0.89, 1.14), (0.83, 1.1)),
    ("box", "open crossmember"): ((0.9, 1.1), None, (0.9, 1.17), (0.74, 1.1), (0.74, 1.1)),
    ("box", "wrapped"): ((0.1, 10.0), None, None, None, (0.1, 10.0)),
    ("channel", "butted"): ((0.86, 1.14), (0.75, 1.25), (0.85, 1.12), (0.9, 1.32), None),
    ("channel", "flanges meeting"): (None, None, (0.77, 1.31), None, None),
    ("channel", "flush with one flange"): ((0.89, 1.16), (0.83, 1.22), (0.84, 1.17), (0.89, 1.11), None),
    ("channel", "doubled web"): ((0.67, 1.14), None, (0.58, 1.1), (0.9, 2.07), None),
    ("channel", "thinned web"): ((0.76, 1.3), None, (0.84, 1.44), (0.61, 1.1), None),
    ("channel", "near a free end"): ((0.9, 1.65), (0.23, 1.1), (0.84, 1.11), (0.74, 1.24), None),
    ("channel", "open crossmember"): ((0.9, 1.27), None, (0.9, 1.11), (0.79, 1.13), None),
}
# Lowest and highest of the data.
LIMITS: Final[dict[str, dict[str, Band]]] = {
    "box": {
        "rail depth over web": (20.0, 107.0), "web over flange": (0.5, 2.0), "rail width over depth": (0.38, 0.75),
        "crossmember depth over rail depth": (0.35, 1.0), "crossmember width over rail depth": (0.33, 0.84),
        "crossmember wall over web": (0.6, 2.0),
    },
    "channel": {
        "rail depth over web": (36.0, 107.0), "web over flange": (0.5, 1.0), "rail width over depth": (0.38, 0.5),
        "crossmember depth over rail depth": (0.4, 0.95), "crossmember width over rail depth": (0.33, 0.67),
        "crossmember wall over web": (0.6, 2.0),
    },
}
# Traits that the data hold together.
TOGETHER: Final = {
    ("box", "full depth", "near a free end"), ("box", "full depth", "open crossmember"),
    ("channel", "near a free end", "open crossmember"), ("channel", "flush with one flange", "open crossmember"),
    ("channel", "thinned web", "open crossmember"),
}


def traits(joint: JointGeometry) -> tuple[str, ...]:
    """What sets this joint apart, in words; ("butted",) for a closed crossmember on a bare web and nothing special."""
    if joint.wrapped and joint.rail == "box":
        return ("wrapped",)
    above, below = joint.gaps()
    flange = (joint.top + joint.bottom) / 2
    found = {
        "through both webs": joint.through,
        "flanges meeting": joint.flanges_meet,
        "full depth": joint.rail == "box" and max(above, below) == 0,
        "flush with one flange": min(above, below) == 0 < max(above, below),
        "doubled web": joint.doubler > 0,
        "thinned web": joint.web < (1 - UNEVEN) * flange,
        "thinned flanges": joint.web > (1 + UNEVEN) * flange,
        "near a free end": joint.to_end < _reach(joint),
        "open crossmember": not joint.closed,
    }
    return tuple(name for name, holds in found.items() if holds) or ("butted",)


def band(joint: JointGeometry, *, webs: bool = False) -> tuple[Array, Array]:
    """Low and high factors (6,) on the stiffness: the widest of the bands of the joint's traits, wider off the data.
    webs: about x on that of the webs alone, without the box rail's racking."""
    known = [BANDS[joint.rail, t] for t in traits(joint) if (joint.rail, t) in BANDS]
    low, high = np.ones(6), np.ones(6)
    about_x = 4 if webs and joint.rail == "box" else 0
    for component, place in ((3, about_x), (4, 1), (5, 2), (1, 3)):
        bands = [b[place] for b in known if b[place]] or [BANDS[joint.rail, "butted"][place]]
        low[component] = min(b[0] for b in bands if b)
        high[component] = max(b[1] for b in bands if b)
    apart = bool(_outside(joint)) + bool(_not_together(joint))
    for less, more in [NOTE_BAND] * len(joint.notes) + [APART_BAND] * apart:
        low, high = low * less, high * more
    return low, high


def measures(joint: JointGeometry) -> dict[str, float]:
    """The ratios by which a joint lies inside or outside the data; nothing else matters, the data being linear."""
    return {
        "rail depth over web": joint.rail_depth / joint.web,
        "web over flange": 2 * joint.web / (joint.top + joint.bottom),
        "rail width over depth": joint.rail_width / joint.rail_depth,
        "crossmember depth over rail depth": joint.depth / joint.rail_depth,
        "crossmember width over rail depth": joint.width / joint.rail_depth,
        "crossmember wall over web": joint.wall / joint.web,
    }


def warnings(joint: JointGeometry) -> tuple[str, ...]:
    """What the data do not cover of this joint, in words."""
    return (*joint.notes, *_unlike(joint), *_not_together(joint), *_outside(joint))


def _not_together(joint: JointGeometry) -> list[str]:
    names = traits(joint)
    found = [f"no data: {t}, {joint.rail} rail" for t in names if (joint.rail, t) not in BANDS]
    if len(names) > 1 and (joint.rail, *names) not in TOGETHER:
        found.append("not together in the data: " + ", ".join(names))
    return found


def _outside(joint: JointGeometry) -> list[str]:
    found = []
    for name, value in measures(joint).items():
        low, high = LIMITS[joint.rail][name]
        if not low <= value <= high:
            found.append(f"outside the data: {name} is {value:.2f}, data {low:g} to {high:g}")
    return found


def _unlike(joint: JointGeometry) -> list[str]:
    """What no measure tells: in words, where it applies."""
    above, below = joint.gaps()
    gap = max(above, below)
    outside = abs(joint.height) + joint.depth / 2 > joint.rail_depth / 2 + 1e-9
    between = abs(above - below) > OFF_MIDDLE * joint.rail_depth and min(above, below) > 0
    plate = joint.doubler and not (0.9 <= joint.doubler / joint.web <= 1.1 and 0.65 * gap <= joint.margin)
    found = {
        f"no data on {joint.kind!r} joints: taken as welded to the web all round": joint.kind not in (
            "butted", "through", "wrapped"),
        "no data on ends that embrace the rail: its shape taken as held there, range wide": joint.wrapped,
        "no data on flat crossmembers: taken as a box of the plate's outline": joint.crossmember == "flat",
        "the crossmember reaches past the rail's edge: what lies on the web counts": outside,
        "no data on crossmembers off the middle that reach no flange": between,
        "no data on unlike flanges": abs(joint.top - joint.bottom) > UNEVEN * max(joint.top, joint.bottom),
        "no data on free ends nearer than one rail depth": joint.to_end < joint.rail_depth * (1 - 1e-9),
        "channel rail near its end: its own torsion rules, springs not settled":
            joint.rail == "channel" and joint.to_end < _reach(joint),
        "outside the data: a doubler much unlike the web, or over little of it": bool(plate),
        "a doubler welded at its rim only is softer than one joined all over": joint.doubler > 0,
    }
    return [words for words, holds in found.items() if holds]


def _reach(joint: JointGeometry) -> float:
    """Distance within which a free end counts."""
    return NEAR_END / racking(joint).beta if joint.rail == "box" else NEAR_END * joint.rail_depth
