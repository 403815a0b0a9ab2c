"""Masses that lie along both rails: the many places at which they are carried."""

from __future__ import annotations

from math import ceil, isnan
from typing import Any, Final

from ladderfe.chassis.drafts import RailDraft, Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import Mount

__all__ = ["CELL", "spread_mounts"]

#: Longest stretch of rail that one place stands for, mm.
CELL: Final = 100.0


def spread_mounts(faults: Faults, path: Path, name: str, table: Any, rails: Rails) -> list[Mount]:
    """Places on both rails, in the middle of equal stretches of `CELL` at most, named "<mass> left 1" and so on from
    front to rear; none where the stretch is faulty, which is noted.

    All alike, so that a mass in their middle loads each with the same, which is an even line load.
    """
    start, end = table.start, table.end
    if isnan(start + end):
        return []
    off = [any(r.misses(x) for r in rails) for x in (start, end)]
    for key, station in (("from", start), ("to", end)):
        note_off_rails(faults, (*path, key), rails, station)
    if end <= start:
        rule = f"must lie behind from, which is {start:g} mm"
        faults.add((*path, "to"), rule, "Give from and to from front to rear")
    if any(off) or end <= start:
        return []
    offset = 0.0 if table.offset is None else table.offset
    return [m for rail in rails for m in _on_rail(rail, name, (start, end), offset)]


def _on_rail(rail: RailDraft, name: str, stretch: tuple[float, float], offset: float) -> list[Mount]:
    start, end = stretch
    count = max(1, ceil((end - start) / CELL - 1e-9))
    stations = [start + (k + 0.5) * (end - start) / count for k in range(count)]
    return [
        Mount(
            name=f"{name} {rail.side} {k}",
            part=f"{rail.side} rail",
            station=x,
            y=rail.sign * (rail.half(x) + offset),
            height=rail.height(x),
            spread=True,
        )
        for k, x in enumerate(stations, 1)
    ]
