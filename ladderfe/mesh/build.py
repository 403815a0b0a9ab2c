"""Chassis -> mesh: rails first, then crossmembers and outriggers at their true places, then the named places."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Crossmember, Outrigger, Rail
from ladderfe.joints import Meeting
from ladderfe.mesh.builder import Builder
from ladderfe.mesh.joined import joined, joint_meetings, joint_warpings
from ladderfe.mesh.places import points_of
from ladderfe.mesh.rails import SAME, RailLine, box_at, rail_line, rail_point, rail_shape, rail_stations
from ladderfe.mesh.types import Mesh
from ladderfe.sections import open_channel

__all__ = ["SIDES", "TAPER_STEPS", "build_mesh", "member_points"]

Array = NDArray[np.float64]
SIDES: dict[str, tuple[str, str]] = {"left": ("outer", "inner"), "right": ("inner", "outer")}
CROSS_SIDES = ("rear", "front")
Meetings = tuple[Meeting | None, ...]

#: Where a crossmember whose flanges lie on a channel rail's is taken to meet them: share of the way from the web to the
#: flanges' edges, from the middle of the overlap (joints low) to its end (high, rigid); judgement, no source.
ON_FLANGES, ON_FLANGES_SPREAD = 0.75, 0.25
#: Least number of prismatic steps that stand for a tapered span; the self-check refines where this is too coarse.
TAPER_STEPS = 4


@dataclass(frozen=True, slots=True)
class _RailNodes:
    """A rail's nodes at stations that must carry one; those that only divide a member or a taper carry nothing, so that
    a place between nodes hangs on the same one however finely the rail is divided."""

    rail: Rail
    stations: Array
    numbers: tuple[int, ...]

    def at(self, station: float) -> int:
        return self.numbers[int(np.argmin(np.abs(self.stations - station)))]


def build_mesh(
    chassis: Chassis, *, extra: Iterable[float] = (), refine: int = 1, taper_steps: int = TAPER_STEPS,
    cuts: Iterable[tuple[str, float]] = (),
) -> Mesh:  # fmt: skip
    """Divide a chassis into members; joints that nobody described are estimated (`joined`).

    Parameters
    ----------
    chassis : the frame as built (or in any state)
    extra : further stations (mm) that shall carry a node on both rails
    refine : every member is divided into this many
    taper_steps : least number of steps for each tapered span
    cuts : side and station (one of those that carry a node) at which a rail is cut right through: two nodes stand
        there, that of the front piece first, and what hangs there stays with it

    Returns
    -------
    Mesh with the rails' members from front to rear, left rail first, then crossmembers (left to right) and
    outriggers (left to right too: a left outrigger runs from its tip to the rail).
    """
    chassis = joined(chassis)
    racks = bool(np.isfinite(chassis.joint_level)) and chassis.joint_model == "walls"
    b = Builder(chassis.material, racks=racks)
    extra, cut = tuple(extra), {r.side: tuple(at for side, at in cuts if side == r.side) for r in chassis.rails}
    lines: dict[str, _RailNodes] = {}
    for r in chassis.rails:
        base = tuple(rail_stations(chassis, r, extra))
        lines[r.side] = _add_rail(b, r, rail_line(r, base, refine, taper_steps), base, cut[r.side])
    for d in chassis.diaphragms:
        line, box = lines[d.side], box_at(lines[d.side].rail, d.station)
        if box is not None:
            b.plate(line.at(d.station), box, d.thickness)
    tips: dict[str, dict[float, int]] = {}
    for c in chassis.crossmembers:
        tips[c.name] = _add_crossmember(b, chassis, c, lines, refine)
    for o in chassis.outriggers:
        tips[o.name] = _add_outrigger(b, chassis, o, lines[o.side], refine)
    return b.freeze(_places(chassis, lines, tips))


def _add_rail(b: Builder, rail: Rail, line: RailLine, base: Sequence[float], cut: tuple[float, ...]) -> _RailNodes:
    numbers = [b.node(p, f"{rail.name} at {s:.0f} mm") for p, s in zip(line.points, line.stations, strict=True)]
    sides = SIDES[rail.side]
    sections = [b.section(shape, sides, least) for shape, least in zip(line.shapes, line.least, strict=True)]
    edges = [
        (b.section(p, sides, p_least), b.section(q, sides, q_least))
        for (p, q), (p_least, q_least) in zip(line.end_shapes, line.end_least, strict=True)
    ]
    first = len(b.ends)
    ends = [0, *(k for k, s in enumerate(line.stations) if any(abs(s - c) < SAME for c in cut)), len(numbers) - 1]
    for p, q in itertools.pairwise(ends):
        own = numbers[p : q + 1]
        if p:
            own[0] = b.node(line.points[p], f"{rail.name} behind the cut at {line.stations[p]:.0f} mm")
        b.chain(own, line.points[p : q + 1], line.stations[p : q + 1], sections[p:q], line.tapered[p:q], edges[p:q])
    b.close_part(rail.name, "rail", rail.side, first)
    carrying = [(s, n) for s, n in zip(line.stations, numbers, strict=True) if s in base]
    return _RailNodes(rail, np.array([s for s, _ in carrying]), tuple(n for _, n in carrying))


def _meeting_y(
    rail: Rail, station: float, height: float, toward: int, depth: float, meeting: Meeting | None, level: float
) -> float:
    """Y where a member that comes from the side `toward` (+1: from the right) meets a rail: the web's face it lands
    on, a place on the flanges that its own lie on, or the rail's middle where it passes above or below."""
    shape, point = rail_shape(rail, station), rail_point(rail, station)
    if abs(height - point[2]) >= (shape.depth + depth) / 2 - 1e-6:
        return float(point[1])
    y = float(point[1]) + shape.landing(toward)
    on_flanges = meeting is not None and meeting.webs == "flanges"
    channel = open_channel(shape)
    if on_flanges and channel and channel.opens == ("+y" if toward > 0 else "-y"):
        share = ON_FLANGES + ON_FLANGES_SPREAD * min(max(level, -1.0), 1.0)
        y += toward * share * (channel.width - channel.web)
    return y


