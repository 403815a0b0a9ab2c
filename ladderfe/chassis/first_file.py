"""A first chassis file from a few answers: complete, and with a note at every entry that was not asked for.

Notes of two kinds.  Prose begins with "# " and a capital letter.  Below the prose that says what is assumed stands the
entry that would replace it, behind "# ": take these two signs away and put the own value.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import inf
from textwrap import wrap
from typing import Final

from ladderfe.chassis.answers import INSET, Answers
from ladderfe.chassis.case_kinds import TAKES
from ladderfe.chassis.reading import chassis_from_text
from ladderfe.chassis.types import Assumption, CaseSpec

__all__ = ["even_reach", "first_file"]

WIDTH: Final = 112
ORDINALS: Final = ("second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
#: Assumed unsprung mass of an axle, kg, and the part of a light axle's load that it is at most.
UNSPRUNG, LIGHT = 170.0, 0.3
#: Numbers that have a name in the file, by the last word of their key.
WORDS: Final[dict[str, dict[float, str]]] = {
    "pull": {0.0: "loose", inf: "held"},
    "tyre_rate": {inf: "rigid"},
    "level": {-1.0: "low", 0.0: "middle", 1.0: "high"},
}
#: Crossmember sizes over those of the rails: common practice, no source.
SLIMMER: Final = 0.6
#: Least width of a crossmember over the rail's depth: within the data of the joints (0.33 to 0.84).
NARROWEST: Final = 0.4
HEAD: Final = """\
# A first chassis file, written by `ladderfe start`.  Stations count rearward from the front end of the rails; lengths
# are in mm and masses in kg, or carry a unit, as in "59 in".
#
# `ladderfe check` runs on it as it is, but much in it is ASSUMED.  What was not asked is told where it belongs, with
# its usual range; below stands the entry that replaces it: take the "# " before it away and write what was measured.

