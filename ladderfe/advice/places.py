"""Places of which a margin is asked: those of readings, of a grid, or one that was named."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from ladderfe.advice.states import State
from ladderfe.chassis import Chassis, Rail, Side
from ladderfe.condition import Found, ReadPlace, walls_at
from ladderfe.condition.rails import SAME, SIDES, rail_of, span_at
from ladderfe.errors import ModelError
from ladderfe.sections import wall_thickness

__all__ = [
    "ALL",
    "Place",
    "asked_place",
    "grid_cuts",
    "grid_edges",
    "grid_places",
    "places_of",
    "state_of",
    "stretches_of",
]

#: Stands for all walls of a section, as thick as one another.
ALL = "all walls"
#: Greatest distance between places of the grid, mm.
GRID = 400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A wall of a rail, or `ALL` of them, from `start` to `end`, mm.

    nominal: as built, of all walls the thickest; least: the smallest of n readings, of all walls the thinnest that is
    left; None where nobody read.
    """

    side: Side
    wall: str
    station: float
    start: float
    end: float
    nominal: float
    least: float | None = None
    n: int = 0

    @property
    def name(self) -> str:
        """Where it is, in words."""
        return f"{self.side} rail, {self.wall} at {self.station:g} mm"


def places_of(found: Found) -> tuple[Place, ...]:
    """Every place that was read, then all walls of every station that was; along each rail from front to rear."""
    one = [
        Place(
            side=p.side, wall=p.wall, station=p.station, start=p.start, end=p.end, nominal=p.nominal, least=p.used,
            n=len(p.values),
        )
        for p in found.places
    ]  # fmt: skip
    return tuple(sorted(one, key=_order)) + _stations(found)


def _order(p: Place) -> tuple[str, float]:
    return p.side, p.station


def _stations(found: Found) -> tuple[Place, ...]:
    """All walls of every station that was read, as far as its places reach."""
    groups: dict[tuple[Side, float], list[ReadPlace]] = {}
    for p in sorted(found.places, key=lambda p: (p.side, p.station)):
        known = next((k for k in groups if k[0] == p.side and abs(k[1] - p.station) <= SAME), (p.side, p.station))
        groups.setdefault(known, []).append(p)
    out = []
    for (side, station), own in groups.items():
        start, end = min(p.start for p in own), max(p.end for p in own)
        out.append(_all_walls(found, side, station, start, end))
    return tuple(out)


def _all_walls(found: Found, side: Side, station: float, start: float, end: float) -> Place:
    inside = [
        w for k in stretches_between(found, side, start, end) for w in found.stretches[k].walls if w.basis != "hole"
    ]
    read = {w.place for w in inside if w.place is not None}
    return Place(
        side=side, wall=ALL, station=station, start=start, end=end, nominal=max(w.nominal for w in inside),
        least=min(w.least for w in inside) if read else None, n=sum(len(found.places[k].values) for k in read),
    )  # fmt: skip


def grid_cuts(chassis: Chassis) -> list[float]:
    """Stations, mm, between places of the grid: steps of the sections and between them no more than `GRID` apart."""
    return sorted({v for rail in chassis.rails for v in grid_edges(rail)[1:-1]})


def grid_edges(rail: Rail) -> list[float]:
    """Ends of the grid's stretches of one rail, mm."""
    out = [rail.spans[0].start]
    for span in rail.spans:
        n = ceil((span.end - span.start) / GRID - 1e-9)
        out += [span.start + (span.end - span.start) * k / n for k in range(1, n + 1)]
    return out


def grid_places(found: Found) -> tuple[Place, ...]:
    """All walls of every stretch of the grid, one by one and alike, as thick as they were built."""
    one: list[Place] = []
    alike: list[Place] = []
    for rail in found.chassis.rails:
        edges = grid_edges(rail)
        for a, b in pairwise(edges):
            middle = (a + b) / 2
            walls = walls_at(rail_of(found.built, rail.side), middle)
            one += [Place(side=rail.side, wall=w, station=middle, start=a, end=b, nominal=t) for w, t in walls.items()]
            alike.append(_all_walls(found, rail.side, middle, a, b))
    return tuple(one) + tuple(alike)


def asked_place(found: Found, side: Side, wall: str, station: float, reach: float) -> Place:
    """The place that speaks for a wall (or `ALL`) at a station; where nobody read one that reaches `reach` mm to both
    sides.  The rail is to be cut there.  ModelError for a wall that the rail does not have at that station."""
    rail = rail_of(found.built, side)
    walls = walls_at(rail, station)
    if wall != ALL and wall not in walls:
        raise ModelError(
            f"{rail.name} at {station:g} mm", f"it has no wall called {wall!r}", f"Its walls are {', '.join(walls)}"
        )
    known = [p for p in places_of(found) if p.side == side and p.wall == wall and p.start <= station <= p.end]
    if known:
        return min(known, key=lambda p: abs(p.station - station))
    start, end = reach_of(rail, station, reach)
    if wall == ALL:
        return _all_walls(found, side, station, start, end)
    return Place(side=side, wall=wall, station=station, start=start, end=end, nominal=walls[wall])


def reach_of(rail: Rail, station: float, reach: float) -> tuple[float, float]:
    """From where to where a place speaks that nobody read: within its span."""
    span = span_at(rail, station)
    return max(span.start, station - reach), min(span.end, station + reach)


def stretches_between(found: Found, side: str, start: float, end: float) -> list[int]:
    """Numbers of the stretches between two stations."""
    return [
        k for k, s in enumerate(found.stretches) if s.side == side and start - SAME <= s.start and s.end <= end + SAME
    ]


def stretches_of(found: Found, place: Place) -> list[int]:
    """Numbers of the stretches that a place speaks for."""
    return stretches_between(found, place.side, place.start, place.end)


def state_of(found: Found, place: Place, thickness: float) -> State:
    """The state in which the wall of a place is so thick (0: gone) and all else as found.  Holes stay; of all walls
    alike none becomes thicker than it was built at the thinner of its stretch's ends."""
    out: dict[int, dict[str, float]] = {}
    for k in stretches_of(found, place):
        names = [w.wall for w in found.stretches[k].walls if w.basis != "hole" and place.wall in (w.wall, ALL)]
        if names:
            most = _thinner_end(found, k) if place.wall == ALL else {}
            out[k] = {name: min(thickness, most.get(name, thickness)) for name in names}
    return out


def _thinner_end(found: Found, number: int) -> dict[str, float]:
    """Walls of a stretch as built, mm, where they taper at the thinner end."""
    stretch = found.stretches[number]
    span = next(s for s in rail_of(found.built, stretch.side).spans if s.start == stretch.start)
    first, last = (wall_thickness(s, SIDES[stretch.side]) for s in (span.shape, span.shape_end or span.shape))
    return {name: min(t, last[name]) for name, t in first.items()}


def start_of(found: Found, place: Place) -> float:
    """The thickness from which thinner ones are tried: as found, of all walls alike the thickest as built.

    Raises ModelError where a hole has taken all of the wall.
    """
    if place.wall == ALL:
        return place.nominal
    own = [w for k in stretches_of(found, place) for w in found.stretches[k].walls if w.wall == place.wall]
    left = [w.least for w in own if w.basis != "hole"]
    if not left:
        hint = "Ask for a station beside the hole, or how long it may be: --hole"
        raise ModelError(place.name, "a hole is there, so no wall that could be thinner", hint)
    return max(left)
