"""The least repair of a catalogue that brings a frame to a target: by metres of weld, then by mass.

Candidates are all combinations of one option of each choice.  Weld and mass of all of them are counted first, which
needs no solution; then they are solved in that order, and the first that meets the target is the least, for all that
are less were solved before it.  Nothing else is assumed of how metal acts: more metal is no better as a rule, since
load moves to what is stiffer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import product

from ladderfe.advice.states import looked_at
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.repair_welds import metres_by_kind, weld_runs
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.condition.catalogue import NOTHING, Catalogue, Option, plan_of
from ladderfe.condition.repaired import Repaired, repaired
from ladderfe.errors import LadderFEError
from ladderfe.mesh import build_mesh, frame_mass
from ladderfe.mesh.build import TAPER_STEPS

__all__ = ["Candidate", "LeastRepair", "least_repair"]

#: Weld and mass that differ by less than this part are alike, so that rounding decides nothing.
ALIKE = 9
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One combination: number in the order of the file, what it is, metres of weld, mass of the frame (t), and its
    governing utilisation, None where it was not solved; `problem`: why it cannot be."""

    number: int
    options: tuple[Option, ...]
    weld: float
    mass: float
    worst: Utilisation | None = None
    problem: str = ""

    @property
    def words(self) -> tuple[str, ...]:
        """Its pieces."""
        return tuple(o.words for o in self.options if o.words != NOTHING)

    @property
    def order(self) -> tuple[float, float, int]:
        """What it is ranked by."""
        return float(f"{self.weld:.{ALIKE}g}"), float(f"{self.mass:.{ALIKE}g}"), self.number


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeastRepair:
    """candidates: ranked by weld, then mass; solved: how many were; least: the first that meets the target, None where
    none does; best: the lowest utilisation of those solved; found: findings of the frame as found; now: of the least
    (of the best where there is none) with its self-check."""

    catalogue: Catalogue
    candidates: tuple[Candidate, ...]
    least: Candidate | None
    best: Candidate | None
    found: Findings
    now: Findings | None

    @property
    def solved(self) -> int:
        return sum(c.worst is not None for c in self.candidates)

    @property
    def shown(self) -> Candidate | None:
        """What `now` belongs to."""
        return self.least or self.best


def least_repair(catalogue: Catalogue, *, every: bool = False, progress: Tell = lambda _: None) -> LeastRepair:
    """Search a catalogue; every: solve all candidates, also those that are more than the least."""
    progress("as found")
    start = repaired(plan_of(catalogue, tuple(Option(words=NOTHING) for _ in catalogue.choices)))
    found = check(start.found.chassis, assumptions=False)
    steps = found.taper_steps or TAPER_STEPS
    combinations = list(enumerate(product(*(c.options for c in catalogue.choices))))
    counted: list[Candidate] = []
    for n, options in combinations:
        progress(f"counting weld and mass, {n + 1} of {len(combinations)}")
        counted.append(_counted(catalogue, n, options))
    out: list[Candidate] = []
    least: Candidate | None = None
    ranked = sorted(counted, key=lambda c: c.order)
    for k, candidate in enumerate(ranked):
        if not candidate.problem and (least is None or every):
            progress(f"solving, {k + 1} of {len(ranked)}")
            candidate = _solved(catalogue, candidate, steps)
            if least is None and candidate.worst is not None and candidate.worst.ratio <= catalogue.target:
                least = candidate
        out.append(candidate)
    done = [c for c in out if c.worst is not None]
    best = min(done, key=lambda c: c.worst.ratio if c.worst else 0.0, default=None)
    shown = least or best
    now = None
    if shown is not None:
        progress("self-check of what was found")
        now = check(_states(catalogue, shown.options).chassis, assumptions=False, taper_steps=steps)
    return LeastRepair(catalogue=catalogue, candidates=tuple(out), least=least, best=best, found=found, now=now)


def _states(catalogue: Catalogue, options: tuple[Option, ...]) -> Repaired:
    return repaired(plan_of(catalogue, options))


def _counted(catalogue: Catalogue, number: int, options: tuple[Option, ...]) -> Candidate:
    """A candidate with its weld and mass."""
    plain = Candidate(number=number, options=options, weld=0.0, mass=0.0)
    if clash := _clash(options):
        return replace(plain, problem=clash)
    try:
        states = _states(catalogue, options)
        mass = frame_mass(build_mesh(states.chassis)).mass
    except LadderFEError as error:
        return replace(plain, problem=str(error))
    return replace(plain, weld=sum(metres_by_kind(weld_runs(states)).values()), mass=mass)


def _clash(options: tuple[Option, ...]) -> str:
    """Two pieces let in at one place."""
    inserts = [i for o in options for i in o.inserts]
    for k, one in enumerate(inserts):
        for two in inserts[:k]:
            same = one.side == two.side and set(one.walls) & set(two.walls)
            if same and one.start < two.end - 1 and two.start < one.end - 1:
                return f"{two.name} and {one.name} overlap"
    return ""


def _solved(catalogue: Catalogue, c: Candidate, steps: int) -> Candidate:
    """A candidate with its greatest utilisation."""
    try:
        chassis = _states(catalogue, c.options).chassis
        seen = looked_at(chassis, steps)
    except LadderFEError as error:
        return replace(c, problem=str(error))
    return replace(c, worst=greatest(seen.solution, seen.rows, seen.stresses, chassis.criteria)[0])
