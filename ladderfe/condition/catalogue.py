"""Reading a catalogue: the chassis, what was read on it, and at each place the options: nothing, or one piece.

Where no ends are stated they lie on the grid of the readings: the ends of the reaches that readings and holes speak
for on that rail.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product
from math import isnan
from pathlib import Path as FilePath
from typing import Any, Final

from ladderfe.chassis import read_chassis
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import scan
from ladderfe.chassis.reading import opened
from ladderfe.chassis.words import read_as
from ladderfe.condition.catalogue_schema import CatalogueFile
from ladderfe.condition.found import as_found
from ladderfe.condition.plan_file import PlanRead, tried
from ladderfe.condition.plan_rows import RowMaker
from ladderfe.condition.plan_schema import InsertTable, PlateTable, SpliceTable
from ladderfe.condition.plan_types import Insert, Plan, PlanPlate, Splice
from ladderfe.condition.rails import rail_of
from ladderfe.condition.reading_file import read_readings
from ladderfe.condition.types import Readings
from ladderfe.errors import InputError

__all__ = ["NOTHING", "Catalogue", "Choice", "Option", "plan_of", "read_catalogue"]

#: What a choice is where nothing is done there.
NOTHING: Final = "nothing"
#: Pieces that lie on no wall of their own.
WHOLE: Final = ("boxing", "sleeve", "splice")
#: Walls of one piece in words.
AND: Final = " and "
Row = tuple[str, dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """What may be done at one place: pieces of a plan (none: nothing), in words, and as rows of a plan's tables."""

    words: str
    inserts: tuple[Insert, ...] = ()
    plates: tuple[PlanPlate, ...] = ()
    splices: tuple[Splice, ...] = ()
    rows: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A place with all its options; `line` is that of the file."""

    options: tuple[Option, ...]
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """read: chassis and readings with a plan that does nothing; target: greatest utilisation allowed."""

    source: str
    read: PlanRead
    target: float
    choices: tuple[Choice, ...]

    @property
    def count(self) -> int:
        """How many candidates there are: one option of every choice."""
        out = 1
        for c in self.choices:
            out *= len(c.options)
        return out


def plan_of(catalogue: Catalogue, options: tuple[Option, ...]) -> PlanRead:
    """The plan of a candidate."""
    plan = replace(
        catalogue.read.plan,
        inserts=tuple(i for o in options for i in o.inserts),
        plates=tuple(p for o in options for p in o.plates),
        splices=tuple(s for o in options for s in o.splices),
    )
    return replace(catalogue.read, plan=plan)


def read_catalogue(path: str | FilePath) -> Catalogue:
    """The catalogue in a file and all that it names; raises InputError with every problem of all of them."""
    file = FilePath(path)
    text, raw = opened(file)
    faults = Faults(str(path), raw, scan(text))
    tables = read_as(CatalogueFile, faults)
    if tables is None or not tables.base:
        faults.finish()
        raise InputError(faults.problems)
    base = tried(faults.problems, lambda: read_chassis(file.parent / tables.base))
    if base is None:
        faults.finish()
    readings: Readings | None = None
    if tables.readings:
        readings = tried(faults.problems, lambda: read_readings(file.parent / tables.readings, base))
    names = [c.name for c in base.cases]
    plan = Plan(source=str(path), title=f"{base.title}, repaired", base=tables.base, readings=tables.readings or "",
                support="stands" if "stands" in names else "")  # fmt: skip
    read = PlanRead(plan=plan, base=base, over=base, readings=readings)
    maker = _Options(faults, read, text)
    choices = [Choice(options=tuple(maker.of(i, t)), line=faults.lines.of(("choices", i)))
               for i, t in enumerate(tables.choices)]  # fmt: skip
    if not choices:
        faults.add(("choices",), "names no place", "Add a [[choices]] for each place", value="")
    faults.finish()
    return Catalogue(source=str(path), read=read, target=1.0 if tables.target is None else tables.target,
                     choices=tuple(choices))  # fmt: skip


class _Options:
    """Makes the options of the rows of a catalogue, noting what cannot be."""

    def __init__(self, faults: Faults, read: PlanRead, text: str) -> None:
        self.faults, self.read, self.text = faults, read, text
        self.grid_known = read.readings is not None or not read.plan.readings
        found = as_found(read.base, read.readings or Readings(source=""))
        self.grid = {side: sorted({v for s in found.stretches_of(side) for v in (s.start, s.end)})
                     for side in ("left", "right")}  # fmt: skip

    def of(self, i: int, t: Any) -> Iterator[Option]:
        """Nothing first, unless one must be done; then every piece."""
        if not t.always:
            yield Option(words=NOTHING)
        if not self._sensible(i, t):
            return
        rows = list(self._splices(t) if t.kind == "splice" else self._pieces(i, t))
        known = self.grid_known or (t.start and t.end)
        if not rows and known:
            self.faults.add(("choices", i), "has no piece that ends behind where it begins",
                            "Give stations in from and to, or two in between", value="")  # fmt: skip
        for row in rows:
            made = self._made(i, row)
            if made is None:
                return
            yield made

    def _sensible(self, i: int, t: Any) -> bool:
        path = ("choices", i)
        before = len(self.faults.problems)
        if t.kind in WHOLE and t.wall:
            self.faults.add((*path, "wall"), f"has no meaning for a {t.kind}", "Leave it out")
        if t.kind not in WHOLE and t.kind and not t.wall:
            self.faults.add((*path, "wall"), "is missing", "Name the walls that it may be on")
        if t.kind == "splice" and not t.station:
            self.faults.add((*path, "station"), "is missing", "Give the stations of the cut")
        if t.kind not in ("insert", "splice", "") and not t.thickness:
            self.faults.add((*path, "thickness"), "is missing", "Give the thicknesses that are at hand")
        if t.between is not None and len(t.between) != 2:
            self.faults.add((*path, "between"), "must be two stations", "Write between = [1000, 1500]")
        return bool(t.kind and t.rail) and len(self.faults.problems) == before

    def _stations(self, t: Any) -> tuple[list[float], list[float]]:
        sides = ("left", "right") if t.rail == "both" else (t.rail,)
        low, high = t.between or (float("-inf"), float("inf"))
        grid = sorted({v for s in sides for v in self.grid[s] if low - 1e-6 <= v <= high + 1e-6})
        return t.start or grid, t.end or grid

    def _pieces(self, i: int, t: Any) -> Iterator[list[Row]]:
        starts, ends = self._stations(t)
        walls = t.wall or [""]
        for wall, thick, a, b in product(walls, t.thickness or [None], starts, ends):
            if isnan(a) or isnan(b) or b - a < 2:
                continue
            row: dict[str, Any] = {"rail": t.rail, "from": a, "to": b}
            row |= {"thickness": thick} if thick is not None else {}
            if t.kind == "insert":
                row |= {"wall": wall.split(AND)} | ({"made": t.made} if t.made else {})
                yield [("inserts", row)]
            else:
                row |= {"kind": t.kind} | ({"wall": wall} if wall else {}) | ({"ends": t.ends} if t.ends else {})
                yield [("plates", row)]

    def _splices(self, t: Any) -> Iterator[list[Row]]:
        """The rail cut square, and a new one from there to its end."""
        made = {"made": t.made} if t.made else {}
        sides = ("left", "right") if t.rail == "both" else (t.rail,)
        ends = {side: rail_of(self.read.base, side) for side in sides}
        for x, thick in product(t.station, t.thickness or [None]):
            reach = {s: {"from": e.start, "to": x} if t.renewed == "front" else {"from": x, "to": e.end}
                     for s, e in ends.items()}  # fmt: skip
            if len({tuple(r.values()) for r in reach.values()}) == 1:
                reach = {t.rail: reach[sides[0]]}
            more: dict[str, Any] = {"wall": ["all"]} | made | ({"thickness": thick} if thick is not None else {})
            pieces = [("inserts", {"rail": s} | r | more) for s, r in reach.items()]
            yield [("splices", {"rail": t.rail, "station": x, "cut": "square"} | made), *pieces]

    def _made(self, i: int, rows: list[Row]) -> Option | None:
        """An option of rows of a plan's tables; None where these cannot be, which is noted."""
        raw = {key: [r for k, r in rows if k == key] for key in ("inserts", "plates", "splices")}
        own = Faults(self.faults.file, raw, scan(""))
        maker = RowMaker(own, self.read.base)
        line = self.faults.lines.of(("choices", i))
        row: dict[str, Any] = {"line": line, "key": self.faults.place(("choices", i))}
        inserts = tuple(replace(r, **row) for r in maker.inserts(map(InsertTable.model_validate, raw["inserts"])))
        plates = tuple(replace(r, **row) for r in maker.plates(map(PlateTable.model_validate, raw["plates"])))
        cuts = tuple(replace(r, line=line) for r in maker.splices(map(SpliceTable.model_validate, raw["splices"])))
        for p in own.problems:
            key = self.faults.place(("choices", i)) + ", " + p.key.rpartition(", ")[2]
            self.faults.problems.append(replace(p, line=line, key=key))
        if own.problems:
            return None
        pieces: list[Insert | PlanPlate | Splice] = [*inserts, *plates, *cuts]
        words = "; ".join(_once([x.name for x in pieces]))
        thick = {t for t in (*(i.thickness for i in inserts), *(p.thickness for p in plates)) if t}
        words += "".join(f", {t:g} mm thick" for t in sorted(thick))
        return Option(words=words, inserts=inserts, plates=plates, splices=cuts, rows=tuple(rows))


def _once(names: list[str]) -> list[str]:
    """What both rails have alike is told once."""
    out = []
    for name in names:
        if name.replace("right rail", "left rail") in names and "right rail" in name:
            continue
        twin = name.replace("left rail", "right rail")
        out.append(name.replace("left rail", "both rails") if twin != name and twin in names else name)
    return out
