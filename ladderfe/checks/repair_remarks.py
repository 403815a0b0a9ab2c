"""Remarks on what a plan does to rust and to welding, which no number tells; all common practice unless a source stands
with them."""

from __future__ import annotations

from ladderfe.chassis.faults import listed
from ladderfe.checks.repair_places import built_shape, depth_at, least_left, mounted
from ladderfe.condition.left_open import left_open
from ladderfe.condition.plan_types import PlanPlate, Slots
from ladderfe.condition.rails import SIDES, rail_of
from ladderfe.condition.repaired import Repaired
from ladderfe.condition.types import Readings
from ladderfe.connections import stitch_warnings
from ladderfe.sections import wall_thickness

__all__ = ["LET_IN", "remarks"]

#: What to do about a hole that stays open under a hanger or a joint.
LET_IN = (
    "The frame counts as held there all the same: let a piece in, or what hangs on it hangs on less than is told."
)


def remarks(states: Repaired) -> tuple[str, ...]:
    """Sentences, each once."""
    plan, out = states.plan, [f"T{str(o)[1:]}. {LET_IN}" for o in left_open(states)]
    for i in plan.inserts:
        if i.made == "one side":
            out.append(
                f"{i.name}: butt welds from one side with the root unseen; weld on a backing strip or from both "
                "sides, or the throat that counts is 2 mm less than the plate (EN 1993-1-8, from memory)."
            )
    for p in (p for p in plan.plates if p.thickness):
        out += _plate(states, p)
    closed = [p for p in plan.plates if p.thickness and p.kind in ("boxing", "sleeve")]
    if closed or any(built_shape(states, i.side, (i.start + i.end) / 2).closed for i in plan.inserts):
        out.append(
            "Closed sections: drill drain and vent holes at the lowest places, and get wax or primer inside "
            "after welding, for heat burns off what is there (common practice)."
        )
    if any(d not in states.found.built.diaphragms for d in states.chassis.diaphragms):
        out.append(
            "Diaphragms: they count as welded to all four walls, once round; weld them in before the box is closed, "
            "and their last edge by slots through the closing plate (common practice)."
        )
    if (plan.inserts or plan.plates) and plan.yield_stress is None:
        out.append(
            "The steel of the plates is not stated: it counts as that of the rails, and its yield stress should "
            "be at least theirs (common practice, no source)."
        )
    out += _unread(states)
    return tuple(dict.fromkeys(out))


def _plate(states: Repaired, p: PlanPlate) -> list[str]:
    out = []
    if p.lapped:
        out.append(
            "Lapped plates: water stays in the gap between the layers; clean both faces to bright metal, prime "
            "the lap with weld-through primer, weld all round, seal the edges (common practice)."
        )
        if not p.end_weld:
            out.append(f"{p.name}: its ends are not welded, so the gap behind it stays open to water.")
    if p.weld.pitch:
        out += [f"{p.name}: {words}." for words in stitch_warnings()]
    if p.slots is not None:
        out += _slots(states, p, p.slots)
    if p.wall and least_left(states, p.side, p.wall, p.start, p.end)[0] == 0:
        out.append(
            f"{p.name}: over the hole it counts as the wall that is gone, in that wall's place, of its own "
            "thickness, or of as much less where it is narrower than the wall; what is lapped round a hole bends at "
            "its rim, which is not in it."
        )
    if p.kind == "boxing":
        out += _free_ends(states, p)
    if not p.lapped and p.taper:
        free = " No weld is counted along or across its tapered ends, which lie on nothing." * (p.kind == "boxing")
        out.append(f"{p.name}: counts between its tapered ends only, for what is cut open does not close the section."
                   + free)  # fmt: skip
    elif p.kind == "boxing":
        out.append(f"{p.name}: no weld is counted across its ends, which lie on nothing between the flanges; what it "
                   "carries comes in along its two edges.")  # fmt: skip
    return out


