"""What reaches the frame at the links of its axles, as a block of the page."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.checks import Findings
from ladderfe.checks.by_wall import NEAR
from ladderfe.checks.link_forces import LEANING, YAWING, LinkForce, link_forces
from ladderfe.report.table import heading, paragraph, table

__all__ = ["links_text"]

#: A force below this part of the greatest is none.
NOTHING = 1e-6


def links_text(findings: Findings, every: bool = False) -> list[str]:
    """Lines of the block: the greatest force each way at every place; with `every` that of all cases."""
    found = [f for f in link_forces(findings.chassis, findings.solution) if f.case]
    most = {c: max((abs(f.size) for f in found if f.couple == c), default=0.0) for c in (False, True)}
    found = [f for f in found if abs(f.size) > NOTHING * most[f.couple]]
    if not found:
        return []
    words = "Positive rearward, to the right and up; a wind-up couple about the axis to the right, right-handed."
    if any(f.way in (LEANING, YAWING) for f in found):
        words += " Couples about x (rearward) and z (up), right-handed too, are what arms of independent wheels bring."
    alone = {a.name for a in findings.chassis.axles if a.kind == "independent" and a.damper is not None}
    if any(f.place == "damper bracket" and f.axle in alone for f in found):
        words += " Dampers of independent wheels are taken to push as hard at the wheel: no lever is counted."
    return [
        *heading("What reaches the frame at links, kN (couples in kN m)"),
        *(_all_of(findings, found) if every else _greatest(findings, found)),
        *paragraph(words + ("" if every else " The greatest each way and its case.")),
    ]


def _shown(f: LinkForce) -> str:
    return f"{f.size / (1e6 if f.couple else 1e3):.2f}"


def _where(f: LinkForce) -> list[str]:
    return [" ".join(w for w in (f.axle, f.side, f.place) if w), f.way]


def _each_side(f: LinkForce) -> list[str]:
    return [f"{f.axle} {f.place}, each side", f.way]


def _all_of(findings: Findings, found: Sequence[LinkForce]) -> list[str]:
    rows = [[findings.solution.cases[f.case].name, *_where(f), _shown(f)] for f in found]
    return table(["case", "where", "way", "force"], rows, "lllr")


def _greatest(findings: Findings, found: Sequence[LinkForce]) -> list[str]:
    """One row a place and way; left and right in one where they say the same."""
    places = sorted(found, key=lambda f: f.order)
    by_place: dict[tuple[str, str, str, str], list[LinkForce]] = {}
    for f in places:
        by_place.setdefault((f.axle, f.place, f.way, f.side), []).append(f)
    told: dict[tuple[str, ...], list[LinkForce]] = {}
    for (axle, place, way, _), own in by_place.items():
        told.setdefault((axle, place, way, *_both_ways(findings, own)), []).append(own[0])
    rows = []
    for (_, _, _, *ends), own in told.items():
        rows.append([*(_where(own[0]) if len(own) == 1 else _each_side(own[0])), *ends])
    return table(["where", "way", "most", "case", "least", "case"], rows, "llrlrl")


def _both_ways(findings: Findings, own: Sequence[LinkForce]) -> tuple[str, str, str, str]:
    """Greatest and least with their cases; nothing where no force goes that way."""
    out: list[str] = []
    for sign in (1, -1):
        top = max(sign * f.size for f in own)
        f = next((f for f in own if top > 0 and sign * f.size >= top * (1 - NEAR)), None)
        out += [_shown(f), findings.solution.cases[f.case].name] if f else ["", ""]
    return out[0], out[1], out[2], out[3]
