"""Stress at a section's points and walls per unit resultant: N, Vy, Vz, T, My, Mz, bimoment B, and Tw or R.

Of open walls B is that of warping and Tw its torque, the rest of T is St-Venant's; of boxes B and R belong to racking.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
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
    cells = [cell_of(shape) for shape, _ in pairs]
    racking_walls([cell for cell in cells if cell])  # all at once, kept for each
    boxes = [racking_walls([cell])[0] if cell else None for cell in cells]
    sections = [section for _, section in pairs]
    normal, line, across = _at_points(boxes, sections, found)
    shear, means = line + _on_faces(found), _mean_shear(sections, found, line)
    out, last = [], 0
    for q, (mean_walls, mean) in zip(found, means, strict=True):
        first, last = last, last + len(q.points.y)
        own = slice(first, last)
        labels = q.points.wall, q.points.label
        out.append(Coefficients(*labels, normal[own], shear[own], mean_walls, mean, across[own]))
    return out


_KEPT = Kept(_coefficients)


def at_points(box: RackingWalls | None, section: Section, q: Properties) -> tuple[Array, Array, Array]:
    """Normal stress, shear stress in the middle of the walls (p, 8) and stress across them (p,) at the points of q, of
    a section that racks as `box` does."""
    return _at_points([box], [section], [q])


def _at_points(
    boxes: Sequence[RackingWalls | None], sections: Sequence[Section], found: Sequence[Properties]
) -> tuple[Array, Array, Array]:
    """`at_points` of many sections, the points of one after those of the other, as in all that follows."""
    normal, line, across = _normal(found), _mid_line(found), np.zeros(sum(len(q.points.y) for q in found))
    which = [k for k, box in enumerate(boxes) if box]
    if which:
        rows = np.flatnonzero(np.isin(_owner(found), which))
        racking = _racking([box for box in boxes if box], [sections[k] for k in which], [found[k] for k in which])
        normal[rows, B], line[rows, LAST], across[rows] = racking
    return normal, line, across


def _owner(found: Sequence[Properties]) -> IntArray:
    """(p,) number of the section that a point belongs to."""
    return np.repeat(np.arange(len(found)), [len(q.points.y) for q in found])


def _of_points(found: Sequence[Properties], name: str) -> Array:
    """What all points have of that name."""
    return np.concatenate([getattr(q.points, name) for q in found])


def normal_coefficients(q: Properties) -> Array:
    """(p, 8) normal stress at the section's points.

    s = N/A + a (z - zc) + b (y - yc) with [Iyy Iyz; Iyz Izz] (a, b) = (My, -Mz): unsymmetric bending without
    principal axes (any strength-of-materials text; follows from My = int s z dA, Mz = -int s y dA); from warping
    B omega/Iw.
    """
    return _normal([q])


def _normal(found: Sequence[Properties]) -> Array:
    """`normal_coefficients` of many sections."""
    of = _owner(found)
    area, yc, zc, Iw = np.array([(q.A, q.yc, q.zc, q.Iw) for q in found]).T
    inverse = np.linalg.inv(np.array([[[q.Iyy, q.Iyz], [q.Iyz, q.Izz]] for q in found]))
    place = np.stack([_of_points(found, "z") - zc[of], _of_points(found, "y") - yc[of]], axis=1)
    linear = (place[:, None] @ inverse[of])[:, 0]  # (p, 2): per unit (My, -Mz)
    out = np.zeros((len(of), 8))
    out[:, N] = 1 / area[of]
    out[:, MY], out[:, MZ] = linear[:, 0], -linear[:, 1]
    out[:, B] = np.where(Iw[of] > 0, _of_points(found, "omega"), 0.0) / np.where(Iw > 0, Iw, 1.0)[of]
    out *= _of_points(found, "modulus")[:, None]
    return out


def _warps(found: Sequence[Properties]) -> NDArray[np.bool_]:
    """(p,) points of sections that warp."""
    return np.array([q.Iw > 0 for q in found])[_owner(found)]


def _mid_line(found: Sequence[Properties]) -> Array:
    """(p, 8) shear stress in the middle of the walls, along them from start to end."""
    tau = _of_points(found, "tau")
    out = np.zeros((len(tau), 8))
    out[:, VY : T + 1] = tau
    out[:, LAST] = np.where(_warps(found), _of_points(found, "tau_warp") - tau[:, 2], 0.0)  # T counts as St-Venant's
    return out


def on_faces(q: Properties) -> Array:
    """(p, 8) what St-Venant's torque adds on the faces of open walls."""
    return _on_faces([q])


def _on_faces(found: Sequence[Properties]) -> Array:
    """`on_faces` of many sections."""
    face = _of_points(found, "tau_face")
    out = np.zeros((len(face), 8))
    out[:, T] = face
    out[:, LAST] = np.where(_warps(found), -face, 0.0)
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


