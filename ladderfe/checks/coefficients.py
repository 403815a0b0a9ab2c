"""Stress at a section's points and walls per unit resultant: N, Vy, Vz, T, My, Mz, bimoment B, and Tw or R.

Of open walls B is that of warping and Tw its torque, the rest of T is St-Venant's; of boxes B and R belong to racking.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import BoxWalls
from ladderfe.mesh import pole_of
from ladderfe.sections import Box, Properties, Section, Shape, properties

__all__ = ["Coefficients", "coefficients"]

Array = NDArray[np.float64]
N, VY, VZ, T, MY, MZ, B, LAST = range(8)


@dataclass(frozen=True, slots=True, eq=False)
class Coefficients:
    """Of one section: point names, normal and shear (p, 8) stress per unit resultant at its points, mean (w, 8) the
    average shear of its walls."""

    walls: tuple[str, ...]
    labels: tuple[str, ...]
    normal: Array
    shear: Array
    mean_walls: tuple[str, ...]
    mean: Array


@lru_cache(maxsize=4096)
def coefficients(shape: Shape, section: Section) -> Coefficients:
    """Stress coefficients of a section."""
    q = properties(section)
    normal, line = normal_coefficients(q), _mid_line(q)
    if isinstance(shape, Box):
        _add_racking(shape, section, q, normal, line)
    mean_walls, mean = _mean_shear(section, q, line)
    return Coefficients(q.points.wall, q.points.label, normal, line + _faces(q), mean_walls, mean)


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


def _add_racking(box: Box, section: Section, q: Properties, normal: Array, line: Array) -> None:
    """Stress of a box's racking: B omega/I with omega = y z - plane . (1, y, z), and the shear flow of R."""
    pole, size = pole_of(box)
    thickness = np.array([[box.minus, box.plus, box.top, box.bottom]])
    membrane = BoxWalls(size[:1], size[1:], thickness).membrane()
    y, z = q.points.y - pole[0], q.points.z - pole[1]
    one, by_y, by_z = membrane.plane[0]
    normal[:, B] = (y * z - one - by_y * y - by_z * z) / membrane.inertia[0]
    for p, wall in enumerate(section.walls[i] for i in q.points.index):
        dy, dz = wall.end[0] - wall.start[0], wall.end[1] - wall.start[1]
        upright = abs(dz) > abs(dy)
        which, way = (int(y[p] > 0), dz) if upright else (2 + int(z[p] < 0), dy)
        share = float(np.clip((z[p] / size[1] if upright else y[p] / size[0]) + 0.5, 0, 1))
        c0, c1, c2 = membrane.racking_flow[0, which]
        line[p, LAST] = np.sign(way) * (c0 + share * (c1 + share * c2)) / thickness[0, which]


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
            rows.append((line[own[0]] + 4 * line[own[2]] + line[own[1]]) / 6 * wall.length / wall.true_length)
    return tuple(names), np.array(rows)
