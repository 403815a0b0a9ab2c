"""Where the holes of bolts and rivets stand on a rail's wall, and which rules of place a pattern does not keep to."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import BoltPattern, Chassis
from ladderfe.checks.repair_places import free_edges
from ladderfe.condition.rails import SIDES, rail_of, shape_at
from ladderfe.connections import Broken, RailHole, hole_rules, spacing_rules
from ladderfe.sections import Plated, Shape, wall_thickness
from ladderfe.sections.plated import BOXING, wall_called

__all__ = ["Distances", "distances", "met_wall", "pattern_rules", "thinnest"]

Array = NDArray[np.float64]


class Distances(NamedTuple):
    """(n,) mm of each hole: from its middle to the rail's end and to a free edge of the wall above or below, inf where
    there is none; metal between hole and inside of the nearer flange, inf where there is none."""

    end: Array
    edge: Array
    flange: Array


def met_wall(shape: Shape, side: str, toward: str) -> tuple[str, float]:
    """The wall of a rail's shape that a part meets which comes from its side "inner" or "outer", or that a bracket lies
    on, which may be "bottom" too; and its thickness, mm.

    A plate that closes a channel on that side is met in the web's place, as `landing` of the shape has it.
    """
    if isinstance(shape, Plated):
        for p in shape.closing:
            if wall_called(p.wall, SIDES[side]) == toward:
                return BOXING, p.thickness
    walls = wall_thickness(shape, SIDES[side])
    name = toward if toward in walls else "web" if "web" in walls else min(walls, key=lambda n: walls[n])
    return name, walls[name]


def toward(chassis: Chassis, pattern: BoltPattern) -> str:
    """The side of its rail that a pattern is on: crossmembers come from the inner one."""
    return "inner" if any(c.name == pattern.member for c in chassis.crossmembers) else "outer"


def thinnest(chassis: Chassis, pattern: BoltPattern) -> float:
    """Thickness of the wall at a pattern's holes, as strength is judged, at its thinnest, mm."""
    rail = rail_of(chassis, pattern.side)
    found = []
    for x, _ in pattern.places:
        for s in (s for s in rail.spans if s.start <= x <= s.end):
            for shape in (s.least or s.shape, s.least_end or s.shape_end):
                if shape is not None:
                    found.append(met_wall(shape, rail.side, toward(chassis, pattern))[1])
    return min(found)


def distances(chassis: Chassis, pattern: BoltPattern) -> Distances:
    """Of all holes of a pattern."""
    rail, r = rail_of(chassis, pattern.side), pattern.hole / 2
    rows = []
    for x, z in pattern.places:
        shape = shape_at(rail, x)
        walls, (wall, _) = wall_thickness(shape, SIDES[rail.side]), met_wall(shape, rail.side, toward(chassis, pattern))
        height = float(np.interp(x, [p.station for p in rail.path], [p.height for p in rail.path]))
        up, down = shape.depth / 2 - (z - height), shape.depth / 2 + (z - height)
        free = wall == "wall" or any(free_edges(shape.section(SIDES[rail.side]), wall))
        flange = min(up - walls.get("top", 0.0), down - walls.get("bottom", 0.0)) - r
        rows.append((min(x - rail.start, rail.end - x), min(up, down) if free else inf, inf if free else flange))
    return Distances(*np.array(rows).T)


def pattern_rules(p: BoltPattern, thickness: float, d: Distances) -> tuple[Broken, ...]:
    """Rules of place that a pattern does not keep to: each rule once, with the worst hole."""
    near, own = min(p.nearest), inf if p.edge is None else p.edge
    thinner = thickness if p.plate is None else min(thickness, p.plate)
    found = list(spacing_rules(p.hole, end=float(d.end.min()), edge=min(float(d.edge.min()), own), pitch=near,
                               gauge=near))  # fmt: skip
    most = spacing_rules(p.hole, edge=own, pitch=near, thinner=thinner)
    hole = RailHole(diameter=p.hole, to_flange=float(d.flange.min()), to_hole=near - p.hole, in_row=p.in_row)
    return tuple(dict.fromkeys([*found, *(b for b in most if b.rule.bound == "at most"), *hole_rules(hole)]))
