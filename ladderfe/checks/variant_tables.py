"""Stress points of sections in many states: the same numbers as `coefficients`, family by family."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import LAST, MY, MZ, VY, VZ, B, N, T
from ladderfe.checks.stress import PointTable, table_of
from ladderfe.sections import Box
from ladderfe.sections.alike import Many
from ladderfe.solve.variant_sections import SectionStates

__all__ = ["StackedTable", "stacked_table"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Four = tuple[Array, Array, Array, Array]
Names = tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _Part:
    """Coefficients of n sections alike: normal and shear (8, n, p), mean (8, n, w), across (1, n, p); and what all have
    in common, names of points, labels and walls."""

    four: Four
    walls: Names
    labels: Names
    mean_walls: Names

    @property
    def count(self) -> tuple[int, int]:
        """Points and walls."""
        return len(self.walls), len(self.mean_walls)


@dataclass(frozen=True, eq=False)
class StackedTable:
    """Stress points of all sections that vary, states first, and then of all sections of the mesh: numbered as
    `SectionStates.stacked` does, drawn up for those that are asked for.

    numbers (f,) of every family's sections among those that vary; parts: of every family (v x f); still: the mesh's.
    """

    states: int
    numbers: tuple[IntArray, ...]
    parts: tuple[_Part, ...]
    still: PointTable

    @cached_property
    def _place(self) -> tuple[IntArray, IntArray]:
        """(varying,) family of every section that varies, and its number there."""
        family, number = np.zeros((2, sum(map(len, self.numbers))), dtype=np.int64)
        for k, own in enumerate(self.numbers):
            family[own], number[own] = k, np.arange(len(own))
        return family, number

    def greatest(self, warping: NDArray[np.bool_]) -> Array:
        """(s, 4, 8) of every section the greatest size of its coefficients: normal, shear, mean, and across (its
        first).

        Of sections that warp (s,) those of T and Tw go with St-Venant's part T - Tw and with Tw, as `sizes` counts: the
        two are large and of unlike sign where St-Venant's part is small.
        """
        out = np.zeros((len(warping), 4, 8))
        moving = len(warping) - len(self.still.walls)
        own, warps = out[:moving].reshape(self.states, -1, 4, 8), warping[:moving].reshape(self.states, -1)
        for number, part in zip(self.numbers, self.parts, strict=True):
            found = _greatest(part.four, warps[:, number].ravel())
            own[:, number] = found.reshape(self.states, -1, 4, 8)
        t = self.still
        four = t.normal, t.shear, t.mean, t.across[..., None]
        normal, shear, mean, across = (np.moveaxis(a, 2, 0) for a in four)
        out[moving:] = _greatest((normal, shear, mean, across), warping[moving:])
        return out

    def take(self, numbers: IntArray) -> PointTable:
        """Of the sections in `numbers` (s,) alone, in their order; points and walls as many as all need."""
        family, number = self._place
        state, section = np.divmod(numbers, len(family))
        still = state >= self.states
        out = _Drawn.of(len(numbers), np.max([self.still.count.max(axis=0), *(p.count for p in self.parts)], axis=0))
        for k, part in enumerate(self.parts):
            at = np.flatnonzero(~still & (family[section] == k))
            rows = state[at] * len(self.numbers[k]) + number[section[at]]
            out.fill(at, [np.moveaxis(a[:, rows], 0, 2) for a in part.four])
            out.name(at, [(part.walls, part.labels, part.mean_walls)] * len(at))
        at, t = np.flatnonzero(still), self.still
        rows = numbers[at] - self.states * len(family)
        out.fill(at, [t.normal[rows], t.shear[rows], t.mean[rows], t.across[rows, :, None]])
        out.name(at, [(t.walls[k], t.labels[k], t.mean_walls[k]) for k in rows.tolist()])
        return out.table()


@dataclass(frozen=True, eq=False)
class _Drawn:
    """A table on its way: coefficients (s, p or w, 8), names of every section."""

    four: tuple[Array, ...]
    names: list[tuple[Names, Names, Names]]

    @staticmethod
    def of(sections: int, count: IntArray) -> _Drawn:
        """Nothing yet, for so many points and walls."""
        p, w = count.tolist()
        sizes = ((p, 8), (p, 8), (w, 8), (p, 1))
        return _Drawn(tuple(np.zeros((sections, *size)) for size in sizes), [((), (), ())] * sections)

    def fill(self, at: IntArray, four: list[Array]) -> None:
        """Coefficients of the sections `at`."""
        for out, own in zip(self.four, four, strict=True):
            out[at, : own.shape[1]] = own

    def name(self, at: IntArray, names: list[tuple[Names, Names, Names]]) -> None:
        """Names of the sections `at`."""
        for k, own in zip(at.tolist(), names, strict=True):
            self.names[k] = own

    def table(self) -> PointTable:
        """Drawn up."""
        normal, shear, mean, across = self.four
        walls, labels, mean_walls = (tuple(own[k] for own in self.names) for k in range(3))
        count = np.array([(len(w), len(m)) for w, m in zip(walls, mean_walls, strict=True)]).reshape(-1, 2)
        real = np.arange(normal.shape[1]) < count[:, :1]
        return PointTable(walls, labels, real, count, normal, shear, mean_walls, mean, across[..., 0])


def stacked_table(stiff: SectionStates, least: SectionStates | None = None) -> StackedTable:
    """Of some states.  least: the sections by which strength is judged, None: those of stiffness."""
    states = stiff if least is None else least
    place, mesh = states.sections.place, states.sections.varied.mesh
    numbers = tuple(place[own] for own, _ in states.sections.families)
    parts = tuple(_part(states, k, stiff) for k in range(len(numbers)))
    return StackedTable(states.count, numbers, parts, table_of(mesh))


def _part(states: SectionStates, family: int, stiff: SectionStates) -> _Part:
    """Of a family, per unit resultants of the sections of stiffness."""
    (_, alike), m = states.sections.families[family], states.many[family]
    found = _coefficients(states, family)
    if states is not stiff:
        found = _under_forces_of(found, states, family, stiff)
    names, number = [w.name for w in alike.sections[0].walls], m.wall.tolist()
    walls, mean_walls = (tuple(names[k] for k in own) for own in (number, dict.fromkeys(number)))
    return _Part(found, walls, alike.labels, mean_walls)


def _greatest(four: Four, warps: NDArray[np.bool_]) -> Array:
    """As `StackedTable.greatest` of n sections."""
    out = np.zeros((4, 8, len(warps)))
    for k, a in enumerate(four[:3]):
        by = a.swapaxes(1, 2)
        out[k] = np.maximum(by.max(axis=1), -by.min(axis=1))
        if warps.any():
            out[k, LAST, warps] = np.abs(a[T, warps] + a[LAST, warps]).max(axis=1)
    out[3, 0] = four[3][0].T.max(axis=0)
    return np.moveaxis(out, 2, 0)


def _coefficients(states: SectionStates, family: int) -> Four:
    """Normal and shear (8, n, p), mean (8, n, w), across (1, n, p), the sections last in the computer's memory."""
    m = states.many[family]
    normal, line = _normal(m), _zeros(m)
    line[VY : T + 1] = np.moveaxis(m.tau, 2, 0)
    across = np.zeros(m.y.shape)
    warps = (m.Iw > 0)[:, None]
    if isinstance(states.sections.families[family][1].shapes[0], Box):
        across = _add_racking(states, family, normal, line)
    elif warps.any():
        line[LAST] = np.where(warps, m.tau_warp - m.tau[..., 2], 0.0)
    mean = _mean(m, line)
    line[T] += m.tau_face
    if warps.any():
        line[LAST] -= np.where(warps, m.tau_face, 0.0)
    return normal, line, mean, across[None]


