"""Values that a chassis file leaves out: each is listed with what it is, a low and a high value and their source."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, TypeVar

from ladderfe.chassis.types import Assumption

__all__ = ["COMMON", "MEMORY", "Assumed", "Guess"]

T = TypeVar("T")

MEMORY: Final = "value from memory of the authors"
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


@dataclass(frozen=True, slots=True)
class _Part:
    """A part of a file as it was read: other parts it was read from, what it assumed, which of that was moved."""

    given: tuple[object, ...]
    noted: Mapping[str, Assumption]
    moved: Mapping[str, float]
    found: Any


@dataclass(slots=True)
class Assumed:
    """Collects the assumptions of one chassis; `moved` are values set for some of them instead of the usual ones.

    Parts that were read are kept, so that with other values `moved` only what they touch is read again.
    """

    moved: Mapping[str, float] = field(default_factory=dict)
    noted: dict[str, Assumption] = field(default_factory=dict)
    parts: dict[str, _Part] = field(default_factory=dict)

    def take(self, key: str, stated: float | None, guess: Guess) -> float:
        """The stated value, else the one assumed for `key`, which is noted."""
        if stated is not None:
            return stated
        used = self.moved.get(key, guess.used)
        self.noted[key] = guess.noted(key, used)
        return used

    def take_if(self, used: bool, key: str, stated: float | None, guess: Guess) -> float:
        """The same; where no case has a use for it the value is assumed without a word, as nothing hangs on it."""
        if used or stated is not None:
            return self.take(key, stated, guess)
        return guess.used

    def with_moved(self, key: str, value: float) -> Assumed:
        """The same parts, to be read with one more value moved; nothing is noted yet."""
        return Assumed({**self.moved, key: value}, {}, dict(self.parts))

    def part(self, name: str, given: tuple[object, ...], read: Callable[[Assumed], T]) -> T:
        """A part of the file: `read`, or as it was read before from the same `given` parts and the same values.

        `read` must look at nothing else that changes between two readings.
        """
        known = self.parts.get(name)
        if known is None or known.given != given or known.moved != self._moved_of(known.noted):
            own = Assumed(self.moved)
            found = read(own)
            known = self.parts[name] = _Part(given, own.noted, self._moved_of(own.noted), found)
        self.noted.update(known.noted)
        return known.found  # type: ignore[no-any-return]

    def _moved_of(self, keys: Mapping[str, Assumption]) -> dict[str, float]:
        return {k: v for k, v in self.moved.items() if k in keys}
