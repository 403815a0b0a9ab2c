"""The greatest utilisation of all cases at every place, as blocks of the page: rails by bands, other parts whole."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import groupby
from string import ascii_uppercase

from ladderfe.checks import Findings, Utilisation
from ladderfe.checks.envelope import EnvelopeRow, envelope
from ladderfe.report.governing_text import percent
from ladderfe.report.table import heading, paragraph, table, use_share

__all__ = ["envelope_text"]

#: A utilisation below this part of the governing one is nothing.
NOTHING = 1e-9
#: Walls of rails in the order of the columns.
WALLS = ("top", "bottom", "inner", "outer", "web")


def envelope_text(findings: Findings) -> list[str]:
    """Lines of the blocks."""
    least = NOTHING * findings.utilisations[0].ratio
    rows = envelope(findings.chassis, findings.solution, findings.rows, findings.stresses)
    rails = [r for r in rows if r.use.kind == "rail"]
    return [*_rails(findings, rails, least), *_others([r for r in rows if r.use.kind != "rail"], least)]


def _letters(findings: Findings, rows: Sequence[EnvelopeRow]) -> dict[str, str]:
    """A letter for every case that governs somewhere, in the order of the cases."""
    used = {r.use.case for r in rows}
    names = [c.name for c in findings.solution.cases if c.name in used]
    n = len(ascii_uppercase)
    return {name: ascii_uppercase[k % n] * (1 + k // n) for k, name in enumerate(names)}


def _rails(findings: Findings, rows: Sequence[EnvelopeRow], least: float) -> list[str]:
    """One row a band, with the walls as columns."""
    there = dict.fromkeys(r.use.wall for r in rows)
    walls = [*(w for w in WALLS if w in there), *(w for w in there if w not in WALLS)]
    letters = _letters(findings, [r for r in rows if r.use.ratio > least])
    told = []
    for (part, start, end), band in groupby(rows, key=lambda r: (r.use.part, r.start, r.end)):
        own = {r.use.wall: r.use for r in band}
        top = _most(own.values())
        cells = [_cell(own[w], letters, least) if w in own else "" for w in walls]
        over = ", OVER" if top.ratio > 1 else ""
        where = [part.removesuffix(" rail"), f"{start:.0f} to {end:.0f}"]
        told.append([*where, *cells, f"{top.along:.0f}", top.criterion + over])
    named = "; ".join(f"{sign} {name}" for name, sign in letters.items())
    return [
        *heading("Envelope of all cases along the rails, % of the limit by wall"),
        *table(["rail", "stations mm", *walls, "most at mm", "criterion"], told, "lr" + "r" * len(walls) + "rl"),
        *paragraph(f"Cases that govern: {named}. Most at: the place of the greatest in the row, with its criterion."),
    ]


def _most(uses: Collection[Utilisation]) -> Utilisation:
    """The first of the greatest; what differs by rounding only is alike."""
    return max(uses, key=lambda u: float(f"{u.ratio:.9g}"))


def _cell(u: Utilisation, letters: dict[str, str], least: float) -> str:
    return f"{use_share(u.ratio, 0).removesuffix(' %')} {letters[u.case]}" if u.ratio > least else "0"


def _others(rows: Sequence[EnvelopeRow], least: float) -> list[str]:
    """One row for every crossmember and outrigger that carries something."""
    most = [_most([r.use for r in own]) for _, own in groupby(rows, key=lambda r: r.use.part)]
    told = [[percent(u.ratio), u.part, f"{u.along:+.0f}", u.wall, u.criterion, u.case] for u in most if u.ratio > least]
    if not told:
        return []
    head = ["of limit", "part", "at y mm", "wall", "criterion", "case"]
    return [*heading("Envelope of all cases in crossmembers and outriggers"), *table(head, told, "rlrlll")]
