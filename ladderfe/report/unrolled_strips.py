"""Readings -> the walls of both rails laid flat: what is known of each, station by station, and what it is used to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.checks.by_wall import by_wall
from ladderfe.checks.envelope import envelope
from ladderfe.checks.utilisation import tables
from ladderfe.condition import Found, Hole, ReadPlace, Stretch, Suspect
from ladderfe.condition.places import ENOUGH
from ladderfe.condition.types import BOUND
from ladderfe.report.colours import BAND_EDGES

__all__ = ["Cell", "Peak", "Run", "Strip", "band_of", "doubtful", "number_of", "strips_of", "used_strips"]

Array = NDArray[np.float64]

#: Walls in the order in which they are laid flat: round the rail, as far as it has them.
ORDER: Final = ("top", "inner", "web", "bottom", "outer", "plate", "wall")
OPPOSITE: Final = {"top": "bottom", "bottom": "top", "inner": "outer", "outer": "inner"}
#: Stations this near, mm, are one.
SAME: Final = 0.5


@dataclass(frozen=True, slots=True)
class Cell:
    """A stretch of one wall, mm, with what it counts as: one place of readings, or assumed where that is None.
    thickness: by which strength is judged, at its front end; share: of the wall as built."""

    start: float
    end: float
    thickness: float
    share: float
    place: ReadPlace | None


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of one wall, mm, whose utilisation stays in one band, by its number in `BANDS`."""

    start: float
    end: float
    band: int