def _under_forces_of(found: Four, states: SectionStates, family: int, stiff: SectionStates) -> Four:
    """As `least_walls.under_forces_of`: per unit resultants of the sections of stiffness."""
    (own, alike), m = states.sections.families[family], states.many[family]
    other = next(k for k, (numbers, _) in enumerate(stiff.sections.families) if np.array_equal(numbers, own))
    q = stiff.many[other]
    by = np.repeat(np.eye(8)[None], len(m.A), axis=0)
    by[:, MY, N], by[:, MZ, N] = q.centroid[:, 1] - m.centroid[:, 1], m.centroid[:, 0] - q.centroid[:, 0]
    by[:, T, VZ] = q.shear_centre[:, 0] - m.shear_centre[:, 0]
    by[:, T, VY] = m.shear_centre[:, 1] - q.shear_centre[:, 1]
    warps = m.Iw > 0
    for v in (VY, VZ):
        by[warps, LAST, v] = by[warps, T, v]
    normal, shear, mean = (np.einsum("inp,nij->jnp", a, by, optimize=True) for a in found[:3])
    across = found[3]
    if isinstance(alike.shapes[0], Box):
        bent = 6 * stiff.boxes[other][0].frame(1.0, 0.0).moment
        rest = np.zeros((2, *normal.shape))
        across = _add_racking(states, family, rest[0], rest[1], bent)[None]
    return normal, shear, mean, across


