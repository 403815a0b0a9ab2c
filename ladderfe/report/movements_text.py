"""Moments and shear of the rails, and how the frame moves, as blocks of the page."""

from __future__ import annotations

import numpy as np

from ladderfe.checks import Findings, along_part
from ladderfe.checks.sag import greatest_sags
from ladderfe.checks.utilisation import first_greatest
from ladderfe.report.table import heading, paragraph, table

__all__ = ["movements_text", "rails_text"]

RAILS = ("left rail", "right rail")


def rails_text(findings: Findings) -> list[str]:
    """Greatest moments and shear of each rail in each case."""
    s, rows = findings.solution, []
    for side in RAILS:
        a = along_part(s, side)
        for k, case in enumerate(s.cases):
            if k:
                m, v = a.moment(k), a.shear(k)
                i, j, q = first_greatest(m), first_greatest(-m), first_greatest(np.abs(v))
                rows.append(
                    [
                        case.name,
                        side,
                        f"{m[i] / 1e6:.3f}",
                        f"{a.station[i]:.0f}",
                        f"{m[j] / 1e6:.3f}",
                        f"{a.station[j]:.0f}",
                        f"{v[q] / 1e3:.2f}",
                        f"{a.station[q]:.0f}",
                    ]
                )
    head = ["case", "rail", "sagging kN m", "at mm", "hogging kN m", "at mm", "shear kN", "at mm"]
    return [
        *heading("Rails: greatest moment and shear (M sagging positive, V = dM/dx)"),
        *table(head, rows, "llrrrrrr"),
    ]


def movements_text(findings: Findings) -> list[str]:
    """How the frame moves with its springs, and how its rails bend by themselves."""
    s, rows = findings.solution, []
    start = s.frame.start[:-1]
    for k, case in enumerate(s.cases):
        if k:
            z = s.movements[start + 2, k]
            i, j = first_greatest(-z), first_greatest(z)
            rows.append([case.name, f"{z[i]:.1f}", s.mesh.node_names[i], f"{z[j]:.1f}", s.mesh.node_names[j]])
    head = ["case", "lowest mm", "where", "highest mm", "where"]
    return [
        *heading("Movements, springs included (up is positive)"),
        *table(head, rows, "lrlrl"),
        *heading("Sag of the rails by themselves, mm"),
        *_sags(findings),
        *paragraph("Below the straight line between the axles; a rail that rises above it has a minus sign."),
    ]


def _sags(findings: Findings) -> list[str]:
    """One row a case: both rails' greatest sag and its station."""
    rows: dict[str, list[str]] = {}
    for sag in greatest_sags(findings.chassis, findings.solution):
        rows.setdefault(sag.case, [sag.case]).extend((f"{sag.size:.2f}", f"{sag.station:.0f}"))
    return table(["case", "left rail", "at mm", "right rail", "at mm"], list(rows.values()), "lrrrr")