def _divide(points: list[Array], keep: Iterable[float], refine: int) -> tuple[list[Array], list[float]]:
    """Put points at the y values in `keep` and divide every stretch in `refine`; returns points and their y."""
    for y in keep:
        for k in range(len(points) - 1):
            if points[k][1] + SAME < y < points[k + 1][1] - SAME:
                s = (y - points[k][1]) / (points[k + 1][1] - points[k][1])
                points.insert(k + 1, points[k] + s * (points[k + 1] - points[k]))
                break
    out = [points[0]]
    for p, q in itertools.pairwise(points):
        out += [p + (q - p) * s for s in np.linspace(0, 1, refine + 1)[1:]]
    return out, [float(p[1]) for p in out]


def _crossmember_points(
    chassis: Chassis, c: Crossmember, held: Meetings, refine: int
) -> tuple[list[Array], list[float]]:
    """True points of a crossmember's member ends from left to right, and their y."""
    left, right = (next(r for r in chassis.rails if r.side == side) for side in ("left", "right"))
    y = (
        _meeting_y(left, c.station_left, c.height_left, +1, c.shape.depth, held[0], chassis.joint_level),
        _meeting_y(right, c.station_right, c.height_right, -1, c.shape.depth, held[1], chassis.joint_level),
    )
    corner = [np.array([c.station_left, y[0], c.height_left])]
    corner += [np.array([np.interp(v, y, (c.station_left, c.station_right)), v, h]) for v, h in c.via]
    corner.append(np.array([c.station_right, y[1], c.height_right]))
    keep = [m.y for m in chassis.mounts if m.part == c.name]
    keep += [y * a.spring_base / 2 for a in chassis.axles if a.torsion_bar == c.name for y in (-1, 1)]
    return _divide(corner, keep, refine)


