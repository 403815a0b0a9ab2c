"""What the scatter of readings does to the governing utilisation: random draws of all walls, each solved whole.

A wall that was read is drawn from what its n readings let expect of one more place (predictive distribution): their
mean and an error of scale

    sqrt((1 + 1/n) s^2 + (gauge/2)^2)

times Student's t of n - 1 degrees of freedom, or a standard normal number where s is stated because readings are fewer
than three.  Without the gauge 5 % of the walls are thinner than mean - k s, k as in `condition.k_factor` (EN 1990
Annex D, D7.2: scatter unknown; scatter known where it is stated; from memory of the authors).  The gauge's error, which
is normal, spreads as t with the rest: wider than it is.
Here s is the scatter of its readings, not that of their mean: stress follows the wall where it is thin.  A wall stays
between 0.3 mm and the wall as built (the distribution is truncated there).  One that nobody read lies anywhere between
as built and a stated share less.  Stiffness and strength have the same draw.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import partial
from math import hypot, sqrt
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.governing import Governing, LaidOut, compared, processes
from ladderfe.advice.next_reading import UNREAD
from ladderfe.advice.walls import GAUGE, LEAST, SCATTER, Wall
from ladderfe.checks.variants import Variants
from ladderfe.condition import ENOUGH
from ladderfe.errors import ModelError

__all__ = ["DRAWS", "Often", "Scatter", "Spread", "Tell", "drawn", "scatter", "wilson"]

Array = NDArray[np.float64]
DRAWS: Final = 2000
#: After so many draws cases that stay low are left out; so many at a time are solved then.
FIRST: Final = 64
#: So many draws tell how many taper steps do.
TRIAL: Final = 12
AT_A_TIME: Final = 256
#: Cases that never came to this part of the least governing utilisation of the first draws are left out afterwards.
LOW: Final = 0.6
#: Standard normal quantile of two-sided 95 %.
TWO_SIDED: Final = 1.959963984540054


class Tell(Protocol):
    """Is told what is being done, and how much of it is done where that is known."""

    def __call__(self, words: str, share: float | None = None) -> None: ...


def _silent(words: str, share: float | None = None) -> None:
    """Tells nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How walls are drawn: number of draws and the seed of random numbers; gauge and scatter (of fewer than three
    readings) in mm; unread: share that walls which nobody read may have lost; together: all of these lose the same
    share, else each its own."""

    draws: int = DRAWS
    seed: int = 1
    gauge: float = GAUGE
    scatter: float = SCATTER
    unread: float = UNREAD
    together: bool = False

    def scale(self, wall: Wall) -> float:
        """Of the error of a wall that was read, mm."""
        return hypot(wall.scatter(self.scatter) * sqrt(1 + 1 / wall.n), self.gauge / 2)

    def freedoms(self, wall: Wall) -> int | None:
        """Degrees of freedom of Student's t; None where the error is normal."""
        return wall.n - 1 if wall.n >= ENOUGH else None


@dataclass(frozen=True, slots=True)
class Often:
    """How often something governs, and the mean utilisation there."""

    where: Governing
    count: int
    mean: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scatter:
    """Governing utilisations (v,) of all draws that could be solved, in the order of the draws; `failed`: why
    others could not.

    governing: where, of each; low: cases left out after the first draws, each with the greatest
    utilisation that it came to in these; checked: how far draws worked out both ways were apart.
    """

    laid_out: LaidOut
    spread: Spread
    ratio: Array
    governing: tuple[Governing, ...]
    low: tuple[tuple[str, float], ...]
    failed: tuple[str, ...]
    checked: float

    @property
    def exceeded(self) -> int:
        """Draws over 1."""
        return int((self.ratio > 1).sum())

    def quantile(self, share: float) -> float:
        """The utilisation that so many draws stay below."""
        return float(np.quantile(self.ratio, share))

    @property
    def often(self) -> tuple[Often, ...]:
        """By part, wall, criterion and case: which governs how often, the one that does most first; `along` is the
        mean station."""
        groups: dict[tuple[str, str, str, str, int | None], list[int]] = {}
        for k, g in enumerate(self.governing):
            groups.setdefault((g.part, g.wall, g.criterion, g.case, g.number), []).append(k)
        out = []
        for own in groups.values():
            along = float(np.mean([self.governing[k].along for k in own]))
            where = replace(self.governing[own[0]], along=along)
            out.append(Often(where, len(own), float(self.ratio[own].mean())))
        return tuple(sorted(out, key=lambda o: -o.count))

    @property
    def by_wall(self) -> tuple[tuple[int, int], ...]:
        """(number of the wall that varies, how often it governs), most often first; walls that never do are left
        out."""
        own = Counter(g.number for g in self.governing if g.number is not None)
        return tuple(own.most_common())


