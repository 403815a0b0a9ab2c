"""Local buckling of flat walls: slenderness, buckling factors, reduction factors, classes, shear.

A wall is *internal* (held along both edges) or an *outstand* (one edge free).  psi is the stress at one edge over the
greater compression at the other, from 1 (uniform compression) down to any negative number.

Source: EN 1993-1-5:2006, 4.4 with Tables 4.1 and 4.2, 5.2, 5.3 with Table 5.1, A.1 and A.3; EN 1993-1-1:2005, Table
5.2.  All formulas are from memory (source text not seen), but for the class limits 9/10/14 and 72/83/124, which were
seen in a reprint.  The standard's rho leaves walls of class 3 in uniform compression a little early (38.2 instead of
42 strain factors): rho rules here, so that resistance has no step; the class is for information.
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = [
    "SHEAR_LIMIT", "critical_stress", "internal_factor", "outstand_factor", "reduction", "shear_critical",
    "shear_factor", "shear_reduction", "shear_slenderness", "slenderness", "slenderness_limit", "strain_factor",
    "wall_class", "width_limit",
]  # fmt: skip

Array = NDArray[np.float64]

E_STEEL = 210_000.0  # MPa, the standard's
YIELD_REFERENCE = 235.0  # MPa
PLATE = 28.4  # slenderness of a wall as wide as thick, eps = 1 and k = 1: one over it
TABLE_END = -3.0  # below it the tables say nothing; the compressed part is then taken to buckle as it does there
#: Clear height over thickness, per strain factor and over eta, from which a web without stiffeners is slender in shear.
SHEAR_LIMIT = 72.0


def strain_factor(yield_stress: float, youngs_modulus: float = E_STEEL) -> float:
    """Strain factor eps = sqrt(235/fy x E/210 000): 1 for mild steel.  The standard leaves E out."""
    return float(np.sqrt(YIELD_REFERENCE / yield_stress * youngs_modulus / E_STEEL))


def critical_stress(
    k: ArrayLike, thickness: ArrayLike, width: ArrayLike, youngs_modulus: float = E_STEEL, poissons_ratio: float = 0.3
) -> Array:
    """Elastic critical stress of a long flat plate, k E pi^2/(12 (1 - nu^2)) (t/b)^2, MPa (G. H. Bryan's formula)."""
    slender = np.asarray(thickness) / np.asarray(width)
    out: Array = np.asarray(k) * youngs_modulus * pi**2 / (12 * (1 - poissons_ratio**2)) * slender**2
    return out


def internal_factor(psi: ArrayLike) -> Array:
    """k_sigma of an internal wall, EN 1993-1-5 Table 4.1; 5.98 (1 - psi)^2 goes on below psi = -3."""
    p = np.asarray(psi, dtype=float)
    bend: Array = 7.81 - 6.29 * p + 9.78 * p**2
    return np.where(p >= 0, 8.2 / (1.05 + np.maximum(p, 0)), np.where(p >= -1 - 1e-9, bend, 5.98 * (1 - p) ** 2))


def outstand_factor(psi: ArrayLike, at_tip: ArrayLike) -> Array:
    """k_sigma of an outstand, EN 1993-1-5 Table 4.2; `at_tip`: its free edge is the more compressed one.

    Where the table ends (psi = -3 with the tip compressed, -1 with the root) the compressed part keeps its slenderness:
    k grows with (1 - psi)^2.
    """
    p = np.asarray(psi, dtype=float)
    held = np.maximum(p, TABLE_END)
    tip = (0.57 - 0.21 * held + 0.07 * held**2) * ((1 - np.minimum(p, TABLE_END)) / (1 - TABLE_END)) ** 2
    bend = np.maximum(p, -1.0)
    mixed = (1.7 - 5 * bend + 17.1 * bend**2) * ((1 - np.minimum(p, -1.0)) / 2) ** 2
    root = np.where(p >= 0, 0.578 / (np.maximum(p, 0) + 0.34), mixed)
    out: Array = np.where(np.asarray(at_tip), tip, root)
    return out


def slenderness(width_over_thickness: ArrayLike, k: ArrayLike, eps: float) -> Array:
    """lambda_p = (b/t)/(28.4 eps sqrt(k)), EN 1993-1-5 4.4(2)."""
    out: Array = np.asarray(width_over_thickness) / (PLATE * eps * np.sqrt(np.asarray(k)))
    return out


def slenderness_limit(psi: ArrayLike, outstand: ArrayLike) -> Array:
    """lambda_p up to which nothing is lost: 0.5 + sqrt(0.085 - 0.055 psi) internal, 0.748 outstand."""
    p = np.clip(np.asarray(psi, dtype=float), TABLE_END, 1.0)
    inside: Array = 0.5 + np.sqrt(0.085 - 0.055 * p)
    return np.where(np.asarray(outstand), 0.5 + np.sqrt(0.25 - 0.188), inside)


def reduction(slender: ArrayLike, psi: ArrayLike, outstand: ArrayLike) -> Array:
    """rho, the part of the compressed width that is effective, EN 1993-1-5 (4.2) and (4.3).

    (lambda - 0.055 (3 + psi))/lambda^2 internal, (lambda - 0.188)/lambda^2 outstand, 1 up to `slenderness_limit`.
    """
    p = np.clip(np.asarray(psi, dtype=float), TABLE_END, 1.0)
    x = np.asarray(slender, dtype=float)
    limit = slenderness_limit(p, outstand)
    over = np.maximum(x, limit)
    rho = (over - np.where(np.asarray(outstand), 0.188, 0.055 * (3 + p))) / over**2
    return np.where(x <= limit, 1.0, np.minimum(rho, 1.0))


def width_limit(psi: ArrayLike, outstand: ArrayLike, at_tip: ArrayLike) -> Array:
    """Width over thickness, per strain factor, up to which nothing is lost: 38.2 internal, 13.9 outstand at psi = 1."""
    k = np.where(np.asarray(outstand), outstand_factor(psi, at_tip), internal_factor(psi))
    out: Array = PLATE * np.sqrt(k) * slenderness_limit(psi, outstand)
    return out


def wall_class(
    width_over_thickness: ArrayLike, psi: ArrayLike, outstand: ArrayLike, at_tip: ArrayLike, eps: float
) -> NDArray[np.int64]:
    """Class 1 to 4 of a wall, EN 1993-1-1 Table 5.2.

    Classes 1 and 2 ask for the compressed share of the width when all of it yields: that of the elastic stress, 1 or
    1/(1 - psi), stands for it here.  An outstand's class 3 is 14 eps at least, as in its uniform compression.
    """
    slender = np.asarray(width_over_thickness, dtype=float) / eps
    p = np.asarray(psi, dtype=float)
    outer, tip = np.asarray(outstand), np.asarray(at_tip)
    alpha = np.where(p >= 0, 1.0, 1 / (1 - np.minimum(p, 0)))
    most = alpha > 0.5
    one = np.where(most, 396 / (13 * np.maximum(alpha, 0.5) - 1), 36 / alpha)
    two = np.where(most, 456 / (13 * np.maximum(alpha, 0.5) - 1), 41.5 / alpha)
    below = np.minimum(p, -1.0)
    three = np.where(p > -1, 42 / (0.67 + 0.33 * np.maximum(p, -1.0)), 62 * (1 - below) * np.sqrt(-below))
    grade = np.where(tip, alpha, alpha**1.5)
    one, two = np.where(outer, 9 / grade, one), np.where(outer, 10 / grade, two)
    three = np.where(outer, np.maximum(14.0, 21 * np.sqrt(outstand_factor(p, tip))), three)
    out: NDArray[np.int64] = 1 + (slender > one).astype(np.int64) + (slender > two) + (slender > three)
    return out


def shear_factor(height_over_spacing: ArrayLike = 0.0) -> Array:
    """k_tau of a web without longitudinal stiffeners, EN 1993-1-5 A.3; 5.34 where cross stiffeners are far apart."""
    r = np.asarray(height_over_spacing, dtype=float)
    return np.where(r <= 1, 5.34 + 4 * r**2, 4 + 5.34 * r**2)


def shear_critical(
    k: ArrayLike, thickness: ArrayLike, height: ArrayLike, youngs_modulus: float = E_STEEL, poissons_ratio: float = 0.3
) -> Array:
    """Elastic critical shear stress of a web, MPa, EN 1993-1-5 5.3(3)."""
    return critical_stress(k, thickness, height, youngs_modulus, poissons_ratio)


def shear_slenderness(critical: ArrayLike, yield_stress: float) -> Array:
    """lambda_w = 0.76 sqrt(fy/tau_cr), EN 1993-1-5 (5.3)."""
    out: Array = 0.76 * np.sqrt(yield_stress / np.asarray(critical))
    return out


def shear_reduction(slender: ArrayLike, eta: float = 1.2, *, rigid_end_post: bool = False) -> Array:
    """chi_w, the web's part of the resistance to shear over fy/sqrt(3), EN 1993-1-5 Table 5.1.

    A frame rail's web ends in no post: not rigid.  What the flanges add (5.4) is left out, on the safe side.
    """
    x = np.asarray(slender, dtype=float)
    chi = np.minimum(eta, 0.83 / x)
    return np.where(x >= 1.08, 1.37 / (0.7 + x), chi) if rigid_end_post else chi
