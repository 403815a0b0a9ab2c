"""The figures that stand beside the frame for every case: what governs, in which state, and the bars of all cases."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ladderfe.checks import Findings, Utilisation
from ladderfe.report.colours import BAND_EDGES
from ladderfe.report.governing_text import USE_COLUMNS, percent, use_cells
from ladderfe.report.record.frame_pack import band_of, same_cases, states_of
from ladderfe.report.record.typeset import typeset

__all__ = ["ALL", "bars", "case_figures"]

#: The choice that shows the greatest of all cases.
ALL = "all cases together"
#: So many places are told of a case.
PLACES = 6
#: What stands where a state has no such case.
NO_CASE = [["This state has no such case: the plan has others.", *[""] * (len(USE_COLUMNS) - 1)]]
#: Bars end here, as a part of the limit: the band beyond is open.
END = BAND_EDGES[-1]


def case_figures(findings: Findings, repaired: Findings | None = None) -> dict[str, Any]:
    """Per state and case (first all together): what it is, and cells of a table of the greatest places."""
    about = [[ALL, "the greatest utilisation at every place, whatever the case"]]
    about += [[c.name, typeset(f"{c.about} [{c.source}]")] for c in findings.solution.cases[1:]]
    return {
        "head": [typeset(h) for h in USE_COLUMNS],
        "about": about,
        "states": [
            {
                "name": name,
                "rows": [[[*map(typeset, use_cells(u))] for u in own] or NO_CASE for own in _all_places(f, cases)],
                "bars": [[typeset(b["now"]), b["length"], b["band"], b["beyond"]] for b in _bars(f, cases)],
            }
            for name, f, cases in ((name, f, same_cases(findings, f)) for name, f in states_of(findings, repaired))
        ],
    }


def _all_places(f: Findings, cases: Sequence[int]) -> list[Sequence[Utilisation]]:
    """The greatest places of all cases together and of each case shown, by its number; none of one that is not
    there."""
    by_case: dict[str, list[Utilisation]] = {c.name: [] for c in f.solution.cases[1:]}
    told: dict[str, set[tuple[str, str]]] = {name: set() for name in by_case}
    for u in f.utilisations:
        wall = (u.part, u.wall)
        if u.case in by_case and len(by_case[u.case]) < PLACES and wall not in told[u.case]:
            by_case[u.case].append(u)
            told[u.case].add(wall)
    return [f.governing(PLACES), *(by_case[f.solution.cases[k].name] if k else [] for k in cases)]


def bars(findings: Findings) -> list[dict[str, Any]]:
    """A bar for every case: the greatest utilisation, its length in per cent of the scale's, its band; and that as
    built where there are two states."""
    _, *others = states_of(findings)
    before = [f.first_of_cases() for _, f in others]
    out = []
    for k, (name, u) in enumerate(findings.first_of_cases().items(), start=1):
        was = [first[name] for first in before]
        out.append(_bar(u) | {
            "number": k,
            "case": name,
            "was": percent(was[0].ratio) if was else "",
            "mark": f"{100 * min(was[0].ratio, END) / END:.1f}" if was else "",
        })  # fmt: skip
    return out


def _bars(f: Findings, cases: Sequence[int]) -> list[dict[str, Any]]:
    """The bar of every case shown, by its number; an empty one of a case that is not there."""
    first = f.first_of_cases()
    none = {"now": "none", "length": "0", "band": 0, "beyond": False}
    return [_bar(first[f.solution.cases[k].name]) if k else none for k in cases]


def _bar(u: Utilisation) -> dict[str, Any]:
    return {
        "now": percent(u.ratio),
        "length": f"{100 * min(u.ratio, END) / END:.1f}",
        "band": band_of(u.ratio),
        "beyond": u.ratio > END,
        "over": u.ratio > 1,
    }
