"""Stress along a rail whose section changes: rows at stated stations, and where the utilisation governs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.hand.beam import BeamResult
from ladderfe.hand.piecewise import SIDES, Array, Beside, sign_changes
from ladderfe.hand.section import HandSection, hand_section
from ladderfe.sections import Section, Shape, between

__all__ = ["Permissible", "RailSpan", "StressRow", "governing_rows", "stress_rows"]

NODES = 17  # of the Chebyshev interpolant of Z(x) in a taper: sizes vary linearly, so Z is smooth; below 1e-6 by test


@dataclass(frozen=True, slots=True, kw_only=True)
class Permissible:
    """Permissible stresses in MPa: bending, and average over the webs; `source` says where they come from."""

    bending: float = 165.0
    shear: float = 100.0
    source: str = "common practice for mild steel, no source"

    def __post_init__(self) -> None:
        if not (self.bending > 0 and self.shear > 0):
            raise ModelError("permissible stresses", f"bending {self.bending:g} and shear {self.shear:g} N/mm2",
                             "Give both greater than 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class RailSpan:
    """A stretch of rail from `start` to `end` (mm) with one section, or tapering to `shape_end`."""

    start: float
    end: float
    shape: Shape | Section
    shape_end: Shape | None = None

    @property
    def tapers(self) -> bool:
        return self.shape_end is not None and self.shape_end != self.shape

    def section(self, station: float) -> HandSection:
        if self.shape_end is None or self.shape_end == self.shape:
            return hand_section(self.shape)
        if isinstance(self.shape, Section):
            raise ModelError("rail", "a section given wall by wall cannot taper",
                             "Taper between two shapes of one kind")
        along = min(max((station - self.start) / (self.end - self.start), 0.0), 1.0)
        return hand_section(between(self.shape, self.shape_end, along))


@dataclass(frozen=True, slots=True, kw_only=True)
class StressRow:
    """Stress just ahead of or behind a station (`beside` is "" where both are alike or one is missing); N, mm, MPa."""

    station: float
    beside: str
    section: HandSection
    shear: float
    moment: float
    permissible: Permissible = field(repr=False)

    @property
    def top(self) -> float:
        return self.section.bending(self.moment)[0]

    @property
    def bottom(self) -> float:
        return self.section.bending(self.moment)[1]

    @property
    def bending(self) -> float:
        """The greater of the two flange stresses, its size."""
        return max(abs(self.top), abs(self.bottom))

    @property
    def average_shear(self) -> float:
        return self.section.average_shear(self.shear)

    @property
    def thinner_shear(self) -> float | None:
        """Of the thinner web with half of the force; None where no web is thinner."""
        return self.section.thinner_shear(self.shear)

    @property
    def web_shear(self) -> float:
        """The greater of both."""
        return self.section.web_shear(self.shear)

    @property
    def peak_shear(self) -> float:
        return self.section.peak_shear(self.shear)

    @property
    def bending_utilisation(self) -> float:
        return self.bending / self.permissible.bending

    @property
    def shear_utilisation(self) -> float:
        """Of the average over the webs, or of that over the thinner one; the peak is no part of it."""
        return self.web_shear / self.permissible.shear

    @property
    def utilisation(self) -> float:
        return max(self.bending_utilisation, self.shear_utilisation)


def _section_at(spans: Iterable[RailSpan], station: float, beside: Beside) -> HandSection | None:
    """The section just ahead of or behind a station; None beyond the rail's ends."""
    for span in spans:
        if (span.start <= station < span.end) if beside == "behind" else (span.start < station <= span.end):
            return span.section(station)
    return None


def _row(
    result: BeamResult, spans: tuple[RailSpan, ...], permissible: Permissible, station: float, beside: Beside
) -> StressRow:
    """The row on one side of a station; at the rail's end the only side there is."""
    section = _section_at(spans, station, beside)
    if section is None:
        beside = "ahead" if beside == "behind" else "behind"
        section = _section_at(spans, station, beside)
    if section is None:
        raise ModelError("rail", f"no section is given at {station:g} mm",
                         "Give spans end to end from the rail's start to its end")
    shear = result.shear_beside(station)[0 if beside == "ahead" else 1]
    return StressRow(station=station, beside=beside, section=section, shear=shear, moment=float(result.moment(station)),
                     permissible=permissible)


