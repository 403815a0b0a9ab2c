"""What the pieces of a plan answer to the rules of the trade, and remarks on what no number tells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import inf

from numpy import interp

from ladderfe.checks.bolt_places import distances, met_wall, pattern_rules, thinnest
from ladderfe.checks.repair_places import (
    built_shape,
    crossings,
    depth_at,
    free_edges,
    least_left,
    left_at,
    mounted,
    rusted,
    uncovered,
)
from ladderfe.checks.repair_rules import (
    ACROSS_FLANGE,
    ACROSS_RAIL,
    COVERED_RUST,
    EDGE,
    INSERT,
    INSERT_END,
    NEXT,
    OFF_FLANGE,
    THICK,
    THICKER,
    TWICE,
    Answer,
    answer,
    beyond_hanger,
    beyond_joint,
    boxing_end,
    lap_on_sound,
    steel_of,
)
from ladderfe.condition.plan_rows import flat_width, lies, plate_width
from ladderfe.condition.plan_types import Insert, PlanPlate
from ladderfe.condition.rails import SIDES, rail_of
from ladderfe.condition.repaired import Repaired
from ladderfe.connections import RailHole, hole_rules, slot_rules, stitch_rules
from ladderfe.sections import wall_thickness

__all__ = ["answers"]

#: Yield stress taken where nobody states one, as in the limits, MPa.
PLAIN_STEEL = 235.0
#: How far beyond an end of an insert its wall is looked at, mm.
BESIDE = 2.0
#: Welds this near, mm, are one.
MEET = 0.5


def answers(states: Repaired) -> tuple[Answer, ...]:
    """All answers of a plan, piece by piece; those of welds that are near each other last."""
    plan, out = states.plan, list[Answer]()
    if plan.yield_stress is not None and (plan.inserts or plan.plates):
        parent = states.found.built.material.yield_stress or PLAIN_STEEL
        hint = "Take steel at least as strong, or show by its limits that less will do"
        out.append(answer(plan, steel_of(parent), plan.yield_stress, hint))
    for i in plan.inserts:
        out += _insert(states, i)
    for p in plan.plates:
        if p.thickness:
            out += [*_thickness(states, p, p.thickness, _parents(states, p)), *_reach(states, p), *_ends(states, p)]
            out += [*_edges(states, p), *_over_rust(states, p), *_boxing(states, p)]
            out += [*_seam(states, p), *_slots(states, p)]
    parts = [*_bolts(states), *_hangers(states), *_gussets(states)]
    return tuple(dict.fromkeys([*out, *_near(states), *_holes(states), *parts]))


def _parents(states: Repaired, p: PlanPlate) -> list[float]:
    """Thickness as built of the walls a plate lies on, or of all where it lies on none."""
    walls = wall_thickness(built_shape(states, p.side, (p.start + p.end) / 2), SIDES[p.side])
    return [walls[p.wall]] if p.wall else list(walls.values())


def _thickness(states: Repaired, piece: Insert | PlanPlate, t: float, parents: list[float]) -> Iterator[Answer]:
    """All three limits where the first is not kept, so that twice the wall is never passed over."""
    ratio = t / min(parents)
    hint = "A thick plate draws the load and moves the crack to its end: take one as thick as the wall"
    yield answer(piece, THICK, ratio, hint)
    if not THICK.holds(ratio):
        yield answer(piece, THICKER, ratio)
        yield answer(piece, TWICE, ratio)


def _insert(states: Repaired, i: Insert) -> Iterator[Answer]:
    walls = wall_thickness(built_shape(states, i.side, (i.start + i.end) / 2), SIDES[i.side])
    if i.thickness is not None:
        yield from _thickness(states, i, i.thickness, [walls[w] for w in i.walls])
    yield answer(i, INSERT, i.length, "Cut back further and let in a longer piece")
    for end in (i.start, i.end):
        for wall in i.walls:
            beyond = end - BESIDE if end == i.start else end + BESIDE
            if any(j.covers(beyond) and wall in j.walls and j.side == i.side for j in states.plan.inserts):
                continue
            hint = "Cut back to metal that is not rusted: a butt weld holds no more than what it is welded to"
            yield answer(i, INSERT_END, left_at(states.found, i.side, wall, beyond), hint, f"{wall} at {end:g} mm")


def _reach(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """Beyond hangers and splices that it covers or ends at, and onto metal that is not rusted."""
    for f in mounted(states, p.side, "hanger"):
        depth = depth_at(states, p.side, f.station)
        rule = beyond_hanger(depth)
        if p.start - rule.limit < f.station < p.end + rule.limit:
            short = min(abs(f.station - v) for v in (p.start, p.end))
            hint = f"End it {rule.limit:g} mm (2 rail depths) off the hanger or more"
            yield answer(p, rule, short, hint, f"{f.name} at {f.station:g} mm")
    for s in states.plan.splices:
        if s.side == p.side and p.lapped and p.covers(s.station):
            rule = beyond_joint(depth_at(states, p.side, s.station))
            yield answer(p, rule, min(s.station - p.start, p.end - s.station), "Make the plate longer", s.name)
    if p.wall:
        for spot in rusted(states.found, p.side, p.start, p.end, (p.wall,)):
            if (rest := uncovered(states.plan, p.side, spot)) is not None:
                short = min(rest.start - p.start, p.end - rest.end)
                where = f"rusted from {rest.start:g} to {rest.end:g} mm"
                hint = "A weld to rusted metal holds no more than the rust leaves: reach onto better metal"
                yield answer(p, lap_on_sound(p.thickness), short, hint, where)


def _ends(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """Welds across the rail at its ends."""
    across = p.across
    if not p.lapped:
        return
    shape = built_shape(states, p.side, (p.start + p.end) / 2)
    flat = flat_width(shape, p.wall, p.side)
    width = (p.width or flat) * across
    if lies(shape, p.wall, p.side):
        hint = "Cut its ends to a spear so that no weld runs across the flange, or box the rail instead"
        yield answer(p, ACROSS_FLANGE, 2.0 * (across > 0), hint)
    else:
        hint = "Cut its ends at 45 degrees, to a spear or a fish mouth"
        yield answer(p, ACROSS_RAIL, min(width / shape.depth, 1.0), hint)


def _edges(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """Distance of its edges from the free edge of a flange."""
    if not p.wall:
        return
    shape = built_shape(states, p.side, (p.start + p.end) / 2)
    section, wall = shape.section(SIDES[p.side]), p.wall
    flat = section.flat(wall)
    if not any(free_edges(section, wall)):
        return
    half, middle = (p.width or flat.length) / 2, flat.length / 2
    way = 1 if sum((flat.end[0] - flat.start[0], flat.end[1] - flat.start[1])) > 0 else -1
    centre = middle + way * (p.centre or 0.0)
    rest = (centre - half, flat.length - centre - half)
    free = [d for d, is_free in zip(rest, free_edges(section, wall), strict=True) if is_free]
    yield answer(p, EDGE, max(min(free), 0.0), "Take a narrower plate, set toward the web")


def _over_rust(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """What is left of the wall that a plate is to cover."""
    if not p.wall:
        return
    left, (a, b) = least_left(states, p.side, p.wall, p.start, p.end)
    if left < 1.0:
        where = f"{'a hole' if left == 0 else 'thinnest'} between {a:g} and {b:g} mm"
        hint = "Plating over rust festers between the plates: cut it out and let a piece in"
        yield answer(p, COVERED_RUST, left, hint, where)


def _boxing(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """Where boxing ends; the rail's own ends count as crossmembers."""
    if p.kind != "boxing":
        return
    rail = next(r for r in states.chassis.rails if r.side == p.side)
    held = [rail.start, rail.end, *(f.station for f in mounted(states, p.side, "crossmember"))]
    for end in p.whole:
        away = min(abs(end - s) for s in held)
        hint = "End it at a crossmember: twist gathers in the first open stretch beyond it"
        yield answer(p, boxing_end(depth_at(states, p.side, end)), away, hint, f"its end at {end:g} mm")


