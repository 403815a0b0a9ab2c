"""The governing stresses as a block of the page: where, how much of the limit, what it hangs on, what to do next."""

from __future__ import annotations

from collections.abc import Sequence
from math import isinf

from ladderfe.checks import Findings, Influence, Utilisation
from ladderfe.checks.findings import APART
from ladderfe.checks.largest_turn import SMALL_TURN, greatest_turn
from ladderfe.checks.wall_losses import EffectiveUse
from ladderfe.checks.web_forces import SeatUse, ShearUse
from ladderfe.report.table import heading, number, paragraph, table, use_share
from ladderfe.sections import cell_of

__all__ = [
    "USE_COLUMNS", "beside_words", "governing_text", "moved_words", "percent", "place_words",
    "use_cells", "value_words",
]  # fmt: skip

#: Rows of the table of governing stresses.
SHOWN = 10
#: Columns of a table of utilisations.
USE_COLUMNS = ("of limit", "part", "at mm", "wall", "criterion", "stress", "case")
#: What else helps than a stronger frame, by kind of case, where that is not to carry less.
OTHERWISE = {
    "drawbar pull": "tow less",
    "nose weight": "tow less",
    "rear overhang whip": "tow less",
    "winch": "pull less, straighter, or from two points",
    "recovery": "pull less, straighter, or from two points",
    "jack": "lift at another place",
    "two-post lift": "lift at other places",
    "stands": "put the stands at other places, all at one height",
}


def percent(ratio: float) -> str:
    """A utilisation in percent, with a second sign when over the limit."""
    return use_share(ratio) + (" OVER" if ratio > 1 else "")


def place_words(u: Utilisation) -> str:
    """Where along a part: a station on rails, y on crossmembers and outriggers."""
    return f"{u.along:.0f} mm" if u.kind == "rail" else f"y {u.along:+.0f} mm"


def moved_words(value: float | None) -> str:
    """A utilisation with an assumption moved; "none" where the model then contradicts itself."""
    return "none" if value is None else use_share(value)


def value_words(value: float) -> str:
    """An assumed value; an infinite stiffness is a word."""
    return "rigid" if isinf(value) else number(value)


def governing_text(findings: Findings) -> list[str]:
    """Lines of the block."""
    every = findings.governing(len(findings.utilisations))
    shown = every[:SHOWN]
    out = [*heading("Governing stresses, N/mm2"), *_table(shown), *paragraph(_chosen_words(len(shown), len(every)))]
    out += ["", *paragraph(f"Limits: {findings.chassis.criteria.source}")] if findings.chassis.criteria.source else [""]
    if shown[0].ratio > 1:
        s = findings.solution
        out += _over(shown[0], s.cases[s.case(shown[0].case)].kind, _open_end(findings, shown[0]))
    return [*out, *_yielding(findings), *beside_words(findings), *_moves_most(findings), *_turned(findings)]


def _chosen_words(shown: int, whole: int) -> str:
    """Which places the table has, and how many there are."""
    first = f"the first {shown} of {whole}" if whole > shown else f"all {whole}"
    return (
        "Not every place: one row for each part and wall, by the case and criterion that are greatest there, and "
        f"again what lies more than {APART:g} mm away on the same wall; {first}. A corner is told once, with one of "
        "its walls. All along the rails: the envelope."
    )


def beside_words(findings: Findings, see: str = "Thin walls") -> list[str]:
    """What is over its limit beside the stresses on whole walls: effective walls, shear of slender webs, spring seats;
    no lines where nothing is.  `see` names where more is told."""
    b = findings.buckling
    kinds: tuple[tuple[str, Sequence[EffectiveUse | ShearUse | SeatUse], float], ...] = (
        ("the stress on what is left of thin walls", b.effective[:1], b.effective[0].ratio if b.effective else 0.0),
        ("the shear of a slender web", b.shear[:1], b.shear[0].together if b.shear else 0.0),
        ("the force on a web at a spring seat, jack or stand", b.seats[:1], b.seat_ratio),
    )
    over = [
        f"{what} ({use_share(ratio)}, {u.part}, {u.case})" for what, (*uses,), ratio in kinds if ratio > 1 for u in uses
    ]
    if not over:
        return []
    told = "; ".join(over[:-1]) + "; and " + over[-1] if len(over) > 1 else over[0]
    verb = "are OVER their limits" if len(over) > 1 else "is OVER its limit"
    return paragraph(f"Beside these stresses {told} {verb}: see {see}.")


