"""Pages of `ladderfe square`: what to measure, and what was measured beside what was built."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan
from typing import Final

from ladderfe.advice.straightness import Compared, Moved, Straightness
from ladderfe.advice.what_to_measure import ToMeasure, to_measure
from ladderfe.chassis import Chassis
from ladderfe.condition.alignment_file import ALIGNMENT_COLUMNS
from ladderfe.condition.csv_table import csv_text
from ladderfe.report.alignment_words import (
    CANNOT_KNOW,
    CAUTIONS_SQUARE,
    HOW,
    add_readings,
    misfit_words,
    mode_words,
    next_steps,
    signed,
    tolerance_words,
)
from ladderfe.report.moved_words import changed, error_of, moved_short, moved_words, size_of
from ladderfe.report.page import bullets
from ladderfe.report.table import heading, paragraph, table

__all__ = ["CSV_MARK", "square_csv", "square_lines", "square_text", "to_measure_text"]

#: What a table to fill in has at its head.
CSV_MARK: Final = b"# Is it straight: distances and heights of "
AGAIN: Final = (
    "Outside the tolerance: measure those readings again first, from the same holes. If they stand: before cutting, "
    "decide what is pulled back before anything is renewed; tacked, loosen the tacks and set it right before welding "
    "out; welded, the frame is pulled back, or cut and welded anew, by somebody who has the bench for it."
)


def to_measure_text(chassis: Chassis, source: str, rows: Sequence[ToMeasure]) -> str:
    """The page without readings: the table to fill in, with what is expected."""
    count = {kind: sum(r.kind == kind for r in rows) for kind in ("distance", "height")}
    out = [*paragraph(f"{chassis.title}: is the frame straight? What to measure"), *paragraph(source), ""]
    out += paragraph(
        f"{count['distance']} distances and {count['height']} heights, with what the chassis file makes of them: "
        "straight distances in mm between the rails' points, heights over the file's zero. Points are called by rail "
        "and station; without a face they are the middle of the rail's outline."
    )
    shown = [(r, r.what.split(",")[0]) for r in rows if r.kind == "distance"]
    for title, word in (("Across", "across"), ("Along the left rail", "left side"),
                        ("Along the right rail", "right side"), ("Diagonals", "diagonal")):  # fmt: skip
        own = [r for r, kind in shown if kind == word]
        body = [[r.first.name, r.second.name if r.second else "", f"{r.expected:.1f}", "......",
                 r.what.partition(", ")[2]] for r in own]  # fmt: skip
        out += [*heading(title), *table(["from", "to", "expected", "read", "where"], body, "llrrw")]
    heights = [[r.first.name, f"{r.expected:.1f}", "......", r.what] for r in rows if r.kind == "height"]
    out += [*heading("Heights over a level datum"), *table(["point", "as built", "read", "where"], heights, "lrrw")]
    out += [*bullets("While measuring", HOW), *bullets("What it cannot know", CANNOT_KNOW)]
    return "\n".join([*out, *bullets("Cautions", CAUTIONS_SQUARE)])


def square_csv(chassis: Chassis, rows: Sequence[ToMeasure]) -> str:
    """All rows with empty readings, to be filled in and read back."""
    head = (
        f"{CSV_MARK.decode()}{' '.join(chassis.title.split())}: fill in the column reading, in mm.\n"
        "# Rows may stay empty or be added; kind is distance, height or offset (from the centre line, without sign).\n"
        '# A point is rail, station and, if not the middle, face: "left 250", "left 250 bottom".\n'
    )
    body = [[r.kind, r.first.name, r.second.name if r.second else "", f"{r.expected:.1f}", "", r.what] for r in rows]
    return head + csv_text([list(ALIGNMENT_COLUMNS), *body])


def square_text(chassis: Chassis, source: str, rounds: Sequence[Straightness], moved: Sequence[Moved]) -> str:
    """The page with readings: of the last round, of what moved between rounds, and of all rounds the modes."""
    out = [*paragraph(f"{chassis.title}: is the frame straight?"), *paragraph(source)]
    return "\n".join([*out, *square_lines(chassis, rounds, moved), *bullets("Cautions", CAUTIONS_SQUARE)])


def square_lines(chassis: Chassis, rounds: Sequence[Straightness], moved: Sequence[Moved]) -> list[str]:
    """The same without its title and its cautions."""
    last = rounds[-1]
    out = _told_first(rounds, moved)
    out += _readings(last, {r.what for r in to_measure(chassis)})
    out += _diagonals(last)
    out += _modes(chassis, rounds)
    out += _points(last)
    for m in moved:
        out += _moved(m)
    out += bullets("Do the readings fit each other?", misfit_words(last))
    out += bullets("Tolerances", tolerance_words(last.tolerance))
    return [*out, *bullets("What it cannot know", CANNOT_KNOW)]


def _told_first(rounds: Sequence[Straightness], moved: Sequence[Moved]) -> list[str]:
    """What stands out, first: of the last round, and of what moved."""
    s = rounds[-1]
    since = f"; {short}" if moved and (short := moved_short(moved[-1])) else ""
    steps_between = [moved_words(m, rounds[k : k + 2]) for k, m in enumerate(moved)]
    unread = f", {s.alignment.unread} rows left empty" if s.alignment.unread else ""
    e, count = s.errors, len(s.alignment.readings)
    out = paragraph(
        f"{s.alignment.source}: {count} reading{'s' if count > 1 else ''}{unread}. Error of measuring, standard "
        f"deviation: tape {e.tape:g} mm, level {e.level:g} mm."
    )
    judged = sum(c.limit is not None and c.expected is not None for c in s.compared) + len(s.diagonals)
    if steps := next_steps(s):
        out += heading(f"Outside the tolerance{since}")
        out += [line for words in steps for line in paragraph(words, "  ", "- ")]
        out += paragraph(AGAIN)
    elif judged:
        out += heading(f"Nothing outside the tolerance{since}")
        out += paragraph(
            "What can be compared lies within the figures chosen, which are told below with their sources."
        )
    else:
        out += heading(f"Nothing can be compared with the file yet{since}" if since else "Nothing can be compared yet")
    out += [line for words in steps_between for line in paragraph(words)]
    seen = [m for m in s.modes.modes if m.seen]
    if seen:
        words = "; ".join(f"{m.name} {size_of(m)}, {mode_words(m)}" for m in seen)
        out += paragraph(f"By all readings at once: {words}.")
    for words in misfit_words(s)[: len(s.misfits)]:
        out += paragraph(words)
    return out


def _readings(s: Straightness, usual: set[str]) -> list[str]:
    """All readings by kind; notes that the table to fill in brought along are left out."""
    out: list[str] = []
    for title, kind, words in (
        ("Distances", "distance", ""),
        ("Heights", "height", "Expected: as built, on the datum and the floor's tilt that fit all heights best."),
        ("Offsets from the centre line", "offset", "Expected: as built, from the line that fits all offsets best."),
    ):
        own = [c for c in s.compared if c.reading.kind == kind]
        if not own:
            continue
        rows = [_row(c, usual) for c in own]
        note = "note" if any(r[-1] for r in rows) else ""
        head = ["line", "points", "expected", "read", "difference", "limit", "", note]
        out += heading(title)
        out += paragraph(words) if words else []
        if any(c.expected is None for c in own):
            least = "four heights" if kind == "height" else "three offsets"
            out += paragraph(f"Too few to be compared: {least} or more are needed, not all on one line.")
        out += table(head, rows, "rlrrrrlw")
    return out


def _row(c: Compared, usual: set[str]) -> list[str]:
    r = c.reading
    d = c.difference
    return [
        str(r.line),
        r.name,
        "-" if c.expected is None else f"{c.expected:.1f}",
        f"{r.value:.1f}",
        "-" if d is None else signed(d),
        "pair" if c.limit is None and r.kind == "distance" else "-" if c.limit is None else f"{c.limit:g}",
        "OVER" if c.exceeded else "",
        "" if r.note in usual else r.note,
    ]


def _diagonals(s: Straightness) -> list[str]:
    if not s.diagonals:
        return ["", *paragraph("No pair of diagonals was measured: the two that cross each other between four points.")]
    rows = [
        [d.first.name, f"{d.first.value:.1f}", d.second.name, f"{d.second.value:.1f}", signed(d.difference),
         "-" if d.limit is None else f"{d.limit:g}", "OVER" if d.exceeded else ""] for d in s.diagonals
    ]  # fmt: skip
    uneven = any(abs(d.as_built) > 0.05 for d in s.diagonals)
    words = "One less the other; what was built does not enter" if not uneven else (
        "One less the other, less the same as built, for the rails are not alike")  # fmt: skip
    return [
        *heading("Diagonals, pair by pair"),
        *paragraph(words + "."),
        *table(["one", "read", "other", "read", "differ", "limit", ""], rows, "lrlrrrl"),
    ]


def _modes(chassis: Chassis, rounds: Sequence[Straightness]) -> list[str]:
    last = rounds[-1]
    earlier = [s.alignment.source for s in rounds[:-1]]
    head = ["mode", *earlier, "now" if earlier else "size", "+-", "which way"]
    rows = [[m.name, *(size_of(s.modes[m.name]) for s in rounds), error_of(m), mode_words(m)] for m in last.modes.modes]
    out = heading("What is wrong, in the trade's words")
    out += paragraph(
        "By least squares from all readings at once; the floor's tilt is taken out. Sag and bow: middle of the frame "
        "against its ends. Twist: turn between the axles, by heights. Diamond: one rail ahead of the other. Sides: end "
        "to end. +- is one standard deviation; a mode within two of them does not stand out."
    )
    out += table(head, rows, "l" + "r" * (len(rounds) + 1) + "w")
    scatter = last.modes.scatter
    if scatter > 1.5:
        out += paragraph(
            f"The modes leave {scatter:.1f} times as much as the error of measuring explains: something is bent that "
            "is none of them, the frame was not built as the file says, or a reading is wrong. +- has grown with it."
        )
    missing = add_readings(chassis, last.modes)
    out += paragraph("Readings that would fix what is open:") if missing else []
    return [*out, *(line for words in missing for line in paragraph(words, "  ", "- "))]


def _points(s: Straightness) -> list[str]:
    """Where the points lie, where readings fix enough of them."""
    if not s.points:
        return []
    rows = [
        [p.point.name, *("-" if isnan(v) else signed(v) for v in p.move), f"{p.sigma:.1f}"] for p in s.points
    ]  # fmt: skip
    loose = len(s.adjusted.fixed) - len(s.points)
    more = f" {loose} further points are not fixed by the readings." if loose else ""
    words = (
        "By all readings at once, mm from where the points were built, the frame laid on the frame as built so that "
        "all points come nearest; heights where one was read. +- is the largest of the three standard deviations."
        + more
    )
    head = ["point", "rearward", "to the right", "up", "+-"]
    return [*heading("Where the points lie"), *paragraph(words), *table(head, rows, "lrrrr")]


def _moved(m: Moved) -> list[str]:
    seen = changed(m)
    out = heading(f"What moved from {m.before} to {m.after}")
    alone = f" {m.alone} more are in one of the two files only." if m.alone else ""
    out += paragraph(
        f"{len(m.readings)} readings are in both, {len(seen)} of them changed by more than twice the error of both."
        f"{alone} Heights are compared without the floor's tilt."
    )
    if seen:
        rows = [
            [r.after.kind, r.after.name, f"{r.before.value:.1f}", f"{r.after.value:.1f}", signed(r.change),
             f"{r.sigma:.1f}"] for r in seen
        ]  # fmt: skip
        out += table(["kind", "points", "before", "after", "change", "+-"], rows, "llrrrr")
    rows = [
        [x.name, size_of(x), error_of(x), "moved" if x.seen else "not beyond the error"] for x in m.modes if x.known
    ]
    return [*out, *(table(["mode", "change", "+-", ""], rows, "lrrl") if rows else [])]