def stress_rows(
    result: BeamResult, spans: tuple[RailSpan, ...], permissible: Permissible, stations: Iterable[float]
) -> tuple[StressRow, ...]:
    """Rows at the stations in order, two where shear or section differ ahead of and behind the station."""
    rows: list[StressRow] = []
    small = 1e-9 * sum(map(abs, result.reactions))
    for x in sorted(set(stations)):
        ahead, behind = (_row(result, spans, permissible, x, side) for side in SIDES)
        alike = ahead.section == behind.section and abs(ahead.shear - behind.shear) <= small
        rows += [replace(behind, beside="")] if alike or ahead.beside == behind.beside else [ahead, behind]
    return tuple(rows)


def governing_rows(
    result: BeamResult, spans: tuple[RailSpan, ...], permissible: Permissible
) -> tuple[StressRow, StressRow]:
    """The rows where bending and where web shear are utilised most.

    Where the section is constant the greatest is at a turning point of M or of V, a knot of the load or an end of the
    span, all exact; where it tapers the ratio is searched between those places.
    """
    _check_spans(result, spans)
    fixed = [*map(float, result.load.knots), *(p.station for p in result.turning_points)]
    fixed += sign_changes(result.load, 0.0)
    fixed += [x for span in spans for x in (span.start, span.end) if result.beam.start <= x <= result.beam.end]
    inside = [x for span in spans if span.tapers for x in _searched(result, span, sorted(set(fixed)))]
    rows = stress_rows(result, spans, permissible, (*fixed, *inside))
    return max(rows, key=lambda r: r.bending_utilisation), max(rows, key=lambda r: r.shear_utilisation)


def _searched(result: BeamResult, span: RailSpan, fixed: list[float]) -> list[float]:
    """Stations inside a taper where |M|/Z or |V| over the area of its webs (of the thinner one twice, where that is
    less) is greatest between two neighbouring fixed places."""
    domain = [span.start, span.end]
    nodes = np.polynomial.chebyshev.chebpts1(NODES) * (span.end - span.start) / 2 + (span.start + span.end) / 2
    sections = [span.section(float(x)) for x in nodes]

    def fitted(values: list[float]) -> Callable[[Array], Any]:
        return np.polynomial.Chebyshev.fit(nodes, values, NODES - 1, domain=domain)

    Z_top, Z_bottom = fitted([s.Z_top for s in sections]), fitted([s.Z_bottom for s in sections])
    web_area = fitted([s.web_area for s in sections])
    thinner = fitted([s.depth * min(s.webs) * 2 if len(s.webs) == 2 else s.web_area for s in sections])
    ratios: tuple[Callable[[Array], Any], ...] = (
        lambda x: np.abs(result.moment(x)) / np.minimum(Z_top(x), Z_bottom(x)),
        lambda x: np.abs(result.shear(x)) / np.minimum(web_area(x), thinner(x)),
    )
    stops = [x for x in fixed if span.start <= x <= span.end]
    return [_greatest(ratio, a, b) for a, b in pairwise(stops) for ratio in ratios]


def _greatest(function: Callable[[Array], Any], a: float, b: float) -> float:
    """Where a smooth function is greatest strictly inside a..b: sampled, then sampled again around the best."""
    for _ in range(4):
        x = np.linspace(a, b, 65)
        best = 1 + int(np.argmax(function(x[1:-1])))
        a, b = float(x[best - 1]), float(x[best + 1])
    return (a + b) / 2


def _check_spans(result: BeamResult, spans: tuple[RailSpan, ...]) -> None:
    joined = all(one.end == other.start for one, other in pairwise(spans))
    if not (spans and joined and spans[0].start <= result.beam.start and spans[-1].end >= result.beam.end):
        stretches = ", ".join(f"{s.start:g} to {s.end:g}" for s in spans) or "none"
        rail = f"{result.beam.start:g} to {result.beam.end:g} mm"
        raise ModelError(
            "rail", f"its spans ({stretches} mm) do not join end to end over {rail}",
            "Give each span the end of the one before as its start",
        )
