"""Stress at every wall point of the sections looked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import coefficients_of, racking_walls
from ladderfe.checks.least_walls import under_forces_of
from ladderfe.mesh import Mesh
from ladderfe.sections import Section, Shape, cell_of
from ladderfe.sections.kept import lately
from ladderfe.solve import Responses

if TYPE_CHECKING:
    from ladderfe.checks.rows import Rows

__all__ = [
    "Places", "PointTable", "Stresses", "Tabled", "point_table", "stresses", "table_of", "von_mises_squared",
]  # fmt: skip

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Rows x cases worked on at a time, so that what is in between stays in the processor's cache.
AT_A_TIME = 2000


@dataclass(frozen=True, slots=True, eq=False)
class PointTable:
    """Wall points of all sections, padded to p points: names per section, `real` (s, p) marks those that exist, `count`
    (s, 2) says how many points and walls a section has.

    normal (s, p, 8) and shear (s, p, 8): stress per unit resultant, see `coefficients`.  mean (s, w, 8): average shear
    stress of whole walls per unit resultant, mean_walls their names.  across (s, p): see `Coefficients`.
    """

    walls: tuple[tuple[str, ...], ...]
    labels: tuple[tuple[str, ...], ...]
    real: NDArray[np.bool_]
    count: IntArray
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

    @property
    def peaks(self) -> Array:
        """(3, c) the greatest normal stress, average shear stress of a wall, and von Mises stress of every case."""
        return np.stack([_largest(self.normal), _largest(self.mean), _greatest(self.von_mises)])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Tabled(Mesh):
    """A mesh whose sections' stress points come with it: members of many states side by side."""

    table: PointTable


def point_table(mesh: Mesh) -> PointTable:
    """Stress points and walls of all sections of a mesh, by the walls that strength is judged by."""
    return mesh.table if isinstance(mesh, Tabled) else table_of(mesh)


def table_of(mesh: Mesh) -> PointTable:
    """Stress points and walls of the sections that a mesh names."""
    return _table(mesh.least_shapes, mesh.least_sections, mesh.shapes, mesh.sections)


@lately
def _table(
    shapes: tuple[Shape, ...], sections: tuple[Section, ...],
    stiff_shapes: tuple[Shape, ...], stiff_sections: tuple[Section, ...],
) -> PointTable:  # fmt: skip
    all_of = coefficients_of(list(zip(shapes, sections, strict=True)))
    if sections is not stiff_sections:
        racking_walls([cell for s in (*shapes, *stiff_shapes) if (cell := cell_of(s))])  # all at once, kept for each
        stiff = zip(stiff_shapes, stiff_sections, strict=True)
        least = zip(shapes, sections, strict=True)
        all_of = [under_forces_of(*own) for own in zip(all_of, least, stiff, strict=True)]
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
        count=np.array([(len(c.walls), len(c.mean_walls)) for c in all_of]),
        normal=normal,
        shear=shear,
        mean_walls=tuple(c.mean_walls for c in all_of),
        mean=mean,
        across=across,
    )


class Places(NamedTuple):
    """Sections of rows (r,); of the rows `tapered` (t,) inside a taper step also those at both its ends (2, t), and how
    much (3, t) its middle and its ends count."""

    section: IntArray
    tapered: IntArray
    ends: IntArray
    share: Array

    @staticmethod
    def of(mesh: Mesh, member: IntArray, x: Array) -> Places:
        inside = np.flatnonzero(mesh.tapered[member])
        m = member[inside]
        t = x[inside] / mesh.lengths[m]
        share = np.stack([4 * t * (1 - t), (1 - t) * (1 - 2 * t), t * (2 * t - 1)])
        return Places(mesh.section_of[member], inside, mesh.end_sections[m].T, share)

    def of_table(self, table: Array) -> Array:
        """(r, ..., 8) coefficients of a table (s, ..., 8) of all sections; inside a taper step by a parabola through
        its two ends and its middle, so that stress is that of the true shape and not of the step."""
        out: Array = table[self.section]
        if len(self.tapered):
            middle, one, two = self.share.reshape(3, -1, *([1] * (table.ndim - 1)))
            first, last = self.ends
            out[self.tapered] = middle * out[self.tapered] + one * table[first] + two * table[last]
        return out


def stresses(solution: Responses, rows: Rows) -> Stresses:
    """Normal, shear and von Mises stress of all cases at the rows' sections."""
    table = point_table(solution.mesh)
    r, cases = len(rows.member), rows.resultants.shape[2]
    by_point, by_wall = (r, table.real.shape[1], cases), (r, table.mean.shape[1], cases)
    normal, shear, worst, across = (np.zeros(by_point) for _ in range(4))
    mean = np.zeros(by_wall)
    for own, b in _blocks(solution.mesh, table, rows):
        p = b.normal.shape[1]
        normal[own, :p], shear[own, :p], across[own, :p] = b.normal, b.shear, b.across
        mean[own, : b.mean.shape[1]] = b.mean
        np.sqrt(b.worst, out=worst[own, :p])
    return Stresses(table, solution.mesh.section_of[rows.member], normal, shear, worst, mean, across)


def _largest(stress: Array) -> Array:
    """(c,) greatest size of stresses (r, p, c)."""
    return np.asarray(np.maximum(_greatest(stress), -stress.min(axis=0).min(axis=0)))


def _greatest(stress: Array) -> Array:
    """(c,) greatest of stresses (r, p, c): over the rows first, which is quicker than over both at once."""
    return np.asarray(stress.max(axis=0).max(axis=0))


class _Block(NamedTuple):
    """Stresses of some rows, as in `Stresses`, up to the last point or wall that their sections have; worst: von Mises
    stress squared."""

    normal: Array
    shear: Array
    mean: Array
    across: Array
    worst: Array


def _blocks(mesh: Mesh, table: PointTable, rows: Rows) -> Iterator[tuple[slice, _Block]]:
    """The stresses of all rows, a few at a time: all of them would not stay in the processor's cache."""
    steel, cases = mesh.material, rows.resultants.shape[2]
    plate = steel.youngs_modulus / (1 - steel.poissons_ratio**2)
    step = max(1, AT_A_TIME // max(cases, 1))
    for first in range(0, len(rows.member), step):
        own = slice(first, first + step)
        at = Places.of(mesh, rows.member[own], rows.x[own])
        last, walls = table.count[at.section].max(axis=0)
        eight, racking = rows.resultants[own, :8], np.abs(rows.resultants[own, 8])
        normal, shear = at.of_table(table.normal[:, :last]) @ eight, at.of_table(table.shear[:, :last]) @ eight
        across = (plate * at.of_table(table.across[:, :last]))[:, :, None] * racking[:, None]
        worst = von_mises_squared(normal, shear, across, steel.poissons_ratio)
        yield own, _Block(normal, shear, at.of_table(table.mean[:, :walls]) @ eight, across, worst)


def von_mises_squared(normal: Array, shear: Array, across: Array, poisson: float) -> Array:
    """Von Mises stress squared on the worse face of the walls: they bend across by +-a, which held along the member
    brings Poisson's share of it there.

    With s the size of the normal stress, faces s +- nu a along and +-a across:  s^2 -+ (1 - 2 nu) s a + (1 - nu + nu^2)
    a^2; Poisson's ratio is below 1/2, so the lower sign is the worse face.
    """
    out = np.abs(normal)
    out *= 1 - 2 * poisson
    out += (1 - poisson + poisson**2) * across
    out *= across
    out += normal * normal
    out += 3 * (shear * shear)
    return out
