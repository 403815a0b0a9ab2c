"""The scatter of readings as a page: how far the governing utilisation spreads, what governs how often."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.scatter import TRIAL, Scatter, Spread, wilson
from ladderfe.advice.walls import Wall
from ladderfe.report.advice_words import CAUTIONS_READINGS, fixed_words, gauge_words, read_words
from ladderfe.report.cautions import cautions_text
from ladderfe.report.readings_text import assumed_lines, count_words
from ladderfe.report.table import heading, paragraph, share, table, use_share

__all__ = ["NO_FAILURE", "histogram", "scatter_text", "spread_words"]

#: Bars of the histogram, and the columns of the longest.
BARS, LONGEST = 16, 50
SHOWN = 12
NO_FAILURE = (
    "This is how far the answer spreads by what is not known of the walls, under the stated loads. It is no failure "
    "probability of the vehicle: loads, steel, joints, welds, holes that nobody found and the calculation itself are "
    "not drawn."
)


def scatter_text(s: Scatter, source: str) -> str:
    """The page."""
    laid = s.laid_out
    out = [*paragraph(f"{laid.found.chassis.title}: scatter of the readings"), *paragraph(source), ""]
    out += paragraph(count_words(laid.found))
    out += paragraph(f"{s.spread.draws} draws, seed {s.spread.seed}. {spread_words(s.spread, laid.walls.walls)}")
    out += assumed_lines(laid.found)
    out += paragraph(fixed_words(laid.walls.fixed))
    out += [*heading("Governing utilisation"), *_numbers(s), "", *histogram(s.ratio)]
    out += [*heading("What governs how often"), *_often(s), *heading("Which wall governs how often"), *_by_wall(s)]
    out += paragraph(_low_words(s))
    out += paragraph(_steps_words(s))
    return "\n".join([*out, *cautions_text((NO_FAILURE, *CAUTIONS_READINGS))])


def spread_words(spread: Spread, walls: tuple[Wall, ...]) -> str:
    """What is drawn how."""
    how = "all of them the same share" if spread.together else "each length its own share, independent of the others"
    return (
        "Walls that were read: the mean of their readings plus an error of scale sqrt((1 + 1/n) s^2 + (gauge/2)^2), s "
        "being the scatter of n readings, times Student's t of n - 1 degrees of freedom; normal where s is stated "
        "because readings are fewer than three. Without the gauge 5 % of the walls are thinner than mean - k s (EN "
        "1990 Annex D, k from memory of the authors). Truncated at 0.3 mm and at the wall as built; places are "
        f"independent. {gauge_words(spread.gauge, spread.scatter, walls)} ASSUMED: walls that nobody read have "
        f"lost between nothing and {100 * spread.unread:g} % of their thickness, anything alike, {how}. Stiffness "
        "and strength have the same draw. Holes are as they were found."
    )


def _numbers(s: Scatter) -> list[str]:
    n = len(s.ratio)
    rows = [["walls by the mean of their readings, unread ones as built", use_share(s.laid_out.ratio)]] if not (
        s.laid_out.found.options.unread_loss) else []  # fmt: skip
    rows += [
        ["mean of the draws", use_share(s.ratio.mean())],
        ["5 % stay below", use_share(s.quantile(0.05))],
        ["median", use_share(s.quantile(0.5))],
        ["95 % stay below", use_share(s.quantile(0.95))],
        ["least and greatest", f"{use_share(s.ratio.min())} to {use_share(s.ratio.max())}"],
    ]
    low, high = wilson(s.exceeded, n)
    words = (
        f"Draws over a limit: {s.exceeded} of {n}, {share(s.exceeded / n)}; by the number of draws alone between "
        f"{share(low)} and {share(high)} (Wilson, 95 %)."
    )
    out = [*table(["", "utilisation"], rows, "lr"), "", *paragraph(words)]
    if s.failed:
        out += paragraph(f"{len(s.failed)} more draws could not be solved and are left out: {s.failed[0]}")
    return out


def histogram(ratio: NDArray[np.float64]) -> list[str]:
    """Bars of equal width in utilisation, the longest `LONGEST` columns."""
    low, high = float(ratio.min()), float(ratio.max())
    if high - low < 1e-9 * high:
        return [f"all {share(low)}"]
    counts, edges = np.histogram(ratio, bins=BARS)
    digits = 1 if high - low > 0.02 else 3
    names = [f"{share(a, digits)} to {share(b, digits)}" for a, b in pairwise(edges.tolist())]
    width, most = max(map(len, names)), int(counts.max())
    size = len(str(most))
    return [
        f"{name:>{width}}  {count:>{size}}  {'#' * round(LONGEST * count / most)}".rstrip()
        for name, count in zip(names, counts.tolist(), strict=True)
    ]


def _often(s: Scatter) -> list[str]:
    n = len(s.ratio)
    rows = [
        [share(o.count / n), o.where.part, f"{o.where.along:.0f}", o.where.wall, o.where.criterion, o.where.case,
         use_share(o.mean)]
        for o in s.often[:SHOWN]
    ]  # fmt: skip
    out = table(["draws", "part", "at mm", "wall", "criterion", "case", "mean there"], rows, "rlrllwr")
    more = len(s.often) - SHOWN
    return [*out, *paragraph(f"{more} more govern more seldom.")] if more > 0 else out


def _by_wall(s: Scatter) -> list[str]:
    walls, n = s.laid_out.walls.walls, len(s.ratio)
    rows = [
        [share(count / n), walls[k].side, walls[k].wall, f"{walls[k].start:.0f} to {walls[k].end:.0f}",
         read_words(walls[k]), _drawn(s.spread, walls[k])]
        for k, count in s.by_wall[:SHOWN]
    ]  # fmt: skip
    out = table(["draws", "rail", "wall", "mm", "read mm", "drawn"], rows, "rllrrw") if rows else []
    rest = n - sum(count for _, count in s.by_wall)
    if rest:
        out += paragraph(f"In {share(rest / n)} of the draws something else governs than a wall that varies.")
    return out


def _drawn(spread: Spread, wall: Wall) -> str:
    if wall.read is None:
        return f"{wall.nominal * (1 - spread.unread):.2f} to {wall.nominal:.2f} mm"
    freedoms = spread.freedoms(wall)
    return f"{wall.mean:.2f} mm, scale {spread.scale(wall):.2f} mm, {f't({freedoms})' if freedoms else 'normal'}"


def _low_words(s: Scatter) -> str:
    if not s.low:
        return ""
    name, most = max(s.low, key=lambda pair: pair[1])
    return (
        f"{len(s.low)} of {len(s.laid_out.walls.chassis.cases)} cases stayed below 60 % of the least governing "
        f"utilisation in the first draws (at most {share(most)}, {name}) and were left out of the others."
    )


def _steps_words(s: Scatter) -> str:
    """On how many taper steps the draws were solved."""
    apart = f"Every draw was solved whole; two solved once more the plain way are {s.checked:.0e} apart"
    coarse = s.laid_out.coarse
    if coarse is None:
        return f"{apart}."
    steps = "one step" if coarse.taper_steps == 1 else f"{coarse.taper_steps} steps"
    return (
        f"{apart}. In the draws every length of a taper stands in {steps}, in the check of the means in "
        f"{s.laid_out.findings.taper_steps}: with walls by the means that makes the governing utilisation "
        f"{share(coarse.ratio, 2)} in place of {share(s.laid_out.ratio, 2)}; in every case, and in the first "
        f"{TRIAL} draws against many more steps, it is at most {share(coarse.apart, 2)} of the governing one."
    )
