"""What members take from their sections, one row per section, worked out once for all sections of a mesh."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Material
from ladderfe.elements import Beams, RackingBeams
from ladderfe.mesh import box_walls
from ladderfe.sections import Cell, Properties, Section, Shape, cell_of, corner_factor, properties_of
from ladderfe.sections.kept import lately

__all__ = ["SectionRows", "section_rows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class SectionRows:
    """Of s sections: metal (s,) mm2; stiffness times E or G as in `Beams` and `OpenBeams`: EA, GJ, bending, shear,
    centroid, shear_centre, EIw, warp_shear, coupling; box (s,): row of box shapes in `boxes`, whose lengths mean
    nothing, -1 for others."""

    metal: Array
    EA: Array
    GJ: Array
    bending: Array
    shear: Array
    centroid: Array
    shear_centre: Array
    EIw: Array
    warp_shear: Array
    coupling: Array
    box: IntArray
    boxes: RackingBeams


@lately
def section_rows(shapes: tuple[Shape, ...], sections: tuple[Section, ...], material: Material) -> SectionRows:
    """The rows of all sections, remembered for the last few meshes."""
    e, g, p = material.youngs_modulus, material.shear_modulus, properties_of(sections)
    cells = [cell_of(s) for s in shapes]
    is_box = np.array([c is not None for c in cells], dtype=bool)
    return SectionRows(
        metal=np.array([q.metal for q in p]),
        EA=e * np.array([q.A for q in p]),
        GJ=g * np.array([_torsion(*pair) for pair in zip(cells, p, strict=True)]),
        bending=e * np.array([[[q.Izz, q.Iyz], [q.Iyz, q.Iyy]] for q in p]),
        shear=np.array([q.shear for q in p]) / g,
        centroid=np.array([[q.yc, q.zc] for q in p]),
        shear_centre=np.array([[q.ys, q.zs] for q in p]),
        EIw=e * np.array([q.Iw for q in p]),
        warp_shear=np.array([q.warp_shear for q in p]) / g,
        coupling=np.array([q.warp_coupling for q in p]) / g,
        box=np.where(is_box, np.cumsum(is_box) - 1, -1),
        boxes=_boxes([c for c in cells if c is not None], material),
    )


def _torsion(cell: Cell | None, q: Properties) -> float:
    """Torsion constant, of boxes with their corners and plates; walls of another modulus count with it."""
    return q.J if cell is None else q.J * corner_factor(cell.box) + q.J_plates


def _boxes(cells: list[Cell], steel: Material) -> RackingBeams:
    if not cells:
        return RackingBeams.none()
    poles = np.array([c.pole for c in cells])
    return RackingBeams.of_walls(Beams.none(), box_walls(cells), poles, steel.youngs_modulus, steel.poissons_ratio)
