"""Square and angled butt welds across a plate: how long they are, and what the plate's stress is to them.

A cut at `angle` degrees to the plate's length: 90 is square, 45 the usual angled one, 0 a seam along it.  Statics of a
plane stress turned by an angle (any text on strength of materials), normal stress s along the plate and shear tau:

    across the weld  s sin^2 a - 2 tau sin a cos a,   along it  s sin a cos a + tau (sin^2 a - cos^2 a)

Without shear the directional method's equivalent stress is s sin a sqrt(sin^2 a + 3 cos^2 a): s at 90 and again at 45
degrees, 1.061 s at 60, which is the most, and less than s only below 45.  So the longer weld of an angled cut takes
nothing off its static use until it is flatter than that; what falls is the stress across the weld, which counts for
fatigue.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.fillets import GAMMA_M2, WeldSteel
from ladderfe.connections.inputs import Array, numbers, positive

__all__ = ["CutStress", "butt_use", "cut_length", "cut_stress"]

WHERE: Final = "cut"


@dataclass(frozen=True, slots=True, eq=False)
class CutStress:
    """Stresses of the plate on a cut through it, each (...) MPa: across, normal to the cut; along it, shear."""

    across: Array
    along: Array

    @property
    def equivalent(self) -> Array:
        """sqrt(across^2 + 3 along^2), MPa: the directional method's for a throat as thick as the plate."""
        out: Array = np.sqrt(self.across**2 + 3 * self.along**2)
        return out


def cut_length(width: npt.ArrayLike, angle: npt.ArrayLike) -> Array:
    """(...) length in mm of a cut at `angle` degrees through a plate `width` mm wide: width/sin a.

    >>> round(float(cut_length(140.0, 45.0)), 1)
    198.0
    """
    out: Array = positive(WHERE, "the width", width) / positive(WHERE, "the sine of its angle", np.sin(_rad(angle)))
    return out


def cut_stress(normal: npt.ArrayLike, shear: npt.ArrayLike, angle: npt.ArrayLike) -> CutStress:
    """Stresses on a cut at `angle` degrees (0 to 90) from normal stress along the plate and shear, MPa, broadcast.

    A cut that leans the other way sees the shear with the other sign.
    """
    s, tau, a = numbers(WHERE, "a stress", normal), numbers(WHERE, "a shear stress", shear), _rad(angle)
    sine, cosine = np.sin(a), np.cos(a)
    return CutStress(s * sine**2 - 2 * tau * sine * cosine, s * sine * cosine + tau * (sine**2 - cosine**2))


def butt_use(
    stress: CutStress, thickness: npt.ArrayLike, throat: npt.ArrayLike, steel: WeldSteel, gamma_M2: float = GAMMA_M2
) -> Array:
    """(...) use of a butt weld by the directional method, its throat in the plane of the cut: the plate's stress times
    t over a; equivalent over fu/(beta_w gamma_M2) and |across| over 0.9 fu/gamma_M2, the greater; inf without throat.

    EN 1993-1-8 4.5.3.2 and 4.7.2 (partial penetration as fillets; from memory, text not seen).  A throat as thick as
    the plate needs no such check by 4.7.1: it is as strong as the weaker part.  The bending that a one-sided throat off
    the plate's middle brings is not in it.
    """
    t, a = positive(WHERE, "the plate's thickness", thickness), numbers(WHERE, "the throat", throat, 0.0)
    gamma = float(positive(WHERE, "gamma_M2", gamma_M2))
    equivalent = stress.equivalent / (steel.fu / (steel.beta_w * gamma))
    use = np.maximum(equivalent, np.abs(stress.across) / (0.9 * steel.fu / gamma))
    with np.errstate(divide="ignore", invalid="ignore"):
        out: Array = np.where(a > 0, use * t / a, np.where(use > 0, np.inf, 0.0))
    return out


def _rad(angle: npt.ArrayLike) -> Array:
    return np.asarray(np.deg2rad(numbers(WHERE, "its angle", angle, 0.0, 90.0)))
