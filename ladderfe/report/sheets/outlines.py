"""What a chassis drawing shows, as outlines in vehicle millimetres: the plan (station, y) and the side (station, z)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Axle, Chassis, Rail
from ladderfe.condition.rails import rail_of, shape_in
from ladderfe.mesh import Mesh
from ladderfe.mesh.rails import rail_point
from ladderfe.sections import Shape, Tube

__all__ = ["Stretch", "crossmember_cuts", "eye_height", "member_bars", "rail_edges", "same_slope", "stretches"]

Array = NDArray[np.float64]
Points = tuple[tuple[float, float], ...]

#: Depths and widths nearer than this, mm, are alike.
ALIKE = 0.05


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of rail of one section or one taper, however often it was cut."""

    start: float
    end: float
    first: Shape
    last: Shape


def stretches(rail: Rail) -> tuple[Stretch, ...]:
    """The rail's spans, those put together again that run on with the same walls and the same slope."""
    out: list[Stretch] = []
    for span in rail.spans:
        own = Stretch(span.start, span.end, span.shape, span.shape_end or span.shape)
        if out and same_slope(out[-1], own):
            out[-1] = Stretch(out[-1].start, own.end, out[-1].first, own.last)
        else:
            out.append(own)
    return tuple(out)


def same_slope(one: Stretch, other: Stretch) -> bool:
    """Whether a stretch runs on in the next one."""
    a, b, c, d = one.first, one.last, other.first, other.last
    if type(a) is not type(c) or abs(b.depth - c.depth) > ALIKE or abs(b.width - c.width) > ALIKE:
        return False
    if section_sizes(b) != section_sizes(c):
        return False
    grow = [
        (getattr(q, n) - getattr(p, n)) / (s.end - s.start)
        for s, p, q in ((one, a, b), (other, c, d))
        for n in ("depth", "width")
    ]
    return bool(abs(grow[0] - grow[2]) < 1e-6 and abs(grow[1] - grow[3]) < 1e-6)


def section_sizes(shape: Shape) -> tuple[object, ...]:
    """What is alike along a taper of depth and width: walls and where it opens."""
    names = ("top", "bottom", "minus", "plus", "web", "opens", "wall", "lip", "brim", "corner", "lying")
    return tuple(getattr(shape, n, None) for n in names)


def rail_edges(rail: Rail) -> tuple[Points, Points]:
    """Outlines of a rail in plan and from the side, closed polygons."""
    plan: list[tuple[float, float, float]] = []
    side: list[tuple[float, float, float]] = []
    for span in rail.spans:
        inside = [p.station for p in rail.path if span.start < p.station < span.end]
        for x in (span.start, *inside, span.end):
            shape = shape_in(span, x)
            _, y, z = rail_point(rail, x)
            plan.append((x, y - shape.width / 2, y + shape.width / 2))
            side.append((x, z - shape.depth / 2, z + shape.depth / 2))
    return _closed(plan), _closed(side)


def _closed(rows: list[tuple[float, float, float]]) -> Points:
    there = [(x, b) for x, _, b in rows]
    back = [(x, a) for x, a, _ in reversed(rows)]
    points = [*there, *back]
    return tuple(p for k, p in enumerate(points) if k == 0 or p != points[k - 1])


def member_bars(mesh: Mesh, name: str) -> list[tuple[Points, float]]:
    """The bars of a crossmember or outrigger in plan between its true ends: polygons, and their mean height."""
    part = mesh.part(name)
    width = mesh.shapes[int(mesh.section_of[part.first])].width
    ends = mesh.end_points()[part.first : part.last]
    corners = [ends[0, 0], *ends[:, 1]]
    out = []
    for a, b in pairwise(_bends(corners)):
        along = (b - a)[:2]
        size = hypot(*along)
        if size > 0:
            aside = np.array([-along[1], along[0]]) / size * width / 2
            points = [a[:2] + aside, b[:2] + aside, b[:2] - aside, a[:2] - aside]
            out.append((tuple((float(x), float(y)) for x, y in points), float(a[2] + b[2]) / 2))
    return out


def _bends(points: list[Array]) -> list[Array]:
    """The points of a line without those that lie straight between their neighbours, seen from above."""
    out = [points[0]]
    for k in range(1, len(points) - 1):
        a, b = points[k] - out[-1], points[k + 1] - points[k]
        if abs(a[0] * b[1] - a[1] * b[0]) > 1e-6 * max(1.0, hypot(a[0], a[1]) * hypot(b[0], b[1])):
            out.append(points[k])
    return [*out, points[-1]]


@dataclass(frozen=True, slots=True)
class Cut:
    """A crossmember as the side view meets it: cut outline about (station, height); `seen`: beyond the rail's depth."""

    station: float
    height: float
    shape: Shape
    seen: bool

    @property
    def round(self) -> bool:
        return isinstance(self.shape, Tube)


def crossmember_cuts(chassis: Chassis) -> list[Cut]:
    """Crossmembers at the left rail, and where they are cranked down or up their middle part too."""
    out = []
    rail = rail_of(chassis, "left")
    for c in chassis.crossmembers:
        heights = [c.height_left, *dict.fromkeys(z for _, z in c.via)]
        for z in dict.fromkeys(heights):
            span = next((s for s in rail.spans if s.start <= c.station_left <= s.end), rail.spans[0])
            half = shape_in(span, c.station_left).depth / 2
            off = abs(z - float(rail_point(rail, c.station_left)[2]))
            out.append(Cut(c.station_left, z, c.shape, off - c.shape.depth / 2 >= half))
    return out


def eye_height(chassis: Chassis, axle: Axle, station: float) -> float:
    """Height at which a spring holds on to the frame: its eye's, else the rail's underside."""
    if axle.links is not None and axle.links.kind == "eyes":
        return axle.links.height
    rail = rail_of(chassis, "left")
    span = next((s for s in rail.spans if s.start <= station <= s.end), rail.spans[0])
    return float(rail_point(rail, station)[2]) - shape_in(span, station).depth / 2
