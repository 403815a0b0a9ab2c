"""Moments and shear of the rails, and how the frame moves, as blocks of the page."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.checks.extremes import moved, rail_extremes
from ladderfe.checks.sag import greatest_sags
from ladderfe.report.chosen import chosen
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.zeros import PICTURE_ZERO, SAG_ZERO

__all__ = ["movements_text", "rails_text"]

Array = NDArray[np.float64]


def _cases(findings: Findings) -> range:
    return range(1, len(findings.solution.cases))


def rails_text(findings: Findings, every: bool = False) -> list[str]:
    """Greatest moments and shear of each rail: of the static case and of those that govern, or of `every` case."""
    found, rows, left_out = rail_extremes(findings.solution, findings.rows), [], []
    for rail in dict.fromkeys(e.rail for e in found):
        own = [e for e in found if e.rail == rail]
        ends: list[Array] = [np.array([sign * getattr(e, what)[0] for e in own]) for what, sign in _ENDS]
        ends[2] = np.abs(ends[2])
        shown = chosen(findings, ends, _cases(findings), every)
        left_out = shown.left_out("sagging, hogging and shear of a rail")
        for k in shown.cases:
            m, h, v = own[k].sagging, own[k].hogging, own[k].shear
            rows.append([findings.solution.cases[k].name, rail, f"{m[0] / 1e6:.3f}", f"{m[1]:.0f}",
                         f"{h[0] / 1e6:.3f}", f"{h[1]:.0f}", f"{v[0] / 1e3:.2f}", f"{v[1]:.0f}"])  # fmt: skip
    head = ["case", "rail", "sagging kN m", "at mm", "hogging kN m", "at mm", "shear kN", "at mm"]
    return [
        *heading("Rails: greatest moment and shear (M sagging positive, V = dM/dx)"),
        *table(head, rows, "llrrrrrr"),
        *left_out,
    ]


_ENDS = (("sagging", 1.0), ("hogging", -1.0), ("shear", 1.0))


def movements_text(findings: Findings, every: bool = False) -> list[str]:
    """How the frame moves with its springs, and how its rails bend by themselves."""
    found = moved(findings.solution)
    ends = [np.array([-m.lowest[0] for m in found]), np.array([m.highest[0] for m in found])]
    shown = chosen(findings, ends, _cases(findings), every)
    rows = []
    for k in shown.cases:
        (low, at), (high, there) = found[k].lowest, found[k].highest
        rows.append([findings.solution.cases[k].name, f"{low:.1f}", at, f"{high:.1f}", there])
    head = ["case", "lowest mm", "where", "highest mm", "where"]
    return [
        *heading("Movements, springs included (up is positive)"),
        *table(head, rows, "lrlrl"),
        *shown.left_out("movement down and up"),
        *heading("Sag of the rails by themselves, mm"),
        *_sags(findings, every),
        *paragraph(
            f"Sag: {SAG_ZERO}; a rail that rises above the line has a minus sign. What `ladderfe picture` calls the "
            f"greatest deflection is another number: {PICTURE_ZERO}."
        ),
    ]


def _sags(findings: Findings, every: bool) -> list[str]:
    """One row a case: both rails' greatest sag and its station."""
    names = [c.name for c in findings.solution.cases]
    size = np.zeros((2, len(names)))
    cells: dict[int, list[str]] = {}
    for sag in greatest_sags(findings.chassis, findings.solution):
        k = names.index(sag.case)
        size[len(cells.setdefault(k, [sag.case])) // 2, k] = sag.size
        cells[k] += [f"{sag.size:.2f}", f"{sag.station:.0f}"]
    shown = chosen(findings, [*size, *-size], _cases(findings), every)
    head = ["case", "left rail", "at mm", "right rail", "at mm"]
    return [*table(head, [cells[k] for k in shown.cases], "lrrrr"), *shown.left_out("sag and rise of a rail")]
