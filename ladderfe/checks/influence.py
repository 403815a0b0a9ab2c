"""Which assumption moves the governing number most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ladderfe.chassis import Assumption, Chassis
from ladderfe.errors import LadderFEError

__all__ = ["Influence", "rank_assumptions"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """An assumption and the governing utilisation with its low and its high value; None where the model then
    contradicts itself (for instance a line load that turns negative)."""

    assumption: Assumption
    at_low: float | None
    at_high: float | None
    used: float

    @property
    def reach(self) -> float:
        """Greatest change of the governing utilisation."""
        return max((abs(v - self.used) for v in (self.at_low, self.at_high) if v is not None), default=0.0)


def rank_assumptions(
    chassis: Chassis,
    used: float,
    moved: Callable[[Chassis, str, float], Chassis],
    governing: Callable[[Chassis], float],
) -> tuple[Influence, ...]:
    """Every assumption moved to its low and high value, the rest as used; the one that matters most first.

    `moved` rebuilds the chassis with one assumption changed, `governing` gives its greatest utilisation.
    """

    def at(a: Assumption, value: float) -> float | None:
        if value == a.used:
            return used
        try:
            return governing(moved(chassis, a.key, value))
        except LadderFEError:
            return None

    found = [
        Influence(assumption=a, at_low=at(a, a.low), at_high=at(a, a.high), used=used) for a in chassis.assumptions
    ]
    return tuple(sorted(found, key=lambda i: -i.reach))