"""
EXAMPLES: Final = """\
# Heavy things at their own places; without them all weight lies spread along the rails.  A mass hangs on mounts; say
# whether it was aboard when the axles were weighed.  An example:
# [[mounts]]
# name = "engine mount"
# on = "both rails"
# station = {engine}
#
# [[masses]]
# name = "engine"
# mass = {mass}
# on = ["engine mount"]
# aboard = true
"""


def first_file(answers: Answers, reach: tuple[int, int] | None = None) -> str:
    """The text of a chassis file; InputError where the answers do not go together.

    `reach` are the stations between which the weight lies, where it cannot lie all along the rails.
    """
    chassis = chassis_from_text(_Writer(answers, {}, reach).text(), "first file")
    return _Writer(answers, {a.key: a for a in chassis.assumptions}, reach, chassis.cases).text()


def even_reach(answers: Answers) -> tuple[int, int]:
    """Stations between which an even load has its middle where the sprung weights ask for it."""
    length, front, base = (answers[k].number for k in ("length", "front_axle", "wheelbase"))
    loads = [answers[f"{which}_load"].number for which in ("front", "rear")]
    sprung = [load - min(UNSPRUNG, LIGHT * load) for load in loads]
    middle = front + base * sprung[1] / sum(sprung)
    half = min(middle, length - middle)
    return round(middle - half), round(middle + half)


@dataclass(slots=True)
class _Writer:
    """Writes the file; `assumed` by key, those told in it are ticked off in `told`."""

    answers: Answers
    assumed: dict[str, Assumption]
    reach: tuple[int, int] | None
    cases: tuple[CaseSpec, ...] = ()
    told: set[str] = field(default_factory=set)

    def text(self) -> str:
        parts = [
            HEAD + "\n".join(self._top()),
            "\n".join(self._rails()),
            *self._closed_ends(),
            *self._crossmembers(),
            *(["\n".join(joints)] if (joints := list(self._joints())) else []),
            EXAMPLES.format(engine=self._engine(), mass=f"{max(self._load('front') / 5, 10):.0f}").rstrip(),
            *("\n".join(self._axle(which)) for which in ("front", "rear")),
            "\n".join(self._body()),
            *("\n".join(self._table(name)) for name in ("material", "criteria")),
            "\n".join(self._cases()),
        ]
        if rest := "\n".join(self._rest()):
            parts.append(rest)
        return "\n\n".join(parts) + "\n"

    def _told(self, key: str, entry: str = "") -> Iterator[str]:
        """What is assumed for a key, and the entry in its place; nothing where it is not assumed."""
        a = self.assumed.get(key)
        if a is not None:
            self.told.add(key)
            yield from _prose(f"ASSUMED {_range(a)}: {a.meaning} [{a.source}].")
            yield from [f"# {entry}"] if entry else []

    def _entry(self, key: str) -> Iterator[str]:
        """The same for a key whose last word is its name in the file."""
        a, name = self.assumed.get(key), key.rsplit(".", 1)[-1]
        if a is not None:
            word = WORDS.get(name, {}).get(a.used)
            yield from self._told(key, f"{name} = " + (f'"{word}"' if word else _value(key, a.used)))

    def _load(self, which: str) -> float:
        return self.answers[f"{which}_load"].number

    def _top(self) -> Iterator[str]:
        yield f"title = {self.answers['title'].written}"
        yield from _prose("How it was weighed: who and what was aboard, how full the tank.")
        yield '# condition = "on level ground with driver and full tank"'
        yield f"wheelbase = {self.answers['wheelbase'].written}"
        for key in ("height_above_ground", "centre_of_gravity"):
            yield from self._entry(key)

    def _rails(self) -> Iterator[str]:
        length, spacing = (self.answers[k] for k in ("length", "spacing"))
        yield "[rails]"
        yield 'spacing_to = "outside"'
        yield 'height_to = "middle"'
        if spacing.assumed:
            yield from _prose("ASSUMED spacing: 0.55 of the track [value from memory]. Measure it.")
        yield from _prose("Add points between the ends where the rails spread, drop or rise.")
        yield "path = ["
        yield f"    {{ station = 0, spacing = {spacing.written}, height = 0 }},"
        yield f"    {{ station = {length.written}, spacing = {spacing.written}, height = 0 }},"
        yield "]"
        yield ""
        yield from _prose(
            "More than one of these where the section changes: each with from and to, in stations. Every size may "
            "change evenly over its length, as in depth_end."
        )
        yield "[[rails.sections]]"
        yield f"shape = {self.answers['shape'].written}"
        yield from (f"{size} = {self.answers[size].written}" for size in ("depth", "width", "wall"))
        if self._is_channel:
            yield 'opens = "inward"'
        yield from self._told("sections.radius", "radius = 0")

    @property
    def _is_channel(self) -> bool:
        return self.answers["shape"].written == '"channel"'

    def _closed_ends(self) -> Iterator[str]:
        """A plate at each end of box rails that was said to be closed; a note where nobody said."""
        ends, wall = self.answers["closed_ends"], self.answers["wall"].written
        closed = {"none": (), "both": ("front", "rear")}.get(word := ends.written.strip('"'), (word,))
        for end in closed:
            lines = [] if end != closed[0] else _prose(
                "Plates that close the rails' ends. ASSUMED as thick as the rails' walls [common practice, no source]: "
                "measure them."
            )  # fmt: skip
            lines += ["[[diaphragms]]", f'name = "{end} end plate"', 'rail = "both"']
            lines.append(f"station = {0 if end == 'front' else self.answers['length'].written}")
            yield "\n".join([*lines, f"thickness = {wall}"])
        if ends.assumed and not self._is_channel:
            yield "\n".join(
                _prose(
                    "ASSUMED open ends of the rails. Where a plate closes the inside, at an end or elsewhere, add "
                    "[[diaphragms]] with its rail, station and thickness."
                )
            )

    def _crossmembers(self) -> Iterator[str]:
        count, length = int(self.answers["crossmembers"].number), self.answers["length"].number
        of_rail, wall = self.answers["depth"].number, self.answers["wall"].number
        width = _even(max(SLIMMER * self.answers["width"].number, NARROWEST * of_rail))
        if self._is_channel:
            depth = f"{of_rail - 2 * wall:g}"
            sizes = "as deep as fits between the rails' flanges, which theirs lie on"
        else:
            depth, sizes = str(_even(SLIMMER * of_rail)), f"{SLIMMER:g} of the rails'"
        words = _prose(
            "Crossmembers from front to rear. Their places are ASSUMED, evenly spread, and so are their sizes, "
            f"{sizes}, with the same wall [common practice, no source]. Measure each one."
        )
        for i in range(count):
            lines = list(words) if i == 0 else []
            lines += ["[[crossmembers]]", f'name = "{_ordinal(i, count)}"']
            lines.append(f"station = {round(INSET + i * (length - 2 * INSET) / (count - 1)):d}")
            lines += [f"shape = {self.answers['shape'].written}", f"depth = {depth}", f"width = {width}"]
            lines.append(f"wall = {self.answers['wall'].written}")
            lines += ['opens = "rearward"'] if self._is_channel else []
            lines += ["# radius = 0"] if "sections.radius" in self.assumed else []
            yield "\n".join(lines)

    def _joints(self) -> Iterator[str]:
        """How stiff the joints are taken; a table only where the file has one for it."""
        if "joints.level" in self.assumed:
            yield "[joints]"
            yield from self._told("joints.level", 'estimate = "middle"')

    def _engine(self) -> str:
        front = self.answers["front_axle"].number
        return f"{min(front + 50, self.answers['length'].number):.0f}"

    def _axle(self, which: str) -> Iterator[str]:
        yield "[[axles]]"
        yield f'name = "{which}"'
        if which == "front":
            yield f"station = {self.answers['front_axle'].written}"
        yield f"load = {self.answers[f'{which}_load'].written}"
        yield f"track = {self.answers['track'].written}"
        if which == "front":
            self.told.add("axles.left_share")
        if "axles.left_share" in self.assumed:
            half = f"{self._load(which) / 2:g}"
            yield from _prose("ASSUMED half of it under each wheel. Give what each weighed, of both axles or of none.")
            yield f"# wheel_loads = {{ left = {half}, right = {half} }}"
        for key in [k for k in self.assumed if k.startswith(f"axles.{which}.")]:
            if ".arms." in key:
                yield from self._arms(key)
            elif key.endswith(".eyes"):
                yield from self._told(key)
                yield from _prose('For a leaf spring: spring = "leaf", and eyes = [front, rear] with their stations.')
                yield '# spring = "coil"'
            else:
                yield from self._entry(key)

    def _table(self, name: str) -> Iterator[str]:
        """A table with what is assumed of its entries."""
        yield f"[{name}]"
        for key in [k for k in self.assumed if k.startswith(f"{name}.")]:
            yield from self._entry(key)

    def _body(self) -> Iterator[str]:
        yield from _prose("What was weighed and is not listed lies along both rails as two even loads.")
        table = list(self._table("body"))
        yield table[0]
        if self.reach:
            yield from _prose(
                "ASSUMED to reach from here to there: spread over the whole rails it would come out lighter than "
                "nothing at one end. Look the axles' loads and places over."
            )
            yield f"from = {self.reach[0]}"
            yield f"to = {self.reach[1]}"
        yield from table[1:]

    def _arms(self, key: str) -> Iterator[str]:
        """Station and height of arms: below the last of them stands the entry for both."""
        arms = [k for k in self.assumed if k.startswith(key.rsplit(".", 1)[0] + ".")]
        both = ", ".join(f"{k.rsplit('.', 1)[1]} = {_value(k, self.assumed[k].used)}" for k in arms)
        yield from self._told(key, f"arms = {{ {both} }}" if key == arms[-1] else "")

    def _cases(self) -> list[str]:
        out = list(_prose("Load cases: these are looked at. Where any are given, those given are all."))
        out += [line for key in self.assumed if key.startswith("cases.") for line in self._told(key)]
        for case in self.cases:
            out += ["# [[cases]]", f'# name = "{case.name}"', f'# kind = "{case.kind}"']
            out += [f"# {key} = {_written(getattr(case, key))}" for key in TAKES[case.kind]]
        return out

    def _rest(self) -> Iterator[str]:
        """What is assumed and has no entry above."""
        rest = [k for k in self.assumed if k not in self.told]
        if rest:
            yield from _prose("Also assumed, as `ladderfe check` lists it:")
            for key in rest:
                yield from self._told(key)


def _prose(text: str) -> list[str]:
    """A note, broken into lines."""
    return wrap(text, WIDTH, initial_indent="# ", subsequent_indent="#   ", break_on_hyphens=False)


def _value(key: str, number: float) -> str:
    name = key.rsplit(".", 1)[-1]
    return WORDS.get(name, {}).get(number) or ("rigid" if number == inf else f"{number:.7g}")


def _written(value: str | float | tuple[str, ...]) -> str:
    """A word, a number or a list of words as it stands in the file."""
    if isinstance(value, tuple):
        return "[" + ", ".join(f'"{word}"' for word in value) + "]"
    return f'"{value}"' if isinstance(value, str) else f"{value:.7g}"


def _range(a: Assumption) -> str:
    """What is used and the usual range, the unit behind the first numbers."""
    used, low, high = (_value(a.key, v) for v in (a.used, a.low, a.high))
    unit = f" {a.unit}" if a.unit else ""
    if used[-1].isdigit():
        used += unit
    else:
        low, high = (f"{w}{unit}" if w[-1].isdigit() else w for w in (low, high))
    return used if a.low == a.high else f"{used} ({low} to {high})"


def _even(size: float) -> int:
    """A size to whole 5 mm, 10 at least."""
    return max(10, round(size / 5) * 5)


def _ordinal(i: int, count: int) -> str:
    """front, second, ..., rear."""
    if i in (0, count - 1):
        return "front" if i == 0 else "rear"
    return ORDINALS[i - 1] if i <= len(ORDINALS) else f"{i + 1}th"
