"""Stress at a section's points and walls per unit resultant: N, Vy, Vz, T, My, Mz, bimoment B, and Tw or R.

Of open walls B is that of warping and Tw its torque, the rest of T is St-Venant's; of boxes B and R belong to racking.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.mesh import box_walls
from ladderfe.sections import Cell, Properties, Section, Shape, cell_of, properties_of
from ladderfe.sections.kept import Kept

__all__ = [
    "Coefficients", "Pair", "RackingWalls", "at_points", "bending_across", "coefficients", "coefficients_of",
    "mean_shear", "normal_coefficients", "on_faces", "racking_walls",
]  # fmt: skip

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
N, VY, VZ, T, MY, MZ, B, LAST = range(8)


@dataclass(frozen=True, slots=True, eq=False)
class Coefficients:
    """Of one section: point names, normal and shear (p, 8) stress per unit resultant at its points, mean (w, 8) the
    average shear of its walls; across (p,) size of the stress across the walls, on their faces, per unit racking angle
    and E/(1 - nu^2), where box walls bend as the box racks."""

    walls: tuple[str, ...]
    labels: tuple[str, ...]
    normal: Array
    shear: Array
    mean_walls: tuple[str, ...]
    mean: Array
    across: Array


Pair = tuple[Shape, Section]


def coefficients(shape: Shape, section: Section) -> Coefficients:
    """Stress coefficients of a section."""
    return _KEPT.one((shape, section))


def coefficients_of(pairs: Sequence[Pair]) -> list[Coefficients]:
    """`coefficients` of each, those that are new worked out together."""
    return _KEPT.each(pairs)


def _coefficients(pairs: list[Pair]) -> list[Coefficients]:
    found = properties_of([section for _, section in pairs])
    cells = list(dict.fromkeys(cell for shape, _ in pairs if (cell := cell_of(shape))))
    racking = dict(zip(cells, racking_walls(cells), strict=True))
    out = []
    for (shape, section), q in zip(pairs, found, strict=True):
        cell = cell_of(shape)
        normal, line, across = at_points(racking[cell] if cell else None, section, q)
        mean_walls, mean = mean_shear(section, q, line)
        out.append(Coefficients(q.points.wall, q.points.label, normal, line + on_faces(q), mean_walls, mean, across))
    return out


_KEPT = Kept(_coefficients)


def at_points(box: RackingWalls | None, section: Section, q: Properties) -> tuple[Array, Array, Array]:
    """Normal stress, shear stress in the middle of the walls (p, 8) and stress across them (p,) at the points of q, of
    a section that racks as `box` does."""
    normal, line, across = normal_coefficients(q), _mid_line(q), np.zeros(len(q.points.y))
    if box:
        across = _add_racking(box, section, q, normal, line)
    return normal, line, across


def normal_coefficients(q: Properties) -> Array:
    """(p, 8) normal stress at the section's points.

    s = N/A + a (z - zc) + b (y - yc) with [Iyy Iyz; Iyz Izz] (a, b) = (My, -Mz): unsymmetric bending without
    principal axes (any strength-of-materials text; follows from My = int s z dA, Mz = -int s y dA); from warping
    B omega/Iw.
    """
    y, z = q.points.y - q.yc, q.points.z - q.zc
    inverse = np.linalg.inv(np.array([[q.Iyy, q.Iyz], [q.Iyz, q.Izz]]))
    linear = np.stack([z, y], axis=1) @ inverse  # (p, 2): per unit (My, -Mz)
    out = np.zeros((len(y), 8))
    out[:, N] = 1 / q.A
    out[:, MY], out[:, MZ] = linear[:, 0], -linear[:, 1]
    if q.Iw:
        out[:, B] = q.points.omega / q.Iw
    out *= q.points.modulus[:, None]
    return out


def _mid_line(q: Properties) -> Array:
    """(p, 8) shear stress in the middle of the walls, along them from start to end."""
    out = np.zeros((len(q.points.y), 8))
    out[:, VY : T + 1] = q.points.tau
    if q.Iw:
        out[:, LAST] = q.points.tau_warp - q.points.tau[:, 2]  # T itself counts as St-Venant's
    return out


def on_faces(q: Properties) -> Array:
    """(p, 8) what St-Venant's torque adds on the faces of open walls."""
    out = np.zeros((len(q.points.y), 8))
    out[:, T] = q.points.tau_face
    if q.Iw:
        out[:, LAST] = -q.points.tau_face
    return out