def _slots(states: Repaired, p: PlanPlate, s: Slots) -> list[str]:
    """How a sleeve is held, and what its slots take off the rail's walls."""
    shape = built_shape(states, p.side, (p.start + p.end) / 2)
    walls, section = wall_thickness(shape, SIDES[p.side]), shape.section(SIDES[p.side])
    made = "filled" if s.filled else "with a fillet round their edge"
    on = "all walls" if len(s.walls) == len(walls) else f"{listed(s.walls, 'and')} only"
    guess = f" Of these {listed(s.assumed, 'and')} ASSUMED (common practice, no source)." if s.assumed else ""
    flat, wall = min((section.flat(w).length, w) for w in s.walls)
    gone, own = s.width * walls[wall], flat * walls[wall]
    new = max(flat - walls[wall] - 2 * p.thickness, 0.0) * p.thickness
    left = (own - gone + new) / own
    fills = "the weld that fills it puts it back as far as it fuses; where it does not, " if s.filled else ""
    return [
        f"{p.name}: counts as welded along its edges; inside a box no torch reaches them, and slots of {s.length:g} x "
        f"{s.width:g} mm every {s.pitch:g} mm in {on}, {made}, hold it: `ladderfe weld` has their forces, and each "
        f"counts as weld once round its edge.{guess}",
        f"{p.name}: a slot takes {s.width:g} of the {flat:.0f} mm of the {wall} wall, {100 * gone / own:.0f} %, which "
        f"no utilisation here has in it. Between its slots the sleeve's wall makes up for it ({left:.2f} of "
        f"the wall as built is there); at the slot next to its end it does not work yet: {fills}stress in "
        f"that wall is up to {own / (own - gone):.2f} times what is told. Ends of slots are places where cracks begin; "
        "the ratios of fatigue have none for them.",
    ]


def _free_ends(states: Repaired, p: PlanPlate) -> list[str]:
    """Ends of boxing that no crossmember holds."""
    rail = rail_of(states.chassis, p.side)
    held = [rail.start, rail.end, *(f.station for f in mounted(states, p.side, "crossmember"))]
    free = [x for x in p.whole if min(abs(x - h) for h in held) > depth_at(states, p.side, x)]
    if not free:
        return []
    at = " and ".join(f"{x:g}" for x in free)
    return [f"{p.name}: at {at} mm no crossmember holds it. In twist the open rail warps, its flanges bend to opposite "
            "sides, and at the free end of the box they push it out of its shape: the walls bend there, which dies out "
            "over one to two rail depths. An end plate keeps the shape, but then the open flanges in front of it work "
            "harder; ended at a crossmember neither happens (beam theory of boxes that rack and channels that warp; "
            "in one comparison with solid elements, 150 x 65 x 4 mm boxed with 3 mm, the walls bent by 0.7 of that, "
            "and stress in the open flanges within one rail depth was up to a fifth more)."]


def _unread(states: Repaired) -> list[str]:
    """Walls under new work that nobody read."""
    readings = states.readings
    if readings is None:
        return ["No readings: the frame as found is taken as built. Measure the walls that the welds go on."]
    out = []
    for p in (p for p in states.plan.plates if p.wall and p.thickness):
        if not _read(readings, states, p):
            out.append(f"{p.name}: nobody read the wall under it; it counts as built.")
    for s in readings.suspects:
        over = any(p.thickness and p.side == s.side and p.covers(s.station) and p.wall in ("", s.wall)
                   for p in states.plan.plates)  # fmt: skip
        new = (i for i in states.plan.inserts if i.side == s.side and i.covers(s.station))
        if over and not any(s.wall in i.walls for i in new):
            out.append(
                f"{s.side} rail, {s.wall} at {s.station:g} mm rings dull and gets a plate: read it or cut it out."
            )
    return out


def _read(readings: Readings, states: Repaired, p: PlanPlate) -> bool:
    own = [s for s in states.found.stretches_of(p.side) if s.start < p.end and s.end > p.start]
    return any(w.wall == p.wall and w.basis != "assumed" for s in own for w in s.walls)
