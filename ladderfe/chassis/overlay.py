"""Overlays: a file that names a chassis file as its `base` and says what is otherwise.

What stands in an overlay counts instead of what the base has there: plain values and lists whole, tables entry by
entry.  Parts (crossmembers, outriggers, diaphragms, mounts, masses, axles, cases, bench tests) are matched by name: of
one that the base has, what the overlay states is changed and the rest stays; any other is new.  A part given a new
`shape` keeps none of its old sizes, a mount put `on` another part none of its old place, a mass told in kg no people.
`[[remove]]` takes out before anything is laid on, by kind and name, or one `entry`.  A base may itself be an overlay.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from os.path import isfile
from pathlib import Path as FilePath
from typing import Any, Final

from ladderfe.chassis.beside import file_meant, is_chassis
from ladderfe.chassis.case_kinds import KEYS
from ladderfe.chassis.faults import NOUNS, Faults, closest, listed, some
from ladderfe.chassis.layers import Entry, grown, lines_of, named, raw_of, together
from ladderfe.chassis.lines import scan
from ladderfe.chassis.removal import PARTS, Removed, called, is_usual_set, note_removed, take_out, with_names
from ladderfe.chassis.schema import MASS_BESIDE, MASS_ONE_OF
from ladderfe.chassis.sizes import SIZE_KEYS
from ladderfe.errors import InputError

__all__ = ["lay"]

Opened = Callable[[FilePath], tuple[str, dict[str, Any]]]

#: What leads an axle, and goes with its kind.
LINKED: Final = ("fixed_eye", "eye_height", "arms", "pivots", "roll_centre", "track_bar", "torsion_bar")
OWN: Final = ("base", "remove")
#: Number of a part that is in an overlay and not in what it comes to.
NOWHERE: Final = -1
TANK: Final = ("litres", *(k for k, other in MASS_BESIDE.items() if other == "litres"))
#: Part -> what it states anew -> what of the base goes with it.
RESETS: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "crossmembers": {
        "shape": SIZE_KEYS,
        "station": ("station_left", "station_right"),
        "station_left": ("station",),
        "station_right": ("station",),
        "height": ("height_left", "height_right"),
        "joint": ("joint_left", "joint_right"),
    },
    "outriggers": {"shape": SIZE_KEYS},
    "cases": {"kind": KEYS},
    "axles": {
        "suspension": ("motion_ratio", *LINKED),
        "spring": LINKED,
        "track_bar": ("roll_centre",),
        "roll_centre": ("track_bar",),
    },
    "mounts": {"on": ("station", "y", "offset", "height"), "y": ("offset",), "offset": ("y",)},
    "masses": {
        "mass": ("people", *TANK),
        "people": ("mass", *TANK),
        "litres": ("mass", "people"),
        "on": ("spread",),
        "spread": ("on",),
    },
}


def lay(file: str, text: str, raw: dict[str, Any], opened: Opened) -> Faults:
    """The tables of a file ready to be read, with the faults found so far: its own, or what its overlay comes to.

    `opened` gives text and tables of a file that is named as base.  Raises InputError where a base cannot be had.
    """
    if not any(key in raw for key in OWN):
        return Faults(file, raw, scan(text))
    laying = _Laying(opened)
    tree = laying.tree(file, text, raw, ())
    faults = Faults(file, raw_of(tree), lines_of(tree))
    note_removed(faults, laying.removed)
    for layer in laying.layers:
        faults.problems += layer.problems
        faults.spared |= {(key, NOWHERE, "name") for key, *_ in layer.spared}
    return faults


@dataclass(slots=True)
class _Laying:
    """Lays files over each other: collects the faults of each overlay and what was removed."""

    opened: Opened
    layers: list[Faults] = field(default_factory=list)
    removed: list[Removed] = field(default_factory=list)

    def tree(self, file: str, text: str, raw: dict[str, Any], above: tuple[str, ...]) -> Entry:
        """All entries of a file, those of its base included; `above` are the files that are laid on this one."""
        lines = scan(text)
        own = grown(raw, lines, file)
        if not any(key in raw for key in OWN):
            return own
        faults = Faults(file, raw, lines)
        self.layers.append(faults)
        chain = (*above, file)
        under = with_names(self.tree(*self._base(faults, raw, chain), chain))
        under = take_out(faults, under, raw.get("remove"), raw["base"], self.removed)
        over = Entry({k: v for k, v in own.value.items() if k not in OWN}, own.file, own.line)
        return _laid(faults, under, over, raw["base"])

    def _base(self, faults: Faults, raw: Mapping[str, Any], chain: tuple[str, ...]) -> tuple[str, str, dict[str, Any]]:
        """Name, text and tables of the base; InputError with all faults so far where there is none."""
        name = raw.get("base")
        if not isinstance(name, str) or not name.strip():
            hint = 'Write base = "my-chassis.toml" at the top, before the first table'
            if name is None:
                faults.add(("base",), "is missing: an overlay names the chassis file that it starts from", hint)
            else:
                faults.add(("base",), "must be the name of a chassis file in quotes", hint)
            raise self._stopped()
        path = FilePath(chain[-1]).parent / name
        if not isfile(path):
            faults.add(("base",), "is not a file", _elsewhere(path, chain[-1]))
            raise self._stopped()
        if path.resolve() in [FilePath(f).resolve() for f in chain]:
            circle = " on ".join(f'"{f.name}"' for f in (*map(FilePath, chain), path))
            faults.add(("base",), f"leads round in a circle: {circle}", "Start from a chassis file")
            raise self._stopped()
        text, tables = self.opened(path)
        if not is_chassis(tables):
            faults.add(("base",), "is not a chassis file", "Start from a chassis file")
            raise self._stopped()
        return str(path), text, tables

    def _stopped(self) -> InputError:
        return InputError([p for layer in self.layers for p in layer.problems])


def _elsewhere(path: FilePath, overlay: str) -> str:
    """Where to look for a base that is not there."""
    meant = file_meant(path, leave_out=FilePath(overlay).name)
    hint = f'Did you mean "{meant}"? Otherwise check' if meant else "Check"
    return f"{hint} its name, as seen from the overlay's own folder"


def _laid(faults: Faults, under: Entry, over: Entry, base: str) -> Entry:
    """A file's entries laid on those of its base."""
    value = dict(under.value)
    for key, entry in over.value.items():
        have = value.get(key)
        if key in PARTS and entry.is_list:
            value[key] = _parts(faults, key, have if have and have.is_list else Entry([], "", 1), entry, base)
        else:
            value[key] = together(have, entry) if have else entry
    return Entry(value, over.file, over.line)


