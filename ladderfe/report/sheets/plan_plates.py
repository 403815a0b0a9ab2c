"""A repair plan's pieces and plates as drawings of plates."""

from __future__ import annotations

from typing import Final

from ladderfe.checks.repair_places import built_shape
from ladderfe.condition.plan_rows import flat_width, lies, plate_lies, plate_width
from ladderfe.condition.plan_slots import sleeve_joints, slot_rows
from ladderfe.condition.plan_types import Butt, Insert, PlanPlate
from ladderfe.condition.rails import SIDES
from ladderfe.condition.repaired import Repaired
from ladderfe.report.sheets.plates import PlateDrawing, PlateHole, PlateWeld
from ladderfe.sections import Box, wall_thickness
from ladderfe.sections.plated import FULL_LEG
from ladderfe.sections.plating import sleeved

__all__ = ["plan_drawings", "undrawn"]

#: How a butt weld is made -> words beside its mark.
MADE: Final[dict[Butt, str]] = {
    "both sides": "from both sides", "backing strip": "on a backing strip", "root run": "with a root run",
    "one side": "from one side",
}  # fmt: skip
#: What the two long edges of a plate are called, by whether its wall lies.
EDGES = {False: ("upper edge", "lower edge"), True: ("right edge", "left edge")}


def plan_drawings(states: Repaired) -> tuple[PlateDrawing, ...]:
    """Every piece let in, wall by wall, every plate, and every sleeve behind the walls that have slots; plates of no
    thickness are left out."""
    out = [d for i in states.plan.inserts for d in _insert(states, i)]
    own = [p for p in states.plan.plates if p.thickness]
    out += [_plate(states, p) for p in own if p.kind != "sleeve"]
    return (*out, *(d for p in own for d in _sleeve(states, p)))


def undrawn(states: Repaired) -> tuple[str, ...]:
    """Names of what is not drawn: sleeves for which no slot fits."""
    return tuple(p.name for p in states.plan.plates if p.thickness and p.kind == "sleeve" and not _sleeve(states, p))


def _sleeve(states: Repaired, p: PlanPlate) -> list[PlateDrawing]:
    """A sleeve seen through each wall that has slots, with these; none where no slot fits, nor of other plates."""
    s = p.slots
    at = [x for row in slot_rows(p, sleeve_joints(p, states.plan.inserts, states.plan.splices)) for x in row]
    shape = built_shape(states, p.side, (p.start + p.end) / 2)
    if s is None or not at or not isinstance(shape, Box):
        return []
    thick, section = wall_thickness(shape, SIDES[p.side]), sleeved(shape, p.thickness).section(SIDES[p.side])
    out = []
    for wall in s.walls:
        made = f"{len(at)} slots, filled" if s.filled else f"round the edge of {len(at)} slots"
        size = 0.0 if s.filled else p.weld.throat or FULL_LEG * thick[wall]
        (behind,) = section.named(f"{wall} plate inside")
        flat = flat_width(shape, wall, p.side)
        out.append(PlateDrawing(
            name=f"Sleeve, {p.side} rail, behind {wall}, {p.start:g} to {p.end:g} mm", rail=p.side, wall=wall,
            start=p.start, end=p.end, width=min(behind.length, flat), wall_width=flat, thickness=p.thickness,
            face="inside", ends=p.ends, taper=p.taper, edges=EDGES[lies(shape, wall, p.side)],
            welds=(PlateWeld(edge="slots", kind="plug" if s.filled else "fillet", size=size, words=made),),
            holes=tuple(PlateHole(station=x, above=0.0, diameter=s.width, length=s.length) for x in at),
        ))  # fmt: skip
    return out


def _insert(states: Repaired, i: Insert) -> list[PlateDrawing]:
    shape = built_shape(states, i.side, (i.start + i.end) / 2)
    nominal = wall_thickness(shape, SIDES[i.side])
    weld = PlateWeld(edge="all round", kind="square butt", words=MADE[i.made])
    out = []
    for wall in i.walls:
        width = flat_width(shape, wall, i.side)
        out.append(PlateDrawing(
            name=f"Insert, {i.side} rail, {wall}, {i.start:g} to {i.end:g} mm", rail=i.side, wall=wall,
            start=i.start, end=i.end, width=width, wall_width=width, thickness=i.thickness or nominal[wall],
            welds=(weld,), edges=EDGES[lies(shape, wall, i.side)],
        ))  # fmt: skip
    return out


def _plate(states: Repaired, p: PlanPlate) -> PlateDrawing:
    shape = built_shape(states, p.side, (p.start + p.end) / 2)
    if p.kind == "boxing":
        flat, wall, thin = plate_width(shape, p), "open side", min(wall_thickness(shape, SIDES[p.side]).values())
    else:
        flat, wall = flat_width(shape, p.wall, p.side), p.wall
        thin = wall_thickness(shape, SIDES[p.side])[p.wall]
    throat = p.weld.throat or FULL_LEG * min(p.thickness, thin)
    gap = p.weld.pitch - p.weld.run if p.weld.pitch else 0.0
    welds = [PlateWeld(edge=e, size=throat, run=p.weld.run, gap=gap) for e in ("upper", "lower")]
    if p.end_weld and p.lapped:  # between the flanges an end lies on nothing
        welds += [PlateWeld(edge=e, size=throat) for e in ("front end", "rear end")]
    return PlateDrawing(
        name=p.name[:1].upper() + p.name[1:], rail=p.side, wall=wall, start=p.start, end=p.end,
        width=min(p.width or flat, flat), wall_width=flat, thickness=p.thickness, centre=p.centre or 0.0, ends=p.ends,
        taper=p.taper, face=p.face, welds=tuple(welds), edges=EDGES[plate_lies(shape, p)],
    )  # fmt: skip