def _zeros(m: Many) -> Array:
    """(8, n, p), the sections last in the computer's memory."""
    n, p = m.y.shape
    return np.zeros((8, p, n)).swapaxes(1, 2)


def _normal(m: Many) -> Array:
    """(8, n, p)"""
    y, z = m.y - m.centroid[:, :1], m.z - m.centroid[:, 1:]
    (Izz, Iyz), (_, Iyy) = np.moveaxis(m.moments, 0, 2)[..., None]
    det = Iyy * Izz - Iyz**2
    yy, yz, zz = Izz / det, -Iyz / det, Iyy / det  # the inverse of [Iyy Iyz; Iyz Izz]
    out = _zeros(m)
    out[N] = 1 / m.A[:, None]
    out[MY], out[MZ] = z * yy + y * yz, -(z * yz + y * zz)
    warps = (m.Iw > 0)[:, None]
    if warps.any():
        out[B] = np.where(warps, m.omega / np.where(warps, m.Iw[:, None], 1.0), 0.0)
    out *= m.modulus
    return out


def _add_racking(
    states: SectionStates, family: int, normal: Array, line: Array, moment: Array | None = None
) -> Array:  # fmt: skip
    """As `coefficients` adds it: racking's normal stress and shear flow; returned (n, p), the stress across walls, of
    six times the moments (n, 4, 2) of other walls where given."""
    m, (walls, pole) = states.many[family], states.boxes[family]
    found, thickness = walls.membrane(), walls.thickness
    moment = 6 * walls.frame(1.0, 0.0).moment if moment is None else moment
    bent = moment / thickness[:, :, None] ** 2
    y, z = m.y - pole[:, :1], m.z - pole[:, 1:]
    one, by_y, by_z = (c[:, None] for c in found.plane.T)
    normal[B] = (y * z - one - by_y * y - by_z * z) / found.inertia[:, None]
    along = m.flows.lines.along[0, m.wall]  # which way walls run, and which of the box they are, is alike in all
    upright = np.abs(along[:, 1]) > np.abs(along[:, 0])
    which = np.where(upright, y[0] > 0, 2 + (z[0] < 0))
    way = np.sign(np.where(upright, along[:, 1], along[:, 0]))[:, None]
    share = np.where(upright[:, None], z.T / walls.height, y.T / walls.width)  # (p, n), as all that follows
    share = np.clip(share + 0.5, 0, 1)
    c0, c1, c2 = np.moveaxis(found.racking_flow, (2, 0), (0, 2))[:, which]
    line[LAST] = (way * (c0 + share * (c1 + share * c2)) / thickness.T[which]).T
    first, last = np.moveaxis(bent, (2, 0), (0, 2))[:, which]
    return np.asarray(np.abs((1 - share) * first - share * last).T)


def _mean(m: Many, line: Array) -> Array:
    """(8, n, w) average shear stress of the walls."""
    out = []
    for w in dict.fromkeys(m.wall.tolist()):
        own = np.flatnonzero(m.wall == w)[:3]
        if len(own) < 3:  # a curved piece counts by its middle
            out.append(line[..., own[0]])  # (8, n)
            continue
        length, thickness = m.flows.lines.length[:, w], m.flows.lines.thickness[:, w]
        whole = np.maximum(m.true_length[:, w], thickness)
        simpson = (line[..., own[0]] + 4 * line[..., own[2]] + line[..., own[1]]) / 6
        out.append(simpson * (length / whole))
    return np.stack(out, axis=1).swapaxes(1, 2)
