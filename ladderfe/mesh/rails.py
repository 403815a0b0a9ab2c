"""Stations of the rails: where a node must be, and which shape lies between."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Rail, Span
from ladderfe.errors import ModelError
from ladderfe.sections import Plated, Shape, between, cell_of

__all__ = ["RailLine", "box_at", "rail_line", "rail_point", "rail_shape", "rail_stations", "span_of_box"]

Array = NDArray[np.float64]

#: Stations closer than this are one place, mm.
SAME = 0.1
#: A place of a mass spread along the rail that is so near to a node takes that one, mm: no member so short.
NEAR = 5.0
#: Share of a taper's steps that grow shorter toward each of its ends, and how short they may become so, mm: members of
#: less than half a millimetre cost the forces their digits.
ENDS, SHORTEST = 0.2, 2.0


def rail_point(rail: Rail, station: float) -> Array:
    """(3,) x, y, z of the rail's reference line at a station."""
    out: Array = rail_points(rail, [station])[0]
    return out


def rail_points(rail: Rail, stations: Sequence[float]) -> Array:
    """(k, 3) the same at stations."""
    x, half, height = zip(*((p.station, p.half_spacing, p.height) for p in rail.path), strict=True)
    y = rail.sign * np.interp(stations, x, half)
    out: Array = np.stack([np.asarray(stations, float), y, np.interp(stations, x, height)], axis=1)
    return out


def rail_shape(rail: Rail, station: float) -> Shape:
    """The rail's shape at a station (the span that begins there at a step)."""
    return shape_in(next((s for s in reversed(rail.spans) if s.start <= station + SAME), rail.spans[0]), station)


def box_at(rail: Rail, station: float) -> Shape | None:
    """The rail's box at a station, at a step that of the span that begins there if it is one; None where there is
    none."""
    span = span_of_box(rail, station)
    return None if span is None else shape_in(span, station)


def span_of_box(rail: Rail, station: float) -> Span | None:
    """The span that box belongs to."""
    spans = [s for s in rail.spans if s.start - SAME <= station <= s.end + SAME]
    return next((s for s in reversed(spans) if cell_of(shape_in(s, station))), None)


def shape_in(span: Span, station: float) -> Shape:
    """The shape of a span at a station within it."""
    if span.shape_end is None:
        return span.shape
    return between(span.shape, span.shape_end, float(np.clip((station - span.start) / (span.end - span.start), 0, 1)))


def least_in(span: Span, station: float) -> Shape | None:
    """The shape that strength goes by at a station within a span; None where it is `shape_in`.

    Raises ModelError where it is of another kind than that of stiffness or opens toward another side.
    """
    if span.least is None and span.least_end is None:
        return None
    first, last = span.shape, span.shape_end or span.shape
    one = span.least or first
    two = span.least_end or (one if span.shape_end is None else last)
    for a, b in ((first, one), (last, two)):
        if _form(a) != _form(b):
            raise ModelError(f"rail from {span.start:g} to {span.end:g} mm",
                             f"strength is judged by a {type(b).__name__.lower()} of other form than its "
                             f"{type(a).__name__.lower()}", "Give both the same kind, opening and outline")
    share = float(np.clip((station - span.start) / (span.end - span.start), 0, 1))
    found = between(one, two, share) if one != two else one
    return None if found == shape_in(span, station) else found


def _form(shape: Shape) -> tuple[object, ...]:
    """What two shapes have in common that differ in thickness alone."""
    if isinstance(shape, Plated):
        return (*_form(shape.base), *((p.wall, p.kind, p.face) for p in shape.plates))
    return type(shape), getattr(shape, "opens", getattr(shape, "corner", "")), shape.closed


def rail_stations(chassis: Chassis, rail: Rail, extra: Iterable[float] = ()) -> list[float]:
    """All stations of a rail that carry a node, sorted, without taper steps."""
    s = [p.station for p in rail.path]
    s += [v for span in rail.spans for v in (span.start, span.end)]
    s += [c.station_left if rail.side == "left" else c.station_right for c in chassis.crossmembers]
    s += [o.station for o in chassis.outriggers if o.side == rail.side]
    s += [d.station for d in chassis.diaphragms if d.side == rail.side]
    s += [m.station for m in chassis.mounts if m.part == rail.name and not m.spread]
    s += [v for axle in chassis.axles for v in (axle.station, *(station for station, _ in axle.seats))]
    s += [place[0] for axle in chassis.axles for _, side, place in axle.brackets() if side == rail.side]
    s += [v for v in extra if rail.start < v < rail.end]
    for x in [m.station for m in chassis.mounts if m.part == rail.name and m.spread]:
        s += [x] if all(abs(x - v) > NEAR for v in s) else []
    merged: list[float] = []
    for v in sorted(s):
        if rail.start - SAME <= v <= rail.end + SAME and (not merged or v - merged[-1] > SAME):
            merged.append(v)
    return merged


