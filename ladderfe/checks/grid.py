"""Where to read wall thicknesses on a chassis: stations, walls, how many readings, and where few will do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from math import ceil
from typing import Final

import numpy as np

from ladderfe.chassis import Chassis, Rail, Side
from ladderfe.checks.findings import Findings
from ladderfe.checks.utilisation import tables
from ladderfe.condition import Feature, features, walls_at
from ladderfe.sections.thinned import ALL_ROUND

Uses = dict[str, list[tuple[float, float, dict[str, float], float]]]

__all__ = ["LIGHT", "SPACING", "TOGETHER", "Grid", "GridPlace", "GridStation", "alike", "hardest_of", "reading_grid"]

#: Stations of the grid lie no further apart than this, mm; common practice is 150 to 250 mm.
SPACING: Final = 200.0
#: Below this share of its limit in every case a wall works lightly.
LIGHT: Final = 0.25
#: Readings where a wall governs: the smallest of few flatters.
THREE: Final = 3
#: Features this near to each other, mm, are read at one station.
TOGETHER: Final = 50.0
#: Rust sits low: the bottom wall is read three times where it works as hard as the hardest one within this share.
AS_HARD: Final = 0.05
#: Walls in the order in which they are read, once round the rail, the same on both rails; others follow.
WALK: Final = ("outer", "web", "top", "inner", "bottom")
#: A section that ends at a step is read this far in front of it, mm, where nothing else is near.
BEFORE: Final = 10.0
#: What stands no further than this from a station, mm, stands on it.
ON: Final = 1.0
#: Kinds of feature that get a station of their own.
KINDS: Final = ("hanger", "outrigger", "crossmember", "mount", "bend", "step", "end")


@dataclass(frozen=True, slots=True)
class GridPlace:
    """A wall to read at a station: mm as built, its greatest utilisation of all cases there, how many readings."""

    wall: str
    nominal: float
    use: float
    count: int


@dataclass(frozen=True, slots=True)
class GridStation:
    """A station of a rail, what is there, and its walls in the order in which one walks round the rail; `light`: all
    walls work lightly and nothing is mounted, so that one reading will do.  peak: where near it the greatest of what
    its walls are told is, mm; a member tells it for all of its length."""

    side: Side
    station: float
    features: tuple[Feature, ...]
    places: tuple[GridPlace, ...]
    light: bool
    peak: float

    @property
    def readings(self) -> int:
        """How many readings are asked for."""
        return sum(p.count for p in self.places)

    @property
    def at(self) -> str:
        """What is there, in words; "" between places.  What stands a little off the station is told with its own."""
        words = {"bend": "bend of the rail", "step": "step of the section"}
        names = [words.get(f.kind, _called(f)) + self._off(f) for f in self.features]
        return ", ".join(dict.fromkeys(names))

    @property
    def off(self) -> bool:
        """Whether anything that is read here stands off the station."""
        return any(self._off(f) for f in self.features)

    def _off(self, f: Feature) -> str:
        return f" (at {f.station:.0f})" if abs(f.station - self.station) > ON else ""


@dataclass(frozen=True, slots=True)
class Grid:
    """All stations, left rail first, from front to rear; spacing in mm, light as a share of the limit; whole: of how
    many stations these are the hardest worked ones, 0 where they are all."""

    stations: tuple[GridStation, ...]
    spacing: float
    light: float
    whole: int = 0

    @property
    def readings(self) -> int:
        """How many readings are asked for."""
        return sum(s.readings for s in self.stations)

    def of(self, side: str) -> tuple[GridStation, ...]:
        """Stations of one rail."""
        return tuple(s for s in self.stations if s.side == side)

    @property
    def spared(self) -> tuple[GridStation, ...]:
        """Stations where few readings will do."""
        return tuple(s for s in self.stations if s.light)


def reading_grid(findings: Findings, spacing: float = SPACING, light: float = LIGHT) -> Grid:
    """The grid for a chassis that was checked.

    Stations lie where something is mounted or joined, where the rail bends or its section steps (there both sections
    are read), and between these no more than `spacing` (mm) apart.  Every wall is read once, the one that works hardest
    at its station three times.  Where all walls stay below `light` of their limits in all cases and nothing is mounted,
    the hardest one is read once and the others are left out.
    """
    uses = _uses(findings)
    out = [
        _station(findings.chassis, rail, station, there, (uses, spacing, light))
        for rail in findings.chassis.rails
        for station, there in _stations(findings.chassis, rail, spacing)
    ]
    return Grid(tuple(out), spacing, light)


def alike(stations: Sequence[GridStation]) -> list[list[GridStation]]:
    """Neighbouring stations of a rail together where the same walls are read as often and work alike hard (to 1 %)."""
    return [list(run) for _, run in groupby(stations, key=_alike)]


def _alike(s: GridStation) -> tuple[object, ...]:
    return s.side, tuple((p.wall, p.count) for p in s.places), round(max(p.use for p in s.places), 2)


def hardest_of(grid: Grid, most: int) -> Grid:
    """The `most` stations at which a reading tells most: one of every stretch that works alike before a second one, the
    hardest first, and there the one nearest to where it works so hard, of two alike near one at which something is
    mounted."""
    turns: list[tuple[int, float, int]] = []
    number = {(s.side, s.station): k for k, s in enumerate(grid.stations)}
    for run in alike(grid.stations):
        order = sorted(run, key=_off_peak)
        turns += [(k, -max(p.use for p in s.places), number[s.side, s.station]) for k, s in enumerate(order)]
    kept = sorted(k for _, _, k in sorted(turns)[:most])
    if len(kept) == len(grid.stations):
        return grid
    return replace(grid, stations=tuple(grid.stations[k] for k in kept), whole=len(grid.stations))


def _off_peak(s: GridStation) -> tuple[float, bool, float]:
    """Mm from where its greatest use is, whether nothing is mounted, and where it is: the least is looked at first."""
    return round(abs(s.station - s.peak)), not any(f.held for f in s.features), s.station


def _called(f: Feature) -> str:
    if f.kind == "end":
        return f"{f.name} end"
    return f.name if f.kind in f.name or f.kind in ("mount", "hanger") else f"{f.kind} {f.name}"


def _steps(rail: Rail) -> list[float]:
    """Where one section ends and another begins; where a taper begins or ends the section runs on."""
    return [b.start for a, b in pairwise(rail.spans) if (a.shape_end or a.shape) != b.shape]


def _groups(chassis: Chassis, rail: Rail) -> list[list[Feature]]:
    """What is read at one station together, never on both sides of a step; in front of a step there is always one."""
    groups: list[list[Feature]] = []
    steps, begun = _steps(rail), list[float]()
    for f in features(chassis, rail):
        if f.kind not in KINDS:
            continue
        passed = [x for x in steps if x <= f.station + ON]
        if groups and passed == begun and f.station - groups[-1][0].station <= TOGETHER:
            groups[-1].append(f)
        else:
            groups.append([f])
        begun = passed
    return groups


def _whole(rail: Rail, station: float) -> float:
    """A station in whole mm, not in front of a step that it is behind."""
    behind = [x for x in _steps(rail) if x <= station + ON]
    return float(ceil(behind[-1]) if behind and round(station) < behind[-1] else round(station))


def _in_front(rail: Rail, own: list[tuple[float, tuple[Feature, ...]]]) -> list[tuple[float, tuple[Feature, ...]]]:
    """Stations just in front of steps, where the section that ends there is not read near it anyhow."""
    out = list[tuple[float, tuple[Feature, ...]]]()
    for x in _steps(rail):
        if not any(x - TOGETHER <= station < x for station, _ in own):
            out.append((float(round(x - BEFORE)), (Feature(x, "step", ""),)))
    return out


def _stations(chassis: Chassis, rail: Rail, spacing: float) -> list[tuple[float, tuple[Feature, ...]]]:
    groups = _groups(chassis, rail)
    own = [(min(max(_whole(rail, g[0].station), rail.start), rail.end), tuple(g)) for g in groups]
    own = sorted([*own, *_in_front(rail, own)], key=lambda g: g[0])
    out = own[:1]
    for before, after in pairwise(own):
        steps = ceil((after[0] - before[0]) / spacing)
        between = np.linspace(before[0], after[0], steps + 1)[1:-1]
        out += [(float(round(x)), ()) for x in between]
        out.append(after)
    return out


def _station(
    chassis: Chassis,
    rail: Rail,
    station: float,
    there: tuple[Feature, ...],
    by: tuple[Uses, float, float],
) -> GridStation:
    uses, spacing, light = by
    walls = walls_at(rail, station)
    first = max((x for x in _steps(rail) if x <= station + ON), default=rail.start)
    last = min((x for x in _steps(rail) if x > station + ON), default=rail.end)
    start, end = max(station - spacing / 2, first), min(station + spacing / 2, last)
    members = [own for own in uses[rail.side] if own[0] <= end and own[1] >= start and _within(own, first, last)]
    near = [u for _, _, u, _ in members]
    use = {w: max(u for own in near for name, u in own.items() if w == ALL_ROUND or name.startswith(w)) for w in walls}
    hardest = max(use, key=lambda w: use[w])
    if use.get("bottom", 0.0) >= (1 - AS_HARD) * use[hardest]:
        hardest = "bottom"
    spare = max(use.values()) < light and not any(f.held for f in there)
    order = sorted(walls, key=lambda w: WALK.index(w) if w in WALK else len(WALK))
    places = [
        GridPlace(w, walls[w], use[w], 1 if w != hardest or use[w] < light else THREE)
        for w in order
        if w == hardest or not spare
    ]
    peak = max(members, key=lambda own: (max(own[2].values()), -abs(own[3] - station)))[3]
    return GridStation(rail.side, float(station), there, tuple(places), spare, peak)


def _within(member: tuple[float, float, dict[str, float], float], first: float, last: float) -> bool:
    """Whether the middle of a member is between two steps."""
    return first <= (member[0] + member[1]) / 2 <= last


def _uses(findings: Findings) -> Uses:
    """Side -> from where to where each member of that rail runs, the greatest utilisation of its walls, and where in it
    the greatest of these is.

    Sections looked at are the members' ends and turning points, so that nothing between is greater.
    """
    mesh, rows, s = findings.solution.mesh, findings.rows, findings.stresses
    found: dict[int, dict[str, float]] = {}
    peak: dict[int, tuple[float, float]] = {}
    for _, stress, walls, limit in tables(s, findings.chassis.criteria):
        most = np.abs(stress[:, :, 1:]).max(axis=2) / limit
        for r, member in enumerate(rows.member.tolist()):
            best = found.setdefault(member, {})
            here = (float(most[r].max()), float(rows.along[r]))
            peak[member] = max(peak.get(member, here), here, key=lambda p: p[0])
            for p, wall in enumerate(walls[int(s.section[r])]):
                best[wall] = max(best.get(wall, 0.0), float(most[r, p]))
    rails = [p for p in mesh.parts if p.kind == "rail"]
    return {p.side: [(*mesh.along[m].tolist(), found[m], peak[m][1]) for m in p.members if m in found] for p in rails}
