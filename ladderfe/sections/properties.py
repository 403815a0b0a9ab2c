"""Section properties: area and moments from the true plates, torsion, shear and warping from the mid-lines."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, hypot

import numpy as np

from ladderfe.sections.flow import Flow, flow_of
from ladderfe.sections.lines import Array
from ladderfe.sections.points import StressPoints, points_of
from ladderfe.sections.walls import Section

__all__ = ["Properties", "properties"]

@dataclass(frozen=True, eq=False, kw_only=True)
class Properties:
    """What a beam needs to know of its section; section axes, mm.  Walls count with their modulus ratio.

    A, yc, zc, Iyy, Izz, Iyz (= int y z dA): about the centroid, from the true plates.  J: Bredt's for the cells plus
    t^3/3 of the walls that bound no cell.  J_plates: t^3/3 of the walls of cells, left out of J (it is 0.1 to 0.6 % for
    frame rails, while sharp outer corners add 1 to 2 %, which thin-wall theory leaves out too).  ys, zs: shear centre.
    shear: (2, 2) with strain energy per length V^T shear V/(2 G), V = (Vy, Vz), 1/mm2.  Iw: warping constant, mm6; 0
    where cells rule the torsion (free warping, Bredt).  warp_shear, 1/mm4, and warp_coupling, (2,) 1/mm3: the same for
    the warping torque, energy Tw^2 warp_shear/(2 G) + Tw warp_coupling . V/G; 0 where Iw is.  Iw_free: Iw's
    integral whatever the cells.  cells: number of closed cells.  metal: area of all metal without modulus ratios, mm2
    (for weight).
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
    warp_shear: float
    warp_coupling: Array
    Iw_free: float
    cells: int
    metal: float
    points: StressPoints

    @property
    def principal(self) -> tuple[float, float, float]:
        """Larger and smaller principal second moment, mm4; angle of the larger one's axis from +y toward +z, rad."""
        middle, half = (self.Iyy + self.Izz) / 2, hypot((self.Iyy - self.Izz) / 2, self.Iyz)
        return middle + half, middle - half, atan2(-2 * self.Iyz, self.Iyy - self.Izz) / 2


@lru_cache(maxsize=4096)
def properties(section: Section) -> Properties:
    """Properties of a section, kept for the next call with an equal one; ModelError when its walls do not connect."""
    flow = flow_of(section)
    plates = _plates(section, flow)
    (Izz, Iyz), (_, Iyy) = plates.moments.tolist()
    yc, zc = plates.centre.tolist()
    ys, zs = flow.shear_centre.tolist()
    return Properties(
        A=plates.area, yc=yc, zc=zc, Iyy=Iyy, Izz=Izz, Iyz=Iyz, J=flow.J, J_plates=flow.J_plates, ys=ys, zs=zs,
        shear=flow.soft[:2, :2], Iw=flow.Iw, warp_shear=float(flow.soft[2, 2]), warp_coupling=flow.soft[:2, 2],
        Iw_free=flow.Iw_free, cells=flow.lines.graph.cells, metal=plates.metal,
        points=points_of(section, flow))


@dataclass(frozen=True, eq=False)
class _Plates:
    """The true rectangles and small areas: metal area, weighted area, centroid, moments [[Izz, Iyz], [Iyz, Iyy]]."""

    metal: float
    area: float
    centre: Array
    moments: Array


def _plates(section: Section, flow: Flow) -> _Plates:
    lines = flow.lines
    length = lines.length + lines.grow.sum(axis=1)
    plain = length * lines.thickness
    weight = plain * lines.modulus
    middle = lines.ends.sum(axis=1) / 2 + lines.along * ((lines.grow[:, 1] - lines.grow[:, 0]) / 2)[:, None]
    if lines.lean.any():
        middle += lines.lean[:, None] * np.stack([-lines.along[:, 1], lines.along[:, 0]], axis=1)
    across = lines.thickness**2
    own = (lines.along * (weight * (length**2 - across) / 12)[:, None]).T @ lines.along
    thin = float(weight @ across) / 12
    own[0, 0] += thin
    own[1, 1] += thin
    if section.fillets:
        small = np.array([(fillet.y, fillet.z, fillet.area) for fillet in section.fillets])
        middle = np.concatenate([middle, small[:, :2]])
        plain, weight = np.concatenate([plain, small[:, 2]]), np.concatenate([weight, small[:, 2]])
    area = float(weight.sum())
    centre = weight @ middle / area
    arm = middle - centre
    return _Plates(float(plain.sum()), area, centre, own + (arm * weight[:, None]).T @ arm)
