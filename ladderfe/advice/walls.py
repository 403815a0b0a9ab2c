"""The rails' walls by lengths that have one thickness each: every place that was read, and lengths that nobody read.

`Variants.of(w.chassis, w.stretches).answer(w.states(thickness))` solves states (v, w) of them, `w = walls_of(found)`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, isclose
from statistics import stdev
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Side, Span
from ladderfe.checks.variants import Stretch as Varied
from ladderfe.condition import Found, ReadPlace, Stretch, WallState
from ladderfe.condition.places import ENOUGH
from ladderfe.condition.rails import SAME, SIDES, rail_of
from ladderfe.errors import ModelError
from ladderfe.sections import Box, Channel, Shape, wall_thickness

__all__ = ["GAUGE", "LEAST", "SCATTER", "Fixed", "Wall", "Walls", "walls_of", "word_left"]

Array = NDArray[np.float64]
#: How far off a gauge may be, mm, as +-2 standard deviations; what makers of usual gauges state, value from memory.
GAUGE: Final = 0.1
#: Standard deviation of readings where fewer than three tell of it, mm; common practice, no source.
SCATTER: Final = 0.1
#: No wall is thinner, mm: the thinnest that a chassis file takes.
LEAST: Final = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A length of one wall, `start` to `end` mm, that has one thickness.

    station: of its readings, else its middle; nominal: as built, mean and used: by which stiffness and strength go as
    found; read: its readings, None where nobody read.
    """

    side: Side
    wall: str
    station: float
    start: float
    end: float
    nominal: float
    mean: float
    used: float
    read: ReadPlace | None = None

    @property
    def name(self) -> str:
        """Where it is, in words."""
        return f"{self.side} rail, {self.wall} at {self.station:.0f} mm"

    @property
    def n(self) -> int:
        """How many readings it has."""
        return len(self.read.values) if self.read else 0

    def scatter(self, stated: float = SCATTER) -> float:
        """Standard deviation of its readings, mm; the stated one where they are fewer than three."""
        if self.read is None or self.n < ENOUGH:
            return stated
        return stdev(min(v, self.nominal) for v in self.read.values)

    def covers(self, side: str, wall: str, station: float) -> bool:
        """Whether a station of a wall lies on it."""
        return (self.side, self.wall) == (side, wall) and self.start <= station <= self.end


@dataclass(frozen=True, slots=True)
class Fixed:
    """A length of a wall that stays as found, mm, and why."""

    side: str
    wall: str
    start: float
    end: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Walls:
    """A chassis as found, its walls for strength as thick as for stiffness; the walls that vary, as the stretches of
    `Variants`; owner (k,): the number of the wall that each stretch belongs to."""

    chassis: Chassis
    walls: tuple[Wall, ...]
    stretches: tuple[Varied, ...]
    owner: NDArray[np.int64]
    fixed: tuple[Fixed, ...]

    def states(self, thickness: Array) -> Array:
        """(v, k) thicknesses of stretches from those of walls (v, w)."""
        return np.atleast_2d(thickness)[:, self.owner]

    def of(self, values: Array) -> Array:
        """(..., w) sums over the stretches of each wall of values (..., k)."""
        belongs = self.owner[:, None] == np.arange(len(self.walls))
        out: Array = values @ belongs
        return out

    def at(self, side: str, wall: str, station: float) -> int | None:
        """The number of the wall there; None for a part that does not vary."""
        return next((k for k, w in enumerate(self.walls) if w.covers(side, wall, station)), None)


@dataclass(frozen=True, slots=True)
class _Piece:
    """A wall along (part of) a stretch as found; word: what it is called in the shape that is left, "" for none."""

    stretch: Stretch
    state: WallState
    word: str
    start: float
    end: float


def walls_of(found: Found, *, by_mean: bool = False) -> Walls:
    """Every wall that can vary of a chassis as found.

    by_mean : all else is as thick as the mean of its readings, else as strength goes by

    Lengths that nobody read are no longer than a place would speak for.  Raises ModelError where no wall can vary.
    """
    pieces = [p for side in ("left", "right") for p in _pieces(found, side)]
    free = [p for p in pieces if p.word]
    groups = [g for place in range(len(found.places)) if (g := [p for p in free if p.state.place == place])]
    groups += [part for run in _runs(p for p in free if p.state.place is None) for part in _parts(run, found)]
    groups.sort(key=lambda g: (g[0].stretch.side, g[0].state.wall, g[0].start))
    if not groups:
        kinds = sorted({type(s.shape).__name__.lower() for r in found.chassis.rails for s in r.spans})
        hint = "Walls of boxes and of channels can vary"
        raise ModelError("rails", f"no wall of theirs can vary: they are of kind {', '.join(kinds)}", hint)
    stretches, owner = [], []
    for k, group in enumerate(groups):
        for run in _alike(group):
            stretches.append(Varied(run[0].stretch.side, run[0].start, run[-1].end, run[0].word))
            owner.append(k)
    return Walls(
        chassis=_same_for_strength(found, by_mean),
        walls=tuple(_wall(g, found) for g in groups),
        stretches=tuple(stretches),
        owner=np.array(owner),
        fixed=tuple(
            Fixed(p.stretch.side, p.state.wall, p.start, p.end, "no box or channel, or its thickness changes along it")
            for p in pieces
            if not p.word
        ),
    )


