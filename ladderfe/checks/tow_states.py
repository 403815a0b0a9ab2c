"""States of one frame under loads of any size, on the frame already factorised."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import load_cases
from ladderfe.cases.types import LoadCase
from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.checks.influence import greatest_ratio
from ladderfe.checks.peaks import peaks
from ladderfe.checks.rows import Rows, look_again, look_at
from ladderfe.checks.tow_loads import Load
from ladderfe.solve import Hanging, Solution, hanging_of
from ladderfe.solve.on_axles import as_weighed
from ladderfe.solve.respond import respond

__all__ = ["FrameState", "TowFrame"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class FrameState:
    """A frame under a load of a magnitude (N), see checks/limits.py: resultants (r, 9) at the frame's rows."""

    magnitude: float
    ratio: float
    tips: str
    resultants: Array
    frame: TowFrame

    def at(self, magnitude: float, other: FrameState) -> float:
        """The ratio on the straight line to another state of the same frame."""
        t = (magnitude - self.magnitude) / (other.magnitude - self.magnitude)
        return float(self.frame.ratios(((1 - t) * self.resultants + t * other.resultants)[:, :, None])[0])


class TowFrame:
    """A chassis on the factorised frame of a solution, which has all mounts that loads need, looked at in the same
    sections whatever the load: those of `rows`."""

    def __init__(self, chassis: Chassis, solution: Solution, rows: Rows | None = None) -> None:
        self.chassis, self.solution = chassis, solution
        self.hanging = hanging_of(chassis, solution.mesh)
        self.rows = look_at(solution) if rows is None else rows

    def ratios(self, resultants: Array) -> Array:
        """(c,) governing utilisation of resultants (r, 9, c) at the rows."""
        found = peaks(self.solution, replace(self.rows, resultants=resultants))
        return np.array(
            [greatest_ratio(found, self.chassis.criteria, slice(k - 1, k + 1)) for k in range(resultants.shape[2])]
        )

    def cases(self, specs: Sequence[CaseSpec]) -> tuple[LoadCase, ...]:
        """The condition on the scales and these cases."""
        return (as_weighed(), *load_cases(replace(self.chassis, cases=tuple(specs))))

    def hung(self, specs: Sequence[CaseSpec]) -> Hanging:
        """What hangs on the frame, in these cases."""
        return replace(self.hanging, cases=self.cases(specs))

    def states(self, points: Sequence[tuple[Load, float]]) -> list[FrameState]:
        """Loads of these sizes (N), all solved at once and looked at in the same sections."""
        hung = self.hung([load.spec(size) for load, size in points])
        answers, _, (found,) = respond(self.solution.mesh, self.solution.footing.factor, [hung])
        resultants = look_again(self.rows, answers).resultants[:, :, 1:]
        ratios = self.ratios(resultants)
        return [
            FrameState(
                magnitude=float(found.share[k + 1]) * size,
                ratio=float(ratios[k]),
                tips=found.tips[k + 1],
                resultants=resultants[:, :, k],
                frame=self,
            )
            for k, (_, size) in enumerate(points)
        ]
