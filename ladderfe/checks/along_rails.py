"""Utilisation and stress range section by section along both rails, flanges, webs and corners apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Criteria
from ladderfe.checks.cycles import Cycles
from ladderfe.checks.findings import Findings
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.utilisation import Utilisation, entry, tables
from ladderfe.checks.wall_groups import GROUPS, WallGroups, wall_groups
from ladderfe.connections import CATEGORIES, damage
from ladderfe.mesh.types import Part

__all__ = ["SPACING", "RailSections", "along_rails", "close_rows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Sections lie no further apart than this along the rail, mm, and at every multiple of it.
SPACING = 10.0
#: Sections this near to each other in one member, mm, are one; stations this near are alike.
SAME = 1e-6
#: Damages are told as ratios only, for which any category with the slope 3 serves.
SLOPE_THREE = CATEGORIES["butt, both sides"]


@dataclass(frozen=True, slots=True, eq=False)
class RailSections:
    """Sections of one rail from front to rear, at nodes both sides of them; r of them.

    station (r,) mm; rows and stresses: resultants and stresses there; groups: of the mesh's sections.
    use (r, 3): greatest utilisation of all cases and criteria of flanges, webs and corners; case, criterion, point
    (r,): where the greatest of them comes from.  ranges (k, r, 3): greatest range of normal stress, MPa, of each of k
    cycles; shear_range (k, r): of the average shear of webs; worst (k, r): ranges at the point where one cycle of the
    mix does most damage, in a category of slope 3 that is alike everywhere.
    """

    side: str
    station: Array
    rows: Rows
    stresses: Stresses
    groups: WallGroups
    use: Array
    case: IntArray
    criterion: IntArray
    point: IntArray
    ranges: Array
    shear_range: Array
    worst: Array
    findings: Findings

    @property
    def greatest(self) -> Array:
        """(r,) greatest utilisation of the whole section."""
        return np.asarray(self.use.max(axis=1))

    def within(self, start: float, end: float) -> IntArray:
        """Numbers of the sections between two stations."""
        return np.flatnonzero((self.station >= start - SAME) & (self.station <= end + SAME))

    def at(self, station: float) -> IntArray:
        """Numbers of the sections at a station, both sides of a node; of the nearest where there is none."""
        apart = np.abs(self.station - station)
        return np.flatnonzero(apart <= apart.min() + SAME)

    def governing(self, start: float, end: float) -> Utilisation:
        """What governs between two stations."""
        own = self.within(start, end)
        r = int(own[np.argmax(self.greatest[own])])
        criterion, stress, _, limit = tables(self.stresses, self.findings.chassis.criteria)[int(self.criterion[r])]
        where = (r, int(self.point[r]), int(self.case[r]))
        return entry(self.findings.solution, self.rows, self.stresses, where, criterion, stress, limit)


def along_rails(
    findings: Findings, cycles: Cycles, extra: Mapping[str, Iterable[float]] | None = None
) -> tuple[RailSections, RailSections]:
    """Both rails of a chassis that was checked; `extra`: side -> further stations at which to have a section.

    Sections lie at the ends of members, at all multiples of `SPACING`, and where a moment or a stress turns in some
    case, so that nothing between is greater.
    """
    rails = [p for p in findings.solution.mesh.parts if p.kind == "rail"]
    more = extra or {}
    left, right = (_rail(findings, cycles, p, list(more.get(p.side, ()))) for p in rails)
    return left, right


def _rail(findings: Findings, cycles: Cycles, part: Part, extra: list[float]) -> RailSections:
    solution = findings.solution
    rows = close_rows(findings, part, extra)
    s = stresses(solution, rows)
    groups = wall_groups(solution.mesh, s.table)
    use, which = _uses(s, groups, findings.chassis.criteria)
    spans = cycles.ranges(s.normal)  # (k, r, p)
    own = groups.point[s.section]
    ranges = np.stack([np.where(own == g, spans, 0.0).max(axis=2) for g in range(len(GROUPS))], axis=2)
    hardest = damage(spans, cycles.shares, SLOPE_THREE).argmax(axis=1)
    webs = groups.mean[s.section] == GROUPS.index("webs")
    return RailSections(
        side=part.side,
        station=rows.along,
        rows=rows,
        stresses=s,
        groups=groups,
        use=use,
        case=which[0],
        criterion=which[1],
        point=which[2],
        ranges=ranges,
        shear_range=np.where(webs, cycles.ranges(s.mean), 0.0).max(axis=2),
        worst=np.take_along_axis(spans, hardest[None, :, None], axis=2)[:, :, 0],
        findings=findings,
    )


def close_rows(findings: Findings, part: Part, extra: Iterable[float]) -> Rows:
    """Sections of a rail at the ends of its members, at all multiples of `SPACING`, at those of the check and at
    further stations."""
    solution, known, more = findings.solution, findings.rows, list(extra)
    mesh = solution.mesh
    member, x = [], []
    for m in part.members:
        (a, b), length = mesh.along[m].tolist(), float(mesh.lengths[m])
        grid = SPACING * np.arange(np.ceil(a / SPACING), np.floor(b / SPACING) + 1)
        stations = np.concatenate([grid, [v for v in more if a - SAME <= v <= b + SAME]])
        places = np.clip((stations - a) / (b - a), 0, 1) * length
        cuts = np.sort(np.concatenate([places, known.x[known.member == m], [0.0, length]]))
        cuts = cuts[np.append(True, np.diff(cuts) > SAME)]
        member.append(np.full(len(cuts), m))
        x.append(cuts)
    where, at = np.concatenate(member), np.concatenate(x)
    one, two = mesh.along[where].T
    along = one + (two - one) * at / mesh.lengths[where]
    return Rows(where, at, along, np.zeros(len(at), dtype=bool), solution.resultants(where, at))


def _uses(s: Stresses, groups: WallGroups, criteria: Criteria) -> tuple[Array, IntArray]:
    """(r, 3) greatest utilisation by group, and (3, r) case, criterion and point of the greatest of all."""
    r = len(s.section)
    use, best, which = np.zeros((r, len(GROUPS))), np.full(r, -1.0), np.zeros((3, r), dtype=np.int64)
    for n, (name, stress, _, limit) in enumerate(tables(s, criteria)):
        of = (groups.mean if name == "web shear" else groups.point)[s.section]
        ratio = np.abs(stress[:, :, 1:]) / limit
        most, case = ratio.max(axis=2), ratio.argmax(axis=2) + 1  # (r, p)
        for g in range(len(GROUPS)):
            np.maximum(use[:, g], np.where(of == g, most, 0.0).max(axis=1), out=use[:, g])
        point = most.argmax(axis=1)
        top = np.take_along_axis(most, point[:, None], axis=1)[:, 0]
        over = top > best
        best[over] = top[over]
        found = np.stack([np.take_along_axis(case, point[:, None], axis=1)[:, 0], np.full(r, n), point])
        which[:, over] = found[:, over]
    return use, which
