"""Old and new metal of a repair apart: welded while the frame stands loaded, and welded unloaded; the two bracket
it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np

from ladderfe.chassis import Chassis
from ladderfe.checks.findings import Findings
from ladderfe.checks.members_there import divided_alike, members_there, rows_there
from ladderfe.checks.staged import look_there, new_walls, staged_stresses
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.use_in import greatest_in, members_in, rows_of
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.condition.found import with_walls
from ladderfe.condition.plan_types import Insert, PlanPlate
from ladderfe.condition.rails import SAME
from ladderfe.condition.repaired import Repaired, insert_walls
from ladderfe.errors import LadderFEError, ModelError
from ladderfe.solve import Solution, solve_chassis

__all__ = ["Staged", "StagedPiece", "staged"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StagedPiece:
    """Greatest utilisation along one piece: of all metal as found, and of old and new metal as repaired, welded as
    stated (None where that is not known) and unloaded."""

    piece: str
    found: Utilisation | None
    old_stated: Utilisation | None
    new_stated: Utilisation | None
    old_unloaded: Utilisation | None
    new_unloaded: Utilisation | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """support: case in which the frame stands while it is welded, "" for unloaded; why: what keeps the stresses of that
    from being known, "" where nothing does; worst: greatest utilisation of the whole frame so welded; bare: of the
    frame as it then stands, all walls cut out that pieces are let in for, None where nothing is let in."""

    support: str
    why: str
    pieces: tuple[StagedPiece, ...]
    worst: Utilisation | None
    bare: Utilisation | None = None


def staged(states: Repaired, found: Findings, repaired: Findings) -> Staged:
    """Stresses of a plan in stages."""
    alike = not _gone(states) and divided_alike(found.solution.mesh, repaired.solution.mesh)
    plan, new = states.plan, _new(states, found, repaired, alike)
    own = (repaired.solution, repaired.rows, repaired.stresses)
    old, bare, why = None, None, ""
    if plan.support:
        try:
            stage = _stage(states, found)
            if alike:
                there = look_there(repaired.rows, repaired.solution.mesh, stage)
            else:
                there = rows_there(repaired.rows, repaired.solution.mesh, stage)
            old = staged_stresses((stage, there), plan.support, own, new, alike=alike)
            if plan.inserts:
                uses = greatest(stage, there, stresses(stage, there), states.found.chassis.criteria)
                bare = next(u for u in uses if u.case == plan.support)
        except LadderFEError as error:
            why = error.problem if isinstance(error, ModelError) else str(error)
    else:
        old = repaired.stresses
    later = old
    if why and alike:  # all that new metal feels is what comes after the welding, which does not rest on the stage
        there = look_there(repaired.rows, repaired.solution.mesh, found.solution)
        with suppress(LadderFEError):
            later = staged_stresses((found.solution, there), plan.support, own, new)
    pieces: list[Insert | PlanPlate] = [*plan.inserts, *(p for p in plan.plates if p.thickness)]
    rows = tuple(_piece(p, found, repaired, (old, later), new) for p in pieces)
    worst = None
    if old is not None:
        worst = greatest(repaired.solution, repaired.rows, old, repaired.chassis.criteria)[0]
    return Staged(support=plan.support, why=why, pieces=rows, worst=worst, bare=bare)


def _gone(states: Repaired) -> list[str]:
    """Crossmembers and outriggers as found that the plan takes out or makes anew."""
    before, now = states.found.chassis, states.chassis
    own = [c.name for c in before.crossmembers if c not in now.crossmembers]
    return own + [o.name for o in before.outriggers if o not in now.outriggers]


def _stage(states: Repaired, found: Findings) -> Solution:
    """The frame as it stands when it is welded: as found, without what the plan takes out, parts and the walls that
    pieces are let in for, since what these carried has gone to the rest before new metal comes on."""
    gone, before = _gone(states), _cut_out(states)
    if not gone and before is states.found.chassis:
        return found.solution
    hung = next((m for m in before.mounts if m.part in gone), None)
    if hung is not None:
        raise ModelError("stage", f"{hung.name} hangs on {hung.part}, which is taken out", "Weld it unloaded")
    bars = next((a for a in before.axles if a.torsion_bar in gone), None)
    if bars is not None:
        problem = f"the {bars.name} torsion bars are anchored on {bars.torsion_bar}, which is taken out"
        raise ModelError("stage", problem, "Weld it unloaded")
    cut = replace(
        before,
        crossmembers=tuple(c for c in before.crossmembers if c.name not in gone),
        outriggers=tuple(o for o in before.outriggers if o.name not in gone),
    )
    return solve_chassis(cut, taper_steps=found.taper_steps)


def _cut_out(states: Repaired) -> Chassis:
    """The chassis as found without the walls that pieces are let in for, all of them cut out at once."""
    found, walls = states.found, dict[int, dict[str, float]]()
    for i in states.plan.inserts:
        for k, s in enumerate(found.stretches):
            if s.side == i.side and i.start - SAME <= s.start and s.end <= i.end + SAME:
                walls.setdefault(k, {}).update(dict.fromkeys(i.walls, 0.0))
    return with_walls(found, walls) if walls else found.chassis


def _new(states: Repaired, found: Findings, repaired: Findings, alike: bool) -> dict[int, frozenset[str]]:
    """For each member as repaired the walls that are new metal."""
    before, mesh = found.solution.mesh, repaired.solution.mesh
    there = None
    if not alike:
        there = members_there(before, mesh)
        gone = [m for p in mesh.parts if p.name in _gone(states) for m in p.members]
        there[gone] = -1  # the name is the same, the metal is not
    new = dict(new_walls(before, mesh, there))
    for i in states.plan.inserts:
        for m in members_in(mesh, i.side, i.start, i.end).tolist():
            names = insert_walls(states, i, float(mesh.along[m].mean()))
            new[m] = new.get(m, frozenset()) | frozenset(names)
    return new


def _piece(
    p: Insert | PlanPlate, found: Findings, repaired: Findings, stated: tuple[Stresses | None, Stresses | None],
    new: dict[int, frozenset[str]],
) -> StagedPiece:  # fmt: skip
    """stated: stresses as the frame stands when it is welded, by which old metal is told and by which new."""
    def uses(s: Stresses | None, is_new: bool) -> Utilisation | None:
        if s is None:
            return None
        own = rows_of(repaired.rows, members_in(repaired.solution.mesh, p.side, p.start, p.end))
        return greatest_in(
            repaired.solution, repaired.rows, s, repaired.chassis.criteria, own,
            lambda m, name: (name in new.get(m, ())) == is_new,
        )  # fmt: skip

    f = found
    before = np.asarray(rows_of(f.rows, members_in(f.solution.mesh, p.side, p.start, p.end)))
    return StagedPiece(
        piece=p.name,
        found=greatest_in(f.solution, f.rows, f.stresses, f.chassis.criteria, before),
        old_stated=uses(stated[0], False),
        new_stated=uses(stated[1], True),
        old_unloaded=uses(repaired.stresses, False),
        new_unloaded=uses(repaired.stresses, True),
    )
