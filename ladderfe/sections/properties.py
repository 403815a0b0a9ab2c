"""Section properties: area and moments from the true plates, torsion, shear and warping from the mid-lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, hypot
from typing import NamedTuple

from ladderfe.sections.flow import flows_of
from ladderfe.sections.kept import Kept
from ladderfe.sections.lines import Array
from ladderfe.sections.points import StressPoints, points_of
from ladderfe.sections.walls import Section, Wall

__all__ = ["Properties", "properties", "properties_of"]


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


def properties(section: Section) -> Properties:
    """Properties of a section, kept for the next call with an equal one; ModelError when its walls do not connect."""
    return _KEPT.one(section)


def properties_of(sections: Sequence[Section]) -> list[Properties]:
    """`properties` of each section, those that are new worked out together: much quicker than one by one."""
    return _KEPT.each(sections)


def _properties(sections: list[Section]) -> list[Properties]:
    flows = flows_of(sections)
    found = []
    for section, flow, points in zip(sections, flows, points_of(sections, flows), strict=True):
        plates = _plates(section)
        ys, zs = flow.shear_centre.tolist()
        found.append(Properties(
            A=plates.area, yc=plates.yc, zc=plates.zc, Iyy=plates.Iyy, Izz=plates.Izz, Iyz=plates.Iyz, J=flow.J,
            J_plates=flow.J_plates, ys=ys, zs=zs, shear=flow.soft[:2, :2], Iw=flow.Iw,
            warp_shear=float(flow.soft[2, 2]), warp_coupling=flow.soft[:2, 2], Iw_free=flow.Iw_free,
            cells=flow.lines.graph.cells, metal=plates.metal, points=points))
    return found


_KEPT = Kept(_properties)


class _Plates(NamedTuple):
    """The true rectangles and small areas: metal area, weighted area, centroid, moments about it."""

    metal: float
    area: float
    yc: float
    zc: float
    Iyy: float
    Izz: float
    Iyz: float


def _plates(section: Section) -> _Plates:
    rows = [_plate(wall) for wall in section.walls]  # in plain numbers: sections have few walls
    rows += [(fillet.area, fillet.area, fillet.y, fillet.z, 0.0, 0.0, 0.0) for fillet in section.fillets]
    area = sum(row[1] for row in rows)
    yc, zc = sum(row[1] * row[2] for row in rows) / area, sum(row[1] * row[3] for row in rows) / area
    Iyy = Izz = Iyz = 0.0
    for _, weight, y, z, yy, zz, yz in rows:
        Iyy, Izz, Iyz = (Iyy + yy + weight * (z - zc) ** 2, Izz + zz + weight * (y - yc) ** 2,
                         Iyz + yz + weight * (y - yc) * (z - zc))
    return _Plates(sum(row[0] for row in rows), area, yc, zc, Iyy, Izz, Iyz)


def _plate(wall: Wall) -> tuple[float, float, float, float, float, float, float]:
    """Area, weighted area, centre (y, z) of a wall's rectangle and its weighted moments Iyy, Izz, Iyz about it."""
    (ys, zs), (ye, ze) = wall.start, wall.end
    middle = wall.length
    y, z = (ye - ys) / middle, (ze - zs) / middle
    length, shift = middle + wall.grow_start + wall.grow_end, (wall.grow_end - wall.grow_start) / 2
    area = length * wall.thickness
    weight = wall.modulus * area
    thin = weight * wall.thickness**2 / 12
    along = weight * length**2 / 12 - thin
    return (area, weight, (ys + ye) / 2 + shift * y - wall.lean * z, (zs + ze) / 2 + shift * z + wall.lean * y,
            along * z * z + thin, along * y * y + thin, along * y * z)