def wilson(count: int, n: int) -> tuple[float, float]:
    """Wilson's score interval of a probability, two-sided 95 %, from `count` of n draws.

    E. B. Wilson, Probable inference, J. Am. Stat. Assoc. 22 (1927), formula from memory.
    """
    p, z2 = count / n, TWO_SIDED**2
    middle = (p + z2 / (2 * n)) / (1 + z2 / n)
    half = TWO_SIDED / (1 + z2 / n) * sqrt(p * (1 - p) / n + z2 / (4 * n**2))
    return max(0.0, middle - half), min(1.0, middle + half)


def drawn(walls: tuple[Wall, ...], spread: Spread) -> Array:
    """(v, w) thicknesses of walls, mm; the same seed draws the same."""
    from scipy.special import ndtr, ndtri, stdtr, stdtrit

    share = np.random.default_rng(spread.seed).random((spread.draws, len(walls) + 1))
    out = np.zeros((spread.draws, len(walls)))
    for k, wall in enumerate(walls):
        if wall.read is None:
            lost = spread.unread * share[:, -1 if spread.together else k]
            out[:, k] = np.maximum(wall.nominal * (1 - lost), LEAST)
            continue
        s, freedoms = spread.scale(wall), spread.freedoms(wall)
        if s == 0:
            out[:, k] = wall.mean
            continue
        below, at = (ndtr, ndtri) if freedoms is None else (partial(stdtr, freedoms), partial(stdtrit, freedoms))
        low, high = (below((limit - wall.mean) / s) for limit in (LEAST, wall.nominal))
        out[:, k] = np.clip(wall.mean + s * at(low + share[:, k] * (high - low)), LEAST, wall.nominal)
    return out


def scatter(laid: LaidOut, spread: Spread | None = None, *, progress: Tell = _silent) -> Scatter:
    """Draw and solve, on as few taper steps as tell the utilisations (`LaidOut.coarser`).

    Raises ModelError where no draw can be solved, or both ways of solving disagree.
    """
    spread = spread or Spread()
    progress("looking for taper steps that do")
    states = laid.walls.states(drawn(laid.walls.walls, spread))
    laid = laid.coarser(states[:TRIAL])
    every = tuple(c.name for c in laid.walls.chassis.cases)
    run = _Run(laid, states, progress)
    of = laid.variants()
    first = run.solve(of, every, slice(0, FIRST))
    low = _low(first, every)
    left = tuple(n for n in every if n not in low)
    if len(states) > FIRST:
        rest = laid.variants(left) if low else of
        names = tuple(c.name for c in rest.plan.varied.chassis.cases)
        for start in range(FIRST, len(states), AT_A_TIME):
            run.solve(rest, names, slice(start, start + AT_A_TIME))
    ratio = np.concatenate(run.ratio)
    solved = np.flatnonzero(np.isfinite(ratio))
    if not len(solved):
        raise ModelError("scatter", f"no draw can be solved: {run.failed[0].rstrip('.')}", "Look at the readings")
    progress("all draws solved", 1.0)
    worst, middle = int(np.nanargmax(ratio)), int(solved[len(solved) // 2])
    progress("two draws once more, the plain way and with every case")
    checked = compared(of, states, ratio, {worst, middle})
    return Scatter(
        laid_out=laid, spread=spread, ratio=ratio[solved], governing=tuple(run.governing),
        low=tuple(low.items()), failed=tuple(run.failed), checked=checked,
    )  # fmt: skip


class _Run:
    """Draws on their way to their utilisations."""

    def __init__(self, laid: LaidOut, states: Array, progress: Tell) -> None:
        self.laid, self.states, self.progress = laid, states, progress
        self.ratio: list[Array] = []
        self.governing: list[Governing] = []
        self.failed: list[str] = []

    def solve(self, of: Variants, cases: tuple[str, ...], part: slice) -> Array:
        """Solve some draws; (v, c) utilisations by case."""
        n, last = len(self.states), min(part.stop, len(self.states))
        self.progress(f"draws {part.start + 1} to {last} of {n}", part.start / n)
        found = of.answer(self.states[part], check=0, processes=processes(), by_case=part.start < FIRST)
        self.ratio.append(found.ratio)
        self.failed += found.failed.values()
        self.governing += [self.laid.governing(p, cases[p.case - 1]) for p in found.places if p is not None]
        return found.by_case


def _low(by_case: Array, names: tuple[str, ...]) -> dict[str, float]:
    """Cases that stay low, each with its greatest utilisation."""
    solved = by_case[np.isfinite(by_case).all(axis=1)]
    if len(solved) < FIRST // 2:
        return {}
    most, least = solved.max(axis=0), float(solved.max(axis=1).min())
    return {n: float(u) for n, u in zip(names, most, strict=True) if u < LOW * least}
