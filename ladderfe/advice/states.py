"""Utilisation of a frame in many states that differ by walls of stretches of its rails.

`answer_states` is the one door: `plain_states` answers it state by state the usual way.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_all_start_methods, get_context
from os import cpu_count
from threading import active_count

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.chassis.settings import YIELD
from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.thin_walls import LEAST, demands
from ladderfe.checks.utilisation import tables
from ladderfe.checks.wall_losses import onset_thickness
from ladderfe.condition import Found, with_walls
from ladderfe.errors import LadderFEError
from ladderfe.mesh import Mesh
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.solve import Solution, solve_chassis

__all__ = ["Answer", "AnswerStates", "Looked", "State", "answer", "answer_states", "looked_at", "plain_states"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: So many states are worth a process of their own.
WORTH_A_PROCESS = 4
#: Number of a stretch -> wall -> thickness in mm, 0 where it is gone; all else is as found.
State = Mapping[int, Mapping[str, float]]
#: Of a chassis as found and states of it the answers, in their order.
AnswerStates = Callable[[Found, Sequence[State]], list["Answer"]]


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What one state of a frame comes to.

    groups: what utilisation is told of, first the rails' stretches as in `Found.stretches`, then all other parts, by
    (name, from station, to station) with 0, 0 for parts; cases: names.  ratio (g, c): the greatest utilisation of each
    in each case, whatever the criterion.  slender: of walls of the stretches that the state changes, (c,) the thickness
    at which they begin to lose width over the one that they have; above 1 they have lost some.  problem: why the state
    has no answer; then ratio is inf.
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


def answer_states(found: Found, states: Sequence[State], taper_steps: int = TAPER_STEPS) -> list[Answer]:
    """Answers of states of a chassis as found, in their order; `taper_steps` as the check needed them."""
    return plain_states(found, states, taper_steps)


def plain_states(found: Found, states: Sequence[State], taper_steps: int = TAPER_STEPS) -> list[Answer]:
    """The same state by state: the whole way from the chassis to its stresses; many of them by several processes."""
    work = partial(_plain, found, taper_steps=taper_steps)
    processes = min(cpu_count() or 1, len(states) // WORTH_A_PROCESS)
    if processes < 2 or active_count() > 1 or "fork" not in get_all_start_methods():  # forks and threads do not mix
        return [work(state) for state in states]
    with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
        return list(pool.map(work, states, chunksize=2))


def _plain(found: Found, state: State, taper_steps: int) -> Answer:
    groups, cases = _groups(found), tuple(c.name for c in found.chassis.cases)
    try:
        looked = looked_at(with_walls(found, state) if state else found.chassis, taper_steps)
    except LadderFEError as error:
        return Answer(groups, cases, np.full((len(groups), len(cases)), np.inf), {}, str(error))
    return answer(found, state, looked)


def looked_at(chassis: Chassis, taper_steps: int = TAPER_STEPS) -> Looked:
    """Solve a chassis and look at its stresses."""
    solution = solve_chassis(chassis, taper_steps=taper_steps)
    rows = look_at(solution)
    s = stresses(solution, rows)
    use = [np.abs(stress[:, :, 1:]).max(axis=1) / limit for _, stress, _, limit in tables(s, chassis.criteria)]
    return Looked(solution, rows, s, np.maximum.reduce(use))


def answer(found: Found, state: State, looked: Looked) -> Answer:
    """The greatest utilisations of a solved state and how slender its changed walls are."""
    mesh = looked.solution.mesh
    groups = _groups(found)
    group = group_of_member(found, mesh)[looked.rows.member]
    ratio = np.zeros((len(groups), looked.use.shape[1]))
    np.maximum.at(ratio, group, looked.use)
    cases = tuple(c.name for c in looked.solution.cases[1:])
    own = np.flatnonzero(np.isin(group, list(state)))
    return Answer(groups, cases, ratio, _slender(looked, own) if state else {})


def _groups(found: Found) -> tuple[tuple[str, float, float], ...]:
    c = found.chassis
    rails = [(f"{s.side} rail", s.start, s.end) for s in found.stretches]
    names = [x.name for x in c.crossmembers] + [o.name for o in c.outriggers]
    return (*rails, *((name, 0.0, 0.0) for name in names))


def group_of_member(found: Found, mesh: Mesh) -> IntArray:
    """(m,) the number among `Answer.groups` that each member belongs to."""
    number = {name: k for k, (name, _, _) in enumerate(_groups(found))}
    part_of, middle = mesh.part_of(), mesh.along.mean(axis=1)
    out = np.array([number.get(p.name, 0) for p in mesh.parts])[part_of]
    side = np.array([p.side if p.kind == "rail" else "" for p in mesh.parts])[part_of]
    for k, s in enumerate(found.stretches):
        out[(side == s.side) & (middle > s.start) & (middle < s.end)] = k
    return out


def _slender(looked: Looked, own: IntArray) -> dict[str, Array]:
    """Of every wall at the rows `own` (c,) the greatest onset thickness over its own thickness in each case.

    Rows and cases count as in the check: a quarter or more of the greatest normal stress of these rows in that case,
    and a twentieth of the frame's greatest.
    """
    rows, s = looked.rows, looked.stresses
    normal = s.normal[own]
    weak = np.abs(normal).max(axis=1) < LEAST * np.abs(s.normal[:, :, 1:]).max()
    few = Rows(rows.member[own], rows.x[own], rows.along[own], rows.turning[own], rows.resultants[own])
    part = replace(s, section=s.section[own], normal=np.where(weak[:, None], 0.0, normal))
    material = looked.solution.mesh.material
    d = demands(looked.solution.mesh, few, part, material.yield_stress or YIELD.used)
    out: dict[str, Array] = {}
    near = onset_thickness(d) / np.where(d.table.real, d.table.thickness, 1.0)[d.section]
    for k, panels in enumerate(d.table.panels):
        at = np.flatnonzero(d.section == k)
        for i, panel in enumerate(panels):
            of_wall = out.setdefault(panel.name, np.zeros(looked.use.shape[1]))
            np.maximum.at(of_wall, d.case[at] - 1, near[at, i])
    return out
