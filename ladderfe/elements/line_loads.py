"""Line loads that begin and end anywhere inside members, carried to the ends exactly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import powers, sum_by
from ladderfe.elements.beam import Beams, on_ends

__all__ = ["LineLoads", "alike", "each_equivalent", "equivalent_loads", "stretches"]

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


def wrench(point: Array, force: Array) -> Array:
    """(k, 3, 6, c) force and moment about the reference line of forces (k, 3, 3, c) acting at point (k, 2) = (y, z)."""
    y, z = point.T[:, :, None, None]
    out = np.zeros((*force.shape[:2], 6, force.shape[3]))
    out[:, :, :3] = force
    along, side, up = force.transpose(2, 0, 1, 3)
    out[:, :, 3], out[:, :, 4], out[:, :, 5] = y * up - z * side, z * along, -y * along
    return out


def stretches(loads: LineLoads) -> tuple[IntArray, IntArray]:
    """One of the loads on every stretch of a member, wherever they act in the section, and for each load the number of
    that one; ends that differ by rounding alone are the same."""
    key = np.column_stack([loads.member, np.round(loads.start, SAME), np.round(loads.end, SAME)])
    order = np.lexsort(key.T)
    new = np.concatenate([[True], (np.diff(key[order], axis=0) != 0).any(axis=1)])[: len(order)]
    place = np.zeros(len(order), dtype=np.int64)
    place[order] = np.cumsum(new) - 1
    return order[new], place


def equivalent_loads(p: Beams, loads: LineLoads, same: tuple[IntArray, IntArray] | None = None) -> Array:
    """(n_members, 12, c) end loads that move the ends just as the line loads do, member axes, N and N mm; same: their
    `stretches` where they are known."""
    one, of = stretches(loads) if same is None else same
    force = sum_by(len(one), of, wrench(loads.point, loads.force))
    whole = sum_by(len(p), loads.member[one], _by_powers(loads.start[one], loads.end[one], force))
    return on_ends(p, whole)


def each_equivalent(p: Beams, loads: LineLoads) -> Array:
    """(k, 12, c) equivalent end loads of every line load by itself."""
    whole = _by_powers(loads.start, loads.end, wrench(loads.point, loads.force))
    return on_ends(p.take(loads.member), whole)


def _by_powers(start: Array, end: Array, force: Array) -> Array:
    """(k, 4, 6, c) what loads from start to end (k,), forces and moments (k, 3, 6, c), do along 1, x, x^2 and x^3 of ux
    uy uz rx ry rz each, x from end 1."""
    k, _, _, c = force.shape
    s = _GAUSS_X * (end - start)[:, None]  # (k, 3)
    weight = (_GAUSS_W * (end - start)[:, None])[:, None] * powers(s, 3)
    moments = powers(start[:, None] + s, 4) @ weight.transpose(0, 2, 1)  # (k, 4, 3): of x and of s
    return (moments @ force.reshape(k, 3, 6 * c)).reshape(k, 4, 6, c)
