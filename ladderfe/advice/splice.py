"""Where the rails of a chassis may be cut and spliced: zones, windows, the best pair, and the price of other places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ladderfe.advice.splice_cuts import cut_stations
from ladderfe.advice.splice_price import Price, price
from ladderfe.advice.splice_windows import (
    PLATE,
    PlaceUse,
    RailView,
    Window,
    best_pair,
    depth_at,
    stations_for,
    windows,
)
from ladderfe.advice.splice_zones import Zone, forbidden, marked
from ladderfe.chassis import Chassis, Side
from ladderfe.checks import Findings
from ladderfe.checks.along_rails import along_rails
from ladderfe.checks.contraflexure import Contraflexure, contraflexure
from ladderfe.checks.cycles import TWIST_SHARE, Cycles, stated_cycles, usual_cycles
from ladderfe.condition import Found
from ladderfe.condition.rails import rail_of, shape_at
from ladderfe.errors import ModelError

__all__ = ["At", "Splice", "splice"]

At = tuple[Side, float]
"""Side and station of a chosen place."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Splice:
    """Left and right rail with their windows (ranked, left rail first), the best staggered pair of joints (None where
    there is none), contraflexure of every case, and the prices of chosen places."""

    findings: Findings
    found: Found | None
    cycles: Cycles
    rails: tuple[RailView, RailView]
    windows: tuple[Window, ...]
    pair: tuple[PlaceUse, PlaceUse] | None
    contraflexure: tuple[Contraflexure, ...]
    prices: tuple[Price, ...]

    def of(self, side: str) -> tuple[Window, ...]:
        """Windows of one rail, ranked."""
        return tuple(w for w in self.windows if w.side == side)

    @property
    def exceeded(self) -> bool:
        """Whether something is over its limit within reach of the plates of the best pair or of a chosen place."""
        places = [*(self.pair or ()), *(p.place for p in self.prices)]
        return any(p.around > 1 for p in places)


def splice(
    built: Chassis,
    findings: Findings,
    *,
    found: Found | None = None,
    at: Sequence[At] = (),
    twist_share: float = TWIST_SHARE,
) -> Splice:
    """Windows and prices for a chassis that was checked.

    built : the chassis of the file; `findings` are those of the chassis as found where readings are at hand, then
    `found` too.  twist_share counts where the file states no cycles.  Raises ModelError for a chosen place that is not
    on its rail.
    """  # fmt: skip
    for side, station in at:
        _on_rail(built, side, station)
    chassis, solution = findings.chassis, findings.solution
    cycles = stated_cycles(chassis, solution) or usual_cycles(chassis, solution, twist_share)
    zones: dict[str, tuple[Zone, ...]] = {r.side: forbidden(built, r, found) for r in built.rails}
    extra: dict[str, list[float]] = {r.side: stations_for(r, zones[r.side]) for r in built.rails}
    for side, station in at:
        extra[side] += _stations(built, side, station)
    sections = along_rails(findings, cycles, extra)
    left, right = (
        RailView(rail=rail_of(built, s.side), sections=s, zones=zones[s.side],
                 marks=marked(built, rail_of(built, s.side)), found=found)
        for s in sections
    )  # fmt: skip
    own = (*windows(left), *windows(right))
    views = {v.side: v for v in (left, right)}
    return Splice(
        findings=findings,
        found=found,
        cycles=cycles,
        rails=(left, right),
        windows=own,
        pair=best_pair(left, right, own),
        contraflexure=tuple(c for s in sections for c in contraflexure(findings.solution, s.rows, s.side)),
        prices=tuple(price(views[s], cycles, tuple(w for w in own if w.side == s), x) for s, x in at),
    )


def _on_rail(chassis: Chassis, side: str, station: float) -> None:
    rail = rail_of(chassis, side)
    if not rail.start <= station <= rail.end:
        raise ModelError(
            f"place {side} {station:g}",
            f"the {rail.name} runs from {rail.start:g} to {rail.end:g} mm",
            "Give a station on it, mm rearward from the datum of the chassis file",
        )


def _stations(chassis: Chassis, side: str, station: float) -> list[float]:
    """Where sections are wanted for a chosen place."""
    rail = rail_of(chassis, side)
    depth, width = depth_at(rail, station), float(shape_at(rail, station).width)
    wanted = [*cut_stations(depth, width, station), station - PLATE * depth, station + PLATE * depth]
    return [x for x in wanted if rail.start <= x <= rail.end]
