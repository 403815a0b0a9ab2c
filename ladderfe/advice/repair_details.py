"""Details that fatigue is judged by: what a plan welds or drills on the rails, and what they had before.

Each has a category of EN 1993-1-9 (from memory, text not seen).  Before the repair a rail has the seams of its box, or
plain walls, and attachments across it where crossmembers, outriggers and hangers meet it (judgement).  The plan adds
ends of plates, butt joints of pieces let in and of splices, seams along plates, and holes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf, radians, sin
from typing import Final

from ladderfe.advice.fatigue_ratio import PITTED_BELOW, SUSPECT_REACH
from ladderfe.advice.splice_zones import forbidden
from ladderfe.chassis import Chassis, Side
from ladderfe.checks.repair_places import built_shape
from ladderfe.condition import Found
from ladderfe.condition.plan_rows import ALL_ROUND, flat_width, lies
from ladderfe.condition.plan_types import Butt, Insert, PlanPlate
from ladderfe.condition.rails import SAME, SIDES, rail_of, walls_at
from ladderfe.condition.repaired import Repaired
from ladderfe.connections import CATEGORIES, Category
from ladderfe.sections import wall_thickness

__all__ = ["ATTACHED", "Attached", "Detail", "attached", "category_before", "category_now", "details", "pitted_wall"]

#: What counts as welded across a rail before a repair, and how far beside it, mm (judgement).
ATTACHED: Final = ("crossmember", "outrigger", "hanger")
BESIDE: Final = 25.0
#: Category of a butt joint by how it is made.
BUTTS: Final[dict[Butt, str]] = {
    "both sides": "butt, both sides", "root run": "butt, both sides", "backing strip": "butt, backing strip",
    "one side": "butt, one side",
}  # fmt: skip
#: How far to either side of a place its metal is looked at, mm.
NEAR: Final = 1.0

Attached = dict[str, tuple[tuple[float, float], ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """What the plan makes at a station of a rail: walls it is on (as built), its category, and the part of the stress
    along the rail that acts on it there (1 but at angled cuts and beside holes)."""

    piece: str
    what: str
    side: Side
    station: float
    walls: tuple[str, ...]
    category: Category
    share: float = 1.0

    @property
    def judged_by(self) -> Category:
        """The category for stress along the rail."""
        return replace(self.category, stress_range=self.category.stress_range / self.share)

    @property
    def name(self) -> str:
        return f"{self.what}, {self.side} rail at {self.station:g} mm"


def details(states: Repaired) -> tuple[Detail, ...]:
    """All that the plan makes at one station, piece by piece; ends of rails are left out."""
    plan = states.plan
    out: list[Detail] = []
    for i in plan.inserts:
        out += _butts(states, i)
    for p in (p for p in plan.plates if p.thickness and p.kind != "sleeve"):
        out += _plate_ends(states, p)
    for s in plan.splices:
        shape = built_shape(states, s.side, s.station)
        for wall in wall_thickness(shape, SIDES[s.side]):
            upright = wall != ALL_ROUND and not lies(shape, wall, s.side)
            share = sin(radians(s.angle)) ** 2 if upright else 1.0
            out.append(Detail(piece=s.name, what=f"splice in {wall}", side=s.side, station=s.station, walls=(wall,),
                              category=CATEGORIES[BUTTS[s.made]], share=share))  # fmt: skip
    for h in plan.holes:
        flat = flat_width(built_shape(states, h.side, h.station), h.wall, h.side)
        share = flat / max(flat - h.in_row * h.diameter, 0.05 * flat)
        out.append(Detail(piece=h.name, what=f"hole in {h.wall}", side=h.side, station=h.station, walls=(h.wall,),
                          category=CATEGORIES["hole"], share=share))  # fmt: skip
    return tuple(out)


def _inside(states: Repaired, piece: Insert | PlanPlate) -> list[float]:
    """Where a piece's weld ends, but at the ends of the rail."""
    rail = rail_of(states.chassis, piece.side)
    ends = piece.welded if isinstance(piece, PlanPlate) else (piece.start, piece.end)
    return [x for x in ends if rail.start + SAME < x < rail.end - SAME]


