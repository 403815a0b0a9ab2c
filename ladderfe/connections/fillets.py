"""Fillet welds: stress on the throat from a line force, resistance, and the throat and leg that a line force needs.

A line force is (..., 3) N/mm: along the weld; across it in the plane of the plate, positive where the plate pushes on
the weld; normal to that plane, positive where it lifts off the wall.  It is what the plate does to the weld.  The
throat a in mm is the height of the triangle between two equal legs, seen from the root; stresses are taken on it, 45
degrees to both legs.

Sources: EN 1993-1-8:2005 4.5.3.2 (directional), 4.5.3.3 (simplified), Table 4.1 (beta_w); EN 1993-1-1 Table 3.1 (fu).
All are values and formulas from memory, text not seen.  Strength is that of the weld; the wall beside it is
`wall_shear`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.inputs import COMMON, MEMORY, Array, positive, unknown, vectors

__all__ = [
    "GAMMA_M2", "PERMISSIBLE", "STEELS", "FilletUse", "Leg", "Permissible", "ThroatStress", "WeldSteel",
    "directional_throat", "directional_use", "fillet_shear_strength", "leg_for", "needed_throat", "permissible_stress",
    "throat_stress", "wall_shear", "weld_steel",
]

WHERE: Final = "fillet weld"
#: Partial factor on the resistance of joints, EN 1993-1-8 Table 2.1 (recommended value, from memory).
GAMMA_M2: Final = 1.25


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldSteel:
    """Tensile strength fu, MPa, of the weaker part joined, and beta_w; filler metal at least as strong (matched)."""

    name: str
    fu: float
    beta_w: float
    source: str
    status: str

    def __post_init__(self) -> None:
        positive(f"steel {self.name}", "fu", self.fu)
        positive(f"steel {self.name}", "beta_w", self.beta_w)


def _steel(name: str, fu: float, beta_w: float, remark: str = "") -> WeldSteel:
    source = "EN 1993-1-1 Table 3.1 (fu up to 40 mm), EN 1993-1-8 Table 4.1 (beta_w)" + remark
    return WeldSteel(name=name, fu=fu, beta_w=beta_w, source=source, status=MEMORY)


#: Grades by name.  Another steel is a WeldSteel of its own.
STEELS: Final = {
    steel.name: steel
    for steel in (
        _steel("S235", 360.0, 0.80),
        _steel("S275", 430.0, 0.85),
        _steel("S355", 490.0, 0.90, "; fu 510 in the first issue"),
        _steel("S420", 520.0, 1.00),
        _steel("S460", 540.0, 1.00),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Permissible:
    """A permissible stress on the throat, MPa, under working loads: no further factor."""

    name: str
    stress: float
    source: str
    status: str


PERMISSIBLE: Final = {
    p.name: p
    for p in (
        Permissible(name="mild steel", stress=115.0, source="BS 449-2:1969 clause 53, grade 43", status=MEMORY),
        Permissible(name="unknown steel", stress=100.0, status=COMMON,
                    source="the average shear stress of BS 449-2:1969 for mild plate, taken on the throat"),
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class ThroatStress:
    """Stresses on the throat, each (...) MPa: sigma_perp and tau_perp square to the weld, tau_along along it."""

    sigma_perp: Array
    tau_perp: Array
    tau_along: Array

    @property
    def equivalent(self) -> Array:
        """sqrt(sigma_perp^2 + 3 (tau_perp^2 + tau_along^2)), MPa."""
        out: Array = np.sqrt(self.sigma_perp**2 + 3 * (self.tau_perp**2 + self.tau_along**2))
        return out


@dataclass(frozen=True, slots=True, eq=False)
class FilletUse:
    """Both conditions of the directional method as stress over limit, each (...); `use` is the greater."""

    equivalent: Array
    perpendicular: Array

    @property
    def use(self) -> Array:
        out: Array = np.maximum(self.equivalent, self.perpendicular)
        return out


@dataclass(frozen=True, slots=True, eq=False)
class Leg:
    """The leg a throat asks for and the greatest that the thinner plate's edge can take, mm; fits: it is no greater."""

    leg: Array
    limit: Array

    @property
    def fits(self) -> npt.NDArray[np.bool_]:
        out: npt.NDArray[np.bool_] = self.leg <= self.limit * (1 + 1e-9)
        return out


