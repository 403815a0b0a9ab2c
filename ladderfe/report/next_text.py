"""Where to measure next as a page."""

from __future__ import annotations

from math import isinf

from ladderfe.advice.next_reading import FIRST, STEPS, Doubt, Next, Row, readings_needed
from ladderfe.advice.walls import Wall
from ladderfe.checks import Utilisation
from ladderfe.condition import k_factor
from ladderfe.condition.places import ENOUGH
from ladderfe.condition.types import BOUND
from ladderfe.report.advice_words import CAUTIONS_READINGS, at, fixed_words, gauge_words, points, read_words
from ladderfe.report.cautions import cautions_text
from ladderfe.report.readings_text import assumed_lines, count_words
from ladderfe.report.table import heading, paragraph, table, use_share

__all__ = ["checked_words", "doubt_words", "next_text"]

#: So many rows of each order are shown; JSON has all.
SHOWN = 10
#: Numbers of readings for which the factor k is shown.
NUMBERS = (3, 4, 5, 6, 8, 10, 15, 20)


def next_text(found: Next, source: str, target: float | None = None, checked: Utilisation | None = None) -> str:
    """The page; target: thickness in mm that lower bounds should reach, None: not asked; checked: what governs where
    stiffness goes by the mean, as in the check, None where that is the same."""
    laid = found.laid_out
    out = [*paragraph(f"{laid.found.chassis.title}: where to measure next"), *paragraph(source), ""]
    out += paragraph(count_words(laid.found))
    out += paragraph(_state_words(found)) + paragraph(checked_words(found, checked))
    out += assumed_lines(laid.found)
    out += paragraph(fixed_words(laid.walls.fixed))
    out += heading("Which readings change the answer: by what 0.1 mm less does")
    out += _table(found.by_change[:SHOWN])
    out += paragraph(_change_words(found))
    out += heading("Where to measure next: by what may be off")
    out += _doubts(found)
    out += paragraph(doubt_words(found.doubt, laid.walls.walls))
    if laid.found.suspects:
        where = "; ".join(f"{s.side} rail, {s.wall} at {s.station:g} mm" for s in laid.found.suspects)
        out += paragraph(f"Suspect places have no thickness yet and are in neither table: {where}. Read around them.")
    out += _how_many(found, target)
    return "\n".join([*out, *cautions_text(CAUTIONS_READINGS)])


def _state_words(found: Next) -> str:
    laid = found.laid_out
    words = f"Governing utilisation {use_share(laid.ratio)}"
    if found.ties:
        words += f": {at(found.ties[0])}"
    if len(found.ties) > 1:
        words += f". {len(found.ties)} places tie, or walls at one corner: the one that grows most counts"
    return words + "."


def checked_words(found: Next, checked: Utilisation | None) -> str:
    """Why the check tells another number of the same readings; "" where it does not."""
    if checked is None:
        return ""
    by = "the lower bound" if found.laid_out.found.options.strength == BOUND else "the smallest reading"
    return (
        f"`ladderfe check` says {use_share(checked.ratio)} of the same readings, because it takes the mean of a place "
        f"for stiffness and {by} for strength, while here both go by {by}, so that each wall is one thickness that can "
        "change: walls that are softer carry other shares of the load. The check's number is the one to judge by, the "
        "points below tell what moves it."
    )


def _table(rows: tuple[Row, ...]) -> list[str]:
    head = ["rail", "wall", "at mm", "read mm", "points per -0.1 mm", *(f"-{s:g} mm" for s in STEPS)]
    head += ["mm per point", "mm to 100 %"]
    return table(head, [_row(r) for r in rows], "llrrrrrrr")


def _row(r: Row) -> list[str]:
    whole = []
    for step in STEPS:
        state = next((t for t in r.states if t.by == step), None)
        whole.append("" if state is None else f"{use_share(state.ratio)}{'*' if state.elsewhere else ''}")
    matters = "-" if isinf(r.matters) or r.matters > r.wall.used else f"{r.matters:.3f}"
    limit = "-" if r.to_limit is None else f"{r.to_limit:+.2f}"
    where = [r.wall.side, r.wall.wall, f"{r.wall.station:.0f}", read_words(r.wall)]
    return [*where, points(0.1 * r.thinner), *whole, matters, limit]


