"""What a listed mass weighs: as stated, by the number of people, or by the litres in a tank."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan
from typing import Any, Final

from ladderfe.chassis.assumed import COMMON, MEMORY, Assumed, Guess
from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.chassis.schema import MASS_BESIDE, MASS_ONE_OF

__all__ = ["Weight", "given_one", "read_weight"]

PERSON: Final = Guess("mass of one person", 60.0, 75.0, 100.0, "kg", f"75 kg per seat, {COMMON}")
#: kg per litre; the ranges are those of the fuels' standards.
FLUIDS: Final = {
    "petrol": Guess("density of petrol", 0.72, 0.745, 0.775, "kg/l", f"EN 228, {MEMORY}"),
    "diesel": Guess("density of diesel fuel", 0.82, 0.835, 0.845, "kg/l", f"EN 590, {MEMORY}"),
}
WATER: Final = 1.0  # kg/l, value from memory
#: What to write where nothing is given, by the keys of which one must be.
MISSING: Final = {
    "mass": "Add mass: its mass; or people, or litres with fluid",
    "on": "Add on: the mounts that carry it; or spread = { from = 2600, to = 3800 }",
}


@dataclass(frozen=True, slots=True)
class Weight:
    """A mass in kg and what it was told by."""

    mass: float
    people: int = 0
    litres: float = 0.0
    fluid: str = ""


def given_one(faults: Faults, path: Path, table: Any, keys: tuple[str, ...]) -> None:
    """Note where none or several of these keys are given."""
    found = [k for k in keys if getattr(table, k) is not None]
    if not found and not any(faults.is_spared((*path, k)) for k in keys):
        faults.add((*path, keys[0]), "is missing", MISSING[keys[0]], value="")
    for key in found[1:]:
        faults.add((*path, key), f"is given beside {found[0]}", f"Give one of {listed(keys, 'and')}")


def read_weight(faults: Faults, path: Path, table: Any, assumed: Assumed) -> Weight:
    """What a mass weighs, nan where the file does not tell; faults are noted."""
    given_one(faults, path, table, MASS_ONE_OF[0])
    _beside_litres(faults, path, table)
    if table.people is not None:
        return _people(faults, path, table.people, assumed)
    if table.litres is not None:
        return _tank(faults, path, table, assumed)
    return Weight(float("nan") if table.mass is None else table.mass)


def _beside_litres(faults: Faults, path: Path, table: Any) -> None:
    for key, other in MASS_BESIDE.items():
        if other == "litres" and getattr(table, key) is not None and table.litres is None:
            hint = f"Give litres, what the tank holds, or leave {key} out"
            if not faults.is_spared((*path, "litres")):
                faults.add((*path, key), "has no meaning without litres", hint)


def _people(faults: Faults, path: Path, people: float, assumed: Assumed) -> Weight:
    if isnan(people):
        return Weight(people)
    if people != round(people):
        faults.add((*path, "people"), "must be a whole number", "Give the number of persons, or the mass in kg as mass")
    return Weight(people * assumed.take("masses.person", None, PERSON), people=round(people))


def _tank(faults: Faults, path: Path, table: Any, assumed: Assumed) -> Weight:
    if table.fluid is None:
        words = listed(f'"{f}"' for f in (*FLUIDS, "water"))
        faults.add((*path, "fluid"), "is missing", f"Write fluid = {words}")
    litres = table.litres * (1.0 if table.fill is None else table.fill)
    if litres == 0 and table.empty is None:
        rule = "leaves nothing that weighs"
        faults.add((*path, "fill"), rule, "Give empty, the mass of the tank itself, or leave this mass out")
    guess = FLUIDS.get(table.fluid)
    density = assumed.take(f"masses.{table.fluid}", None, guess) if guess and litres > 0 else WATER
    return Weight(litres * density + (table.empty or 0.0), litres=litres, fluid=table.fluid or "")