def _pieces(found: Found, side: str) -> Iterator[_Piece]:
    built, now = (rail_of(c, side).spans for c in (found.built, found.chassis))
    for stretch, before, after in zip(found.stretches_of(side), built, now, strict=True):
        for state in stretch.walls:
            if state.basis != "hole":
                word = word_left(after.shape, side, state.wall) if _even(before, side, state.wall) else ""
                yield _Piece(stretch, state, word, stretch.start, stretch.end)


def _even(span: Span, side: str, wall: str) -> bool:
    ends = [span.shape] if span.shape_end is None else [span.shape, span.shape_end]
    first, *last = (wall_thickness(s, SIDES[side])[wall] for s in ends)
    return all(isclose(first, t) for t in last)


def word_left(shape: Shape, side: str, wall: str) -> str:
    """What a wall is called in what is left of its section, a box or a channel, "" in others: of a box that lost a wall
    the opposite one is the web."""
    if not isinstance(shape, Box | Channel):
        return ""
    names = wall_thickness(shape, SIDES[side])
    return wall if wall in names else "web"


def _runs(pieces: Iterable[_Piece]) -> list[list[_Piece]]:
    """Unread pieces that run on from one another."""
    out: list[list[_Piece]] = []
    for p in sorted(pieces, key=lambda p: (p.stretch.side, p.state.wall, p.start)):
        before = out[-1][-1] if out else None
        if before and (before.stretch.side, before.state.wall) == (p.stretch.side, p.state.wall) and (
            abs(before.end - p.start) < SAME and isclose(before.state.nominal, p.state.nominal)
        ):  # fmt: skip
            out[-1].append(p)
        else:
            out.append([p])
    return out


def _parts(run: Sequence[_Piece], found: Found) -> Iterator[list[_Piece]]:
    """A run in equal lengths, none longer than a place speaks for."""
    start, end = run[0].start, run[-1].end
    n = ceil((end - start) / (2 * found.options.reach) - 1e-9)
    known = [start, *(p.end for p in run)]
    edges = [start + (end - start) * k / n for k in range(n + 1)]
    near = [min(known, key=lambda x: abs(x - edge)) for edge in edges]
    for a, b in pairwise(x if abs(x - edge) <= SAME else edge for x, edge in zip(near, edges, strict=True)):
        own = [replace(p, start=max(p.start, a), end=min(p.end, b)) for p in run]
        if kept := [p for p in own if p.start < p.end]:
            yield kept


def _alike(group: Sequence[_Piece]) -> list[list[_Piece]]:
    """Pieces of one wall that run on under one name."""
    out: list[list[_Piece]] = []
    for p in group:
        if out and out[-1][-1].word == p.word and abs(out[-1][-1].end - p.start) < SAME:
            out[-1].append(p)
        else:
            out.append([p])
    return out


def _wall(group: Sequence[_Piece], found: Found) -> Wall:
    first = group[0]
    read = None if first.state.place is None else found.places[first.state.place]
    start, end = first.start, group[-1].end
    return Wall(
        side=first.stretch.side, wall=first.state.wall, station=read.station if read else (start + end) / 2,
        start=start, end=end, nominal=first.state.nominal, mean=first.state.mean, used=first.state.least, read=read,
    )  # fmt: skip


def _same_for_strength(found: Found, by_mean: bool) -> Chassis:
    """The chassis as found whose walls for stiffness and strength are the same."""
    rails = []
    for rail in found.chassis.rails:
        spans = [s if by_mean else _by_least(s) for s in rail.spans]
        rails.append(replace(rail, spans=tuple(replace(s, least=None, least_end=None) for s in spans)))
    return replace(found.chassis, rails=(rails[0], rails[1]), source=None)


def _by_least(span: Span) -> Span:
    return replace(span, shape=span.least or span.shape, shape_end=span.least_end or span.shape_end)
