"""Where the sections of the frame are looked at: member ends, middles and the turning points inside members."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.solve import Responses

__all__ = ["Rows", "look_again", "look_at", "turning_points"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Sections looked at: member (r,), distance x (r,) from its end 1 in mm, `along` (r,) the coordinate along its
    part, `turning` (r,) true where a moment turns there in some case, and resultants (r, 6, c): N Vy Vz T My Mz."""

    member: IntArray
    x: Array
    along: Array
    turning: NDArray[np.bool_]
    resultants: Array


def look_again(rows: Rows, answers: Responses) -> Rows:
    """The same sections with the resultants of other answers of the same frame."""
    return replace(rows, resultants=answers.resultants(rows.member, rows.x))


def look_at(solution: Responses) -> Rows:
    """Both ends and the middle of every member, and every turning point of My and Mz inside members in any case."""
    length = solution.mesh.lengths
    n = len(length)
    member = np.repeat(np.arange(n), 3)
    x = (np.array([0.0, 0.5, 1.0]) * length[:, None]).ravel()
    m_turn, x_turn = turning_points(solution)
    member, x = np.concatenate([member, m_turn]), np.concatenate([x, x_turn])
    turning = np.arange(len(x)) >= 3 * n
    order = np.lexsort((x, member))
    member, x, turning = member[order], x[order], turning[order]
    a, b = solution.mesh.along[member].T
    along = a + (b - a) * x / length[member]
    return Rows(member, x, along, turning, solution.resultants(member, x))


def turning_points(solution: Responses) -> tuple[IntArray, Array]:
    """(members, x): where Vz or Vy is zero inside a member in some case, each place once (to 0.01 mm).

    Between the ends of line loads the shear is a cubic at most: it is fitted exactly through four places.  Shear
    that is only rounding (below 1e-9 of the greatest) does not count.
    """
    member, x0, x1 = _stretches(solution)
    x = x0[:, None] + _FOUR * (x1 - x0)[:, None]
    r = solution.resultants(np.repeat(member, 4), x.ravel())[:, 1:3].reshape(len(member), 4, -1)
    small = 1e-9 * float(np.abs(r).max(initial=0.0))
    k, j = np.nonzero((r.min(axis=1) < -small) & (r.max(axis=1) > small))
    s, member_at = _roots(r[k, :, j]), member[k]
    at = np.round(x0[k] + s * (x1[k] - x0[k]), 2)
    inside = np.isfinite(at) & (at > 0.01) & (at < solution.mesh.lengths[member_at] - 0.01)
    if not inside.any():
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    places = np.unique(np.stack([member_at[inside].astype(float), at[inside]], axis=1), axis=0)
    return places[:, 0].astype(np.int64), places[:, 1]


def _stretches(solution: Responses) -> tuple[IntArray, Array, Array]:
    """Members cut where line loads begin and end: (member, from, to)."""
    lines, length = solution.lines, solution.mesh.lengths
    every = np.arange(len(length))
    member = np.concatenate([every, every, lines.member, lines.member])
    x = np.round(np.concatenate([np.zeros(len(length)), length, lines.start, lines.end]), 6)
    cuts = np.unique(np.stack([member.astype(float), x], axis=1), axis=0)
    same = cuts[1:, 0] == cuts[:-1, 0]
    return cuts[:-1][same, 0].astype(np.int64), cuts[:-1][same, 1], cuts[1:][same, 1]


_FOUR = np.array([0.0, 1 / 3, 2 / 3, 1.0])
_CUBIC = np.linalg.inv(np.vander(_FOUR))


def _roots(v: Array) -> Array:
    """(k,) a root in [0, 1] of the cubics through four equally spaced values (k, 4) that change sign there.

    Bisection, 24 times, of the first stretch between neighbouring values that changes sign: to 1e-8 of the member.
    """
    c = v @ _CUBIC.T
    first = np.argmax(np.signbit(v[:, :-1]) != np.signbit(v[:, 1:]), axis=1)
    lo, hi = _FOUR[first], _FOUR[first + 1]
    below = np.signbit(np.take_along_axis(v, first[:, None], axis=1)[:, 0])
    for _ in range(24):
        x = (lo + hi) / 2
        left = np.signbit(_horner(c, x)) == below
        lo, hi = np.where(left, x, lo), np.where(left, hi, x)
    return np.asarray((lo + hi) / 2)


def _horner(c: Array, x: Array) -> Array:
    return ((c[:, 0] * x + c[:, 1]) * x + c[:, 2]) * x + c[:, 3]
