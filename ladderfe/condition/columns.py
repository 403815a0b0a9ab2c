"""The first row of a table of readings: which column is which."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ladderfe.chassis.faults import closest, listed
from ladderfe.condition.csv_table import CsvTable, Row
from ladderfe.errors import Problem

__all__ = ["COLUMNS", "Columns", "columns_of"]

COLUMNS: Final = ("side", "station", "wall", "reading", "to", "rim", "note")
NEEDED: Final = COLUMNS[:4]
#: "station (mm)", "reading in mm".
MILLIMETRES: Final = re.compile(r"\s*(?:in\s+mm|[(\[]\s*mm\s*[)\]]|(?<=\s)mm)$", re.IGNORECASE)
UNIT: Final = re.compile(r"\s*(?:[(\[]?\s*(?:in|inch|inches|cm|m|ft|mil|mils|thou)\s*[)\]]?)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Columns:
    """Number of each column by its name, and how many there are; the columns that are known and those that must be."""

    at: Mapping[str, int]
    count: int
    known: tuple[str, ...] = COLUMNS
    needed: tuple[str, ...] = NEEDED

    @property
    def complete(self) -> bool:
        """Whether all that a row needs has a column."""
        return all(name in self.at for name in self.needed)

    def cells(self, row: Row) -> dict[str, str]:
        """What a row has in each known column, "" where it has nothing."""
        return {n: row.cells[k] if (k := self.at.get(n, -1)) >= 0 and k < len(row.cells) else "" for n in self.known}


def columns_of(
    table: CsvTable, file: str, known: tuple[str, ...] = COLUMNS, needed: tuple[str, ...] = NEEDED
) -> tuple[Columns, list[Problem]]:
    """The columns that the first row names, and what is wrong with it."""
    at: dict[str, int] = {}
    problems: list[Problem] = []

    def add(key: str, value: str, rule: str, suggestion: str) -> None:
        line = table.head.line
        problems.append(Problem(file=file, line=line, key=key, value=value, rule=rule, suggestion=suggestion))

    words = [MILLIMETRES.sub("", c).strip().casefold() for c in table.head.cells]
    unknown = [(k, w) for k, w in enumerate(words) if w and w not in known]
    for k, word in enumerate(words):
        if word in at:
            add(f"column {k + 1}", f'"{table.head.cells[k]}"', f"is the second one called {word}", "Take one out")
        elif word in known:
            at[word] = k
    for k, word in unknown:
        add(f"column {k + 1}", f'"{table.head.cells[k]}"', "is not a known column", _meant(word, at, known))
    for name in needed:
        if name not in at and not any(closest(w, known) == name or UNIT.sub("", w) == name for _, w in unknown):
            add("first row", "", f"has no column called {name}", f"Known columns are {listed(known, 'and')}")
    return Columns(at, len(table.head.cells), known, needed), problems


def _meant(word: str, at: Mapping[str, int], known: tuple[str, ...]) -> str:
    if UNIT.sub("", word) in known:
        return 'Columns are in mm: call it so, and write the unit behind each number, as in "0.09 in"'
    left = [c for c in known if c not in at]
    meant = closest(word, left)
    return f'Did you mean "{meant}"? Otherwise take it out' if meant else f"Known columns are {listed(known, 'and')}"
