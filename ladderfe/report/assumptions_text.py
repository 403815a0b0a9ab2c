"""What was assumed as a block of the page: what moves the governing number in a table, the rest in a paragraph."""

from __future__ import annotations

from ladderfe.chassis import Assumption
from ladderfe.checks import Findings, Influence
from ladderfe.report.governing_text import moved_words, percent, value_words
from ladderfe.report.table import heading, paragraph, table

__all__ = ["assumptions_text"]

ASSUMED = "Not in the file, so ASSUMED. "
NOT_MOVED = (
    "They were not moved to their low and high values (--quick), so nothing says which of them matters."
)
STAYS = "Low or high, these leave it at"
COLUMNS = (
    "; the first two columns show it with the low and the high value; what moves it most comes first."
)
VALUES = ("low", "used", "high", "unit", "what is assumed [source]")


def assumptions_text(findings: Findings) -> list[str]:
    """What was assumed; with what it moves, unless the assumptions were not moved."""
    if findings.influences:
        return [*heading("Assumptions"), *_moved(findings.influences)]
    if not findings.chassis.assumptions:
        return []
    rows = [_values(a) for a in findings.chassis.assumptions]
    return [*heading("Assumptions"), *paragraph(ASSUMED + NOT_MOVED), "", *table(VALUES, rows, "rrrlw")]


def _moved(influences: tuple[Influence, ...]) -> list[str]:
    """A table of those that move the governing number as it is printed, a paragraph of those that do not."""
    used = percent(influences[0].used)
    moving = [i for i in influences if not _still(i)]
    words = f"{ASSUMED}The governing utilisation is {used} with the values used"
    out = paragraph(words + (COLUMNS if moving else "."))
    if moving:
        rows = [[moved_words(i.at_low), moved_words(i.at_high), *_values(i.assumption)] for i in moving]
        out += ["", *table(["at low", "at high", *VALUES], rows, "rrrrrlw")]
    by_source: dict[str, list[str]] = {}
    for a in (i.assumption for i in influences if _still(i)):
        by_source.setdefault(a.source, []).append(_in_a_row(a))
    if by_source:
        told = [f"{'; '.join(own)} [{source}]." for source, own in by_source.items()]
        begin = f"{STAYS} {moved_words(influences[0].used)}, though other numbers may hang on them."
        out += ["", *paragraph(" ".join([begin, *(words[0].upper() + words[1:] for words in told)]))]
    return out


def _still(i: Influence) -> bool:
    """True where the governing number is printed alike with both values."""
    return moved_words(i.at_low) == moved_words(i.at_high) == moved_words(i.used)


def _values(a: Assumption) -> list[str]:
    return [*map(value_words, (a.low, a.used, a.high)), a.unit, f"{a.meaning} [{a.source}]"]


def _in_a_row(a: Assumption) -> str:
    """Meaning and values in running text."""
    low, used, high = map(value_words, (a.low, a.used, a.high))
    return f"{a.meaning.replace('; ', ', ')}, {used} ({low} to {high}){f' {a.unit}' if a.unit else ''}"