def _change_words(found: Next) -> str:
    steps = " and ".join(f"{s:g}" for s in STEPS)
    how = (
        "Percent points of the governing utilisation by its exact derivative, forces and own weight following"
        if found.exact
        else f"Percent points over the first {STEPS[0]:g} mm, for there is no derivative ({found.why})"
    )
    return (
        f"{how}; it holds for small changes. Beside it the whole frame worked out anew with that wall {steps} mm "
        f"thinner (the first {FIRST} of both orders; * another place, wall or case governs there). mm per point: the "
        "accuracy that matters, by how much the wall may be thinner before the governing utilisation moves by 1 "
        "percent point. mm to 100 %: by how much the wall would have to differ, by the derivative; - more than it has."
    )


def _doubts(found: Next) -> list[str]:
    rows = []
    for r in found.by_doubt[:SHOWN]:
        w = r.wall
        off = f"up to -{r.half:.2f}" if w.read is None else f"+-{r.half:.2f}"
        size = f"{100 * r.moved:.2f}" if r.moved < 0.1 else f"{100 * r.moved:.1f}"
        moved = f"+-{size}" if w.read else f"{'-' if r.thinner < 0 else '+'}{size}"
        where = [w.side, w.wall, f"{w.start:.0f} to {w.end:.0f}", f"{w.station:.0f}"]
        rows.append([*where, off, moved, _why(found.doubt, w)])
    head = ["rail", "wall", "speaks for mm", "at mm", "may be off mm", "points", "why"]
    return table(head, rows, "llrrrrw")


def _why(doubt: Doubt, w: Wall) -> str:
    if w.read is None:
        return f"nobody read it: {100 * doubt.unread:g} % of {w.nominal:g} mm ASSUMED"
    s = f"s = {w.scatter(doubt.scatter):.2f} mm" + ("" if w.n >= ENOUGH else " ASSUMED")
    doubtful = ", doubtful" if w.read.doubts else ""
    return f"{w.n} reading{'s' if w.n > 1 else ''}, {s}{doubtful}"


def doubt_words(doubt: Doubt, walls: tuple[Wall, ...]) -> str:
    """How far off walls count."""
    return (
        "May be off, about 95 %: 2 sqrt((gauge/2)^2 + s^2/n). " + gauge_words(doubt.gauge, doubt.scatter, walls) + " "
        f"ASSUMED: walls that nobody read may have lost up to {100 * doubt.unread:g} % of their thickness as built "
        "(judgement: nobody knows); these are taken in lengths for which one reading in their middle would speak. "
        "Points: what that moves; of unread walls as they thin."
    )


def _how_many(found: Next, target: float | None) -> list[str]:
    out = heading("How many readings")
    factors = ", ".join(f"{n}: {k_factor(n):.2f}" for n in NUMBERS)
    out += paragraph(
        f"The lower bound mean - k s, which 5 % of further readings stay below, has k by the number of readings n "
        f"{factors}; more and more 1.64 (EN 1990 Annex D, scatter unknown). s does not shrink with n, k does: from 3 "
        "to 5 readings it gains a third, beyond 10 little. What the mean may be off shrinks with the root of n, down "
        "to the gauge."
    )
    if target is None:
        return [*out, *paragraph("How many readings a thickness takes at each place: --target MM.")]
    rows = []
    for r in found.by_change:
        w = r.wall
        if w.read is None:
            continue
        s = w.scatter(found.doubt.scatter)
        n = readings_needed(w.mean, s, target)
        bound = "" if w.read.bound is None else f"{w.read.bound:.2f}"
        where = [w.side, w.wall, f"{w.station:.0f}", str(w.n)]
        rows.append([*where, f"{w.mean:.2f}", f"{s:.2f}", bound, str(n or "never")])
    head = ["rail", "wall", "at mm", "n", "mean mm", "s mm", "mean - k s now", f"n for {target:g} mm"]
    out += table(head, rows[:SHOWN], "llrrrrrr")
    return [*out, *paragraph(
        f"n for {target:g} mm: so many readings of that mean and scatter until mean - k s reaches it; never: not even "
        "200 do. Places in the order of the first table."
    )]  # fmt: skip
