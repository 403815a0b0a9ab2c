"""Stress over permissible stress, by case, part, station, wall and criterion."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Criteria
from ladderfe.checks.by_wall import by_wall
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.solve import Solution

__all__ = ["CRITERIA", "Utilisation", "entry", "greatest", "tables"]

Array = NDArray[np.float64]

#: Criterion -> what it compares.
CRITERIA = {
    "bending": "normal stress from N, My, Mz and warping",
    "web shear": "average shear stress of the wall",
    "von Mises": "normal and shear stress together",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Utilisation:
    """One stress against its limit: where it is, MPa, and the ratio.  `along` is the station on rails and y on
    crossmembers and outriggers; `point` says where on the wall."""

    case: str
    part: str
    kind: str
    side: str
    along: float
    wall: str
    point: str
    criterion: str
    stress: float
    limit: float
    ratio: float


def greatest(solution: Solution, rows: Rows, s: Stresses, criteria: Criteria) -> tuple[Utilisation, ...]:
    """The greatest utilisation of every case, part, wall and criterion, governing first.

    The condition as weighed is left out: it is no case of its own.  What differs by rounding only counts as alike, so
    that the first of it is told whatever the machine.
    """
    part_of = solution.mesh.part_of()[rows.member]
    found: list[Utilisation] = []
    for criterion, stress, walls, limit in tables(s, criteria):
        groups = by_wall(s.section, walls, part_of)
        for at in groups.first_greatest(groups.sizes(stress[:, :, 1:])):
            for c, n in enumerate(at.tolist(), start=1):
                where = (int(groups.row[n]), int(groups.point[n]), c)
                found.append(entry(solution, rows, s, where, criterion, stress, limit))
    return tuple(sorted(found, key=lambda u: -float(f"{u.ratio:.9g}")))


def tables(s: Stresses, criteria: Criteria) -> list[tuple[str, Array, tuple[tuple[str, ...], ...], float]]:
    """Of every criterion its name, stress (r, p, c), names of the sections' walls and limit in MPa."""
    return [
        ("bending", s.normal, s.table.walls, criteria.bending),
        ("web shear", s.mean, s.table.mean_walls, criteria.shear),
        ("von Mises", s.von_mises, s.table.walls, criteria.von_mises),
    ]


def entry(
    solution: Solution, rows: Rows, s: Stresses, at: tuple[int, int, int], criterion: str, stress: Array, limit: float
) -> Utilisation:
    """The utilisation at a row, point and case of a criterion's stress (r, p, c)."""
    r, p, c = at
    mesh, section = solution.mesh, int(s.section[r])
    owner = mesh.part_at(int(rows.member[r]))
    whole = criterion == "web shear"
    value = float(stress[r, p, c])
    return Utilisation(
        case=solution.cases[c].name,
        part=owner.name,
        kind=owner.kind,
        side=owner.side,
        along=float(rows.along[r]),
        wall=(s.table.mean_walls if whole else s.table.walls)[section][p],
        point="whole wall" if whole else s.table.labels[section][p],
        criterion=criterion,
        stress=value,
        limit=limit,
        ratio=abs(value) / limit,
    )
