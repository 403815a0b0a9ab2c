"""Bench tests of a chassis file: the bare frame held at three points, loaded by levers and read by dial gauges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ladderfe.chassis.drafts import Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import BenchPoint, BenchTest, Side

__all__ = ["read_bench_tests"]

APART = 1.0  # mm; points of one rail that are closer are one place
Points = tuple[BenchPoint, ...]


def read_bench_tests(faults: Faults, tables: Sequence[Any] | None, rails: Rails) -> list[BenchTest]:
    """All bench tests, forces in N; faults are noted."""
    return [_Test(faults, ("bench_tests", i), t, rails).read() for i, t in enumerate(tables or ())]


@dataclass(frozen=True, slots=True)
class _Test:
    faults: Faults
    path: Path
    table: Any
    rails: Rails

    def read(self) -> BenchTest:
        held, loads = self._points("held"), self._points("loads", "force", 1e3)
        gauges = self._points("gauges", "reading")
        if not self.faults.checked:
            self._check_held(held)
            self._check_loads(loads, held)
            if not gauges:
                rule = "has no dial gauge: nothing can be compared"
                self.faults.add((*self.path, "gauges"), rule, "Give each dial's place and reading", value="[]")
        return BenchTest(name=self.table.name, held=held, loads=loads, gauges=gauges)

    def _points(self, key: str, what: str = "", factor: float = 1.0) -> Points:
        out = []
        for k, point in enumerate(getattr(self.table, key)):
            sides = [r for r in self.rails if r.side == point.rail]
            note_off_rails(self.faults, (*self.path, key, k, "station"), sides, point.station)
            side: Side = point.rail
            out.append(BenchPoint(side, point.station, getattr(point, what) * factor if what else 0.0))
        return tuple(out)

    def _check_held(self, held: Points) -> None:
        """Three points that form a triangle."""
        place: Path = (*self.path, "held")
        if len(held) != 3:
            rule = "must be three points, no more and no fewer: on four the frame may rock or be strained"
            self.faults.add(place, rule, "Give the three places where the frame rests", value=str(len(held)))
        elif {p.side for p in held} in ({"left"}, {"right"}):
            rule = f"lie all on the {held[0].side} rail, so that the frame could roll over"
            self.faults.add(place, rule, "Hold the other rail at one of the three points", value="")
        for k, point in enumerate(held):
            same = next((i for i, p in enumerate(held[:k]) if _together(p, point)), None)
            if same is not None:
                rule = f"is the same place as held point {same + 1}"
                self.faults.add((*place, k), rule, "Give three different places", value=f"{point.station:g}")

    def _check_loads(self, loads: Points, held: Points) -> None:
        """Some force that moves the frame."""
        place: Path = (*self.path, "loads")
        acting = [p for p in loads if p.value != 0]
        if not acting:
            rule = "are all 0: nothing moves" if loads else "names no load"
            hint = "Give place and force of each lever or weight, in kN, upward positive"
            self.faults.add(place, rule, hint, value="" if loads else "[]")
        elif all(any(_together(p, h) for h in held) for p in acting):
            rule = "act on the points held, so that nothing moves"
            self.faults.add(place, rule, "Load the frame beside the points that hold it", value="")


def _together(a: BenchPoint, b: BenchPoint) -> bool:
    return a.side == b.side and abs(a.station - b.station) < APART
