"""Where the sections of the frame are looked at: member ends, middles and the turning points inside members."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.solve import Solution

__all__ = ["Rows", "look_at"]

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


def look_at(solution: Solution) -> Rows:
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


def turning_points(solution: Solution) -> tuple[IntArray, Array]:
    """(members, x): where Vz or Vy is zero inside a member in some case, each place once (to 0.01 mm).

    Between the ends of line loads the shear is a cubic at most; it is fitted through four places and its roots are
    taken exactly.
    """
    member, x0, x1 = _stretches(solution)
    at = np.array([0.0, 1 / 3, 2 / 3, 1.0])
    x = x0[:, None] + at * (x1 - x0)[:, None]
    r = solution.resultants(np.repeat(member, 4), x.ravel())[:, 1:3].reshape(len(member), 4, -1)
    crosses = (r.min(axis=1) < 0) & (r.max(axis=1) > 0)
    found = set()
    for k, j in zip(*np.nonzero(crosses), strict=True):
        for s in _roots(r[k, :, j]):
            found.add((int(member[k]), round(float(x0[k] + s * (x1[k] - x0[k])), 2)))
    places = sorted(found)
    length = solution.mesh.lengths
    inside = [(m, v) for m, v in places if 0.01 < v < length[m] - 0.01]
    return np.array([m for m, _ in inside], dtype=np.int64), np.array([v for _, v in inside])


def _stretches(solution: Solution) -> tuple[IntArray, Array, Array]:
    """Members cut where line loads begin and end: (member, from, to)."""
    lines, length = solution.lines, solution.mesh.lengths
    cuts = [{0.0, float(v)} for v in length]
    for m, a, b in zip(lines.member, lines.start, lines.end, strict=True):
        cuts[m] |= {float(a), float(b)}
    out = []
    for m, c in enumerate(cuts):
        s = sorted(c)
        out += [(m, p, q) for p, q in zip(s[:-1], s[1:], strict=True) if q - p > 1e-6]
    member, a, b = zip(*out, strict=True)
    return np.array(member, dtype=np.int64), np.array(a), np.array(b)


def _roots(v: Array) -> list[float]:
    """Roots in (0, 1) of the cubic through four equally spaced values on [0, 1]."""
    c = np.linalg.solve(np.vander([0.0, 1 / 3, 2 / 3, 1.0]), v)
    c[np.abs(c) < 1e-9 * np.abs(v).max()] = 0.0
    r = np.roots(c)
    return [float(x.real) for x in r if abs(x.imag) < 1e-9 and 0 < x.real < 1]
