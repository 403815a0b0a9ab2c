"""Line loads that begin and end anywhere inside members, carried to the ends exactly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import in_order, inverse, powers, sum_by
from ladderfe.elements.beam import Beams, deformation, natural_stiffness

__all__ = ["LineLoads", "alike", "each_equivalent", "equivalent_loads"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

# Gauss-Legendre, three points: exact to degree 5 = cubic influence x quadratic load
_GAUSS_X = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
_GAUSS_W = np.array([5.0, 8.0, 5.0]) / 18.0
#: Digits of a millimetre to which ends of stretches are told apart.
SAME = 9


@dataclass(frozen=True, slots=True, eq=False)
class LineLoads:
    """k line loads on members, for c load cases.

    member (k,) index; start, end (k,) mm from end 1; point (k, 2) mm = (y, z) where the load acts in the section;
    force (k, 3, 3, c): coefficients of 1, s, s^2 (s = distance from the load's start, mm) of the force per length
    along the member, N/mm, components x' y' z'.
    """

    member: IntArray
    start: Array
    end: Array
    point: Array
    force: Array

    def __len__(self) -> int:
        return len(self.member)

    @property
    def cases(self) -> int:
        return int(self.force.shape[3])

    @property
    def coefficients(self) -> Array:
        """(k, 9, c) `force`, power by power x' y' z'."""
        return self.force.reshape(len(self), 9, self.cases)

    @staticmethod
    def none(cases: int) -> LineLoads:
        """No line loads, for `cases` load cases."""
        return LineLoads(
            np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0), np.zeros((0, 2)), np.zeros((0, 3, 3, cases))
        )

    @staticmethod
    def join(parts: list[LineLoads]) -> LineLoads:
        """Several sets of line loads as one; all must have the same number of cases."""
        return LineLoads(
            np.concatenate([p.member for p in parts]),
            np.concatenate([p.start for p in parts]),
            np.concatenate([p.end for p in parts]),
            np.concatenate([p.point for p in parts]),
            np.concatenate([p.force for p in parts]),
        )


def alike(loads: LineLoads) -> tuple[IntArray, IntArray]:
    """One of the loads on every stretch and point, and for each load the number of that one."""
    key = np.column_stack([loads.member, loads.start, loads.end, loads.point])
    _, first, place = np.unique(np.round(key.astype(float), 6), axis=0, return_index=True, return_inverse=True)
    return first, place.ravel()


def acting(work: Array, force: Array) -> Array:
    """(k, 3, w, c) what forces (k, 3, 3, c) do to w movements of the section, power by power, from their work (k, w, 3)
    per unit x' y' z'."""
    k, _, _, c = force.shape
    by_way = force.swapaxes(1, 2).reshape(k, 3, 3 * c)
    return (work @ by_way).reshape(k, work.shape[1], 3, c).swapaxes(1, 2)


class Together(NamedTuple):
    """Line loads that share a stretch of a member as one: member, start, end (g,) and force (g, 3, w, c) as in
    `acting`, counted from the start."""

    member: IntArray
    start: Array
    end: Array
    force: Array

    @staticmethod
    def of(loads: LineLoads, work: Array) -> Together:
        """What line loads do by their work (k, w, 3); ends that differ by rounding alone are the same."""
        key = np.column_stack([loads.member, np.round(loads.start, SAME), np.round(loads.end, SAME)])
        order = np.lexsort(key.T[::-1])  # member by member
        new = np.concatenate([[True], (np.diff(key[order], axis=0) != 0).any(axis=1)])[: len(order)]
        first = np.flatnonzero(new)
        count = np.diff(first, append=len(order))
        force = _acting(work, loads.force, order[first])
        for k in range(1, int(count.max(initial=0))):  # few share a stretch
            some = np.flatnonzero(count > k)
            force[some] += _acting(work, loads.force, order[first[some] + k])
        one = order[first]
        return Together(loads.member[one], loads.start[one], loads.end[one], force.swapaxes(1, 2))

    def on(self, number: IntArray) -> Together:
        """Those on some of the members; number (m,): their new number, -1 for members left out."""
        new = number[self.member]
        kept = np.flatnonzero(new >= 0)
        return Together(new[kept], self.start[kept], self.end[kept], self.force[kept])

    def part(self, ways: slice) -> Together:
        """Some of the movements."""
        return self._replace(force=self.force[:, :, ways])


