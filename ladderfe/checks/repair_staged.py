"""Old and new metal of a repair apart: welded while the frame stands loaded, and welded unloaded; the two bracket
it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ladderfe.checks.findings import Findings
from ladderfe.checks.staged import look_there, new_walls, staged_stresses
from ladderfe.checks.stress import Stresses
from ladderfe.checks.use_in import greatest_in, members_in, rows_of
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.condition.plan_types import Insert, PlanPlate
from ladderfe.condition.repaired import Repaired
from ladderfe.errors import ModelError

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
    plan, new = states.plan, _new(states, found, repaired)
    stated, why = None, ""
    if plan.support:
        try:
            there = look_there(repaired.rows, repaired.solution.mesh, found.solution)
            own = (repaired.solution, repaired.rows, repaired.stresses)
            stated = staged_stresses((found.solution, there), plan.support, own, new)
        except (ModelError, IndexError) as error:
            why = error.problem if isinstance(error, ModelError) else "the members of the two frames are not the same"
    else:
        stated = repaired.stresses
    pieces: list[Insert | PlanPlate] = [*plan.inserts, *(p for p in plan.plates if p.thickness)]
    rows = tuple(_piece(p, found, repaired, stated, new) for p in pieces)
    worst = None
    if stated is not None:
        worst = greatest(repaired.solution, repaired.rows, stated, repaired.chassis.criteria)[0]
    return Staged(support=plan.support, why=why, pieces=rows, worst=worst)


def _new(states: Repaired, found: Findings, repaired: Findings) -> dict[int, frozenset[str]]:
    """For each member as repaired the walls that are new metal."""
    mesh = repaired.solution.mesh
    same = len(found.solution.mesh.lengths) == len(mesh.lengths)
    new = dict(new_walls(found.solution.mesh, mesh)) if same else {}
    for i in states.plan.inserts:
        for m in members_in(mesh, i.side, i.start, i.end).tolist():
            new[m] = new.get(m, frozenset()) | frozenset(i.walls)
    if not same:
        for p in states.plan.plates:
            for m in members_in(mesh, p.side, p.start, p.end).tolist():
                names = {w.name for w in mesh.sections[mesh.section_of[m]].walls}
                plates = {n for n in names if " plate" in n or n == "boxing plate"}
                new[m] = new.get(m, frozenset()) | frozenset(plates)
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
