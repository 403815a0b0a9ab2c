"""Unusual places: rails and their kinks, crossmembers, outriggers, mounts, stations that look like metres."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, degrees

from ladderfe.chassis import usual
from ladderfe.chassis.types import Chassis, Crossmember, PathPoint, Rail
from ladderfe.chassis.usual import Unusual

__all__ = ["along", "called", "level_between_axles", "unusual_places"]

Found = Iterator[Unusual]
#: Closer than this two stations are one place, mm.
SAME = 1e-3
#: Stations up to this may be metres, mm.
AS_METRES = usual.STATION.low


def unusual_places(chassis: Chassis) -> Found:
    """Rails first, then what is joined to them."""
    yield from _spacing(chassis)
    for rail in chassis.rails:
        yield from usual.RAIL_LENGTH.look(f"{rail.name}, length", rail.end - rail.start)
        yield from _kinks(rail)
        yield from _close(chassis, rail)
    for c in chassis.crossmembers:
        yield from _crossmember(chassis, c)
    for where, station in _stations(chassis):
        if 0 < abs(station) < AS_METRES:
            yield from usual.STATION.look(f"{where}, station", station)


def called(kind: str, name: str) -> str:
    """A name with what it is: "crossmember gearbox"."""
    return name if kind in name else f"{kind} {name}"


def along(rail: Rail, station: float) -> PathPoint:
    """The point of a rail's reference line at a station, held at its ends."""
    for a, b in pairwise(rail.path):
        if station < b.station or b is rail.path[-1]:
            s = min(max((station - a.station) / (b.station - a.station), 0.0), 1.0)
            return PathPoint(
                a.station + s * (b.station - a.station),
                a.half_spacing + s * (b.half_spacing - a.half_spacing),
                a.height + s * (b.height - a.height),
            )
    return rail.path[0]


def level_between_axles(chassis: Chassis) -> float:
    """Height of the rails' middle half-way between the axles, mm."""
    middle = sum(a.station for a in chassis.axles) / 2
    return sum(along(r, middle).height for r in chassis.rails) / 2


def _spacing(chassis: Chassis) -> Found:
    """Distance from rail to rail against the narrower track; stations of equal distance are told together."""
    left, right = chassis.rails
    range_ = usual.SPACING.of(min(a.track for a in chassis.axles))
    at: dict[float, list[float]] = {}
    for station in sorted({p.station for rail in chassis.rails for p in rail.path}):
        apart = along(left, station).half_spacing + along(right, station).half_spacing
        at.setdefault(round(apart, 6), []).append(station)
    for apart, stations in at.items():
        places = ", ".join(f"{x:g}" for x in stations[:3]) + (" ..." if len(stations) > 3 else "")
        yield from range_.look(f"rails from middle to middle, at {places} mm", apart)


def _kinks(rail: Rail) -> Found:
    """Points of the path that turn away from their neighbours, the steepest of a row of them."""
    for word, across, range_ in (
        ("in plan", [p.half_spacing for p in rail.path], usual.KINK_IN_PLAN),
        ("in height", [p.height for p in rail.path], usual.KINK_IN_HEIGHT),
    ):
        slopes = [
            degrees(atan2(v - u, b.station - a.station))
            for (a, b), (u, v) in zip(pairwise(rail.path), pairwise(across), strict=True)
        ]
        turns = [0.0, *(abs(b - a) for a, b in pairwise(slopes)), 0.0]
        for k in range(1, len(rail.path) - 1):
            if turns[k] > turns[k - 1] and turns[k] >= turns[k + 1]:
                yield from range_.look(f"{rail.name} at {rail.path[k].station:g} mm, kink {word}", turns[k])


def _close(chassis: Chassis, rail: Rail) -> Found:
    """Stations of one rail that nearly coincide: a member of a few mm would lie between them."""
    places = [(p.station, "path point") for p in rail.path]
    places += [(x, "end of a section") for s in rail.spans for x in (s.start, s.end)]
    places += [
        (c.station_left if rail.side == "left" else c.station_right, called("crossmember", c.name))
        for c in chassis.crossmembers
    ]
    places += [(o.station, called("outrigger", o.name)) for o in chassis.outriggers if o.side == rail.side]
    places += [(d.station, called("diaphragm", d.name)) for d in chassis.diaphragms if d.side == rail.side]
    places += [(m.station, called("mount", m.name)) for m in chassis.mounts if m.part == rail.name and not m.spread]
    places += [(x, a.seat_words(k)) for a in chassis.axles for k, (x, _) in enumerate(a.seats)]
    for (a, one), (b, other) in pairwise(sorted(places)):
        near_end = {a, b} & {rail.start, rail.end} and "crossmember" in one + other  # told by _near_end
        if b - a > SAME and min(abs(a), abs(b)) not in (0.0,) and not near_end:
            yield from usual.APART.look(f"{rail.name}, {one} at {a:g} and {other} at {b:g} mm", b - a)


def _crossmember(chassis: Chassis, c: Crossmember) -> Found:
    where = called("crossmember", c.name)
    for rail, x in zip(chassis.rails, (c.station_left, c.station_right), strict=True):
        yield from _near_end(rail, x, where)
        if c.station_left == c.station_right:
            break
    yield from usual.SLANT.look(f"{where}, from its left to its right end", c.station_right - c.station_left)
    for _, height in c.via:
        yield from usual.DROP.look(f"{where}, via below its ends", height - (c.height_left + c.height_right) / 2)


def _near_end(rail: Rail, station: float, where: str) -> Found:
    for end, word in ((rail.start, "front"), (rail.end, "rear")):
        gap = abs(station - end)
        if gap > SAME and not 0 < abs(station) < AS_METRES:
            yield from usual.FROM_END.look(f"{where}, from the rails' {word} end", gap)


def _stations(chassis: Chassis) -> Iterator[tuple[str, float]]:
    """All stations that a file gives, with whose they are."""
    for c in chassis.crossmembers:
        for x in dict.fromkeys((c.station_left, c.station_right)):
            yield called("crossmember", c.name), x
    for rail in chassis.rails:
        yield from ((f"{rail.name}, path point", p.station) for p in rail.path)
    yield from ((called("outrigger", o.name), o.station) for o in chassis.outriggers)
    yield from ((called("diaphragm", d.name), d.station) for d in chassis.diaphragms)
    on_rails = [m for m in chassis.mounts if m.part in ("left rail", "right rail") and not m.spread]
    yield from ((called("mount", m.name), m.station) for m in on_rails)
    there = {m.station for m in chassis.mounts}  # a mass may have its place from its mounts
    yield from ((called("mass", m.name), m.centre[0]) for m in chassis.masses if m.centre[0] not in there)
    yield from ((f"{a.name} axle", a.station) for a in chassis.axles)
