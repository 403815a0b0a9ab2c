"""Reading a table of thickness readings: text -> Readings, or all that is wrong with it at once."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from ladderfe.chassis import Chassis
from ladderfe.chassis.file_kinds import READINGS, kind_of_text, other_kind
from ladderfe.condition.columns import COLUMNS, columns_of
from ladderfe.condition.contradictions import contradictions
from ladderfe.condition.csv_table import csv_text, read_table
from ladderfe.condition.measures import GROUPED
from ladderfe.condition.rows import METRES, RowReader
from ladderfe.condition.types import Hole, Reading, Readings, Suspect, Unread
from ladderfe.errors import InputError, Problem

__all__ = ["read_readings", "readings_csv", "readings_from_text", "text_of"]

LARGEST: Final = 2_000_000  # bytes


def read_readings(path: str | Path, chassis: Chassis) -> Readings:
    """The readings in a file, on the rails of a chassis; raises InputError with every fault of the file."""
    name = str(path).encode(errors="replace").decode()  # names of files may hold bytes that are no UTF-8
    return readings_from_text(text_of(Path(path)), name, chassis)


def readings_from_text(text: str, source: str, chassis: Chassis) -> Readings:
    """The readings that a table in a text states; `source` is its name in messages.

    Raises InputError with every fault: columns and rows, each with its line, column, value and what is allowed.
    """
    table = read_table(text, COLUMNS)
    if table is None:
        raise _whole(source, "has nothing in it", "Write a first row: side, station, wall, reading, to, rim, note")
    columns, problems = columns_of(table, source)
    if table.open_quote:
        problems.append(_problem(source, table.open_quote, "row", '"', "has a quote that never ends", "Close it"))
    if not columns.complete:
        if (kind := kind_of_text(text)) not in ("", READINGS):
            raise other_kind(source, kind, READINGS)
        raise InputError(problems)
    if not table.rows and not problems:
        raise _whole(
            source, "has no row below its first", "Write a row for each place, such as left, 1180, bottom, 2.1"
        )
    reader = RowReader(source, chassis, columns, table.separator)
    found = [r for row in table.rows if (r := reader.read(row)) is not None]
    problems += reader.problems
    problems += contradictions(found, source)
    if problems:
        raise InputError(sorted(problems, key=lambda p: p.line))
    read = tuple(r for r in found if isinstance(r, Reading))
    return Readings(
        source=source,
        readings=read,
        holes=tuple(r for r in found if isinstance(r, Hole)),
        suspects=tuple(r for r in found if isinstance(r, Suspect)),
        unread=tuple(r for r in found if isinstance(r, Unread)),
    )


def readings_csv(readings: Readings, separator: str = ",", decimal: str = ".") -> str:
    """Readings as a table that can be read back, in the order of its lines."""
    rows: list[tuple[int, list[str]]] = []

    def add(r: Reading | Hole | Suspect | Unread, station: float, reading: str, to: str = "", rim: str = "") -> None:
        rows.append((r.line, [r.side, _plain(station), r.wall, reading, to, rim, r.note]))

    for r in readings.readings:
        add(r, r.station, f"{r.value!r}")
    for s in readings.suspects:
        add(s, s.station, "suspect")
    for u in readings.unread:
        add(u, u.station, "")
    for h in readings.holes:
        add(h, h.start, "hole", _plain(h.end), _plain(h.rim) if h.rim_given else "")
    body = [cells for _, cells in sorted(rows, key=lambda pair: pair[0])]
    for cells in body:
        cells[1:6] = [
            c if c in ("hole", "suspect") or k == 1 else _number(c, decimal) for k, c in enumerate(cells[1:6])
        ]
    return csv_text([list(COLUMNS), *body], separator)


def _plain(value: float) -> str:
    """A number with as many figures as it has, never in groups of three behind the point; with its unit where it would
    be taken for metres."""
    text = repr(value)
    text = f"{text}0" if GROUPED.match(text) else text
    return f"{text} mm" if 0 < value < METRES and value % 1 else text


def _number(text: str, decimal: str) -> str:
    """A number with the decimal sign asked for; words stay as they are."""
    return text.removesuffix(".0").replace(".", decimal)


def _problem(file: str, line: int, key: str, value: str, rule: str, suggestion: str) -> Problem:
    return Problem(file=file, line=line, key=key, value=value, rule=rule, suggestion=suggestion)


def _whole(file: str, rule: str, suggestion: str) -> InputError:
    return InputError([_problem(file, 0, "file", "", rule, suggestion)])


def text_of(path: Path) -> str:
    """The file's text, or the InputError that says in a sentence why there is none."""
    name = str(path)
    try:
        if path.is_dir():
            raise _whole(name, "is a folder", "Give the file of readings in it")
        if not path.exists():
            raise _whole(name, "does not exist", _neighbour(path))
        if not path.is_file() or path.stat().st_size > LARGEST:
            rule = "is not a table of readings: it is no plain file, or larger than 2 MB"
            raise _whole(name, rule, "Give a CSV text file")
        data = path.read_bytes()
    except OSError as error:
        rule = f"cannot be opened: {(error.strerror or 'no reason given').lower()}"
        raise _whole(name, rule, "Check its name and who may read it") from None
    return decoded(data, name)


def decoded(data: bytes, name: str) -> str:
    """Text as spreadsheets store it: UTF-8, UTF-16 with its mark, or Windows-1252; InputError where it is none."""
    try:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            return data.decode("utf-16")
        if b"\0" in data:
            raise _whole(name, "is not text", "Save the table as CSV")
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            raise _whole(name, "is not text", "Save the table as CSV") from None
        return data.decode("cp1252", errors="replace")


def _neighbour(path: Path) -> str:
    """The name of a file beside it that looks like the one asked for."""
    from ladderfe.chassis.faults import closest

    beside = sorted(p.name for p in path.parent.glob("*.csv")) if path.parent.is_dir() else []
    meant = closest(path.name, beside)
    other = "Otherwise check its name and folder"
    return f'Did you mean "{path.parent / meant}"? {other}' if meant else "Check its name and folder"
