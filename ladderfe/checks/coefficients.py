"""Stress at a section's points and walls per unit resultant: N, Vy, Vz, T, My, Mz, bimoment B, and Tw or R.

Of open walls B is that of warping and Tw its torque, the rest of T is St-Venant's; of boxes B and R belong to racking.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import BoxWalls
from ladderfe.mesh import pole_of
from ladderfe.sections import Box, Properties, Section, Shape, properties_of
from ladderfe.sections.kept import Kept

__all__ = ["Coefficients", "Pair", "bending_across", "coefficients", "coefficients_of"]

Array = NDArray[np.float64]
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
    boxes = list(dict.fromkeys(shape for shape, _ in pairs if isinstance(shape, Box)))
    racking = dict(zip(boxes, _racking_walls(boxes), strict=True))
    out = []
    for (shape, section), q in zip(pairs, found, strict=True):
        normal, line, across = normal_coefficients(q), _mid_line(q), np.zeros(len(q.points.y))
        if isinstance(shape, Box):
            across = _add_racking(racking[shape], section, q, normal, line)
        mean_walls, mean = _mean_shear(section, q, line)
        out.append(Coefficients(q.points.wall, q.points.label, normal, line + _faces(q), mean_walls, mean, across))
    return out


_KEPT = Kept(_coefficients)


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


def _faces(q: Properties) -> Array:
    """(p, 8) what St-Venant's torque adds on the faces of open walls."""
    out = np.zeros((len(q.points.y), 8))
    out[:, T] = q.points.tau_face
    if q.Iw:
        out[:, LAST] = -q.points.tau_face
    return out


class _Walls(NamedTuple):
    """What racking does to one box: its pole and size, plane (3,) and inertia of omega, flow of R, wall thicknesses,
    and stress across the walls (4, 2 ends), signed as `WallFrame.moment`."""

    pole: Array
    size: Array
    plane: Array
    inertia: float
    flow: Array
    thickness: Array
    across: Array


def _racking_walls(boxes: list[Box]) -> list[_Walls]:
    """Of all boxes at once."""
    if not boxes:
        return []
    poles, sizes = (np.array(own) for own in zip(*map(pole_of, boxes), strict=True))
    thickness = np.array([[b.minus, b.plus, b.top, b.bottom] for b in boxes])
    walls = BoxWalls(sizes[:, 0], sizes[:, 1], thickness)
    m, bent = walls.membrane(), 6 * walls.frame(1.0, 0.0).moment / thickness[:, :, None] ** 2
    rows = zip(poles, sizes, m.plane, m.inertia.tolist(), m.racking_flow, thickness, bent, strict=True)
    return [_Walls(*row) for row in rows]


def _add_racking(box: _Walls, section: Section, q: Properties, normal: Array, line: Array) -> Array:
    """Stress of a box's racking: B omega/I with omega = y z - plane . (1, y, z), and the shear flow of R.  Returned:
    the size of the stress across the walls, whose bending moment runs evenly from end to end."""
    place = np.stack([q.points.y, q.points.z], axis=1) - box.pole
    y, z = place.T
    one, by_y, by_z = box.plane
    normal[:, B] = (y * z - one - by_y * y - by_z * z) / box.inertia
    along = np.array([(w.end[0] - w.start[0], w.end[1] - w.start[1]) for w in section.walls])[q.points.index]
    upright = abs(along[:, 1]) > abs(along[:, 0])
    which = np.where(upright, y > 0, 2 + (z < 0))
    way = np.sign(np.where(upright, along[:, 1], along[:, 0]))
    share = np.clip(np.where(upright, z / box.size[1], y / box.size[0]) + 0.5, 0, 1)
    c0, c1, c2 = box.flow[which].T
    line[:, LAST] = way * (c0 + share * (c1 + share * c2)) / box.thickness[which]
    first, last = box.across[which].T  # both ends turned alike: the moment inside changes sign on the way
    return np.asarray(np.abs((1 - share) * first - share * last))


@lru_cache(maxsize=2048)
def bending_across(least: Box, section: Section, stiff: Box) -> Array:
    """`Coefficients.across` at the points of a box `least` whose walls take the moments of those of another one."""
    own, other = _racking_walls([least]), _racking_walls([stiff])
    taken = own[0]._replace(across=other[0].across * (other[0].thickness / own[0].thickness)[:, None] ** 2)
    q = properties_of([section])[0]
    rest = np.zeros((2, len(q.points.y), 8))
    out = _add_racking(taken, section, q, rest[0], rest[1])
    out.setflags(write=False)
    return out


def _mean_shear(section: Section, q: Properties, line: Array) -> tuple[tuple[str, ...], Array]:
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
