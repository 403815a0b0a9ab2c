"""The findings as a page for the terminal."""

from __future__ import annotations

import numpy as np

from ladderfe.checks import Findings
from ladderfe.checks.balance import ROUNDING, residuals
from ladderfe.mesh import frame_mass
from ladderfe.report.assumptions_text import assumptions_text
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cases_text import cases_text
from ladderfe.report.cautions import cautions_text, not_checked
from ladderfe.report.envelope_text import envelope_text
from ladderfe.report.forces_text import forces_text
from ladderfe.report.governing_text import governing_text
from ladderfe.report.joints_text import joints_text
from ladderfe.report.masses_text import listed_words, masses_text
from ladderfe.report.movements_text import movements_text, rails_text
from ladderfe.report.page import bullets, head_lines, proof_lines, short_lines
from ladderfe.report.summary_text import summary_text
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.unusual_text import as_stated, unusual_text

__all__ = ["findings_text", "loads_text"]


def findings_text(findings: Findings, source: str, every: bool = False) -> str:
    """The whole page, what governs first; `source` names the chassis file, `every` asks for all cases in the tables
    that otherwise show those that are greatest."""
    c = findings.chassis
    out = head_lines(c, "", source)
    if not findings.proven:
        short = [*short_lines(findings.proofs), *paragraph(_least_balanced(findings))]
        return "\n".join([*out, *unusual_text(as_stated(findings)), *short, *proof_lines(findings.proofs)])
    out += [*summary_text(findings), *unusual_text(as_stated(findings)), *_as_found(findings)]
    out += [*governing_text(findings), *cases_text(findings, every)]
    out += [*envelope_text(findings), *buckling_text(findings)]
    for block in (forces_text, rails_text, movements_text):
        out += block(findings, every)
    out += [*loads_text(findings), *joints_text(c), *assumptions_text(findings)]
    out += bullets("Not checked", not_checked(findings))
    return "\n".join([*out, *proof_lines(findings.proofs), *cautions_text()])


def _as_found(findings: Findings) -> list[str]:
    """What readings change; nothing is imported for it where there are none."""
    if findings.as_found is None:
        return []
    from ladderfe.report.found_text import found_text

    return found_text(findings)


def _least_balanced(findings: Findings) -> str:
    """The case with the greatest residual, where one has more than rounding."""
    s = findings.solution
    size = np.abs(residuals(findings.chassis, s)).max(axis=0)
    k = int(size.argmax())
    if size[k] <= ROUNDING:
        return ""
    return f"Least balanced: {s.cases[k].name}, {size[k]:.1e} of the weight left over (limit {ROUNDING:.0e})."


def loads_text(findings: Findings) -> list[str]:
    """What was weighed, what is listed, and how the rest lies along the rails."""
    c, s = findings.chassis, findings.solution
    kg = [[a.name, *(f"{1000 * v:.0f}" for v in (a.load, a.unsprung, a.load - a.unsprung))] for a in c.axles]
    out = [
        *heading("What was weighed and where it lies"),
        *table(["axle", "weighed kg", "unsprung kg", "sprung kg"], kg, "lrrr"),
    ]
    own = frame_mass(s.mesh)
    listed = [listed_words(m) for m in c.masses]
    out += ["", *paragraph(f"Frame itself {1000 * own.mass:.0f} kg. Listed: {', '.join(listed) or 'nothing'}.")]
    out += masses_text(c)
    lines = [
        [
            line.name,
            line.side,
            f"{line.start:.0f} to {line.end:.0f}",
            f"{1e6 * line.at_start:.1f}",
            f"{1e6 * line.at_end:.1f}",
        ]
        for line in s.carried.lines
    ]
    out += ["", "The rest lies along the rails:"]
    return out + table(["line load", "rail", "stations mm", "kg/m at start", "kg/m at end"], lines, "lllrr")
