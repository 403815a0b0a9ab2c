"""How long a hole may be, as part of a page."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.hole_length import LENGTHS, HoleCurve, HoleRow, HoleState
from ladderfe.checks.found import NEAR_MOUNT, HoleBeside
from ladderfe.report.margin_text import whole_percent
from ladderfe.report.table import heading, paragraph, table

__all__ = ["hole_text"]

EDGE = (
    "The wall counts as gone over the length given, its rim of thinned metal included, right across its width. The "
    "stress AT THE EDGE of a hole (two to three times that beside it at a round one, more at sharp corners; common "
    "handbook values) is not in the result of a beam, nor is how a short hole's ends hold the section: a short hole in "
    "a box is stiffer than an open section of its length. A crack at the edge counts for more than the length."
)
J_WORDS = "J left: of the torsion constant as built; a box that is cut open keeps next to none of it."


def hole_text(curve: HoleCurve, rows: Sequence[HoleRow] = ()) -> list[str]:
    """Utilisation against length at one station, and of one length along the wall."""
    p = curve.place
    a, b = p.region
    out = heading(f"A hole in the {p.side} rail's {p.wall} about {p.station:g} mm")
    out += [*paragraph(_limit_words(curve)), *paragraph(beside_words(curve.beside))]
    cells = [_cells(s) for s in curve.states]
    head = ["length mm", f"utilisation {a:.0f} to {b:.0f} mm", "case", "elsewhere", "section", "J left"]
    out += ["", *table(head, cells, "rrlrlr"), *paragraph(f"{J_WORDS} {EDGE}")]
    return out + _along(curve, rows)


def _limit_words(curve: HoleCurve) -> str:
    first, last = curve.states[0], curve.states[-1]
    if first.ratio >= 1:
        return (
            f"It is over 100 % there without a hole already ({whole_percent(first.ratio)}, {first.case}): no length is "
            "left."
        )
    if curve.limit is None:
        return f"Not even {last.length:g} mm bring it to 100 % there ({whole_percent(last.ratio)}, {last.case})."
    if curve.limit.length <= LENGTHS[0]:
        return f"The loss of {LENGTHS[0]:g} mm already brings it over 100 % ({curve.limit.case})."
    return f"100 % is reached at a length of {curve.limit.length:.0f} mm ({curve.limit.case})."


def beside_words(h: HoleBeside) -> str:
    """What is mounted next to a hole, and the band in which damage counts for more."""
    if h.nearest is None:
        return "Nothing is mounted on this rail."
    what = f"{h.nearest.kind} {h.nearest.name}" if h.nearest.kind not in h.nearest.name else h.nearest.name
    where = f"{h.distance:.0f} mm from its edge" if h.distance else "at it"
    within = "WITHIN" if h.near_mount else "not within"
    return (
        f"Nearest: {what} at {h.nearest.station:g} mm, {where}, {within} {NEAR_MOUNT:g} mm. Inspectors in several "
        f"countries take damage within {NEAR_MOUNT:g} mm of a mounting more seriously (common practice; ask what the "
        "rules of your country say)."
    )


def _cells(s: HoleState) -> list[str]:
    if s.problem:
        return [f"{s.length:g}", "none", s.problem, "", "", ""]
    section = "opened" if s.opened else "no hole" if not s.length else "wall gone"
    left = f"{100 * s.J:.2g} %" if s.J < 0.995 else "100 %"
    return [f"{s.length:g}", whole_percent(s.ratio), s.case, whole_percent(s.elsewhere), section, left]


def _along(curve: HoleCurve, rows: Sequence[HoleRow]) -> list[str]:
    """Where a hole of one length matters."""
    if not rows:
        return []
    p = curve.place
    out = heading(f"Where it matters: {rows[0].hole.length:g} mm gone of the {p.side} rail's {p.wall}, worst first")
    cells = []
    for r in sorted(rows, key=lambda r: -r.hole.ratio):
        near = r.beside
        mount = "" if near.nearest is None else f"{near.nearest.name}, {near.distance:.0f} mm"
        band = "WITHIN" if near.near_mount else ""
        cells.append([
            f"{r.station:.0f}", whole_percent(r.without.ratio), whole_percent(r.hole.ratio), r.hole.case, mount, band,
        ])  # fmt: skip
    head = ["at mm", "without", "with", "case", "nearest mounting", f"{NEAR_MOUNT:g} mm"]
    return [*out, *table(head, cells, "rrrlwl"), *paragraph(f"Utilisation of {LENGTHS[-1]:g} mm about each station.")]
