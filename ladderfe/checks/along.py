"""Resultants along a part, close enough together to draw; turning points are among the places."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.rows import turning_points
from ladderfe.solve import Solution

__all__ = ["Along", "along_part", "both_sides", "crossings"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Along:
    """station (k,) along a part, both sides of every node; resultants (k, 8, c) N Vy Vz T My Mz B, Tw or R; N, mm."""

    station: Array
    resultants: Array

    def shear(self, case: int) -> Array:
        """V = -Vz, N: upward forces ahead of a station less the downward ones."""
        return -self.resultants[:, 2, case]

    def moment(self, case: int) -> Array:
        """M = -My, N mm, sagging positive."""
        return -self.resultants[:, 4, case]


def along_part(
    solution: Solution, name: str, spacing: float = 10.0, turns: tuple[IntArray, Array] | None = None
) -> Along:
    """Resultants along a part at most `spacing` mm apart, all member ends and all `turning_points` (`turns`, if at
    hand) included."""
    turning, turns_at = turning_points(solution) if turns is None else turns
    member, x = [], []
    for m in solution.mesh.part(name).members:
        length = float(solution.mesh.lengths[m])
        cuts = np.linspace(0, length, max(2, int(np.ceil(length / spacing)) + 1))
        cuts = np.sort(np.concatenate([cuts, turns_at[turning == m]]))
        member.append(np.full(len(cuts), m))
        x.append(cuts)
    where, at = np.concatenate(member), np.concatenate(x)
    a, b = solution.mesh.along[where].T
    return Along(a + (b - a) * at / solution.mesh.lengths[where], solution.resultants(where, at))


def both_sides(solution: Solution, spacing: float = 10.0) -> tuple[Along, Along]:
    """Left and right rail."""
    turns = turning_points(solution)
    return along_part(solution, "left rail", spacing, turns), along_part(solution, "right rail", spacing, turns)


def crossings(x: Array, value: Array) -> list[float]:
    """Where a curve crosses zero, by straight lines between its points; ends and grazing rounding left out."""
    small = 1e-6 * float(np.abs(value).max(initial=0.0))
    v = np.where(np.abs(value) < small, 0.0, value)
    out: list[float] = []
    last = 0
    for k in range(1, len(v)):
        if v[k] == 0:
            continue
        if v[last] != 0 and v[last] * v[k] < 0:
            a, b = (k - 1, k) if last == k - 1 else (last, k)
            out.append(float(x[a] + (x[b] - x[a]) * v[a] / (v[a] - v[b])))
        last = k
    return out
