"""Values that a chassis file leaves out: each is listed with what it is, a low and a high value and their source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from ladderfe.chassis.types import Assumption

__all__ = ["COMMON", "MEMORY", "Assumed", "Guess"]

MEMORY: Final = "value from memory"
COMMON: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Guess:
    """A value to be used where the file gives none, between `low` and `high`."""

    meaning: str
    low: float
    used: float
    high: float
    unit: str
    source: str

    def noted(self, key: str, used: float) -> Assumption:
        """The Assumption of the value in use."""
        low, high = self.low, self.high
        return Assumption(
            key=key, meaning=self.meaning, low=low, used=used, high=high, unit=self.unit, source=self.source
        )


@dataclass(slots=True)
class Assumed:
    """Collects the assumptions of one chassis; `moved` are values set for some of them instead of the usual ones."""

    moved: Mapping[str, float] = field(default_factory=dict)
    noted: dict[str, Assumption] = field(default_factory=dict)

    def take(self, key: str, stated: float | None, guess: Guess) -> float:
        """The stated value, else the one assumed for `key`, which is noted."""
        if stated is not None:
            return stated
        used = self.moved.get(key, guess.used)
        self.noted[key] = guess.noted(key, used)
        return used
