"""What an overlay takes out of its base, by kind and name."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Final

from ladderfe.chassis.faults import NOUNS, Faults, closest, few, listed, some
from ladderfe.chassis.layers import Entry, raw_of
from ladderfe.chassis.lines import Path
from ladderfe.chassis.readers import Table
from ladderfe.chassis.schema import BenchTable, MassTable, MountTable
from ladderfe.chassis.schema_axles import AxleTable
from ladderfe.chassis.schema_bolts import BoltsTable
from ladderfe.chassis.schema_cases import CaseTable
from ladderfe.chassis.schema_frame import CrossmemberTable, DiaphragmTable, OutriggerTable
from ladderfe.chassis.schema_gussets import GussetsTable
from ladderfe.chassis.schema_hangers import HangersTable
from ladderfe.errors import Problem
from ladderfe.units import LENGTH, UnitError, parse

__all__ = ["PARTS", "Removed", "called", "is_usual_set", "note_removed", "take_out", "with_names"]

#: Lists whose tables are matched by name, with what one of them may hold.
PARTS: Final[dict[str, type[Table]]] = {
    "crossmembers": CrossmemberTable,
    "outriggers": OutriggerTable,
    "diaphragms": DiaphragmTable,
    "bolts": BoltsTable,
    "gussets": GussetsTable,
    "hangers": HangersTable,
    "mounts": MountTable,
    "masses": MassTable,
    "axles": AxleTable,
    "cases": CaseTable,
    "bench_tests": BenchTable,
}
KINDS: Final = {NOUNS[key].replace(" ", "_"): key for key in PARTS}
NUMBERED: Final = ("crossmembers", "outriggers", "diaphragms")
#: The kind of case that needs no name, and is called so where one must be given.
USUAL: Final = "usual"
#: Lists whose parts have no name in common.
BRACKETS: Final = ("crossmembers", "outriggers")


@dataclass(frozen=True, slots=True)
class Removed:
    """A part that an overlay took out: its list, its names, and where in which file that was asked for."""

    key: str
    names: tuple[str, ...]
    faults: Faults
    number: int


def called(key: str, tables: list[Any]) -> list[tuple[str, ...]]:
    """The names by which each of these tables may be meant, its own first: unnamed parts are numbered, axles are
    front and rear, and the usual set of cases is usual."""
    out: list[tuple[str, ...]] = []
    for i, table in enumerate(tables):
        entries = table if isinstance(table, dict) else {}
        own = entries.get("name")
        names = (" ".join(own.split()),) if isinstance(own, str) else ()
        if not names and key in NUMBERED:
            names = (f"{NOUNS[key]} {i + 1}",)
        elif is_usual_set(key, table):
            names = (USUAL,)
        if key == "axles":
            names = (*names, ("front", "rear")[i ^ _reversed(tables)] if i < 2 else f"axle {i + 1}")
        out.append(names)
    return out


def is_usual_set(key: str, table: Any) -> bool:
    """Whether a table of a list stands for the usual set of cases, which needs no name."""
    return key == "cases" and isinstance(table, dict) and table.get("kind") == USUAL and "name" not in table


def _reversed(tables: list[Any]) -> int:
    """1 where the rear axle is written first, else 0."""
    stations = [t.get("station") if isinstance(t, dict) else None for t in tables[:2]]
    numbers = [x for s in stations if (x := _length(s)) is not None]
    return int(len(numbers) == 2 and numbers[1] < numbers[0])


def _length(value: Any) -> float | None:
    """A station as it is written, with or without its unit, mm; None where it is none."""
    if isinstance(value, str):
        with suppress(UnitError):
            return parse(LENGTH, value)
    return float(value) if isinstance(value, (int, float)) else None


def with_names(tree: Entry) -> Entry:
    """The same with a name for each numbered part, so that it keeps it when those before it are taken out."""
    value = dict(tree.value)
    for key in NUMBERED:
        if key in value and value[key].is_list:
            names = called(key, raw_of(value[key]))
            parts = [
                Entry({"name": Entry(own[0], e.file, e.line)} | e.value, e.file, e.line) if e.is_table else e
                for e, own in zip(value[key].value, names, strict=True)
            ]
            value[key] = Entry(parts, value[key].file, value[key].line)
    return Entry(value, tree.file, tree.line)


def take_out(faults: Faults, tree: Entry, wanted: Any, base: str, removed: list[Removed]) -> Entry:
    """The tree without what `[[remove]]` names; faults are noted, parts taken out are added to `removed`."""
    if wanted is None:
        return tree
    if not isinstance(wanted, list) or not all(isinstance(t, dict) for t in wanted):
        faults.add(("remove",), "must be a list of tables", 'Write [[remove]] and below it crossmember = "its name"')
        return tree
    for i, table in enumerate(wanted):
        tree = _Removal(faults, i, table, base, removed).done(tree)
    return tree


@dataclass(frozen=True, slots=True)
class _Removal:
    """One `[[remove]]` of an overlay."""

    faults: Faults
    number: int
    table: dict[str, Any]
    base: str
    removed: list[Removed]

    def done(self, tree: Entry) -> Entry:
        kinds = [k for k in self.table if k in KINDS]
        self._check_keys(kinds)
        names = {k: self._names(k) for k in kinds}
        if "entry" in self.table:
            return self._without_entry(tree, names)
        for kind, found in names.items():
            for name in found:
                tree = self._without(tree, kind, name)
        return tree

    def _check_keys(self, kinds: list[str]) -> None:
        known = [*KINDS, "entry"]
        unknown = [k for k in self.table if k not in known]
        for key in unknown:
            meant = closest(key, [k for k in known if k not in self.table])
            hint = f'Did you mean "{meant}"? Otherwise take it out' if meant else f"Name a {listed(known)}"
            self.faults.add(("remove", self.number, key), "is not known here", hint)
        if not kinds and not unknown and "entry" not in self.table:
            rule = "does not say what to take out"
            self.faults.add(("remove", self.number), rule, 'Write crossmember = "its name", or another part', value="")

    def _names(self, kind: str) -> list[str]:
        """The names given for a kind; one alone stands for a list of one."""
        value = self.table[kind]
        names = [value] if isinstance(value, str) else value
        if isinstance(names, list) and names and all(isinstance(n, str) and n.strip() for n in names):
            return [" ".join(n.split()) for n in names]
        self.faults.add(("remove", self.number, kind), "must be a name in quotes", f'Write {kind} = "its name"')
        return []

    def _place(self, tree: Entry, kind: str, name: str) -> int | None:
        """Which of its list a part is; None, with the fault noted, where there is none of that name."""
        key = KINDS[kind]
        have = tree.get(key)
        names = called(key, raw_of(have)) if have is not None and have.is_list else []
        found = next((i for i, own in enumerate(names) if name in own), None)
        if found is None:
            rule, hint = self._unknown(kind, name, [n for own in names for n in own[:1]])
            self.faults.add(("remove", self.number, kind), rule, hint, value=f'"{name}"')
        return found

    def _unknown(self, kind: str, name: str, known: list[str]) -> tuple[str, str]:
        if any(r.key == KINDS[kind] and name in r.names for r in self.removed):
            return "is taken out already", "Take out each part once"
        if meant := closest(name, known):
            hint = f'Did you mean "{meant}"? Otherwise write one of the names there'
        else:
            hint = f"There are {some(known)}" if known else "There is none to take out"
        noun = NOUNS[KINDS[kind]]
        return f"is not the name of {'an' if noun[0] in 'ao' else 'a'} {noun} in {self.base}", hint

    def _without(self, tree: Entry, kind: str, name: str) -> Entry:
        key = KINDS[kind]
        place = self._place(tree, kind, name)
        if place is None:
            return tree
        have = tree.value[key]
        part = have.value[place]
        names = called(key, raw_of(have))[place]
        if _has_sides(key, part):
            names = (*names, *(f"{names[0]} {side}" for side in ("left", "right")))
        self.removed.append(Removed(key, names, self.faults, self.number))
        rest = Entry([e for i, e in enumerate(have.value) if i != place], have.file, have.line)
        return Entry(tree.value | {key: rest}, tree.file, tree.line)

    def _without_entry(self, tree: Entry, names: dict[str, list[str]]) -> Entry:
        """The tree without one entry, of a part where one is named, else of the file's tables."""
        place, entry = ("remove", self.number, "entry"), self.table["entry"]
        if not isinstance(entry, str) or len(names) > 1 or any(len(n) > 1 for n in names.values()):
            rule = "must be the dotted name of one entry, of one part at most"
            self.faults.add(place, rule, 'Write entry = "body.split", or crossmember = "its name" and entry = "via"')
            return tree
        if not names:
            return self._cut(tree, entry.split("."))
        for kind, name in ((k, n[0]) for k, n in names.items() if n):
            index = self._place(tree, kind, name)
            if index is not None:
                have = tree.value[KINDS[kind]]
                parts = list(have.value)
                parts[index] = self._cut(parts[index], entry.split("."))
                tree = Entry(tree.value | {KINDS[kind]: Entry(parts, have.file, have.line)}, tree.file, tree.line)
        return tree

    def _cut(self, table: Entry, keys: list[str]) -> Entry:
        """A table without what its dotted key leads to."""
        first, *rest = keys
        inner = table.get(first)
        if inner is None or (rest and not inner.is_table):
            known = [k for k in table.value if k not in ("name", first)]
            meant = closest(first, known)
            hint = f'Did you mean "{meant}"? Otherwise name' if meant else "Name"
            self.faults.add(
                ("remove", self.number, "entry"), f"is not in {self.base}", f"{hint} one of {few(known, 12)}"
            )
            return table
        value = {k: v for k, v in table.value.items() if k != first}
        if rest:
            value[first] = self._cut(inner, rest)
        return Entry(value, table.file, table.line)


def _has_sides(key: str, part: Entry) -> bool:
    """Whether a part may stand on both rails under one name and then has one for each side too."""
    return key in ("outriggers", "mounts") and part.is_table


def note_removed(faults: Faults, removed: list[Removed]) -> None:
    """Tell the faults of the whole file what was taken out and not given anew, so that what still names it is told
    there."""
    for r in removed:
        there = _names_of(faults, r.key)
        if r.names[0] in there:
            continue
        path: Path = ("remove", r.number, NOUNS[r.key])
        gone = Problem(
            file=r.faults.file, line=r.faults.lines.of(path), key=r.faults.place(path), value=f'"{r.names[0]}"',
            rule="", suggestion="",
        )  # fmt: skip
        faults.gone.update({(r.key, name): gone for name in r.names if name not in there})


def _names_of(faults: Faults, key: str) -> list[str]:
    """Names of what is there after all: a part may be taken out and given anew."""
    keys = BRACKETS if key in BRACKETS else (key,)
    return [n for k in keys for own in called(k, faults.at((k,)) or []) for n in own]
