"""A chassis as found laid out for states of its walls, and what governs it in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from multiprocessing import get_all_start_methods
from os import cpu_count
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.walls import Walls, walls_of
from ladderfe.chassis import Chassis
from ladderfe.checks import Findings, check
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.utilisation import tables
from ladderfe.checks.variants import Place, Variants, plain_found
from ladderfe.condition import Found
from ladderfe.errors import ModelError
from ladderfe.mesh.varied import cut
from ladderfe.solve import Solution, solve_chassis

__all__ = ["AGREE", "COARSE", "Coarse", "Governing", "LaidOut", "compared", "laid_out", "only_cases", "processes"]

Array = NDArray[np.float64]
#: States worked out side by side and one by one agree this well, as a part of the utilisation.  Rounding: where tapers
#: that readings cut stand in many steps members are a millimetre or two long, which costs six digits of sixteen.
AGREE: Final = 1e-8
#: Taper steps of states may move utilisations by this part of the governing one: half of what the check lets halving
#: every member do to stress, and far below what a reading's tenth of a millimetre does.
COARSE: Final = 1e-3
#: So many times as many steps tell how far few steps are off: what is left falls at least as fast as steps grow.
FINER: Final = 4


@dataclass(frozen=True, slots=True)
class Governing:
    """What governs a state: part and wall, where along the part (mm), criterion, case; number: of the rail's wall
    that varies there, None elsewhere."""

    part: str
    along: float
    wall: str
    criterion: str
    case: str
    number: int | None


@dataclass(frozen=True, slots=True, eq=False)
class Coarse:
    """A chassis solved on fewer taper steps than its check took; apart: how far that moves utilisations, as a part of
    the governing one; ratio: the governing one; variants: states of it, once they are laid out."""

    taper_steps: int
    solution: Solution
    stresses: Stresses
    ratio: float
    apart: float
    variants: Variants | None = None

    @staticmethod
    def of(chassis: Chassis, steps: int, finer: dict[str, float]) -> Coarse:
        """Beside the finer one's greatest utilisation of every case."""
        solution = solve_chassis(chassis, taper_steps=steps)
        stress = stresses(solution, look_at(solution))
        limits = [limit for _, _, _, limit in tables(stress, chassis.criteria)]
        ratio = (stress.peaks / np.array(limits)[:, None]).max(axis=0)[1:]
        apart = np.abs(ratio - [finer[c.name] for c in solution.cases[1:]]).max() / max(finer.values())
        return Coarse(steps, solution, stress, float(ratio.max()), float(apart))


