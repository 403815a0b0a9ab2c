"""What vertical and sideways bending make of a governing stress by themselves, and how far a frame is turned.

For open sections the beams of six unknowns are unreliable sideways and in twist, so a reader must see which share of a
stress hangs on that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.findings import Findings
from ladderfe.checks.stress import stresses
from ladderfe.checks.utilisation import Utilisation
from ladderfe.solve import Solution

__all__ = ["SMALL_TURN", "Alone", "Turn", "bending_alone", "greatest_turn"]

Array = NDArray[np.float64]

#: Beyond this a frame is no longer one of small movements, degrees (common practice, no source).
SMALL_TURN = 3.0
VERTICAL, SIDEWAYS = (2, 4), (1, 5)  # of N Vy Vz T My Mz


@dataclass(frozen=True, slots=True)
class Alone:
    """Utilisation at a governing place, by its criterion, if only Vz and My were there, and if only Vy and Mz were."""

    vertical: float
    sideways: float


@dataclass(frozen=True, slots=True)
class Turn:
    """The greatest turn of a node against the frame as a whole: degrees, the node's name and the case's."""

    degrees: float
    where: str
    case: str


def bending_alone(findings: Findings, chosen: Sequence[Utilisation]) -> list[Alone]:
    """What vertical and sideways bending make of each by themselves.

    They add up to the utilisation where axial force, twist and shear play no part and both have the same sign.
    """
    f, s = findings, findings.solution
    at = [_row_of(f, u) for u in chosen]
    rows = f.rows
    masked = []
    for kept in (VERTICAL, SIDEWAYS):
        own = np.zeros_like(rows.resultants[at])
        own[:, kept] = rows.resultants[at][:, kept]
        masked.append(own)
    twice = [*at, *at]
    picked = replace(
        rows, member=rows.member[twice], x=rows.x[twice], along=rows.along[twice], turning=rows.turning[twice],
        resultants=np.concatenate(masked),
    )  # fmt: skip
    found = stresses(s, picked)
    n = len(at)
    table = {"bending": found.normal, "web shear": found.mean, "von Mises": found.von_mises}
    out = []
    for k, u in enumerate(chosen):
        p, c = _point_of(findings, u, at[k]), s.case(u.case)
        vertical, sideways = (abs(float(table[u.criterion][row, p, c])) / u.limit for row in (k, k + n))
        out.append(Alone(vertical, sideways))
    return out


def _row_of(f: Findings, u: Utilisation) -> int:
    """The section looked at in which a utilisation was found."""
    part = f.solution.mesh.part(u.part)
    own = (f.rows.member >= part.first) & (f.rows.member < part.last) & (f.rows.along == u.along)
    best = [_size(f, u, int(r)) for r in np.nonzero(own)[0]]
    return int(np.nonzero(own)[0][int(np.argmax(best))])


def _size(f: Findings, u: Utilisation, row: int) -> float:
    """The size of the stress that a utilisation tells, in one section; -1 where the section has no such point."""
    p, c = _point_of(f, u, row), f.solution.case(u.case)
    table = {"bending": f.stresses.normal, "web shear": f.stresses.mean, "von Mises": f.stresses.von_mises}
    return -1.0 if p < 0 else abs(float(table[u.criterion][row, p, c]))


def _point_of(f: Findings, u: Utilisation, row: int) -> int:
    """Which stress point, or of which wall the average shear, a utilisation tells; -1 where the section has none."""
    t, k = f.stresses.table, int(f.stresses.section[row])
    if u.criterion == "web shear":
        found = [p for p, w in enumerate(t.mean_walls[k]) if w == u.wall]
    else:
        found = [p for p, names in enumerate(zip(t.walls[k], t.labels[k], strict=True)) if names == (u.wall, u.point)]
    table = {"bending": f.stresses.normal, "web shear": f.stresses.mean, "von Mises": f.stresses.von_mises}
    values = np.abs(table[u.criterion][row, found, f.solution.case(u.case)])
    return found[int(np.argmax(values))] if found else -1


def greatest_turn(solution: Solution) -> Turn:
    """Where and in which case the frame is turned most, its turn as a whole (a wheel raised) taken off."""
    start = solution.frame.start[:-1]
    turn = np.stack([solution.movements[start + 3 + i] for i in range(3)], axis=1)  # (n, 3, c)
    own = np.linalg.norm(turn - turn.mean(axis=0), axis=1)
    own[:, 0] = 0.0  # the condition on the scales is no case
    node, case = np.unravel_index(int(np.argmax(own)), own.shape)
    degrees = float(np.degrees(own[node, case]))
    return Turn(degrees, solution.mesh.node_names[int(node)], solution.cases[int(case)].name)
