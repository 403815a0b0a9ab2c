"""The hand calculation beside the whole frame as a page for the terminal."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ladderfe.checks import Findings
from ladderfe.checks.beside import BesideRow
from ladderfe.report.governing_text import beside_words, percent, place_words
from ladderfe.report.table import heading, paragraph, table

__all__ = ["beside_text", "beside_text_lines"]

SCALE = {
    "N": (1e-3, "kN", 2),
    "N mm": (1e-6, "kN m", 3),
    "mm": (1.0, "mm", 1),
    "MPa": (1.0, "N/mm2", 1),
    "share": (100.0, "%", 1),
}


def beside_text(rows: Sequence[BesideRow], findings: Findings) -> str:
    """`beside_text_lines` as one text."""
    return "\n".join(beside_text_lines(rows, findings))


def beside_text_lines(rows: Sequence[BesideRow], findings: Findings) -> list[str]:
    """Rows side by side; the frame's rails at 2 x static, which is what the paper's one rail stands for.  Last what
    governs the whole frame, all stresses and cases."""
    words = (
        "The paper puts all sprung weight on one rail. The frame's two rails at 2 x static carry as much each, so "
        "these are compared: rail by rail, the whole frame in 3D against the beam on paper."
    )
    out = [*heading("Beside the whole frame"), *paragraph(words), ""]
    cells = [
        [r.what, *(_number(v, r.unit) for v in (r.hand, r.left, r.right)), SCALE[r.unit][1], r.cause] for r in rows
    ]
    out += table(["", "by hand", "left rail", "right rail", "", "what makes the difference"], cells, "lrrrlw")
    return [*out, "", *_whole_frame(findings)]


def _whole_frame(findings: Findings) -> list[str]:
    """What governs with all that the rows leave out, so that nobody takes them for all there is."""
    u = findings.utilisations[0]
    words = (
        f"Whole frame, all stresses and cases: {percent(u.ratio)} ({u.part} at {place_words(u)}, {u.wall}, "
        f"{u.criterion}, {u.case}); see `ladderfe check`. The rows above know vertical bending and shear only."
    )
    return [*paragraph(words), *beside_words(findings, "Thin walls in `ladderfe check`")]


def _number(value: float, unit: str) -> str:
    factor, _, digits = SCALE[unit]
    return "none" if math.isnan(value) else f"{value * factor:.{digits}f}"
