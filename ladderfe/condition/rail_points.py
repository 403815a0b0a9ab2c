"""Points on the rails as built: their names, where they lie, and the point that faces one on the other rail."""

from __future__ import annotations

from math import dist
from typing import Final

import numpy as np

from ladderfe.chassis import Chassis, Rail, Side
from ladderfe.chassis.faults import WALL_ALIKE, closest, listed
from ladderfe.condition.alignment_types import RailPoint
from ladderfe.condition.measures import station_of
from ladderfe.condition.rails import SAME, rail_of, shape_at
from ladderfe.errors import LadderFEError
from ladderfe.units import UnitError

__all__ = ["FACES", "PointError", "distance_as_built", "facing", "place_of", "point_named"]

FACES: Final = ("top", "bottom", "inner", "outer")
SIDES: Final[dict[str, Side]] = {"left": "left", "right": "right", "l": "left", "r": "right"}


class PointError(LadderFEError):
    """A name that is no point of the rails: the rule that it breaks and a hint."""

    def __init__(self, rule: str, hint: str) -> None:
        super().__init__(rule, hint)
        self.rule, self.hint = rule, hint


def point_named(text: str, chassis: Chassis) -> RailPoint:
    """The point that a cell such as "left 250" or "Right 1110,5 bottom" names; PointError where there is none."""
    words = text.casefold().replace("_", " ").split()
    if not words:
        raise PointError("is missing", 'Write side and station, as in "left 250"')
    if words[0] not in SIDES:
        meant = closest(words[0], ("left", "right"))
        hint = f'Did you mean "{meant}"? Otherwise write' if meant else "Write"
        raise PointError("must begin with left or right", f'{hint} side and station, as in "left 250"')
    face = words.pop() if words[-1].isalpha() and words[-1] != "mm" and len(words) > 1 else ""
    if face in ("middle", "rail"):
        face = ""
    if face and face not in FACES:
        meant = closest(face, FACES, WALL_ALIKE)
        hint = f'Did you mean "{meant}"? Otherwise leave the face out' if meant else "Leave the face out for the middle"
        raise PointError(f"may end in a face of the rail: {listed(FACES)}", hint)
    return RailPoint(SIDES[words[0]], _station(" ".join(words[1:]), rail_of(chassis, SIDES[words[0]])), face)


def _station(text: str, rail: Rail) -> float:
    if not text:
        raise PointError("has no station", f'Write mm from the datum, as in "{rail.side} 250"')
    try:
        station = station_of(text)
    except UnitError as error:
        raise PointError(f"its station {error.rule}", error.hint) from None
    if not rail.start - SAME <= station <= rail.end + SAME:
        rule = f"lies off the {rail.name}, which reaches from {rail.start:g} to {rail.end:g} mm"
        raise PointError(rule, "Measure it from the same datum as the stations of the chassis file")
    return min(max(station, rail.start), rail.end)


def place_of(chassis: Chassis, point: RailPoint) -> tuple[float, float, float]:
    """x, y, z of a point as built, mm."""
    rail = rail_of(chassis, point.side)
    x, half, height = zip(*((p.station, p.half_spacing, p.height) for p in rail.path), strict=True)
    y, z = float(np.interp(point.station, x, half)), float(np.interp(point.station, x, height))
    shape = shape_at(rail, point.station)
    wide, deep = shape.width, shape.depth
    y += {"inner": -wide / 2, "outer": wide / 2}.get(point.face, 0.0)
    z += {"top": deep / 2, "bottom": -deep / 2}.get(point.face, 0.0)
    return point.station, rail.sign * y, z


def distance_as_built(chassis: Chassis, first: RailPoint, second: RailPoint) -> float:
    """The straight distance between two points as built, mm."""
    return dist(place_of(chassis, first), place_of(chassis, second))


def facing(chassis: Chassis, point: RailPoint) -> RailPoint:
    """The point of the other rail that belongs to one: at the other end of a crossmember that slants or of rails of
    uneven length, else at the same station."""
    other: Side = "right" if point.side == "left" else "left"
    own, far = rail_of(chassis, point.side), rail_of(chassis, other)
    pairs = [(c.station_left, c.station_right) for c in chassis.crossmembers]
    ends = [(p if point.side == "left" else p[::-1]) for p in pairs] + [(own.start, far.start), (own.end, far.end)]
    there = next((b for a, b in ends if abs(a - point.station) <= SAME and abs(b - a) > SAME), point.station)
    return RailPoint(other, min(max(there, far.start), far.end), point.face)
