"""One row of a table of readings: what it states, or what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from math import nan
from typing import Final

from ladderfe.chassis import Chassis, Rail, Side
from ladderfe.chassis.faults import WALL_ALIKE, closest, listed, shown
from ladderfe.condition.columns import Columns
from ladderfe.condition.csv_table import Row
from ladderfe.condition.measures import station_of, thickness_of
from ladderfe.condition.rails import SAME, rail_of, wall_names, walls_at, zones_of
from ladderfe.condition.types import Hole, Reading, Suspect, Unread
from ladderfe.errors import Problem
from ladderfe.units import UnitError

__all__ = ["RIM", "AnyRow", "RowReader"]

AnyRow = Reading | Hole | Suspect | Unread
#: Assumed rim of thinned metal around a hole where none was measured, mm; common practice, no source.
RIM: Final = 10.0
MOST_RIM: Final = 500.0
#: Shorter holes may lie between cuts of the rail, which are no nearer to each other than a millimetre, mm.
SHORTEST: Final = 2.0
#: Readings over this many times the wall as built, or below LEAST mm, were written in another unit.
MOST: Final = 3.0
#: A reading with its decimal sign put back is likely from so many to so many times the wall as built.
LIKELY: Final = (0.3, 1.25)
#: The thinnest wall that a chassis file takes, mm.
LEAST: Final = 0.3
#: Stations below this that are no whole number and have no unit were written in metres, mm.
METRES: Final = 10.0
SIDE_WORDS: Final[dict[str, Side]] = {
    "left": "left", "right": "right", "l": "left", "r": "right", "left rail": "left", "right rail": "right",
}  # fmt: skip
KINDS: Final = ("hole", "suspect")


class RowReader:
    """Reads rows one by one and collects the problems of all."""

    def __init__(self, file: str, chassis: Chassis, columns: Columns, separator: str) -> None:
        self.file, self.chassis, self.columns, self.separator = file, chassis, columns, separator
        self.problems: list[Problem] = []
        self._line = 0
        self._cells: dict[str, str] = {}

    def read(self, row: Row) -> AnyRow | None:
        """What a row states; None, with its problems noted, where it cannot be."""
        self._line, before = row.line, len(self.problems)
        if any(row.cells[self.columns.count :]):
            self._too_long(row)
            return None
        self._cells = self.columns.cells(row)
        found = self._stated()
        return found if len(self.problems) == before else None

    def _add(self, key: str, rule: str, suggestion: str, value: str | None = None) -> None:
        text = self._cells.get(key, "")
        found = (shown(text) if text else "") if value is None else value
        self.problems.append(
            Problem(file=self.file, line=self._line, key=key, value=found, rule=rule, suggestion=suggestion)
        )

    def _too_long(self, row: Row) -> None:
        rule = f"has {len(row.cells)} cells under {self.columns.count} columns"
        if self.separator == ",":
            hint = 'Put numbers with a decimal comma in quotes, as in "2,1", or separate the cells with semicolons'
        else:
            hint = "Take out what is too much, or put text that holds the separator in quotes"
        self.problems.append(Problem(file=self.file, line=row.line, key="row", value="", rule=rule, suggestion=hint))

    def _stated(self) -> AnyRow | None:
        side, note = self._side(), " ".join(self._cells["note"].split())
        rail = rail_of(self.chassis, side) if side else None
        station = self._station("station", rail)
        wall = self._wall(rail, station)
        word = self._cells["reading"].casefold()
        kind = word if word in KINDS else ""
        if kind != "hole":
            self._only_holes()
        if kind == "hole":
            end, rim = self._end(rail, station, wall), self._rim()
            self._long_enough(end - station + 2 * rim)
            given = bool(self._cells["rim"])
            return Hole(side=side or "left", wall=wall, start=station, end=end, rim=rim, rim_given=given, note=note,
                        line=self._line)  # fmt: skip
        at = {"side": side or "left", "station": station, "wall": wall, "note": note, "line": self._line}
        if kind == "suspect":
            return Suspect(**at)  # type: ignore[arg-type]
        if not word:
            return Unread(**at)  # type: ignore[arg-type]
        return Reading(value=self._thickness(rail, station, wall), **at)  # type: ignore[arg-type]

    def _side(self) -> Side | None:
        word = " ".join(self._cells["side"].casefold().split())
        if word not in SIDE_WORDS:
            meant = closest(word, ("left", "right"))
            hint = f'Did you mean "{meant}"? Otherwise write left or right' if meant else "Write left or right"
            self._add("side", "must be left or right" if word else "is missing", hint)
        return SIDE_WORDS.get(word)

    def _station(self, key: str, rail: Rail | None) -> float:
        """The station in a column, nan with the problem noted where there is none."""
        if not self._cells[key]:
            self._add(key, "is missing", "Write mm from the datum of the chassis file's stations")
            return nan
        station, cell = self._number(key, station_of), self._cells[key]
        if 0 < station < METRES and station % 1 and not any(c.isalpha() for c in cell):
            self._add(key, "looks like metres", f'Write {1000 * station:g}, or "{cell} mm" if it is that near the end')
            return nan
        if rail is not None and not rail.start - SAME <= station <= rail.end + SAME and station == station:
            rule = f"lies off the {rail.name}, which reaches from {rail.start:g} to {rail.end:g} mm"
            self._add(key, rule, "Measure it from the same datum as the stations of the chassis file")
            return nan
        return min(max(station, rail.start), rail.end) if rail is not None else station

    def _number(self, key: str, read: Callable[[str], float]) -> float:
        try:
            return read(self._cells[key])
        except UnitError as error:
            self._add(key, error.rule, error.hint)
            return nan

    def _wall(self, rail: Rail | None, station: float) -> str:
        """The wall; its name is checked against those of both rails, or all along, where it is not known which is
        meant."""
        word = " ".join(self._cells["wall"].casefold().split())
        sure = station == station
        known = wall_names(self.chassis, rail.side if rail else None, station if sure else None)
        if word in known:
            return word
        names = listed(known, "and")
        meant = closest(word, known, WALL_ALIKE)
        hint = f'Did you mean "{meant}"? Otherwise write one of these' if meant else f"Write {listed(known)}"
        where = f" at {station:g} mm" if sure else ""
        of = f"the {rail.name}{where}, which has" if rail else f"a rail{where}; they have"
        rule = f"must be a wall of {of} {names}"
        self._add("wall", rule if word else "is missing", hint)
        return ""

    def _thickness(self, rail: Rail | None, station: float, wall: str) -> float:
        """A reading in mm; nan with the problem noted where it cannot be."""
        word = self._cells["reading"].casefold()
        if word and not any(c.isdigit() for c in word):
            meant = closest(word, KINDS)
            hint = f'Did you mean "{meant}"? Otherwise write' if meant else "Write"
            self._add("reading", "must be a thickness in mm, hole, suspect, or empty", f"{hint} one of these")
            return nan
        value = self._number("reading", thickness_of)
        nominal = walls_at(rail, station).get(wall) if rail is not None and station == station else None
        if value <= 0:
            hint = "Write hole where nothing is left, suspect where it rings dull, or leave the cell empty"
            self._add("reading", "must be more than 0 mm", hint)
        elif value < LEAST:
            hint = f'Write the unit if it is in inches, as in "{value:g} in", or hole where hardly anything is left'
            self._add("reading", f"is less than {LEAST:g} mm, the thinnest wall here", hint)
        elif nominal is not None and value > MOST * nominal:
            rule = f"is more than {MOST:g} times the {nominal:g} mm of this wall as built"
            self._add("reading", rule, _lost_sign(value, nominal))
        return value

    def _only_holes(self) -> None:
        for key in ("to", "rim"):
            if self._cells[key]:
                self._add(key, "belongs to holes only", f"Write hole under reading, or leave {key} empty")

    def _end(self, rail: Rail | None, start: float, wall: str) -> float:
        if not self._cells["to"]:
            hint = "Write the station where it ends, mm" if "to" in self.columns.at else (
                "Add a column called to, with the station where it ends, mm")  # fmt: skip
            self._add("to", "is missing: a hole has a length", hint)
            return nan
        end = self._station("to", rail)
        if end <= start:
            self._add("to", f"must be more than the station where the hole begins, {start:g} mm", "Swap the two")
        elif rail is not None and wall and start == start and not _one_wall(rail, wall, start, end):
            where = listed([f"{z.start:g} to {z.end:g}" for z in zones_of(rail, wall)], "and")
            rule = f"reaches beyond the {wall} wall of the {rail.name}, which runs from {where} mm"
            self._add("to", rule, "End the hole where the wall ends")
        return end

    def _long_enough(self, length: float) -> None:
        """Refuse a hole that no cut of the rail would show."""
        if 0 < length <= SHORTEST:
            rule = f"ends a hole of {length:g} mm, rims included, which is too short to be looked at"
            self._add("to", rule, f"Give its rim, or write suspect; holes are longer than {SHORTEST:g} mm")

    def _rim(self) -> float:
        if not self._cells["rim"]:
            return RIM
        rim = self._number("rim", station_of)
        if not 0 <= rim <= MOST_RIM and rim == rim:
            self._add(
                "rim", f"must be from 0 to {MOST_RIM:g} mm", "Write how far thinned metal reaches beyond the hole"
            )
        return rim


def _lost_sign(value: float, nominal: float) -> str:
    """What to do about a reading far above the wall as built: its figures may be right and the decimal sign lost."""
    meant = next((v for v in (value / 10, value / 100) if LIKELY[0] <= v / nominal <= LIKELY[1]), None)
    unit = "hich unit is it? Write mm, or the unit behind the number"
    return f"W{unit}" if meant is None else f"Was a decimal point or comma lost ({meant:.9g})? If not, w{unit}"


def _one_wall(rail: Rail, wall: str, start: float, end: float) -> bool:
    """Whether a rail has a wall of that name all the way; True where the end is not known."""
    spans = [s for s in rail.spans if s.start < end - SAME and s.end > start + SAME]
    return all(wall in walls_at(rail, max(s.start, start)) for s in spans)
