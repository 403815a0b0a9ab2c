"""What governs, in a few sentences at the head of the page."""

from __future__ import annotations

from ladderfe.checks import Findings
from ladderfe.report.governing_text import far_words, place_words
from ladderfe.report.table import paragraph

__all__ = ["summary_text"]

#: At most so many cases over a limit are named.
NAMED = 5


def summary_text(findings: Findings) -> list[str]:
    """Lines of the block: the governing utilisation, where and in which case, and how many cases there are."""
    u = findings.utilisations[0]
    words = (
        f"Governing: {100 * u.ratio:.1f} % of the limit{', OVER' if u.ratio > 1 else ''}: {u.criterion} {u.stress:.1f} "
        f"of {u.limit:.0f} N/mm2 in the {u.part} at {place_words(u)} ({u.wall}), case {u.case}."
    )
    return ["", *paragraph(f"{words} {_count(findings)}")]


def _count(findings: Findings) -> str:
    cases = findings.solution.cases[1:]
    many = f"{len(cases)} load cases" if len(cases) > 1 else "1 load case"
    over = findings.cases_over()
    if not over:
        return f"{many} looked at, none over a limit."
    named = "; ".join(f"{name} {far_words(ratio)}" for name, ratio in over[:NAMED])
    more = f"; and {len(over) - NAMED} more" if len(over) > NAMED else ""
    return f"{many} looked at, {len(over)} OVER a limit: {named}{more}."