def _racking(
    boxes: Sequence[RackingWalls], sections: Sequence[Section], found: Sequence[Properties]
) -> tuple[Array, Array, Array]:
    """Stress of boxes' racking at their points (p,): normal per unit B, omega/I with omega = y z - plane . (1, y, z);
    the shear flow of R, shared evenly with the plates beside a wall; and the size of the stress across the walls, whose
    bending moment runs evenly from end to end; wall and plates bend each by itself and take it by t^3."""
    of = _owner(found)
    pole, size, plane, inertia, flow, moment = (
        np.array(rows)[of] for rows in zip(
            *((b.cell.pole, b.cell.size, b.plane, b.inertia, b.flow, b.moment) for b in boxes), strict=True
        )
    )  # fmt: skip
    y, z = _of_points(found, "y") - pole[:, 0], _of_points(found, "z") - pole[:, 1]
    one, by_y, by_z = plane.T
    normal = (y * z - one - by_y * y - by_z * z) / inertia
    along = np.array([(w.end[0] - w.start[0], w.end[1] - w.start[1]) for s in sections for w in s.walls])
    before = np.cumsum([0, *(len(s.walls) for s in sections)])
    along = along[before[of] + _of_points(found, "index")]
    upright = abs(along[:, 1]) > abs(along[:, 0])
    which = np.where(upright, y > 0, 2 + (z < 0))
    way = np.sign(np.where(upright, along[:, 1], along[:, 0]))
    share = np.clip(np.where(upright, z / size[:, 1], y / size[:, 0]) + 0.5, 0, 1)
    own, together, bend = _side_by_side([b.cell for b in boxes], sections, found, which)
    at = np.arange(len(of)), which
    c0, c1, c2 = flow[at].T
    first, last = (6 * moment[at] * (own / bend)[:, None]).T  # both ends turned alike: it changes sign inside
    line = way * (c0 + share * (c1 + share * c2)) / together
    return normal, line, np.abs((1 - share) * first - share * last)


def _side_by_side(
    cells: Sequence[Cell], sections: Sequence[Section], found: Sequence[Properties], which: IntArray
) -> tuple[Array, Array, Array]:
    """Of every point: thickness of its wall or plate, that of all that lies side by side there, and their t^3."""
    of = _owner(found)
    own = np.array([cell.bare for cell in cells], dtype=np.float64)[of, which]
    together, bend = own.copy(), own**3
    for k in (k for k, cell in enumerate(cells) if cell.laps):
        rows = np.flatnonzero(of == k)
        own[rows], together[rows], bend[rows] = _lapped(cells[k], sections[k], found[k], which[rows])
    return own, together, bend


def _lapped(cell: Cell, section: Section, q: Properties, which: IntArray) -> tuple[Array, Array, Array]:
    """The same of one section with plates on its walls."""
    own = np.array(cell.bare, dtype=np.float64)[which]
    together, bend = np.zeros((2, len(own)))
    plates = {lap.number: lap for lap in cell.laps}
    for k in dict.fromkeys(q.points.index.tolist()):
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
    return _racking([own._replace(moment=other.moment)], [section], [q])[2]


def mean_shear(section: Section, q: Properties, line: Array) -> tuple[tuple[str, ...], Array]:
    """Names of the walls and (w, 8) their average shear stress.

    Shear force carried by the wall over its true area, so that the two webs of a box share V as V/(2 H t).  The shear
    flow is a parabola along a straight wall, which Simpson's rule integrates exactly; a curved piece (corner, tube)
    counts by its middle.
    """
    return _mean_shear([section], [q], line)[0]


def _mean_shear(
    sections: Sequence[Section], found: Sequence[Properties], line: Array
) -> list[tuple[tuple[str, ...], Array]]:
    """`mean_shear` of many sections."""
    of, index = _owner(found), _of_points(found, "index")
    start = np.flatnonzero(np.concatenate([[True], (of[1:] != of[:-1]) | (index[1:] != index[:-1])]))
    walls = [sections[k].walls[w] for k, w in zip(of[start].tolist(), index[start].tolist(), strict=True)]
    mean = line[start]
    straight = np.flatnonzero([not w.bulge for w in walls])
    # a lip may hardly stand out of its flange
    part = np.array([w.length / max(w.true_length, w.thickness) for w in walls if not w.bulge])
    first = start[straight]
    mean[straight] = (line[first] + 4 * line[first + 2] + line[first + 1]) / 6 * part[:, None]
    stops = np.cumsum([0, *np.bincount(of[start], minlength=len(found))]).tolist()
    names = [w.name for w in walls]
    return [(tuple(names[a:b]), mean[a:b]) for a, b in pairwise(stops)]
