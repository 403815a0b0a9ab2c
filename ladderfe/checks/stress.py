"""Stress at every wall point of the sections looked at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ladderfe.mesh import Mesh
from ladderfe.sections import Properties, Section, properties
from ladderfe.solve import Responses

if TYPE_CHECKING:
    from ladderfe.checks.rows import Rows

__all__ = ["PointTable", "Stresses", "normal_coefficients", "point_table", "stresses"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class PointTable:
    """Wall points of all sections, padded to p points: names per section, `real` (s, p) marks those that exist.

    normal (s, p, 6) and shear (s, p, 6): stress per unit N, Vy, Vz, T, My, Mz.  mean (s, w, 6): average shear stress
    of whole walls per unit resultant, mean_walls their names.  checked_twist (s,): false where stress from twist
    cannot be given (open walls without warping).
    """

    walls: tuple[tuple[str, ...], ...]
    labels: tuple[tuple[str, ...], ...]
    real: NDArray[np.bool_]
    normal: Array
    shear: Array
    mean_walls: tuple[tuple[str, ...], ...]
    mean: Array
    checked_twist: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Stresses:
    """normal, shear and von_mises (r, p, c) in MPa at the rows' sections, mean (r, w, c) the average shear stress of
    whole walls; points and walls that do not exist are zero."""

    table: PointTable
    section: IntArray
    normal: Array
    shear: Array
    von_mises: Array
    mean: Array


def normal_coefficients(q: Properties) -> Array:
    """(p, 6) normal stress at the section's points per unit N, Vy, Vz, T, My, Mz.

    s = N/A + a (z - zc) + b (y - yc) with [Iyy Iyz; Iyz Izz] (a, b) = (My, -Mz): unsymmetric bending without
    principal axes (any strength-of-materials text; follows from My = int s z dA, Mz = -int s y dA).
    """
    y, z = q.points.y - q.yc, q.points.z - q.zc
    inverse = np.linalg.inv(np.array([[q.Iyy, q.Iyz], [q.Iyz, q.Izz]]))
    linear = np.stack([z, y], axis=1) @ inverse  # (p, 2): per unit (My, -Mz)
    out = np.zeros((len(y), 6))
    out[:, 0] = 1 / q.A
    out[:, 4], out[:, 5] = linear[:, 0], -linear[:, 1]
    return out


def shear_coefficients(q: Properties) -> Array:
    """(p, 6) shear stress per unit resultant; without twist where the section is open."""
    out = np.zeros((len(q.points.y), 6))
    out[:, 1:3] = q.points.tau[:, :2]
    if q.cells > 0:
        out[:, 3] = q.points.tau[:, 2]
    return out


def mean_shear(section: Section, q: Properties) -> tuple[tuple[str, ...], Array]:
    """Names of the walls and (w, 6) their average shear stress per unit resultant.

    Shear force carried by the wall over its true area, so that the two webs of a box share V as V/(2 H t).  The shear
    flow is a parabola along a straight wall, which Simpson's rule integrates exactly; a curved piece (corner, tube)
    counts by its middle.
    """
    names, rows = [], []
    tau = shear_coefficients(q)
    for w in dict.fromkeys(int(i) for i in q.points.index):
        wall = section.walls[w]
        own = np.nonzero(q.points.index == w)[0][:3]
        names.append(wall.name)
        if wall.bulge:
            rows.append(tau[own[0]])
        else:
            rows.append((tau[own[0]] + 4 * tau[own[2]] + tau[own[1]]) / 6 * wall.length / wall.true_length)
    return tuple(names), np.array(rows)


@dataclass(frozen=True, slots=True, eq=False)
class _Coefficients:
    """Of one section: point names, stress per unit resultant at its points, average shear of its walls."""

    walls: tuple[str, ...]
    labels: tuple[str, ...]
    normal: Array
    shear: Array
    mean_walls: tuple[str, ...]
    mean: Array
    closed: bool


@lru_cache(maxsize=4096)
def _coefficients(section: Section) -> _Coefficients:
    q = properties(section)
    mean_walls, mean = mean_shear(section, q)
    return _Coefficients(
        q.points.wall, q.points.label, normal_coefficients(q), shear_coefficients(q), mean_walls, mean, q.cells > 0
    )


def point_table(sections: tuple[Section, ...]) -> PointTable:
    """Stress points and walls of all sections of a mesh."""
    all_of = [_coefficients(s) for s in sections]
    shape = (len(all_of), max(len(c.walls) for c in all_of))
    real, normal, shear = np.zeros(shape, dtype=bool), np.zeros((*shape, 6)), np.zeros((*shape, 6))
    mean = np.zeros((len(all_of), max(len(c.mean_walls) for c in all_of), 6))
    for k, c in enumerate(all_of):
        n = len(c.walls)
        real[k, :n], normal[k, :n], shear[k, :n] = True, c.normal, c.shear
        mean[k, : len(c.mean_walls)] = c.mean
    return PointTable(
        walls=tuple(c.walls for c in all_of),
        labels=tuple(c.labels for c in all_of),
        real=real,
        normal=normal,
        shear=shear,
        mean_walls=tuple(c.mean_walls for c in all_of),
        mean=mean,
        checked_twist=np.array([c.closed for c in all_of]),
    )


def _at_rows(table: Array, mesh: Mesh, rows: Rows) -> Array:
    """(r, ..., 6) coefficients of a table (s, ..., 6) of all sections at the rows; inside a taper step by a parabola
    through its two ends and its middle, so that stress is that of the true shape and not of the step."""
    out: Array = table[mesh.section_of[rows.member]]
    inside = np.nonzero(mesh.tapered[rows.member])[0]
    if len(inside):
        m = rows.member[inside]
        x = (rows.x[inside] / mesh.lengths[m])[:, None, None]
        first, last = mesh.end_sections[m].T
        out[inside] *= 4 * x * (1 - x)
        out[inside] += (1 - x) * (1 - 2 * x) * table[first] + x * (2 * x - 1) * table[last]
    return out


def stresses(solution: Responses, rows: Rows) -> Stresses:
    """Normal, shear and von Mises stress of all cases at the rows' sections."""
    table = point_table(solution.mesh.sections)
    section = solution.mesh.section_of[rows.member]
    normal = _at_rows(table.normal, solution.mesh, rows) @ rows.resultants
    shear = _at_rows(table.shear, solution.mesh, rows) @ rows.resultants
    mean = _at_rows(table.mean, solution.mesh, rows) @ rows.resultants
    return Stresses(table, section, normal, shear, np.sqrt(normal**2 + 3 * shear**2), mean)
