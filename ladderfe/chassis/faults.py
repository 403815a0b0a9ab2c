"""The faults of one chassis file, collected so that all are reported at once, each with its line and place in words."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from typing import Any, Final

from ladderfe.chassis.lines import Lines, Path
from ladderfe.errors import InputError, Problem

__all__ = ["VERY_ALIKE", "WALL_ALIKE", "Faults", "NOUNS", "closest", "few", "listed", "shown", "some"]

#: What one element of each list is called.
NOUNS: Final = {
    "crossmembers": "crossmember",
    "outriggers": "outrigger",
    "diaphragms": "diaphragm",
    "bolts": "bolt group",
    "places": "place",
    "gussets": "gusset",
    "hangers": "hanger",
    "mounts": "mount",
    "masses": "mass",
    "axles": "axle",
    "cases": "case",
    "path": "path point",
    "sections": "section",
    "via": "via point",
    "eyes": "eye",
    "on": "mount",
    "at": "mount",
    "of": "part",
    "forces": "force",
    "recovery": "recovery point",
    "jack": "jack point",
    "pads": "pad",
    "stands": "stand",
    "wheels": "wheel",
    "bench_tests": "bench test",
    "cycles": "cycle",
    "held": "held point",
    "loads": "load",
    "gauges": "gauge",
    "inserts": "insert",
    "plates": "plate",
    "splices": "splice",
    "choices": "choice",
    "holes": "hole",
}
#: How alike a wrong word must be to a known one to be offered: "hieght" finds "height", "hieght_rear" too.
ALIKE: Final = 0.55
VERY_ALIKE: Final = 0.8
#: The same of names of walls, which are short: a far guess would book a reading on another wall.
WALL_ALIKE: Final = 0.65
#: What hangs on other parts, and how to hang it elsewhere.
HANGING: Final[dict[str | int, str]] = {
    "mounts": "Move it: add [[mounts]]", "masses": "Hang it elsewhere: add [[masses]]"
}  # fmt: skip
#: More names than this are not worth reading.
SOME: Final = 8


class Faults:
    """Collects Problems of a file; `spared` are the places that are already faulty and stand empty since.

    `checked` tells that the file was read without a fault before, so that what cannot change need not be looked at.
    `gone` holds what overlays took out, by list and name: a problem at that place, yet without its rule.  `model`: the
    class of tables that the file is read as, None for a chassis file.
    """

    def __init__(self, file: str, raw: Mapping[str, Any], lines: Lines, *, checked: bool = False) -> None:
        self.file, self.raw, self.lines, self.checked = file, raw, lines, checked
        self.model: Any = None
        self.problems: list[Problem] = []
        self.spared: set[Path] = set()
        self.gone: dict[tuple[str, str], Problem] = {}
        self._seen: set[tuple[Path, str]] = set()

    def add(self, path: Path, rule: str, suggestion: str, *, value: str | None = None, line: int | None = None) -> None:
        """Note a fault at `path`, unless what stands there is faulty already; the value is what the file has there."""
        if self.is_spared(path) or (path, rule) in self._seen:
            return
        self._seen.add((path, rule))
        found = shown(self.at(path)) if value is None else value
        place = self.lines.of(path) if line is None else line
        file = self.lines.file(path, self.file)
        self.problems.append(
            Problem(file=file, line=place, key=self.place(path), value=found, rule=rule, suggestion=suggestion)
        )

    def noted(self, path: Path) -> bool:
        """Whether a fault at this very path is noted already."""
        return any(place == path for place, _ in self._seen)

    def unknown(self, path: Path, name: str, lists: tuple[str, ...], known: Iterable[str], rule: str) -> None:
        """Note a name that stands for nothing in these lists of the file, with the one that was probably meant; not
        where an element of them has lost its name, which it may be."""
        gone = next((self.gone[key, name] for key in lists if (key, name) in self.gone), None)
        if gone is not None:
            self._left_behind(path, gone, NOUNS[lists[0]])
        elif not any(p[0] in lists and (len(p) == 1 or p[-1] == "name") for p in self.spared):
            known = list(known)
            if meant := closest(name, known):
                hint = f'Did you mean "{meant}"? Otherwise write one of the names in this file'
            else:
                hint = f"Known here: {some(known)}" if known else f"Add a [[{lists[0]}]] with this name"
            self.add(path, rule, hint, value=f'"{name}"')

    def _left_behind(self, path: Path, gone: Problem, noun: str) -> None:
        """Note, where an overlay took a part out, that something still names it or would hang on it."""
        if path[0] in HANGING:
            rule = f"carries {self.place(path[:2])}, which would hang on nothing"
            hint = f"{HANGING[path[0]]} with its name and a new on; or remove it too"
        else:
            place = f"{self.lines.file(path, self.file)}:{self.lines.of(path)}"
            rule = f"is still named by {self.place(path)} ({place})"
            hint = f"Name another {noun} there, take that out too, or keep this one"
        problem = replace(gone, rule=rule, suggestion=hint)
        if problem not in self.problems:
            self.problems.append(problem)

    def is_spared(self, path: Path) -> bool:
        """Whether the file has no usable value at this path or at a table above it."""
        return any(path[:end] in self.spared for end in range(1, len(path) + 1))

    def at(self, path: Path) -> Any:
        """What the file has at a path, None where it has nothing."""
        node: Any = self.raw
        for key in path:
            try:
                node = node[key]
            except (KeyError, IndexError, TypeError):
                return None
        return node

    def place(self, path: Path) -> str:
        """A path in words: 'crossmember "gearbox", wall', 'rails, section 2, depth'."""
        words: list[str] = []
        for i, key in enumerate(path):
            if isinstance(key, int):
                words[-1] = self._element(path[: i + 1])
            else:
                words.append(key)
        return ", ".join(words) or "file"

    def _element(self, path: Path) -> str:
        noun = NOUNS.get(str(path[-2]), str(path[-2]))
        name = self.at((*path, "name"))
        number = path[-1]
        return f'{noun} "{name}"' if isinstance(name, str) and name.strip() else f"{noun} {int(number) + 1}"

    def finish(self) -> None:
        """Raise InputError with all faults, in the order of the lines, if there are any; those of other files last."""
        if self.problems:
            raise InputError(sorted(self.problems, key=lambda p: (p.file != self.file, p.file, p.line)))


def shown(value: Any) -> str:
    """A value as it would stand in the file, shortened."""
    if value is None:
        return ""
    if isinstance(value, bool):
        text = "true" if value else "false"
    elif isinstance(value, str):
        text = f'"{value}"'
    elif isinstance(value, Mapping):
        text = "{ " + ", ".join(f"{k} = {shown(v)}" for k, v in list(value.items())[:4]) + " }"
    elif isinstance(value, list):
        text = "[" + ", ".join(shown(v) for v in value[:4]) + ("]" if len(value) <= 4 else ", ...]")
    elif isinstance(value, (datetime.date, datetime.time)):
        text = value.isoformat()
    else:
        text = f"{value:.10g}" if isinstance(value, float) else str(value)
    return text if len(text) <= 60 else f"{text[:56]} ..."


#: Other words of the trade for a wall, which look more like a wrong one.
MEANT = {
    "lower": "bottom", "under": "bottom", "underside": "bottom", "floor": "bottom", "bottom flange": "bottom",
    "lower flange": "bottom", "upper": "top", "upper flange": "top", "top flange": "top", "outside": "outer",
    "outboard": "outer", "inside": "inner", "inboard": "inner",
}  # fmt: skip


def closest(word: str, known: Iterable[str], alike: float = ALIKE) -> str:
    """The known word that means the same, or is most like `word`; "" where none is."""
    folded = {k.casefold().replace("-", "_").replace("_", " "): k for k in known}
    if (same := MEANT.get(word.casefold())) in folded:
        return folded[str(same)]
    found = get_close_matches(word[:40].casefold().replace("-", "_").replace("_", " "), folded, n=1, cutoff=alike)
    return folded[found[0]] if found else ""


def listed(words: Iterable[str], last: str = "or") -> str:
    """Words as a list to read: a, b or c."""
    *most, end = list(words)
    return f"{', '.join(most)} {last} {end}" if most else end


def some(names: Iterable[str], most: int = SOME) -> str:
    """Names in quotes as a list to read, each once: the first of them and how many more there are."""
    return few([f'"{n}"' for n in names], most)


def few(words: Iterable[str], most: int) -> str:
    """Words as a list to read, each once: the first of them and how many more there are."""
    once = list(dict.fromkeys(words))
    more = len(once) - most
    return listed([*once[:most], f"{more} more"] if more > 0 else once, "and")