def _acting(work: Array, force: Array, rows: IntArray) -> Array:
    return acting(work.take(rows, axis=0), force.take(rows, axis=0)).swapaxes(1, 2)


def resultant_work(point: Array) -> Array:
    """(k, 6, 3) forces x' y' z' and moments about the reference line of unit forces x' y' z' at points (k, 2)."""
    (y, z), out = point.T, np.zeros((len(point), 6, 3))
    out[:, range(3), range(3)] = 1
    out[:, 3, 1], out[:, 3, 2], out[:, 4, 0], out[:, 5, 0] = -z, y, z, -y
    return out


def equivalent_loads(p: Beams, loads: LineLoads) -> Array:
    """(n_members, 12, c) end loads that move the ends just as the line loads do, member axes, N and N mm."""
    return of_resultants(p, Together.of(loads, resultant_work(loads.point)))


def of_resultants(p: Beams, whole: Together) -> Array:
    """The same of forces and moments about the reference line, see `resultant_work`."""
    own = p if in_order(whole.member, len(p)) else p.take(whole.member)
    return _end_loads(deformation(p), sum_by(len(p), whole.member, _on_deformations(own, whole, natural_stiffness(p))))


def each_equivalent(p: Beams, loads: LineLoads) -> Array:
    """(k, 12, c) equivalent end loads of every line load by itself."""
    each = Together(loads.member, loads.start, loads.end, acting(resultant_work(loads.point), loads.force))
    return each_of_resultants(p, each)


def each_of_resultants(p: Beams, each: Together) -> Array:
    """The same of forces and moments about the reference line, see `resultant_work`."""
    work = _on_deformations(p.take(each.member), each, natural_stiffness(p))
    return _end_loads(deformation(p)[each.member], work)


def _end_loads(by_ends: Array, work: Array) -> Array:
    """(n, 12, c) end loads from those on natural deformations and on end 1 (n, 12, c)."""
    out: Array = by_ends.transpose(0, 2, 1) @ work[:, :6]
    out[:, :6] += work[:, 6:]
    return out


def _on_deformations(own: Beams, loads: Together, stiff: Array) -> Array:
    """(g, 12, c) loads on the natural deformations of `beam`, and what end 1 bears beside them: the transpose of
    `beam.cubic`, with work on its powers of x, where `_section_map` and its inverse cancel; own has one entry per load,
    stiff (n, 6, 6) is `natural_stiffness` of all members."""
    whole, once, twice, thrice = _by_powers(loads).swapaxes(0, 1)  # (g, 6, c) times 1, x, x^2, x^3
    length, (y, z) = own.length[:, None, None], own.shear_centre.T[:, :, None]
    bending = (stiff if in_order(loads.member, len(stiff)) else stiff[loads.member])[:, 4:, 4:]
    bent, sheared = bending @ inverse(own.bending), 2 / length * (bending @ own.shear)
    aside, (m1, m2) = slice(1, 3), (_about_centroid(own, part) for part in (once, twice))
    bend = m2 / length - m1 - twice[:, aside] / 2 + thrice[:, aside] / (3 * length)
    out = np.zeros((len(own), 12, whole.shape[2]))
    out[:, 0], out[:, 1] = once[:, 0], once[:, 3] - y * once[:, 2] + z * once[:, 1]
    out[:, 2:4] = m1 + twice[:, aside] / 2
    out[:, :4] /= length
    out[:, 4:6] = bent @ bend - sheared @ once[:, aside]
    out[:, 6:] = whole
    out[:, 10] -= once[:, 2]
    out[:, 11] += once[:, 1]
    return out


def _about_centroid(own: Beams, part: Array) -> Array:
    """(g, 2, c) moments about z' and, turned round, y' through the centroid."""
    out = own.centroid[:, :, None] * part[:, :1]
    out[:, 0] += part[:, 5]
    out[:, 1] -= part[:, 4]
    return out


def _by_powers(loads: Together) -> Array:
    """(g, 4, w, c) integrals of line loads times 1, x, x^2 and x^3, x from end 1."""
    (g, _, w, c), length = loads.force.shape, loads.end - loads.start
    s = _GAUSS_X * length[:, None]  # (g, 3)
    weight = (_GAUSS_W * length[:, None])[:, None] * powers(s, 3)
    moments = powers(loads.start[:, None] + s, 4) @ weight.transpose(0, 2, 1)  # (g, 4, 3): of x and of s
    return (moments @ loads.force.reshape(g, 3, w * c)).reshape(g, 4, w, c)
