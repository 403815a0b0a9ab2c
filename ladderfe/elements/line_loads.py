"""Line loads that begin and end anywhere inside members, carried to the ends exactly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.beam import Beams, influence

__all__ = ["LineLoads", "equivalent_loads"]

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


def wrench(point: Array, force: Array) -> Array:
    """(k, 6, c) force and moment about the reference line of forces (k, 3, c) acting at point (k, 2) = (y, z)."""
    y, z = point[:, 0, None], point[:, 1, None]
    fx, fy, fz = force[:, 0], force[:, 1], force[:, 2]
    return np.stack([fx, fy, fz, y * fz - z * fy, z * fx, -y * fx], axis=1)


def equivalent_loads(p: Beams, loads: LineLoads) -> Array:
    """(n_members, 12, c) end loads that move the ends just as the line loads do, member axes, N and N mm."""
    out = np.zeros((len(p), 12, loads.cases))
    own = p.take(loads.member)
    span = loads.end - loads.start
    for x, w in zip(_GAUSS_X, _GAUSS_W, strict=True):
        s = (x * span)[:, None, None]
        force = loads.force[:, 0] + s * (loads.force[:, 1] + s * loads.force[:, 2])
        at = influence(own, loads.start + x * span)
        np.add.at(out, loads.member, (w * span)[:, None, None] * (at.transpose(0, 2, 1) @ wrench(loads.point, force)))
    return out
