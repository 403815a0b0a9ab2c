"""Which distances, diagonals and heights tell whether a frame is straight, and what they were as built."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from ladderfe.chassis import Chassis
from ladderfe.condition.alignment_types import Kind, RailPoint
from ladderfe.condition.rail_points import distance_as_built, place_of

__all__ = ["PointPair", "ToMeasure", "pairs_of", "to_measure"]

#: Stations nearer to each other than this are one place to measure from, mm (judgement: the tape's hook needs room).
APART: Final = 120.0


@dataclass(frozen=True, slots=True)
class PointPair:
    """A point on each rail that face each other, what is there, and how it ranks: 0 ends, 1 springs, 2 crossmembers."""

    left: RailPoint
    right: RailPoint
    what: str
    rank: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ToMeasure:
    """A row to fill in; `expected` in mm: a distance, or a height over the chassis file's zero."""

    kind: Kind
    first: RailPoint
    second: RailPoint | None = None
    expected: float
    what: str


def pairs_of(chassis: Chassis, face: str = "") -> tuple[PointPair, ...]:
    """Points to measure, front to rear: ends of the rails, spring eyes or seats, crossmembers.

    Of stations within 120 mm the one that ranks first stands for all: ends, then springs, then crossmembers.
    """
    kept: list[tuple[float, float, str, int]] = []
    for left, right, what, rank in sorted(_stations(chassis), key=lambda s: s[3]):
        if all(min(abs(left - k[0]), abs(right - k[1])) >= APART for k in kept):
            kept.append((left, right, what, rank))
    return tuple(
        PointPair(RailPoint("left", a, face), RailPoint("right", b, face), what, rank)
        for a, b, what, rank in sorted(kept)
    )


def _stations(chassis: Chassis) -> Iterator[tuple[float, float, str, int]]:
    left, right = chassis.rails if chassis.rails[0].side == "left" else chassis.rails[::-1]
    yield left.start, right.start, "front end", 0
    yield left.end, right.end, "rear end", 0
    for axle in chassis.axles:
        for k, (station, _) in enumerate(axle.seats):
            if max(left.start, right.start) <= station <= min(left.end, right.end):
                yield station, station, axle.seat_words(k), 1
    for c in chassis.crossmembers:
        yield c.station_left, c.station_right, f'crossmember "{c.name}"', 2


def to_measure(chassis: Chassis, face: str = "") -> tuple[ToMeasure, ...]:
    """All rows to fill in: across, along each rail, diagonals bay by bay, long ones, heights."""
    pairs = pairs_of(chassis, face)
    rows = [_distance(chassis, p.left, p.right, f"across, {p.what}") for p in pairs]
    for a, b in pairwise(pairs):
        rows += _bay(chassis, a, b, f"{a.what} to {b.what}")
    for a, b in _long(pairs):
        rows += _bay(chassis, a, b, f"{a.what} to {b.what}, long")
    for p in pairs:
        for point in (p.left, p.right):
            rows.append(ToMeasure(kind="height", first=point, expected=place_of(chassis, point)[2], what=p.what))
    return tuple(rows)


def _bay(chassis: Chassis, a: PointPair, b: PointPair, what: str) -> list[ToMeasure]:
    """Both sides and both diagonals between two pairs."""
    return [
        _distance(chassis, a.left, b.left, f"left side, {what}"),
        _distance(chassis, a.right, b.right, f"right side, {what}"),
        _distance(chassis, a.left, b.right, f"diagonal, {what}"),
        _distance(chassis, a.right, b.left, f"diagonal, {what}"),
    ]


def _long(pairs: tuple[PointPair, ...]) -> Iterator[tuple[PointPair, PointPair]]:
    """End to end, and from the first spring place to the last, where these are no bays."""
    springs = [p for p in pairs if p.rank == 1]
    seen = set(pairwise(pairs))
    for ends in ((pairs[0], pairs[-1]), (springs[0], springs[-1]) if springs else (pairs[0], pairs[-1])):
        if ends[0] is not ends[1] and ends not in seen:
            seen.add(ends)
            yield ends


def _distance(chassis: Chassis, a: RailPoint, b: RailPoint, what: str) -> ToMeasure:
    return ToMeasure(kind="distance", first=a, second=b, expected=distance_as_built(chassis, a, b), what=what)
