"""Stress over permissible stress, by case, part, station, wall and criterion."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Criteria
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.solve import Solution

__all__ = ["CRITERIA", "Utilisation", "first_greatest", "greatest"]

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
    found: list[Utilisation] = []
    for criterion, stress, walls, limit in _tables(s, criteria):
        part_of = solution.mesh.part_of()[rows.member]
        for k, part in enumerate(solution.mesh.parts):
            own = np.nonzero(part_of == k)[0]
            for wall in dict.fromkeys(w for i in dict.fromkeys(s.section[own].tolist()) for w in walls[i]):
                mask = np.array(
                    [
                        [n == wall for n in walls[i]] + [False] * (stress.shape[1] - len(walls[i]))
                        for i in s.section[own]
                    ]
                )
                size = np.abs(stress[own]) * mask[:, :, None]
                for c in range(1, stress.shape[2]):
                    r, p = np.unravel_index(first_greatest(size[:, :, c].ravel()), size.shape[:2])
                    found.append(
                        _entry(solution, rows, s, (int(own[r]), int(p), c), part.name, wall, criterion, stress, limit)
                    )
    return tuple(sorted(found, key=lambda u: -float(f"{u.ratio:.9g}")))


def first_greatest(values: Array) -> int:
    """Index of the first value that is the greatest within rounding (1e-9)."""
    top = float(values.max())
    return int(np.argmax(values >= top - 1e-9 * abs(top)))


def _tables(s: Stresses, criteria: Criteria) -> list[tuple[str, Array, tuple[tuple[str, ...], ...], float]]:
    return [
        ("bending", s.normal, s.table.walls, criteria.bending),
        ("web shear", s.mean, s.table.mean_walls, criteria.shear),
        ("von Mises", s.von_mises, s.table.walls, criteria.von_mises),
    ]


def _entry(
    solution: Solution,
    rows: Rows,
    s: Stresses,
    at: tuple[int, int, int],
    part: str,
    wall: str,
    criterion: str,
    stress: Array,
    limit: float,
) -> Utilisation:
    r, p, c = at
    owner = solution.mesh.part(part)
    section = int(s.section[r])
    value = float(stress[r, p, c])
    return Utilisation(
        case=solution.cases[c].name,
        part=part,
        kind=owner.kind,
        side=owner.side,
        along=float(rows.along[r]),
        wall=wall,
        point="whole wall" if criterion == "web shear" else s.table.labels[section][p],
        criterion=criterion,
        stress=value,
        limit=limit,
        ratio=abs(value) / limit,
    )
