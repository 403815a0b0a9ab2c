"""The price of a place chosen for a splice: against the best window, in numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.fatigue_ratio import FatigueRatio, FatigueState, fatigue_ratio
from ladderfe.advice.splice_cuts import CutUse, cut_uses, steel_for
from ladderfe.advice.splice_windows import PLATE, STAGGER, PlaceUse, RailView, Window, place_use
from ladderfe.advice.splice_zones import RUSTED
from ladderfe.checks.along_rails import SLOPE_THREE
from ladderfe.checks.cycles import Cycles
from ladderfe.connections import Broken, Rule
from ladderfe.connections.inputs import COMMON

__all__ = ["CODE", "Price", "price"]

Array = NDArray[np.float64]
JUDGED: Final = "own judgement, no source"
#: Where the rule on plates stands.
CODE: Final = "a heavy-vehicle code, 2021: plates not more than the rail's thickness, 2 H each side"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Price:
    """A chosen place beside the best window of its rail (None where that has none).

    broken: rules that it does not keep, with the numbers; range_ratio (k,): stress range of each cycle over that at the
    best place, nan where that has none; fatigue: damage there over that at the best place.  cuts: ways to cut there;
    steel: in words what welds are judged by.  other: stretch of the other rail in which its joint should not lie.
    """

    place: PlaceUse
    best: PlaceUse | None
    broken: tuple[Broken, ...]
    range_ratio: Array | None
    fatigue: FatigueRatio | None
    cuts: tuple[CutUse, ...]
    steel: str
    other: tuple[float, float]


def price(view: RailView, cycles: Cycles, own: tuple[Window, ...], station: float) -> Price:
    """What a joint at a station of a rail costs; `own`: windows of that rail, ranked."""
    here, best = place_use(view, station), own[0].best if own else None
    steel, words = steel_for(view.sections.findings.chassis.material.yield_stress)
    reach = STAGGER * here.depth
    return Price(
        place=here,
        best=best,
        broken=(*_zones(view, here), *_room(here)),
        range_ratio=None if best is None else _over(here.worst, best.worst),
        fatigue=None if best is None else fatigue_ratio(_state(best, cycles), _state(here, cycles)),
        cuts=cut_uses(view.sections, cycles, station, here.depth, steel),
        steel=words,
        other=(station - reach, station + reach),
    )


def _zones(view: RailView, here: PlaceUse) -> list[Broken]:
    """Distances that are not kept."""
    out = []
    for z in view.zones:
        if z.start < here.station < z.end or z.begins <= here.station <= z.ends:
            name = f"distance to {z.what}"
            why = ("sound metal around a weld", JUDGED) if z.kind in RUSTED else ("one rail depth or 150 mm", COMMON)
            rule = Rule(name=name, bound="at least", limit=z.off, source=why[0], status=why[1])
            out.append(Broken(rule, z.gap(here.station)))
    return out


def _room(here: PlaceUse) -> list[Broken]:
    """Room that plates lack."""
    out = []
    for side, room, what in zip(("front", "rear"), here.room, here.beside, strict=True):
        if room < here.plate:
            name = f"room for plates on the {side} side, up to {what},"
            out.append(
                Broken(
                    Rule(
                        name=name,
                        bound="at least",
                        limit=PLATE * here.depth,
                        source=CODE,
                        status="value from memory, text not seen",
                    ),
                    room,
                )
            )
    return out


def _over(here: Array, best: Array) -> Array:
    return np.where(best > 0, here / np.where(best > 0, best, 1.0), np.nan)


def _state(place: PlaceUse, cycles: Cycles) -> FatigueState:
    """The worst point of a place; the same detail everywhere, which drops out of a ratio."""
    return FatigueState(
        name=f"{place.side} {place.station:g}",
        places=(f"{place.side} rail at {place.station:g} mm",),
        ranges=place.worst[:, None],
        shares=cycles.shares,
        details=SLOPE_THREE,
        pitted=np.array([place.pitted]),
    )
