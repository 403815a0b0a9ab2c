"""From a run of legs that meet at right angles to walls: plates that tile the outline, corners rounded or sharp."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, pi, sin

from ladderfe.sections.walls import Fillet, Point, Wall

__all__ = ["Leg", "walls_of_run"]

STEP = pi / 8  # four chords to a quarter turn, two to each of the walls that meet there
# Inner vertices of the four chords stand this factor outside the mid-line's arc, so that the chords enclose the same
# area as the arc: root of s (f + f^2) = pi/4 with s = sin(pi/8).
OUT = (-1 + (1 + pi / sin(STEP)) ** 0.5) / 2
SPANDREL = 1 - pi / 4  # square on the radius less the quarter circle, in units of radius^2
SPANDREL_CENTRE = (5 / 6 - pi / 4) / SPANDREL  # its centroid from either face, in units of the radius


@dataclass(frozen=True)
class Leg:
    """One straight leg: its wall's name and thickness; where two legs meet the higher `rank` runs through."""

    name: str
    thickness: float
    rank: int = 0


def _unit(start: Point, end: Point) -> Point:
    length = hypot(end[0] - start[0], end[1] - start[1])
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def _along(point: Point, direction: Point, distance: float) -> Point:
    return point[0] + distance * direction[0], point[1] + distance * direction[1]


def walls_of_run(corners: list[Point], legs: list[Leg], radius: float) -> tuple[list[Wall], list[Fillet]]:
    """Walls and small areas of a run of legs; closed when the last corner is the first one again.

    `corners` are where the mid-lines meet (one more than legs); `radius` is the outside radius of every bend.  A bend
    tighter than its walls keeps the sharp mid-line and loses the spandrel outside the radius as a negative small area.
    """
    closed = corners[0] == corners[-1]
    count = len(legs)
    ways = [_unit(corners[i], corners[i + 1]) for i in range(count)]
    trims = [[0.0, 0.0] for _ in legs]  # growth of the plate, or minus the shortening of the mid-line, at both ends
    cuts = [[0.0, 0.0] for _ in legs]
    bends: list[list[Wall]] = [[] for _ in legs]
    fillets: list[Fillet] = []
    for i in range(count if closed else count - 1):
        j = (i + 1) % count
        here, then = legs[i], legs[j]
        if radius > max(here.thickness, then.thickness):
            cuts[i][1], cuts[j][0] = radius - then.thickness / 2, radius - here.thickness / 2
            bends[i] = _bend(corners[i + 1], ways[i], ways[j], (here, then), radius)
            continue
        through = 1 if here.rank > then.rank else -1
        trims[i][1], trims[j][0] = through * then.thickness / 2, -through * here.thickness / 2
        if radius > 0:
            fillets.append(_spandrel(corners[i + 1], ways[i], ways[j], (here, then), radius))
    walls: list[Wall] = []
    for i, leg in enumerate(legs):
        start, end = _along(corners[i], ways[i], cuts[i][0]), _along(corners[i + 1], ways[i], -cuts[i][1])
        if (end[0] - start[0]) * ways[i][0] + (end[1] - start[1]) * ways[i][1] > 1e-9:
            walls.append(Wall(leg.name, start, end, leg.thickness, *trims[i]))
        walls.extend(bends[i])
    return walls, fillets


def _bend(corner: Point, way: Point, onward: Point, legs: tuple[Leg, Leg], radius: float) -> list[Wall]:
    """Four chords from the end of one leg to the start of the next; the first two belong to the first leg.

    The plates' growth and lean give each chord the area and centroid of its arc.  What is left of the mid-line's length
    is 0.7 % of the bends' (J 0.1 % low where bends are a sixth of the perimeter).
    """
    here, then = legs
    mean = (radius - here.thickness / 2, radius - then.thickness / 2)
    centre = _along(_along(corner, way, -mean[1]), onward, mean[0])
    radii = (mean[0], OUT * mean[0], OUT * (mean[0] + mean[1]) / 2, OUT * mean[1], mean[1])
    # seen from the centre the bend turns from -onward (outside of the first leg) to +way (outside of the second)
    places = [_along(_along(centre, onward, -r * cos(i * STEP)), way, r * sin(i * STEP)) for i, r in enumerate(radii)]
    left_turn = way[0] * onward[1] - way[1] * onward[0] > 0
    chords = []
    for i in range(4):
        leg, arc = (here, mean[0]) if i < 2 else (then, mean[1])
        start, end = places[i], places[i + 1]
        half = hypot((start[0] + end[0]) / 2 - centre[0], (start[1] + end[1]) / 2 - centre[1])
        grow = (arc * STEP - hypot(end[0] - start[0], end[1] - start[1])) / 2
        to_left = -1 if left_turn else 1
        lean = to_left * (_area_radius(arc, leg.thickness) - half)
        chords.append(Wall(leg.name, start, end, leg.thickness, grow, grow, bulge=to_left * (arc - half), lean=lean))
    return chords


def _area_radius(mean: float, thickness: float) -> float:
    """Distance of the area centre of one chord's arc, a ring sector of angle STEP, from the centre of the bend."""
    return sin(STEP / 2) / (STEP / 2) * (mean + thickness**2 / 12 / mean)


def _spandrel(corner: Point, way: Point, onward: Point, legs: tuple[Leg, Leg], radius: float) -> Fillet:
    """The area that rounding takes off a sharp corner, negative, at its centroid."""
    here, then = legs
    depth = SPANDREL_CENTRE * radius
    place = _along(_along(corner, way, then.thickness / 2 - depth), onward, depth - here.thickness / 2)
    return Fillet(*place, -SPANDREL * radius**2)
