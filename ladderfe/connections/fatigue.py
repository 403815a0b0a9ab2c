"""Fatigue of a repair beside the frame as it was: a ratio of damages, with a wide band; no life is stated.

Damage of one passage of the mix is the sum over its cycles of share (stress range/category)^m, m = 3 for all details
but shear of throats: Palmgren-Miner with EN 1993-1-9:2005 7.1 (N = 2e6 (category/range)^m, from memory, text not seen).
The ratio of two such sums needs neither the number of passages nor a partial factor that is alike in both.

The standard's thresholds (slope 5 below the range of five million cycles, nothing below the cut-off) are not credited:
they hold while the frame is kept from rust, and a few high ranges end them.  Without them low ranges count for more:
each damage comes out greater, while their ratio may move either way.

The band is a factor 2 on stress range, so 2^m on damage either way (8 at m = 3): common practice, no source.  It stands
for what both states do not share: nominal stress beside a detail, quality of the weld, residual stress, metal that was
strained for decades.  A stress off by a quarter alone is a factor 2.  Within the band a ratio tells nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.categories import Category
from ladderfe.connections.inputs import Array, numbers, positive, unknown
from ladderfe.errors import ModelError

__all__ = ["BAND_ON_STRESS", "Cycle", "DamageRatio", "damage", "damage_ratio", "stress_ranges", "worst_ratio"]

WHERE: Final = "fatigue"
BAND_ON_STRESS: Final = 2.0
SUM: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """A stress cycle between two named cases; `share` of all cycles of the mix that are of this kind."""

    first: str
    second: str
    share: float

    def __post_init__(self) -> None:
        positive("cycle", f"the share of {self.first} and {self.second}", self.share)
        if self.first == self.second:
            raise ModelError("cycle", f'it goes from "{self.first}" to itself', "Name two cases")


@dataclass(frozen=True, slots=True, eq=False)
class DamageRatio:
    """Damage repaired over damage as it was, (...): above 1 the repair is the worse; low, high: its band."""

    ratio: Array
    low: Array
    high: Array


def stress_ranges(cases: Sequence[str], stress: npt.ArrayLike, cycles: Sequence[Cycle]) -> tuple[Array, Array]:
    """Ranges (k, ...) MPa of k cycles from stresses (c, ...) MPa of c named cases, and their shares (k,).

    The whole range counts, in compression too.  Raises ModelError for a case nobody knows and shares that are not 1 in
    all.
    """
    values = numbers(WHERE, "a stress", stress)
    if values.ndim == 0 or len(values) != len(cases):
        raise ModelError(WHERE, f"stresses of the shape {values.shape} for {len(cases)} cases",
                         "Give one row for each case")
    shares = np.array([c.share for c in cycles])
    if abs(shares.sum() - 1) > SUM:
        raise ModelError(WHERE, f"the shares of its cycles add up to {shares.sum():g}", "Give shares that add up to 1")
    row = {name: i for i, name in enumerate(cases)}
    for name in (n for c in cycles for n in (c.first, c.second)):
        if name not in row:
            raise unknown("cycle", name, row)
    one, two = ([row[n] for n in names] for names in zip(*((c.first, c.second) for c in cycles), strict=True))
    out: Array = np.abs(values[one] - values[two])
    return out, shares


def damage(ranges: npt.ArrayLike, shares: npt.ArrayLike, detail: Category) -> Array:
    """(...) damage of one cycle of the mix: sum of share (range/category)^m / 2e6; ranges (k, ...) MPa, shares (k,)."""
    span = numbers(WHERE, "a stress range", ranges, 0.0)
    n = numbers(WHERE, "a share", shares, 0.0)
    if span.ndim == 0 or n.shape != span.shape[:1]:
        raise ModelError(WHERE, f"{n.size} shares for ranges of the shape {span.shape}",
                         "Give one share for each range")
    out: Array = np.tensordot(n, (span / detail.stress_range) ** detail.slope, axes=1) / 2e6
    return out


def damage_ratio(repaired: npt.ArrayLike, original: npt.ArrayLike, slope: float = 3.0) -> DamageRatio:
    """Damages (...) of the repaired over the original state at the same places, with the band of a factor on stress.

    slope : the steeper of the two details' m.  Raises ModelError where the original has no damage: there is no ratio.
    """
    after, before = numbers(WHERE, "a damage", repaired, 0.0), numbers(WHERE, "a damage", original, 0.0)
    if np.any(before == 0):
        raise ModelError(WHERE, "the original has no stress range at a place, so there is no ratio to it",
                         "Compare the worst places of the two states")
    width = BAND_ON_STRESS ** float(positive(WHERE, "the slope", slope))
    ratio = np.asarray(after / before)
    return DamageRatio(ratio, ratio / width, ratio * width)


def worst_ratio(
    repaired: npt.ArrayLike, original: npt.ArrayLike, slope: float = 3.0
) -> tuple[DamageRatio, int, int]:
    """The worst place of the repaired state (p,) against the worst of the original (q,), and where each is.

    Their places need not be the same ones: a repair moves the worst place, to the end of its plate as a rule.
    """
    after, before = (np.atleast_1d(numbers(WHERE, "a damage", d, 0.0)) for d in (repaired, original))
    if after.ndim != 1 or before.ndim != 1 or not (after.size and before.size):
        raise ModelError(WHERE, f"damages of the shapes {after.shape} and {before.shape}",
                         "Give a row of places for each")
    here, there = int(np.argmax(after)), int(np.argmax(before))
    return damage_ratio(after[here], before[there], slope), here, there
