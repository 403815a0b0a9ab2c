"""What a load case of a chassis file must have and may not have: faults are noted, nothing is read."""

from __future__ import annotations

from typing import Any, Final

from ladderfe.chassis.case_kinds import KEYS, NOTHING, TAKES
from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.chassis.schema_cases import CASE_NEEDS

__all__ = ["check_case", "check_parts"]

DIAGONALS: Final = ({"front left", "rear right"}, {"front right", "rear left"})


def check_case(faults: Faults, path: Path, table: Any, places: Any) -> None:
    """Note what means nothing in a case of this kind, what it lacks, and names that stand for nothing."""
    if table.kind not in TAKES:
        return
    if not table.name and table.kind != "usual":
        faults.add((*path, "name"), "is missing", "Add name: its name")
    _check_keys(faults, path, table)
    _check_wheels(faults, (*path, "wheels"), table)


def _check_keys(faults: Faults, path: Path, table: Any) -> None:
    kind, takes = table.kind, TAKES[table.kind]
    for key in KEYS:
        if key in takes or getattr(table, key) in NOTHING.get(key, (None,)):
            continue
        rule, hint = f"has no meaning in a case of kind {kind}", f"Write {_kinds_with(key)}, or leave {key} out"
        if kind == "static" and key == "factor":
            rule = "must be 1 in a static case, or be left out"
            hint = 'Write kind = "amplified" for a factor on all loads'
        faults.add((*path, key), rule, hint)
    for key in CASE_NEEDS.get(kind, ()):
        if getattr(table, key) is None:
            faults.add((*path, key), "is missing", LACKING[key])


LACKING: Final = {
    "axle": 'Write axle = "front", "rear" or "both"',
    "height": "Give the height in mm by which the wheels are raised",
    "wheels": 'Write wheels = ["front left"], or two as in wheels = ["front left", "rear right"]',
    "at": "Name the mount",
    "of": "Name cases",
}


def _kinds_with(key: str) -> str:
    return "kind = " + listed(f'"{kind}"' for kind, takes in TAKES.items() if key in takes)


def _check_wheels(faults: Faults, path: Path, table: Any) -> None:
    """One wheel is pushed up; one, or two on a diagonal, are raised."""
    kind, wheels = table.kind, table.wheels
    if wheels is None or "wheels" not in TAKES[kind]:
        return
    if kind in ("raised", "cross-axle"):
        pair = set(wheels) in DIAGONALS and len(wheels) == 2
        if "" not in wheels and not pair and (kind == "cross-axle" or len(wheels) != 1):
            faults.add(path, "must be one wheel or a diagonal pair", LACKING["wheels"])
    elif len(wheels) != 1:
        rule = "must name one wheel, the one that is pushed up"
        faults.add(path, rule, 'Write wheels = ["front left"], or leave wheels out for that one')


def check_parts(faults: Faults, asked: list[tuple[int | None, Any]]) -> None:
    """Note combinations of cases that are not there or lead round in a circle, and names given twice."""
