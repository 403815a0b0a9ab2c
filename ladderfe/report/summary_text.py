"""What governs, in a few sentences at the head of the page."""

from __future__ import annotations

from ladderfe.checks import Findings, Utilisation
from ladderfe.checks.ground import tipped
from ladderfe.report.cases_text import tipped_words
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.table import paragraph, use_share

__all__ = ["summary_text"]

#: Kinds of case that bring the limit couple.
COUPLES = ("limit twist", "one wheel bump")
#: At most so many cases over a limit are named.
NAMED = 5


def summary_text(findings: Findings) -> list[str]:
    """Lines of the block: the governing utilisation, where and in which case, and how many cases there are."""
    u = findings.utilisations[0]
    words = (
        f"Governing: {use_share(u.ratio)} of the limit{', OVER' if u.ratio > 1 else ''}: {u.criterion} {u.stress:.1f} "
        f"of {u.limit:.0f} N/mm2 in the {u.part} at {place_words(u)} ({u.wall}), case {u.case}."
    )
    if _near_hole(findings, u):
        words += " That place lies within one rail depth of a hole's rim, where stress is rough."
    cut = next((t for t in tipped(findings.solution) if findings.solution.cases[t.case].name == u.case), None)
    words += f" That case {tipped_words(cut)}." if cut else ""
    return ["", *paragraph(f"{words} {_count(findings)}{_beside_couples(findings)}")]


def _beside_couples(findings: Findings) -> str:
    """What governs beside the cases of the limit couple where one of these does: no road gives more than it."""
    kinds = {c.name: c.kind for c in findings.solution.cases}
    if kinds[findings.utilisations[0].case] not in COUPLES:
        return ""
    u = next((u for u in findings.utilisations if kinds[u.case] not in COUPLES), None)
    if u is None:
        return ""
    return (
        f" The limit couple is the most that a wheel can bring before another one lifts; beside its cases {u.case} "
        f"governs, {percent(u.ratio)} in the {u.part} at {place_words(u)}."
    )


def _count(findings: Findings) -> str:
    cases = findings.solution.cases[1:]
    many = f"{len(cases)} load cases" if len(cases) > 1 else "1 load case"
    over = findings.cases_over()
    if not over:
        return f"{many} looked at, none over a limit."
    first = findings.first_of_cases()
    thin = any(ratio > first[name].ratio for name, ratio in over)
    counted = ", local buckling of thin walls and force at spring seats, jacks and stands counted" if thin else ""
    named = "; ".join(f"{name} {use_share(ratio)}" for name, ratio in over[:NAMED])
    more = f"; and {len(over) - NAMED} more" if len(over) > NAMED else ""
    return f"{many} looked at, {len(over)} OVER a limit{counted}: {named}{more}."


def _near_hole(findings: Findings, u: Utilisation) -> bool:
    """Whether it lies beside a hole that was found; nothing is imported for it where nothing was read."""
    if findings.as_found is None:
        return False
    from ladderfe.report.openings_text import is_near

    return is_near(findings.as_found.readings, u)