@dataclass(frozen=True, slots=True, eq=False)
class LaidOut:
    """The walls that vary, their thickness to begin with (w,) mm, and the check of that state; coarse: the same on
    fewer taper steps, where many states are to be worked out so."""

    found: Found
    walls: Walls
    base: Array
    findings: Findings
    coarse: Coarse | None = None

    @property
    def taper_steps(self) -> int:
        """Of the states."""
        return self.coarse.taper_steps if self.coarse else self.findings.taper_steps

    @property
    def apart(self) -> float:
        """How far the states' taper steps move utilisations, as a part of the governing one."""
        return self.coarse.apart if self.coarse else 0.0

    def coarser(self, trial: Array) -> LaidOut:
        """The same with as few taper steps as keep the utilisation of every case within `COARSE` of the check's, as a
        part of the governing one, and that of trial states (v, k) of the stretches within as much of what they come to
        with many more steps."""
        finer = {name: u.ratio for name, u in self.findings.first_of_cases().items()}
        steps, most = 1, self.findings.taper_steps
        while self.findings.solution.mesh.tapered.any() and steps < most:
            found = Coarse.of(cut(self.walls.chassis, self.walls.stretches), steps, finer)
            if found.apart <= COARSE:
                more = min(FINER * steps, most)
                tried = [self._variants(n) for n in (steps, more)]
                few, many = (v.answer(trial, check=0, processes=processes(), by_case=False).ratio for v in tried)
                left = FINER / (FINER - 1) if more < most else 1.0
                apart = left * float(np.nanmax(np.abs(few / many - 1), initial=0.0))
                if apart <= COARSE:
                    return replace(self, coarse=replace(found, apart=max(found.apart, apart), variants=tried[0]))
            steps *= 2
        return self

    def variants(self, cases: tuple[str, ...] = ()) -> Variants:
        """States of the chassis, of these cases only where any are named.  Raises as `Variants.of`."""
        laid = self.coarse.variants if self.coarse and not cases else None
        return laid or self._variants(self.taper_steps, cases)

    def _variants(self, steps: int, cases: tuple[str, ...] = ()) -> Variants:
        chassis = only_cases(self.walls.chassis, cases) if cases else self.walls.chassis
        return Variants.of(chassis, self.walls.stretches, taper_steps=steps)

    @property
    def ratio(self) -> float:
        """The governing utilisation to begin with."""
        return self.findings.utilisations[0].ratio

    def governing(self, place: Place, case: str) -> Governing:
        """A place of `Variants` in words."""
        own = self.coarse or self.findings
        mesh = own.solution.mesh
        part = mesh.parts[int(mesh.part_of()[place.member])]
        criterion, _, names, _ = tables(own.stresses, self.findings.chassis.criteria)[place.criterion]
        wall = names[int(mesh.section_of[place.member])][place.point]
        first, last = mesh.along[place.member].tolist()
        along = first + (last - first) * min(place.x / float(mesh.lengths[place.member]), 1.0)
        number = self._number(part.side, wall, (first + last) / 2) if part.kind == "rail" else None
        return Governing(part.name, along, wall, criterion, case, number)

    def _number(self, side: str, wall: str, along: float) -> int | None:
        """Of a wall of what is left of the section the wall that varies: lips go with their flange, and the web that
        is left of a box with the wall that it was.  along: the middle of the member, as its ends lie on two lengths."""
        own = [w for w in self.walls.walls if w.side == side and w.start <= along <= w.end]
        named = next((w for w in own if wall == w.wall or wall.startswith(f"{w.wall} ")), None)
        if named is None and wall == "web":
            last = [s for s in self.walls.stretches if s.side == side and s.wall == "web" and s.start <= along <= s.end]
            numbers = [int(self.walls.owner[self.walls.stretches.index(s)]) for s in last]
            return numbers[0] if numbers else None
        return None if named is None else self.walls.walls.index(named)


def laid_out(found: Found, *, by_mean: bool = False, progress: Callable[[str], None] = lambda _: None) -> LaidOut:
    """Lay out a chassis as found, strength and stiffness by the same walls, and check it.

    by_mean : by the mean of every place, else by what strength goes by as found

    Raises ModelError where no wall can vary, and what `check` raises.
    """
    walls = walls_of(found, by_mean=by_mean)
    findings = check(cut(walls.chassis, walls.stretches), assumptions=False, progress=progress)
    base = np.array([w.mean if by_mean else w.used for w in walls.walls])
    return LaidOut(found, walls, base, findings)


def only_cases(chassis: Chassis, names: tuple[str, ...]) -> Chassis:
    """The chassis with these cases, and those that they add up, in their order."""
    by_name = {c.name: c for c in chassis.cases}
    wanted, left = set[str](), list(names)
    while left:
        name = left.pop()
        if name not in wanted:
            wanted.add(name)
            left += [other for other, _ in by_name[name].of]
    return replace(chassis, cases=tuple(c for c in chassis.cases if c.name in wanted))


def processes() -> int:
    """How many processes may work at states."""
    return min(2, cpu_count() or 1) if "fork" in get_all_start_methods() else 1


def compared(of: Variants, states: Array, ratio: Array, numbers: Iterable[int]) -> float:
    """How far utilisations (v,) of states (v, k) are from those worked out one by one, for some of them, as a part of
    the latter.  ModelError beyond `AGREE`."""
    apart = 0.0
    for k in numbers:
        plain, _, _ = plain_found(of.plan, states[k], states[k])
        apart = max(apart, abs(float(ratio[k]) / plain - 1))
    if not apart <= AGREE:
        hint = "Please report the chassis file and the readings"
        raise ModelError("states", f"worked out side by side and one by one they are {apart:.1e} apart", hint)
    return apart
