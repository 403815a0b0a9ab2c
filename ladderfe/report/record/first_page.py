"""The record sheet: the first page, which alone says what was looked at, what was found and what is assumed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from ladderfe.chassis import Chassis
from ladderfe.checks import Findings
from ladderfe.checks.repair import RepairFindings
from ladderfe.condition import Found
from ladderfe.report.blocks import Paragraph, blocks_of
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.governing_text import moved_words, percent, value_words
from ladderfe.report.readings_text import count_words, unread_words
from ladderfe.report.record.frame_pack import band_of
from ladderfe.report.record.headline import SEATS, WALLS, Headline, case_rows, headlines, repair_headlines, told
from ladderfe.report.record.repairs import Repairs
from ladderfe.report.record.straight import straight_sheet
from ladderfe.report.repair_words import summary_words
from ladderfe.report.summary_text import summary_text

if TYPE_CHECKING:
    from ladderfe.report.record.document import Said

__all__ = ["first_page"]

#: So many cases are told, and so much text of what is assumed.
CASES = 6
MOST_WORDS = 420
#: So many holes, and so many doubtful places, are named.
PLACES = 4
#: Lines that are filled in by hand: the frame measured with a tape, before and after.
BY_HAND = (
    "datum points (which holes)",
    "diagonal, front left to rear right",
    "diagonal, front right to rear left",
    "height left rail above the datum, front / rear",
    "height right rail above the datum, front / rear",
)
SIGNED = ("measured by", "calculated by", "seen by")
REST = " The rest is told in chapter 2."
OTHER_CHAPTERS = "All chapters but that of the repair sheets show the frame without the plan."
UNREAD = "No thickness was read: all walls count as the chassis file has them, ASSUMED."


def first_page(findings: Findings, said: Said, source: str, repairs: Repairs | None = None) -> dict[str, Any]:
    """What the template of the first page needs; `source` names the chassis file, `repairs` are those of a plan."""
    found = findings.as_found
    return {
        **_head(findings, repairs),
        "title": findings.chassis.title,
        "facts": list(_facts(findings.chassis, said, source, found.readings if found else None)),
        "axles": [
            [a.name, *(f"{1000 * v:.0f}" for v in (a.load, a.unsprung, a.load - a.unsprung))]
            for a in findings.chassis.axles
        ],
        "walls": _walls(found.readings) if found else [],
        "holes": len(found.readings.holes) if found else 0,
        "limits": findings.chassis.criteria.source,
        "gone": _gone(found.readings) if found else "",
        "read": count_words(found.readings, said.readings_name) if found else "",
        "assumed": _cut(unread_words(found.readings) or "Every wall of the rails was read.") if found else UNREAD,
        "matters": _matters(findings),
        "by_hand": BY_HAND,
        "straight": straight_sheet(said.straight) if said.straight else None,
        "signed": [(w, said.measured_by if w == "measured by" else "") for w in SIGNED],
        "no_inspection": CAUTIONS[0],
    }


def _head(findings: Findings, repairs: Repairs | None) -> dict[str, Any]:
    """The large number with what stands beside and below it, and the cases that ask most, in every state."""
    if repairs is not None:
        f = repairs.findings
        states, all_of_them = (
            [("as built", f.built), ("as found", f.found), ("as repaired", f.repaired)],
            repair_headlines(f),
        )
        plan, summary = f.states.plan.title or "no title", _plan_words(f)
    else:
        built = findings.as_found.built if findings.as_found else None
        states = [("as built", built), ("as found", findings)] if built else [("of limit", findings)]
        all_of_them = headlines([own for _, own in states])
        plan = ""
        summary = " ".join(p.words for p in blocks_of(summary_text(findings)) if isinstance(p, Paragraph))
    names, now = [name for name, _ in states], all_of_them[-1]
    return {
        "plan": plan,
        "governing": told(now).removesuffix(" OVER"),
        "over": now.ratio > 1,
        "band": band_of(now.ratio),
        "before": [_before(name, h, now) for name, h in zip(names[:-1], all_of_them[:-1], strict=True)][::-1],
        "counted": _counted(now, states[-1][1]),
        "summary": summary,
        "states": names,
        "cases": case_rows([own for _, own in states], CASES, names),
    }


def _plan_words(f: RepairFindings) -> str:
    """A plan in short; its stiffness is told in its chapter."""
    return " ".join([*(w for w in summary_words(f) if not w.startswith("Torsional")), OTHER_CHAPTERS])


def _before(name: str, h: Headline, now: Headline) -> str:
    """What an earlier state comes to, and what it counts where that is told of the last one otherwise."""
    return f"{name} {told(h)}" + (f" ({h.rules})" if h.rules not in ("", now.rules) else "")


def _counted(h: Headline, f: Findings) -> str:
    """What the large number counts where it is not the stress on whole walls."""
    if not h.rules:
        return ""
    u = f.utilisations[0]
    beside = "Local buckling and spring seats, jacks and stands counted; stress on whole walls alone"
    beside = beside if h.rules in (SEATS, WALLS) else "Welded unloaded, stress on whole walls"
    return f"{h.case}: {h.rules}. {beside}: {percent(u.ratio)} ({u.case})."


def _facts(c: Chassis, said: Said, source: str, found: Found | None) -> Iterable[tuple[str, str]]:
    yield "chassis file", source
    yield "readings", said.readings_name if found else "none"
    yield "weighed", c.condition or "not stated"
    yield "date", said.date
    yield "measured by", said.measured_by
    yield "gauge and calibration step", said.gauge


def _cut(words: str) -> str:
    """So many whole sentences as the sheet has room for, of a longer one what stands before a semicolon; the rest is
    told in its chapter.  Notes of the readings stand in brackets: nothing is cut in them."""
    if len(words) <= MOST_WORDS:
        return words
    for mark in (". ", "; "):
        pieces = words[: MOST_WORDS + len(mark)].split(mark)[:-1]
        while pieces and (own := mark.join(pieces)).count("(") != own.count(")"):
            pieces.pop()
        if pieces:
            return mark.join(pieces) + "." + REST
    return words[:MOST_WORDS].rsplit(" ", 1)[0] + " ..." + REST


def _walls(found: Found) -> list[list[str]]:
    """Of every wall that was read: rail, wall, as built, readings, the mean and the smallest of what they count as,
    and where that is."""
    rows = []
    for side, wall in dict.fromkeys((p.side, p.wall) for p in found.places):
        own = [p for p in found.places if (p.side, p.wall) == (side, wall)]
        least = min(own, key=lambda p: p.least)
        n = sum(len(p.values) for p in own)
        mean = sum(len(p.values) * p.mean for p in own) / n
        rows.append([side, wall, f"{least.nominal:.2f}", f"{n}", f"{mean:.2f}",
                     f"{least.least:.2f}", f"{least.station:g}"])  # fmt: skip
    return rows


def _gone(found: Found) -> str:
    """Where the holes and the doubtful places are, which have no thickness to tell; "" where there are none."""
    holes = [f"{h.side} {h.wall} {h.start:g} to {h.end:g}" for h in found.holes]
    doubtful = [f"{s.side} {s.wall} {s.station:g}" for s in found.suspects]
    told = [f"{name}: {'; '.join(own[:PLACES])}{f'; and {len(own) - PLACES} more' if len(own) > PLACES else ''}."
            for name, own in (("HOLES, mm", holes), ("Doubtful, not read, mm", doubtful)) if own]  # fmt: skip
    return " ".join(told)


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
