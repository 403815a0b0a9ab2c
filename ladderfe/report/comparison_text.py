"""Several chassis side by side as a page for the terminal."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from string import ascii_uppercase

from ladderfe.checks import Findings
from ladderfe.checks.comparison import SEATS, SLENDER, WELD, Comparison, ComparisonRow, ranked
from ladderfe.checks.web_forces import BEARING
from ladderfe.condition import Found
from ladderfe.report.cautions import cautions_text, not_checked
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.page import bullets
from ladderfe.report.readings_text import assumed_lines, count_words, strength_words
from ladderfe.report.table import FAR, heading, paragraph, table

__all__ = ["change_words", "comparison_text", "letters"]

#: Chassis beside the first in one table: more do not fit 100 columns and go into a table below.
BESIDE = 3
#: Spring forces that differ by less than this part of the first are left out.
ALIKE = 5e-4
#: At most so many cases are named in the summary.
NAMED = 3
#: Changes beyond this are told as a multiple.
TENFOLD = 9.995
MISSING = "none"


def letters(count: int) -> list[str]:
    """A, B, ... Z, A2, B2, ...: short names of the chassis in the order given."""
    return [ascii_uppercase[k % 26] + (str(k // 26 + 1) if k >= 26 else "") for k in range(count)]


def change_words(row: ComparisonRow, k: int) -> str:
    """How far chassis `k` is from the first, in percent of the first; "" where one of the two has no such thing or
    is beyond its formula."""
    change = row.change(k)
    if change is None or _beyond(row, 0) or _beyond(row, k):
        return ""
    if abs(change) < ALIKE:
        return "same"
    times = change > TENFOLD and (row.values[0] or 0.0) > 0  # what turns its sign is no multiple
    return f"x {1 + change:.0f}" if times else f"{100 * change:+.1f} %"


def comparison_text(
    comparison: Comparison, sources: Sequence[str], states: Sequence[Found] = (), rustless: Collection[int] = ()
) -> str:  # fmt: skip
    """The whole page; `sources` name the files, in the order of the findings; `states`: those among them as found.
    rustless: numbers of those that never rusted beside others that did; they have no rank."""
    c = comparison
    names = letters(len(sources))
    out = ["Compared, all changes in percent of A's own value", ""]
    for letter, source, f in zip(names, sources, c.findings, strict=True):
        out += paragraph(f"{source}: {f.chassis.title}", "   ", f"{letter:<3}")
    out += [*heading("In short"), *_summary(c, names)]
    out += _ranked(c, names, sources, rustless)
    for lines in dict.fromkeys(tuple(_state(found)) for found in states):
        out += lines
    out += [*heading("Frame"), *_side_by_side(c.frame, names, "")]
    out += paragraph(
        "Stiffness of the bare frame between the axle stations: with the joints as each file has them, and with those "
        "that it does not describe at the low and the high end of their spread and rigid."
    )
    out += [*heading("Greatest utilisation of each case"), *_side_by_side(c.cases, names, "case")]
    out += [*heading("Where it governs, N/mm2"), *_places(c, names)]
    out += [*heading("Greatest utilisation of each part, all cases"), *_side_by_side(c.parts, names, "part")]
    out += _thin(c, names)
    out += [*heading("Sag of the rails between the axles, mm"), *_side_by_side(c.sag, names, "case")]
    out += [*heading("Spring forces, kN"), *_springs(c, names)]
    out += [*_proofs(c, names), *_left_out(c.findings)]
    return "\n".join(out)


def _summary(c: Comparison, names: Sequence[str]) -> list[str]:
    """Of each chassis what governs, cases over a limit, stiffness and mass; of those beside the first what changed."""
    out: list[str] = []
    over = [dict(f.cases_over()) for f in c.findings]
    for k, (letter, f) in enumerate(zip(names, c.findings, strict=True)):
        u = f.utilisations[0]
        words = (
            f"{_governing(c, k)} governs: {u.part} at {place_words(u)}, case {u.case}; {len(over[k]) or 'none'} of "
            f"{len(f.solution.cases) - 1} cases over a limit. Torsional stiffness "
            f"{_with_change(c.frame[0], k, ' kN m/deg')}, frame {_with_change(c.frame[-1], k, ' kg')}."
        )
        words += _moved(c, k, over[0], over[k]) if k else ""
        out += paragraph(words, "   ", f"{letter:<3}")
    if any(over):
        words = "Cases over a limit: by stress, by thin walls or by the force at a spring seat, jack or stand."
        out += paragraph(words)
    return out


def _ranked(
    c: Comparison, names: Sequence[str], sources: Sequence[str], rustless: Collection[int]
) -> list[str]:  # fmt: skip
    """All of them by their greatest utilisation, where repair plans are among them."""
    weld = next((r for r in c.frame if r.name == WELD), None)
    if weld is None:
        return []
    rows = []
    for k in ranked(c, rustless):
        u = c.findings[k].utilisations[0]
        metres = weld.values[k]
        rows.append([names[k], percent(u.ratio), str(len(c.findings[k].cases_over())),
                     "none" if metres is None else f"{metres:.2f}", _value(c.frame[-1], k)])  # fmt: skip
    out = [*heading("Ranked, the lowest greatest utilisation first"),
           *table(["", "utilisation", "cases over", "weld m", "kg"], rows, "lrrrr")]  # fmt: skip
    out += paragraph("What is alike goes by less weld, then less mass. States that were not welded have none. Plans "
                     "count as welded unloaded; welded as the frame stands, old metal keeps what it carried then "
                     "and may be used more: `ladderfe repair` tells, and may find OVER what is within a limit here.")
    beside = " With --readings FILE.csv the frame as found stands in the ranks too."
    beside = "" if any(", as found by " in s for s in sources) else beside
    for k in rustless:
        u = c.findings[k].utilisations[0]
        out += paragraph(f"Without a rank: {names[k]}, as built, nothing rusted ({percent(u.ratio)}).{beside}")
    return out


def _governing(c: Comparison, k: int) -> str:
    """The governing utilisation; how far from the first only where both looked at the same cases."""
    tops = tuple(f.utilisations[0].ratio for f in c.findings)
    if any((r.values[0] is None) != (r.values[k] is None) for r in c.cases):
        return f"{percent(tops[k])} (not all cases are A's)"
    return _with_change(ComparisonRow(name="governing", unit="", values=tops), k)


def _with_change(row: ComparisonRow, k: int, unit: str = "") -> str:
    change = change_words(row, k) if k else ""
    return _value(row, k) + unit + (f" ({change})" if change else "")


def _moved(c: Comparison, k: int, first: Mapping[str, float], own: Mapping[str, float]) -> str:
    """Cases that came over a limit or below it beside the first, and those that rise and fall most."""
    both = [r.name for r in c.cases if r.values[0] is not None and r.values[k] is not None]
    more = [name for name in both if name in own and name not in first]
    less = [name for name in both if name in first and name not in own]
    named = (("Now OVER", more), ("No longer over", less))
    words = "".join(f" {what}: {_few(cases)}." for what, cases in named if cases)
    changed = [(r.change(k) or 0.0, change_words(r, k), r.name) for r in c.cases]
    rise, fall = max(changed, default=None), min(changed, default=None)
    told = [f"rises most in {rise[2]} ({rise[1]})"] if rise and rise[0] >= ALIKE else []
    told += [f"falls most in {fall[2]} ({fall[1]})"] if fall and fall[0] <= -ALIKE else []
    return words + (f" Utilisation {' and '.join(told)}." if told else " No utilisation of a case differs.")


def _few(names: Sequence[str]) -> str:
    more = f"; and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return "; ".join(names[:NAMED]) + more


def _state(found: Found) -> list[str]:
    """What a state as found rests on."""
    out = [*heading("As found"), *paragraph(f"{count_words(found)} {strength_words(found)}")]
    return out + assumed_lines(found)


def _thin(c: Comparison, names: Sequence[str]) -> list[str]:
    """Local buckling, where any of them has walls or seats to look at."""
    if not c.thin:
        return []
    out = [*heading("Thin walls: greatest utilisation, all cases"), *_side_by_side(c.thin, names, "")]
    words = "Where it says none, no wall is so thin. Which walls these are, and where: `ladderfe check` of each file."
    seats = any(f.buckling.seats for f in c.findings)
    assumed = f" Spring seats, jacks and stands are ASSUMED to bear on the bottom flange along {BEARING:.0f} mm."
    return out + paragraph(words + (assumed if seats else ""))


def _side_by_side(rows: Sequence[ComparisonRow], names: Sequence[str], what: str) -> list[str]:
    """Value and change of every chassis, as many tables below each other as are needed."""
    out: list[str] = []
    for block in _blocks(len(names)):
        head = [what, names[0], *(word for k in block for word in (names[k], f"{names[k]} to {names[0]}"))]
        cells = [
            [
                _named(r),
                _value(r, 0),
                *(word for k in block for word in (_value(r, k), change_words(r, k))),
            ]
            for r in rows
            if any(r.values[k] is not None for k in (0, *block))
        ]
        out += [*([""] if out else []), *table(head, cells, "l" + "r" * (len(head) - 1))]
    return out


def _blocks(count: int) -> Iterator[range]:
    for first in range(1, count, BESIDE):
        yield range(first, min(first + BESIDE, count))


def _named(row: ComparisonRow) -> str:
    if row.unit == "N":
        return f"{row.case}, {row.name.removesuffix(' spring')}"
    stiffness, joints, level = row.name.partition(", joints ")
    if joints:
        return f"  with {level} joints"
    return f"{stiffness}, {row.unit}" if row.unit in ("kg", "kN m/deg", "m") else stiffness


def _beyond(row: ComparisonRow, k: int) -> bool:
    """True where a formula of how stresses act together no longer covers its value."""
    return row.name in (SLENDER, SEATS) and (row.values[k] or 0) > FAR


def _value(row: ComparisonRow, k: int) -> str:
    value = row.values[k]
    if value is None:
        return MISSING
    match row.unit:
        case "":
            return percent(value)
        case "N":
            return f"{value / 1000:.2f}"
        case "kg":
            return f"{value:.1f}"
        case "kN m/deg":
            return f"{value:#.3g}".rstrip(".")
        case _:
            return f"{value:.2f}"


def _places(c: Comparison, names: Sequence[str]) -> list[str]:
    """One line per case and chassis."""
    rows = []
    for case, found in zip(c.cases, c.governing, strict=True):
        for letter, u in zip(names, found, strict=True):
            first = case.name if letter == names[0] else ""
            if u is None:
                rows.append([first, letter, "no such case", "", "", "", ""])
            else:
                where = u.point if u.criterion != "web shear" else f"{u.wall}, whole wall"
                place = place_words(u).removesuffix(" mm")
                rows.append([first, letter, u.part, place, where, u.criterion, f"{u.stress:.1f} of {u.limit:.0f}"])
    return table(["case", "", "part", "at mm", "wall", "criterion", "stress"], rows, "lllrllr")


def _springs(c: Comparison, names: Sequence[str]) -> list[str]:
    """The forces that differ; those that agree are only told to agree."""
    rows = [r for r in c.springs if any(v is None or abs(r.change(k) or 0) >= ALIKE for k, v in enumerate(r.values))]
    left = len(c.springs) - len(rows)
    every = "All spring forces agree" if not rows else f"{left} more agree" if left else ""
    out = _side_by_side(rows, names, "case, spring") if rows else []
    return out + ([f"{every} within {100 * ALIKE:g} %."] if every else [])


def _proofs(c: Comparison, names: Sequence[str]) -> list[str]:
    words = [
        f"{letter} {sum(p.holds for p in f.proofs)} of {len(f.proofs)}"
        for letter, f in zip(names, c.findings, strict=True)
    ]
    return [*heading("Self-check: proofs that hold"), *paragraph(", ".join(words) + ".")]


def _left_out(findings: Sequence[Findings]) -> list[str]:
    """What none or not all of them were checked for, and the cautions that belong to bare numbers."""
    words = (
        "Weights stay as each file has them: where two frames of one vehicle differ in steel, the axle loads still "
        "are what was weighed, and the rest along the rails takes up the difference."
    )
    texts = dict.fromkeys([words, *(t for f in findings for t in not_checked(f))])
    return [*bullets("Not checked", texts), *cautions_text()]
