"""What a plan leaves of holes and rust; holes that stay open where something hangs on or meets the rail: spring
hangers, seats and joints.

A mount or a member whose own wall a hole takes away under its middle is refused before that (`landings.hanging`).  A
spring seat hangs on the rail whatever is left of it, and a joint beside a hole is estimated on what is there: the frame
can be solved, but what is built so hangs on less than is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from ladderfe.chassis import Chassis, Hanger
from ladderfe.condition.found import Found, Stretch, WallState
from ladderfe.condition.landings import landings_at
from ladderfe.condition.plan_types import Insert, Plan
from ladderfe.condition.rails import SAME, rail_of, walls_at
from ladderfe.condition.repaired import Repaired
from ladderfe.condition.types import Hole

__all__ = ["LeftOpen", "bare_brackets", "left_open", "let_in_found", "open_parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOpen:
    """A part of a hole that nothing closes, and what is there, front to rear: (name, station mm)."""

    hole: Hole
    there: tuple[tuple[str, float], ...]

    def __str__(self) -> str:
        h, (a, b) = self.hole, self.hole.reach
        listed = ", ".join(f"{name} at {station:g} mm" for name, station in self.there)
        wall = f"the hole in the {h.wall} wall of the {h.side} rail, {a:g} to {b:g} mm with its rims"
        return f"{wall}, STAYS OPEN under {listed}"


def open_parts(plan: Plan, hole: Hole) -> list[Hole]:
    """What pieces let in and plates on its wall leave of a hole, rims included."""
    (start, end), out = hole.reach, list[Hole]()
    own = [(i.start, i.end) for i in plan.inserts if i.side == hole.side and hole.wall in i.walls]
    own += [(p.start, p.end) for p in plan.plates if p.thickness and p.side == hole.side and p.wall == hole.wall]
    for a, b in [*sorted(own), (end, end)]:
        if min(a, end) - start > SAME:
            out.append(replace(hole, start=start, end=min(a, end), rim=0.0))
        start = max(start, b)
    return [hole] if [h.reach for h in out] == [hole.reach] else out


def let_in_found(states: Repaired) -> Found:
    """What was read, less what the pieces let in replace: holes as far as these leave them, dull places and readings of
    walls that stay.  What is lapped over stays."""
    found, plan = states.found, replace(states.plan, plates=())

    def new(side: str, wall: str, start: float, end: float) -> Insert | None:
        own = (i for i in plan.inserts if i.side == side and wall in i.walls)
        return next((i for i in own if i.start - SAME <= start and end <= i.end + SAME), None)

    def state(s: Stretch, w: WallState) -> WallState:
        piece = new(s.side, w.wall, s.start, s.end)
        if piece is None:
            return w
        t = w.nominal if piece.thickness is None else piece.thickness
        return replace(w, nominal=t, mean=t, least=t, basis="read", place=None, there=0.0)

    return replace(
        found,
        stretches=tuple(replace(s, walls=tuple(state(s, w) for w in s.walls)) for s in found.stretches),
        holes=tuple(h for hole in found.holes for h in open_parts(plan, hole)),
        suspects=tuple(d for d in found.suspects if new(d.side, d.wall, d.station, d.station) is None),
    )


def left_open(states: Repaired) -> tuple[LeftOpen, ...]:
    """All parts of holes that the plan leaves open under spring hangers, seats, crossmembers and outriggers."""
    found = (LeftOpen(hole=h, there=tuple(sorted(dict.fromkeys(_there(states, h)), key=lambda t: t[1])))
             for hole in states.found.holes for h in open_parts(states.plan, hole))  # fmt: skip
    return tuple(f for f in found if f.there)


def _there(states: Repaired, hole: Hole) -> Iterator[tuple[str, float]]:
    """Hangers, seats and joints at a hole."""
    chassis = states.chassis
    for h in bare_brackets(chassis.hangers, states.found.built, [hole]):
        yield h.name if "hanger" in h.name else f"hanger {h.name}", h.station
    for axle in (a for a in chassis.axles if a.torsion_bar is None):
        for k, (station, _) in enumerate(axle.seats):
            told = any((h.axle, h.side, h.seat) == (axle.name, hole.side, k) for h in chassis.hangers)
            if not told and hole.reach[0] - SAME <= station <= hole.reach[1] + SAME:
                yield axle.seat_words(k), station
    for joint in (p for p in landings_at(chassis, hole.side, *hole.reach) if p.joint):
        yield joint.name, joint.station


def bare_brackets(hangers: Iterable[Hanger], built: Chassis, holes: Iterable[Hole]) -> list[Hanger]:
    """Brackets of springs of which any part lies on a wall, of a chassis as built, that holes take away, rims
    included."""
    gone = tuple(holes)
    return [h for h in hangers
            if any((g.side, g.wall) == (h.side, _on(built, h)) and h.station - h.length / 2 < g.reach[1]
                   and h.station + h.length / 2 > g.reach[0] for g in gone)]  # fmt: skip


def _on(built: Chassis, h: Hanger) -> str:
    """The wall that a bracket is on, as readings call it: a channel's web behind its opening."""
    walls = walls_at(rail_of(built, h.side), h.station)
    return h.on if h.on in walls else "web" if "web" in walls else ""
