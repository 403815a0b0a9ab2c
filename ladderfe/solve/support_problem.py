"""Links between a frame, its axles and the ground, condensed to small dense matrices."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import MechanismError, ModelError
from ladderfe.solve.frame import MOTIONS

__all__ = ["SupportProblem", "open_first"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

#: A motion that moves no link by more than this part of its usual movement is free.
FREE = 1e-9
#: Motions of the frame that stands and wheels hold: up and down, about x, about y.
TIPS = (2, 3, 4)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SupportProblem:
    """Links and what they hold.

    names (n); soft (n, n) = F + diag(c), mm/N; lever (n, m): columns are the frame's six rigid motions, then the axle
    unknowns; lowest (n,) N: -inf holds both ways, 0 pushes only, -x pulls up to x; engages (n,): open at first, takes
    hold after `gap` (n,) mm and pushes from 0 on; ground (n,): stands on the ground and is named when it tips (pushing
    links unless told otherwise); bodies: what the axle unknowns move.
    """

    names: tuple[str, ...]
    soft: Array
    lever: Array
    lowest: Array
    engages: BoolArray = field(default_factory=lambda: np.zeros(0, dtype=bool))
    gap: Array = field(default_factory=lambda: np.zeros(0))
    ground: BoolArray = field(default_factory=lambda: np.zeros(0, dtype=bool))
    bodies: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        n = len(self.names)
        if not len(self.engages):
            object.__setattr__(self, "engages", np.zeros(n, dtype=bool))
        if not len(self.gap):
            object.__setattr__(self, "gap", np.zeros(n))
        if not len(self.ground):
            object.__setattr__(self, "ground", np.isfinite(self.lowest) & ~self.engages)
        if np.any(self.lowest[self.engages] != 0):
            problem = "a link that takes hold after a gap must push from nothing on"
            raise ModelError("supports", problem, "Give it lowest = 0")

    @property
    def opens(self) -> BoolArray:
        """(n,) True where a link can open."""
        out: BoolArray = np.isfinite(self.lowest)
        return out

    def without_stops(self) -> SupportProblem:
        """The same without the links that take hold only after a gap."""
        k = ~self.engages
        return SupportProblem(
            names=tuple(n for n, keep in zip(self.names, k, strict=True) if keep),
            soft=self.soft[np.ix_(k, k)], lever=self.lever[k], lowest=self.lowest[k], engages=self.engages[k],
            gap=self.gap[k], ground=self.ground[k], bodies=self.bodies,
        )  # fmt: skip


def open_first(problem: SupportProblem) -> BoolArray:
    """(n,) links that are guessed open at first: stops and straps, or none where the rest cannot hold the frame.

    Raises MechanismError where not even all together can; ModelError where forces could grow between rigid links
    without straining anything, so that they are undetermined.
    """
    size = np.abs(problem.lever).max(axis=0)
    lever = problem.lever / np.where(size > 0, size, 1)
    for guess in (problem.engages, np.zeros(len(problem.names), dtype=bool)):
        left, part, motions = np.linalg.svd(lever[~guess])
        if len(part) == lever.shape[1] and part[-1] > FREE:
            _refuse_rigid_fight(problem, ~guess, left[:, len(part) :])
            return guess
    free = motions[-1]
    worst = int(np.abs(free).argmax())
    motion = MOTIONS[worst] if worst < 6 else f"move the {problem.bodies[worst - 6]}"
    tips = ", so it tips over" if worst in TIPS else ""
    hint = "Give it a support that acts in that direction; it takes three to stand on"
    raise MechanismError("supports", f"nothing holds the frame: free to {motion}{tips}", hint)


def _refuse_rigid_fight(problem: SupportProblem, down: BoolArray, stress: Array) -> None:
    """`stress` (down, r): patterns of forces in the links that are down and balance each other, self-stress."""
    if not stress.shape[1]:
        return
    energy, shape = np.linalg.eigh(stress.T @ problem.soft[np.ix_(down, down)] @ stress)
    if energy[0] > 1e-13 * max(energy[-1], float(np.diag(problem.soft).max())):
        return
    part = np.abs(stress @ shape[:, 0])
    names = [n for n, keep in zip(problem.names, down, strict=True) if keep]
    fighting = ", ".join(n for n, p in zip(names, part, strict=True) if p > 0.1 * part.max())
    hint = "Give one of them a rate in N/mm or take it away"
    raise ModelError("supports", f"rigid supports share a load in no certain way: {fighting}", hint)
