"""Which assumption moves the governing number most."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import inf

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, load_cases
from ladderfe.chassis import Assumption, Axle, Chassis, Criteria, with_assumption
from ladderfe.checks.peaks import peaks
from ladderfe.checks.rows import Rows, look_again, look_at
from ladderfe.checks.stress import Stresses
from ladderfe.errors import LadderFEError
from ladderfe.mesh import moved_places
from ladderfe.solve import Hanging, Solution, hanging_of, solve_chassis, vary

__all__ = ["Influence", "greatest_ratio", "rank_assumptions"]

Array = NDArray[np.float64]
#: What of a chassis says how it is loaded beside axles and cases.
HUNG = ("masses", "body", "mounts", "ground", "centre_height")


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """An assumption and the governing utilisation with its low and its high value; None where the model then
    contradicts itself (for instance a line load that turns negative)."""

    assumption: Assumption
    at_low: float | None
    at_high: float | None
    used: float

    @property
    def reach(self) -> float:
        """Greatest change of the governing utilisation."""
        return max((abs(v - self.used) for v in (self.at_low, self.at_high) if v is not None), default=0.0)


@dataclass(slots=True)
class _Trial:
    """A chassis with one assumption moved, and the governing utilisation found for it (None: no answer).  rest (3, c):
    `peaks` of the cases that it leaves as they are."""

    chassis: Chassis | None
    ratio: float | None = None
    rest: Array = field(default_factory=lambda: np.zeros((3, 0)))


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """A hanging that tells of some trials, and which of its cases (by number) are those of each."""

    hanging: Hanging
    trials: tuple[tuple[_Trial, range], ...]

    def alone(self) -> list[_Asked]:
        """The same for each trial by itself."""
        weighed, *cases = self.hanging.cases
        every = [(t, cases[own.start - 1 : own.stop - 1]) for t, own in self.trials]
        return [
            _Asked(replace(self.hanging, cases=(weighed, *own)), ((t, range(1, 1 + len(own))),)) for t, own in every
        ]


def greatest_ratio(greatest: Array, criteria: Criteria, cases: slice) -> float:
    """Governing utilisation of some cases by their `Stresses.peaks`; the first of them is the condition on the scales
    and no case."""
    return _governing(greatest[:, cases.start + 1 : cases.stop], criteria)


def _governing(greatest: Array, criteria: Criteria) -> float:
    normal, mean, worst = greatest.max(axis=1)
    return max(float(normal) / criteria.bending, float(mean) / criteria.shear, float(worst) / criteria.von_mises)


def rank_assumptions(
    chassis: Chassis, solution: Solution, rows: Rows, stress: Stresses, taper_steps: int
) -> tuple[Influence, ...]:
    """Every assumption moved to its low and high value, the rest as used; the one that matters most first.

    Where the frame stays the same all trials are solved together on the frame already factorised, and looked at in
    the same sections (`rows`, `stress` are those of `solution`).
    """
    greatest = stress.peaks
    used = greatest_ratio(greatest, chassis.criteria, slice(0, len(solution.cases)))
    trials: dict[tuple[str, float], _Trial] = {}
    for a in chassis.assumptions:
        for value in (a.low, a.high):
            if value != a.used:
                trials[a.key, value] = _Trial(_moved(chassis, a.key, value))
    known = [t for t in trials.values() if t.chassis is not None]
    asked = _answer_each(chassis, (solution, rows), greatest, known, taper_steps)
    if asked:
        _answer(solution, rows, asked)

    def at(a: Assumption, value: float) -> float | None:
        return used if value == a.used else trials[a.key, value].ratio

    found = [
        Influence(assumption=a, at_low=at(a, a.low), at_high=at(a, a.high), used=used) for a in chassis.assumptions
    ]
    return tuple(sorted(found, key=lambda i: -round(i.reach, 9)))  # what differs by rounding keeps the file's order


def _moved(chassis: Chassis, key: str, value: float) -> Chassis | None:
    try:
        return with_assumption(chassis, key, value)
    except LadderFEError:
        return None


def _answer(solution: Solution, rows: Rows, asked: Sequence[_Asked]) -> None:
    """Fill in the ratios of trials that only hang otherwise on the same frame, in one solve."""
    try:
        _answer_together(solution, rows, asked)
    except LadderFEError:  # one of them tips over, say: it has no answer, the others have theirs
        each = asked if len(asked) > 1 else asked[0].alone() if len(asked[0].trials) > 1 else ()
        for one in each:
            _answer(solution, rows, [one])


def _answer_together(solution: Solution, rows: Rows, asked: Sequence[_Asked]) -> None:
    answers, slices = vary(solution, [a.hanging for a in asked])
    trials = [(t, own.start, cases) for a, own in zip(asked, slices, strict=True) for t, cases in a.trials]
    group = np.full(len(answers.cases), len(trials))  # as weighed, which is no case of a trial
    for k, (_, first, cases) in enumerate(trials):
        group[first + cases.start : first + cases.stop] = k
    found = peaks(answers, look_again(rows, answers), group)
    for k, (t, _, _) in enumerate(trials):
        if t.chassis is not None:
            t.ratio = _governing(np.concatenate([found[:, [k]], t.rest], axis=1), t.chassis.criteria)


def _answer_each(
    chassis: Chassis, solved: tuple[Solution, Rows], greatest: Array, trials: list[_Trial], taper_steps: int
) -> list[_Asked]:
    """Fill in the ratios where limits alone or the whole frame change; what is to be asked for the rest, where loads
    change, is returned.  greatest: `peaks` of the solution."""
    solution, rows = solved
    asked: list[_Asked] = []
    changed: list[tuple[_Trial, list[LoadCase]]] = []
    for t in trials:
        moved = t.chassis or chassis
        stiffer = _times_stiffer(chassis, moved, solution)
        try:
            if stiffer != 1:
                hanging = replace(_hanging(chassis, solution, moved), stiffer=stiffer)
                asked.append(_of_one(t, hanging, hanging.cases[1:]))
            elif not _same_parts(chassis, moved):
                s = solve_chassis(moved, taper_steps=taper_steps, like=solution)
                t.ratio = greatest_ratio(peaks(s, _look(s, solution, rows)), moved.criteria, slice(0, len(s.cases)))
            elif _same_on_level(chassis, moved):
                other_axles = chassis.axles != moved.axles
                cases = _changed_cases(t, moved, solution, greatest, other_axles=other_axles)
                if not cases:
                    t.ratio = _governing(t.rest, moved.criteria)
                elif other_axles:
                    asked.append(_of_one(t, _hanging(chassis, solution, moved), cases))
                else:
                    changed.append((t, cases))
            else:
                hanging = _hanging(chassis, solution, moved)
                asked.append(_of_one(t, hanging, hanging.cases[1:]))
        except LadderFEError:
            t.ratio = None
    return [*asked, _in_one(hanging_of(chassis, solution.mesh), changed)] if changed else asked


def _look(s: Solution, like: Solution, rows: Rows) -> Rows:
    """The sections of another frame: those looked at in the one solved, where its members are as long."""
    alike = np.array_equal(s.mesh.ends, like.mesh.ends) and np.array_equal(s.mesh.lengths, like.mesh.lengths)
    return look_again(rows, s) if alike else look_at(s)


def _of_one(trial: _Trial, hanging: Hanging, cases: Sequence[LoadCase]) -> _Asked:
    """A hanging with these cases that tells of one trial."""
    return _Asked(replace(hanging, cases=(hanging.cases[0], *cases)), ((trial, range(1, 1 + len(cases))),))


def _changed_cases(
    trial: _Trial, moved: Chassis, solution: Solution, greatest: Array, *, other_axles: bool
) -> list[LoadCase]:
    """The cases that a trial changes, with those that add up some of them and all that these add up; what the others
    come to (`greatest`: `peaks` of the solution) is put down as its `rest`.  other_axles: also those off level, for
    springs pull, or stops and straps give, otherwise."""
    cases = load_cases(moved)
    off = solution.off_level[1:]
    new = {c.name for c, old, o in zip(cases, solution.cases[1:], off, strict=True) if c != old or (o and other_axles)}
    for _ in cases:  # sums of sums
        new |= {c.name for c in cases if any(name in new for name, _ in c.of)}
    trial.rest = greatest[:, [k for k, c in enumerate(cases, 1) if c.name not in new]]
    for _ in cases:
        new |= {name for c in cases if c.name in new for name, _ in c.of}
    return [c for c in cases if c.name in new]


def _in_one(hanging: Hanging, changed: Iterable[tuple[_Trial, list[LoadCase]]]) -> _Asked:
    """One hanging with the cases of all trials that change nothing else, by names of their own."""
    cases, trials = [hanging.cases[0]], list[tuple[_Trial, range]]()
    for k, (t, own) in enumerate(changed):
        trials.append((t, range(len(cases), len(cases) + len(own))))
        cases += [
            replace(c, name=f"{k}: {c.name}", of=tuple((f"{k}: {name}", times) for name, times in c.of)) for c in own
        ]
    return _Asked(replace(hanging, cases=tuple(cases)), tuple(trials))


def _times_stiffer(chassis: Chassis, moved: Chassis, solution: Solution) -> float:
    """How many times as stiff as the frame solved that of another chassis is, all of it alike: where the modulus of
    its steel is all that differs, and no joint has a stiffness that the file states.  1 else."""
    was, now = chassis.material, moved.material
    times = now.youngs_modulus / was.youngs_modulus
    if times == 1 or replace(now, youngs_modulus=was.youngs_modulus) != was:
        return 1.0
    stated = any(j.given and any(0 < k < inf for k in j.stiffness) for j in solution.mesh.joints)
    return 1.0 if stated or not _same_parts(chassis, replace(moved, material=was)) else times


def _same_parts(a: Chassis, b: Chassis) -> bool:
    """True where both make the same frame."""
    if (
        a.material != b.material
        or a.joint_level != b.joint_level
        or a.joint_model != b.joint_model
        or a.rails != b.rails
        or a.crossmembers != b.crossmembers
        or a.outriggers != b.outriggers
        or a.diaphragms != b.diaphragms
    ):
        return False
    return [(m.part, m.station, m.y) for m in a.mounts] == [(m.part, m.station, m.y) for m in b.mounts] and all(
        p.seats == q.seats and _stations(p) == _stations(q) for p, q in zip(a.axles, b.axles, strict=True)
    )


def _stations(axle: Axle) -> list[object]:
    """Where an axle asks for nodes beside its seats."""
    anchor = axle.torsion_bar and (axle.torsion_bar, axle.spring_base)
    return [*((side, place[0]) for _, side, place in axle.brackets()), anchor]


def _same_on_level(a: Chassis, b: Chassis) -> bool:
    """True where both carry the same in the same way as long as they stand level, in as many cases of the same
    names."""
    same_names = [c.name for c in a.cases] == [c.name for c in b.cases]
    return same_names and _on_level(a) == _on_level(b) and all(getattr(a, name) == getattr(b, name) for name in HUNG)


def _on_level(chassis: Chassis) -> tuple[Axle, ...]:
    """The axles without what does nothing while all wheels stand, no spring pulls and no stop or strap is reached."""
    return tuple(replace(a, pull=None, bump_rate=None, strap_rate=None) for a in chassis.axles)


def _hanging(chassis: Chassis, solution: Solution, moved: Chassis) -> Hanging:
    """What hangs on the frame; its places are found anew only where springs or mounts sit elsewhere."""
    same = chassis.mounts == moved.mounts and all(
        p.spring_base == q.spring_base and p.brackets() == q.brackets()
        for p, q in zip(chassis.axles, moved.axles, strict=True)
    )
    return hanging_of(moved, solution.mesh if same else moved_places(solution.mesh, moved))
