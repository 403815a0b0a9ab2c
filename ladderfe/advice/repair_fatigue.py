"""Fatigue of a repair plan as ratios: as built, as found and as repaired, at the details of the plan and at the worst
place of each state; never a life.

Damage of a place is the sum over the cycles of share (range/category)^3.  At a place of the plan the same wall at the
same station is taken in all three states, each with its own category; the worst places need not be the same ones, for
a repair moves the crack.  Only rails are looked at; on pitted metal no category holds and no damage is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from ladderfe.advice.fatigue_ratio import Array, FatigueRatio, FatigueState, fatigue_ratio
from ladderfe.advice.repair_details import (
    Detail,
    attached,
    category_before,
    category_now,
    details,
    pitted_wall,
)
from ladderfe.chassis import Chassis
from ladderfe.checks.cycles import Cycles, stated_cycles, usual_cycles
from ladderfe.checks.findings import Findings
from ladderfe.checks.repair import RepairFindings
from ladderfe.checks.stress import stresses
from ladderfe.checks.weld_butts import rows_at
from ladderfe.condition.repaired import Repaired, wall_as_built
from ladderfe.connections import Category
from ladderfe.solve import Solution

__all__ = ["STATES", "RepairFatigue", "repair_fatigue"]

STATES: Final = ("as built", "as found", "as repaired")
#: Bounce and twist count alike where nobody states how often each comes.
ALIKE: Final = 0.5
HOW: Final = "with [[cycles]]"
#: Of a wall of a rail at a station its category and whether it is pitted.
Judge = Callable[[str, float, str, bool], tuple[Category, bool]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RepairFatigue:
    """Ratios of damage of a plan.

    cycles: what goes to and fro, None where the states have no such cases (`why` tells).  details (d): of the plan;
    same: of each state the ranges there (k, d) with the categories; to_built, to_found: as repaired over those, at the
    same places and worst over worst; rust: as found over as built; all_now: the places as repaired among which the
    worst one is looked for.
    """

    cycles: Cycles | None
    why: str
    details: tuple[Detail, ...]
    same: tuple[FatigueState, ...]
    to_built: FatigueRatio | None
    to_found: FatigueRatio | None
    rust: FatigueRatio | None
    all_now: FatigueState | None = None


def repair_fatigue(f: RepairFindings) -> RepairFatigue:
    """Fatigue of a plan that was worked out."""
    three = (f.built, f.found, f.repaired)
    own = details(f.states)
    try:
        cycles = [_cycles(f.repaired.chassis, x.solution) for x in three]
    except KeyError as error:
        why = f"not every state has the case {error.args[0]!r}"
        return RepairFatigue(cycles=None, why=why, details=own, same=(), to_built=None, to_found=None, rust=None)
    judges = [_judge(f.states, k) for k in range(3)]
    same = tuple(
        _at_details(name, x, c, own, judge if k < 2 else None, f.states)
        for k, (name, x, c, judge) in enumerate(zip(STATES, three, cycles, judges, strict=True))
    )
    worst = [_worst(name, x, c, judge) for name, x, c, judge in zip(STATES, three, cycles, judges, strict=True)]
    if own:
        worst[2] = _together(worst[2], same[2])
    between = [(worst[0], worst[2], same[0]), (worst[1], worst[2], same[1])]
    to_built, to_found = (_ratio(first, later, at if own else None, same[2]) for first, later, at in between)
    return RepairFatigue(cycles=cycles[2], why="", details=own, same=same, to_built=to_built, to_found=to_found,
                         rust=_ratio(worst[0], worst[1], None, None), all_now=worst[2])  # fmt: skip


def _cycles(chassis: Chassis, solution: Solution) -> Cycles:
    return stated_cycles(chassis, solution) or usual_cycles(chassis, solution, ALIKE, HOW)


def _judge(states: Repaired, number: int) -> Judge:
    """Category and pitting of walls in a state: 0 as built, 1 as found, 2 as repaired."""
    now = (states.found.built, states.found.chassis, states.chassis)[number]
    zones = attached(states.found.built if number < 2 else now)
    inserts = states.plan.inserts if number == 2 else ()

    def of(side: str, station: float, wall: str, closed: bool) -> tuple[Category, bool]:
        before = category_before(closed, zones, side, station)
        name = wall_as_built(states.found.built, now, side, station, wall)
        if number < 2:
            return before, number == 1 and pitted_wall(states.found, (), side, station, name)
        new = " plate" in wall or wall == "boxing plate" or not name
        pitted = not new and pitted_wall(states.found, inserts, side, station, name)
        return category_now(states, before, side, station, wall), pitted

    return of


def _at_details(
    name: str, f: Findings, cycles: Cycles, own: tuple[Detail, ...], judge: Judge | None, states: Repaired
) -> FatigueState:
    """A state at the details of the plan; judge: None for the details' own categories."""
    ranges, kinds, pitted = [], [], []
    for d in own:
        rows = rows_at(f.solution, d.side, d.station)
        if not len(rows.member):  # a rail that the plan makes longer: before there was nothing
            ranges.append(np.zeros(len(cycles.cycles)))
            kinds.append(d.judged_by)
            pitted.append(False)
            continue
        s = stresses(f.solution, rows)
        spans = cycles.ranges(s.normal)
        keep = np.zeros(spans.shape[1:], dtype=bool)
        for r, k in enumerate(s.section.tolist()):
            x = float(f.solution.mesh.along[rows.member[r]].mean())
            names = [wall_as_built(states.found.built, f.chassis, d.side, x, w) for w in s.table.walls[k]]
            keep[r, : len(names)] = [w in d.walls for w in names]
        if not keep.any():  # the wall is gone there
            keep[:] = s.table.real[s.section]
        best = int(np.argmax(_hurt(spans[:, keep], cycles.shares)))
        ranges.append(spans[:, keep][:, best])
        closed = f.solution.mesh.shapes[int(s.section[0])].closed
        looked = [judge(d.side, d.station, w, closed) if judge else (d.judged_by, _bad(states, d, w)) for w in d.walls]
        kinds.append(min((c for c, _ in looked), key=lambda c: c.stress_range))
        pitted.append(any(bad for _, bad in looked))
    values = np.array(ranges).reshape(len(own), len(cycles.cycles)).T
    return FatigueState(name=name, places=tuple(d.name for d in own), ranges=values, shares=cycles.shares,
                        details=tuple(kinds), pitted=np.array(pitted, dtype=bool))  # fmt: skip


