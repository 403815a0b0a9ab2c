"""Which cases stand beside each other in a chassis file, and which are added up: names once, no circles."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ladderfe.chassis.faults import Faults

__all__ = ["check_parts"]

Asked = list[tuple[int | None, Any]]


def check_parts(faults: Faults, asked: Asked) -> None:
    """Note names that a usual case has already, and combinations of cases that are not there or lead round in a circle.

    `asked` are all cases with their number in the file, None for those of the usual set.
    """
    usual = {t.name for i, t in asked if i is None}
    for i, table in asked:
        if i is not None and table.name in usual:
            rule, hint = "is already the name of a usual case", "Give each one a name of its own"
            faults.add(("cases", i, "name"), rule, hint)
    names = [t.name for _, t in asked if t.name]
    parts = {t.name: [p.case for p in t.of or ()] for _, t in asked if t.name}
    told: set[str] = set()
    for i, table in asked:
        for k, part in enumerate(table.of or ()):
            if i is None or not part.case:
                continue
            path = ("cases", i, "of", k, "case")
            if part.case not in names:
                others = [n for n in names if n != table.name]
                faults.unknown(path, part.case, ("cases",), others, "no case has this name")
            elif (circle := _circle(parts, table.name, part.case)) and not told & set(circle):
                told |= set(circle)
                words = " of ".join(f'"{n}"' for n in circle)
                faults.add(path, f"leads round in a circle: {words}", "Add up cases that are no part of each other")


def _circle(parts: Mapping[str, list[str]], first: str, second: str) -> list[str]:
    """The way from a case by one of its parts back to it, both ends named; empty where there is none."""
    ways, seen = [[first, second]], {second}
    while ways:
        way = ways.pop(0)
        if way[-1] == first:
            return way
        for name in parts.get(way[-1], ()):
            if name == first or name not in seen:
                seen.add(name)
                ways.append([*way, name])
    return []
