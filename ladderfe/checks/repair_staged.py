"""Old and new metal of a repair apart: welded while the frame stands loaded, and welded unloaded; the two bracket
it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ladderfe.checks.findings import Findings
from ladderfe.checks.members_there import divided_alike, members_there, rows_there
from ladderfe.checks.staged import look_there, new_walls, staged_stresses
from ladderfe.checks.stress import Stresses
from ladderfe.checks.use_in import greatest_in, members_in, rows_of
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.condition.plan_types import Insert, PlanPlate
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
    from being known, "" where nothing does; worst: greatest utilisation of the whole frame so welded."""

    support: str
    why: str
    pieces: tuple[StagedPiece, ...]
    worst: Utilisation | None


def staged(states: Repaired, found: Findings, repaired: Findings) -> Staged:
    """Stresses of a plan in stages."""
    alike = not _gone(states) and divided_alike(found.solution.mesh, repaired.solution.mesh)
    plan, new = states.plan, _new(states, found, repaired, alike)
    stated, why = None, ""
    if plan.support:
        try:
            own = (repaired.solution, repaired.rows, repaired.stresses)
            stage = _stage(states, found)
            if alike:
                there = look_there(repaired.rows, repaired.solution.mesh, stage)
            else:
                there = rows_there(repaired.rows, repaired.solution.mesh, stage)
            stated = staged_stresses((stage, there), plan.support, own, new, alike=alike)
        except LadderFEError as error:
            why = error.problem if isinstance(error, ModelError) else str(error)
    else:
        stated = repaired.stresses
    pieces: list[Insert | PlanPlate] = [*plan.inserts, *(p for p in plan.plates if p.thickness)]
    rows = tuple(_piece(p, found, repaired, stated, new) for p in pieces)
    worst = None
    if stated is not None:
        worst = greatest(repaired.solution, repaired.rows, stated, repaired.chassis.criteria)[0]
    return Staged(support=plan.support, why=why, pieces=rows, worst=worst)


def _gone(states: Repaired) -> list[str]:
    """Crossmembers and outriggers as found that the plan takes out or makes anew."""
    before, now = states.found.chassis, states.chassis
    own = [c.name for c in before.crossmembers if c not in now.crossmembers]
    return own + [o.name for o in before.outriggers if o not in now.outriggers]


def _stage(states: Repaired, found: Findings) -> Solution:
    """The frame as it stands when it is welded: as found, without what the plan takes out, for what that carried has
    gone to the rest before new metal comes on."""
    gone, before = _gone(states), states.found.chassis
    if not gone:
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
    p: Insert | PlanPlate, found: Findings, repaired: Findings, stated: Stresses | None, new: dict[int, frozenset[str]]
) -> StagedPiece:
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
        old_stated=uses(stated, False),
        new_stated=uses(stated, True),
        old_unloaded=uses(repaired.stresses, False),
        new_unloaded=uses(repaired.stresses, True),
    )
