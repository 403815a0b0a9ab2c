"""What a load case of a chassis file must have and may not have: faults are noted, nothing is read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from ladderfe.chassis.case_kinds import COUNTS, HELD_BY, KEYS, NOTHING, PULLS, TAKES
from ladderfe.chassis.case_places import Places
from ladderfe.chassis.faults import Faults, listed, some
from ladderfe.chassis.lines import Path
from ladderfe.chassis.on_a_line import on_a_line
from ladderfe.chassis.schema_cases import CASE_NEEDS

__all__ = ["check_case"]

#: More kinds than this are not worth naming.
FEW: Final = 4
DIAGONALS: Final = ({"front left", "rear right"}, {"front right", "rear left"})
TWO: Final = 'Write wheels = ["front left"], or two as in wheels = ["front left", "rear right"]'
DIAGONAL: Final = 'Write wheels = ["front left", "rear right"], or the other two'
#: What to write where a key is missing.
LACKING: Final = {
    ("bounce", "axle"): 'Write axle = "front", "rear" or "both"',
    ("kerb strike", "axle"): 'Write axle = "front" or "rear"',
    ("raised", "height"): "Give the height in mm by which the wheels are raised",
    ("raised", "wheels"): TWO,
    ("jack", "at"): "Name the mount that the jack lifts",
    ("combination", "of"): 'Write of = [{ case = "braking", times = 1.0 }, ...]',
}
#: What the one wheel of a case does.
ONE_WHEEL: Final = {"pothole": "the one that hits", "jack": "the one that the jack lifts clear"}
#: Where the mounts of a case are named once for all cases.
HOMES: Final = {
    "nose weight": ("towing", "coupling"),
    "rear overhang whip": ("towing", "coupling"),
    "drawbar pull": ("towing", "coupling"),
    "winch": ("towing", "winch"),
    "recovery": ("towing", "recovery"),
    "two-post lift": ("workshop", "pads"),
    "stands": ("workshop", "stands"),
}


def check_case(faults: Faults, path: Path, table: Any, places: Places) -> None:
    """Note what means nothing in a case of this kind, what it lacks, and names that stand for nothing."""
    if table.kind in TAKES:
        _Check(faults, path, table, places).all()


@dataclass(frozen=True, slots=True)
class _Check:
    faults: Faults
    path: Path
    table: Any
    places: Places

    @property
    def kind(self) -> str:
        return str(self.table.kind)

    def note(self, key: str, rule: str, hint: str) -> None:
        self.faults.add((*self.path, key), rule, hint)

    def all(self) -> None:
        if not self.table.name and self.kind != "usual":
            self.note("name", "is missing", "Add name: its name")
        self._keys()
        self._wheels()
        self._axle()
        self._step()
        self._at()
        self._pull()
        self._nose()
        self._low()
        self._forces()
        if self._takes("of") and self.table.of is not None and not self.table.of:
            self.note("of", "names no case", LACKING["combination", "of"])

    def _takes(self, key: str) -> bool:
        return key in TAKES[self.kind]

    def _keys(self) -> None:
        kind = self.kind
        for key in KEYS:
            if self._takes(key) or getattr(self.table, key) in NOTHING.get(key, (None,)):
                continue
            rule, hint = f"has no meaning in a case of kind {kind}", _without(key)
            if kind == "static" and key == "factor":
                rule = "must be 1 in a static case, or be left out"
                hint = 'Write kind = "amplified" for a factor on all loads'
            elif kind == "usual":
                hint = "Add the case on its own with another name, beside the usual ones"
            self.note(key, rule, hint)
        for key in CASE_NEEDS.get(kind, ()):
            if getattr(self.table, key) is None:
                self.note(key, "is missing", LACKING[kind, key])

    def _wheels(self) -> None:
        """One wheel is pushed up; one, or two on a diagonal, stand higher."""
        kind, wheels = self.kind, self.table.wheels
        if wheels is None or "" in wheels or not self._takes("wheels"):
            return
        pair = len(wheels) == 2 and set(wheels) in DIAGONALS
        if kind == "raised" and not pair and len(wheels) != 1:
            self.note("wheels", "must be one wheel or a diagonal pair", TWO)
        elif kind == "cross-axle" and not pair:
            self.note("wheels", "must be two wheels on a diagonal", DIAGONAL)
        elif kind not in ("raised", "cross-axle") and len(wheels) != 1:
            rule = f"must name one wheel, {ONE_WHEEL.get(kind, 'the one that is pushed up')}"
            otherwise = "the nearest one" if kind == "jack" else "that one"
            self.note("wheels", rule, f'Write wheels = ["front left"], or leave wheels out for {otherwise}')

    def _axle(self) -> None:
        if self.kind == "kerb strike" and self.table.axle == "both":
            self.note("axle", 'must be "front" or "rear"', "Make two cases where both axles strike a kerb")

    def _step(self) -> None:
        """The step of a pothole is lower than the wheel's centre."""
        wheels, height = self.table.wheels or ["front left"], self.table.height
        if self.kind != "pothole" or height is None:
            return
        radius = self.places.radius(tuple(wheels))
        if height >= radius:
            rule = f"must be less than the tyre's radius, {radius:g} mm"
            self.note("height", rule, "Give the height of the edge that the wheel climbs")

    def _at(self) -> None:
        """The mounts of a case: there, enough of them, and able to carry."""
        kind, names = self.kind, self.places.names
        if not self._takes("at"):
            return
        if self.table.at is None:
            self._at_home()
            return
        path = (*self.path, "at")
        names.check_all(self.faults, path, self.table.at)
        found = names.all(self.table.at)
        least, most, words = COUNTS[kind]
        if not all(names.meant(n) for n in self.table.at):
            return
        if not least <= len(found) <= most:
            two = [f'"{n}"' for n in found]
            split = f"Write at = {listed(two)}" if most == 1 and len(two) == 2 else "Name as many mounts of this file"
            self.note("at", f"must be {words}", split)
        elif kind in ("two-post lift", "stands") and on_a_line(names, found):
            rule, hint = "lie on one line: the vehicle would tip over", "Name mounts on both sides, well apart"
            self.note("at", rule, hint)

    def _at_home(self) -> None:
        """Note that the mounts are named neither in the case nor once for all."""
        home, key = HOMES.get(self.kind, ("", ""))
        if not home or self.places.usual_at(self.kind) or self.faults.at((home, key)) is not None:
            return
        if self.kind == "rear overhang whip" and self.table.mass is None:
            return
        self.note("at", "is missing", f"Name {COUNTS[self.kind][2]}, or give {key} under [{home}]")

    def _pull(self) -> None:
        """Force, bridle and what holds against a pull."""
        if self.kind not in PULLS:
            return
        towing, table = self.places.towing, self.table
        sources = {"winch": ("line_pull", towing.line_pull), "drawbar pull": ("trailer", towing.trailer)}
        if table.force is None and self.kind in sources:
            key, known = sources[self.kind]
            if not known and self.faults.at(("towing", key)) is None:
                hint = f'Give it in kN, as in force = "36 kN", or give {key} under [towing]'
                self.note("force", "is missing", hint)
        at = self.places.names.all(table.at) if table.at is not None else self.places.usual_at(self.kind)
        if table.bridle and len(at) == 1 and self._takes("bridle"):
            self.note("bridle", "has no meaning at one mount", "Name the two mounts of the bridle, or leave bridle out")
        self._against(at)

    def _against(self, at: tuple[str, ...]) -> None:
        stated, names = self.table.against, self.places.names
        if not stated or stated in HELD_BY:
            return
        if not names.meant(stated):
            rule = 'must be "wheels", "dug in", "inertia" or the name of a mount'
            self.faults.unknown((*self.path, "against"), stated, ("mounts",), [*HELD_BY, *names.written], rule)
            return
        names.check_one(self.faults, (*self.path, "against"), stated)
        if names.one(stated) in at:
            self.note("against", "is where the case pulls", "Name another mount, or what else holds the vehicle")

    def _nose(self) -> None:
        if self.kind != "nose weight" or self.table.mass is not None or self.places.towing.nose:
            return
        if all(self.faults.at(("towing", key)) is None for key in ("trailer", "nose_weight")):
            self.note("mass", "is missing", "Give the nose weight in kg, or nose_weight under [towing]")

    def _low(self) -> None:
        """Stands that are low are among those of the case."""
        low, names = self.table.low, self.places.names
        if not low or not self._takes("low"):
            return
        at = names.all(self.table.at) if self.table.at is not None else self.places.usual_at(self.kind)
        for name in low:
            path = (*self.path, "low", name)
            if names.known(self.faults, path, name) and at and not set(names.meant(name)) <= set(at):
                self.faults.add(path, "is not one of the stands", f"Known here: {some(at)}", value=f'"{name}"')

    def _forces(self) -> None:
        if self.kind in ("usual", "combination") and self.table.forces is not None:
            hints = {
                "usual": "Add the case on its own with another name, beside the usual ones",
                "combination": "Give them to one of the cases that it adds up",
            }
            self.note("forces", f"has no meaning in a case of kind {self.kind}", hints[self.kind])
        for k, force in enumerate(self.table.forces or ()):
            path = (*self.path, "forces", k)
            if self.kind in ("stands", "two-post lift") and (force.x or force.y):
                hint = "Give z alone: stands and pads only carry"
                self.faults.add(path, f"pushes along or across in a case of kind {self.kind}", hint)
            self.places.names.check_one(self.faults, (*path, "at"), force.at)
            if not any((force.x, force.y, force.z)):
                rule, hint = "has no size", "Give x, y or z in kN: rearward, to the right, upward"
                self.faults.add(path, rule, hint)


def _without(key: str) -> str:
    """What to do about a key that a kind does not take; a few kinds that do are named."""
    kinds = [f'"{kind}"' for kind, takes in TAKES.items() if key in takes]
    return f"Leave {key} out" if len(kinds) > FEW else f"Write kind = {listed(kinds)}, or leave {key} out"
