"""How thin walls may get, as a page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from ladderfe.advice.margin import Beside, Limit, Margin, Margins
from ladderfe.advice.margin_governs import Governs, PlaceGoverns
from ladderfe.advice.places import ALL, Place
from ladderfe.condition import Found
from ladderfe.report.cautions import cautions_text
from ladderfe.report.page import head_lines
from ladderfe.report.readings_text import assumed_lines, count_words, doubt_lines, strength_words
from ladderfe.report.table import FAR, heading, paragraph, table, use_share

__all__ = ["limit_words", "margin_text", "onset_words", "whole_percent"]

#: So many places elsewhere are told.
ELSEWHERE = 6
#: At most so many cases that bring places over are named at the head.
CASES_NAMED = 4
WHAT_COUNTS = (
    "What counts for a place: the greatest utilisation over its reach, in whichever of the rail's walls it is, of "
    "bending, average shear and von Mises stress (a wall that becomes thinner loads the others). Limit thickness: "
    "where it comes to 100 %, the wall so thick over the whole reach, all other walls as found, forces, weights and "
    "joints worked out anew."
)
COLUMNS = (
    "now: as found, all cases asked. over in: cases that are over 100 % already, before anything becomes thinner: the "
    "place then has NO limit thickness left (limit: over), and the others' is that of the other cases together, for "
    'what it is worth. "0, gone": only the loss of the wall brings it over; none: not even that. whole from: thinner '
    "than this the wall begins to lose width by local buckling (all cases; not "
    "counted in the utilisation here, see `ladderfe check`). left: smallest reading less limit, mm; over: already over."
)
ALIKE = (
    "All walls so thick over the reach, none thicker than built, whatever was read; over in: cases over 100 % with all "
    "walls there as built. left: the thinnest wall less the limit; below 0 some wall is thinner than all of them may "
    "be together."
)
NOT_IN_IT = (
    "The stress at pits, at the edge of a hole and at welds; walls thinned over less than the "
    "reach of a place; width that thin walls lose; two places becoming thinner at once. A limit thickness is where a "
    "calculated stress meets a permissible one, not a thickness to repair at: measure again, and mind the scatter. "
    "The smallest of few readings flatters."
)


def margin_text(
    m: Margins, source: str, by_case: Sequence[tuple[Place, Sequence[Margin]]] = (), holes: Sequence[str] = (),
    by: Mapping[Place, PlaceGoverns] = MappingProxyType({}),
) -> str:  # fmt: skip
    """The whole page; `source` names the chassis file, `by_case` holds places with their margins in single cases,
    `holes` what is to be said of holes, `by` what governs places."""
    c = m.found.chassis
    out = head_lines(c, "how thin walls may get", source)
    out += ["", *paragraph(_short(m)), *paragraph(_narrower(m))] if m.margins else []
    out += _as_found(m.found)
    out += [*heading("Limit thickness"), *paragraph(WHAT_COUNTS)] if m.margins else [""]
    cases = m.cases if len(m.cases) < len(c.cases) else ()
    out += paragraph(f"Cases: {'; '.join(cases) if cases else f'all {len(m.cases)}'}.")
    for side in ("left", "right"):
        out += _rail(side, [x for x in m.margins if x.place.side == side and x.place.wall != ALL], by)
    out += ["", *paragraph(COLUMNS)] if m.margins else []
    out += paragraph(GOVERNS) if by else []
    out += _alike([x for x in m.margins if x.place.wall == ALL])
    for place, rows in by_case:
        out += _cases(place, rows)
    out += [*holes, *_elsewhere(m), *doubt_lines(m.found)]
    return "\n".join([*out, *heading("Not in these numbers"), *paragraph(NOT_IN_IT), *cautions_text()])


def _short(m: Margins) -> str:
    """The least that is left, in a sentence or two."""
    one = [x for x in m.margins if x.place.wall != ALL]
    over = [x for x in one if x.over]
    words = ""
    if over:
        are = "is" if len(over) == 1 else "are"
        words = f"{len(over)} of {_count(len(one), 'place')} {are} over 100 % in some case as found. "
    left = [(x.left, x) for x in one if x.left is not None]
    if not left:
        free = [x for x in one if not x.over and x.limit.how in ("found", "jumps")]
        least = max(free, key=lambda x: x.limit.thickness / x.place.nominal, default=None)
        if least is None:
            return words or "No wall asked for brings its place over 100 %, not even when it is gone."
        what = f"the {least.place.name} from {least.limit.thickness:.2f} mm ({least.limit.case})"
        return f"{words}Of the others, none of which was read, the first to come to 100 % is {what}."
    value, x = min(left, key=lambda pair: pair[0])
    of = "Least left of the others" if over else "Least left"
    read = f"{_read(x.place)} mm read, limit {limit_words(x.limit)}"
    return f"{words}{of}: {value:.2f} mm at the {x.place.name} ({read})."


def _narrower(m: Margins) -> str:
    """Which cases bring places over, and how to ask for less; "" where one place or one case was asked for."""
    by: dict[str, int] = {}
    one = [x for x in m.margins if x.place.wall != ALL]
    for x in one:
        by |= {case: by.get(case, 0) + 1 for case, _ in x.over}
    if not by or len(m.cases) == 1 or len(one) == 1:
        return ""
    worst = sorted(by, key=lambda c: -by[c])
    named = "; ".join(f"{c} ({by[c]})" for c in worst[:CASES_NAMED])
    more = f"; and {len(worst) - CASES_NAMED} more" if len(worst) > CASES_NAMED else ""
    return (
        f"Over by these cases (at so many places): {named}{more}. What is left in one case alone: --case "
        f'"{_calm(m, by)}"; one place alone, case by case: --place "{_named(one[0])}" --every-case. Both take '
        "less time."
    )


def _named(x: Margin) -> str:
    """A place as --place takes it."""
    return f"{x.place.side} {x.place.wall} {x.place.station:.0f}"


def _calm(m: Margins, over: dict[str, int]) -> str:
    """A case in which fewest places are over, for an example: the first one."""
    return min(m.cases, key=lambda c: over.get(c, 0))


def _count(n: int, one: str) -> str:
    return f"{n} {one}" if n == 1 else f"{n} {one}s"


def _as_found(found: Found) -> list[str]:
    if not found.source:
        words = "ASSUMED: no readings were given, so all walls count as the chassis file has them."
        return ["", *paragraph(words)]
    out = [*heading("As found"), *paragraph(f"{count_words(found)} {strength_words(found)}")]
    return [*out, *assumed_lines(found)]


def whole_percent(ratio: float) -> str:
    """A utilisation in percent without decimals, with more where 100 would be told of what is under or over."""
    if ratio > FAR:
        return use_share(ratio)
    if abs(ratio - 1) <= 1e-4:
        return "100 %"
    told = [f"{100 * ratio:.{digits}f}" for digits in range(3)]
    return next((words for words in told if float(words) != 100), told[-1]) + " %"


def limit_words(limit: Limit) -> str:
    """A limit thickness as a cell."""
    if limit.how == "found":
        return f"{limit.thickness:.2f}"
    if limit.how == "jumps":
        return f"{limit.thickness:.2f}, jumps"
    return {"gone": "0, gone", "none": "none", "already over": "over"}[limit.how]


def onset_words(x: Margin) -> str:
    """The thickness at which a wall begins to lose width, as a cell."""
    if x.onset.how == "already over":
        return f"> {x.onset.thickness:.1f}"
    return f"{x.onset.thickness:.2f}" if x.onset.how in ("found", "jumps") else "any"


def _read(p: Place) -> str:
    return "not read" if p.least is None else f"{p.least:.2f} ({p.n})"


def _left(x: Margin) -> str:
    if x.over:
        return "over"
    if x.limit.how == "none":
        return "any"
    return "" if x.left is None else f"{x.left:+.2f}"


def _row(x: Margin) -> list[str]:
    p = x.place
    return [
        f"{p.station:.0f}", p.wall, f"{p.nominal:.2f}", _read(p), whole_percent(x.now[0]), _over(x), *_limits(x),
        onset_words(x), _left(x),
    ]  # fmt: skip


def _over(x: Margin) -> str:
    return _count(len(x.over), "case") if x.over else ""


def _limits(x: Margin) -> tuple[str, str]:
    """The limit of all cases, and that of those that are not over already where some are."""
    words = limit_words(x.limit)
    return ("over", "" if x.limit.how == "already over" else words) if x.over else (words, "")


HEAD = ["at mm", "wall", "as built", "read (n)", "now", "over in", "limit", "the others'", "whole from", "left"]
ALIGN = "rlrlrlrrrr"
GOVERNS = (
    "by: the case, then the wall and the criterion that govern the place, as found and at the limit thickness (in "
    "brackets where the place is over already: that of the other cases)."
)


def _rail(side: str, rows: Sequence[Margin], by: Mapping[Place, PlaceGoverns]) -> list[str]:
    if not rows:
        return []
    out = [*heading(f"{side.capitalize()} rail: one wall thinner, the others as found, mm")]
    out += table(HEAD, [_row(x) for x in rows], ALIGN)
    known = [x for x in rows if x.place in by]
    if not known:
        return out
    cells = [
        [f"{x.place.station:.0f}", x.place.wall, whole_percent(x.now[0]), _governs(by[x.place].now),
         f"({limit_words(x.limit)})" if x.over and by[x.place].limit else _limits(x)[0], _governs(by[x.place].limit)]
        for x in known
    ]  # fmt: skip
    head = ["at mm", "wall", "now", "by: case; wall, criterion", "limit", "by: case; wall, criterion"]
    return [*out, "", *table(head, cells, "rlrwlw")]


def _governs(g: Governs | None) -> str:
    return "" if g is None else f"{g.case}; {g.wall}, {g.criterion}"


def _alike(rows: Sequence[Margin]) -> list[str]:
    if not rows:
        return []
    head = ["rail", "at mm", "reach", "thinnest", "over in", "limit", "the others'", "case", "whole from", "left"]
    cells = []
    for x in rows:
        thinnest = "not read" if x.place.least is None else f"{x.place.least:.2f}"
        reach = f"{x.place.start:.0f} to {x.place.end:.0f}"
        case = x.limit.case if x.limit.how in ("found", "jumps") else ""
        cells.append([x.place.side, f"{x.place.station:.0f}", reach, thinnest, _over(x), *_limits(x), case,
                      onset_words(x), _left(x)])  # fmt: skip
    out = [*heading("All walls of a station alike, mm"), *table(head, cells, "lrlrlrrwrr")]
    return [*out, *paragraph(ALIKE)]


def _cases(place: Place, rows: Sequence[Margin]) -> list[str]:
    """One place, case by case."""
    cells = [
        [
            x.now[1],
            whole_percent(x.now[0]),
            "already over" if x.over else limit_words(x.limit),
            onset_words(x),
            _left(x),
        ]
        for x in sorted(rows, key=lambda x: -x.now[0])
    ]
    out = heading(f"Case by case: {place.name}")
    return [*out, *table(["case", "now", "limit mm", "whole from mm", "left mm"], cells, "lrrrr")]


def _elsewhere(m: Margins) -> list[str]:
    """What limits the frame elsewhere: over as found, and what comes over before a place does."""
    out = heading("Elsewhere in the frame")
    if m.worst:
        out += paragraph(f"Over 100 % as found in the cases asked: {_count(len(m.worst), 'place')}, the worst first:")
        rows = [[name, case, whole_percent(ratio)] for name, case, ratio in m.worst[:ELSEWHERE]]
        out += table(["stretch of rail or part", "case", "utilisation"], rows, "lwr")
    else:
        out += paragraph("Nothing is over 100 % as found in the cases asked.")
    sooner = [x for x in m.margins if x.first is not None]
    if not sooner:
        words = "that is below 100 % as found comes over it before a place does at its own limit"
        return [*out, *paragraph(f"Nothing elsewhere {words} (places without a case over).")]
    out += ["", *paragraph("What comes over 100 % elsewhere before the place itself does:")]
    rows = [_sooner(x.place, *x.first) for x in sooner if x.first is not None]
    return [*out, *table(["as this wall thins", "to mm", "this comes to 100 %", "case", "now"], rows, "wrlwr")]


def _sooner(place: Place, beside: Beside, thickness: float) -> list[str]:
    return [place.name, f"{thickness:.2f}", beside.name, beside.case, whole_percent(beside.found)]
