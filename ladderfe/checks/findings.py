"""The main job: a chassis in, findings out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from ladderfe.chassis import Chassis
from ladderfe.checks.buckling import Buckling, buckling
from ladderfe.checks.influence import Influence, rank_assumptions
from ladderfe.checks.proofs import Proof
from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.selfcheck import TAPER_LIMIT, doubling_difference, self_check
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.solve import Solution, solve_chassis

if TYPE_CHECKING:
    from ladderfe.checks.found import AsFound

__all__ = ["APART", "Findings", "check"]

#: Tapers are refined at most this often; each time halves the step and quarters the error.
MOST_REFINEMENTS = 5
#: Places of one wall further apart than this, mm, are told one by one.
APART = 500.0
#: A stress below this part of the governing one is rounding.
NOTHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Findings:
    """All that a check found: the chassis, its solution, the sections looked at with their stresses, the greatest
    utilisation of every case, part, wall and criterion (governing first), what thin walls lose by local buckling, the
    proofs and what the assumptions move; `as_found`: where walls are as they were read, how that differs from as built;
    `taper_steps`: into how many steps tapers had to be divided.
    """

    chassis: Chassis
    solution: Solution
    rows: Rows
    stresses: Stresses
    utilisations: tuple[Utilisation, ...]
    buckling: Buckling
    proofs: tuple[Proof, ...]
    influences: tuple[Influence, ...]
    as_found: AsFound | None = None
    taper_steps: int = TAPER_STEPS

    @property
    def proven(self) -> bool:
        """True where every proof holds."""
        return all(p.holds for p in self.proofs)

    @property
    def exceeded(self) -> bool:
        """True where some stress is over its limit, on whole walls or on what local buckling leaves of thin ones, or
        the force at a spring seat over that of its web."""
        return self.utilisations[0].ratio > 1 or self.buckling.exceeded

    def first_of_cases(self) -> dict[str, Utilisation]:
        """The governing utilisation of every case, by its name, in the order of the cases."""
        first: dict[str, Utilisation] = {}
        for u in self.utilisations:
            first.setdefault(u.case, u)
        return {c.name: first[c.name] for c in self.solution.cases[1:]}

    def cases_over(self) -> tuple[tuple[str, float], ...]:
        """Cases over a limit, thin walls and spring seats counted, with their greatest utilisation; the furthest over
        first."""
        thin = self.buckling.by_case()
        ratio = {name: max(u.ratio, thin.get(name, 0.0)) for name, u in self.first_of_cases().items()}
        over = [(name, r) for name, r in ratio.items() if r > 1]
        return tuple(sorted(over, key=lambda pair: -float(f"{pair[1]:.9g}")))

    def governing(self, count: int = 10) -> tuple[Utilisation, ...]:
        """The greatest utilisation of every part and wall whatever the case and criterion, the first `count` of them;
        of a wall also what is more than `APART` mm from where it is told already.

        A corner belongs to two walls: it is told once, with the wall that comes first.  Parts that carry nothing but
        rounding are left out.
        """
        least = NOTHING * self.utilisations[0].ratio
        walls: dict[tuple[str, str], list[float]] = {}
        places: set[tuple[str, str, int, frozenset[str]]] = set()
        out: list[Utilisation] = []
        for u in self.utilisations:
            place = (u.part, u.criterion, round(u.along), _corner(u.point))
            told = walls.setdefault((u.part, u.wall), [])
            if all(abs(u.along - a) > APART for a in told):
                told.append(u.along)
                if u.ratio > least and place not in places:
                    out.append(u)
            places.add(place)
        return tuple(out[:count])


@lru_cache(maxsize=256)
def _corner(point: str) -> frozenset[str]:
    """The walls that meet at a point: "top, inner edge" is "inner, top edge"."""
    return frozenset(point.replace(" edge", "").split(", "))


def check(
    chassis: Chassis,
    *,
    assumptions: bool = True,
    progress: Callable[[str], None] = lambda _: None,
    taper_steps: int = TAPER_STEPS,
) -> Findings:
    """Solve all cases of a chassis, prove the solution, and compare every stress with its limit.

    assumptions : also move every assumption to its low and high value and rank them; `progress` is told what is done.
    taper_steps : into how many steps tapers are divided at least, for frames that are to have members alike

    Raises ModelError where loads contradict each other, MechanismError where the frame is not held together.
    """
    solution, doubled, steps, apart = _refined(chassis, taper_steps, progress)
    rows = look_at(solution)
    stress = stresses(solution, rows)
    utilisations = greatest(solution, rows, stress, chassis.criteria)
    thin = buckling(solution, rows, stress, chassis.criteria)
    progress("proving the solution")
    proofs = self_check(chassis, solution, doubled, apart)
    influences: tuple[Influence, ...] = ()
    if assumptions and chassis.assumptions:
        progress("moving the assumptions")
        influences = rank_assumptions(chassis, solution, rows, stress, steps)
    return Findings(chassis, solution, rows, stress, utilisations, thin, proofs, influences, taper_steps=steps)


def _refined(
    chassis: Chassis, least: int, progress: Callable[[str], None]
) -> tuple[Solution, Solution, int, float]:
    """A solution whose tapers are fine enough, the same with every member halved, its steps per taper, and the
    `doubling_difference` of the two."""
    for refinement in range(MOST_REFINEMENTS + 1):
        steps = least * 2**refinement
        progress(f"solving the frame, tapers in {steps} steps" if refinement else "solving the frame")
        solution, doubled = (solve_chassis(chassis, taper_steps=steps, refine=k) for k in (1, 2))
        apart = doubling_difference(solution, doubled)
        if not solution.mesh.tapered.any() or apart <= TAPER_LIMIT:
            break
    return solution, doubled, steps, apart
