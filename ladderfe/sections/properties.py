"""Section properties: area and moments from the true plates, torsion, shear and warping from the mid-lines."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, hypot

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.flow import Flow, flow_of
from ladderfe.sections.points import StressPoints, points_of
from ladderfe.sections.walls import Section

__all__ = ["Properties", "properties", "rectangle_torsion"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False, kw_only=True)
class Properties:
    """What a beam needs to know of its section; section axes, mm.  Walls count with their modulus ratio.

    A, yc, zc, Iyy, Izz, Iyz (= int y z dA): about the centroid, from the true plates.  J: Bredt's for the cells plus
    t^3/3 of the walls that bound no cell; J_plates: t^3/3 of the walls of cells, which is left out of J (0.1 to 0.6 % for
    frame rails).  ys, zs: shear centre.  shear: (2, 2) with strain energy per length V^T shear V/(2 G), V = (Vy, Vz),
    1/mm2.  Iw: warping constant, mm6, 0 for a section with cells, whose torsion is Bredt's with free warping;
    Iw_free: the same integral of the warping function whether or not there are cells.  cells: number of closed cells.
    area: of all metal, without modulus ratio (for weight).  points: StressPoints.
    """

    A: float
    yc: float
    zc: float
    Iyy: float
    Izz: float
    Iyz: float
    J: float
    J_plates: float
    ys: float
    zs: float
    shear: Array
    Iw: float
    Iw_free: float
    cells: int
    area: float
    points: StressPoints

    @property
    def closed(self) -> bool:
        return self.cells > 0

    @property
    def principal(self) -> tuple[float, float, float]:
        """Larger and smaller principal second moment, mm4, and the angle of the larger one's axis from +y toward +z, rad."""
        middle, half = (self.Iyy + self.Izz) / 2, hypot((self.Iyy - self.Izz) / 2, self.Iyz)
        return middle + half, middle - half, atan2(-2 * self.Iyz, self.Iyy - self.Izz) / 2


@lru_cache(maxsize=4096)
def properties(section: Section) -> Properties:
    """Properties of a section, kept for the next call with an equal section; ModelError when its walls do not connect."""
    flow = flow_of(section)
    area, A, (yc, zc), ((Izz, Iyz), (_, Iyy)) = _plates(section, flow)
    flow.shear.setflags(write=False)
    return Properties(
        A=A, yc=float(yc), zc=float(zc), Iyy=float(Iyy), Izz=float(Izz), Iyz=float(Iyz), J=flow.J, J_plates=flow.J_plates,
        ys=float(flow.shear_centre[0]), zs=float(flow.shear_centre[1]), shear=flow.shear,
        Iw=0.0 if flow.lines.graph.cells else flow.Iw, Iw_free=flow.Iw, cells=flow.lines.graph.cells, area=area,
        points=points_of(section, flow))


def _plates(section: Section, flow: Flow) -> tuple[float, float, Array, Array]:
    """Metal area, weighted area, centroid and moments [[Izz, Iyz], [Iyz, Iyy]] of the true rectangles and small areas."""
    lines = flow.lines
    grow = np.array([(wall.grow_start, wall.grow_end) for wall in section.walls])
    length = lines.length + grow[:, 0] + grow[:, 1]
    plain = length * lines.thickness
    weight = plain * lines.modulus
    middle = (lines.start + lines.end) / 2 + lines.along * ((grow[:, 1] - grow[:, 0]) / 2)[:, None]
    own = (lines.along * (weight * (length**2 - lines.thickness**2) / 12)[:, None]).T @ lines.along
    own[[0, 1], [0, 1]] += weight @ lines.thickness**2 / 12
    if section.fillets:
        small = np.array([(fillet.y, fillet.z, fillet.area) for fillet in section.fillets])
        middle = np.concatenate([middle, small[:, :2]])
        plain, weight = np.concatenate([plain, small[:, 2]]), np.concatenate([weight, small[:, 2]])
    A = float(weight.sum())
    centre = weight @ middle / A
    arm = middle - centre
    return float(plain.sum()), A, centre, own + (arm * weight[:, None]).T @ arm


def rectangle_torsion(breadth: float, thickness: float) -> float:
    """Torsion constant of a solid rectangle, mm4: b t^3 (1/3 - 0.21 (t/b) (1 - t^4/(12 b^4))), b the larger side.

    Within 0.5 % of the exact series for any b/t.  Source: Young & Budynas, Roark's Formulas, torsion table (from memory).
    """
    b, t = max(breadth, thickness), min(breadth, thickness)
    return b * t**3 * (1 / 3 - 0.21 * t / b * (1 - (t / b) ** 4 / 12))
