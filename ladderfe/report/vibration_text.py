"""Natural frequencies as a page for the terminal."""

from __future__ import annotations

from ladderfe.checks.vibration import State, VibrationFindings
from ladderfe.report.cautions import cautions_text
from ladderfe.report.mode_scene import hertz
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.vibration_words import (
    CAUTIONS_VIBRATION,
    HEADINGS,
    about,
    left_out,
    moves_most,
    near_words,
    rates_words,
    short_words,
    shown,
)

__all__ = ["vibration_text"]

HEAD = ["Hz", "mode", "twist", "vert.", "lat.", "loz.", "whole", "rest", "moves most"]
SHARES = (
    "Shares of the rails' movement in %: twist, vertical and lateral bending, lozenge (rails slide lengthwise against "
    "each other), motion as a whole (in a free frame: what balances the masses), and the rest (rails apart, stretched "
    "or turning about themselves). A mode is named by what has half of its bending, or 35 % of it and 1.3 times the "
    "next; what has a quarter stands beside it. Where two kinds lie close together several modes may share what would "
    'be one of a kind; it is counted all the same (judgement). "local": the rails hardly move. Last column: part of '
    "the kinetic energy, the rails' with what lies along them."
)


def vibration_text(v: VibrationFindings, source: str) -> str:
    """The whole page; `source` names the chassis file."""
    out = head_lines(v.chassis, "natural frequencies", source)
    if not v.proven:
        return short_page(out, v.proofs)
    out += ["", *paragraph(short_words(v)), *paragraph(rates_words(v.chassis))]
    for state in v.states.values():
        out += _modes(state)
    out += ["", *paragraph(SHARES), *_converged(v), "", *paragraph(near_words(v))]
    out += bullets("Not in the model", left_out(v))
    return "\n".join([*out, *proof_lines(v.proofs), *cautions_text(CAUTIONS_VIBRATION)])


def _modes(state: State) -> list[str]:
    rows = [
        [hertz(m.frequency), m.called, *(f"{100 * share:.0f}" for share in shown(m)), moves_most(m)]
        for m in state.modes
    ]
    return [*heading(HEADINGS[state.name]), *paragraph(about(state)), *table(HEAD, rows, "rwrrrrrrl")]


def _converged(v: VibrationFindings) -> list[str]:
    apart = max(float(s.apart.max(initial=0.0)) for s in v.states.values())
    words = (
        f"Every member is divided in {v.refine}; dividing it in {v.refine} instead of {v.refine // 2} moved no "
        f"frequency above by more than {100 * apart:.2g} %."
    )
    return paragraph(words)
