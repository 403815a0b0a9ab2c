"""Which cases a table shows: all where they are few or asked for, else the static ones and those that are greatest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.checks.by_wall import first_greatest
from ladderfe.report.table import paragraph

__all__ = ["FEW", "Chosen", "chosen"]

Array = NDArray[np.float64]

#: So many cases are all shown.
FEW = 6


@dataclass(frozen=True, slots=True)
class Chosen:
    """Numbers of the cases that are shown, in their order, and of how many."""

    cases: tuple[int, ...]
    among: int

    def left_out(self, what: str) -> list[str]:
        """Lines that say so where cases are left out."""
        if len(self.cases) == self.among:
            return []
        return paragraph(f"Of {self.among} cases the static one and those with the greatest {what}.")


def chosen(findings: Findings, values: Iterable[Array], cases: Iterable[int], every: bool) -> Chosen:
    """Of `cases` (numbers of the solution's) the static ones and, for each of `values` (c,), which count where they are
    positive, the first case of the greatest."""
    of = tuple(cases)
    if every or len(of) <= FEW:
        return Chosen(of, len(of))
    shown = {k for k in of if findings.solution.cases[k].kind == "static"}
    for v in values:
        k = of[first_greatest(v[list(of)])]
        shown |= {k} if v[k] > 0 else set()
    return Chosen(tuple(k for k in of if k in shown), len(of))
