"""Windows in which a rail may be cut and spliced, ranked, and the best staggered pair of joints."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.fatigue_ratio import pitted_at
from ladderfe.advice.splice_zones import Zone, free_stretches
from ladderfe.chassis import Rail
from ladderfe.checks import Utilisation
from ladderfe.checks.along_rails import SPACING, RailSections
from ladderfe.condition import Found
from ladderfe.condition.rails import shape_at

__all__ = [
    "LEAST", "PLATE", "STAGGER", "PlaceUse", "RailView", "Window", "best_pair", "depth_at", "place_use", "stations_for",
    "windows",
]  # fmt: skip

Array = NDArray[np.float64]

#: Shorter windows, mm, are none (own judgement: no joint is fitted closer).
LEAST: Final = 20.0
#: Plates reach so many rail depths past the joint on each side (a heavy-vehicle code, 2021).
PLATE: Final = 2.0
#: The two rails' joints are so many rail depths apart at least (common practice, no source).
STAGGER: Final = 2.0
#: Utilisations that differ by less than this are alike in a choice.
ALIKE: Final = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RailView:
    """A rail as it was built, its sections with their stresses, zones without joints, zones where inspectors look
    closer, and what was read, if anything."""

    rail: Rail
    sections: RailSections
    zones: tuple[Zone, ...]
    marks: tuple[Zone, ...]
    found: Found | None

    @property
    def side(self) -> str:
        return self.rail.side


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlaceUse:
    """A joint at a station: the rail's depth H there; around: greatest utilisation of all cases as far as its plates
    reach, 2 H each side, and what governs; groups (3,): at the joint itself, of flanges, webs and corners.

    ranges (k, 3), shear_range (k,) and worst (k,): ranges there, MPa, as in `RailSections`.  room: mm free on the front
    and rear side up to the next thing on the rail; beside: what these are.  marked: what within 30 cm makes inspectors
    look closer.  assumed: walls that nobody read as far as the plates reach; pitted: no fatigue category there.
    """

    side: str
    station: float
    depth: float
    around: float
    governing: Utilisation
    groups: tuple[float, float, float]
    ranges: Array
    shear_range: Array
    worst: Array
    room: tuple[float, float]
    beside: tuple[str, str]
    marked: tuple[str, ...]
    assumed: tuple[str, ...]
    pitted: bool

    @property
    def plate(self) -> float:
        """How far plates reach past the joint on each side, mm."""
        return PLATE * self.depth

    @property
    def roomy(self) -> bool:
        """Whether the plates have room on both sides."""
        return min(self.room) >= self.plate


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Window:
    """A free stretch of a rail, mm; its best place for a joint, and its middle."""

    side: str
    start: float
    end: float
    best: PlaceUse
    middle: PlaceUse

    @property
    def length(self) -> float:
        return self.end - self.start


def depth_at(rail: Rail, station: float) -> float:
    """The rail's depth H as built, mm."""
    return float(shape_at(rail, station).depth)


def stations_for(rail: Rail, zones: Iterable[Zone]) -> list[float]:
    """Stations that windows look at: their ends and middles, and as far as plates reach from there."""
    out = []
    for start, end in free_stretches(rail, zones, LEAST):
        for x in (start, (start + end) / 2, end):
            reach = PLATE * depth_at(rail, x)
            out += [v for v in (x - reach, x, x + reach) if rail.start <= v <= rail.end]
    return out


def windows(view: RailView) -> tuple[Window, ...]:
    """The windows of one rail, ranked by the greatest utilisation within reach of the plates (2 H each side) of their
    best place; the middle of a long window may be far from it, and is told too.

    Best: of the places with full room, where there are any, the one whose surroundings work least; among those alike
    the one whose own section works least, then the one nearest to the middle.
    """
    own = [_window(view, start, end) for start, end in free_stretches(view.rail, view.zones, LEAST)]
    return tuple(sorted(own, key=lambda w: (round(w.best.around / ALIKE), w.start)))


def _window(view: RailView, start: float, end: float) -> Window:
    middle = (start + end) / 2
    best = min(_places(start, end), key=lambda x: (*_score(view, x), abs(x - middle)))
    return Window(side=view.side, start=start, end=end, best=place_use(view, best), middle=place_use(view, middle))


