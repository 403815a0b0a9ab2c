"""Which assumption moves the governing number most."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace

from numpy import float64
from numpy.typing import NDArray

from ladderfe.chassis import Assumption, Axle, Chassis, Criteria, with_assumption
from ladderfe.checks.peaks import peaks
from ladderfe.checks.rows import Rows, look_again, look_at
from ladderfe.checks.stress import Stresses
from ladderfe.errors import LadderFEError
from ladderfe.mesh import moved_places
from ladderfe.solve import Hanging, Solution, hanging_of, solve_chassis, vary

__all__ = ["Influence", "greatest_ratio", "rank_assumptions"]

Array = NDArray[float64]


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
    """A chassis with one assumption moved, and the governing utilisation found for it (None: no answer)."""

    chassis: Chassis | None
    ratio: float | None = None


def greatest_ratio(greatest: Array, criteria: Criteria, cases: slice) -> float:
    """Governing utilisation of some cases by their `Stresses.peaks`; the first of them is the condition on the scales
    and no case."""
    normal, mean, worst = greatest[:, cases.start + 1 : cases.stop].max(axis=1)
    return max(float(normal) / criteria.bending, float(mean) / criteria.shear, float(worst) / criteria.von_mises)


def rank_assumptions(
    chassis: Chassis, solution: Solution, rows: Rows, stress: Stresses, taper_steps: int
) -> tuple[Influence, ...]:
    """Every assumption moved to its low and high value, the rest as used; the one that matters most first.

    Where the frame stays the same all trials are solved together on the frame already factorised, and looked at in
    the same sections (`rows`, `stress` are those of `solution`).
    """
    used = greatest_ratio(stress.peaks, chassis.criteria, slice(0, len(solution.cases)))
    trials: dict[tuple[str, float], _Trial] = {}
    for a in chassis.assumptions:
        for value in (a.low, a.high):
            if value != a.used:
                trials[a.key, value] = _Trial(_moved(chassis, a.key, value))
    known = [t for t in trials.values() if t.chassis is not None]
    hanging = _answer_each(chassis, solution, stress, known, taper_steps)
    if hanging:
        try:
            _answer_together(solution, rows, hanging)
        except LadderFEError:  # one of them tips over, say: it has no answer, the others have theirs
            for pair in hanging:
                with suppress(LadderFEError):
                    _answer_together(solution, rows, [pair])

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


def _answer_together(solution: Solution, rows: Rows, hanging: list[tuple[_Trial, Hanging]]) -> None:
    """Fill in the ratios of trials that only hang otherwise on the same frame, in one solve."""
    answers, slices = vary(solution, [h for _, h in hanging])
    found = peaks(answers, look_again(rows, answers))
    for (t, _), own in zip(hanging, slices, strict=True):
        if t.chassis is not None:
            t.ratio = greatest_ratio(found, t.chassis.criteria, own)


def _answer_each(
    chassis: Chassis, solution: Solution, stress: Stresses, trials: list[_Trial], taper_steps: int
) -> list[tuple[_Trial, Hanging]]:
    """Fill in the ratios where limits alone or the whole frame change; the rest, where loads change, is returned."""
    hanging: list[tuple[_Trial, Hanging]] = []
    for t in trials:
        moved = t.chassis or chassis
        try:
            if not _same_parts(chassis, moved):
                s = solve_chassis(moved, taper_steps=taper_steps)
                t.ratio = greatest_ratio(peaks(s, look_at(s)), moved.criteria, slice(0, len(s.cases)))
            elif _same_loads(chassis, moved, solution):
                t.ratio = greatest_ratio(stress.peaks, moved.criteria, slice(0, len(solution.cases)))
            else:
                hanging.append((t, _hanging(chassis, solution, moved)))
        except LadderFEError:
            t.ratio = None
    return hanging


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


def _same_loads(a: Chassis, b: Chassis, solution: Solution) -> bool:
    """True where both carry the same in the same way; what takes hold only off level ground counts where it does."""
    same_axles = a.axles == b.axles if solution.off_level else _on_level(a) == _on_level(b)
    return same_axles and all(
        getattr(a, what) == getattr(b, what)
        for what in ("masses", "body", "cases", "mounts", "ground", "centre_height")
    )


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
