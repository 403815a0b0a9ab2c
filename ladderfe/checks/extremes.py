"""Greatest moments and shear of each rail in each case, and the lowest and highest place of the frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ladderfe.checks.along import along_part
from ladderfe.checks.by_wall import first_greatest
from ladderfe.checks.rows import Rows
from ladderfe.solve import Solution

__all__ = ["Moved", "RailExtremes", "moved", "rail_extremes"]


@dataclass(frozen=True, slots=True)
class RailExtremes:
    """Of one case, by its index: values with their stations (mm): M in N mm where it sags and hogs most (sagging
    positive), V = dM/dx in N where it is greatest."""

    case: int
    rail: str
    sagging: tuple[float, float]
    hogging: tuple[float, float]
    shear: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Moved:
    """Of one case, by its index, the lowest and highest nodes and how far they move, mm, up positive."""

    case: int
    lowest: tuple[float, str]
    highest: tuple[float, str]


def rail_extremes(solution: Solution, rows: Rows) -> list[RailExtremes]:
    """Both rails, left first, in every case; rows: the sections that were looked at."""
    out = []
    for part in solution.mesh.parts:
        if part.kind != "rail":
            continue
        a = along_part(solution, part.name, turns=rows.turns)
        for k in range(len(solution.cases)):
            m, v = a.moment(k), a.shear(k)
            at = [first_greatest(m), first_greatest(-m), first_greatest(np.abs(v))]
            pairs = [(float(q[i]), float(a.station[i])) for q, i in zip((m, m, v), at, strict=True)]
            out.append(RailExtremes(k, part.name, *pairs))
    return out


def moved(solution: Solution) -> list[Moved]:
    """How far the nodes move in every case, springs included."""
    out, start, names = [], solution.frame.start[:-1], solution.mesh.node_names
    for k in range(len(solution.cases)):
        z = solution.movements[start + 2, k]
        i, j = first_greatest(-z), first_greatest(z)
        out.append(Moved(k, (float(z[i]), names[i]), (float(z[j]), names[j])))
    return out
