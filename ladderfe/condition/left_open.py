"""Holes that a plan leaves open where something hangs on or meets the rail: spring hangers, seats and joints.

A mount or a member whose own wall a hole takes away under its middle is refused before that (`landings.hanging`).  A
spring seat hangs on the rail whatever is left of it, and a joint beside a hole is estimated on what is there: the frame
can be solved, but what is built so hangs on less than is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from ladderfe.chassis import Chassis, Hanger
from ladderfe.condition.landings import landings_at
from ladderfe.condition.plan_types import Plan
from ladderfe.condition.rails import SAME, rail_of, walls_at
from ladderfe.condition.repaired import Repaired
from ladderfe.condition.types import Hole

__all__ = ["LeftOpen", "bare_brackets", "left_open", "open_parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOpen:
    """A part of a hole that nothing closes, and what is there, front to rear: (name, station mm)."""

    hole: Hole
    there: tuple[tuple[str, float], ...]

    def __str__(self) -> str:
        h, listed = self.hole, ", ".join(f"{name} at {station:g} mm" for name, station in self.there)
        return (f"the hole in the {h.wall} wall of the {h.side} rail, {h.start:g} to {h.end:g} mm with its rims, "
                f"STAYS OPEN under {listed}")  # fmt: skip


def open_parts(plan: Plan, hole: Hole) -> list[Hole]:
    """What pieces let in and plates on its wall leave of a hole, rims included."""
    (start, end), out = hole.reach, list[Hole]()
    own = [(i.start, i.end) for i in plan.inserts if i.side == hole.side and hole.wall in i.walls]
    own += [(p.start, p.end) for p in plan.plates if p.thickness and p.side == hole.side and p.wall == hole.wall]
    for a, b in [*sorted(own), (end, end)]:
        if min(a, end) - start > SAME:
            out.append(replace(hole, start=start, end=min(a, end), rim=0.0))
        start = max(start, b)
    return out


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
            if not told and hole.start - SAME <= station <= hole.end + SAME:
                yield axle.seat_words(k), station
    for joint in (p for p in landings_at(chassis, hole.side, hole.start, hole.end) if p.joint):
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
