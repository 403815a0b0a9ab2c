"""Concentrated force through a flange into a web: what spring seats ask of a rail's webs.

Two rules, because rails are made in two ways:

- A *sharp* edge (plates welded, or no radius known): EN 1993-1-5:2006 section 6, patch loading without stiffeners,
  type (a) away from the member's ends, where the far webs carry the force on by shear, and type (c) near an end.
- A *bend* (pressed channels, folded boxes): the force enters beside the web's plane and bends the web as it crushes it,
  which section 6 does not know; EN 1993-1-3:2006 6.1.7.2, one unstiffened web, does.  It serves each web of a folded
  box too: two webs hold each other, so that is on the safe side.

All formulas and constants are from memory (source texts not seen).  Forces are at yield, without partial factors.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from ladderfe.sections.plate_buckling import strain_factor

__all__ = ["SeatedWeb", "crippling", "patch_resistance"]

#: Sides of a flange count up to 15 strain factors times its thickness, EN 1993-1-5 6.5.
FLANGE_REACH = 15.0
NEAR_END = 1.5  # clear heights between the bearing and the member's end, EN 1993-1-3 6.1.7.2


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatedWeb:
    """A web with a flange that a force bears on, mm and MPa.

    height : clear (`crippling` asks for the one between the flanges' mid-lines, which it hardly feels).  flange_sides :
    how far the flange goes on from the web's face on each side.  flange_held : its other edge is held too, by a lip or
    another web.  radius : inside radius of the bend between them, None where the edge is sharp.  to_end : from the edge
    of the bearing to the member's end.
    """

    height: float
    thickness: float
    flange_thickness: float
    flange_sides: tuple[float, float] = (0.0, 0.0)
    flange_held: bool = False
    radius: float | None = None
    to_end: float = float("inf")
    yield_stress: float = 235.0
    youngs_modulus: float = 210_000.0

    @property
    def near_end(self) -> bool:
        return self.to_end <= NEAR_END * self.height

    @property
    def rule(self) -> str:
        """Which rule applies: "patch" (sharp edge) or "crippling" (bend)."""
        return "patch" if self.radius is None else "crippling"

    def resistance(self, bearing: float) -> float:
        """Force in N at which the web gives way under a bearing of that length, by the rule that applies."""
        return patch_resistance(self, bearing) if self.radius is None else crippling(self, bearing)


def patch_resistance(web: SeatedWeb, bearing: float) -> float:
    """F_Rd of EN 1993-1-5 (6.1) to (6.13) with gamma_M1 = 1: fy t L_eff, L_eff = chi_F l_y, N.

    k_F = 6 (type a, cross stiffeners far apart) or 2 + 6 (s_s + c)/h_w, 6 at most (type c, near an end);
    chi_F = 0.5/lambda_F, 1 at most.  m2, the web's part in the yielding length that (6.9) adds where lambda_F > 0.5, is
    left out, on the safe side: with its step a thinner web may stand more.  One yield stress for web and flange.
    """
    h, t, tf, fy, E = web.height, web.thickness, web.flange_thickness, web.yield_stress, web.youngs_modulus
    reach = FLANGE_REACH * strain_factor(fy, E) * tf
    m1 = (t + sum(min(side, reach) for side in web.flange_sides)) / t
    k = min(6.0, 2 + 6 * (bearing + web.to_end) / h)
    length = bearing + 2 * tf * (1 + sqrt(m1))
    if k < 6:
        short = min(k * E * t**2 / (2 * fy * h), bearing + web.to_end)
        length = min(length, short + tf * sqrt(m1 / 2 + (short / tf) ** 2), short + tf * sqrt(m1))
    slender = sqrt(length * t * fy / (0.9 * k * E * t**3 / h))
    return fy * t * length * min(1.0, 0.5 / slender)


def crippling(web: SeatedWeb, bearing: float) -> float:
    """R_w,Rd of EN 1993-1-3 6.1.7.2(2), one local force on an unstiffened web at right angles, gamma_M1 = 1, N.

    Made for height/t up to 200, r/t up to 6; beyond them the factors are held at their own lower bounds (0 at least).
    """
    t, fy = web.thickness, web.yield_stress
    h, s, r, k = web.height / t, bearing / t, (web.radius or 0.0) / t, web.yield_stress / 228
    if web.near_end:
        factor = (1.33 - 0.33 * k) * min(1.0, max(0.5, 1.15 - 0.15 * r))
        depth = 9.04 - h / 60 if web.flange_held else 5.92 - h / 132
        spread = 1 + 0.01 * s if s <= 60 or web.flange_held else 0.71 + 0.015 * s
    else:
        factor = (1.22 - 0.22 * k) * min(1.0, 1.06 - 0.06 * r)
        depth = 14.7 - h / 49.5
        spread = 1 + 0.007 * s if s <= 60 else 0.75 + 0.011 * s
    return max(0.0, factor * depth * spread) * t**2 * fy