def _add_crossmember(
    b: Builder, chassis: Chassis, c: Crossmember, lines: dict[str, _RailNodes], refine: int
) -> dict[float, int]:
    left, right = lines["left"], lines["right"]
    held = joint_meetings(chassis, c.name)
    points, along = _crossmember_points(chassis, c, held, refine)
    inner = [b.node(p, f"crossmember {c.name} at y {p[1]:.0f} mm") for p in points[1:-1]]
    nodes = [left.at(c.station_left), *inner, right.at(c.station_right)]
    first = b.chain(nodes, points, along, [b.section(c.shape, CROSS_SIDES)] * (len(nodes) - 1))
    b.close_part(c.name, "crossmember", "", first)
    warping = joint_warpings(chassis, c.name)
    b.joint(first, 0, c.joint_left, held[0], warping[0])
    b.joint(len(b.ends) - 1, 1, c.joint_right, held[1], warping[1])
    return dict(zip(along, nodes, strict=True))


def _outrigger_points(chassis: Chassis, o: Outrigger, held: Meetings, refine: int) -> tuple[list[Array], list[float]]:
    """True points of an outrigger's member ends from left to right, and their y."""
    rail, level = next(r for r in chassis.rails if r.side == o.side), chassis.joint_level
    y = _meeting_y(rail, o.station, o.height, rail.sign, o.shape.depth, held[0], level)
    root = np.array([o.station, y, o.height])
    tip = root + np.array([0.0, rail.sign * o.length, 0.0])
    corner = [root, tip] if rail.sign > 0 else [tip, root]
    return _divide(corner, [m.y for m in chassis.mounts if m.part == o.name], refine)


def member_points(chassis: Chassis, part: str, held: Meetings, refine: int) -> Array:
    """(members + 1, 3) true points of the member ends of a crossmember or outrigger, whose joints are held so."""
    for c in chassis.crossmembers:
        if c.name == part:
            return np.array(_crossmember_points(chassis, c, held, refine)[0])
    return np.array(_outrigger_points(chassis, next(o for o in chassis.outriggers if o.name == part), held, refine)[0])


def _add_outrigger(
    b: Builder, chassis: Chassis, o: Outrigger, line: _RailNodes, refine: int
) -> dict[float, int]:
    sign, held = line.rail.sign, joint_meetings(chassis, o.name)
    points, along = _outrigger_points(chassis, o, held, refine)
    rail_node = line.at(o.station)
    free = [b.node(p, f"outrigger {o.name} at y {p[1]:.0f} mm") for p in (points[1:] if sign > 0 else points[:-1])]
    nodes = [rail_node, *free] if sign > 0 else [*free, rail_node]
    first = b.chain(nodes, points, along, [b.section(o.shape, CROSS_SIDES)] * (len(nodes) - 1))
    b.close_part(o.name, "outrigger", o.side, first)
    member, end = (first, 0) if sign > 0 else (len(b.ends) - 1, 1)
    b.joint(member, end, o.joint, held[0], joint_warpings(chassis, o.name)[0])
    return dict(zip(along, nodes, strict=True))


def _places(
    chassis: Chassis, lines: dict[str, _RailNodes], tips: dict[str, dict[float, int]]
) -> dict[str, tuple[int, Array]]:
    """Node and true point of all named places."""
    out: dict[str, tuple[int, Array]] = {}
    points = points_of(chassis)
    for m in chassis.mounts:
        side = m.part.removesuffix(" rail")
        if side in lines:
            node = lines[side].at(m.station)
        else:
            node, _ = _nearest(tips[m.part], points[m.name])
        out[m.name] = node, points[m.name]
    for axle in chassis.axles:
        for side, line in lines.items():
            for k, (station, _) in enumerate(axle.seats):
                name = axle.seat_name(side, k)
                out[name] = line.at(station), points[name]
            out[axle.stop_name(side)] = line.at(axle.station), points[axle.stop_name(side)]
            if axle.torsion_bar is not None:
                out[axle.anchor_name(side)] = _nearest(tips[axle.torsion_bar], points[axle.anchor_name(side)])
        for name, side, place in axle.brackets():
            out[name] = lines[side].at(place[0]), points[name]
    return out


def _nearest(along: dict[float, int], point: Array) -> tuple[int, Array]:
    """The node of a crossmember or outrigger nearest to a point across the vehicle, and the point."""
    return along[min(along, key=lambda y: abs(y - point[1]))], point
