"""Reading a table of distances, heights and offsets: text -> Alignment, or all that is wrong with it at once."""

from __future__ import annotations

from math import isfinite, nan
from pathlib import Path
from typing import Final

import numpy as np

from ladderfe.chassis import Chassis
from ladderfe.chassis.faults import closest, listed, shown
from ladderfe.chassis.file_kinds import SURVEY, kind_of_text, other_kind
from ladderfe.condition.alignment_types import Alignment, AlignmentReading, Kind, RailPoint
from ladderfe.condition.columns import Columns, columns_of
from ladderfe.condition.csv_table import CsvTable, Row, read_table
from ladderfe.condition.height_slips import height_slips, meant_by
from ladderfe.condition.measures import station_of
from ladderfe.condition.rail_points import PointError, distance_as_built, place_of, point_named
from ladderfe.condition.reading_file import text_of
from ladderfe.errors import InputError, Problem
from ladderfe.units import UnitError

__all__ = ["ALIGNMENT_COLUMNS", "NEEDED", "alignment_from_text", "read_alignment"]

ALIGNMENT_COLUMNS: Final = ("kind", "from", "to", "expected", "reading", "note")
NEEDED: Final = ("kind", "from", "to", "reading")
KINDS: Final[dict[str, Kind]] = {"distance": "distance", "height": "height", "offset": "offset"}
#: A distance or offset beyond these shares of what was built was written in another unit or between other points.
LEAST, MOST = 0.5, 2.0
#: Offsets may be off by this much more, mm.
SLACK: Final = 100.0


def read_alignment(path: str | Path, chassis: Chassis) -> Alignment:
    """The readings in a file, between points of a chassis; raises InputError with every fault of the file."""
    name = str(path).encode(errors="replace").decode()  # names of files may hold bytes that are no UTF-8
    return alignment_from_text(text_of(Path(path)), name, chassis)


def alignment_from_text(text: str, source: str, chassis: Chassis) -> Alignment:
    """The readings that a table in a text states; `source` is its name in messages.

    Raises InputError with every fault: columns and rows, each with its line, column, value and what is allowed.
    """
    table = read_table(text, ALIGNMENT_COLUMNS)
    if table is None:
        raise _whole(source, "has nothing in it", "Write a first row: kind, from, to, reading, note")
    columns, problems = columns_of(table, source, ALIGNMENT_COLUMNS, NEEDED)
    if table.open_quote:
        problems.append(
            Problem(file=source, line=table.open_quote, key="row", value='"', rule="has a quote that never ends",
                    suggestion="Close it")
        )  # fmt: skip
    if not columns.complete:
        if (kind := kind_of_text(text)) not in ("", SURVEY):
            raise other_kind(source, kind, SURVEY)
        raise InputError(problems)
    reader = _RowReader(source, chassis, columns, table)
    rows = [r for row in table.rows if (r := reader.read(row)) is not None]
    problems += reader.problems + _heights(source, chassis, rows)
    if problems:
        raise InputError(sorted(problems, key=lambda p: p.line))
    read = tuple(r for r in rows if isfinite(r.value))
    if not read:
        raise _whole(source, "has no reading in it", "Fill in the column reading, in mm")
    return Alignment(source=source, readings=read, unread=len(rows) - len(read))


def _whole(file: str, rule: str, suggestion: str) -> InputError:
    return InputError([Problem(file=file, line=0, key="file", value="", rule=rule, suggestion=suggestion)])


def _heights(source: str, chassis: Chassis, rows: list[AlignmentReading]) -> list[Problem]:
    """Heights that no damage explains, held against all the others."""
    read = [r for r in rows if r.kind == "height" and isfinite(r.value)]
    built = np.array([place_of(chassis, r.first) for r in read]).reshape(-1, 3)
    out = []
    for k, fits in height_slips(built, np.array([r.value for r in read])):
        r = read[k]
        way = "over" if r.value > fits else "under"
        meant = meant_by(r.value, fits)
        rule = f"is {abs(r.value - fits):.0f} mm {way} the {fits:.0f} mm that the other heights make of this point"
        hint = f"Is it {meant:g} mm, the comma lost or metres written? Otherwise read it again, or leave it empty"
        other = "Which unit is it, and which point? Write mm, or the unit behind it, or leave it empty"
        out.append(Problem(file=source, line=r.line, key="reading", value=f"{r.value:g}", rule=rule,
                           suggestion=hint if meant else other))  # fmt: skip
    return out