def _bad(states: Repaired, d: Detail, wall: str) -> bool:
    return pitted_wall(states.found, states.plan.inserts, d.side, d.station, wall)


def _hurt(ranges: Array, shares: Array) -> Array:
    """(...) sum of share range^3 of ranges (k, ...): what damage goes with in one category."""
    return np.asarray(np.tensordot(shares, ranges**3, axes=1))


def _worst(name: str, f: Findings, cycles: Cycles, judge: Judge) -> FatigueState:
    """Of each wall and category of either rail the worst place that is not pitted, and one for pitted walls."""
    mesh, s = f.solution.mesh, f.stresses
    part_of = mesh.part_of()[f.rows.member]
    spans = cycles.ranges(s.normal)
    hurt = _hurt(spans, cycles.shares)
    best: dict[tuple[str, str, str, bool], tuple[float, str, Array, Category]] = {}
    rails = [n for n, p in enumerate(mesh.parts) if p.kind == "rail"]
    for r in np.flatnonzero(np.isin(part_of, rails)).tolist():
        side, x, k = mesh.parts[int(part_of[r])].side, float(f.rows.along[r]), int(s.section[r])
        closed = mesh.shapes[k].closed
        first: dict[str, int] = {}
        for p, wall in enumerate(s.table.walls[k]):
            if wall not in first or hurt[r, p] > hurt[r, first[wall]]:
                first[wall] = p
        for wall, p in first.items():
            kind, pitted = judge(side, x, wall, closed)
            key, value = (side, wall, kind.name, pitted), float(hurt[r, p]) / kind.stress_range**3
            if key not in best or value > best[key][0] * (1 + 1e-9):
                best[key] = value, f"{side} rail at {x:.0f} mm, {wall}, {kind.name}", spans[:, r, p], kind
    rows = list(best.items())
    return FatigueState(name=name, places=tuple(v[1] for _, v in rows), ranges=np.array([v[2] for _, v in rows]).T,
                        shares=cycles.shares, details=tuple(v[3] for _, v in rows),
                        pitted=np.array([key[3] for key, _ in rows]))  # fmt: skip


def _together(one: FatigueState, two: FatigueState) -> FatigueState:
    return FatigueState(
        name=one.name,
        places=one.places + two.places,
        ranges=np.concatenate([one.ranges, two.ranges], axis=1),
        shares=one.shares,
        details=(*one.detail_of, *two.detail_of),
        pitted=np.concatenate([one.pitted, two.pitted]),
    )


def _ratio(first: FatigueState, later: FatigueState, at: FatigueState | None, now: FatigueState | None) -> FatigueRatio:
    """Worst place over worst place of two states, and place by place where details are at hand."""
    worst = fatigue_ratio(first, later)
    if at is None or now is None:
        return replace(worst, same=None)
    same = fatigue_ratio(at, now)
    pitted, notes = _once((*same.pitted, *worst.pitted)), _once((*worst.notes, *same.notes))
    return replace(worst, same=same.same, pitted=pitted, notes=notes)


def _once(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