def weld_steel(name: str) -> WeldSteel:
    """The steel of STEELS by name; ModelError that names the nearest if there is none.

    >>> weld_steel("S275").beta_w
    0.85
    """
    if name not in STEELS:
        raise unknown("weld steel", name, STEELS)
    return STEELS[name]


def permissible_stress(name: str) -> Permissible:
    """The permissible stress of PERMISSIBLE by name; ModelError if there is none.  See each one's source and status."""
    if name not in PERMISSIBLE:
        raise unknown("permissible stress", name, PERMISSIBLE)
    return PERMISSIBLE[name]


def throat_stress(force: npt.ArrayLike, throat: npt.ArrayLike) -> ThroatStress:
    """Stresses on throats of `throat` mm (...) under line forces (..., 3) N/mm, by statics.

    With the throat at 45 degrees between a plate's edge and the wall, sigma_perp = (normal - across)/(a sqrt2) and
    tau_perp = (normal + across)/(a sqrt2); positive sigma_perp opens the throat.
    """
    q = vectors(WHERE, "the line force", force, 3)
    a = positive(WHERE, "the throat", throat)
    along, across, normal = q[..., 0], q[..., 1], q[..., 2]
    return ThroatStress((normal - across) / (a * sqrt(2)), (normal + across) / (a * sqrt(2)), along / a)


def fillet_shear_strength(steel: WeldSteel, gamma_M2: float = GAMMA_M2) -> float:
    """f_vw,d = fu/(sqrt3 beta_w gamma_M2), MPa on the throat: the simplified method's strength in any direction."""
    return steel.fu / (sqrt(3) * steel.beta_w * float(positive(WHERE, "gamma_M2", gamma_M2)))


def directional_use(
    force: npt.ArrayLike, throat: npt.ArrayLike, steel: WeldSteel, gamma_M2: float = GAMMA_M2, *,
    either_side: bool = False,
) -> FilletUse:
    """Directional method: equivalent <= fu/(beta_w gamma_M2) and |sigma_perp| <= 0.9 fu/gamma_M2.

    either_side : the sign of `across` is not known; each condition takes the worse of the two.
    """
    q = vectors(WHERE, "the line force", force, 3)
    gamma = float(positive(WHERE, "gamma_M2", gamma_M2))
    sides = [q, q * [1.0, -1.0, 1.0]] if either_side else [q]
    stresses = [throat_stress(side, throat) for side in sides]
    equivalent = np.max([s.equivalent for s in stresses], axis=0) / (steel.fu / (steel.beta_w * gamma))
    perpendicular = np.max([np.abs(s.sigma_perp) for s in stresses], axis=0) / (0.9 * steel.fu / gamma)
    return FilletUse(equivalent, perpendicular)


def needed_throat(force: npt.ArrayLike, strength: npt.ArrayLike) -> Array:
    """(...) throat in mm whose stress, the size of the line force (..., 3) N/mm over a, is just `strength`, MPa."""
    size = np.linalg.norm(vectors(WHERE, "the line force", force, 3), axis=-1)
    out: Array = size / positive(WHERE, "the strength", strength)
    return out


def directional_throat(
    force: npt.ArrayLike, steel: WeldSteel, gamma_M2: float = GAMMA_M2, *, either_side: bool = False
) -> Array:
    """(...) throat in mm at which the directional method is just kept: all its stresses fall as 1/a."""
    return directional_use(force, 1.0, steel, gamma_M2, either_side=either_side).use


def leg_for(throat: npt.ArrayLike, thinner: npt.ArrayLike) -> Leg:
    """Leg for a throat, sqrt2 a (the 0.7 rule), beside its limit, the thickness of the thinner plate, mm.

    The limit is common practice for edges of thin plate (value from memory): a greater leg has no edge to stand on and
    burns the corner away.  Measured thickness of the rusted wall, not what it was.
    """
    leg = sqrt(2) * np.asarray(positive(WHERE, "the throat", throat))
    limit = positive(WHERE, "the thinner plate's thickness", thinner)
    leg, limit = np.broadcast_arrays(leg, limit)
    return Leg(leg, limit)


def wall_shear(thickness: npt.ArrayLike, yield_stress: npt.ArrayLike) -> Array:
    """N/mm that the wall beside a weld carries in shear at yield, t fy/sqrt3 (von Mises): in thin walls it comes first.

    No partial factor; the measured thickness in mm, fy in MPa.
    """
    t = positive(WHERE, "the wall's thickness", thickness)
    out: Array = t * positive(WHERE, "the yield stress", yield_stress) / sqrt(3)
    return out
