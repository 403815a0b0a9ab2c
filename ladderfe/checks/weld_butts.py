"""How hard a rail works where a plan has butt joints: pieces let in, across and along their edges, and splices.

Across an insert's ends and at a splice the weld takes the walls' normal stress across it and their shear along it; the
seams of an insert take shear alone, for stress along a weld does not load it.  Both sides of a weld count, each with
its own wall.  Metal welded in while the frame stands loaded feels only what comes after.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.repair_places import built_shape, neighbours
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import stresses
from ladderfe.checks.use_in import members_in
from ladderfe.checks.wall_groups import GROUPS, wall_groups
from ladderfe.condition.plan_types import Insert, Splice
from ladderfe.condition.rails import SAME, SIDES, rail_of
from ladderfe.condition.repaired import Repaired, insert_walls
from ladderfe.connections.cuts import CutStress, cut_stress
from ladderfe.solve import Solution

__all__ = ["ButtDemand", "butt_demands", "rows_at"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
SEAM = "seams along it"
#: Points of a seam are looked at in so many places of each member.
PLACES = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ButtDemand:
    """Stress of the plate on one butt weld, at n points and c cases: stress (n, c) MPa; thickness (n,) mm of the wall
    there; walls, groups (n,): its name and what it is ("flanges", "webs", "corners", or the seams); cases: names."""

    piece: str
    where: str
    made: str
    stress: CutStress
    thickness: Array
    walls: tuple[str, ...]
    groups: tuple[str, ...]
    cases: tuple[str, ...]


def butt_demands(states: Repaired, solution: Solution, stage: int | None) -> tuple[ButtDemand, ...]:
    """All butt joints of a plan; `stage`: number of the case in which the frame stands while it is welded."""
    out = []
    for i in states.plan.inserts:
        rail = rail_of(states.chassis, i.side)
        done = [rail.start, rail.end, *(s.station for s in states.plan.splices if s.side == i.side)]
        ends = [x for x in (i.start, i.end) if all(abs(x - d) > SAME for d in done)]
        own = ((x, i.butt_at(states.plan.inserts, x)) for x in ends)
        out += [_across(states, solution, i.name, piece, x, stage) for x, piece in own if piece is not None]
        section = built_shape(states, i.side, (i.start + i.end) / 2).section(SIDES[i.side])
        if neighbours(section, i.walls):  # a piece with all walls has no edge that meets one which stays
            out.append(_seams(states, solution, i, stage))
    for s in states.plan.splices:
        out.append(_demand(solution, s, f"at {s.station:g} mm", rows_at(solution, s.side, s.station), stage))
    return tuple(out)


def _across(
    states: Repaired, solution: Solution, name: str, i: Insert, station: float, stage: int | None
) -> ButtDemand:  # fmt: skip
    """Of one end of the piece of that name, the walls of `i`, which are those that no piece before it meets there."""
    rows = rows_at(solution, i.side, station)
    found = _demand(solution, i, f"across at {station:g} mm", rows, stage, _names(states, solution, i, rows))
    return replace(found, piece=name)


def _names(states: Repaired, solution: Solution, i: Insert, rows: Rows) -> list[tuple[str, ...]]:
    """Of each row what the walls of a piece are called there."""
    return [insert_walls(states, i, float(x)) for x in solution.mesh.along[rows.member].mean(axis=1)]


def _seams(states: Repaired, solution: Solution, i: Insert, stage: int | None) -> ButtDemand:
    own = members_in(solution.mesh, i.side, i.start, i.end)
    member = np.repeat(own, PLACES)
    x = np.tile(np.linspace(0, 1, PLACES), len(own)) * solution.mesh.lengths[member]
    rows = _rows(solution, member, x)
    found = _demand(solution, i, SEAM, rows, stage, _names(states, solution, i, rows))
    stress = CutStress(np.zeros_like(found.stress.along), found.stress.along)
    return replace(found, stress=stress, groups=("seams",) * len(found.walls))


def rows_at(solution: Solution, side: str, station: float) -> Rows:
    """Sections of a rail at a station, at nodes both sides of it; none off the rail, whose ends reach `SAME` mm on."""
    mesh = solution.mesh
    part = next(p for p in mesh.parts if p.kind == "rail" and p.side == side)
    low, high = (float(f(mesh.along[part.members])) for f in (np.min, np.max))
    if low - SAME <= station <= high + SAME:
        station = min(max(station, low), high)
    member, x = [], []
    for m in part.members:
        a, b = mesh.along[m].tolist()
        if a - 1e-6 <= station <= b + 1e-6:
            member.append(m)
            x.append(min(max((station - a) / (b - a), 0.0), 1.0) * float(mesh.lengths[m]))
    return _rows(solution, np.array(member, dtype=np.int64), np.array(x))


def _rows(solution: Solution, member: IntArray, x: Array) -> Rows:
    a, b = solution.mesh.along[member].T
    along = a + (b - a) * x / solution.mesh.lengths[member]
    return Rows(member, x, along, np.zeros(len(x), dtype=bool), solution.resultants(member, x))


def _demand(
    solution: Solution, piece: Insert | Splice, where: str, rows: Rows, stage: int | None,
    only: Sequence[Collection[str]] = (),
) -> ButtDemand:  # fmt: skip
    """Stress on the weld at all points of the walls named for each row (nothing named: all); on angled cuts each
    point twice, for shear of either sign: which way the cut leans is not stated."""
    s = stresses(solution, rows)
    groups = wall_groups(solution.mesh, s.table)
    angled = isinstance(piece, Splice) and piece.cut == "angled"
    normal, shear, angle, thick, walls, kinds = [], [], [], [], [], []
    for r, k in enumerate(s.section.tolist()):
        for p, wall in enumerate(s.table.walls[k]):
            if (only and wall not in only[r]) or " plate" in wall or " weld" in wall:
                continue
            normal.append(s.normal[r, p])
            shear.append(s.shear[r, p])
            angle.append(piece.angle if angled and groups.upright[k, p] else 90.0)  # type: ignore[union-attr]
            thick.append(groups.thickness[k, p])
            walls.append(wall)
            kinds.append(GROUPS[groups.point[k, p]])
    n, t = np.array(normal), np.array(shear)
    if stage is not None:
        n, t = n - n[:, stage, None], t - t[:, stage, None]
    leans = (1.0, -1.0) if angled else (1.0,)
    ways = [cut_stress(n, way * t, np.array(angle)[:, None]) for way in leans]
    stress = CutStress(*(np.concatenate([getattr(w, name) for w in ways]) for name in ("across", "along")))
    many = len(leans)
    return ButtDemand(piece=piece.name, where=where, made=piece.made, stress=stress, thickness=np.array(thick * many),
                      walls=tuple(walls * many), groups=tuple(kinds * many),
                      cases=tuple(c.name for c in solution.cases))  # fmt: skip