class RackingWalls(NamedTuple):
    """What racking does to one box: its cell, plane (3,) and inertia of omega, flow of R, and moment across the walls
    (4, 2 ends), signed as `WallFrame.moment`."""

    cell: Cell
    plane: Array
    inertia: float
    flow: Array
    moment: Array


def racking_walls(cells: Sequence[Cell]) -> list[RackingWalls]:
    """Of all boxes, those that are new at once."""
    return _RACKING.each(cells)


def _racking_walls(cells: list[Cell]) -> list[RackingWalls]:
    walls = box_walls(cells)
    m, moment = walls.membrane(), walls.frame(1.0, 0.0).moment
    rows = zip(cells, m.plane, m.inertia.tolist(), m.racking_flow, moment, strict=True)
    return [RackingWalls(*row) for row in rows]


_RACKING = Kept(_racking_walls)


def _add_racking(box: RackingWalls, section: Section, q: Properties, normal: Array, line: Array) -> Array:
    """Stress of a box's racking: B omega/I with omega = y z - plane . (1, y, z), and the shear flow of R, shared evenly
    with the plates beside a wall.  Returned: the size of the stress across the walls, whose bending moment runs evenly
    from end to end; wall and plates bend each by itself and take it by t^3."""
    size = np.array(box.cell.size)
    place = np.stack([q.points.y, q.points.z], axis=1) - box.cell.pole
    y, z = place.T
    one, by_y, by_z = box.plane
    normal[:, B] = (y * z - one - by_y * y - by_z * z) / box.inertia
    along = np.array([(w.end[0] - w.start[0], w.end[1] - w.start[1]) for w in section.walls])[q.points.index]
    upright = abs(along[:, 1]) > abs(along[:, 0])
    which = np.where(upright, y > 0, 2 + (z < 0))
    way = np.sign(np.where(upright, along[:, 1], along[:, 0]))
    share = np.clip(np.where(upright, z / size[1], y / size[0]) + 0.5, 0, 1)
    own, together, bend = _side_by_side(box.cell, section, q, which)
    c0, c1, c2 = box.flow[which].T
    line[:, LAST] = way * (c0 + share * (c1 + share * c2)) / together
    first, last = (6 * box.moment[which] * (own / bend)[:, None]).T  # both ends turned alike: it changes sign inside
    return np.asarray(np.abs((1 - share) * first - share * last))


def _side_by_side(cell: Cell, section: Section, q: Properties, which: IntArray) -> tuple[Array, Array, Array]:
    """Of every point: thickness of its wall or plate, that of all that lies side by side there, and their t^3."""
    own = np.array(cell.bare, dtype=np.float64)[which]
    together, bend = own.copy(), own**3
    plates = {lap.number: lap for lap in cell.laps}
    for k in dict.fromkeys(q.points.index.tolist()) if plates else ():
        here, wall = q.points.index == k, section.walls[k]
        upright = int(which[here][0] < 2)
        middle = (wall.start[upright] + wall.end[upright]) / 2 - cell.pole[upright]
        each = cell.at(int(which[here][0]), middle / cell.size[upright] + 0.5)
        own[here] = plates[k].thickness if k in plates else own[here]
        together[here], bend[here] = sum(each), sum(t**3 for t in each)
    return own, together, bend


def bending_across(least: Cell, section: Section, stiff: Cell, q: Properties) -> Array:
    """`Coefficients.across` at the points of q on a section, of a box `least` whose walls take the moments of those of
    another one."""
    own, other = racking_walls([least, stiff])
    rest = np.zeros((2, len(q.points.y), 8))
    return _add_racking(own._replace(moment=other.moment), section, q, rest[0], rest[1])


def mean_shear(section: Section, q: Properties, line: Array) -> tuple[tuple[str, ...], Array]:
    """Names of the walls and (w, 8) their average shear stress.

    Shear force carried by the wall over its true area, so that the two webs of a box share V as V/(2 H t).  The shear
    flow is a parabola along a straight wall, which Simpson's rule integrates exactly; a curved piece (corner, tube)
    counts by its middle.
    """
    names, rows = [], []
    for w in dict.fromkeys(int(i) for i in q.points.index):
        wall = section.walls[w]
        own = np.nonzero(q.points.index == w)[0][:3]
        names.append(wall.name)
        if wall.bulge:
            rows.append(line[own[0]])
        else:
            whole = max(wall.true_length, wall.thickness)  # a lip may hardly stand out of its flange
            rows.append((line[own[0]] + 4 * line[own[2]] + line[own[1]]) / 6 * wall.length / whole)
    return tuple(names), np.array(rows)
