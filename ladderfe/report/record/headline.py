"""The greatest utilisation of each state and of its cases as the record sheet tells them: stress on whole walls, and
what thin walls or spring seats are over a limit by where that is greater."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ladderfe.checks import Findings
from ladderfe.checks.repair import RepairFindings
from ladderfe.checks.utilisation import Utilisation
from ladderfe.report.governing_text import percent, place_words

__all__ = ["SEATS", "WALLS", "Headline", "case_rows", "headlines", "repair_headlines", "told"]

WALLS = "local buckling of thin walls"
SEATS = "force at a spring seat, jack or stand"


@dataclass(frozen=True, slots=True)
class Headline:
    """A greatest utilisation and its case; `rules`: what it is, "" for the stress on whole walls."""

    ratio: float
    case: str
    rules: str = ""


def headlines(states: Sequence[Findings]) -> tuple[Headline, ...]:
    """The headline of every state, in their order.  Where in one of them what thin walls or spring seats are over a
    limit by is beyond its stresses, these count in all, so that states are compared by the same."""
    counted = any(over[0][1] > f.utilisations[0].ratio for f in states if (over := f.cases_over()))
    return tuple(_headline(f, counted) for f in states)


def repair_headlines(f: RepairFindings) -> tuple[Headline, ...]:
    """Those of a plan as built, as found and as repaired, welded as it states where that is over a limit and beyond."""
    built, found, repaired = headlines((f.built, f.found, f.repaired))
    worst = f.staged.worst
    if worst is not None and worst.ratio > max(1.0, repaired.ratio):
        repaired = Headline(worst.ratio, worst.case, f"welded as it stands ({f.staged.support})")
    return built, found, repaired


def told(h: Headline) -> str:
    """A headline in percent, with OVER."""
    return percent(h.ratio)


def _headline(f: Findings, counted: bool) -> Headline:
    u = f.utilisations[0]
    cases = [_of_case(f, c, first, counted) for c, first in f.first_of_cases().items()] if counted else []
    return max([Headline(u.ratio, u.case), *cases], key=lambda h: h.ratio)


def _of_case(f: Findings, case: str, u: Utilisation | None, counted: bool) -> Headline:
    """Of one case; 0 where the state has none such."""
    own = Headline(u.ratio if u else 0.0, case)
    if not counted:
        return own
    b = f.buckling
    thin = Headline(b.walls_by_case().get(case, 0.0), case, WALLS)
    return max(own, thin, Headline(b.seats_by_case().get(case, 0.0), case, SEATS), key=lambda h: h.ratio)


def _other(uses: Sequence[Headline], names: Sequence[str]) -> list[str]:
    """What the states before the last count where that is not what the last one does, or plain stress."""
    return [f"{n}: {h.rules}" for n, h in zip(names, uses[:-1], strict=False) if h.rules not in ("", uses[-1].rules)]


def case_rows(states: Sequence[Findings], most: int, names: Sequence[str] = ()) -> list[dict[str, object]]:
    """The cases with the greatest utilisation in the last of the states, and what they are in all of them; names: those
    of the states, for what in the earlier ones is not stress on whole walls."""
    firsts = [f.first_of_cases() for f in states]
    beyond = {c for f, own in zip(states, firsts, strict=True) for c, r in f.cases_over() if r > own[c].ratio}
    rows = [
        (u, [_of_case(f, c, own.get(c), c in beyond) for f, own in zip(states, firsts, strict=True)])
        for c, u in firsts[-1].items()
    ]
    rows.sort(key=lambda row: -float(f"{row[1][-1].ratio:.9g}"))
    return [
        {
            "case": u.case,
            "uses": [told(h) if h.ratio else "none" for h in uses],
            "where": "; ".join([uses[-1].rules or f"{u.part}, {place_words(u)}, {u.wall}", *_other(uses, names)]),
        }
        for u, uses in rows[:most]
    ]