def _butts(states: Repaired, i: Insert) -> Iterator[Detail]:
    """Across its walls at both ends, but where a splice of the plan is, and once where two pieces meet."""
    done = [s.station for s in states.plan.splices if s.side == i.side]
    for x in _inside(states, i):
        own = i.butt_at(states.plan.inserts, x) if all(abs(x - d) > SAME for d in done) else None
        if own is not None:
            yield Detail(piece=i.name, what=f"butt of {' and '.join(own.walls)}", side=i.side, station=x,
                         walls=own.walls, category=CATEGORIES[BUTTS[own.made]])  # fmt: skip


def _plate_ends(states: Repaired, p: PlanPlate) -> Iterator[Detail]:
    """Ends of plates: of a lapped one, pointed too, with or without a weld across it the category of cover plates (EN
    1993-1-9 Table 8.5 has one for both, from memory); of one that closes a channel that of a piece along the wall."""
    shape = built_shape(states, p.side, (p.start + p.end) / 2)
    walls = wall_thickness(shape, SIDES[p.side])
    own = (p.wall,) if p.wall else tuple(w for w in walls if w != "web")
    name = "attachment over 100 mm" if p.length > 100 else "attachment to 100 mm"
    for x in _inside(states, p):
        if p.lapped:
            under = min(walls[p.wall], _wall_under(states, p, x))
            name = "thick cover plate end" if p.thickness >= under else "cover plate end"
        what = f"end of {p.kind}{f' on {p.wall}' if p.wall else ''}"
        yield Detail(piece=p.name, what=what, side=p.side, station=x, walls=own, category=CATEGORIES[name])


def _wall_under(states: Repaired, p: PlanPlate, end: float) -> float:
    """Thickness of the wall that a lapped plate ends on, as found and let in: rust makes a thick plate of a thin one;
    inf where it was gone and the plate is the wall."""
    at = end + NEAR if end == p.start else end - NEAR
    return walls_at(rail_of(states.chassis, p.side), at).get(p.wall, inf)


def attached(chassis: Chassis) -> Attached:
    """Side -> stretches of rail with attachments across it."""
    out: Attached = {}
    for r in chassis.rails:
        zones = [z for z in forbidden(chassis, r) if z.kind in ATTACHED]
        out[r.side] = tuple((z.begins - BESIDE, z.ends + BESIDE) for z in zones)
    return out


def category_before(closed: bool, zones: Attached, side: str, station: float) -> Category:
    """What the wall of a rail counts as where the plan makes nothing."""
    if any(a <= station <= b for a, b in zones[side]):
        return CATEGORIES["transverse attachment"]
    return CATEGORIES["long seam" if closed else "plain"]


def category_now(states: Repaired, before: Category, side: str, station: float, wall: str) -> Category:
    """The same with the seams along the plan's plates and pieces, the lower of the two."""
    found = [before]
    for p in states.plan.plates:
        if p.thickness and p.side == side and p.covers(station) and (not p.wall or wall.startswith(p.wall)):
            found.append(CATEGORIES["stitched seam" if p.weld.pitch else "long seam"])
    if any(i.side == side and i.covers(station) for i in states.plan.inserts):
        found.append(CATEGORIES["long seam"])
    return min(found, key=lambda c: c.stress_range)


def pitted_wall(found: Found, inserts: tuple[Insert, ...], side: str, station: float, wall: str) -> bool:
    """Whether a wall of a rail counts as pitted at a station (`PITTED_BELOW`, or it rings dull), where none of the
    inserts replaces it; all walls do beside a hole that nothing closes."""
    return any(_pitted(found, inserts, side, x, wall) for x in (station - NEAR, station + NEAR))


def _pitted(found: Found, inserts: tuple[Insert, ...], side: str, x: float, wall: str) -> bool:
    new = {w for i in inserts if i.side == side and i.covers(x) for w in i.walls}
    for s in (s for s in found.stretches_of(side) if s.start <= x <= s.end):
        for w in (w for w in s.walls if w.basis != "assumed" and w.wall not in new):
            if w.basis == "hole" or (w.wall == wall and w.least < PITTED_BELOW * w.nominal):
                return True
    return any(d.side == side and d.wall == wall and wall not in new and abs(d.station - x) <= SUSPECT_REACH
               for d in found.suspects)  # fmt: skip
