"""Readings at one place of a wall: what they say of its thickness, how far they speak for it, and what is doubtful."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import sqrt
from statistics import fmean, median, stdev
from typing import Final

from ladderfe.chassis import Chassis, Rail, Side
from ladderfe.condition.rails import SAME, Zone, rail_of, walls_at, zones_of
from ladderfe.condition.types import BOUND, Options, Reading, Readings

__all__ = ["ENOUGH", "ReadPlace", "k_factor", "read_places"]

#: Fewer readings than this have no lower bound.
ENOUGH: Final = 3
#: A reading above this many times the wall as built is doubtful; every one above it counts as the wall as built.
ABOVE: Final = 1.1
#: Times its neighbours between which a reading may be a double echo.
DOUBLE: Final = (1.8, 2.2)
#: Thinner walls than this, mm, are not read by usual probes with two crystals; common practice, no source.
THIN: Final = 1.0
#: A lower bound is not taken below this, mm: the thinnest wall that a chassis file takes.
FLOOR: Final = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadPlace:
    """n readings at one place of a wall, mm.

    It speaks for the wall from `start` to `end`.  values: as read, in the order of the file; mean and least: of what
    they count as, no more than `nominal`, the wall as built; bound: mean - k s, None where there are fewer than three;
    used: the thickness by which strength is judged, never more than the smallest reading.  doubts: in words; lines: of
    the file.
    """

    side: Side
    wall: str
    station: float
    start: float
    end: float
    nominal: float
    values: tuple[float, ...]
    mean: float
    least: float
    bound: float | None
    used: float
    doubts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    lines: tuple[int, ...] = ()

    @property
    def name(self) -> str:
        """Where it is, in words."""
        return f"{self.side} rail, {self.wall} at {self.station:g} mm"


def k_factor(n: int) -> float:
    """K of the lower bound mean - k s that 5 % of further readings stay below, from n readings of unknown scatter.

    EN 1990 Annex D, "V_X unknown": t_0.95(n - 1) sqrt(1 + 1/n).
    """
    from scipy.special import stdtrit

    return float(stdtrit(n - 1, 0.95)) * sqrt(1 + 1 / n)


def read_places(chassis: Chassis, readings: Readings, options: Options | None = None) -> tuple[ReadPlace, ...]:
    """All places with readings, left rail first, then wall by wall, from front to rear.

    A place reaches half-way to its neighbours on the same wall, `options.reach` at most, and ends where the section
    steps.
    """
    options = options or Options()
    order = {w: k for k, w in enumerate(dict.fromkeys(r.wall for r in readings.readings))}
    by_wall = sorted(readings.readings, key=lambda r: (r.side, order[r.wall], r.station, r.line))
    out: list[ReadPlace] = []
    for (side, wall), rows in groupby(by_wall, key=lambda r: (r.side, r.wall)):
        rail = rail_of(chassis, side)
        zones = zones_of(rail, wall)
        for zone, own in groupby(rows, key=lambda r: _zone(zones, r.station)):
            out += _of_zone(rail, zone, _grouped(own, max(options.pool, SAME)), options)
    return tuple(out)


def _zone(zones: Sequence[Zone], station: float) -> Zone:
    """The stretch of wall that holds a station, at a step the one that begins there."""
    return next((z for z in reversed(zones) if z.start <= station + 0.1), zones[0])


def _grouped(rows: Iterable[Reading], length: float) -> list[list[Reading]]:
    """Readings of one wall, sorted, in groups no longer than `length`."""
    groups: list[list[Reading]] = []
    for r in rows:
        if groups and r.station - groups[-1][0].station <= length:
            groups[-1].append(r)
        else:
            groups.append([r])
    return groups


def _none_next_to_nothing(zone: Zone, groups: list[list[Reading]]) -> list[list[Reading]]:
    """Groups of which none is left less than `SAME` between its neighbour and the zone's end: the rail is not cut so
    near to that, and what was read there would be lost.  Such readings go with their neighbours."""
    while len(groups) > 1 and (groups[0][-1].station + groups[1][0].station) / 2 - zone.start <= SAME:
        groups = [groups[0] + groups[1], *groups[2:]]
    while len(groups) > 1 and zone.end - (groups[-2][-1].station + groups[-1][0].station) / 2 <= SAME:
        groups = [*groups[:-2], groups[-2] + groups[-1]]
    return groups


def _of_zone(rail: Rail, zone: Zone, groups: list[list[Reading]], options: Options) -> list[ReadPlace]:
    out, groups = [], _none_next_to_nothing(zone, groups)
    for k, group in enumerate(groups):
        first, last = group[0].station, group[-1].station
        start, end = max(zone.start, first - options.reach), min(zone.end, last + options.reach)
        if k:
            start = max(start, (groups[k - 1][-1].station + first) / 2)
        if k + 1 < len(groups):
            end = min(end, (last + groups[k + 1][0].station) / 2)
        beside = [r.value for g in groups[max(k - 1, 0) : k + 2] if g is not group for r in g]
        out.append(_place(rail, group, (start, end), beside, options))
    return out


def _place(
    rail: Rail, group: list[Reading], reach: tuple[float, float], beside: list[float], options: Options
) -> ReadPlace:
    first = group[0]
    station = (first.station + group[-1].station) / 2
    nominal = walls_at(rail, station)[first.wall]
    rows = sorted(group, key=lambda r: r.line)
    values = [r.value for r in rows]
    counted = [min(v, nominal) for v in values]
    mean, least, bound = fmean(counted), min(counted), None
    doubts = _doubts(values, [r.line for r in rows], nominal, beside)
    if len(values) >= ENOUGH:
        bound = mean - k_factor(len(values)) * stdev(counted)
    used = least
    if options.strength == BOUND:
        if bound is None:
            doubts.append(f"fewer than {ENOUGH} readings have no lower bound: the smallest is used")
        elif bound < FLOOR:
            doubts.append(f"they scatter so much that mean - k s is {bound:.2f} mm: {FLOOR:g} mm is used")
        used = least if bound is None else min(max(bound, FLOOR), least)
    return ReadPlace(
        side=first.side, wall=first.wall, station=station, start=reach[0], end=reach[1], nominal=nominal,
        values=tuple(values), mean=mean, least=least, bound=bound, used=used, doubts=tuple(doubts),
        notes=tuple(dict.fromkeys(r.note for r in rows if r.note)), lines=tuple(r.line for r in rows),
    )  # fmt: skip


def _doubts(values: list[float], lines: list[int], nominal: float, beside: list[float]) -> list[str]:
    """What is doubtful about readings, in words with their line; `beside` are those of the places next to them."""
    out: list[str] = []
    for k, v in enumerate(values):
        others, line = values[:k] + values[k + 1 :], f" (line {lines[k]})" if lines[k] else ""
        others = others if len(others) > 1 else others + beside
        if others and DOUBLE[0] <= v / median(others) <= DOUBLE[1]:
            out.append(f"{v:g} mm is about twice what was read beside it: a double echo?{line}")
        if v > ABOVE * nominal:
            out.append(f"{v:g} mm is more than the {nominal:g} mm as built and counts as {nominal:g} mm{line}")
        if v < THIN:
            out.append(f"{v:g} mm: usual probes do not read less than {THIN:g} mm{line}")
    return list(dict.fromkeys(out))
