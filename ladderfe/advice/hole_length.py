"""A hole in a wall of a rail: utilisation against its length at one station, and of one length at many stations.

Each length is a state of its own on its own mesh, just as if the hole had been read.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.places import grid_edges
from ladderfe.advice.search import closed_in, room
from ladderfe.advice.states import Looked, looked_at
from ladderfe.chassis import Chassis, Side
from ladderfe.chassis.faults import some
from ladderfe.checks.found import HoleBeside, hole_beside
from ladderfe.condition import Found, Hole, Options, Readings, as_found, shapes_of, walls_at
from ladderfe.condition.rails import SIDES, rail_of, span_at
from ladderfe.condition.stations import Feature, features
from ladderfe.errors import InputError, LadderFEError, ModelError
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.sections import Box, properties, wall_thickness

Bools = NDArray[np.bool_]
__all__ = ["LENGTHS", "Drop", "HoleCurve", "HolePlace", "HoleRow", "HoleState", "drops", "hole_curve", "hole_places"]

#: Lengths looked at, mm.
LENGTHS: Final = (10.0, 20.0, 40.0, 60.0, 100.0, 150.0, 200.0, 250.0, 300.0)
#: A utilisation that a longer hole takes down by more than this part of it is told.
LESS: Final = 0.005
#: So many cases are named where one is not known.
CASES: Final = 20
#: Length of the hole that is moved along the wall, mm.
USUAL: Final = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HolePlace:
    """Where a hole is asked for, in which state of a chassis; region: from where to where utilisation is looked at."""

    chassis: Chassis
    readings: Readings
    options: Options
    side: Side
    wall: str
    station: float
    taper_steps: int = TAPER_STEPS

    @property
    def listed(self) -> tuple[Hole, ...]:
        """Holes of the readings in the same wall that reach into the region: they stay in every state."""
        a, b = self.region
        own = (h for h in self.readings.holes if (h.side, h.wall) == (self.side, self.wall))
        return tuple(h for h in own if h.reach[0] < b and h.reach[1] > a)

    @property
    def region(self) -> tuple[float, float]:
        """The longest hole."""
        return self.hole(LENGTHS[-1]).reach

    @property
    def runs(self) -> tuple[float, float]:
        """From where to where the rail has that wall about the station, mm, whatever its thickness does."""
        rail = rail_of(self.chassis, self.side)
        first = last = rail.spans.index(span_at(rail, self.station))
        has = [self.wall in wall_thickness(s.shape, SIDES[self.side]) for s in rail.spans]
        while first > 0 and has[first - 1]:
            first -= 1
        while last + 1 < len(has) and has[last + 1]:
            last += 1
        return rail.spans[first].start, rail.spans[last].end

    def hole(self, length: float) -> Hole:
        """A hole of that length, its rim counted in, about the station; where the wall ends it begins or ends there.
        No longer than the wall."""
        a, b = self.runs
        length = min(length, b - a)
        start = min(max(self.station - length / 2, a), b - length)
        return Hole(side=self.side, wall=self.wall, start=start, end=start + length, rim=0.0)

    def found(self, length: float) -> Found:
        """The chassis as found with such a hole; 0: without."""
        holes = (*self.readings.holes, self.hole(length)) if length > 0 else self.readings.holes
        return as_found(self.chassis, replace(self.readings, holes=holes), self.options, cuts=self.region)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleState:
    """A hole of one length (0: none): the greatest utilisation of its region and its case, and of all else.

    opened: whether the wall's loss opens a closed section; J: torsion constant at the station over that as built.
    problem: why there is no answer; then ratio is inf.
    """

    length: float
    ratio: float
    case: str
    elsewhere: float
    opened: bool = False
    J: float = 1.0
    problem: str = ""


@dataclass(frozen=True, slots=True)
class HoleRow:
    """The same wall without and with a hole at another station, and what is near that."""

    station: float
    without: HoleState
    hole: HoleState
    beside: HoleBeside


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleCurve:
    """Utilisation against length.  limit: length at which the utilisation of the region comes to 1, None where it is
    over without a hole, or not even the longest brings it there.  beside: what is mounted next to the shortest."""

    place: HolePlace
    states: tuple[HoleState, ...]
    limit: HoleState | None
    beside: HoleBeside


def hole_curve(
    place: HolePlace,
    *,
    lengths: Sequence[float] = LENGTHS,
    case: str = "",
    progress: Callable[[str], None] = lambda _: None,
) -> HoleCurve:
    """Solve the frame with holes of all lengths that the wall has, and find the length at which the utilisation reaches
    1.

    Raises ModelError for a wall that the rail does not have there, and for a case that the chassis does not have.
    """
    _known(place)
    first, last = place.runs
    lengths = [x for x in lengths if x <= last - first] or [last - first]
    states = [_state(place, 0.0, case)]
    for length in lengths:
        progress(f"hole of {length:g} mm")
        states.append(_state(place, length, case))
    return HoleCurve(
        place=place, states=tuple(states), limit=_limit(place, states, case),
        beside=hole_beside(place.found(0.0), place.hole(lengths[0])),
    )  # fmt: skip


def hole_places(
    place: HolePlace, *, length: float = USUAL, case: str = "", progress: Callable[[str], None] = lambda _: None
) -> tuple[HoleRow, ...]:
    """A hole of one length in the same wall at many stations."""
    rail = rail_of(place.chassis, place.side)
    edges = grid_edges(rail)
    out = []
    for a, b in pairwise(edges):
        at = replace(place, station=(a + b) / 2)
        if place.wall not in walls_at(rail, at.station) or b - a < length:
            continue
        progress(f"hole at {at.station:.0f} mm")
        beside = hole_beside(at.found(0.0), at.hole(length))
        out.append(HoleRow(at.station, _state(at, 0.0, case), _state(at, length, case), beside))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Drop:
    """A longer hole with less utilisation than a shorter one; passed: what is mounted or joined where it reaches and
    the shorter one does not."""

    shorter: HoleState
    longer: HoleState
    passed: tuple[Feature, ...]


def drops(curve: HoleCurve) -> tuple[Drop, ...]:
    """Neighbouring lengths of which the longer one has less."""
    place = curve.place
    held = [f for f in features(place.chassis, rail_of(place.chassis, place.side)) if f.held]
    out = []
    for one, two in pairwise(s for s in curve.states if not s.problem):
        if two.ratio < (1 - LESS) * one.ratio:
            own, before = place.hole(two.length), place.hole(one.length)
            passed = [f for f in held if own.start <= f.station <= own.end]
            out.append(Drop(one, two, tuple(f for f in passed if not before.start <= f.station <= before.end)))
    return tuple(out)


def _known(place: HolePlace) -> None:
    rail = rail_of(place.chassis, place.side)
    if not rail.start <= place.station <= rail.end:
        raise ModelError(
            rail.name, f"there is no station {place.station:g} mm on it", f"It runs from {rail.start:g} to {rail.end:g}"
        )
    walls = walls_at(rail, place.station)
    if place.wall not in walls:
        where = f"{rail.name} at {place.station:g} mm"
        raise ModelError(where, f"it has no wall called {place.wall!r}", f"Its walls are {', '.join(walls)}")


def _state(place: HolePlace, length: float, case: str) -> HoleState:
    try:
        found = place.found(length)
        looked = looked_at(found.chassis, place.taper_steps)
    except LadderFEError as error:
        inf = float("inf")
        return HoleState(length=length, ratio=inf, case="", elsewhere=inf, problem=_problem(error))
    names = [c.name for c in looked.solution.cases[1:]]
    if case and case not in names:
        raise ModelError(f"case {case!r}", "is not one of this chassis", f"Its cases are {some(names, CASES)}")
    cases = [k for k, n in enumerate(names) if case in ("", n)]
    own = _inside(place, looked)
    use = looked.use[:, cases]
    k = int(use[own].max(axis=0).argmax())
    opened, share = _opened(found, place)
    return HoleState(
        length=length, ratio=float(use[own].max()), case=names[cases[k]], elsewhere=float(use[~own].max()),
        opened=opened, J=share,
    )  # fmt: skip


def _problem(error: LadderFEError) -> str:
    """Why there is no answer, without the file of readings: the hole asked for is not in it."""
    if not isinstance(error, InputError):
        return str(error)
    return " ".join(f"{p.key}: {p.rule}. {p.suggestion}." for p in error.problems)


def _inside(place: HolePlace, looked: Looked) -> Bools:
    """(r,) sections in the region of the rail."""
    mesh, member = looked.solution.mesh, looked.rows.member
    side = np.array([p.side if p.kind == "rail" else "" for p in mesh.parts])[mesh.part_of()]
    middle = mesh.along.mean(axis=1)
    a, b = place.region
    own: Bools = ((side == place.side) & (middle > a) & (middle < b))[member]
    return own


def _opened(found: Found, place: HolePlace) -> tuple[bool, float]:
    """Whether the hole opened a closed section, and what is left of the torsion constant, at the station."""
    stretch = [s for s in found.stretches_of(place.side) if s.start <= place.station][-1]
    built, now, _ = shapes_of(found, stretch)
    sides = SIDES[place.side]
    own, whole = (properties(s.section(sides)).J for s in (now, built))
    return isinstance(built, Box) and not isinstance(now, Box), float(own / whole)


def _limit(place: HolePlace, states: Sequence[HoleState], case: str) -> HoleState | None:
    """The length at which the first of neighbouring states below and above 1 leaves it."""
    if states[0].ratio >= 1:
        return None
    for below, above in pairwise(states):
        if above.ratio >= 1:
            return _between(place, below, above, case)
    return None


def _between(place: HolePlace, below: HoleState, above: HoleState, case: str) -> HoleState:
    search = closed_in((above.length, room(above.ratio)), (below.length, room(below.ratio)), narrow=0.5)
    solved: dict[float, HoleState] = {below.length: below, above.length: above}
    try:
        length = next(search)
        while True:
            solved[length] = _state(place, length, case)
            length = search.send(room(solved[length].ratio))
    except StopIteration as done:
        return solved[done.value.thickness]
