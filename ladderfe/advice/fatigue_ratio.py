"""Fatigue of two states of a frame beside each other: the ratio of their damages, with a wide band, never a life.

Two questions: what one place suffers in both states, and what the worst place of one suffers against the worst of the
other (a repair moves the worst place).  On pitted metal no category of any standard holds, since they are for clean
metal: there no ratio is told.  Readings below `PITTED_BELOW` of the thickness as built count as pitted unless stated
(own judgement; common practice, no source), and so does what rings dull or has a hole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.condition import Found
from ladderfe.connections import Category, damage, damage_ratio, worst_ratio
from ladderfe.connections.fatigue import DamageRatio
from ladderfe.errors import ModelError

__all__ = ["PITTED_BELOW", "SUSPECT_REACH", "FatigueRatio", "FatigueState", "fatigue_ratio", "pitted_at"]

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
WHERE: Final = "fatigue ratio"
#: Left of the thickness as built; below it metal counts as pitted.
PITTED_BELOW: Final = 0.8
#: A place that rings dull speaks so far to either side, mm (own judgement, no source).
SUSPECT_REACH: Final = 50.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FatigueState:
    """A state at p places: their names; ranges (k, p) MPa of nominal stress in the k cycles of the mix, shares (k,) of
    these; the detail at each place, or one for all; pitted (p,), whether the metal there is."""

    name: str
    places: tuple[str, ...]
    ranges: Array
    shares: Array
    details: tuple[Category, ...] | Category
    pitted: Flags

    def __post_init__(self) -> None:
        p = len(self.places)
        if self.ranges.shape != (len(self.shares), p) or self.pitted.shape != (p,):
            raise ModelError(
                f"{WHERE}, {self.name}",
                f"ranges of the shape {self.ranges.shape} and pitted of "
                f"{self.pitted.shape} for {len(self.shares)} cycles at {p} places",
                "Give one of each",
            )
        if not isinstance(self.details, Category) and len(self.details) != p:
            raise ModelError(
                f"{WHERE}, {self.name}",
                f"{len(self.details)} details at {p} places",
                "Give one for each place, or one for all",
            )

    @property
    def detail_of(self) -> tuple[Category, ...]:
        """The detail of each place."""
        one = self.details
        return (one,) * len(self.places) if isinstance(one, Category) else one

    @property
    def damage(self) -> Array:
        """(p,) damage of one cycle of the mix; nan on pitted metal, for which there is no category."""
        each = [damage(self.ranges[:, k], self.shares, d) for k, d in enumerate(self.detail_of)]
        return np.where(self.pitted, np.nan, np.array(each, dtype=np.float64))

    @property
    def slope(self) -> float:
        """The steepest slope of its details."""
        return max(d.slope for d in self.detail_of)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FatigueRatio:
    """Damage of the later state over that of the first.

    same (p,): at the same places, nan where either is pitted, or has no range before and so no ratio; None where the
    states have other places.  worst: worst place over worst place among those that are not pitted, None where one
    state has none, with the places' names.  pitted: names left out in either state.
    """

    same: DamageRatio | None
    worst: DamageRatio | None
    worst_places: tuple[str, str]
    pitted: tuple[str, ...]
    notes: tuple[str, ...]


def fatigue_ratio(first: FatigueState, later: FatigueState) -> FatigueRatio:
    """Both comparisons of two states, `later` over `first`; the band is that of the steeper slope of the two."""
    before, after = first.damage, later.damage
    slope = max(first.slope, later.slope)
    left_out = [n for s in (first, later) for n, bad in zip(s.places, s.pitted.tolist(), strict=True) if bad]
    notes = []
    if left_out:
        notes.append("No category holds on pitted metal, so no damage is told there; it may suffer "
                     "more than all that is told.")  # fmt: skip
    worst, places = _worst(first, later, before, after, slope)
    if worst is None:
        notes.append("One of the states has no place with a category and a range of stress, so there is no ratio of "
                     "the worst places.")  # fmt: skip
    return FatigueRatio(
        same=_same(before, after, slope) if first.places == later.places else None,
        worst=worst,
        worst_places=places,
        pitted=tuple(dict.fromkeys(left_out)),
        notes=tuple(notes),
    )


def _same(before: Array, after: Array, slope: float) -> DamageRatio:
    counts = np.isfinite(before) & np.isfinite(after) & (before > 0)
    filled = damage_ratio(np.where(counts, after, 0.0), np.where(counts, before, 1.0), slope)
    ratio, low, high = (np.where(counts, v, np.nan) for v in (filled.ratio, filled.low, filled.high))
    return replace(filled, ratio=ratio, low=low, high=high)


def _worst(
    first: FatigueState, later: FatigueState, before: Array, after: Array, slope: float
) -> tuple[DamageRatio | None, tuple[str, str]]:
    one, two = (np.flatnonzero(np.isfinite(d)) for d in (before, after))
    if not len(one) or not len(two) or not before[one].max() > 0:
        return None, ("", "")
    ratio, there, here = worst_ratio(after[two], before[one], slope)
    return ratio, (first.places[int(one[here])], later.places[int(two[there])])


def pitted_at(found: Found | None, side: str, stations: Sequence[float] | Array, stated: bool | None = None) -> Flags:
    """(p,) whether the rail's metal counts as pitted at stations: some wall is read below `PITTED_BELOW` of as built,
    rings dull within `SUSPECT_REACH` or is gone; `stated` overrules all of it.  Nothing is pitted where nothing was
    read."""
    at = np.asarray(stations, dtype=np.float64)
    if stated is not None or found is None:
        return np.full(at.shape, bool(stated))
    out = np.zeros(at.shape, dtype=bool)
    for s in found.stretches_of(side):
        bad = any(w.basis != "assumed" and w.least < PITTED_BELOW * w.nominal for w in s.walls)
        out |= bad & (at >= s.start) & (at <= s.end)
    for dull in found.suspects:
        out |= (dull.side == side) & (np.abs(at - dull.station) <= SUSPECT_REACH)
    return out
