"""The hand calculation as a page of plain text, 80 to 100 columns wide: what went in, every step, rail by stations."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from textwrap import wrap

from ladderfe.hand.calculation import HandCalculation
from ladderfe.hand.rail import StressRow
from ladderfe.hand.steps import Quantity, Step
from ladderfe.report.table import WIDTH, use_share, width_now
from ladderfe.units import kgf_from_newtons, kilograms, kilonewton_metres, kilonewtons

__all__ = [
    "STATION_COLUMNS", "beside_scale", "hand_text", "limits_words", "outcome_rows", "station_key", "station_rows",
    "written",
]  # fmt: skip

INDENT = 5  # of what stands under a step's number
DECIMALS = {"kg": 1, "kN": 3, "kN/m": 3, "kN/m2": 3, "kN m": 3, "m": 4, "mm2": 1, "N/mm2": 1, "%": 1}
BESIDE = {"kN": ("kgf", 1), "kN/m": ("kg/m", 1), "kN m": ("kgf m", 2), "m": ("mm", 1)}
COLUMNS = (7, -6, -16, 8, 7, 8, 8, 6, 6, 5, 5, 5)  # widths; negative: to the left
SPARE = (4, 6)  # columns that a narrow page leaves out: forces and moments once more, in kgf
PLACE = 14  # width of the words for a place on a narrow page
HEADS = (
    ("station", "", "", "V", "V", "M", "M", "top", "bottom", "web", "peak", "used"),
    ("mm", "", "", "kN", "kgf", "kN m", "kgf m", "N/mm2", "N/mm2", "N/mm2", "N/mm2", "%"),
)
#: Heads of the stations' columns on one line.
STATION_COLUMNS = tuple(", ".join(w for w in pair if w) for pair in zip(*HEADS, strict=True))
OPERATORS = (" + ", " - ", " / (")


def hand_text(calc: HandCalculation, unusual: Sequence[str] = ()) -> str:
    """The page as text; no line is longer than 100 columns.  `unusual` are lines on the input, shown under its head."""
    lines = [*_head(calc), *unusual, "", *_outcome(calc)]
    number = 0
    for part, group in groupby(calc.steps, key=lambda step: step.part):
        heading = _clipped(part, width_now())
        lines += ["", heading, "-" * len(heading)]
        for step in group:
            number += 1
            lines += _step(number, step)
    lines += ["", "The rail by stations", "-" * 20, *_table(calc), "", "Notes", "-----"]
    for note in (*calc.notes, f"Permissible stresses: {limits_words(calc)}."):
        lines += wrap(note, width_now(), initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines) + "\n"


def _head(calc: HandCalculation) -> list[str]:
    given = calc.given
    front, rear = given.axles
    title = wrap(f"Hand calculation of one rail: {given.title}", width_now())
    rail = (f"Rail {given.start:.0f} to {given.end:.0f} mm; {front.name} at {front.station:.0f} mm, {rear.name} at "
            f"{rear.station:.0f} mm (wheelbase {rear.station - front.station:.0f} mm)")
    weighed = (f"Weighed: {kilograms(front.load):.1f} kg on the {front.name}, {kilograms(rear.load):.1f} kg on the "
               f"{rear.name}; unsprung {kilograms(front.unsprung):.1f} and {kilograms(rear.unsprung):.1f} kg")
    basis = "A beam on two supports that carries all sprung weight of both sides on its one rail"
    words = [line for text in (rail, weighed, basis) for line in wrap(text, width_now())]
    return [*title, "=" * max(map(len, title)), *words]


def outcome_rows(calc: HandCalculation) -> list[tuple[str, str]]:
    """The few numbers a reader looks for first, with their names."""
    result, limits = calc.result, calc.given.permissible
    bent, sheared = calc.governing_bending, calc.governing_shear
    station, shear = result.greatest_shear
    return [
        ("Reactions", " and ".join(_force(r) for r in result.reactions)),
        ("Greatest shear", f"{_force(shear)} at {station:.0f} mm"),
        ("Greatest sagging", f"{_moment(result.greatest_sagging.moment)} at {result.greatest_sagging.station:.0f} mm"),
        ("Greatest hogging", f"{_moment(result.greatest_hogging.moment)} at {result.greatest_hogging.station:.0f} mm"),
        ("Contraflexure", "at " + ", ".join(f"{x:.1f}" for x in result.contraflexure) + " mm" if result.contraflexure
         else "none"),
        ("Bending", f"{bent.bending:.1f} N/mm2, {use_share(bent.bending_utilisation)} of {limits.bending:g} N/mm2, "
         f"{_where(bent)}"),
        ("Average web shear", f"{sheared.average_shear:.1f} N/mm2 over the full depth (peak {sheared.peak_shear:.1f})"
         f"{_thinner(sheared)}, {use_share(sheared.shear_utilisation)} of {limits.shear:g} N/mm2, {_where(sheared)}"),
    ]


def _outcome(calc: HandCalculation) -> list[str]:
    lines = []
    for name, text in outcome_rows(calc):
        lines += wrap(text, width_now(), initial_indent=f"{name:<20}", subsequent_indent=" " * 20)
    return lines


def _thinner(row: StressRow) -> str:
    """Words for a web that is stressed more than the average, "" where none is."""
    if row.thinner_shear is None:
        return ""
    return f"; {row.thinner_shear:.1f} in the thinner web, which takes half of the force"


def _where(row: StressRow) -> str:
    side = {"ahead": "just ahead of", "behind": "just behind"}.get(row.beside, "at")
    return f"{side} {row.station:.0f} mm"


def _force(newtons: float) -> str:
    return f"{kilonewtons(newtons):.2f} kN ({kgf_from_newtons(newtons):.1f} kgf)"


def _moment(newton_millimetres: float) -> str:
    return f"{kilonewton_metres(newton_millimetres):.3f} kN m ({kgf_from_newtons(newton_millimetres) / 1000:.2f} kgf m)"


def limits_words(calc: HandCalculation) -> str:
    """Permissible stresses and where they come from."""
    limits = calc.given.permissible
    shear = f"{limits.shear:g} N/mm2 average over the full depth of the webs"
    return f"{limits.bending:g} N/mm2 in bending, {shear} ({limits.source})"


def _step(number: int, step: Step) -> list[str]:
    """Title with the result at the right edge, then symbols and numbers, then the remark."""
    right, indent = _shown(step.result), " " * INDENT
    room = width_now() - INDENT - len(right)
    title, *more = wrap(step.title, room - 1)
    lines = [f"{number:>3}  {title:<{room}}{right}".rstrip(), *(indent + line for line in more)]
    if step.formula:
        lines += _formula(step)
    if step.remark:
        lines += wrap(step.remark + ".", width_now(), initial_indent=indent, subsequent_indent=indent)
    return lines


def _clipped(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 2].rstrip() + ".."


def _formula(step: Step) -> list[str]:
    """Symbols and numbers on one line where they fit, else on lines of their own."""
    symbols, numbers = step.symbols, step.numbers(written)
    if step.equation:
        return [line for text in (symbols, numbers) for line in _broken(" " * INDENT, f"{text} = 0", INDENT + 3)]
    start = f"{'':{INDENT}}{step.result.symbol} "
    one = f"{start}= {symbols} = {numbers}"
    if len(one) <= width_now():
        return [one]
    return [*_broken(start, f"= {symbols}", len(start) + 1), *_broken(" " * len(start), f"= {numbers}", len(start) + 1)]


def _broken(start: str, text: str, hang: int) -> list[str]:
    """The text after `start`, on lines that go on with an operator, broken outside brackets where that is enough."""
    for depth in range(3):
        lines = [start]
        for piece in _pieces(text, depth):
            if len(lines[-1]) + len(piece) > width_now() and len(lines[-1]) > hang:
                lines.append(" " * hang)
            lines[-1] += piece
        if max(map(len, lines)) <= width_now():
            break
    return [line.rstrip() for line in lines]


def _pieces(text: str, depth: int) -> list[str]:
    """Cut before every operator that stands within at most `depth` brackets."""
    pieces, start, level = [], 0, 0
    for i, sign in enumerate(text):
        level += (sign == "(") - (sign == ")")
        if level <= depth and i > start and text.startswith(OPERATORS, i):
            pieces.append(text[start:i])
            start = i
    return [*pieces, text[start:]]


def written(q: Quantity) -> str:
    """A number to put into a formula."""
    if q.unit == "kN/kg":
        return f"{q.value:.6f}"
    if q.unit in ("mm3", "mm4"):
        return _thousands(q.value)
    if q.unit == "mm":
        return f"{q.value:.2f}".rstrip("0").rstrip(".")
    return _plain(q.value, DECIMALS[q.unit])


def _plain(value: float, decimals: int) -> str:
    """Fixed decimals, and no minus sign before a nothing."""
    text = f"{value:.{decimals}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def _thousands(value: float) -> str:
    """Four to six figures as a multiple of a power of a thousand, such as 35.74e3 or 2.6803e6."""
    power = 6 if value >= 1e6 else 3 if value >= 1e3 else 0
    decimals = 4 if power == 6 else 2
    return f"{value / 10**power:.{decimals}f}" + (f"e{power}" if power else "")


def _shown(q: Quantity) -> str:
    """The result as it stands at the right edge: value, unit, and the same as a scale or a tape reads it."""
    other, unit = beside_scale(q)
    beside = f"{other:>9} {unit}" if unit else ""
    return f"{written(q):>9} {q.unit:<5} {beside:<15}"


def beside_scale(q: Quantity) -> tuple[str, str]:
    """The number and the unit as a scale or a tape reads it; nothing where there is no such unit."""
    if q.unit not in BESIDE:
        return "", ""
    unit, decimals = BESIDE[q.unit]
    other = q.value * 1000 if unit == "mm" else kgf_from_newtons(1000 * q.value)
    return _plain(other, decimals), unit


def station_rows(calc: HandCalculation) -> Iterable[tuple[str, ...]]:
    """Cells of the rail station by station, as `HEADS` names them; a star behind what is utilised most."""
    words, governs = dict(calc.places), {calc.governing_bending, calc.governing_shear}
    before: float | None = None
    for row in calc.rows:
        station, place = ("", "") if row.station == before else (f"{row.station:.1f}", words[row.station])
        before = row.station
        yield (
            station, row.beside, place, _plain(kilonewtons(row.shear), 3), _plain(kgf_from_newtons(row.shear), 1),
            _plain(kilonewton_metres(row.moment), 3), _plain(kgf_from_newtons(row.moment) / 1000, 2),
            _plain(row.top, 1), _plain(row.bottom, 1), f"{row.web_shear:.1f}", f"{row.peak_shear:.1f}",
            use_share(row.utilisation).removesuffix(" %") + ("*" if row in governs else ""),
        )


def station_key(calc: HandCalculation) -> str:
    """What the columns of `station_rows` are."""
    webs = "web: average shear over the full depth"
    if any(row.thinner_shear is not None for row in calc.rows):
        webs += ", where one of two webs is thinner that of the thinner one with half of V"
    return f"top and bottom face: tension positive; {webs}; peak: V Q/(I t); *: utilised most"


def _table(calc: HandCalculation) -> Iterable[str]:
    yield from (_row(cells) for cells in HEADS)
    for cells in station_rows(calc):
        star = "*" if cells[-1].endswith("*") else ""
        yield _row((*cells[:2], _clipped(cells[2], 16), *cells[3:-1], cells[-1].removesuffix("*"))) + star
    yield from wrap(station_key(calc), width_now())


def _row(cells: tuple[str, ...]) -> str:
    """One line of the table, its cells in their columns."""
    wide = width_now() >= WIDTH
    shown = [(c, w if wide or w > -PLACE else -PLACE) for k, (c, w) in enumerate(zip(cells, COLUMNS, strict=True))
             if wide or k not in SPARE]
    return " ".join(f"{cell:>{w}}" if w > 0 else f"{_clipped(cell, -w):<{-w}}" for cell, w in shown)
