"""How long a hole may be, as part of a page."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.hole_length import LENGTHS, HoleCurve, HolePlace, HoleRow, HoleState, drops
from ladderfe.checks.found import NEAR_MOUNT, HoleBeside
from ladderfe.condition import Hole
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
    words = [_limit_words(curve), _ends_words(p), _listed_words(p), beside_words(curve.beside)]
    out += [line for text in words for line in paragraph(text)]
    cells = [_cells(s, p) for s in curve.states]
    head = ["length mm", f"utilisation {a:.0f} to {b:.0f} mm", "case", "elsewhere", "section", "J left"]
    out += ["", *table(head, cells, "rrlrlr")]
    out += _no_answer([(s.length, s) for s in curve.states], "length")
    out += [*paragraph(_drop_words(curve)), *paragraph(f"{J_WORDS} {EDGE}")]
    return out + _along(curve, rows)


def _ends_words(p: HolePlace) -> str:
    """That long holes are not about the station where the wall ends beside it."""
    (start, end), (a, b) = p.runs, p.region
    if a + b == 2 * p.station:
        return ""
    return (
        f"The {p.wall} wall runs from {start:g} to {end:g} mm: holes too long to lie about {p.station:g} mm begin or "
        "end where it does."
    )


def _listed_words(p: HolePlace) -> str:
    """What the table of readings has in the same wall already."""
    if not p.listed:
        return ""
    holes = "; ".join(f"{h.start:g} to {h.end:g} mm, with its rim {h.reach[0]:g} to {h.reach[1]:g} mm, {_line(h)}"
                      for h in p.listed)  # fmt: skip
    under = any(h.reach[0] <= p.station <= h.reach[1] for h in p.listed)
    more = (
        "a hole asked for adds nothing as long as it lies within that one, and joins it where it reaches beyond"
        if under else "the hole asked for comes beside it"
    )
    one = len(p.listed) == 1
    return (
        f"The table of readings has {'a hole' if one else 'holes'} in this wall here already ({holes}). "
        f"{'It is' if one else 'They are'} in every row, that of length 0 too; {more}."
    )


def _line(h: Hole) -> str:
    return f"line {h.line}" if h.line else "its line not known"


def _drop_words(curve: HoleCurve) -> str:
    """Why a longer hole may show less than a shorter one."""
    found = drops(curve)
    if not found:
        return ""
    pairs = ", ".join(f"{d.longer.length:g} mm ({whole_percent(d.longer.ratio)}) below {d.shorter.length:g} mm "
                      f"({whole_percent(d.shorter.ratio)})" for d in found)  # fmt: skip
    words = f"LONGER IS NOT BETTER, though it shows less here: {pairs}. {SOFTER}"
    if passed := [f for d in found for f in d.passed]:
        names = ", ".join(f"{f.name} at {f.station:g} mm" for f in passed)
        words += (
            f" A step also comes where the hole reaches past what is mounted or joined ({names}): it then meets the "
            "opened section, whose joint is estimated in another way, far from sure."
        )
    return f"{words} Count with the greatest utilisation of all lengths up to yours."


SOFTER = (
    "The longer a stretch is open, the softer it is in twist: less of the twist goes through it, and more through the "
    "other rail and the crossmembers."
)


def _no_answer(states: Sequence[tuple[float, HoleState]], what: str) -> list[str]:
    """Why there is none, every reason once."""
    reasons: dict[str, list[str]] = {}
    for number, s in states:
        if s.problem:
            reasons.setdefault(s.problem, []).append(f"{number:.0f}")
    told = (
        f"No answer at {what}{'s' if len(where) > 1 else ''} {', '.join(where)} mm: {why}"
        for why, where in reasons.items()
    )
    return [line for text in told for line in paragraph(text)]


def _limit_words(curve: HoleCurve) -> str:
    first, last = curve.states[0], curve.states[-1]
    if first.ratio >= 1:
        return (
            f"That stretch is over 100 % even with no {'further ' if curve.place.listed else ''}hole in it "
            f"({whole_percent(first.ratio)}, {first.case}): no length is left for one."
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
    named = h.nearest.kind == "hanger" or h.nearest.kind in h.nearest.name
    what = h.nearest.name if named else f"{h.nearest.kind} {h.nearest.name}"
    where = f"{h.distance:.0f} mm from its edge" if h.distance else "at it"
    within = "WITHIN" if h.near_mount else "not within"
    return (
        f"Nearest: {what} at {h.nearest.station:g} mm, {where}, {within} {NEAR_MOUNT:g} mm. Inspectors in several "
        f"countries take damage within {NEAR_MOUNT:g} mm of a mounting more seriously (common practice; ask what the "
        "rules of your country say)."
    )


def _cells(s: HoleState, p: HolePlace) -> list[str]:
    if s.problem:
        return [f"{s.length:g}", "none", "no answer, see below", "", "", ""]
    section = "opened" if s.opened else "no hole" if not s.length else "wall gone"
    if not s.length and any(h.reach[0] <= p.station <= h.reach[1] for h in p.listed):
        section = "hole as read"
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
        ratio, case = (whole_percent(r.hole.ratio), r.hole.case) if not r.hole.problem else ("none", "no answer")
        cells.append([f"{r.station:.0f}", whole_percent(r.without.ratio), ratio, case, mount, band])
    head = ["at mm", "without", "with", "case", "nearest mounting", f"{NEAR_MOUNT:g} mm"]
    out += table(head, cells, "rrrlwl")
    out += _no_answer([(r.station, r.hole) for r in rows], "station")
    words = f"Utilisation of {LENGTHS[-1]:g} mm about each station."
    if p.readings.holes:
        words += " Holes of the table of readings are there in both columns."
    if any(r.hole.ratio < r.without.ratio for r in rows):
        words += f" Less with the hole than without is no gain. {SOFTER}"
    return [*out, *paragraph(words)]
