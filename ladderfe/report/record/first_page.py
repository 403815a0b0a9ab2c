"""The record sheet: the first page, which alone says what was looked at, what was found and what is assumed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from ladderfe.chassis import Chassis
from ladderfe.checks import Findings
from ladderfe.condition import Found
from ladderfe.report.blocks import Paragraph, blocks_of
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.governing_text import moved_words, percent, place_words, value_words
from ladderfe.report.readings_text import count_words, unread_words
from ladderfe.report.record.frame_pack import band_of
from ladderfe.report.summary_text import summary_text

if TYPE_CHECKING:
    from ladderfe.report.record.document import Said

__all__ = ["first_page"]

#: So many cases are told, and so much text of what is assumed.
CASES = 6
MOST_WORDS = 420
#: Lines that are filled in by hand: the frame measured with a tape, before and after.
BY_HAND = (
    "datum points (which holes)",
    "diagonal, front left to rear right",
    "diagonal, front right to rear left",
    "height left rail above the datum, front / rear",
    "height right rail above the datum, front / rear",
)
SIGNED = ("measured by", "calculated by", "seen by")
UNREAD = "No thickness was read: all walls count as the chassis file has them, ASSUMED."


def first_page(findings: Findings, said: Said, source: str) -> dict[str, Any]:
    """What the template of the first page needs; `source` names the chassis file."""
    u, found = findings.utilisations[0], findings.as_found
    before = max(found.built.utilisations, key=lambda x: x.ratio) if found else None
    return {
        "title": findings.chassis.title,
        "facts": list(_facts(findings.chassis, said, source, found.readings if found else None)),
        "axles": [
            [a.name, *(f"{1000 * v:.0f}" for v in (a.load, a.unsprung, a.load - a.unsprung))]
            for a in findings.chassis.axles
        ],
        "governing": f"{100 * u.ratio:.1f} %",
        "over": u.ratio > 1,
        "band": band_of(u.ratio),
        "before": f"{percent(before.ratio)}" if before else "",
        "summary": " ".join(p.words for p in blocks_of(summary_text(findings)) if isinstance(p, Paragraph)),
        "walls": _walls(found.readings) if found else [],
        "holes": len(found.readings.holes) if found else 0,
        "cases": _cases(findings),
        "two_states": found is not None,
        "limits": findings.chassis.criteria.source,
        "read": count_words(found.readings, said.readings_name) if found else "",
        "assumed": _cut(unread_words(found.readings) or "Every wall of the rails was read.") if found else UNREAD,
        "matters": _matters(findings),
        "by_hand": BY_HAND,
        "signed": [(w, said.measured_by if w == "measured by" else "") for w in SIGNED],
        "no_inspection": CAUTIONS[0],
    }


def _facts(c: Chassis, said: Said, source: str, found: Found | None) -> Iterable[tuple[str, str]]:
    yield "chassis file", source
    yield "readings", said.readings_name if found else "none"
    yield "weighed", c.condition or "not stated"
    yield "date", said.date
    yield "measured by", said.measured_by
    yield "gauge and calibration step", said.gauge


def _cut(words: str) -> str:
    """So many words as the sheet has room for; the rest is told in its chapter."""
    return words if len(words) <= MOST_WORDS else words[:MOST_WORDS].rsplit(" ", 1)[0] + " ..., see chapter 2."


def _walls(found: Found) -> list[list[str]]:
    """Of every wall that was read: rail, wall, as built, readings, their mean, the smallest and where that is."""
    rows = []
    for side, wall in dict.fromkeys((p.side, p.wall) for p in found.places):
        own = [p for p in found.places if (p.side, p.wall) == (side, wall)]
        least = min(own, key=lambda p: p.least)
        values = [v for p in own for v in p.values]
        rows.append([side, wall, f"{least.nominal:.2f}", f"{len(values)}", f"{sum(values) / len(values):.2f}",
                     f"{least.least:.2f}", f"{least.station:g}"])  # fmt: skip
    return rows


def _cases(findings: Findings) -> list[dict[str, Any]]:
    """The cases with the greatest utilisation, and as built beside it."""
    first = findings.first_of_cases()
    before = findings.as_found.built.first_of_cases() if findings.as_found else {}
    most = sorted(first, key=lambda name: -float(f"{first[name].ratio:.9g}"))[:CASES]
    return [
        {
            "case": name,
            "now": percent(first[name].ratio),
            "was": percent(before[name].ratio) if before else "",
            "where": f"{first[name].part}, {place_words(first[name])}, {first[name].wall}",
        }
        for name in most
    ]


def _matters(findings: Findings) -> str:
    """Which assumption moves the governing number most."""
    if not findings.influences:
        return "The assumptions were not moved to their low and high values."
    i = findings.influences[0]
    if i.reach <= 0:
        return "No assumption moves the governing number."
    a = i.assumption
    ends = ", ".join(
        f"{moved_words(at)} at {value_words(v)} {a.unit}".rstrip() for at, v in ((i.at_low, a.low), (i.at_high, a.high))
    )
    return f"{a.meaning}, taken as {value_words(a.used)} {a.unit}".rstrip() + f" ({ends})."
