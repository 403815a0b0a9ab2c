"""The load cases as a block of the page: what they are, where their figures come from, how much each asks of the frame,
and what is to be said of those that tip, slide or lift something."""

from __future__ import annotations

from math import isinf
from string import ascii_lowercase

from ladderfe.checks import Findings
from ladderfe.checks.ground import GRIP, MOST_TWIST, Tipped, held_up, tipped, tipped_parts, twisted, under_wheels
from ladderfe.report.chosen import FEW
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.table import heading, paragraph, table

__all__ = ["cases_text", "tipped_words"]

#: Grip is asked for beyond what tyres hold where it is so much over it.
ROUNDED = 0.005
#: What is to be said where tyres do not hold a case.
SLIDING = {
    "dug in": "taken with the wheels dug in and held at their centres; on flat ground something else must hold the "
    "vehicle, such as an anchor",
    "pulled": "something else must hold the vehicle, such as chocks or an anchor",
    "driven": "taken as stated all the same",
}


def cases_text(findings: Findings, every: bool = False) -> list[str]:
    """Lines of the block; the places of the greatest stresses are told where cases are few, or asked for by `every`."""
    cases = findings.solution.cases[1:]
    sources = list(dict.fromkeys(c.source for c in cases))
    signs = {source: ascii_lowercase[k] if k < len(ascii_lowercase) else str(k) for k, source in enumerate(sources)}
    first, told = findings.first_of_cases(), every or len(cases) <= FEW
    rows = []
    for c in cases:
        u = first[c.name]
        where = [f"{u.part}, {place_words(u).removesuffix(' mm')}"] if told else []
        rows.append([percent(u.ratio), c.name, *where, c.about, signs[c.source]])
    head = ["of limit", "case", *(["where, mm"] if told else []), "what it is", "from"]
    out = [
        *heading("Load cases, each with its greatest stress"),
        *table(head, rows, "rlwwl" if told else "rlwl"),
    ]
    for source, sign in signs.items():
        out += paragraph(source, "   ", f"{sign:3}")
    for note in _notes(findings):
        out += paragraph(note, "  ", "- ")
    return out


def _notes(findings: Findings) -> list[str]:
    """What is to be said of single cases."""
    s = findings.solution
    notes = [f"{s.cases[t.case].name}: {tipped_words(t)}." for t in tipped(s)]
    return [*notes, *_of_tipped(findings), *_twisted(findings), *_sliding(findings), *_lifted(findings)]


def _of_tipped(findings: Findings) -> list[str]:
    """Cases that add up others of which only a part was taken."""
    s = findings.solution
    found = {s.cases[k].name: " and ".join(t.name for t in parts) for k, parts in tipped_parts(s).items()}
    return [f"{name}: adds up {names} as taken there, which is less than stated." for name, names in found.items()]


def _twisted(findings: Findings) -> list[str]:
    """Cases of a couple that twists the frame further than any road does."""
    s = findings.solution
    angles = twisted(s)
    beyond = [f"{c.name} ({angles[k]:.0f} degrees)" for k, c in enumerate(s.cases) if angles[k] > MOST_TWIST]
    if not beyond:
        return []
    words = f"More twist between the axles than a road can ask ({MOST_TWIST:g} degrees, judgement, no source) goes with"
    return [f"{words} {'; '.join(beyond)}: the frame gives way before; cross-axle and `ladderfe twist` tell more."]


def tipped_words(t: Tipped) -> str:
    """How a case would tip over, and how much of it was taken."""
    how = t.words.split(":")[0]
    how = (
        f"would tip over{how.removeprefix('tips over')}" if how.startswith("tips over") else f"would not stand ({how})"
    )
    if not t.unit:
        return f"{how}; taken at {100 * t.share:.0f} % of what is stated"
    scale, unit = (1.0, "g") if t.unit == "g" else (1e-3, "kN")
    taken, stated = (f"{v * scale:.3g} {unit}" for v in (t.share * t.stated, t.stated))
    much = f"just short of the stated {stated}" if taken == stated else f"at {taken} of the stated {stated}"
    return f"{how}; taken {much}"


def _sliding(findings: Findings) -> list[str]:
    """Cases that ask for more grip than there is: pulls, and those that speed up, brake or turn."""
    s, told = findings.solution, dict[str, list[str]]()
    for w in under_wheels(s):
        if w.case and w.most_grip > GRIP + ROUNDED:
            case = s.cases[w.case]
            kind = "dug in" if case.dug_in else "pulled" if case.pulls else "driven"
            told.setdefault(kind, []).append(f"{case.name} ({_grip(w.most_grip)})")
    return [
        f"More grip than tyres hold (horizontal force over load, about {GRIP:.1f}, common practice, no source) is "
        f"asked for by {'; '.join(told[kind])}: {SLIDING[kind]}."
        for kind in SLIDING
        if kind in told
    ]


def _grip(grip: float) -> str:
    return "no load" if isinf(grip) else f"{grip:.2f}"


def _lifted(findings: Findings) -> list[str]:
    """Stands and pads that carry nothing."""
    by_case: dict[int, list[str]] = {}
    for h in held_up(findings.solution):
        if h.lifted and not h.jack:
            by_case.setdefault(h.case, []).append(h.place)
    return [
        f"{findings.solution.cases[k].name}: the frame comes off {' and '.join(places)}, the others carry it all."
        for k, places in by_case.items()
    ]
