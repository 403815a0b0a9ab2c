"""Utilisation of a frame in many states that differ by walls of stretches of its rails.

`plain_states` answers state by state the usual way; `advice/together.py` many of them at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_all_start_methods
from os import cpu_count
from threading import active_count
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Criteria
from ladderfe.chassis.settings import YIELD
from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.thin_walls import LEAST, demands
from ladderfe.checks.utilisation import tables
from ladderfe.checks.variants import in_processes
from ladderfe.checks.wall_losses import onset_thickness
from ladderfe.condition import Found, with_walls
from ladderfe.errors import LadderFEError
from ladderfe.mesh import Mesh
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.sections.kept import lately
from ladderfe.solve import Solution, solve_chassis

__all__ = [
    "Answer", "AnswerStates", "Looked", "Near", "State", "answer", "as_found_solved", "frame_groups", "group_of_member",
    "in_use", "looked_at",    "plain_states", "slenderness", "worth_processes",
]  # fmt: skip

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: So many states are worth a process of their own.
WORTH_A_PROCESS = 4
#: Number of a stretch -> wall -> thickness in mm, 0 where it is gone; all else is as found.
State = Mapping[int, Mapping[str, float]]
#: Of every state the groups (numbers in `Answer.groups`) that are asked for; None: all of them.
Near = Sequence[Sequence[int]] | None
#: Of a chassis as found and states of it the answers, in their order; at least of what is asked for.
AnswerStates = Callable[[Found, Sequence[State], Near], list["Answer"]]


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What one state of a frame comes to.

    groups: what utilisation is told of, first the rails' stretches as in `Found.stretches`, then all other parts, by
    (name, from station, to station) with 0, 0 for parts; cases: names.  ratio (g, c): the greatest utilisation of each
    in each case, whatever the criterion; nan where it was not asked for.  slender: of walls of the stretches that the
    state changes, (c,) the thickness at which they begin to lose width over the one that they have; above 1 they have
    lost some.  problem: why the state has no answer; then ratio is inf.
    """

    groups: tuple[tuple[str, float, float], ...]
    cases: tuple[str, ...]
    ratio: Array
    slender: Mapping[str, Array]
    problem: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """A solved state: sections looked at and their stresses; use (r, c) the greatest utilisation at each in each case,
    the condition as weighed left out."""

    solution: Solution
    rows: Rows
    stresses: Stresses
    use: Array


