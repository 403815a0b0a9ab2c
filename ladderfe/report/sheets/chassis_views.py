"""The two views of a chassis drawing: what lies where, drawn to one scale."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.chassis import Axle, Chassis
from ladderfe.condition.rails import rail_of, shape_at
from ladderfe.mesh import Mesh
from ladderfe.mesh.rails import rail_point
from ladderfe.report.labels import Box
from ladderfe.report.sheets.outlines import crossmember_cuts, eye_height, member_bars, rail_edges
from ladderfe.report.sheets.pen import Pen, Point

__all__ = ["Views", "draw_plan", "draw_side", "plan_half", "side_reach"]

#: A wheel's width in plan as a part of its radius, for orientation only.
TYRE = 0.55


@dataclass(slots=True)
class Views:
    """A sheet with its scale (units per mm): stations to the right of `left`, where `low` is; plan and side: heights of
    the sheet at which y and z are 0."""

    pen: Pen
    chassis: Chassis
    mesh: Mesh
    scale: float
    left: float
    low: float
    plan: float = 0.0
    side: float = 0.0

    def x_of(self, station: float) -> float:
        """Place of a station."""
        return self.left + (station - self.low) * self.scale

    def in_plan(self, station: float, y: float) -> Point:
        """Place in the plan, seen from above with the front to the left: y, to the right, goes up the sheet."""
        return self.x_of(station), self.plan - y * self.scale

    def from_side(self, station: float, z: float) -> Point:
        """Place in the side view."""
        return self.x_of(station), self.side - z * self.scale


def plan_half(chassis: Chassis) -> float:
    """How far the plan reaches from the centre line, mm."""
    wheels = [a.track / 2 + TYRE * a.tyre_radius / 2 for a in chassis.axles]
    edges = [abs(y) for r in chassis.rails for _, y in rail_edges(r)[0]]
    return max(*wheels, *edges, *(abs(m.y) + 30 for m in chassis.mounts if not m.spread))


def side_reach(chassis: Chassis) -> tuple[float, float]:
    """Lowest and highest of the side view, mm."""
    edges = [z for r in chassis.rails for _, z in rail_edges(r)[1]]
    mounts = [m.height for m in chassis.mounts if not m.spread]
    wheels = [chassis.ground + 2 * a.tyre_radius for a in chassis.axles]
    return chassis.ground, max(*edges, *mounts, *wheels)


def draw_plan(v: Views) -> None:
    """The plan: rails, what lies between and beside them, springs, axles and the centre line."""
    pen, c = v.pen, v.chassis
    for part in v.mesh.parts:
        if part.kind != "rail":
            for points, _ in member_bars(v.mesh, part.name):
                pen.area("cross", [v.in_plan(x, y) for x, y in points])
    for rail in c.rails:
        pen.area("metal", [v.in_plan(x, y) for x, y in rail_edges(rail)[0]])
    for d in c.diaphragms:
        rail = rail_of(c, d.side)
        _, y, _ = rail_point(rail, d.station)
        half = _width_at(v, rail.side, d.station) / 2
        pen.line("thin", v.in_plan(d.station, y - half), v.in_plan(d.station, y + half))
    first, last = min(r.start for r in c.rails), max(r.end for r in c.rails)
    out = 10 / v.scale
    pen.line("centre", v.in_plan(first - out, 0), v.in_plan(last + out, 0))
    for axle in c.axles:
        _axle_in_plan(v, axle)
    for m in c.mounts:
        if not m.spread:
            _triangle(pen, v.in_plan(m.station, m.y))
    for _, _, (x, y, _) in (b for a in c.axles for b in a.brackets()):
        _triangle(pen, v.in_plan(x, y))


def _width_at(v: Views, side: str, station: float) -> float:
    return shape_at(rail_of(v.chassis, side), station).width


def _axle_in_plan(v: Views, axle: Axle) -> None:
    pen, r, t = v.pen, axle.tyre_radius, TYRE * axle.tyre_radius / 2
    end = axle.track / 2 + t + 30
    pen.line("axle", v.in_plan(axle.station, -end), v.in_plan(axle.station, end))
    for sign in (-1, 1):
        y = sign * axle.track / 2
        corners = [(-r, -t), (r, -t), (r, t), (-r, t), (-r, -t)]
        pen.line("wheel", *(v.in_plan(axle.station + a, y + b) for a, b in corners))
        places = [v.in_plan(s, sign * axle.spring_base / 2) for s, _ in axle.seats]
        if len(places) > 1:
            pen.line("thin", *places)
        for at in places:
            pen.circle("mark", at, _sign(v.pen))


def draw_side(v: Views) -> None:
    """The side view: the left rail, crossmembers cut behind it, outriggers before it, springs, wheels, the ground."""
    pen, c = v.pen, v.chassis
    left, right = (rail_of(c, s) for s in ("left", "right"))
    low, high = v.low, v.low + (pen.format.width - 2 * v.left) / v.scale
    pen.line("ground", v.from_side(low, c.ground), v.from_side(high, c.ground))
    for axle in c.axles:
        hub = v.from_side(axle.station, c.ground + axle.tyre_radius)
        pen.circle("wheel", hub, axle.tyre_radius * v.scale)
        reach = axle.tyre_radius + 40
        pen.line("axle", v.from_side(axle.station, c.ground - 20), v.from_side(axle.station, c.ground + 2 * reach))
        pen.line("axle", (hub[0] - 6, hub[1]), (hub[0] + 6, hub[1]))
    if rail_edges(left)[1] != rail_edges(right)[1]:
        pen.line("hidden", *(v.from_side(x, z) for x, z in rail_edges(right)[1]))
    pen.area("metal", [v.from_side(x, z) for x, z in rail_edges(left)[1]])
    for cut in crossmember_cuts(c):
        kind = "thin" if cut.seen else "hidden"
        at = v.from_side(cut.station, cut.height)
        half, deep = cut.shape.width * v.scale / 2, cut.shape.depth * v.scale / 2
        if cut.round:
            pen.circle(kind, at, half)
        else:
            pen.box(kind, Box(at[0] - half, at[1] - deep, at[0] + half, at[1] + deep))
    for o in c.outriggers:
        if o.side == "left":
            at = v.from_side(o.station, o.height)
            half, deep = o.shape.width * v.scale / 2, o.shape.depth * v.scale / 2
            pen.box("thin", Box(at[0] - half, at[1] - deep, at[0] + half, at[1] + deep))
    pen.line("centre", *(v.from_side(p.station, p.height) for p in left.path))
    for axle in c.axles:
        _spring(v, axle)
    for m in c.mounts:
        if not m.spread:
            _triangle(pen, v.from_side(m.station, m.height))
    for _, _, (x, _, z) in (b for a in c.axles for b in a.brackets()):
        _triangle(pen, v.from_side(x, z))


def _spring(v: Views, axle: Axle) -> None:
    """A leaf from eye to eye under the axle, or the seat of another spring."""
    pen, c = v.pen, v.chassis
    places = [v.from_side(s, eye_height(c, axle, s)) for s, _ in axle.seats]
    rail = rail_of(c, "left")
    for (s, _), at in zip(axle.seats, places, strict=True):
        top = v.from_side(s, float(rail_point(rail, min(max(s, rail.start), rail.end))[2]))
        pen.line("outline", top, at)
    if len(places) == 2:
        (xa, ya), (xb, yb) = places
        hub = v.from_side(axle.station, c.ground + axle.tyre_radius)
        t = (hub[0] - xa) / (xb - xa)
        bend = (hub[1] - (1 - t) ** 2 * ya - t**2 * yb) / (2 * t * (1 - t)) if 0 < t < 1 else (ya + yb) / 2
        middle = (xa + xb) / 2
        pen.path("outline", f"M{xa:.1f},{ya:.1f}Q{middle:.1f},{bend:.1f} {xb:.1f},{yb:.1f}")
    for at in places:
        pen.circle("mark", at, _sign(pen))


def _sign(pen: Pen) -> float:
    """Half the size of a sign."""
    return pen.format.size * 0.24


def _triangle(pen: Pen, at: Point) -> None:
    x, y = at
    s = _sign(pen) * 1.15
    pen.area("mark", [(x, y + s), (x + s, y - s * 0.8), (x - s, y - s * 0.8)])
