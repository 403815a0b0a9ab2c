"""Box rails whose section racks into a parallelogram: stiffness, length of decay, what a free end changes.

A load on one web racks the box; the racking angle gamma (turn of the flanges' lines less that of the webs' lines) is
carried by the walls bending across the rail, k_D per mm, and by restrained warping, E I_omega.  Shear flexibility left
out, the warping freedom is f = -gamma'/2 and gamma the deflection of a beam E I_omega/4 on an elastic foundation k_D;
it dies out as exp(-beta x) with beta^4 = k_D/(E I_omega).

Sources, from memory: beams on elastic foundation after Hetenyi; the analogy for box girders after Wright,
Abdel-Samad and Robinson (1968); warping of the closed section after Vlasov.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import cos, exp, inf, sin

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.joints.types import Array, JointGeometry

__all__ = ["Racking", "racking"]

Slopes = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Racking:
    """Constants of a box rail that racks.

    k_D in N (N mm per mm of rail and radian of gamma), I_omega in mm6, beta in 1/mm; width and depth are those of the
    mid-lines in mm.  `web` and `far` hold the slopes of the met and the far web's (bottom, top) ends against its chord
    for gamma = 1 (called phi where both are alike).
    """

    k_D: float
    I_omega: float
    beta: float
    width: float
    depth: float
    web: Slopes
    far: Slopes

    def foundation(self, to_end: float = inf) -> float:
        """Load on gamma at one place over gamma there, N mm/rad: 2 k_D/beta of a long rail, softer near a free end."""
        return 2 * self.k_D / self.beta / (1 + self._reflected(to_end, -1))

    def warping(self, to_end: float = inf, length: float = 0.0) -> float:
        """Bimoment over the warping freedom f (u = f y z) it causes, N mm4: 4 k_D/beta^3 of a long rail.

        `length` is the stretch on whose two ends the load acts; f is the mean of both.
        """
        x = self.beta * length
        near = (1 + exp(-x) * (cos(x) - sin(x))) / 2
        return 4 * self.k_D / self.beta**3 / (near + self._reflected(to_end, 1))

    def from_far(self) -> Racking:
        """The same rail seen from the far web."""
        return replace(self, web=self.far, far=self.web)

    def _reflected(self, to_end: float, sign: int) -> float:
        """What a free end at the distance `to_end` adds, over the long rail's own value; 3 at the very end."""
        if to_end == inf:
            return 0.0
        x = self.beta * to_end
        return exp(-2 * x) * (2 * cos(x) ** 2 + (cos(x) + sign * sin(x)) ** 2)


@lru_cache(maxsize=1024)
def racking(joint: JointGeometry) -> Racking:
    """Racking constants of the joint's box rail; four different walls allowed.

    k_D is that of a rigid frame of four walls with clear spans.  I_omega takes f y z from the middle of the mid-line
    rectangle, exact for equal webs and equal flanges.  Raises ModelError for a channel rail, whose section is open.
    """
    if joint.rail != "box":
        raise ModelError("joint", f"a {joint.rail} rail does not rack", "Use its warping instead")
    b = joint.rail_width - (joint.web + joint.far) / 2
    h = joint.rail_depth - (joint.top + joint.bottom) / 2
    k_D, turns = _frame(joint)
    I_omega = b * b * h**3 * (joint.web + joint.far) / 48 + h * h * b**3 * (joint.top + joint.bottom) / 48
    beta = (k_D / joint.youngs_modulus / I_omega) ** 0.25
    web, far = (float(turns[0]), float(turns[1])), (float(turns[3]), float(turns[2]))
    return Racking(k_D, I_omega, beta, b, h, web, far)


def _frame(joint: JointGeometry) -> tuple[float, Array]:
    """Stiffness k_D and turns (4,) of the corners (bottom and top of the met web, top and bottom of the far one) while
    the webs' chords stay and the flanges' chords turn by 1."""
    clear_width = joint.rail_width - joint.web - joint.far
    web, far = joint.plate(joint.web) / joint.clear_depth, joint.plate(joint.far) / joint.clear_depth
    top, bottom = joint.plate(joint.top) / clear_width, joint.plate(joint.bottom) / clear_width
    K = 2 * np.array([
        [2 * (web + bottom), web, 0, bottom],
        [web, 2 * (web + top), top, 0],
        [0, top, 2 * (top + far), far],
        [bottom, 0, far, 2 * (far + bottom)],
    ])
    held = 6 * np.array([bottom, top, top, bottom])
    turns = np.linalg.solve(K, held)
    return float(12 * (top + bottom) - held @ turns), turns
