"""A line of a hand calculation as data: symbols, the numbers put in, the result, and where the rule comes from."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

__all__ = ["Quantity", "Step"]

NAMED = re.compile(r"\{([^{}]+)\}")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A symbol and its value in a unit of the page: kg, kN, kN/m, kN m, m, mm, mm2, mm3, mm4, N/mm2, % or none."""

    symbol: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: `formula` names its quantities in braces, as in "({m} - {u}) * {g}"; ^ is a power.

    `result` is what the formula gives in these units.  An empty formula stands for a number taken from elsewhere; an
    `equation` is a formula that the result makes nothing.
    """

    part: str
    title: str
    result: Quantity
    formula: str = ""
    quantities: tuple[Quantity, ...] = ()
    remark: str = ""
    equation: bool = False

    @property
    def symbols(self) -> str:
        """The formula in symbols."""
        return NAMED.sub(r"\1", self.formula)

    def numbers(self, write: Callable[[Quantity], str]) -> str:
        """The formula with numbers instead of symbols, each written by `write`."""
        known = {q.symbol: q for q in (self.result, *self.quantities)}
        return NAMED.sub(partial(_substituted, known, write), self.formula)


def _substituted(known: dict[str, Quantity], write: Callable[[Quantity], str], match: re.Match[str]) -> str:
    quantity = known[match[1]]
    text = write(quantity)
    return f"({text})" if text.startswith("-") else text
