"""The findings as a page for the terminal."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ladderfe.cases.types import GRAVITY
from ladderfe.checks import Findings, Proof, Utilisation, along_part
from ladderfe.checks.utilisation import first_greatest
from ladderfe.mesh import frame_mass
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.joints_text import joints_text
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.unusual_text import unusual_text

__all__ = ["findings_text", "percent", "place_words", "proof_lines", "proofs_text"]


def percent(ratio: float) -> str:
    """A utilisation in percent, with a second sign when over the limit."""
    return f"{100 * ratio:.1f} %" + (" OVER" if ratio > 1 else "")


def place_words(u: Utilisation) -> str:
    """Where along a part: a station on rails, y on crossmembers and outriggers."""
    return f"{u.along:.0f} mm" if u.kind == "rail" else f"y {u.along:+.0f} mm"


def findings_text(findings: Findings, source: str) -> str:
    """The whole page; `source` names the chassis file."""
    c = findings.chassis
    out = [*paragraph(c.title), *paragraph(source + (f"; weighed: {c.condition}" if c.condition else ""))]
    out += unusual_text(c)
    if not findings.proven:
        return "\n".join([*out, *_short_of_proof(findings), *proofs_text(findings)])
    for part in (_loads, _cases, _governing, _rails, _movements, _joints, _assumptions, _left_out):
        out += part(findings)
    out += [*proofs_text(findings), *_cautions(findings)]
    return "\n".join(out)


def _short_of_proof(findings: Findings) -> list[str]:
    names = ", ".join(p.what for p in findings.proofs if not p.holds)
    return [
        "",
        *paragraph(f"The self-check fell short ({names}), so no findings are printed. Please report the chassis file."),
    ]


def _loads(findings: Findings) -> list[str]:
    c, s = findings.chassis, findings.solution
    kg = [[a.name, *(f"{1000 * v:.0f}" for v in (a.load, a.unsprung, a.load - a.unsprung))] for a in c.axles]
    out = [
        *heading("What was weighed and where it lies"),
        *table(["axle", "weighed kg", "unsprung kg", "sprung kg"], kg, "lrrr"),
    ]
    own = frame_mass(s.mesh)
    listed = [f"{m.name} {1000 * m.mass:.0f} kg" + ("" if m.aboard else " (added after weighing)") for m in c.masses]
    out += ["", *paragraph(f"Frame itself {1000 * own.mass:.0f} kg. Listed: {', '.join(listed) or 'nothing'}.")]
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


def _cases(findings: Findings) -> list[str]:
    s = findings.solution
    n = len(s.springs)
    rows = [
        [case.name, *(f"{v / 1000:.2f}" for v in s.support_forces[:n, k]), case.about]
        for k, case in enumerate(s.cases)
        if k
    ]
    head = ["case", *(_short(sp.name) for sp in s.springs), "what it is"]
    return [*heading("Load cases and spring forces, kN"), *table(head, rows, "l" + "r" * n + "w")]


def _short(spring: str) -> str:
    return spring.removesuffix(" spring")


def _governing(findings: Findings) -> list[str]:
    rows = [
        [
            percent(u.ratio),
            u.part,
            place_words(u).removesuffix(" mm"),
            u.point if u.criterion != "web shear" else f"{u.wall}, whole wall",
            u.criterion,
            f"{u.stress:.1f} of {u.limit:.0f}",
            u.case,
        ]
        for u in findings.governing()
    ]
    c = findings.chassis.criteria
    out = [
        *heading("Governing stresses, N/mm2"),
        *table(["of limit", "part", "at mm", "wall", "criterion", "stress", "case"], rows, "rlrllrl"),
    ]
    out += ["", *paragraph(f"Limits: {c.source}")] if c.source else []
    over = [u for u in findings.governing(1000) if u.ratio > 1]
    if over:
        u = over[0]
        out += paragraph(
            f"OVER its limit: {u.stress:.1f} against {u.limit:.0f} N/mm2 in the {u.part} at {place_words(u)} "
            f"({u.wall}, {u.case}). Next: check the section sizes and the loads that matter there, measure the wall, "
            "and look at a lower factor or a stronger section."
        )
    return out


def _rails(findings: Findings) -> list[str]:
    s, rows = findings.solution, []
    for side in ("left rail", "right rail"):
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


def _movements(findings: Findings) -> list[str]:
    s, rows = findings.solution, []
    start = s.frame.start[:-1]
    for k, case in enumerate(s.cases):
        if k:
            z = s.movements[start + 2, k]
            i, j = first_greatest(-z), first_greatest(z)
            bend = _bend(findings, k)
            rows.append(
                [case.name, f"{z[i]:.1f}", s.mesh.node_names[i], f"{z[j]:.1f}", s.mesh.node_names[j], f"{bend:.2f}"]
            )
    head = ["case", "lowest mm", "where", "highest mm", "where", "rail bends mm"]
    note = (
        "Up is positive, springs included. The last column is the frame's own: the rails' sag against a straight line "
        "between the axles."
    )
    return [*heading("Movements"), *table(head, rows, "lrlrlr"), *paragraph(note)]


def _bend(findings: Findings, case: int) -> float:
    """Greatest departure of a rail from the straight line through it at the axles, between them; mm, sag positive."""
    s, worst = findings.solution, 0.0
    front, rear = (a.station for a in findings.chassis.axles)
    for name in ("left rail", "right rail"):
        part = s.mesh.part(name)
        nodes = [int(s.mesh.ends[m, 0]) for m in part.members] + [int(s.mesh.ends[part.last - 1, 1])]
        x = s.mesh.nodes[nodes, 0]
        z = s.movements[s.frame.start[nodes] + 2, case]
        chord = np.interp(x, [front, rear], [np.interp(front, x, z), np.interp(rear, x, z)])
        inside = (x >= front) & (x <= rear)
        gap = (chord - z)[inside]
        worst = max(worst, float(gap[np.argmax(np.abs(gap))]), key=abs)
    return worst


def _joints(findings: Findings) -> list[str]:
    return joints_text(findings.chassis)


def _assumptions(findings: Findings) -> list[str]:
    if not findings.influences:
        return []
    rows = []
    for i in findings.influences:
        a = i.assumption
        values = ("rigid" if math.isinf(v) else f"{v:.4g}" for v in (a.low, a.used, a.high))
        rows.append([_moved(i.at_low), _moved(i.at_high), *values, a.unit, f"{a.meaning} [{a.source}]"])
    used = percent(findings.influences[0].used)
    head = ["at low", "at high", "low", "used", "high", "unit", "what is assumed [source]"]
    words = (
        f"Not in the file, so ASSUMED. The governing utilisation is {used} with the values used; the first two columns "
        "show it with the low and the high value; what moves it most comes first."
    )
    return [*heading("Assumptions"), *paragraph(words), "", *table(head, rows, "rrrrrlw")]


def _moved(value: float | None) -> str:
    return "none" if value is None else f"{100 * value:.1f} %"


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


def weight_words(force: float) -> str:
    """A force in kN with the same in kgf beside it."""
    return f"{force / 1000:.2f} kN ({1000 * force / GRAVITY:.0f} kgf)"