@dataclass(frozen=True, slots=True)
class Peak:
    """The greatest utilisation of a bay of one wall, a ratio, and its station."""

    station: float
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One wall of a rail laid flat.

    nominal: its least and greatest thickness as built, mm; there: stretches along which the rail has that wall;
    runs and peaks: its utilisation over all cases, empty where that was not asked for.
    """

    side: str
    wall: str
    nominal: tuple[float, float]
    there: tuple[tuple[float, float], ...]
    cells: tuple[Cell, ...]
    holes: tuple[Hole, ...]
    suspects: tuple[Suspect, ...]
    runs: tuple[Run, ...] = ()
    peaks: tuple[Peak, ...] = ()


def doubtful(place: ReadPlace) -> bool:
    """Whether a reading of the place is to be looked at again; that there are few is no doubt."""
    return any(not d.startswith(f"fewer than {ENOUGH} readings") for d in place.doubts)


def number_of(place: ReadPlace, strength: str) -> str:
    """The number that stands for a place: its smallest reading, or the lower bound, to a tenth of a mm."""
    value = place.used if strength == BOUND else min(place.values)
    return f"{value:.1f}" + ("?" if doubtful(place) else "")


def strips_of(found: Found) -> tuple[Strip, ...]:
    """All walls of the left rail, then of the right one, in the order in which they are laid flat."""
    return tuple(_strip(found, side, wall) for side in ("left", "right") for wall in _walls(found, side))


def _walls(found: Found, side: str) -> list[str]:
    names = dict.fromkeys(w.wall for s in found.stretches_of(side) for w in s.walls)
    return sorted(names, key=lambda n: ORDER.index(n) if n in ORDER else len(ORDER))


def _strip(found: Found, side: str, wall: str) -> Strip:
    own = [(s, w) for s in found.stretches_of(side) for w in s.walls if w.wall == wall]
    there: list[tuple[float, float]] = []
    cells: list[Cell] = []
    for s, w in own:
        runs_on = bool(there) and there[-1][1] == s.start
        there[-1:] = [(there[-1][0], s.end)] if runs_on else [*there[-1:], (s.start, s.end)]
        if w.basis == "hole":
            continue
        place = None if w.place is None else found.places[w.place]
        last = cells[-1] if cells and cells[-1].end == s.start else None
        if last and last.place is place and (place or last.thickness == w.least):
            cells[-1] = replace(last, end=s.end)
        else:
            cells.append(Cell(s.start, s.end, w.least, w.least / w.nominal, place))
    return Strip(
        side=side,
        wall=wall,
        nominal=(min(w.nominal for _, w in own), max(w.nominal for _, w in own)),
        there=tuple(there),
        cells=tuple(cells),
        holes=tuple(h for h in found.holes if (h.side, h.wall) == (side, wall)),
        suspects=tuple(s for s in found.suspects if (s.side, s.wall) == (side, wall)),
    )


def used_strips(found: Found, findings: Findings) -> tuple[Strip, ...]:
    """The same with the greatest utilisation of all cases and criteria along every wall, of the chassis as found."""
    runs, peaks = _runs(found, findings), _peaks(found, findings)
    return tuple(
        replace(s, runs=runs.get((s.side, s.wall), ()), peaks=peaks.get((s.side, s.wall), ())) for s in strips_of(found)
    )


def band_of(ratio: float) -> int:
    """Number of the band of a utilisation; 100 % itself is not over it."""
    return max(0, min(int(np.searchsorted(BAND_EDGES, ratio)) - 1, len(BAND_EDGES) - 2))


def _built_name(stretch: Stretch, name: str) -> str:
    """The wall as built, "" for none, that a wall of what is left of the section is or belongs to."""
    built = [w.wall for w in stretch.walls]
    own = name.removesuffix(" lip")
    if own in built:
        return own
    if len(built) == 1:
        return built[0]
    if "web" in built:  # of a channel that lost a flange
        return "web"
    gone = [w.wall for w in stretch.walls if w.basis == "hole" and w.wall in OPPOSITE]
    return OPPOSITE[gone[0]] if name == "web" and gone else ""


def _stretches(found: Found, side: str, stations: Array) -> list[Stretch]:
    """The stretch that holds each station."""
    own = found.stretches_of(side)
    at = np.searchsorted([s.end for s in own[:-1]], stations)
    return [own[k] for k in at.tolist()]


def _along_walls(found: Found, findings: Findings) -> dict[tuple[str, str], list[tuple[int, float, float]]]:
    """(side, wall) -> member, station and greatest utilisation at every section looked at, in order."""
    mesh, rows, s = findings.solution.mesh, findings.rows, findings.stresses
    part = mesh.part_of()[rows.member]
    middle = mesh.along.mean(axis=1)[rows.member]
    stretch: dict[int, Stretch] = {}
    for k, p in enumerate(mesh.parts):
        if p.kind == "rail":
            mine = np.flatnonzero(part == k)
            stretch |= dict(zip(mine.tolist(), _stretches(found, p.side, middle[mine]), strict=True))
    most: dict[tuple[int, str], float] = {}
    for _, stress, walls, limit in tables(s, findings.chassis.criteria):
        groups = by_wall(s.section, walls, np.arange(len(rows.member)))
        top = np.maximum.reduceat(groups.sizes(stress[:, :, 1:]).max(axis=1), groups.start) / limit
        for row, name, ratio in zip(groups.owner.tolist(), groups.wall, top.tolist(), strict=True):
            if row in stretch and (wall := _built_name(stretch[row], name)):
                most[row, wall] = max(most.get((row, wall), 0.0), ratio)
    out: dict[tuple[str, str], list[tuple[int, float, float]]] = {}
    for (row, wall), ratio in sorted(most.items(), key=lambda item: item[0][0]):
        place = int(rows.member[row]), float(rows.along[row]), ratio
        out.setdefault((stretch[row].side, wall), []).append(place)
    return out


def _runs(found: Found, findings: Findings) -> dict[tuple[str, str], tuple[Run, ...]]:
    """Between sections of one member utilisation is taken to run evenly; where a band ends in between, so does the
    run."""
    out: dict[tuple[str, str], tuple[Run, ...]] = {}
    for key, sections in _along_walls(found, findings).items():
        runs: list[Run] = []
        for (m, a, u), (n, b, v) in pairwise(sections):
            if m == n and b > a:
                for run in _between(a, b, u, v):
                    joins = bool(runs) and runs[-1].band == run.band and abs(runs[-1].end - run.start) < SAME
                    runs[-1:] = [replace(runs[-1], end=run.end)] if joins else [*runs[-1:], run]
        out[key] = tuple(runs)
    return out


def _between(a: float, b: float, u: float, v: float) -> list[Run]:
    """Runs from station a to b, along which utilisation goes from u to v."""
    cuts = sorted((e - u) / (v - u) for e in BAND_EDGES if min(u, v) < e < max(u, v))
    return [
        Run(a + s * (b - a), a + t * (b - a), band_of(u + (s + t) / 2 * (v - u)))
        for s, t in pairwise([0.0, *cuts, 1.0])
    ]


def _peaks(found: Found, findings: Findings) -> Mapping[tuple[str, str], tuple[Peak, ...]]:
    """The greatest of every bay, as the page tells them."""
    out: dict[tuple[str, str], dict[float, Peak]] = {}
    for row in envelope(findings.chassis, findings.solution, findings.rows, findings.stresses):
        if row.use.kind == "rail":
            stretch = _stretches(found, row.use.side, np.array([row.use.along]))[0]
            wall = _built_name(stretch, row.use.wall)
            own = out.setdefault((row.use.side, wall), {})
            if wall and row.use.ratio > own.get(row.start, Peak(0.0, -1.0)).ratio:
                own[row.start] = Peak(row.use.along, row.use.ratio)
    return {key: tuple(own.values()) for key, own in out.items()}
