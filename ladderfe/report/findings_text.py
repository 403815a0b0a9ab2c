"""The findings as a page for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ladderfe.checks import Findings, Proof
from ladderfe.checks.balance import ROUNDING, residuals
from ladderfe.mesh import frame_mass
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cases_text import cases_text
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.envelope_text import envelope_text
from ladderfe.report.forces_text import forces_text
from ladderfe.report.found_text import found_text
from ladderfe.report.governing_text import governing_text, moved_words, percent, place_words, value_words
from ladderfe.report.joints_text import joints_text
from ladderfe.report.masses_text import listed_words, masses_text
from ladderfe.report.movements_text import movements_text, rails_text
from ladderfe.report.summary_text import summary_text
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.unusual_text import unusual_text

__all__ = ["findings_text", "percent", "place_words", "proof_lines", "proofs_text"]


def findings_text(findings: Findings, source: str, every: bool = False) -> str:
    """The whole page, what governs first; `source` names the chassis file, `every` asks for all cases in the tables
    that otherwise show those that are greatest."""
    c = findings.chassis
    out = [*paragraph(c.title), *paragraph(source + (f"; weighed: {c.condition}" if c.condition else ""))]
    if not findings.proven:
        return "\n".join([*out, *unusual_text(c), *_short_of_proof(findings), *proofs_text(findings)])
    out += [*found_text(findings), *summary_text(findings), *unusual_text(c)]
    out += [*governing_text(findings), *cases_text(findings, every)]
    out += [*envelope_text(findings), *buckling_text(findings)]
    for block in (forces_text, rails_text, movements_text):
        out += block(findings, every)
    for last in (_loads, _joints, _assumptions, _left_out, proofs_text, _cautions):
        out += last(findings)
    return "\n".join(out)


def _short_of_proof(findings: Findings) -> list[str]:
    names = ", ".join(p.what for p in findings.proofs if not p.holds)
    return [
        "",
        *paragraph(f"The self-check fell short ({names}), so no findings are printed. Please report the chassis file."),
        *paragraph(_least_balanced(findings)),
    ]


def _least_balanced(findings: Findings) -> str:
    """The case with the greatest residual, where one has more than rounding."""
    s = findings.solution
    size = np.abs(residuals(findings.chassis, s)).max(axis=0)
    k = int(size.argmax())
    if size[k] <= ROUNDING:
        return ""
    return f"Least balanced: {s.cases[k].name}, {size[k]:.1e} of the weight left over (limit {ROUNDING:.0e})."


def _loads(findings: Findings) -> list[str]:
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


def _joints(findings: Findings) -> list[str]:
    return joints_text(findings.chassis)


def _assumptions(findings: Findings) -> list[str]:
    """What was assumed; with what it moves, unless the assumptions were not moved."""
    moved = {i.assumption.key: i for i in findings.influences}
    listed = [i.assumption for i in findings.influences] or list(findings.chassis.assumptions)
    if not listed:
        return []
    rows, ends = [], ["at low", "at high"] if moved else []
    for a in listed:
        found = [moved_words(v) for v in (moved[a.key].at_low, moved[a.key].at_high)] if moved else []
        rows.append([*found, *map(value_words, (a.low, a.used, a.high)), a.unit, f"{a.meaning} [{a.source}]"])
    words = "Not in the file, so ASSUMED. "
    if moved:
        words += (
            f"The governing utilisation is {percent(findings.influences[0].used)} with the values used; the first two "
            "columns show it with the low and the high value; what moves it most comes first."
        )
    else:
        words += "They were not moved to their low and high values (--quick), so nothing says which of them matters."
    head = [*ends, "low", "used", "high", "unit", "what is assumed [source]"]
    return [*heading("Assumptions"), *paragraph(words), "", *table(head, rows, "r" * (len(ends) + 3) + "lw")]


def _left_out(findings: Findings) -> list[str]:
    out = heading("Not checked")
    for text in not_checked(findings):
        out += paragraph(text, "  ", "- ")
    return out


def proofs_text(findings: Findings) -> list[str]:
    """The self-check, line by line."""
    return proof_lines(findings.proofs)


def proof_lines(proofs: Sequence[Proof]) -> list[str]:
    """Any proofs, line by line."""
    rows = [
        [
            "holds" if p.holds else "SHORT",
            p.what,
            f"{p.difference:.1e}" if not p.unit else f"{p.difference:.1f}",
            f"{p.limit:.0e}" if not p.unit else f"{p.limit:.0f}",
            p.unit or "relative",
        ]
        for p in proofs
    ]
    held = sum(p.holds for p in proofs)
    return [
        *heading(f"Self-check: {held} of {len(rows)} proofs hold"),
        *table(["", "proof", "apart by", "limit", ""], rows, "llrrl"),
    ]


def _cautions(_: Findings) -> list[str]:
    out = heading("Cautions")
    for text in CAUTIONS:
        out += paragraph(text, "  ", "- ")
    return out
