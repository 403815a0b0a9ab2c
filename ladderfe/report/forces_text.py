"""Forces on the ground and on the frame as blocks of the page: wheels, what they hold along and across, jacks and
stands, springs, links."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.checks.ground import WHEELS, UnderWheels, held_up, under_wheels
from ladderfe.report.chosen import chosen
from ladderfe.report.governing_text import percent
from ladderfe.report.links_text import links_text
from ladderfe.report.table import heading, paragraph, table

__all__ = ["forces_text"]

Array = NDArray[np.float64]


def forces_text(findings: Findings, every: bool = False) -> list[str]:
    """Lines of the blocks; `every`: all cases in the tables that otherwise tell the greatest."""
    found = [w for w in under_wheels(findings.solution) if w.case]
    return [
        *_wheels(findings, found),
        *_in_plan(findings, found),
        *_held_up(findings),
        *_springs(findings, every),
        *links_text(findings, every),
    ]


def _kn(value: float) -> str:
    return f"{value / 1000:.2f}" if round(value / 10) else "0.00"


def _wheels(findings: Findings, found: list[UnderWheels]) -> list[str]:
    cases = findings.solution.cases
    if not found:
        return []
    rows = [[cases[w.case].name, *map(_kn, w.forces[:, 2]), ", ".join(w.lifted) or "none"] for w in found]
    out = [*heading("Wheel loads on the ground, kN")]
    out += table(["case", *WHEELS, "off the ground"], rows, "lrrrrw" if len(found) > 1 else "lrrrrl")
    if any(w.forces[:, 2].min() < 0 for w in found):
        out += paragraph(
            "A load below nothing: the couple that the case imposes asks that wheel for a pull that no road gives."
        )
    return out


def _in_plan(findings: Findings, found: list[UnderWheels]) -> list[str]:
    """Of each axle what its wheels hold along and across, and the grip that this asks for."""
    own = [w for w in found if w.in_plan]
    if not own:
        return []
    rows = []
    for w in own:
        axles = w.forces.reshape(2, 2, 3).sum(axis=1)
        grip = "strike" if w.grip == (None, None) else "no load" if np.isinf(w.most_grip) else f"{w.most_grip:.2f}"
        rows.append([findings.solution.cases[w.case].name, *(_kn(v) for v in (*axles[:, 0], *axles[:, 1])), grip])
    names = [a.name for a in findings.chassis.axles]
    head = ["case", *(f"{n} {way}" for way in ("fore-aft", "sideways") for n in names), "grip asked for"]
    return [
        *heading("Forces of the ground along and across the axles, kN (rearward and right positive)"),
        *table(head, rows, "lrrrrr"),
        *paragraph("Grip: horizontal force over load, of the axle that asks for more. Strikes are no matter of grip."),
    ]


def _held_up(findings: Findings) -> list[str]:
    """Jacks, stands and pads: one row a case."""
    rows: dict[int, list[str]] = {}
    for h in held_up(findings.solution):
        words = f"{h.place} {'lifted' if h.lifted else _kn(h.force)}"
        rows.setdefault(h.case, []).append(words)
    if not rows:
        return []
    told = [[findings.solution.cases[k].name, ", ".join(words)] for k, words in rows.items()]
    head = heading("Jack, stands and pads: force on the frame, kN")
    return [*head, *table(["case", "force at each"], told, "lw"), *_webs_over(findings)]


def _over(ratio: float) -> str:
    return percent(ratio)


def _webs_over(findings: Findings) -> list[str]:
    """Of jacks, stands and pads on rails the one that asks most of a web."""
    places = {h.place for h in held_up(findings.solution)}
    u = next((u for u in findings.buckling.seats if u.seat in places), None)
    if u is None:
        return []
    return paragraph(
        f"Crushing of webs: {u.seat} asks most, {_kn(u.share * u.force)} of {_kn(u.limit)} kN on one web ({u.case}); "
        f"with bending there {_over(u.together)}. ASSUMED: it bears on the bottom flange along {u.bearing:.0f} mm."
    )


def _springs(findings: Findings, every: bool) -> list[str]:
    s = findings.solution
    n = len(s.springs)
    names, forces = [x.name.removesuffix(" spring") for x in s.springs], s.support_forces[:n]
    own = chosen(findings, [*forces, *-forces], range(1, len(s.cases)), every)
    rows = [[s.cases[k].name, *map(_kn, forces[:, k])] for k in own.cases]
    words = "All of it: spring, bump stop and strap, and what the anti-roll bar adds. A pull is negative."
    if any(x.axle.kind == "independent" for x in s.suspensions):
        words += " Of independent wheels also what their arms lift or press down under side forces."
    return [
        *heading("What reaches the frame at its spring seats, kN"),
        *table(["case", *names], rows, "l" + "r" * n),
        *paragraph(words),
        *own.left_out("push or pull at a seat"),
    ]
