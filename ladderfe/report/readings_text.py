"""What every page that used thickness readings says of them: how many, what is assumed, what is doubtful."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.checks.found import HoleBeside, unread_metres
from ladderfe.condition import Found, Suspect
from ladderfe.condition.types import BOUND
from ladderfe.report.openings_text import opening_words
from ladderfe.report.table import heading, paragraph

__all__ = [
    "assumed_lines",
    "count_words",
    "doubt_lines",
    "hole_lines",
    "readings_text",
    "strength_words",
    "unread_words",
]

#: At most so many places that were listed and not read are named.
NAMED = 4


def readings_text(found: Found) -> list[str]:
    """A block for pages that show the state as found alone."""
    out = [*heading("As found"), *paragraph(f"{count_words(found)} {strength_words(found)}"), *assumed_lines(found)]
    return [*out, *paragraph("As found against as built: `ladderfe check --readings`.")]


def _count(n: int, one: str, many: str = "") -> str:
    return f"{n} {one if n == 1 else many or one + 's'}"


def count_words(found: Found, source: str = "", *, named: bool = False) -> str:
    """How much was read; `source` names the file in other words than readings do; named: the page tells which readings
    are doubtful."""
    n = sum(len(p.values) for p in found.places)
    parts = [f"{_count(n, 'reading')} at {_count(len(found.places), 'place')}", _count(len(found.holes), "hole")]
    parts.append(_count(len(suspect_places(found)), "suspect place"))
    doubtful = sum(bool(p.doubts) for p in found.places)
    if doubtful:
        where = "named further down" if named else "which `ladderfe check --readings` names"
        parts.append(f"{_count(doubtful, 'place')} with DOUBTFUL readings, {where}")
    return f"The rails' walls are as read in {source or found.source}: {', '.join(parts)}."


def suspect_places(found: Found) -> tuple[Suspect, ...]:
    """The first suspect row of every place."""
    places = {(s.side, s.wall, round(s.station)): s for s in reversed(found.suspects)}
    return tuple(s for s in found.suspects if s in places.values())


def strength_words(found: Found) -> str:
    """By which thickness stiffness and strength go."""
    o = found.options
    strong = "the lower bound mean - k s of three readings or more (5 % of further readings below it), the smallest of"
    strong = f"{strong} fewer" if o.strength == BOUND else "the smallest reading"
    pooled = f" Readings within {o.pool:g} mm are one place." if o.pool else ""
    return (
        f"Stiffness and mass go by the mean of a place, stress by {strong}; a place speaks for its wall half-way to "
        f"the next one, {o.reach:g} mm at most.{pooled}"
    )


def unread_words(found: Found) -> str:
    """How many metres of which walls nobody read, and the places that the table lists without a reading."""
    return " ".join(words for words in (_metres_words(found), _listed_words(found)) if words)


def _listed_words(found: Found) -> str:
    """Rows of the table without a reading; the first of their places by name."""
    if not found.unread:
        return ""
    notes: dict[str, str] = {}
    for u in found.unread:
        place = f"{u.side} rail, {u.wall} at {u.station:g} mm"
        notes[place] = notes.get(place) or u.note
    named = [f"{place} ({note})" if note else place for place, note in notes.items()]
    more = [f"{len(named) - NAMED} more"] if len(named) > NAMED else []
    rows = f"{_count(len(found.unread), 'row')} of the table, {_count(len(named), 'place')}"
    return f"ASSUMED: listed without a reading: {rows}: {'; '.join(named[:NAMED] + more)}."


def _metres_words(found: Found) -> str:
    metres = unread_metres(found)
    if not metres:
        return ""
    whole = sum(s.length * len(s.walls) for s in found.stretches) / 1000
    by_side = []
    for side in ("left", "right"):
        own = [f"{wall} {m:.2f} m" for (s, wall), m in metres.items() if s == side]
        by_side += [f"{side} rail {', '.join(own)}"] if own else []
    loss = found.options.unread_loss
    as_what = f"at {100 * (1 - loss):g} % of their thickness as built" if loss else "as built"
    return (
        f"ASSUMED: {sum(metres.values()):.1f} of {whole:.1f} m of the rails' walls were not read and count {as_what}: "
        f"{'; '.join(by_side)}. Crossmembers and outriggers count as the chassis file has them."
    )


def assumed_lines(found: Found) -> list[str]:
    """What is assumed, as paragraphs."""
    out = [line for words in (_metres_words(found), _listed_words(found)) for line in paragraph(words)]
    guessed = [h for h in found.holes if not h.rim_given]
    if guessed:
        where = "; ".join(f"{h.side} rail, {h.wall} at {h.start:g} mm" for h in guessed)
        words = f"ASSUMED: the rim of thinned metal around {_count(len(guessed), 'hole')} is {guessed[0].rim:g} mm"
        out += paragraph(f"{words} (common practice, no source), as none is given: {where}.")
    return out + [line for words in opening_words(found) for line in paragraph(words)]


def doubt_lines(found: Found) -> list[str]:
    """Readings to look at again, and suspect places."""
    out: list[str] = []
    for p in found.places:
        for words in p.doubts:
            out += paragraph(f"{p.name}: {words}", "  ", "- ")
    for s in suspect_places(found):
        note = f" ({s.note})" if s.note else ""
        words = f"{s.side} rail, {s.wall} at {s.station:g} mm: suspect{note}; the wall counts as read or assumed there."
        out += paragraph(words, "  ", "- ")
    return [*heading("Doubtful readings and suspect places"), *out] if out else []


def hole_lines(holes: Sequence[HoleBeside], near: float) -> list[str]:
    """Every hole with what is mounted near it."""
    if not holes:
        return []
    out = heading("Holes")
    for h in holes:
        a, b = h.hole.reach
        words = (
            f"{h.hole.side} rail, {h.hole.wall}: hole from {h.hole.start:g} to {h.hole.end:g} mm; the wall counts as "
            f"gone from {a:g} to {b:g} mm, rims included."
        )
        if h.nearest is not None:
            what = f"{h.nearest.kind} {h.nearest.name}" if h.nearest.kind not in h.nearest.name else h.nearest.name
            place = f"{h.distance:.0f} mm from its edge" if h.distance else "at it"
            within = "WITHIN" if h.near_mount else "not within"
            words += f" Nearest: {what} at {h.nearest.station:g} mm, {place}, {within} {near:g} mm."
        out += paragraph(words, "  ", "- ")
    words = (
        f"Inspectors in several countries take damage within {near:g} mm of a mounting more seriously than elsewhere "
        "(common practice; ask what the rules of your country say)."
    )
    return [*out, *paragraph(words)]
