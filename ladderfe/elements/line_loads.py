"""Line loads that begin and end anywhere inside members, carried to the ends exactly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import powers, sum_by
from ladderfe.elements.beam import Beams, cubic

__all__ = ["LineLoads", "alike", "each_equivalent", "equivalent_loads", "total_force"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

# Gauss-Legendre, three points: exact to degree 5 = cubic influence x quadratic load
_GAUSS_X = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
_GAUSS_W = np.array([5.0, 8.0, 5.0]) / 18.0


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


def equivalent_loads(p: Beams, loads: LineLoads) -> Array:
    """(n_members, 12, c) end loads that move the ends just as the line loads do, member axes, N and N mm."""
    whole = sum_by(len(p), loads.member, _by_powers(loads))
    out: Array = cubic(p).reshape(len(p), 24, 12).transpose(0, 2, 1) @ whole
    return out


def each_equivalent(p: Beams, loads: LineLoads) -> Array:
    """(k, 12, c) equivalent end loads of every line load by itself."""
    out: Array = cubic(p).reshape(len(p), 24, 12)[loads.member].transpose(0, 2, 1) @ _by_powers(loads)
    return out


def _by_powers(loads: LineLoads) -> Array:
    """(k, 24, c) what line loads do along 1, x, x^2 and x^3 of ux uy uz rx ry rz each, x from end 1."""
    k = len(loads)
    s = _GAUSS_X * (loads.end - loads.start)[:, None]  # (k, 3)
    weight = (_GAUSS_W * (loads.end - loads.start)[:, None])[:, None] * powers(s, 3)
    moments = powers(loads.start[:, None] + s, 4) @ weight.transpose(0, 2, 1)  # (k, 4, 3): of x and of s
    out: Array = moments @ wrench(loads.point, loads.force).reshape(k, 3, 6 * loads.cases)
    return out.reshape(k, 24, loads.cases)


def total_force(loads: LineLoads, span: Array) -> Array:
    """(k, 3, c) the force of line loads as a whole; span (k,): their lengths."""
    weight = powers(span, 4)[:, 1:] / np.arange(1, 4)
    each = loads.force.reshape(len(loads), 3, 3 * loads.cases)
    return (weight[:, None] @ each).reshape(len(loads), 3, loads.cases)
