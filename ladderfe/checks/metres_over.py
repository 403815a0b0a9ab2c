"""How many metres of each rail stand above a share of a limit, all walls and all cases together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.along_rails import close_rows
from ladderfe.checks.findings import Findings
from ladderfe.checks.stress import stresses
from ladderfe.checks.utilisation import tables

__all__ = ["LEVELS", "RailOver", "length_over", "rails_over"]

Array = NDArray[np.float64]
#: Shares of the limit above which lengths of rail are told.
LEVELS: Final = (1.0, 0.8)


@dataclass(frozen=True, slots=True)
class RailOver:
    """Lengths of one rail, mm along its stations: all of it, and above each level."""

    side: str
    length: float
    over: tuple[float, ...]


def rails_over(findings: Findings, levels: Sequence[float] = LEVELS) -> tuple[RailOver, ...]:
    """Both rails: where the greatest utilisation of all walls, criteria and cases is above each level.

    Sections no more than 10 mm apart and those where something is greatest; straight lines between two of a member.
    """
    mesh = findings.solution.mesh
    out = []
    for part in (p for p in mesh.parts if p.kind == "rail"):
        rows = close_rows(findings, part, ())
        s = stresses(findings.solution, rows)
        own = [np.abs(t[:, :, 1:]).max(axis=(1, 2)) / limit for _, t, _, limit in tables(s, findings.chassis.criteria)]
        use, same = np.max(own, axis=0), rows.member[1:] == rows.member[:-1]
        over = tuple(length_over(rows.along, use, same, level) for level in levels)
        out.append(RailOver(part.side, float(np.ptp(mesh.along[part.first : part.last])), over))
    return tuple(out)


def length_over(along: Array, use: Array, joined: NDArray[np.bool_], level: float) -> float:
    """Length on which straight lines through (along, use), both (r,), lie above a level; joined (r - 1,): whether one
    runs to the next."""
    a, b = use[:-1] - level, use[1:] - level
    both, crosses = (a > 0) & (b > 0), (a > 0) != (b > 0)
    high = np.maximum(a, b)
    share = np.divide(high, np.abs(b - a), out=np.zeros_like(high), where=crosses)
    return float((np.abs(np.diff(along)) * np.where(both, 1.0, share))[joined].sum())