@dataclass(frozen=True, slots=True)
class RailLine:
    """Stations and places (mm) of a rail's nodes, and for every interval the shape that stands for it and whether it
    is a taper step; `least`, `end_least`: the shapes that strength goes by, None where they are the same."""

    stations: tuple[float, ...]
    points: tuple[Array, ...]
    shapes: tuple[Shape, ...]
    end_shapes: tuple[tuple[Shape, Shape], ...]
    tapered: tuple[bool, ...]
    least: tuple[Shape | None, ...]
    end_least: tuple[tuple[Shape | None, Shape | None], ...]


@lru_cache(maxsize=64)
def rail_line(rail: Rail, base: tuple[float, ...], refine: int, taper_steps: int) -> RailLine:
    """Divide a rail: every interval of `base` in `refine` equal members, tapered spans in at least `taper_steps`.

    A taper step is as stiff as the shape at its middle; the error falls with the square of the step.  `end_shapes` are
    the true ones at its ends.  Steps are shorter toward the ends of their span, see `_graded`.
    """
    stations, shapes, tapered = [base[0]], [], []
    end_shapes: list[tuple[Shape, Shape]] = []
    least: list[Shape | None] = []
    end_least: list[tuple[Shape | None, Shape | None]] = []
    for a, b in itertools.pairwise(base):
        span = next(s for s in reversed(rail.spans) if s.start <= (a + b) / 2)
        tapers = span.shape_end not in (None, span.shape) or span.least_end not in (None, span.least)
        cuts = _divided(_graded(span, a, b, taper_steps) if tapers else [a, b], refine)
        stations += cuts[1:]
        shapes += [rail_shape(rail, (p + q) / 2) if tapers else span.shape for p, q in itertools.pairwise(cuts)]
        edges = [shape_in(span, v) for v in cuts]
        end_shapes += itertools.pairwise(edges)
        least += [least_in(span, (p + q) / 2) for p, q in itertools.pairwise(cuts)]
        end_least += itertools.pairwise([least_in(span, v) for v in cuts])
        tapered += [tapers] * (len(cuts) - 1)
    points = tuple(rail_points(rail, stations))
    return RailLine(
        tuple(stations), points, tuple(shapes), tuple(end_shapes), tuple(tapered), tuple(least), tuple(end_least)
    )


def _graded(span: Span, a: float, b: float, taper_steps: int) -> list[float]:
    """Ends of the steps between stations a and b of a tapered span, at least `taper_steps` of them in all of it: even
    in its middle, and shorter and shorter toward its ends within `ENDS` of them, but not below `SHORTEST`.  A span so
    short that even steps would be less than half of that (between the steps of a plate's tapered end) has fewer.

    The section jumps at a span's end (a hole's rim), and what warps there goes by the step beside it: that error falls
    with the length of this step, which so falls with the square of their number.
    """
    length = span.end - span.start
    ends = min(ENDS, length / (2 * SHORTEST * taper_steps**2))
    first, last = (_counted((v - span.start) / length, ends) for v in (a, b))
    wanted = int(np.ceil(taper_steps * (last - first) - 1e-9))
    count = max(1, min(wanted, int(2 * (b - a) / SHORTEST + 1e-9)))
    return [a, *(span.start + length * _placed(float(c), ends) for c in np.linspace(first, last, count + 1)[1:-1]), b]


def _placed(count: float, ends: float) -> float:
    """Share of a taper's length behind which a share of its steps lies: the steps' length grows evenly over the first
    `ends` of them, stays, and falls evenly over the last."""
    if count > 0.5:
        return 1 - _placed(1 - count, ends)
    return (count**2 / (2 * ends) if count < ends else count - ends / 2) / (1 - ends)


def _counted(place: float, ends: float) -> float:
    """The share of steps before a share of a taper's length: `_placed` the other way round."""
    if place > 0.5:
        return 1 - _counted(1 - place, ends)
    even = max(place, 0.0) * (1 - ends)
    return float(np.sqrt(2 * ends * even)) if even < ends / 2 else even + ends / 2


def _divided(cuts: list[float], refine: int) -> list[float]:
    """Every interval between cuts in `refine` equal ones."""
    return [cuts[0], *(float(v) for a, b in itertools.pairwise(cuts) for v in np.linspace(a, b, refine + 1)[1:])]
