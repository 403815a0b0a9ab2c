"""Where the sections of the frame are looked at: member ends, middles, turning points and peaks inside members."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.cubic import Stretches, root_of, stretches
from ladderfe.checks.turns import stress_turns
from ladderfe.solve import Responses

__all__ = ["Rows", "look_again", "look_at", "turning_points"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: A peak of stress this near to another place looked at is left to that one, mm.
SAME = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Sections looked at: member (r,), distance x (r,) from its end 1 in mm, `along` (r,) the coordinate along its
    part, `turning` (r,) true where a moment turns there in some case, and resultants (r, 8, c): N Vy Vz T My Mz B,
    Tw or R."""

    member: IntArray
    x: Array
    along: Array
    turning: NDArray[np.bool_]
    resultants: Array

    @property
    def turns(self) -> tuple[IntArray, Array]:
        """`turning_points` of the solution that was looked at."""
        return self.member[self.turning], self.x[self.turning]


def look_again(rows: Rows, answers: Responses) -> Rows:
    """The same sections with the resultants of other answers of the same frame."""
    return replace(rows, resultants=answers.resultants(rows.member, rows.x))


def look_at(solution: Responses) -> Rows:
    """Both ends and the middle of every member, every turning point of My and Mz inside members in any case, and where
    the normal stress of a wall point is greatest inside."""
    length = solution.mesh.lengths
    n = len(length)
    member = np.repeat(np.arange(n), 3)
    x = (np.array([0.0, 0.5, 1.0]) * length[:, None]).ravel()
    cut = stretches(solution)
    (m_turn, x_turn), (m_peak, x_peak) = turning_points(solution, cut), stress_turns(solution, cut)
    member, x = np.concatenate([member, m_turn, m_peak]), np.concatenate([x, x_turn, x_peak])
    rank = np.repeat([0, 1, 2], [3 * n, len(x_turn), len(x_peak)])
    order = np.lexsort((x, member))
    member, x, rank = member[order], x[order], rank[order]
    first = np.insert((member[1:] != member[:-1]) | (x[1:] - x[:-1] >= SAME), 0, True)  # of places that are one
    only_peaks = np.minimum.reduceat(rank, np.nonzero(first)[0])[np.cumsum(first) - 1] == 2
    keep = (rank < 2) | (first & only_peaks)
    member, x, turning = member[keep], x[keep], rank[keep] == 1
    a, b = solution.mesh.along[member].T
    along = a + (b - a) * x / length[member]
    return Rows(member, x, along, turning, solution.resultants(member, x))


def turning_points(solution: Responses, cut: Stretches | None = None) -> tuple[IntArray, Array]:
    """(members, x): where Vz or Vy is zero inside a member in some case, each place once (to 0.01 mm).

    Between the ends of line loads the shear is a cubic at most: it is fitted exactly through four places.  Shear
    that is only rounding (below 1e-9 of the greatest) does not count.  `cut`: the solution's stretches, if at hand.
    """
    cut = stretches(solution) if cut is None else cut
    member, x0, x1 = cut.member, cut.first, cut.last
    r = cut.resultants[:, :, 1:3].reshape(len(member), 4, -1)
    small = 1e-9 * float(np.abs(r).max(initial=0.0))
    k, j = np.nonzero((r.min(axis=1) < -small) & (r.max(axis=1) > small))
    s, member_at = root_of(r[k, :, j]), member[k]
    at = np.round(x0[k] + s * (x1[k] - x0[k]), 2)
    inside = np.isfinite(at) & (at > 0.01) & (at < solution.mesh.lengths[member_at] - 0.01)
    if not inside.any():
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    places = np.unique(np.stack([member_at[inside].astype(float), at[inside]], axis=1), axis=0)
    return places[:, 0].astype(np.int64), places[:, 1]
