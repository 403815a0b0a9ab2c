"""A repair plan worked out: as built, as found and as repaired side by side, where it got worse, what it answers to the
rules of the trade, its weld and its mass."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ladderfe.checks.equal_section import Proposal, proposals
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.found import bare_twist
from ladderfe.checks.repair_answers import answers
from ladderfe.checks.repair_needs import Need, needs
from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.repair_rules import Answer
from ladderfe.checks.repair_staged import Staged, staged
from ladderfe.checks.repair_steps import EndStep, end_steps
from ladderfe.checks.repair_uses import PlaceUse, case_uses, part_uses, stretch_uses
from ladderfe.checks.repair_welds import WeldRun, weld_runs
from ladderfe.condition.repaired import Repaired
from ladderfe.mesh import frame_mass

__all__ = ["RepairFindings", "check_repair"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RepairFindings:
    """All that is found of a plan.

    built, found, repaired: findings of the three states.  cases, parts, stretches: greatest utilisation in each,
    the worst as repaired first.  twist: torsional stiffness of the bare frame, N mm/rad, None where it falls apart;
    mass: of the frame, t; both of the three states.  answers, remarks: to the rules of the trade.  needs: what rusted
    walls need by their section alone.  proposals: sizes in place of crossmembers taken out.
    """

    states: Repaired
    built: Findings
    found: Findings
    repaired: Findings
    cases: tuple[PlaceUse, ...]
    parts: tuple[PlaceUse, ...]
    stretches: tuple[PlaceUse, ...]
    staged: Staged
    twist: tuple[float | None, float | None, float | None]
    mass: tuple[float, float, float]
    welds: tuple[WeldRun, ...]
    steps: tuple[EndStep, ...]
    answers: tuple[Answer, ...]
    remarks: tuple[str, ...]
    needs: tuple[Need, ...]
    proposals: tuple[Proposal, ...]

    @property
    def broken(self) -> tuple[Answer, ...]:
        """Rules that are not kept."""
        return tuple(a for a in self.answers if not a.kept)

    @property
    def worse(self) -> tuple[PlaceUse, ...]:
        """Stretches and parts where the frame as repaired is used more than as found, the greatest rise first."""
        own = [u for u in (*self.stretches, *(p for p in self.parts if p.kind != "rail")) if u.rise > RISE]
        return tuple(sorted(own, key=lambda u: -u.rise))

    @property
    def proven(self) -> bool:
        return all(f.proven for f in (self.built, self.found, self.repaired))

    @property
    def exceeded(self) -> bool:
        """Whether the frame as repaired is over a limit, welded as stated or unloaded."""
        worst = self.staged.worst
        return self.repaired.exceeded or (worst is not None and worst.ratio > 1)


#: A rise of utilisation below this part of the limit is not told.
RISE = 0.01


def check_repair(states: Repaired, *, progress: Callable[[str], None] = lambda _: None) -> RepairFindings:
    """Work out a plan.  Raises ModelError and MechanismError as `check` does."""
    progress("as found")
    found = check(states.found.chassis, assumptions=False, progress=progress)
    built = found
    if states.found.chassis.rails != states.found.built.rails:
        progress("as built")
        built = check(states.found.built, assumptions=False, progress=progress, taper_steps=found.taper_steps)
    progress("as repaired")
    now = check(states.chassis, assumptions=False, progress=progress, taper_steps=found.taper_steps)
    three = (built, found, now)
    twist = [bare_twist(f) for f in three]
    mass = [frame_mass(f.solution.mesh).mass for f in three]
    return RepairFindings(
        states=states,
        built=built,
        found=found,
        repaired=now,
        cases=case_uses(three),
        parts=part_uses(three),
        stretches=stretch_uses(states, three),
        staged=staged(states, found, now),
        twist=(twist[0], twist[1], twist[2]),
        mass=(mass[0], mass[1], mass[2]),
        welds=weld_runs(states),
        steps=end_steps(states),
        answers=answers(states),
        remarks=remarks(states),
        needs=needs(states),
        proposals=proposals(states),
    )
