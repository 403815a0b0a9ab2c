"""Where the pieces of a plan lie on a rail: its depth there, what is mounted, what is rusted, where welds cross it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from ladderfe.checks.repair_rules import RUSTED
from ladderfe.condition import Feature, Found, features
from ladderfe.condition.plan_rows import ALL_ROUND
from ladderfe.condition.plan_types import Insert, Plan, PlanPlate
from ladderfe.condition.rails import rail_of, shape_at
from ladderfe.condition.repaired import Repaired
from ladderfe.sections import Section, Shape

__all__ = [
    "Crossing", "Rusted", "bare_parts", "built_shape", "crossings", "depth_at", "free_edges", "least_left", "left_at",
    "met", "mounted", "neighbours", "rusted", "uncovered",
]  # fmt: skip

#: Ends this near to each other, mm, are one.
SAME = 1.0
#: A wall is thinner than a limit where it is by more than rounding, mm.
LEAST_LESS = 1e-6


@dataclass(frozen=True, slots=True)
class Rusted:
    """A stretch of one wall that has lost metal: what is left of it as built by mean, 0 a hole."""

    wall: str
    start: float
    end: float
    left: float


@dataclass(frozen=True, slots=True)
class Crossing:
    """A weld across a rail: its station, and the piece that it belongs to."""

    station: float
    piece: object
    name: str


def built_shape(states: Repaired, side: str, station: float) -> Shape:
    """The rail's shape as built at a station."""
    return shape_at(rail_of(states.found.built, side), station)


def depth_at(states: Repaired, side: str, station: float) -> float:
    """The rail's depth there, mm."""
    return built_shape(states, side, station).depth


def mounted(states: Repaired, side: str, kind: str) -> list[Feature]:
    """What of a kind is at a rail as repaired."""
    return [f for f in features(states.chassis, rail_of(states.chassis, side)) if f.kind == kind]


def rusted(found: Found, side: str, start: float, end: float, walls: tuple[str, ...], most: float = RUSTED
           ) -> list[Rusted]:  # fmt: skip
    """Stretches of some walls of which less than `most` is left, as far as they lie between two stations; whole."""
    out: list[Rusted] = []
    for name in walls:
        bad = []
        for s in found.stretches_of(side):
            state = next((w for w in s.walls if w.wall == name), None)
            if state is not None and state.basis != "assumed" and state.mean < most * state.nominal - LEAST_LESS:
                bad.append(Rusted(name, s.start, s.end, state.mean / state.nominal))
        out += [r for r in _joined(bad) if r.start < end - SAME and r.end > start + SAME]
    return out


def left_at(found: Found, side: str, wall: str, station: float) -> float:
    """Part of a wall as built that is left at a station by mean; 1 where the rail has no such wall."""
    for s in found.stretches_of(side):
        if s.start <= station <= s.end:
            return next((w.mean / w.nominal for w in s.walls if w.wall == wall), 1.0)
    return 1.0


def least_left(states: Repaired, side: str, wall: str, start: float, end: float) -> tuple[float, tuple[float, float]]:
    """The least part of a wall that is left between two stations where no insert replaces it, and where; 1 and the
    whole stretch where nothing is lost."""
    inserts = [i for i in states.plan.inserts if i.side == side and wall in i.walls]
    edges = sorted({start, end, *(v for s in states.found.stretches_of(side) for v in (s.start, s.end)),
                    *(v for i in inserts for v in (i.start, i.end))})  # fmt: skip
    best = (1.0, (start, end))
    for a, b in pairwise([e for e in edges if start <= e <= end]):
        middle = (a + b) / 2
        if b - a > SAME and not any(i.covers(middle) for i in inserts):
            best = min(best, (left_at(states.found, side, wall, middle), (a, b)), key=lambda f: f[0])
    return best


def _joined(bad: list[Rusted]) -> Iterator[Rusted]:
    """Stretches that follow each other as one, with the least that is left."""
    while bad:
        first, *bad = bad
        while bad and abs(bad[0].start - first.end) <= SAME:
            first = Rusted(first.wall, first.start, bad[0].end, min(first.left, bad[0].left))
            bad = bad[1:]
        yield first


def bare_parts(plan: Plan, side: str, spot: Rusted) -> list[Rusted]:
    """Parts of a rusted stretch that no insert of the plan replaces, from front to rear; `left` is that of the whole
    stretch."""
    start, out = spot.start, list[Rusted]()
    gone = sorted((i.start, i.end) for i in plan.inserts if i.side == side and spot.wall in i.walls)
    for a, b in [*gone, (spot.end, spot.end)]:
        if min(a, spot.end) - start > SAME:
            out.append(Rusted(spot.wall, start, min(a, spot.end), spot.left))
        start = max(start, b)
    return out


def uncovered(plan: Plan, side: str, spot: Rusted) -> Rusted | None:
    """The stretch from the first to the last part that no insert of the plan replaces; None where all is."""
    parts = bare_parts(plan, side, spot)
    return Rusted(spot.wall, parts[0].start, parts[-1].end, spot.left) if parts else None


def crossings(states: Repaired, side: str) -> list[Crossing]:
    """Welds across a rail, from front to rear: ends of inserts, ends of plates where a weld runs across, and splices;
    none at the rail's own ends, where there is nothing to weld a piece to."""
    plan, rail = states.plan, rail_of(states.chassis, side)
    pieces: list[Insert | PlanPlate] = [*plan.inserts, *(p for p in plan.plates if p.thickness and p.across)]
    out = [Crossing(x, p, p.name) for p in pieces if p.side == side for x in (p.start, p.end)]
    out = [c for c in out if isinstance(c.piece, PlanPlate) or rail.start + SAME < c.station < rail.end - SAME]
    out += [Crossing(s.station, s, s.name) for s in plan.splices if s.side == side]
    return sorted(out, key=lambda c: c.station)


def free_edges(section: Section, wall: str) -> tuple[bool, bool]:
    """Whether the flat of a wall ends free at its start and at its end: no other wall begins within a corner's
    reach."""
    flat = section.flat(wall)
    others = [section.flat(n) for n in dict.fromkeys(w.name for w in section.walls) if n != wall]

    def free(at: tuple[float, float]) -> bool:
        near = [abs(at[0] - p[0]) + abs(at[1] - p[1]) for o in others for p in (o.start, o.end)]
        return min(near, default=1e9) > 0.25 * flat.length

    return free(flat.start), free(flat.end)


def neighbours(section: Section, walls: tuple[str, ...]) -> int:
    """How many edges of some walls meet a wall that is not among them; none of what is one wall all round."""
    return len(met(section, walls))


def met(section: Section, walls: tuple[str, ...]) -> tuple[str, ...]:
    """The walls that edges of some walls meet and that are not among them, one for each edge."""
    if walls == (ALL_ROUND,):
        return ()
    ends = {name: section.flat(name) for name in dict.fromkeys(w.name for w in section.walls if not w.bulge)}
    out: list[str] = []
    for name in walls:
        for at in (ends[name].start, ends[name].end):
            best, other = min(
                (abs(at[0] - p[0]) + abs(at[1] - p[1]), n)
                for n, o in ends.items()
                if n != name
                for p in (o.start, o.end)
            )
            if best <= 0.25 * ends[name].length and other not in walls:
                out.append(other)
    return tuple(out)
