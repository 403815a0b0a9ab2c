"""Line loads that begin and end anywhere inside members, carried to the ends exactly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import inverse, powers, sum_by
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
        order = np.lexsort(key.T)
        new = np.concatenate([[True], (np.diff(key[order], axis=0) != 0).any(axis=1)])[: len(order)]
        place = np.zeros(len(order), dtype=np.int64)
        place[order] = np.cumsum(new) - 1
        one, force = order[new], sum_by(int(new.sum()), place, acting(work, loads.force).swapaxes(1, 2))
        return Together(loads.member[one], loads.start[one], loads.end[one], force.swapaxes(1, 2))


def equivalent_loads(p: Beams, loads: LineLoads) -> Array:
    """(n_members, 12, c) end loads that move the ends just as the line loads do, member axes, N and N mm."""
    return _end_loads(deformation(p), sum_by(len(p), loads.member, _on_deformations(p, loads)))


def each_equivalent(p: Beams, loads: LineLoads) -> Array:
    """(k, 12, c) equivalent end loads of every line load by itself."""
    return _end_loads(deformation(p)[loads.member], _on_deformations(p, loads))


def _end_loads(by_ends: Array, work: Array) -> Array:
    """(n, 12, c) end loads from those on natural deformations and on end 1 (n, 12, c)."""
    out: Array = by_ends.transpose(0, 2, 1) @ work[:, :6]
    out[:, :6] += work[:, 6:]
    return out


def _on_deformations(p: Beams, loads: LineLoads) -> Array:
    """(k, 12, c) loads on the natural deformations of `beam`, and what end 1 bears beside them: the transpose of
    `beam.cubic`, with work on its powers of x, where `_section_map` and its inverse cancel."""
    member, (y, z), (k, c) = loads.member, loads.point.T, (len(loads), loads.cases)
    stiff, per_length = natural_stiffness(p)[:, 4:, 4:], 1 / p.length[member]
    bent, sheared = (stiff @ inverse(p.bending))[member], (stiff @ p.shear)[member]
    arm, off = loads.point - p.shear_centre[member], p.centroid[member] - loads.point
    turned = (bent @ off[:, :, None])[:, :, 0]
    way = np.zeros((k, 12, 4, 3))  # by the power of x and the force's direction
    way[:, 0, 1, 0] = per_length
    way[:, 1, 1, 1], way[:, 1, 1, 2] = -arm[:, 1] * per_length, arm[:, 0] * per_length
    way[:, 2:4, 1, 0] = off * per_length[:, None]
    way[:, 2, 2, 1] = way[:, 3, 2, 2] = per_length / 2
    way[:, 4:6, 1, 0], way[:, 4:6, 2, 0] = -turned, turned * per_length[:, None]
    way[:, 4:6, 1, 1:], way[:, 4:6, 2, 1:] = -2 * per_length[:, None, None] * sheared, -bent / 2
    way[:, 4:6, 3, 1:] = bent * (per_length / 3)[:, None, None]
    way[:, range(6, 9), 0, range(3)] = 1
    way[:, 9, 0, 1], way[:, 9, 0, 2], way[:, 10, 0, 0], way[:, 11, 0, 0] = -z, y, z, -y
    way[:, 10, 1, 2], way[:, 11, 1, 1] = -1, 1
    return way.reshape(k, 12, 12) @ _by_powers(loads).reshape(k, 12, c)


def _by_powers(loads: LineLoads) -> Array:
    """(k, 4, 3, c) integrals of line loads times 1, x, x^2 and x^3, x from end 1."""
    k, length = len(loads), loads.end - loads.start
    s = _GAUSS_X * length[:, None]  # (k, 3)
    weight = (_GAUSS_W * length[:, None])[:, None] * powers(s, 3)
    moments = powers(loads.start[:, None] + s, 4) @ weight.transpose(0, 2, 1)  # (k, 4, 3): of x and of s
    return (moments @ loads.force.reshape(k, 3, 3 * loads.cases)).reshape(k, 4, 3, loads.cases)
