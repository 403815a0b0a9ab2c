"""What a plate across the inside of a box does to racking and warping.

The plate is joined to all four walls along their mid-lines, b wide and h high, and follows them.  Racking g turns the
flanges' lines by rx + g/2 and the webs' lines by rx - g/2: the plate's edges, at first at right angles, close by g, so
that it is in uniform shear g with the energy G t b h g^2/2.  Warping moves its edges out of its plane by u = f y z,
which is a plate twisted evenly, w_yz = f and no other curvature, with the energy D (1 - nu) f^2 b h = G t^3 b h f^2/6.
Both leave no force inside the plate out of balance, so nothing softer follows the same edges.  Buckling, holes, and
welds that end short of the corners are not in it; its own weight is not counted.

Own derivation from plane stress and the theory of thin plates (D = E t^3/12/(1 - nu^2), E = 2 G (1 + nu)).
"""

from __future__ import annotations

from ladderfe.mesh.walls import pole_of
from ladderfe.sections import Shape

__all__ = ["per_area", "plate_stiffness"]


def plate_stiffness(box: Shape, thickness: float, shear_modulus: float) -> tuple[float, float]:
    """Stiffness on racking, N mm, and on warping, N mm3 x mm."""
    racking, warping = per_area(thickness, shear_modulus)
    area = float(pole_of(box)[1].prod())
    return racking * area, warping * area


def per_area(thickness: float, shear_modulus: float) -> tuple[float, float]:
    """The same per mm2 of the plate between mid-lines."""
    return shear_modulus * thickness, shear_modulus * thickness**3 / 3
