"""Rules of size and place as data: a limit with its source and the status of that source, and what breaks one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Broken", "Rule", "broken"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A limit on one quantity.

    name : what is limited, as a noun.  bound : "at least" or "at most".  limit : in `unit`, which may be empty.
    source, status : where the limit stands written, and whether that text was seen.
    """

    name: str
    bound: Literal["at least", "at most"]
    limit: float
    unit: str = "mm"
    source: str
    status: str

    def holds(self, found: float) -> bool:
        """Whether the value keeps to the limit; one part in 1e9 is rounding."""
        slack = 1e-9 * abs(self.limit)
        return found >= self.limit - slack if self.bound == "at least" else found <= self.limit + slack


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule and the value that does not keep to it."""

    rule: Rule
    found: float

    def __str__(self) -> str:
        r = self.rule
        unit = f" {r.unit}" if r.unit else ""
        return f"{r.name} is {self.found:.3g}{unit}, {r.bound} {r.limit:.3g}{unit} ({r.source}; {r.status})"


def broken(*checked: tuple[Rule, float]) -> tuple[Broken, ...]:
    """Of pairs (rule, value found) those that break their rule, in the order given."""
    return tuple(Broken(rule, found) for rule, found in checked if not rule.holds(found))
