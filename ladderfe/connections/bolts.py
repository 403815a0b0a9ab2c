"""One bolt or rivet: what it carries in shear and pull, and what the wall round its hole carries.

Sources: EN 1993-1-8:2005 Tables 3.1 and 3.4 (strengths, formulas), ISO 898-1 (tensile stress area), ISO 261 (coarse
pitch), all from memory, text not seen; tear-out along two planes after AISC 360 J3.10, from memory.  Prying is in none
of them.  Rust takes the shank too: give the diameter as found.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, pi
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.fillets import GAMMA_M2
from ladderfe.connections.inputs import MEMORY, Array, numbers, positive, unknown
from ladderfe.errors import ModelError

__all__ = [
    "BOLT_CLASSES", "COARSE_PITCH", "BoltClass", "Fastener", "HoleInWall", "bearing", "bolt", "pull_out", "pull_use",
    "rivet", "shear_and_pull_use", "stress_area", "tear_out",
]

WHERE: Final = "bolt"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltClass:
    """Strength class: fyb and fub, MPa, and alpha_v where the thread is in the shear plane."""

    name: str
    fyb: float
    fub: float
    alpha_v: float
    source: str = "EN 1993-1-8 Tables 3.1 and 3.4"
    status: str = MEMORY


BOLT_CLASSES: Final = {
    name: BoltClass(name=name, fyb=fyb, fub=fub, alpha_v=alpha)
    for name, fyb, fub, alpha in (
        ("4.6", 240.0, 400.0, 0.6), ("4.8", 320.0, 400.0, 0.5), ("5.6", 300.0, 500.0, 0.6), ("5.8", 400.0, 500.0, 0.5),
        ("6.8", 480.0, 600.0, 0.5), ("8.8", 640.0, 800.0, 0.6), ("10.9", 900.0, 1000.0, 0.5),
    )
}  # fmt: skip
#: Coarse thread pitch by nominal diameter, mm (ISO 261, from memory).
COARSE_PITCH: Final = {
    5.0: 0.8, 6.0: 1.0, 8.0: 1.25, 10.0: 1.5, 12.0: 1.75, 14.0: 2.0, 16.0: 2.0, 18.0: 2.5, 20.0: 2.5, 22.0: 2.5,
    24.0: 3.0,
}  # fmt: skip
#: As-driven strength of rivets of S235 steel, MPa (EN 1993-1-8 3.2.1 and 3.6.1, from memory).
RIVET_FU: Final = 400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener:
    """diameter d, mm; fu, MPa; characteristic shear (one plane) and pull in N, before gamma_M2."""

    name: str
    diameter: float
    fu: float
    shear: float
    pull: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleInWall:
    """A fastener's hole in a wall: sizes in mm, fu of the wall in MPa; `thickness` as measured, rust taken off.

    end : e1, from the hole's centre to the edge that the force drives it to.  edge : e2, square to it.  pitch : p1 to
    the next hole along the force.  gauge : p2 square to it.  inf where there is none.
    """

    hole: float
    thickness: float
    fu: float
    end: float = inf
    edge: float = inf
    pitch: float = inf
    gauge: float = inf

    def __post_init__(self) -> None:
        for what in ("hole", "thickness", "fu"):
            positive("hole in a wall", f"its {what}", getattr(self, what))
        for what in ("end", "edge"):
            if not getattr(self, what) > self.hole / 2:
                raise ModelError("hole in a wall", f"its {what} distance {getattr(self, what):g} mm leaves no metal "
                                 f"beside a hole of {self.hole:g} mm",
                                 "Give the distance from the hole's centre to the edge")
        for what in ("pitch", "gauge"):
            if not getattr(self, what) > self.hole:
                raise ModelError("hole in a wall", f"its {what} {getattr(self, what):g} mm runs into the next hole",
                                 "Give the distance between the holes' centres")


def stress_area(diameter: float, pitch: float | None = None) -> float:
    """Tensile stress area pi/4 (d - 0.9382 p)^2, mm2; pitch in mm, the coarse one if not given.

    >>> round(stress_area(12), 1)
    84.3
    """
    d = float(positive(WHERE, "the diameter", diameter))
    if pitch is None and d not in COARSE_PITCH:
        raise ModelError(WHERE, f"no coarse pitch is known for {d:g} mm", "Give the thread's pitch in mm")
    p = COARSE_PITCH[d] if pitch is None else float(positive(WHERE, "the pitch", pitch))
    if p > d / 3:
        raise ModelError(WHERE, f"a pitch of {p:g} mm on {d:g} mm is no thread",
                         "Give the pitch in mm, not threads per inch")
    return pi / 4 * (d - 0.9382 * p) ** 2


def bolt(
    diameter: float, strength: str, *, pitch: float | None = None, thread_in_shear: bool = True,
    countersunk: bool = False,
) -> Fastener:
    """A bolt of a strength class of BOLT_CLASSES, such as "8.8".

    Shear alpha_v fub A: thread in the shear plane alpha_v by class and A the stress area, else 0.6 and the shank's.
    Pull 0.9 fub As, 0.63 for countersunk heads (EN 1993-1-8 Table 3.4, from memory).
    """
    if strength not in BOLT_CLASSES:
        raise unknown("bolt class", strength, BOLT_CLASSES)
    made = BOLT_CLASSES[strength]
    area = stress_area(diameter, pitch)
    shear = made.alpha_v * made.fub * area if thread_in_shear else 0.6 * made.fub * pi / 4 * diameter**2
    pull = (0.63 if countersunk else 0.9) * made.fub * area
    return Fastener(name=f"M{diameter:g} {strength}", diameter=diameter, fu=made.fub, shear=shear, pull=pull)


def rivet(hole: float, fu: float = RIVET_FU) -> Fastener:
    """A driven rivet that fills its hole (mm): 0.6 fu A0 in shear and in pull (EN 1993-1-8 Table 3.4, from memory)."""
    d = float(positive("rivet", "the hole", hole))
    carried = 0.6 * float(positive("rivet", "fu", fu)) * pi / 4 * d**2
    return Fastener(name=f"rivet {d:g}", diameter=d, fu=fu, shear=carried, pull=carried)


def shear_and_pull_use(
    shear: npt.ArrayLike, pull: npt.ArrayLike, fastener: Fastener, gamma_M2: float = GAMMA_M2
) -> Array:
    """(...) the greater of Fv/FvRd + Ft/(1.4 FtRd) and Ft/FtRd; forces in N, a negative pull counts as none.

    shear : size in one shear plane.  pull : without prying, which may add a third and more where the plate is thin
    (common practice, no source).
    """
    gamma = float(positive(WHERE, "gamma_M2", gamma_M2))
    across = numbers(WHERE, "the shear", shear, 0.0) * gamma / fastener.shear
    along = pull_use(pull, fastener, gamma)
    out: Array = np.maximum(across + along / 1.4, along)
    return out


def pull_use(pull: npt.ArrayLike, fastener: Fastener, gamma_M2: float = GAMMA_M2) -> Array:
    """(...) Ft/FtRd, pull in N; a negative one counts as none."""
    along = np.maximum(numbers(WHERE, "the pull", pull), 0.0)
    out: Array = along * float(positive(WHERE, "gamma_M2", gamma_M2)) / fastener.pull
    return out


def bearing(fastener: Fastener, wall: HoleInWall, gamma_M2: float = GAMMA_M2, *, single_lap: bool = False) -> float:
    """F_b,Rd = k1 alpha_b fu d t/gamma_M2, N, with alpha_b = min(e1/3d0, p1/3d0 - 1/4, fub/fu, 1) and
    k1 = min(2.8 e2/d0 - 1.7, 1.4 p2/d0 - 1.7, 2.5), none below 0.

    single_lap : one row of bolts through two plates that lap, at most 1.5 fu d t/gamma_M2 (3.6.1).  Table 3.4 for d0
    of a normal hole; walls below 4 mm are EN 1993-1-3's, which has the same above 1.25 mm (all from memory).
    """
    d0 = wall.hole
    alpha = max(min(wall.end / (3 * d0), wall.pitch / (3 * d0) - 0.25, fastener.fu / wall.fu, 1.0), 0.0)
    k1 = max(min(2.8 * wall.edge / d0 - 1.7, 1.4 * wall.gauge / d0 - 1.7, 2.5), 0.0)
    factor = min(k1 * alpha, 1.5) if single_lap else k1 * alpha
    return factor * wall.fu * fastener.diameter * wall.thickness / float(positive(WHERE, "gamma_M2", gamma_M2))


def tear_out(wall: HoleInWall, gamma_M2: float = GAMMA_M2) -> float:
    """N at which a hole tears out to the edge along two planes: 1.2 (e1 - d0/2) t fu/gamma_M2, inf if no edge is near.

    Shear at 0.6 fu over the clear metal on both sides: AISC 360 J3.10 where the hole must not stretch (from memory),
    with gamma_M2 in place of its own factor.
    """
    return 1.2 * (wall.end - wall.hole / 2) * wall.thickness * wall.fu / float(positive(WHERE, "gamma_M2", gamma_M2))


def pull_out(thickness: float, fu: float, head: float, gamma_M2: float = GAMMA_M2) -> float:
    """B_p,Rd = 0.6 pi dm t fu/gamma_M2, N: the head or washer of mean diameter `head` mm pulls through the wall.

    EN 1993-1-8 Table 3.4, from memory; dm: mean across flats and corners, or the washer's diameter if it is stiff.
    """
    t, strength, dm = (float(positive("wall under a bolt's head", what, v)) for what, v in
                       (("the thickness", thickness), ("fu", fu), ("the head's diameter", head)))
    return 0.6 * pi * dm * t * strength / float(positive(WHERE, "gamma_M2", gamma_M2))
