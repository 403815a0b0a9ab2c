"""Slots that hold a sleeve inside a box: what a plan states of them, what is taken where it is silent, where they lie.

What is taken is common practice without a source: a slot 3 times the wall's thickness wide, but at least as wide as a
plug weld asks for, the thickness and 8 mm (EN 1993-1-8 4.3.5, from memory); 3 widths long, 2 lengths apart.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import ceil, floor, isnan
from typing import Any, Final

from ladderfe.chassis import Rail
from ladderfe.chassis.faults import WALL_ALIKE, Faults, closest, listed
from ladderfe.chassis.lines import Path
from ladderfe.condition.plan_types import Insert, PlanPlate, Slots, Splice
from ladderfe.condition.rails import SAME, SIDES
from ladderfe.sections import Shape, wall_thickness

__all__ = ["read_slots", "slot_rows", "sleeve_joints", "usual_width"]

#: Width over the wall's thickness, and how much wider than that wall it is at least, mm.
TIMES, WIDER = 3.0, 8.0
#: Length over width, and pitch over length.
LONG, APART = 3.0, 2.0
#: Most of the flat of a wall that a slot may take.
MOST: Final = 0.5


def usual_width(wall: float) -> float:
    """Width that is taken where nobody states it, whole mm.

    >>> usual_width(2.0), usual_width(5.0)
    (10.0, 15.0)
    """
    return float(ceil(max(TIMES * wall, wall + WIDER) - 1e-9))


def read_slots(faults: Faults, path: Path, t: Any, rail: Rail | None, shape: Shape | None) -> Slots | None:
    """The slots of a row of `plates`; notes what cannot be.  None of other kinds, and where the rail is not known."""
    table = t.slots
    if t.kind != "sleeve":
        if table is not None:
            faults.add((*path, "slots"), f"has no meaning for a {t.kind} plate", "Leave it out: sleeves have slots",
                       value="")  # fmt: skip
        return None
    _no_edges(faults, path, t)
    if rail is None or shape is None or faults.noted((*path, "kind")):
        return None
    thick = wall_thickness(shape, SIDES[rail.side])
    walls = _walls(faults, path, table, thick)
    if not walls:
        return None
    known = {k: getattr(table, k, None) for k in ("width", "length", "pitch")}
    if any(v is not None and isnan(v) for v in known.values()):
        return None
    width = known["width"] or usual_width(max(thick[w] for w in walls))
    length = known["length"] or LONG * width
    pitch = known["pitch"] or APART * length
    filled = getattr(table, "filled", None) is not False
    out = Slots(length=length, width=width, pitch=pitch, walls=walls, filled=filled,
                assumed=tuple(k for k, v in known.items() if v is None))  # fmt: skip
    _fit(faults, path, t, out, min((shape.section(SIDES[rail.side]).flat(w).length, w) for w in walls))
    return out


def _no_edges(faults: Faults, path: Path, t: Any) -> None:
    """Keys about edges that no torch reaches."""
    if t.end_weld is not None:
        faults.add((*path, "end_weld"), "has no meaning for a sleeve", "Leave it out: no torch reaches its ends")
    if t.weld is not None and t.weld.seam == "stitch":
        rule = "has no meaning for a sleeve"
        faults.add((*path, "weld", "seam"), rule, "Write slots = { length = 30, pitch = 60 } instead")


def _walls(faults: Faults, path: Path, table: Any, thick: dict[str, float]) -> tuple[str, ...]:
    """The walls that have slots; none where one of them is not there."""
    names = tuple(" ".join(w.casefold().split()) for w in getattr(table, "wall", None) or ("all",))
    if names == ("all",):
        return tuple(thick)
    for name in names:
        if name not in thick:
            meant = closest(name, thick, WALL_ALIKE)
            hint = f'Did you mean "{meant}"? Otherwise write one of these, or all' if meant else "Write some of these"
            rule = f"must be walls of the rail there, which has {listed(sorted(thick), 'and')}"
            faults.add((*path, "slots", "wall"), rule, hint, value=f'"{name}"')
    return tuple(dict.fromkeys(names)) if all(n in thick for n in names) else ()


def _fit(faults: Faults, path: Path, t: Any, s: Slots, narrowest: tuple[float, str]) -> None:
    """Whether the slots have room in the walls and along the sleeve."""
    own = (*path, "slots")
    flat, wall = narrowest
    at: Path = (*own, "width") if "width" not in s.assumed else path
    if s.width > MOST * flat:
        faults.add(at, f"makes slots {s.width:g} mm wide, more than half the flat of the {wall} wall, {flat:g} mm",
                   "Take narrower slots, or name the other walls in slots, wall", value=f"{s.width:g}")  # fmt: skip
    if s.length < s.width:
        faults.add((*own, "length"), f"must be at least the width of the slots, {s.width:g} mm",
                   "Give the length over all; a round hole is as long as wide", value=f"{s.length:g}")  # fmt: skip
    if s.pitch <= s.length:
        faults.add((*own, "pitch"), f"lets slots of {s.length:g} mm run into each other",
                   f"Give the pitch from middle to middle, at least two lengths, {APART * s.length:g} mm",
                   value=f"{s.pitch:g}")  # fmt: skip
    room = t.end - t.start - 2 * s.width
    if s.length > room:
        at = (*own, "length") if "length" not in s.assumed else (*path, "to")
        faults.add(at, f"leaves no room for a slot of {s.length:g} mm one width off both ends of the sleeve, which is "
                   f"{t.end - t.start:g} mm long", "Make the sleeve longer, or take shorter slots",
                   value=f"{s.length:g}" if at[-1] == "length" else f"{t.end:g}")  # fmt: skip


def sleeve_joints(plate: PlanPlate, inserts: Iterable[Insert], splices: Iterable[Splice]) -> tuple[float, ...]:
    """Stations of the butt joints across the rail that a sleeve reaches over, from front to rear."""
    found = [s.station for s in splices if s.side == plate.side]
    found += [x for i in inserts if i.side == plate.side for x in (i.start, i.end)]
    out: list[float] = []
    for x in sorted(x for x in found if plate.start + SAME < x < plate.end - SAME):
        if not out or x - out[-1] > SAME:
            out.append(x)
    return tuple(out)


def slot_rows(plate: PlanPlate, joints: Iterable[float]) -> tuple[tuple[float, ...], ...]:
    """Stations of the slots' middles in one wall, row by row between the sleeve's ends and the joints under it; a row
    without room is empty.  Each row is in the middle of its stretch, one width or more off its ends."""
    s = plate.slots
    if s is None:
        return ()
    rows = []
    for a, b in pairwise((plate.whole[0], *joints, plate.whole[1])):
        room = b - a - 2 * s.width - s.length
        n = floor(room / s.pitch + 1e-9) + 1 if room >= -1e-9 else 0
        first = (a + b) / 2 - (n - 1) / 2 * s.pitch
        rows.append(tuple(first + k * s.pitch for k in range(n)))
    return tuple(rows)
