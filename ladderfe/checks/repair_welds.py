"""Metres of weld that a plan asks for, by kind, and the mass of its pieces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import hypot, radians, sin

from ladderfe.chassis import Chassis, Crossmember, Diaphragm, Gusset
from ladderfe.checks.repair_places import built_shape, met
from ladderfe.condition.plan_rows import flat_width, plate_width
from ladderfe.condition.plan_slots import sleeve_joints, slot_rows
from ladderfe.condition.plan_types import TIP, Insert, PlanPlate, Splice
from ladderfe.condition.rails import SAME, SIDES, rail_of, shape_at
from ladderfe.condition.repaired import Repaired
from ladderfe.connections import slot_girth
from ladderfe.sections import Shape, cell_of, wall_thickness
from ladderfe.sections.plated import lies_on

__all__ = ["WELD_KINDS", "WeldRun", "cut_length", "metres_by_kind", "weld_runs"]

#: Butt welds across the rail and along inserts, seams along plates, welds across their ends, slots that hold sleeves
#: (once round the edge of each, filled or not), joints of new parts.
WELD_KINDS = ("butt", "seam", "end", "slot", "crossmember joint")


@dataclass(frozen=True, slots=True)
class WeldRun:
    """Weld of one kind on one piece, mm."""

    piece: str
    kind: str
    length: float


def weld_runs(states: Repaired) -> tuple[WeldRun, ...]:
    """All weld that the plan asks for; runs of no length are left out."""
    plan, out = states.plan, list[WeldRun]()
    for i in plan.inserts:
        out.append(WeldRun(i.name, "butt", _insert(states, i)))
    for p in (p for p in plan.plates if p.thickness):
        if p.kind == "sleeve":
            out.append(WeldRun(p.name, "slot", _slots(states, p)))
            continue
        seam, end = _plate(states, p)
        out += [WeldRun(p.name, "seam", seam), WeldRun(p.name, "end", end)]
    for s in plan.splices:
        out.append(WeldRun(s.name, "butt", cut_length(built_shape(states, s.side, s.station), s)))
    return tuple(r for r in [*out, *_joints(states)] if r.length > 0)


def metres_by_kind(runs: tuple[WeldRun, ...]) -> dict[str, float]:
    """Kind -> metres, all kinds."""
    return {kind: sum(r.length for r in runs if r.kind == kind) / 1000 for kind in WELD_KINDS}


def cut_length(shape: Shape, splice: Splice) -> float:
    """Length of a splice's weld, mm: a square cut runs once round the section, an angled one is longer on upright walls
    by 1/sin of its angle, a stepped one has its step on each upright wall."""
    total = 0.0
    for w in shape.section().walls:
        upright = abs(w.end[1] - w.start[1]) > abs(w.end[0] - w.start[0])
        total += w.true_length / sin(radians(splice.angle)) if upright else w.true_length
    stands = [n for n in wall_thickness(shape) if n != "wall" and not lies_on(shape, n)]
    return float(total + splice.step * len(stands))


def _insert(states: Repaired, i: Insert) -> float:
    """Across its walls at both ends, and along every edge that meets a wall which stays; not at the rail's own ends,
    nor where a splice of the plan is counted, nor what an insert before it has counted: a butt or a seam in common."""
    shape = built_shape(states, i.side, (i.start + i.end) / 2)
    section = shape.section(SIDES[i.side])
    all_walls = set(wall_thickness(shape, SIDES[i.side]))
    rail, plan = rail_of(states.chassis, i.side), states.plan
    done = [rail.start, rail.end, *(s.station for s in plan.splices if s.side == i.side)]
    before = [j for j in plan.inserts[: plan.inserts.index(i)] if j.side == i.side]
    total = 0.0
    for end in (i.start, i.end):
        if all(abs(end - x) > SAME for x in done):
            piece = i.butt_at(plan.inserts, end)
            own = () if piece is None else piece.walls
            whole = set(own) == all_walls  # then it runs round the corners too
            total += _round(shape) if whole else sum(flat_width(shape, w, i.side) for w in own)
    for wall in met(section, i.walls):
        common = [(max(i.start, j.start), min(i.end, j.end)) for j in before if wall in j.walls]
        total += i.length - sum(max(b - a, 0.0) for a, b in common)
    return total


def _plate(states: Repaired, p: PlanPlate) -> tuple[float, float]:
    """Seams along its edges (tapered ends included where they lie on the rail), and welds across its ends."""
    width = plate_width(built_shape(states, p.side, (p.start + p.end) / 2), p)
    a, b = p.whole
    slope = hypot(p.taper, (1 - TIP[p.ends]) * width / 2) if p.taper and p.lapped else 0.0
    return (2 * (b - a) + 4 * slope) * p.weld.share, 2.0 * p.across * width


def _slots(states: Repaired, p: PlanPlate) -> float:
    """Once round the edge of every slot."""
    if p.slots is None:
        return 0.0
    rows = slot_rows(p, sleeve_joints(p, states.plan.inserts, states.plan.splices))
    each = float(slot_girth(p.slots.length, p.slots.width))
    return each * len(p.slots.walls) * sum(map(len, rows))


def _joints(states: Repaired) -> list[WeldRun]:
    """Once round the end of every crossmember and outrigger, and round every diaphragm, that was not there before."""
    built, now = states.found.built, states.chassis
    out = []
    known = [_bare(c, built.gussets) for c in built.crossmembers]
    for c in now.crossmembers:
        if _bare(c, now.gussets) not in known:
            out.append(WeldRun(f"crossmember {c.name}", "crossmember joint", 2 * _round(c.shape)))
    for o in now.outriggers:
        if o not in built.outriggers:
            out.append(WeldRun(f"outrigger {o.name}", "crossmember joint", _round(o.shape)))
    for g in now.gussets:
        if g not in built.gussets and g.thickness:  # two plates, both legs from both sides
            out.append(WeldRun(f"gussets {g.name}", "crossmember joint", 4 * (g.web_leg + g.reach)))
    for d in now.diaphragms:
        cell = cell_of(shape_at(rail_of(now, d.side), d.station)) or cell_of(_before(now, d))
        if d not in built.diaphragms and cell is not None:
            out.append(WeldRun(f"diaphragm {d.name}", "crossmember joint", 2 * float(sum(cell.size))))
    return out


def _before(chassis: Chassis, d: Diaphragm) -> Shape:
    """The rail's shape right before a diaphragm."""
    return shape_at(rail_of(chassis, d.side), d.station - 2 * SAME)


def _bare(c: Crossmember, gussets: Iterable[Gusset]) -> Crossmember:
    """A crossmember without its gussets, which are counted by themselves."""
    sides = {g.side for g in gussets if g.member == c.name and g.thickness}
    left, right = (replace(j, kind="butted", gusset=0.0) if side in sides else j
                   for side, j in (("left", c.joint_left), ("right", c.joint_right)))  # fmt: skip
    return replace(c, joint_left=left, joint_right=right)


def _round(shape: Shape) -> float:
    return float(sum(w.true_length for w in shape.section().walls))
