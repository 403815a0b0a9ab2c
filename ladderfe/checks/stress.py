"""Stress at every wall point of the sections looked at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import coefficients_of
from ladderfe.mesh import Mesh
from ladderfe.solve import Responses

if TYPE_CHECKING:
    from ladderfe.checks.rows import Rows

__all__ = ["PointTable", "Stresses", "point_table", "stresses"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class PointTable:
    """Wall points of all sections, padded to p points: names per section, `real` (s, p) marks those that exist.

    normal (s, p, 8) and shear (s, p, 8): stress per unit resultant, see `coefficients`.  mean (s, w, 8): average shear
    stress of whole walls per unit resultant, mean_walls their names.  across (s, p): see `Coefficients`.
    """

    walls: tuple[tuple[str, ...], ...]
    labels: tuple[tuple[str, ...], ...]
    real: NDArray[np.bool_]
    normal: Array
    shear: Array
    mean_walls: tuple[tuple[str, ...], ...]
    mean: Array
    across: Array


@dataclass(frozen=True, slots=True, eq=False)
class Stresses:
    """normal, shear and von_mises (r, p, c) in MPa at the rows' sections, mean (r, w, c) the average shear stress of
    whole walls, across (r, p, c) the size of the stress across box walls that bend as the box racks (in von_mises, on
    the worse face); points and walls that do not exist are zero."""

    table: PointTable
    section: IntArray
    normal: Array
    shear: Array
    von_mises: Array
    mean: Array
    across: Array


def point_table(mesh: Mesh) -> PointTable:
    """Stress points and walls of all sections of a mesh."""
    all_of = coefficients_of(list(zip(mesh.shapes, mesh.sections, strict=True)))
    shape = (len(all_of), max(len(c.walls) for c in all_of))
    real, normal, shear = np.zeros(shape, dtype=bool), np.zeros((*shape, 8)), np.zeros((*shape, 8))
    mean = np.zeros((len(all_of), max(len(c.mean_walls) for c in all_of), 8))
    across = np.zeros(shape)
    for k, c in enumerate(all_of):
        n = len(c.walls)
        real[k, :n], normal[k, :n], shear[k, :n] = True, c.normal, c.shear
        mean[k, : len(c.mean_walls)] = c.mean
        across[k, :n] = c.across
    return PointTable(
        walls=tuple(c.walls for c in all_of),
        labels=tuple(c.labels for c in all_of),
        real=real,
        normal=normal,
        shear=shear,
        mean_walls=tuple(c.mean_walls for c in all_of),
        mean=mean,
        across=across,
    )


def _at_rows(table: Array, mesh: Mesh, rows: Rows) -> Array:
    """(r, ..., 8) coefficients of a table (s, ..., 8) of all sections at the rows; inside a taper step by a parabola
    through its two ends and its middle, so that stress is that of the true shape and not of the step."""
    out: Array = table[mesh.section_of[rows.member]]
    inside = np.nonzero(mesh.tapered[rows.member])[0]
    if len(inside):
        m = rows.member[inside]
        x = (rows.x[inside] / mesh.lengths[m]).reshape(-1, *([1] * (table.ndim - 1)))
        first, last = mesh.end_sections[m].T
        out[inside] *= 4 * x * (1 - x)
        out[inside] += (1 - x) * (1 - 2 * x) * table[first] + x * (2 * x - 1) * table[last]
    return out


def stresses(solution: Responses, rows: Rows) -> Stresses:
    """Normal, shear and von Mises stress of all cases at the rows' sections."""
    table = point_table(solution.mesh)
    section = solution.mesh.section_of[rows.member]
    eight, steel = rows.resultants[:, :8], solution.mesh.material
    normal = _at_rows(table.normal, solution.mesh, rows) @ eight
    shear = _at_rows(table.shear, solution.mesh, rows) @ eight
    mean = _at_rows(table.mean, solution.mesh, rows) @ eight
    plate = steel.youngs_modulus / (1 - steel.poissons_ratio**2)
    across = plate * _at_rows(table.across, solution.mesh, rows)[:, :, None] * np.abs(rows.resultants[:, 8])[:, None]
    von_mises = _von_mises(normal, shear, across, steel.poissons_ratio)
    return Stresses(table, section, normal, shear, von_mises, mean, across)


def _von_mises(normal: Array, shear: Array, across: Array, poisson: float) -> Array:
    """Von Mises stress on the worse face of the walls: they bend across by +-`across`, which held along the member
    brings Poisson's share of it there."""
    size = np.abs(normal)
    found = []
    for sign in (1.0, -1.0):
        along = size + sign * poisson * across
        found.append(along**2 + across**2 - sign * along * across)
    return np.asarray(np.sqrt(np.maximum(*found) + 3 * shear**2))