def _parts(faults: Faults, key: str, under: Entry, over: Entry, base: str) -> Entry:
    """Parts of one kind: those of the base, changed where the overlay names them, then the new ones."""
    parts, names = list(under.value), called(key, raw_of(under))
    for i, part in enumerate(over.value):
        name = named(part)
        usual = is_usual_set(key, raw_of(part))
        same = [is_usual_set(key, raw_of(e)) for e in under.value] if usual else [name in own for own in names]
        found = same.index(True) if any(same) else None
        if not part.is_table:
            parts.append(part)  # reading it will tell what is wrong with it
        elif not name and not usual:
            if part.get("name") is None:
                hint = f"Give the name that {base} has, or a new one for a new {NOUNS[key]}"
                faults.add((key, i, "name"), "is missing: parts of an overlay are matched by name", hint)
                faults.spared.add((key, i, "name"))
            else:
                parts.append(part)
        elif found is not None:
            parts[found] = _changed(key, parts[found], part)
        elif lacking := _lacking(key, part):
            _unmatched(faults, key, i, lacking, [n for own in names for n in own[:1]], base)
        else:
            parts.append(part)
    return Entry(parts, over.file, over.line)


def _changed(key: str, under: Entry, over: Entry) -> Entry:
    """A part of the base with what the overlay states of it; entries that this replaces in other words go."""
    gone = {old for new, olds in RESETS.get(key, {}).items() if new in over.value for old in olds}
    kept = {k: v for k, v in under.value.items() if k not in gone}
    mended = together(Entry(kept, under.file, under.line), over)
    return Entry(mended.value | {"name": kept["name"]}, over.file, over.line) if "name" in kept else mended


def _lacking(key: str, part: Entry) -> list[str]:
    """What a new part would need and the overlay does not give."""
    model = PARTS[key]
    groups = MASS_ONE_OF if key == "masses" else ()
    needed = {g[0] for g in groups if not any(k in part.value for k in g)}
    needed |= {k for k, f in model.model_fields.items() if f.is_required() and (f.alias or k) not in part.value}
    return [k for k in model.model_fields if k in needed]


def _unmatched(faults: Faults, key: str, index: int, lacking: list[str], known: list[str], base: str) -> None:
    """Note a name that the base does not have, in a table that is no whole new part."""
    name = named(grown(faults.at((key, index)), faults.lines, faults.file))
    if meant := closest(name, known):
        hint = f'Did you mean "{meant}"? Otherwise add {listed(lacking, "and")}'
    else:
        there = f"; {base} has {some(known)}" if known else ""
        hint = f"Add {listed(lacking, 'and')} for a new {NOUNS[key]}{there}"
    faults.add((key, index, "name"), f"is not the name of {_a(NOUNS[key])} in {base}", hint)


def _a(noun: str) -> str:
    return f"an {noun}" if noun[0] in "aeo" else f"a {noun}"
