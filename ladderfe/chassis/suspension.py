"""What an axle has beside its springs: motion ratio, anti-roll bar, bump stops, droop straps, tyres."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isinf
from typing import Any

from ladderfe.chassis.assumed import Assumed
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.taken import suspension_guess

__all__ = ["read_suspension"]


@dataclass(frozen=True, slots=True)
class _Reader:
    faults: Faults
    path: Path
    table: Any
    axle: str
    leaf: bool
    assumed: Assumed

    def take(self, key: str) -> float:
        """What the table gives, else what is taken, in the unit of the file."""
        stated: float | None = getattr(self.table, key)
        if stated is not None:
            return stated
        guess = suspension_guess(key, self.axle, leaf=self.leaf)
        return self.assumed.take(f"axles.{self.axle}.{key}", None, guess)

    def motion_ratio(self, kind: str) -> float:
        """1 on a beam axle, whose springs stand on it."""
        if kind == "independent":
            return self.take("motion_ratio")
        if self.table.motion_ratio not in (None, 1.0):
            hint = 'Leave it out, or write suspension = "independent" where there is no beam'
            self.faults.add((*self.path, "motion_ratio"), "must be 1 on a beam axle: its springs stand on it", hint)
        return 1.0

    def stop(self, gap_key: str, rate_key: str, what: str) -> tuple[float, float | None]:
        """Travel until a stop or strap takes hold and its rate, (inf, None) where there is none."""
        gap, rate = getattr(self.table, gap_key), getattr(self.table, rate_key)
        if gap is not None:
            return gap, self.take(rate_key)
        if rate is not None:
            rule = f"has no meaning without {gap_key}"
            hint = f"Give {gap_key}, the travel until the {what} takes hold, or leave {rate_key} out"
            self.faults.add((*self.path, rate_key), rule, hint)
        return inf, None


def read_suspension(
    faults: Faults, path: Path, table: Any, axle: str, assumed: Assumed, *, kind: str, leaf: bool,
    hangs: bool = False,
) -> dict[str, Any]:
    """Fields of an Axle in N and mm, with the values taken where the file gives none; faults are noted.

    hangs: the axle hangs from the frame in some case: where its springs cannot hold it something must.
    """
    reader = _Reader(faults, path, table, axle, leaf, assumed)
    bump_gap, bump_rate = reader.stop("bump_gap", "bump_rate", "bump stop")
    droop, strap_rate = reader.stop("droop", "strap_rate", "strap")
    pull = reader.take("pull") * 1e3
    if hangs and isinf(droop) and not isinf(pull):
        droop = assumed.take(f"axles.{axle}.droop", None, suspension_guess("droop", axle, leaf=leaf))
        strap_rate = reader.take("strap_rate")
    return {
        "motion_ratio": reader.motion_ratio(kind),
        "anti_roll": (table.anti_roll or 0.0) * 1e6,
        "bump_gap": bump_gap,
        "bump_rate": bump_rate,
        "droop": droop,
        "strap_rate": strap_rate,
        "pull": pull,
        "tyre_rate": reader.take("tyre_rate"),
    }
