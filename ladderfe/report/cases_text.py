"""The load cases as a block of the page: what they are, what reaches the frame at its springs, what stands on the
ground."""

from __future__ import annotations

from ladderfe.checks import Findings
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.wheels import loads_under_wheels

__all__ = ["cases_text"]


def cases_text(findings: Findings) -> list[str]:
    """Lines of the block."""
    s = findings.solution
    what = [[case.name, case.about] for case in s.cases[1:]]
    out = [*heading("Load cases"), *table(["case", "what it is"], what, "lw")]
    names = [spring.name.removesuffix(" spring") for spring in s.springs]
    right = "r" * len(names)
    forces = [
        [case.name, *(f"{v / 1000:.2f}" for v in s.support_forces[: len(names), k])]
        for k, case in enumerate(s.cases)
        if k
    ]
    out += [*heading("What reaches the frame at its spring seats, kN"), *table(["case", *names], forces, "l" + right)]
    out += paragraph("All of it: spring, bump stop and strap, and what the anti-roll bar adds.")
    return [*out, *_wheels(findings, names)]


def _wheels(findings: Findings, names: list[str]) -> list[str]:
    s = findings.solution
    found = [w for w in loads_under_wheels(findings) if w.case]
    if not found:
        return []
    rows = [[s.cases[w.case].name, *(f"{v / 1000:.2f}" for v in w.loads), ", ".join(w.lifted) or "none"] for w in found]
    head = ["case", *names, "off the ground"]
    out = [*heading("Wheel loads on the ground, kN"), *table(head, rows, "l" + "r" * len(names) + "l")]
    if any(v < 0 for w in found for v in w.loads):
        out += paragraph(
            "A load below nothing: the couple that the case imposes asks that wheel for a pull that no road gives."
        )
    return out