class _RowReader:
    """Reads rows one by one and collects the problems of all."""

    def __init__(self, file: str, chassis: Chassis, columns: Columns, table: CsvTable) -> None:
        self.file, self.chassis, self.columns, self.separator = file, chassis, columns, table.separator
        self.problems: list[Problem] = []
        self._line = 0
        self._cells: dict[str, str] = {}

    def read(self, row: Row) -> AlignmentReading | None:
        """What a row states, its value not a number where nothing was read; None, with its problems noted, where it
        cannot be."""
        self._line, before = row.line, len(self.problems)
        if any(row.cells[self.columns.count :]):
            self._too_long(row)
            return None
        self._cells = self.columns.cells(row)
        kind, first = self._kind(), self._point("from")
        second = self._second(kind, first)
        value = self._value()
        if len(self.problems) > before or kind is None or first is None:
            return None
        self._likely(kind, first, second, value)
        note = " ".join(self._cells["note"].split())
        return AlignmentReading(kind=kind, first=first, second=second, value=value, note=note, line=row.line)

    def _add(self, key: str, rule: str, suggestion: str) -> None:
        value = shown(self._cells[key]) if self._cells.get(key) else ""
        problem = Problem(file=self.file, line=self._line, key=key, value=value, rule=rule, suggestion=suggestion)
        self.problems.append(problem)

    def _too_long(self, row: Row) -> None:
        rule = f"has {len(row.cells)} cells under {self.columns.count} columns"
        hint = (
            'Put numbers with a decimal comma in quotes, as in "827,5", or separate the cells with semicolons'
            if self.separator == ","
            else "Take out what is too much, or put text that holds the separator in quotes"
        )
        self.problems.append(Problem(file=self.file, line=row.line, key="row", value="", rule=rule, suggestion=hint))

    def _kind(self) -> Kind | None:
        word = self._cells["kind"].casefold()
        if word not in KINDS:
            meant = closest(word, KINDS)
            hint = f'Did you mean "{meant}"? Otherwise write one of these' if meant else f"Write {listed(KINDS)}"
            self._add("kind", f"must be {listed(KINDS)}" if word else "is missing", hint)
        return KINDS.get(word)

    def _point(self, key: str) -> RailPoint | None:
        try:
            return point_named(self._cells[key], self.chassis)
        except PointError as error:
            self._add(key, error.rule, error.hint)
            return None

    def _second(self, kind: Kind | None, first: RailPoint | None) -> RailPoint | None:
        """The other end of a distance."""
        if kind in ("height", "offset"):
            if self._cells["to"]:
                self._add("to", f"belongs to distances only, and this is a row of kind {kind}", "Leave it empty")
            return None
        second = self._point("to") if kind == "distance" else None
        if second is not None and second == first:
            self._add("to", "is the point that the distance begins at", "Name another point")
        return second

    def _value(self) -> float:
        """The reading in mm; not a number where the cell is empty or, with the problem noted, where it cannot be."""
        if not self._cells["reading"]:
            return nan
        try:
            return station_of(self._cells["reading"])
        except UnitError as error:
            self._add("reading", error.rule, error.hint)
            return nan

    def _likely(self, kind: Kind, first: RailPoint, second: RailPoint | None, value: float) -> None:
        """Note a reading that no damage explains."""
        if not isfinite(value) or kind == "height":
            return
        if value < 0:
            hint = (
                "Write it without a sign; the side tells which way" if kind == "offset" else "Write the tape's reading"
            )
            self._add("reading", "must not be negative", hint)
            return
        built = distance_as_built(self.chassis, first, second) if second else abs(place_of(self.chassis, first)[1])
        slack = 0.0 if second else SLACK
        if not LEAST * built - slack <= value <= MOST * built + slack:
            much = "less than half" if value < built else "more than twice"
            rule = f"is {much} the {built:.1f} mm as built"
            self._add("reading", rule, "Which unit is it, and between which points? Write mm, or the unit behind it")
