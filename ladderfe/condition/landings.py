"""What is joined to or mounted on the rails: the wall that it lands on, and what holes do to that."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ladderfe.chassis import Chassis, Mount, Rail, Side
from ladderfe.condition.rails import SAME, SIDES, rail_of, shape_at, walls_at
from ladderfe.condition.types import Hole
from ladderfe.errors import Problem
from ladderfe.sections import Shape, faces

__all__ = ["Landing", "hanging", "landings", "landings_at"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """Something that meets a rail at a station, half its width to both sides of that, mm.

    wall: the one that it lands on, "" where none can be told (a place inside the section).  joint: it is a member;
    estimated: one whose joint nobody stated.
    """

    name: str
    side: Side
    station: float
    half: float
    wall: str
    joint: bool
    estimated: bool = False

    def meets(self, start: float, end: float) -> bool:
        """Whether any of it lies between two stations."""
        return self.station - self.half < end and self.station + self.half > start


def landings(chassis: Chassis) -> tuple[Landing, ...]:
    """Ends of crossmembers, outriggers and mounts on the rails of a chassis as built."""
    ends: list[tuple[str, Side, tuple[float, float], Shape, bool]] = []
    for c in chassis.crossmembers:
        name = _called("crossmember", c.name)
        ends.append((name, "left", (c.station_left, c.height_left), c.shape, c.joint_left.given))
        ends.append((name, "right", (c.station_right, c.height_right), c.shape, c.joint_right.given))
    out = [_member(chassis, *end, inward=True) for end in ends]
    for o in chassis.outriggers:
        name = _called("outrigger", o.name)
        out.append(_member(chassis, name, o.side, (o.station, o.height), o.shape, o.joint.given, inward=False))
    out += [_mounted(rail, m) for rail in chassis.rails for m in chassis.mounts if m.part == rail.name and not m.spread]
    return tuple(out)


def landings_at(chassis: Chassis, side: str, start: float, end: float) -> list[Landing]:
    """Those of which any lies between two stations of a rail."""
    return [p for p in landings(chassis) if p.side == side and p.meets(start, end)]


def hanging(chassis: Chassis, holes: Iterable[Hole], file: str) -> list[Problem]:
    """Members and mounts of a chassis as built whose wall a hole takes away under their middle."""
    known, out = landings(chassis), []
    for h in holes:
        first, last = h.reach
        for p in known:
            # to the rear of a hole the metal begins at its end, as in the mesh
            if (p.side, p.wall) == (h.side, h.wall) and first - SAME <= p.station < last - SAME:
                out.append(_problem(h, p, file))
    return out


def _problem(hole: Hole, p: Landing, file: str) -> Problem:
    verb, where = ("meets it", "joined") if p.joint else ("sits on it", "fixed")
    rims = f" and its rims of {hole.rim:g} mm" if hole.rim else ""
    return Problem(
        file=file,
        line=hole.line,
        key="hole",
        value=f"{hole.start:g} to {hole.end:g} mm{rims}",
        rule=f"takes the {hole.wall} wall of the {p.side} rail away at {p.station:g} mm, where {p.name} {verb}: "
        f"that would be {where} to nothing",
        suggestion=f"End the hole before it, or take {p.name} out in an overlay",
    )


def _called(kind: str, name: str) -> str:
    return name if kind in name else f"{kind} {name}"


def _member(
    chassis: Chassis, name: str, side: Side, place: tuple[float, float], shape: Shape, given: bool, *, inward: bool
) -> Landing:
    """The end of a member at a station and height; it comes from between the rails or from outside."""
    (station, height), rail = place, rail_of(chassis, side)
    own = shape_at(rail, station)
    above = height - _middle(rail, station)[1]
    direction = -rail.sign if inward else rail.sign
    if abs(above) >= (own.depth + shape.depth) / 2 - 1e-6:
        wall = _named(rail, station, "top" if above > 0 else "bottom")
    else:
        wall = _upright(rail, station, direction)
    return Landing(
        name=name, side=side, station=station, half=shape.width / 2, wall=wall, joint=True, estimated=not given
    )


def _mounted(rail: Rail, m: Mount) -> Landing:
    """A mount hangs on the nearest wall, as in the mesh; inside the section on none."""
    own, (y, z) = shape_at(rail, m.station), _middle(rail, m.station)
    aside, above = m.y - y, m.height - z
    beyond = abs(aside) - own.width / 2, abs(above) - own.depth / 2
    if max(beyond) < -SAME:
        wall = ""
    elif beyond[0] >= beyond[1]:
        wall = _upright(rail, m.station, 1 if aside > 0 else -1)
    else:
        wall = _named(rail, m.station, "top" if above > 0 else "bottom")
    return Landing(name=_called("mount", m.name), side=rail.side, station=m.station, half=0.0, wall=wall, joint=False)


def _upright(rail: Rail, station: float, direction: int) -> str:
    """The upright wall that the rail shows toward +y (1) or -y (-1); a channel's web behind its opening."""
    own, name = shape_at(rail, station), SIDES[rail.side][direction > 0]
    known: Sequence[str] = list(walls_at(rail, station))
    return name if faces(own, direction) and name in known else "web" if "web" in known else ""


def _named(rail: Rail, station: float, name: str) -> str:
    return name if name in walls_at(rail, station) else ""


def _middle(rail: Rail, station: float) -> tuple[float, float]:
    """Y and height of the rail's reference line."""
    before, after = next(
        ((a, b) for a, b in zip(rail.path, rail.path[1:], strict=False) if station <= b.station), rail.path[-2:]
    )
    share = (station - before.station) / (after.station - before.station)
    half = before.half_spacing + share * (after.half_spacing - before.half_spacing)
    return rail.sign * half, before.height + share * (after.height - before.height)
