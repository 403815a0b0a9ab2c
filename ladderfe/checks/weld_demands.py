"""What the welds of a frame carry: plates and butt joints of a repair plan, joints of crossmembers and outriggers."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from ladderfe.chassis import Chassis
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.repair_welds import WeldRun, weld_runs
from ladderfe.checks.weld_butts import ButtDemand, butt_demands
from ladderfe.checks.weld_gussets import GussetDemand, gusset_demands
from ladderfe.checks.weld_hangers import HangerDemand, hanger_demands
from ladderfe.checks.weld_joints import JointDemand, joint_demands
from ladderfe.checks.weld_plates import PlateDemand, plate_demand
from ladderfe.checks.weld_slots import SlotDemand, slot_demands
from ladderfe.condition.left_open import bare_brackets, open_parts
from ladderfe.condition.repaired import Repaired

__all__ = ["WeldDemands", "weld_demands"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldDemands:
    """findings: of the frame as repaired, or of a chassis file (states None: joints alone).  support: the case in which
    the frame stands while it is welded, "" for unloaded; the plan's welds feel what comes after it, joints and hangers
    all."""

    findings: Findings
    states: Repaired | None
    support: str
    plates: tuple[PlateDemand, ...]
    slots: tuple[SlotDemand, ...]
    butts: tuple[ButtDemand, ...]
    joints: tuple[JointDemand, ...]
    hangers: tuple[HangerDemand, ...]
    gussets: tuple[GussetDemand, ...]
    runs: tuple[WeldRun, ...]


def weld_demands(
    subject: Chassis | Repaired, *, bare: Collection[str] = (), progress: Callable[[str], None] = lambda _: None
) -> WeldDemands:
    """Demands on all welds of a chassis or of a plan.  Raises ModelError and MechanismError as `check` does.

    bare : of a chassis as found the brackets of springs on a wall that a hole took away; a plan's are known.
    """
    states = subject if isinstance(subject, Repaired) else None
    chassis = subject.chassis if isinstance(subject, Repaired) else subject
    findings = check(chassis, assumptions=False, progress=progress)
    progress("forces in welds")
    return demands_of(findings, states, bare)


def demands_of(findings: Findings, states: Repaired | None, bare: Collection[str] = ()) -> WeldDemands:
    """The same of a frame that was checked."""
    solution = findings.solution
    plates: tuple[PlateDemand, ...] = ()
    butts: tuple[ButtDemand, ...] = ()
    slots: tuple[SlotDemand, ...] = ()
    support = states.plan.support if states is not None else ""
    if states is not None:
        stage = [c.name for c in solution.cases].index(support) if support else None
        own = [p for p in states.plan.plates if p.thickness and p.kind != "sleeve"]
        plates = tuple(plate_demand(states, solution, p, stage) for p in own)
        slots = slot_demands(states, solution, stage)
        butts = butt_demands(states, solution, stage)
        gone = [h for hole in states.found.holes for h in open_parts(states.plan, hole)]
        bare = [h.name for h in bare_brackets(states.chassis.hangers, states.found.built, gone)]
    joints = joint_demands(solution, findings.chassis.gussets)
    runs = weld_runs(states) if states is not None else ()
    return WeldDemands(findings=findings, states=states, support=support, plates=plates, slots=slots,
                       butts=butts, joints=joints, hangers=hanger_demands(solution, findings.chassis, bare),
                       gussets=gusset_demands(solution, findings.chassis, joints), runs=runs)  # fmt: skip
