"""The greatest utilisation of all cases at every place, as blocks of the page: rails band by band, other parts whole."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from string import ascii_uppercase

from ladderfe.checks import Findings
from ladderfe.checks.envelope import EnvelopeRow, envelope
from ladderfe.report.governing_text import percent
from ladderfe.report.table import heading, paragraph, table

__all__ = ["envelope_text"]

#: A utilisation below this part of the governing one is nothing.
NOTHING = 1e-9
#: Walls of rails in the order of the columns.
WALLS = ("top", "bottom", "inner", "outer", "web")


def envelope_text(findings: Findings) -> list[str]:
    """Lines of the blocks."""
    rows = envelope(findings.chassis, findings.solution, findings.rows, findings.stresses)
    rails = [r for r in rows if r.use.kind == "rail"]
    return [*_rails(findings, rails), *_others(findings, [r for r in rows if r.use.kind != "rail"])]


def _letters(findings: Findings, rows: Sequence[EnvelopeRow]) -> dict[str, str]:
    """A letter for every case that governs somewhere, in the order of the cases."""
    used = {r.use.case for r in rows}
    names = [c.name for c in findings.solution.cases if c.name in used]
    n = len(ascii_uppercase)
    return {name: ascii_uppercase[k % n] * (1 + k // n) for k, name in enumerate(names)}


def _rails(findings: Findings, rows: Sequence[EnvelopeRow]) -> list[str]:
    least = NOTHING * findings.utilisations[0].ratio
    there = dict.fromkeys(r.use.wall for r in rows)
    walls = [*(w for w in WALLS if w in there), *(w for w in there if w not in WALLS)]
    letters = _letters(findings, [r for r in rows if r.use.ratio > least])
    told = []
    for (part, start, end), band in groupby(rows, key=lambda r: (r.use.part, r.start, r.end)):
        own = {r.use.wall: r for r in band}
        top = max(own.values(), key=lambda r: float(f"{r.use.ratio:.9g}")).use
        cells = [_cell(own[w], letters, least) if w in own else "" for w in walls]
        told.append(
            [part.removesuffix(" rail"), f"{start:.0f} to {end:.0f}", *cells, f"{top.along:.0f}", top.criterion]
        )
    head = ["rail", "stations mm", *walls, "most at mm", "criterion"]
    out = [
        *heading("Rails: greatest of all cases, % of the limit by wall, with the case that governs"),
        *table(head, told, "lr" + "r" * len(walls) + "rl"),
    ]
    named = ", ".join(f"{sign} {name}" for name, sign in letters.items())
    return out + paragraph(f"Cases: {named}. Most at: where the greatest of the row is, and its criterion.")


def _cell(row: EnvelopeRow, letters: dict[str, str], least: float) -> str:
    u = row.use
    if u.ratio <= least:
        return "0"
    return f"{'OVER ' if u.ratio > 1 else ''}{100 * u.ratio:.0f} {letters[u.case]}"


def _others(findings: Findings, rows: Sequence[EnvelopeRow]) -> list[str]:
    """One row for every crossmember and outrigger."""
    told = []
    least = NOTHING * findings.utilisations[0].ratio
    for part, own in groupby(rows, key=lambda r: r.use.part):
        u = max(own, key=lambda r: float(f"{r.use.ratio:.9g}")).use
        if u.ratio > least:
            told.append([percent(u.ratio), part, f"{u.along:+.0f}", u.wall, u.criterion, u.case])
    if not told:
        return []
    head = ["of limit", "part", "at y mm", "wall", "criterion", "case"]
    return [*heading("Crossmembers and outriggers: greatest of all cases"), *table(head, told, "rlrlll")]