def _seam(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """What a stitched seam does not keep to."""
    if p.weld.pitch:
        shape = built_shape(states, p.side, (p.start + p.end) / 2)
        width = plate_width(shape, p)
        for b in stitch_rules(p.weld.run, p.weld.pitch, min(p.thickness, *_parents(states, p)), width):
            yield answer(p, b.rule, b.found, "Weld repairs all round")


def _slots(states: Repaired, p: PlanPlate) -> Iterator[Answer]:
    """What the slots of a sleeve do not keep to, in the thickest of the walls that have them, as built."""
    if (s := p.slots) is not None:
        walls = wall_thickness(built_shape(states, p.side, (p.start + p.end) / 2), SIDES[p.side])
        for b in slot_rules(s.length, s.width, s.pitch, max(walls[w] for w in s.walls), filled=s.filled):
            yield answer(p, b.rule, b.found, "Change the slots of the sleeve")


def _holes(states: Repaired) -> Iterator[Answer]:
    """What holes to be drilled do not keep to; edges of plates on their wall are measured here."""
    for h in states.plan.holes:
        shape = built_shape(states, h.side, h.station)
        lying = lies(shape, h.wall, h.side)
        edges = [abs(v - h.station) - h.diameter / 2 for p in states.plan.plates
                 if p.side == h.side and p.wall == h.wall for v in (p.start, p.end)]  # fmt: skip
        found = RailHole(
            diameter=h.diameter, in_flange=lying, to_flange=inf if h.to_flange is None else h.to_flange,
            to_hole=inf if h.to_hole is None else h.to_hole, to_reinforcement=min(edges, default=inf), in_row=h.in_row,
        )  # fmt: skip
        for b in hole_rules(found):
            yield answer(h, b.rule, b.found, "Drill in the web, or bolt to a hole that is there")


def _bolts(states: Repaired) -> Iterator[Answer]:
    """What bolts and rivets that the plan brings do not keep to, in walls as thick as they are then."""
    known = states.found.built.bolts
    for p in states.chassis.bolts:
        if p not in known:
            for b in pattern_rules(p, thinnest(states.chassis, p), distances(states.chassis, p)):
                hint = "Space the bolts by the rule, or share the joint between bolts and a welded bracket"
                yield answer(p, b.rule, b.found, hint, f"{p.side} rail")


def _hangers(states: Repaired) -> Iterator[Answer]:
    """What brackets of springs that the plan brings or changes answer: off the flanges, off other welds."""
    for h in (h for h in states.chassis.hangers if h not in states.found.built.hangers):
        rail = rail_of(states.chassis, h.side)
        if h.on == "bottom":
            hint = "Weld it along the rail only, or hang it on the web"
            yield answer(h, ACROSS_FLANGE, 0.0 if h.welds == "lengthwise" else 2.0, hint)
        else:
            middle = interp(h.station, [p.station for p in rail.path], [p.height for p in rail.path])
            rest = depth_at(states, h.side, h.station) / 2 - abs(h.height - middle) - h.depth / 2
            yield answer(h, OFF_FLANGE, max(float(rest), 0.0), "Take a lower bracket, set to the middle of the web")
        if h.welds != "lengthwise":
            ends = (h.station - h.length / 2, h.station + h.length / 2)
            near = ((min(abs(c.station - v) for v in ends), c.name) for c in crossings(states, h.side))
            hint = "Move the weld of the plan away from the hanger"
            yield from (answer(h, NEXT, far, hint, f"to {name}") for far, name in _telling(near))


def _gussets(states: Repaired) -> Iterator[Answer]:
    """Thickness of gussets that the plan brings or changes, against the rail's web."""
    for g in (g for g in states.chassis.gussets if g not in states.found.built.gussets and g.thickness):
        member = next(c for c in states.chassis.crossmembers if c.name == g.member)
        station = member.station_left if g.side == "left" else member.station_right
        shape = built_shape(states, g.side, station)
        ratio = g.thickness / met_wall(shape, g.side, "inner")[1]
        yield answer(g, THICK, ratio, "Take plates as thick as the web: a thick one tears it at its tip")


def _telling(near: Iterable[tuple[float, str]]) -> list[tuple[float, str]]:
    """Of distances to other welds, each with its name, the least and all others that are too short, nearest first."""
    return [d for k, d in enumerate(sorted(near)) if k == 0 or not NEXT.holds(d[0])]


def _near(states: Repaired) -> Iterator[Answer]:
    """Inserts beside other welds across the same rail, those across their own length too; but where two meet."""
    for side in ("left", "right"):
        own = crossings(states, side)
        for i in (i for i in states.plan.inserts if i.side == side):
            for end in (c.station for c in own if c.piece is i):
                near = ((abs(c.station - end), c.name) for c in own if c.piece is not i and abs(c.station - end) > MEET)
                hint = "Extend it to meet that weld, or move one of the two"
                for far, name in _telling(near):
                    yield answer(i, NEXT, far, hint, f"from {end:g} mm to {name}")