def plain_states(
    found: Found, states: Sequence[State], near: Near = None, *, taper_steps: int = TAPER_STEPS
) -> list[Answer]:
    """Answers of states of a chassis as found, in their order: the whole way from the chassis to its stresses for each
    of them, `near` or not; many of them by several processes.  `taper_steps` as the check needed them."""
    if any(states):
        as_found_solved(found, taper_steps)  # known before processes part
    processes = worth_processes(len(states) // WORTH_A_PROCESS)
    return in_processes(partial(_plain, found, taper_steps=taper_steps), states, processes)


def worth_processes(most: int) -> int:
    """How many processes to work with, no more than `most`; 1 where they cannot be had."""
    if active_count() > 1 or "fork" not in get_all_start_methods():  # forks and threads do not mix
        return 1
    return max(1, min(cpu_count() or 1, most))


class AsFound(NamedTuple):
    """The frame as found: its greatest normal stress in any case, MPa, and number of members."""

    normal: float
    members: int


@lately
def as_found_solved(found: Found, taper_steps: int) -> AsFound:
    """What is asked of the frame as found for every state."""
    looked = looked_at(found.chassis, taper_steps)
    normal = float(np.abs(looked.stresses.normal[:, :, 1:]).max(initial=0.0))
    return AsFound(normal, len(looked.solution.mesh.ends))


def _plain(found: Found, state: State, taper_steps: int) -> Answer:
    groups, cases = frame_groups(found), tuple(c.name for c in found.chassis.cases)
    try:
        looked = looked_at(with_walls(found, state) if state else found.chassis, taper_steps)
    except LadderFEError as error:
        return Answer(groups, cases, np.full((len(groups), len(cases)), np.inf), {}, str(error))
    return answer(found, state, looked, taper_steps)


def looked_at(chassis: Chassis, taper_steps: int = TAPER_STEPS) -> Looked:
    """Solve a chassis and look at its stresses."""
    solution = solve_chassis(chassis, taper_steps=taper_steps)
    rows = look_at(solution)
    s = stresses(solution, rows)
    return Looked(solution, rows, s, in_use(s, chassis.criteria))


def in_use(s: Stresses, criteria: Criteria) -> Array:
    """(r, c) the greatest utilisation of every row in each case, the condition as weighed left out."""
    use = [np.abs(stress[:, :, 1:]).max(axis=1) / limit for _, stress, _, limit in tables(s, criteria)]
    return np.asarray(np.maximum.reduce(use))


def answer(found: Found, state: State, looked: Looked, taper_steps: int = TAPER_STEPS) -> Answer:
    """The greatest utilisations of a solved state and how slender its changed walls are."""
    mesh = looked.solution.mesh
    groups = frame_groups(found)
    group = group_of_member(found, mesh)[looked.rows.member]
    ratio = np.zeros((len(groups), looked.use.shape[1]))
    np.maximum.at(ratio, group, looked.use)
    cases = tuple(c.name for c in looked.solution.cases[1:])
    own = np.flatnonzero(np.isin(group, list(state)))
    if not state:
        return Answer(groups, cases, ratio, {})
    slender = slenderness(mesh, (looked.rows, looked.stresses), own, as_found_solved(found, taper_steps).normal)
    return Answer(groups, cases, ratio, slender)


def frame_groups(found: Found) -> tuple[tuple[str, float, float], ...]:
    """`Answer.groups` of a chassis as found."""
    c = found.chassis
    rails = [(f"{s.side} rail", s.start, s.end) for s in found.stretches]
    names = [x.name for x in c.crossmembers] + [o.name for o in c.outriggers]
    return (*rails, *((name, 0.0, 0.0) for name in names))


def group_of_member(found: Found, mesh: Mesh) -> IntArray:
    """(m,) the number among `Answer.groups` that each member belongs to."""
    number = {name: k for k, (name, _, _) in enumerate(frame_groups(found))}
    part_of, middle = mesh.part_of(), mesh.along.mean(axis=1)
    out = np.array([number.get(p.name, 0) for p in mesh.parts])[part_of]
    side = np.array([p.side if p.kind == "rail" else "" for p in mesh.parts])[part_of]
    for k, s in enumerate(found.stretches):
        out[(side == s.side) & (middle > s.start) & (middle < s.end)] = k
    return out


def slenderness(mesh: Mesh, seen: tuple[Rows, Stresses], own: IntArray, greatest: float) -> dict[str, Array]:
    """Of every wall at the rows `own` (c,) the greatest onset thickness over its own thickness in each case.

    Rows and cases count as in the check: a quarter or more of the greatest normal stress of these rows in that case,
    and a twentieth of the frame's `greatest` as found, or of that of these rows where it is more; empty where none do.
    """
    rows, s = seen
    normal = s.normal[own]
    weak = np.abs(normal).max(axis=1) < LEAST * max(greatest, float(np.abs(normal[:, :, 1:]).max(initial=0.0)))
    if weak.all():  # nothing there works hard enough to press a wall
        return {}
    few = Rows(rows.member[own], rows.x[own], rows.along[own], rows.turning[own], rows.resultants[own])
    part = replace(s, section=s.section[own], normal=np.where(weak[:, None], 0.0, normal))
    d = demands(mesh, few, part, mesh.material.yield_stress or YIELD.used)
    out: dict[str, Array] = {}
    near = onset_thickness(d) / np.where(d.table.real, d.table.thickness, 1.0)[d.section]
    for k, panels in enumerate(d.table.panels):
        at = np.flatnonzero(d.section == k)
        for i, panel in enumerate(panels):
            of_wall = out.setdefault(panel.name, np.zeros(normal.shape[2] - 1))
            np.maximum.at(of_wall, d.case[at] - 1, near[at, i])
    return out
