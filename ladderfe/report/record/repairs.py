"""The chapter of repairs: plates to scale, what the plan brings, its welds."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.advice.repair_fatigue import RepairFatigue
from ladderfe.advice.splice import Splice
from ladderfe.advice.weld_sizes import WeldSizes
from ladderfe.checks.repair import RepairFindings
from ladderfe.report.page import bullets
from ladderfe.report.record import drawings
from ladderfe.report.record.parts import Figure, Part, prose
from ladderfe.report.repair_text import repair_lines
from ladderfe.report.repair_words import next_words
from ladderfe.report.table import heading, paragraph
from ladderfe.report.weld_text import weld_lines

__all__ = ["Repairs", "repairs_parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repairs:
    """A plan worked out; splices: prices of its joints of whole rails, None where it has none."""

    findings: RepairFindings
    welds: WeldSizes
    fatigue: RepairFatigue
    splices: Splice | None = None


def repairs_parts(r: Repairs) -> tuple[Part, ...]:
    """Sheets of plates and pieces let in, then the plan's page and that of its welds."""
    plan = r.findings.states.plan
    title = plan.title or "Repair plan"
    out: list[Part] = [*prose(paragraph(f"{title}, on {plan.base}."))]
    drawn, left_out = drawings.plate_sheets(r.findings.states, title)
    words = "Plates and pieces let in, each to a scale of its own. Lengths in mm."
    out += [Figure(d.wide, words, d.narrow) for d in drawn]
    if left_out:
        out += prose(paragraph(f"Not drawn: {'; '.join(left_out)}."))
    out += prose(repair_lines(r.findings, False, r.splices, r.fatigue), bullets("What next", next_words(r.findings)))
    return (*out, *prose(heading("Welds"), weld_lines(r.welds)))