def use_cells(u: Utilisation) -> list[str]:
    """A utilisation under `USE_COLUMNS`."""
    return [
        percent(u.ratio),
        u.part,
        place_words(u).removesuffix(" mm"),
        u.point if u.criterion != "web shear" else f"{u.wall}, whole wall",
        u.criterion,
        f"{u.stress:.1f} of {u.limit:.0f}",
        u.case,
    ]


def _table(shown: tuple[Utilisation, ...]) -> list[str]:
    """One row for each."""
    return table(USE_COLUMNS, [use_cells(u) for u in shown], "rlrllrl")


def _over(u: Utilisation, kind: str, ends: str) -> list[str]:
    """The governing place once more, in words, and what can be done in that kind of case."""
    words = (
        f"OVER its limit: {u.stress:.1f} against {u.limit:.0f} N/mm2 in the {u.part} at {place_words(u)} ({u.wall}, "
        f"{u.case})."
    )
    return paragraph(
        f"{words} Next: correct the file if a size or a load in it is wrong, measure the wall there, take a stronger "
        f"section, or {OTHERWISE.get(kind, 'carry less')}.{ends}"
    )


def _yielding(findings: Findings) -> list[str]:
    """A warning where a stress is above yield, which a linear calculation does not know."""
    own = [u for u in findings.utilisations if u.criterion in ("bending", "von Mises")]
    u = max(own, key=lambda u: float(f"{abs(u.stress):.9g}"), default=None)
    if u is None or abs(u.stress) <= findings.buckling.yield_stress:
        return []
    limit = f"{findings.buckling.yield_stress:.0f} N/mm2"
    limit += " (ASSUMED)" if findings.chassis.material.yield_stress is None else ""
    return paragraph(
        f"WARNING: {abs(u.stress):.1f} N/mm2 ({u.criterion}, {u.part} at {place_words(u)}, {u.case}) is above the "
        f"yield stress, {limit}: the steel yields there and stays bent. Stresses "
        "beyond yield are those of steel that never yields; they tell that it is too much, not what happens then."
    )


def _open_end(findings: Findings, u: Utilisation) -> str:
    """What is to be said where the governing place is next to an open end of a box rail."""
    c = findings.chassis
    rail = next((r for r in c.rails if r.name == u.part), None)
    if rail is None:
        return ""
    for end, span in ((rail.start, rail.spans[0]), (rail.end, rail.spans[-1])):
        near = 2 * span.shape.depth
        closed = any(d.side == rail.side and abs(d.station - end) <= near for d in c.diaphragms)
        if cell_of(span.shape) and abs(u.along - end) <= near and not closed:
            return (
                " The rail's end counts as an open box there, which a crossmember near it bends out of shape: where a "
                "plate closes the inside, state it under [[diaphragms]]."
            )
    return ""


def _moves_most(findings: Findings) -> list[str]:
    """The assumption that moves the governing number most."""
    if not findings.influences or findings.influences[0].reach <= 0:
        return []
    used = moved_words(findings.influences[0].used)
    return paragraph(f"Of what is assumed this moves the governing {used} most: {_moving(findings.influences[0])}.")


def _moving(i: Influence) -> str:
    a = i.assumption
    ends = ((i.at_low, a.low), (i.at_high, a.high))
    words = [f"{moved_words(at)} at {value_words(v)}{'' if isinf(v) else f' {a.unit}'.rstrip()}" for at, v in ends]
    return f"{a.meaning} ({', '.join(words)})"


def _turned(findings: Findings) -> list[str]:
    """A warning where movements are no longer small."""
    turn = greatest_turn(findings.solution)
    if turn.degrees <= SMALL_TURN:
        return []
    return paragraph(
        f"WARNING: {turn.where} turns by {turn.degrees:.1f} degrees against the frame as a whole ({turn.case}). Beyond "
        f"about {SMALL_TURN:.0f} degrees (common practice, no source) movements are no longer small: the stresses of "
        "that case show only that the frame is very soft there."
    )