def best_pair(left: RailView, right: RailView, own: Sequence[Window]) -> tuple[PlaceUse, PlaceUse] | None:
    """The pair of joints, one in a window of each rail and at least `STAGGER` H apart along the frame, whose greater
    utilisation within reach of the plates is least; places with full room for plates first.  None where there is no
    such pair."""
    sides = []
    for view in (left, right):
        places = [x for w in own if w.side == view.side for x in _places(w.start, w.end)]
        scores = [_score(view, x) for x in places]
        sides.append((np.array(places), np.array(scores).reshape(-1, 3), [depth_at(view.rail, x) for x in places]))
    (x, a, h), (y, b, k) = sides
    if not len(x) or not len(y):
        return None
    apart = np.abs(x[:, None] - y) >= STAGGER * np.maximum(np.array(h)[:, None], k) - 1e-6
    if not apart.any():
        return None
    short = a[:, None, 0] + b[:, 0]
    worse, both = np.maximum(a[:, None, 1], b[:, 1]), a[:, None, 1] + b[:, 1]
    at_joint = np.maximum(a[:, None, 2], b[:, 2])
    key = np.lexsort([v.ravel() for v in (at_joint, both, worse, short, ~apart)])[0]
    i, j = np.unravel_index(key, apart.shape)
    return place_use(left, float(x[i])), place_use(right, float(y[j]))


def place_use(view: RailView, station: float) -> PlaceUse:
    """What a joint at a station meets."""
    s, depth = view.sections, depth_at(view.rail, station)
    start, end = station - PLATE * depth, station + PLATE * depth
    own = s.at(station)
    hardest = int(own[np.argmax((s.worst[:, own] ** 3).sum(axis=0))])
    groups = s.use[own].max(axis=0).tolist()
    front, rear = _neighbours(view.zones, station)
    return PlaceUse(
        side=view.side,
        station=station,
        depth=depth,
        around=float(s.greatest[s.within(start, end)].max()),
        governing=s.governing(start, end),
        groups=(groups[0], groups[1], groups[2]),
        ranges=s.ranges[:, own].max(axis=1),
        shear_range=s.shear_range[:, own].max(axis=1),
        worst=s.worst[:, hardest],
        room=(front[0], rear[0]),
        beside=(front[1], rear[1]),
        marked=tuple(dict.fromkeys(z.what for z in view.marks if z.start <= station <= z.end)),
        assumed=_unread(view.found, view.side, start, end),
        pitted=bool(pitted_at(view.found, view.side, [station])[0]),
    )


def _places(start: float, end: float) -> list[float]:
    """Places of a window that are looked at: both ends, the middle, and every `SPACING` mm."""
    grid = SPACING * np.arange(np.ceil(start / SPACING), np.floor(end / SPACING) + 1)
    return sorted({start, (start + end) / 2, end, *grid.tolist()})


def _score(view: RailView, station: float) -> tuple[float, float, float]:
    """The less the better: whether plates lack room, utilisation within their reach, utilisation at the joint."""
    s, reach = view.sections, PLATE * depth_at(view.rail, station)
    front, rear = _neighbours(view.zones, station)
    around = float(s.greatest[s.within(station - reach, station + reach)].max())
    here = float(s.greatest[s.at(station)].max())
    return float(min(front[0], rear[0]) < reach), round(around / ALIKE) * ALIKE, round(here / ALIKE) * ALIKE


def _neighbours(zones: Iterable[Zone], station: float) -> tuple[tuple[float, str], tuple[float, str]]:
    """(mm, what) to the next thing in front and behind; (0, what) twice on a thing."""
    listed = list(zones)
    on = next((z for z in listed if z.begins <= station <= z.ends), None)
    if on is not None:
        return (0.0, on.what), (0.0, on.what)
    front = max((z for z in listed if z.ends < station), key=lambda z: z.ends)
    rear = min((z for z in listed if z.begins > station), key=lambda z: z.begins)
    return (station - front.ends, front.what), (rear.begins - station, rear.what)


def _unread(found: Found | None, side: str, start: float, end: float) -> tuple[str, ...]:
    if found is None:
        return ()
    own = [s for s in found.stretches_of(side) if s.end > start and s.start < end]
    return tuple(dict.fromkeys(w.wall for s in own for w in s.walls if w.basis == "assumed"))
