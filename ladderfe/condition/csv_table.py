"""Tables as spreadsheets write them into text: separated by comma, semicolon or tab, cells in quotes where needed,
which spaces may come before.

Rows may end as on any system; empty lines and lines that begin with # are passed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

__all__ = ["SEPARATORS", "CsvTable", "Row", "csv_text", "read_table"]

#: In the order in which they are taken where a first line tells no difference.
SEPARATORS: Final = (";", "\t", ",")
COMMENT: Final = "#"
QUOTE: Final = '"'


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of a row, stripped, and the line of the file on which it begins."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CsvTable:
    """The first row and all others, the separator, and the line of a quote that never ends (0: there is none)."""

    head: Row
    rows: tuple[Row, ...]
    separator: str
    open_quote: int = 0


def read_table(text: str, words: Iterable[str]) -> CsvTable | None:
    """The table in a text; the separator is the one that finds most of the `words` in its first row.

    None where there is nothing but empty lines and comments.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    known, said = set(words), ""
    first, _, rest = text.partition("\n")
    if first.casefold().startswith("sep=") and len(first.strip()) == 5 and first[4] in SEPARATORS:
        said, text = first[4], "\n" + rest  # some spreadsheets state the separator so
    found: list[tuple[int, int, CsvTable]] = []
    for k, separator in enumerate(SEPARATORS if not said else (said,)):
        rows, open_quote = _rows(text, separator)
        if rows:
            hits = len(known & {c.casefold() for c in rows[0].cells})
            found.append((-hits, k, CsvTable(rows[0], tuple(rows[1:]), separator, open_quote)))
    return min(found, key=lambda f: f[:2])[2] if found else None


def _rows(text: str, separator: str) -> tuple[list[Row], int]:
    """All rows that hold anything, and the line of a quote that never ends."""
    rows: list[Row] = []
    at, line, size = 0, 1, len(text)
    while at < size:
        stop = text.find("\n", at)
        stop = size if stop < 0 else stop
        if text[at:stop].lstrip().startswith(COMMENT):
            at, line = stop + 1, line + 1
            continue
        cells, after = _record(text, at, separator)
        if cells is None:
            return rows, line
        if any(cells) and not cells[0].startswith(COMMENT):
            rows.append(Row(line, tuple(cells)))
        line += text.count("\n", at, after)
        at = after
    return rows, 0


def _record(text: str, at: int, separator: str) -> tuple[list[str] | None, int]:
    """Cells of the record that begins at `at`, and where the next one begins; None for a quote that never ends."""
    cells: list[str] = []
    while True:
        begin = at
        while text[begin : begin + 1] == " ":
            begin += 1
        if text[begin : begin + 1] == QUOTE:
            cell, at = _quoted(text, begin + 1)
            if at < 0:
                return None, len(text)
        else:
            cell = ""
        ends = [k for k in (text.find(separator, at), text.find("\n", at)) if k >= 0]
        stop = min(ends, default=len(text))
        cells.append((cell + text[at:stop]).strip())
        at = stop + 1
        if text[stop : stop + 1] != separator:
            return cells, at


def _quoted(text: str, at: int) -> tuple[str, int]:
    """What stands in quotes from `at` on, and where it ends; -1 where it never does."""
    parts: list[str] = []
    while True:
        stop = text.find(QUOTE, at)
        if stop < 0:
            return "", -1
        parts.append(text[at:stop])
        at = stop + 1
        if text[at : at + 1] != QUOTE:
            return "".join(parts), at
        parts.append(QUOTE)
        at += 1


def csv_text(rows: Iterable[Sequence[str]], separator: str = ",") -> str:
    """Rows as text, cells in quotes where they need them."""
    return "".join(separator.join(_cell(c) for c in row) + "\n" for row in rows)


def _cell(text: str) -> str:
    """A cell; in quotes where it holds a separator, a quote, a break or what looks like a comment."""
    needs = any(sign in text for sign in (*SEPARATORS, QUOTE, "\n", "\r")) or text.startswith(COMMENT)
    return f'"{text.replace(QUOTE, QUOTE * 2)}"' if needs else text
