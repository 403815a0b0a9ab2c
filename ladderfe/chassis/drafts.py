"""A rail as far as a chassis file tells it: places may be nan and shapes missing until all faults are known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isnan, nan
from typing import Final

from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import PathPoint, Rail, Side, Span
from ladderfe.sections import Shape

__all__ = ["SAME", "RailDraft", "Rails", "SpanDraft", "along", "note_off_rails"]

#: Stations that agree within this are the same place, mm.
SAME: Final = 0.05


@dataclass(frozen=True, slots=True)
class SpanDraft:
    """A span as far as it is known: places and sizes may be nan, shapes None."""

    start: float
    end: float
    shape: Shape | None
    shape_end: Shape | None

    def outline(self, station: float) -> tuple[float, float]:
        """(width, depth) at a station, nan where unknown."""
        if self.shape is None or not self.end > self.start:
            return nan, nan
        if self.shape_end is None:
            return self.shape.width, self.shape.depth
        s = min(max((station - self.start) / (self.end - self.start), 0.0), 1.0)
        a, b = self.shape, self.shape_end
        return a.width + s * (b.width - a.width), a.depth + s * (b.depth - a.depth)


@dataclass(frozen=True, slots=True)
class RailDraft:
    """A rail as far as it is known; `path` are points of the middle of its outline."""

    side: Side
    path: tuple[PathPoint, ...]
    spans: tuple[SpanDraft, ...]

    @property
    def sign(self) -> int:
        return -1 if self.side == "left" else 1

    @property
    def start(self) -> float:
        return self.path[0].station if self.path else nan

    @property
    def end(self) -> float:
        return self.path[-1].station if self.path else nan

    def misses(self, station: float) -> bool:
        """Whether a station lies off the rail's ends; False where these are unknown."""
        return not isnan(self.start + self.end) and (station < self.start - SAME or station > self.end + SAME)

    def half(self, station: float) -> float:
        """Distance of the rail's middle from the centre line."""
        return along(station, [(p.station, p.half_spacing) for p in self.path])

    def height(self, station: float) -> float:
        """Height of the rail's middle."""
        return along(station, [(p.station, p.height) for p in self.path])

    def outline(self, station: float) -> tuple[float, float]:
        """(width, depth) at a station; the span that begins there where two meet."""
        holds = [s for s in self.spans if s.start - SAME <= station <= s.end + SAME]
        return holds[-1].outline(station) if holds else (nan, nan)

    def shape(self, station: float) -> Shape | None:
        """The shape at a station, of the span that begins there where two meet; None where unknown."""
        holds = [s for s in self.spans if s.start - SAME <= station <= s.end + SAME]
        return holds[-1].shape if holds else None

    def rail(self) -> Rail:
        """The finished rail; every span must have its shape."""
        spans = tuple(
            Span(start=s.start, end=s.end, shape=s.shape, shape_end=s.shape_end) for s in self.spans if s.shape
        )
        return Rail(side=self.side, path=self.path, spans=spans)


def along(station: float, line: Sequence[tuple[float, float]]) -> float:
    """Linear between the points of a line, level beyond its ends; nan where it has none."""
    if not line or isnan(station):
        return nan
    for (a, one), (b, other) in pairwise(line):
        if station <= b:
            return one if station <= a or not b > a else one + (station - a) / (b - a) * (other - one)
    return line[-1][1]


Rails = tuple[RailDraft, RailDraft]


def note_off_rails(faults: Faults, path: Path, rails: Sequence[RailDraft], station: float) -> None:
    """Note a station off the ends of any of the rails."""
    off = [r for r in rails if r.misses(station)]
    if not off:
        return
    alike = len(off) == 2 and (off[0].start, off[0].end) == (off[1].start, off[1].end)
    where = "the rails, which reach" if alike else f"the {off[0].side} rail, which reaches"
    faults.add(
        path,
        f"lies off {where} from {off[0].start:g} to {off[0].end:g} mm",
        "Measure it from the same datum as the rails' stations",
        value=f"{station:g}",
    )
