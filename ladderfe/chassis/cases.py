"""Load cases of a chassis file, and the usual ones where it names none."""

from __future__ import annotations

from typing import Any, Final

from ladderfe.chassis.assumed import Assumed, Guess
from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import CaseSpec

__all__ = ["read_cases"]

FACTOR_SOURCE: Final = "course text on loads on vehicle structures, factor table"
FACTORS: Final = {
    "amplified": Guess("factor on all static loads", 2.0, 2.0, 3.0, "", f"{FACTOR_SOURCE}: 2 to 3 on roads"),
    "bounce": Guess(
        "factor on the springs of the axle that bounces", 2.0, 2.5, 3.0, "", f"{FACTOR_SOURCE}: 2 to 3 on roads"
    ),
    "one wheel bump": Guess(
        "factor on the limit couple of one wheel on a bump",
        1.3,
        1.3,
        1.8,
        "",
        f"{FACTOR_SOURCE}: 1.3 on roads, to 1.8 on rough ground",
    ),
}
#: What each kind of case may have beside its name.
TAKES: Final[dict[str, tuple[str, ...]]] = {
    "static": (),
    "amplified": ("factor",),
    "bounce": ("factor", "axle"),
    "limit twist": ("factor", "wheels"),
    "one wheel bump": ("factor", "wheels"),
    "raised": ("wheels", "height"),
}
#: Values that say nothing in a kind of case that does not take them.
NOTHING: Final[dict[str, tuple[Any, ...]]] = {"factor": (None, 1.0), "axle": (None, "both"), "wheels": (None,)}
DIAGONALS: Final = ({"front left", "rear right"}, {"front right", "rear left"})
USUAL_WHEEL: Final = "front left"


def read_cases(faults: Faults, tables: list[Any] | None, assumed: Assumed) -> list[CaseSpec]:
    """The load cases asked for; static, amplified and a bounce of each axle when none are."""
    if tables is None:
        amplified, bounce = (_factor(kind, None, assumed) for kind in ("amplified", "bounce"))
        return [
            CaseSpec(name="static", kind="static"),
            CaseSpec(name="amplified", kind="amplified", factor=amplified),
            CaseSpec(name="front axle bounce", kind="bounce", factor=bounce, axle="front"),
            CaseSpec(name="rear axle bounce", kind="bounce", factor=bounce, axle="rear"),
        ]
    if not tables:
        faults.add(("cases",), "is empty", "Add a [[cases]], or leave cases out for the usual ones")
    return [_case(faults, ("cases", i), t, assumed) for i, t in enumerate(tables)]


def _case(faults: Faults, path: Path, table: Any, assumed: Assumed) -> CaseSpec:
    kind: str = table.kind
    if kind in TAKES and not faults.checked:
        _check_keys(faults, path, table)
        _check_wheels(faults, (*path, "wheels"), kind, table.wheels)
    wheels = tuple(table.wheels or ())
    if "wheels" in TAKES.get(kind, ()) and table.wheels is None:
        wheels = (USUAL_WHEEL,)
    return CaseSpec(
        name=table.name,
        kind=kind,
        factor=_factor(kind, table.factor, assumed),
        axle=table.axle or "both",
        wheels=wheels,
        height=table.height or 0.0,
    )


def _factor(kind: str, stated: float | None, assumed: Assumed) -> float:
    if kind in FACTORS:
        return assumed.take(f"cases.{kind}.factor", stated, FACTORS[kind])
    return 1.0 if stated is None else stated


def _check_keys(faults: Faults, path: Path, table: Any) -> None:
    """Note what means nothing in a case of this kind, and what it lacks."""
    kind, takes = table.kind, TAKES[table.kind]
    for key in ("factor", "axle", "wheels", "height"):
        if key in takes or getattr(table, key) in NOTHING.get(key, (None,)):
            continue
        rule, hint = f"has no meaning in a case of kind {kind}", f"Write {_kinds_with(key)}, or leave {key} out"
        if kind == "static" and key == "factor":
            rule = "must be 1 in a static case, or be left out"
            hint = 'Write kind = "amplified" for a factor on all loads'
        faults.add((*path, key), rule, hint)
    if kind == "bounce" and table.axle is None:
        faults.add((*path, "axle"), "is missing", 'Write axle = "front", "rear" or "both"')
    if kind == "raised" and table.height is None:
        faults.add((*path, "height"), "is missing", "Give the height in mm by which the wheels are raised")


def _kinds_with(key: str) -> str:
    return "kind = " + listed(f'"{kind}"' for kind, takes in TAKES.items() if key in takes)


def _check_wheels(faults: Faults, path: Path, kind: str, wheels: list[str] | None) -> None:
    """One wheel is pushed up; one, or two on a diagonal, are raised."""
    if kind == "raised":
        hint = 'Write wheels = ["front left"], or two as in wheels = ["front left", "rear right"]'
        if wheels is None:
            faults.add(path, "is missing", hint)
        elif "" not in wheels and len(wheels) != 1 and set(wheels) not in DIAGONALS:
            faults.add(path, "must be one wheel or a diagonal pair", hint)
    elif "wheels" in TAKES[kind] and wheels is not None and len(wheels) != 1:
        rule = "must name one wheel, the one that is pushed up"
        faults.add(path, rule, f'Write wheels = ["{USUAL_WHEEL}"], or leave wheels out for that one')
