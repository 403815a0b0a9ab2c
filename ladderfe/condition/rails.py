"""The rails' walls as built, station by station."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from ladderfe.chassis import Chassis, Rail, Side, Span
from ladderfe.sections import Shape, between, wall_thickness

__all__ = ["SAME", "SIDES", "Zone", "rail_of", "shape_at", "shape_in", "span_at", "wall_names", "walls_at", "zones_of"]

#: What the faces toward -y and +y are called on each rail, as in the mesh.
SIDES: Final[dict[str, tuple[str, str]]] = {"left": ("outer", "inner"), "right": ("inner", "outer")}
#: Stations this near, mm, are one.
SAME: Final = 1.0


@dataclass(frozen=True, slots=True)
class Zone:
    """A stretch of rail along which one wall runs on without a step, mm."""

    wall: str
    start: float
    end: float


def rail_of(chassis: Chassis, side: str) -> Rail:
    """The rail of a side."""
    return chassis.rails[0] if chassis.rails[0].side == side else chassis.rails[1]


def span_at(rail: Rail, station: float) -> Span:
    """The span at a station, at a step the one that begins there."""
    return next((s for s in reversed(rail.spans) if s.start <= station + 0.1), rail.spans[0])


def shape_in(span: Span, station: float) -> Shape:
    """The shape of a span at a station within it."""
    if span.shape_end is None or station <= span.start:
        return span.shape
    if station >= span.end:
        return span.shape_end
    share = (station - span.start) / (span.end - span.start)
    return between(span.shape, span.shape_end, share)


def shape_at(rail: Rail, station: float) -> Shape:
    """The rail's shape at a station, at a step that of the span that begins there."""
    return shape_in(span_at(rail, station), station)


def walls_at(rail: Rail, station: float) -> dict[str, float]:
    """Thickness of each wall that can be read at a station, mm."""
    return wall_thickness(shape_at(rail, station), SIDES[rail.side])


def wall_names(chassis: Chassis, side: Side | None, station: float | None) -> list[str]:
    """Names of the walls at a station, of both rails where the side is not known, all along where the station is not or
    lies off them."""
    rails = chassis.rails if side is None else (rail_of(chassis, side),)
    on = [r for r in rails if station is not None and r.start - SAME <= station <= r.end + SAME]
    if on:
        return list(dict.fromkeys(w for r in on for w in walls_at(r, station or 0.0)))
    return list(dict.fromkeys(w for r in rails for s in r.spans for w in wall_thickness(s.shape, SIDES[r.side])))


def zones_of(rail: Rail, wall: str) -> list[Zone]:
    """Stretches along which a wall runs on: a step of the section ends one."""
    out: list[Zone] = []
    before: Span | None = None
    for span in rail.spans:
        if wall in wall_thickness(span.shape, SIDES[rail.side]):
            runs_on = before is not None and (before.shape_end or before.shape) == span.shape
            if out and runs_on:
                out[-1] = Zone(wall, out[-1].start, span.end)
            else:
                out.append(Zone(wall, span.start, span.end))
            before = span
        else:
            before = None
    return out
