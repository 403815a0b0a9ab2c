"""Readings -> the chassis as found, on the same stations as the one as built."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import Literal

from ladderfe.chassis import Chassis, Rail, Side, Span, carried_on
from ladderfe.condition.landings import hanging
from ladderfe.condition.places import ReadPlace, read_places
from ladderfe.condition.rails import SAME, SIDES, rail_of, shape_in
from ladderfe.condition.stations import features, snapped
from ladderfe.condition.types import Hole, Options, Readings, Suspect, Unread
from ladderfe.errors import InputError, ModelError
from ladderfe.sections import Shape, thinned, wall_thickness

__all__ = ["Basis", "Found", "Stretch", "WallState", "as_found", "shapes_of", "with_wall", "with_walls"]

Basis = Literal["read", "assumed", "hole"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WallState:
    """A wall along a stretch: mm as built (at the thicker of its ends), and left of it by mean and by the smallest
    reading; at an end that was built thinner no more than the same part of that.

    basis: read, assumed (nobody read it) or hole; place: number of the ReadPlace it rests on; there: mm as built where
    it was read, 0 where it was not.
    """

    wall: str
    nominal: float
    mean: float
    least: float
    basis: Basis
    place: int | None = None
    there: float = 0.0

    def at(self, nominal: float, left: float) -> float:
        """What is left where the wall was built `nominal` thick, mm, by `left`, the mean or the least."""
        return min(left, nominal * min(left / self.there, 1.0) if self.there else nominal)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of rail along which the state of no wall changes."""

    side: Side
    start: float
    end: float
    walls: tuple[WallState, ...]

    @property
    def length(self) -> float:
        return self.end - self.start

    def wall(self, name: str) -> WallState:
        """The wall of that name; ModelError where there is none."""
        for w in self.walls:
            if w.wall == name:
                return w
        names = ", ".join(w.wall for w in self.walls)
        where = f"{self.side} rail from {self.start:g} to {self.end:g} mm"
        raise ModelError(where, f"it has no wall called {name!r}", f"Its walls are {names}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A chassis as built and as found, their spans cut at the same stations.

    stretches: both rails from front to rear, left rail first, one for each span of `built` and of `chassis`;
    unread: rows of the table that list a place and no reading.
    """

    built: Chassis
    chassis: Chassis
    stretches: tuple[Stretch, ...]
    places: tuple[ReadPlace, ...]
    holes: tuple[Hole, ...]
    suspects: tuple[Suspect, ...]
    options: Options
    source: str = ""
    unread: tuple[Unread, ...] = ()

    def stretches_of(self, side: str) -> tuple[Stretch, ...]:
        """Those of one rail, from front to rear."""
        return tuple(s for s in self.stretches if s.side == side)


def as_found(
    chassis: Chassis, readings: Readings, options: Options | None = None, *, cuts: Iterable[float] = ()
) -> Found:
    """The chassis with its rails' walls as thick as they were read.

    Readings speak for their wall as far as their place reaches (`read_places`), the mean for stiffness and mass, the
    smallest or the lower bound for strength.  Holes take their wall away from rim to rim, whatever was read beside
    them.  What nobody read keeps its thickness as built, less `options.unread_loss`.  `cuts`: further stations, mm, at
    which both rails are to be cut.

    Raises InputError with all holes that take away the wall that a member or mount lands on, ModelError where what is
    left of a section falls apart or cannot be.
    """
    options, further = options or Options(), tuple(cuts)
    if problems := hanging(chassis, readings.holes, readings.source):
        raise InputError(problems)
    places = read_places(chassis, readings, options)
    rails: list[tuple[Rail, Rail]] = []
    stretches: list[Stretch] = []
    for rail in chassis.rails:
        edges = _cuts(chassis, rail, places, readings.holes, further)
        built = replace(rail, spans=_cut_spans(rail, edges))
        own = [_stretch(rail, span, places, readings.holes, options) for span in built.spans]
        rails.append((built, replace(rail, spans=_spans(built, own))))
        stretches += own
    again = partial(_again, readings=readings, options=options, cuts=further)
    return Found(
        built=carried_on(chassis, partial(again, state="built"), rails=(rails[0][0], rails[1][0])),
        chassis=carried_on(chassis, partial(again, state="found"), rails=(rails[0][1], rails[1][1])),
        stretches=tuple(stretches),
        places=places,
        holes=readings.holes,
        suspects=readings.suspects,
        options=options,
        source=readings.source,
        unread=_unread(readings),
    )


def _unread(readings: Readings) -> tuple[Unread, ...]:
    """Rows without a reading, but where another row tells of the same place."""

    def told(u: Unread) -> bool:
        read = [(r.station, r.station) for r in readings.readings if (r.side, r.wall) == (u.side, u.wall)]
        gone = [(h.start, h.end) for h in readings.holes if (h.side, h.wall) == (u.side, u.wall)]
        return any(a - SAME <= u.station <= b + SAME for a, b in read + gone)

    return tuple(u for u in readings.unread if not told(u))


def _again(chassis: Chassis, *, readings: Readings, options: Options, cuts: tuple[float, ...], state: str) -> Chassis:
    """The same state of a chassis that was made again with an assumption moved."""
    found = as_found(chassis, readings, options, cuts=cuts)
    return found.chassis if state == "found" else found.built


def with_wall(found: Found, side: Side, start: float, end: float, walls: Mapping[str, float]) -> Chassis:
    """The chassis as found with some walls of a rail so thick (mm; 0: gone) between two stations, otherwise the same.

    Both stations must be cuts of that rail; `as_found` takes further ones.  Raises ModelError where they are not, for
    walls that the rail does not have there, where what is left falls apart, and where the wall that a member or mount
    lands on would be gone.
    """
    rail = rail_of(found.chassis, side)
    edges = [rail.spans[0].start, *(s.end for s in rail.spans)]
    for station in (start, end):
        if min(abs(station - e) for e in edges) > SAME:
            near = ", ".join(f"{e:g}" for e in sorted(edges, key=lambda e: abs(e - station))[:3])
            hint = f"Take one of its cuts, such as {near}, or give further cuts to as_found"
            raise ModelError(rail.name, f"it is not cut at {station:g} mm", hint)
    inside = [
        k for k, s in enumerate(found.stretches) if s.side == side and start - SAME <= s.start and s.end <= end + SAME
    ]
    if not inside:
        raise ModelError(rail.name, f"nothing lies between {start:g} and {end:g} mm", "Give a start before the end")
    gone = [Hole(side=side, wall=n, start=start, end=end, rim=0) for n, t in walls.items() if t == 0]
    for p in hanging(found.built, gone, "")[:1]:
        raise ModelError(f"{side} rail", p.rule, p.suggestion)
    return with_walls(found, dict.fromkeys(inside, walls))


def with_walls(found: Found, walls: Mapping[int, Mapping[str, float]]) -> Chassis:
    """The chassis as found with some walls of some stretches, by their numbers, so thick (mm; 0: gone), otherwise the
    same.  Raises ModelError for walls that a rail does not have there, and where what is left falls apart."""
    rails = found.chassis.rails
    for side in dict.fromkeys(found.stretches[k].side for k in walls):
        numbers = [k for k, s in enumerate(found.stretches) if s.side == side]
        own = [_changed(found.stretches[k], walls.get(k, {})) for k in numbers]
        exact = {i: walls[k] for i, k in enumerate(numbers) if k in walls}
        other = replace(rail_of(found.chassis, side), spans=_spans(rail_of(found.built, side), own, exact=exact))
        left, right = (other if r.side == side else r for r in rails)
        rails = (left, right)
    return replace(found.chassis, rails=rails, source=None)


def _changed(stretch: Stretch, walls: Mapping[str, float]) -> Stretch:
    same = {"basis": "read", "place": None, "there": 0.0}
    changed = {n: replace(stretch.wall(n), mean=t, least=t, **same) for n, t in walls.items()}  # type: ignore[arg-type]
    return replace(stretch, walls=tuple(changed.get(w.wall, w) for w in stretch.walls))


def shapes_of(found: Found, stretch: Stretch) -> tuple[Shape, Shape, Shape]:
    """The rail's shapes at the front end of a stretch: as built, as found by mean, and that of strength."""
    built, now = (
        next(s for s in rail_of(c, stretch.side).spans if s.start == stretch.start)
        for c in (found.built, found.chassis)
    )
    return built.shape, now.shape, now.least or now.shape


def _cuts(
    chassis: Chassis, rail: Rail, places: Iterable[ReadPlace], holes: Iterable[Hole], further: Iterable[float]
) -> list[float]:
    """Stations at which a rail is cut beside the ends of its spans."""
    wanted = [v for p in places if p.side == rail.side for v in (p.start, p.end)]
    wanted += [v for h in holes if h.side == rail.side for v in h.reach]
    fixed = [s.end for s in rail.spans] + [rail.start]
    known = {f.station for f in features(chassis, rail)}
    moved = [min(known, key=lambda f: abs(f - v)) for v in wanted]
    near = [f if abs(f - v) <= SAME else v for f, v in zip(moved, wanted, strict=True)] + list(further)
    return snapped((v for v in near if rail.start < v < rail.end), fixed, SAME)


def _cut_spans(rail: Rail, cuts: list[float]) -> tuple[Span, ...]:
    """The rail's spans as built, cut at further stations."""
    out: list[Span] = []
    for span in rail.spans:
        edges = [span.start, *(c for c in cuts if span.start < c < span.end), span.end]
        for a, b in pairwise(edges):
            last = None if span.shape_end is None else shape_in(span, b)
            out.append(replace(span, start=a, end=b, shape=shape_in(span, a), shape_end=last))
    return tuple(out)


def _stretch(
    rail: Rail, span: Span, places: tuple[ReadPlace, ...], holes: tuple[Hole, ...], options: Options
) -> Stretch:
    """What is known of every wall of a span of the rail as built."""
    middle = (span.start + span.end) / 2
    states = []
    ends = [wall_thickness(s, SIDES[rail.side]) for s in (span.shape, span.shape_end or span.shape)]
    for wall in ends[0]:
        nominal = max(end[wall] for end in ends)
        gone = any(h.reach[0] <= middle <= h.reach[1] for h in holes if (h.side, h.wall) == (rail.side, wall))
        k = next((k for k, p in enumerate(places) if _speaks(p, rail.side, wall, middle)), None)
        if gone:
            state = WallState(wall=wall, nominal=nominal, mean=0.0, least=0.0, basis="hole")
        elif k is not None:
            mean, least = min(places[k].mean, nominal), min(places[k].used, nominal)
            state = WallState(
                wall=wall, nominal=nominal, mean=mean, least=least, basis="read", place=k, there=places[k].nominal
            )
        else:
            left = nominal * (1 - options.unread_loss)
            state = WallState(wall=wall, nominal=nominal, mean=left, least=left, basis="assumed")
        states.append(state)
    return Stretch(side=rail.side, start=span.start, end=span.end, walls=tuple(states))


def _speaks(place: ReadPlace, side: str, wall: str, station: float) -> bool:
    return (place.side, place.wall) == (side, wall) and place.start <= station <= place.end


def _spans(
    rail: Rail, stretches: Iterable[Stretch], exact: Mapping[int, Mapping[str, float]] | None = None
) -> tuple[Span, ...]:
    """Spans of a rail as found: those as built with their walls as the stretches have them.

    exact: walls of single stretches that are so thick from end to end, whatever the wall as built does.
    """
    out: list[Span] = []
    for k, (span, s) in enumerate(zip(rail.spans, stretches, strict=True)):
        where = f"{rail.name} from {span.start:g} to {span.end:g} mm"
        set_to = (exact or {}).get(k, {})
        ends = [span.shape] if span.shape_end is None else [span.shape, span.shape_end]
        mean = [_left(shape, s, rail.side, where, set_to, by_mean=True) for shape in ends]
        least = [_left(shape, s, rail.side, where, set_to, by_mean=False) for shape in ends]
        differs = least != mean
        out.append(
            replace(
                span,
                shape=mean[0],
                shape_end=None if len(ends) == 1 else mean[1],
                least=least[0] if differs else None,
                least_end=least[1] if differs and len(ends) > 1 else None,
            )
        )
    return tuple(out)


def _left(shape: Shape, s: Stretch, side: str, where: str, exact: Mapping[str, float], *, by_mean: bool) -> Shape:
    """What is left of a shape as built."""
    sides = SIDES[side]
    walls = dict[str, float]()
    for name, nominal in wall_thickness(shape, sides).items():
        state = s.wall(name)
        left = state.mean if by_mean else state.least
        if name in exact:
            walls[name] = exact[name]
        elif state.basis == "assumed":
            walls[name] = nominal * (left / state.nominal)
        else:
            walls[name] = state.at(nominal, left)
    changed = {n: t for n, t in walls.items() if t != wall_thickness(shape, sides)[n]}
    try:
        return thinned(shape, changed, sides) if changed else shape
    except ModelError as error:
        raise ModelError(f"{where}: {error.where}", error.problem, error.hint) from error
