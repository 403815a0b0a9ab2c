"""Stress cycles between cases of a chassis: bounce about what it carries standing, twist to either side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.connections import Cycle, stress_ranges
from ladderfe.solve import Solution

__all__ = ["BOUNCE_FACTOR", "TWIST_SHARE", "CycleState", "Cycles", "stated_cycles", "usual_cycles"]

Array = NDArray[np.float64]

#: Factor of the bounce where the chassis file has no amplified case and no bounce (common practice, no source).
BOUNCE_FACTOR = 2.0
#: Share of twists among all cycles.  ASSUMED: no published table of cycles of light frames is known; state your own.
TWIST_SHARE = 0.01
#: Kinds of case that twist the frame, what recurs most often first.
TWISTS = ("cross-axle", "one wheel bump", "limit twist")


@dataclass(frozen=True, slots=True)
class CycleState:
    """One end of a cycle: a case of the solution, by its number, times a factor."""

    name: str
    case: int
    factor: float


@dataclass(frozen=True, slots=True)
class Cycles:
    """What goes to and fro: states, cycles between two of them by name, the names of these cycles, and notes in words
    on what was chosen or left out."""

    states: tuple[CycleState, ...]
    cycles: tuple[Cycle, ...]
    names: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def shares(self) -> Array:
        """(k,) share of each cycle."""
        return np.array([c.share for c in self.cycles])

    def ranges(self, stress: Array) -> Array:
        """(k, ...) ranges of stresses (..., c) of all cases of the solution."""
        ends = np.stack([stress[..., s.case] * s.factor for s in self.states])
        return stress_ranges([s.name for s in self.states], ends, self.cycles)[0]


def stated_cycles(chassis: Chassis, solution: Solution) -> Cycles | None:
    """The cycles that the chassis file or the plan states; None where it states none."""
    if not chassis.cycles:
        return None
    number = {c.name: k for k, c in enumerate(solution.cases) if k}
    names = dict.fromkeys(n for c in chassis.cycles for n in (c.first, c.second))
    return Cycles(
        tuple(CycleState(n, number[n], 1.0) for n in names),
        tuple(Cycle(first=c.first, second=c.second, share=c.share) for c in chassis.cycles),
        tuple(f"{c.first} to {c.second}" for c in chassis.cycles),
        ("The cycles and their shares are those that the file states.",),
    )


def usual_cycles(
    chassis: Chassis, solution: Solution, twist_share: float = TWIST_SHARE, how: str = "with --twist-share"
) -> Cycles:
    """Bounce between 1/f and f times what acts standing, and twist from one side to the other.

    f is the factor of the amplified case, else the greatest of the bounces, else `BOUNCE_FACTOR`.  Twist goes between
    two cases of one kind that push up opposite wheels, those without forces at mounts before others; where the file has
    none, bounce is the only cycle.  `how`: in words where one's own share is stated.
    """
    static, f, notes = _static(solution), *_factor(chassis)
    states = [CycleState(f"static/{f:g}", static, 1 / f), CycleState(f"static x {f:g}", static, f)]
    names = [f"bounce, 1/{f:g} to {f:g} times {solution.cases[static].name}"]
    pair = _twist(chassis, solution)
    if pair is None:
        notes.append("Twist: no two cases of the file twist the frame to either side, so no cycle of twist is looked "
                     "at; twist stresses rails near crossmembers most.")  # fmt: skip
        return Cycles(tuple(states), (Cycle(first=states[0].name, second=states[1].name, share=1.0),), tuple(names),
                      tuple(notes))  # fmt: skip
    states += pair
    names.append(f"twist, {pair[0].name} to {pair[1].name}")
    if pair[1].factor < 0 and solution.cases[pair[1].case].pulls:
        notes.append(f"ASSUMED: the other way the forces at mounts of {pair[0].name} turn round with the couple. Next: "
                     "where they do not, give a second case that pushes up the other wheel.")  # fmt: skip
    share = f"ASSUMED: {100 * twist_share:.3g} % of all cycles are twists"
    notes.append(f"{share} (no published table of cycles is known; state your own {how}).")
    cycles = (Cycle(first=states[0].name, second=states[1].name, share=1 - twist_share),
              Cycle(first=states[2].name, second=states[3].name, share=twist_share))  # fmt: skip
    return Cycles(tuple(states), cycles, tuple(names), tuple(notes))


def _static(solution: Solution) -> int:
    """The static case as it is, one without forces of its own before others; the condition as weighed (number 0) where
    the file has none."""
    own = [k for k, c in enumerate(solution.cases) if k and c.kind == "static" and c.times == 1]
    return min(own, key=lambda k: bool(solution.cases[k].pulls), default=0)


def _factor(chassis: Chassis) -> tuple[float, list[str]]:
    for kind in ("amplified", "bounce"):
        factors = [s.factor for s in chassis.cases if s.kind == kind and s.factor > 1]
        if factors:
            return max(factors), []
    words = f"ASSUMED: bounce goes to {BOUNCE_FACTOR:g} times the static load (common practice, no source), as no case "
    return BOUNCE_FACTOR, [words + "of the file states a factor."]


def _twist(chassis: Chassis, solution: Solution) -> list[CycleState] | None:
    number = {c.name: k for k, c in enumerate(solution.cases) if k}
    for kind in TWISTS:
        own = sorted((s for s in chassis.cases if s.kind == kind), key=lambda s: bool(s.forces))
        pair = [next((s for s in own if _raised(s) == side), None) for side in ("left", "right")]
        if pair[0] is not None and pair[1] is not None:
            return [CycleState(s.name, number[s.name], 1.0) for s in pair if s is not None]
        if own and kind == "limit twist":  # no weight in it: the other way is the same with all signs changed
            k = number[own[0].name]
            return [CycleState(own[0].name, k, 1.0), CycleState(f"{own[0].name}, the other way", k, -1.0)]
    return None


def _raised(spec: CaseSpec) -> str:
    """Which way a case twists, by the front wheel that it raises: a raised rear wheel twists as the other front one."""
    for wheel in spec.wheels:
        axle, side = wheel.split()
        return side if axle == "front" else {"left": "right", "right": "left"}[side]
    return ""
