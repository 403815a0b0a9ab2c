"""Stations at which the bending moment of a rail changes sign, case by case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.cubic import AT_FOUR, root_of
from ladderfe.checks.rows import Rows, look_at
from ladderfe.solve import Solution

__all__ = ["Contraflexure", "contraflexure", "of_both_rails"]

Array = NDArray[np.float64]

#: A moment below this part of the greatest of the rail in its case is nothing, and so is a case whose greatest is below
#: `IDLE` of that of all cases.
NOTHING, IDLE = 1e-7, 1e-9


@dataclass(frozen=True, slots=True)
class Contraflexure:
    """Stations (mm) of one rail at which the moment of a case, about the horizontal axis, changes sign; greatest: its
    greatest size there, N mm."""

    side: str
    case: str
    stations: tuple[float, ...]
    greatest: float


def contraflexure(solution: Solution, rows: Rows, side: str) -> tuple[Contraflexure, ...]:
    """All cases of one rail, whose sections from front to rear are `rows`, turning points of the moment among them.

    Between two sections that follow each other the moment has no turning point, so that it changes sign once at most;
    it is a cubic there (shear is a parabola under line loads that grow evenly), and its root is that of the cubic
    through four of its values.  Where it is nothing over a stretch between two signs, both ends of the stretch are
    told; where a couple makes it jump, the station of the jump.
    """
    moment = -rows.resultants[:, 4]
    most = np.abs(moment).max(axis=0)
    small = np.where(most > IDLE * float(most.max(initial=0.0)), NOTHING * most, np.inf)
    signs = np.where(np.abs(moment) <= small, 0, np.sign(moment)).astype(np.int64)
    out = []
    for c, case in enumerate(solution.cases):
        if c:
            stations = _changes(solution, rows, signs[:, c], c)
            out.append(Contraflexure(side, case.name, stations, float(most[c])))
    return tuple(out)


def of_both_rails(solution: Solution) -> tuple[tuple[Contraflexure, ...], tuple[Contraflexure, ...]]:
    """All cases of the left and of the right rail, by the sections that a check looks at."""
    rows = look_at(solution)
    left, right = (contraflexure(solution, _of(rows, p.members), p.side)
                   for p in solution.mesh.parts if p.kind == "rail")  # fmt: skip
    return left, right


def _of(rows: Rows, members: Sequence[int]) -> Rows:
    """The sections of some members, in the order of these."""
    own = np.concatenate([np.flatnonzero(rows.member == m) for m in members])
    return Rows(rows.member[own], rows.x[own], rows.along[own], rows.turning[own], rows.resultants[own])


def _changes(solution: Solution, rows: Rows, sign: NDArray[np.int64], case: int) -> tuple[float, ...]:
    """Stations in one case, by the signs (r,) of its moment."""
    held = np.flatnonzero(sign)
    before, after = held[:-1], held[1:]
    changed = sign[before] != sign[after]
    found: set[float] = set()
    brackets = []
    for i, j in zip(before[changed].tolist(), after[changed].tolist(), strict=True):
        if j > i + 1:
            found |= {float(rows.along[i + 1]), float(rows.along[j - 1])}
        elif rows.member[i] != rows.member[j]:
            found.add(float(rows.along[j]))
        else:
            brackets.append((i, j))
    if brackets:
        found |= set(_roots(solution, rows, np.array(brackets), case).tolist())
    return tuple(sorted(found))


def _roots(solution: Solution, rows: Rows, brackets: NDArray[np.int64], case: int) -> Array:
    """(k,) stations of the roots between pairs (k, 2) of sections."""
    a, b = rows.x[brackets].T
    member, places = rows.member[brackets[:, 0]], a[:, None] + AT_FOUR * (b - a)[:, None]
    values = solution.resultants(np.repeat(member, 4), places.ravel())[:, 4, case].reshape(-1, 4)
    s = root_of(values)
    one, two = rows.along[brackets].T
    return np.asarray(one + s * (two - one))
