"""The greatest utilisation of many states of one frame: other wall thicknesses of stretches of its rails.

    v = Variants.of(chassis, [Stretch("left", 1000, 2000, "outer"), ...])
    found = v.answer(thickness)        # (states, stretches) mm; found.ratio, found.by_case, found.place(state)

Exact: each state is what `solve_chassis`, `look_at` and `stresses` say of the chassis with these walls; some are worked
out the plain way beside it in every call, and must agree.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import Stresses, stresses
from ladderfe.checks.utilisation import Utilisation, greatest, tables
from ladderfe.checks.variant_rows import (
    Fixed,
    Sampled,
    Stacked,
    alone,
    end_samples,
    every_varying,
    looked_at,
    sampled_stress,
    sizes,
    utilisation_bound,
    varying_mesh,
    varying_stack,
)  # fmt: skip
from ladderfe.checks.variant_tables import StackedTable, stacked_table
from ladderfe.errors import LadderFEError, ModelError
from ladderfe.mesh import OPEN
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.mesh.varied import Stretch
from ladderfe.solve.variants import Answers, Plan

__all__ = ["AGREE", "Found", "Place", "Stretch", "Variants", "in_processes", "plain_found"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Bools = NDArray[np.bool_]

#: States worked out both ways must agree this well, as a part of the greatest utilisation.
AGREE = 1e-9
#: Members alike within this are all looked at.
ALIKE = 1e-9
#: So many members of a state, where bounds are greatest, are measured first: what is left can mostly not be greater.
PROMISING = 8
#: States at a time: so many that numpy's calls weigh little and the arrays stay in the processor's cache.
AT_A_TIME = 32


@dataclass(frozen=True, slots=True)
class Place:
    """Where a utilisation is: member and distance x (mm) from its end 1, wall or point number, criterion (number in
    `CRITERIA`) and case (0 is the condition as weighed)."""

    member: int
    x: float
    point: int
    criterion: int
    case: int


@dataclass(frozen=True, eq=False)
class Found:
    """ratio (v,): greatest utilisation of every state; by_case (v, c): of every case of the user's; by_stretch (v, k):
    in the members of every stretch; these two nan where not asked for; places: of `ratio`.  failed: states without an
    answer (nan) and why.  plain: states that took the plain way; checked: how far those worked out both ways were
    apart."""

    ratio: Array
    by_case: Array
    by_stretch: Array
    places: tuple[Place | None, ...]
    failed: dict[int, str]
    plain: tuple[int, ...]
    checked: float = 0.0


class Asked(NamedTuple):
    """What is asked for beside the greatest of all: that of every case, and of every stretch."""

    case: bool = True
    stretch: bool = False


@dataclass(frozen=True, eq=False)
class Variants:
    """States of one chassis by the thickness of stretches of its rails' walls."""

    plan: Plan

    @staticmethod
    def of(
        chassis: Chassis, stretches: Sequence[Stretch], *, refine: int = 1, taper_steps: int = TAPER_STEPS
    ) -> Variants:
        """Lay a chassis out.  Raises as `Plan.of`."""
        return Variants(Plan.of(chassis, stretches, refine=refine, taper_steps=taper_steps))

    @cached_property
    def fixed(self) -> Fixed:
        """What members that stay take from the answers."""
        return Fixed(self.plan)

    @cached_property
    def of_stretch(self) -> NDArray[np.bool_]:
        """(k, members) which members a stretch covers."""
        mesh, out = self.plan.varied.mesh, []
        for s in self.plan.varied.stretches:
            part = mesh.part(f"{s.side} rail")
            middle = mesh.along.mean(axis=1)
            own = (middle > s.start) & (middle < s.end)
            own[: part.first] = own[part.last :] = False
            out.append(own)
        return np.array(out)

    def prepare(self) -> Variants:
        """Work out all that is worked out once."""
        _ = self.plan.still, self.plan.lever, self.plan.own_moments, self.fixed.four, self.fixed.by_member
        _ = self.of_stretch, self.plan.varying_lines
        return self

    def answer(
        self, thickness: Array, least: Array | None = None, *, check: int = 2, processes: int = 1,
        by_case: bool = True, by_stretch: bool = False,
    ) -> Found:  # fmt: skip
        """Utilisation of states (v, k) of the stretches' thicknesses, mm.

        least : thicknesses by which strength is judged; the same if None
        check : how many states (and that with the greatest utilisation) are worked out the plain way beside it
        processes : how many work at it
        by_case : tell the greatest of every case, else only that of all
        by_stretch : also tell the greatest in every stretch

        Raises ModelError where the two ways do not agree.
        """
        thickness = np.atleast_2d(np.asarray(thickness, dtype=float))
        least = thickness if least is None else np.atleast_2d(np.asarray(least, dtype=float))
        self.prepare()
        some = min(AT_A_TIME, -(-len(thickness) // max(processes, 1)))
        parts = [slice(i, i + some) for i in range(0, len(thickness), some)]
        work = partial(self._chunk, asked=Asked(by_case, by_stretch))
        pairs = [(thickness[p], least[p]) for p in parts]
        found = in_processes(lambda pair: work(*pair), pairs, processes)
        whole = _joined(found, parts)
        return replace(whole, checked=self._checked(whole, thickness, least, check))

    def _chunk(self, thickness: Array, least: Array, *, asked: Asked) -> Found:
        """A few states."""
        try:
            answers = self.plan.solve(thickness)
            table = stacked_table(answers.states.sections, self.plan.least_states(thickness, least))
        except LadderFEError:  # some section or other does not go with the rest
            return self._plainly(thickness, least, range(len(thickness)), None)
        found = _Greatest(self, answers, table, asked).found()
        return self._plainly(thickness, least, answers.failed, found)

    def _plainly(self, thickness: Array, least: Array, states: Iterable[int], found: Found | None) -> Found:
        """The same, these states taken the plain way."""
        v, k, cases = len(thickness), thickness.shape[1], len(self.plan.hanging.cases) - 1
        if found is None:
            none = np.full(v, np.nan)
            found = Found(none, np.full((v, cases), np.nan), np.full((v, k), np.nan), (None,) * v, {}, ())
        places, failed = list(found.places), {}
        own = list(states)
        for i in own:
            try:
                ratio, by_case, place = plain_found(self.plan, thickness[i], least[i])
                found.ratio[i], found.by_case[i], places[i] = ratio, by_case, place
            except LadderFEError as error:
                failed[i] = str(error)
                found.ratio[i] = found.by_case[i] = np.nan
                places[i] = None
        return replace(found, places=tuple(places), failed=failed, plain=tuple(i for i in own if i not in failed))

    def _checked(self, found: Found, thickness: Array, least: Array, check: int) -> float:
        """How far apart some states are both ways; ModelError beyond `AGREE`."""
        fast = [i for i in range(len(thickness)) if i not in found.plain and i not in found.failed]
        if not check or not fast:
            return 0.0
        own = {*np.linspace(0, len(fast) - 1, check).astype(int).tolist(), int(np.argmax(found.ratio[fast]))}
        apart = 0.0
        for i in (fast[j] for j in own):
            ratio, by_case, _ = plain_found(self.plan, thickness[i], least[i])
            off = np.abs(np.append(by_case - found.by_case[i], ratio - found.ratio[i]))
            apart = max(apart, float(np.nanmax(off)) / ratio)
        if not apart <= AGREE:
            raise ModelError(
                "variants", f"both ways of working states out are {apart:.1e} apart", "Work them out one by one"
            )
        return apart

    def utilisation(self, thickness: Sequence[float], least: Sequence[float] | None = None) -> Utilisation:
        """The governing utilisation of a state (k,), in words, by the plain way."""
        solution = self.plan.plain(thickness, least)
        rows = look_at(solution)
        every = greatest(solution, rows, stresses(solution, rows), self.plan.varied.chassis.criteria)
        return every[0]


def plain_found(plan: Plan, thickness: Array, least: Array) -> tuple[float, Array, Place]:
    """Utilisation, by case, and where, by the plain way."""
    solution = plan.plain(thickness.tolist(), least.tolist())
    rows = look_at(solution)
    stress = stresses(solution, rows)
    ratio, point = _ratios(stress, plan)
    top = ratio.max(axis=(0, 1))  # (c,)
    i, r, c = np.unravel_index(int(ratio[:, :, 1:].argmax()), ratio[:, :, 1:].shape)
    place = Place(int(rows.member[r]), float(rows.x[r]), int(point[i, r, c + 1]), int(i), int(c) + 1)
    return float(top[1:].max()), top[1:], place


def _ratios(stress: Stresses, plan: Plan) -> tuple[Array, IntArray]:
    """(criteria, r, c) greatest utilisation of every row, and at which of its points or walls."""
    ratio, point = [], []
    for _, values, _, limit in tables(stress, plan.varied.chassis.criteria):
        size = np.abs(values)
        at = size.argmax(axis=1)
        point.append(at)
        ratio.append(np.take_along_axis(size, at[:, None], axis=1)[:, 0] / limit)
    return np.stack(ratio), np.stack(point)


class _Greatest:
    """Some states on their way to the greatest utilisation: bounds, the most promising members, then all that can be
    greater than these."""

    def __init__(self, of: Variants, answers: Answers, table: StackedTable, asked: Asked) -> None:
        self.of, self.answers, self.table, self.plan = of, answers, table, of.plan
        v, cases = answers.states.count, len(self.plan.hanging.cases)
        mesh = self.plan.varied.mesh
        self.most = np.zeros((v, cases))
        self.places: list[Place | None] = [None] * v
        self.stretch = np.zeros((v, len(of.of_stretch)))
        self.asked = asked
        self.seen = np.zeros((v, len(mesh.ends)), dtype=bool)
        self.best = np.zeros(v)  # of rows looked at the plain way
        self.bound = np.zeros((v, len(mesh.ends), cases))  # of every member

    def found(self) -> Found:
        self._bounds()
        self._measure(np.arange(len(self.most))[:, None], self._promising())
        self._measure(*self._wanted())
        self.look(*self._wanted())
        by_case, by_stretch = self.most[:, 1:], self.stretch
        ratio = by_case.max(axis=1)
        return Found(
            ratio, by_case if self.asked.case else np.full_like(by_case, np.nan),
            by_stretch if self.asked.stretch else np.full_like(by_stretch, np.nan), tuple(self.places), {}, (),
        )  # fmt: skip

    def _promising(self) -> IntArray:
        """(v, k) members to be measured first, so that there is something to pass."""
        over = self.bound[:, :, 1:].max(axis=2)
        parts = [np.argsort(over, axis=1)[:, -PROMISING:]]
        if self.asked.case:
            parts.append(self.bound.argmax(axis=1))
        if self.asked.stretch:
            parts += [np.where(own, over, -1.0).argmax(axis=1)[:, None] for own in self.of.of_stretch]
        return np.concatenate(parts, axis=1)

    def _wanted(self) -> tuple[IntArray, IntArray]:
        """States and members that can be greater than what is known, or are that."""
        over = self.bound[:, :, 1:].max(axis=2)
        wanted = over >= self.most[:, None, 1:].max(axis=2) * (1 - ALIKE)
        if self.asked.case:
            wanted |= (self.bound >= self.most[:, None] * (1 - ALIKE)).any(axis=2)
        if self.asked.stretch:
            for k, own in enumerate(self.of.of_stretch):
                wanted |= own & (over >= self.stretch[:, k, None] * (1 - ALIKE))
        state, member = np.nonzero(wanted)
        return state, member

    def _bounds(self) -> None:
        answers, plan, fixed = self.answers, self.plan, self.of.fixed
        v, u, c = answers.still.shape
        sections, mesh = answers.states.sections, plan.varied.mesh
        every = sections.stacked(np.arange(len(mesh.sections)))
        warping = np.zeros(int(every.max()) + 1, dtype=bool)
        warping[sections.stacked(mesh.section_of[mesh.kind == OPEN]).ravel()] = True
        greatest = self.table.greatest(warping)
        limits = plan.varied.chassis.criteria, mesh.material
        ends = sections.stacked(mesh.end_sections)
        own = np.maximum(greatest[ends].max(axis=2), greatest[sections.stacked(mesh.section_of)])  # (v, m, 4, 8)
        if len(fixed.member):
            four = (fixed.four @ answers.still.transpose(1, 0, 2).reshape(u, v * c)).reshape(-1, 4, 9, v, c)
            self.four = four.transpose(3, 0, 1, 2, 4)
            found = utilisation_bound(sizes(self.four, mesh.kind[fixed.member] == OPEN), own[:, fixed.member], limits)
            np.maximum.at(self.bound, (np.arange(v)[:, None], fixed.member[None]), found)
        self.at_ends, inner = end_samples(every_varying(answers))
        size = np.maximum(self.at_ends.sizes(np.tile(mesh.kind[plan.varied.members] == OPEN, v)), inner).reshape(
            v, -1, 9, c
        )
        self.bound[:, plan.varied.members] = utilisation_bound(size, own[:, plan.varied.members], limits)
        self.long: Bools = np.asarray(inner.any(axis=(1, 2)))
        self.measured = np.zeros_like(self.seen)

    def _measure(self, state: IntArray, member: IntArray) -> None:
        """Narrower bounds for members (of states), and what they have at their ends."""
        new = np.zeros_like(self.seen)
        new[state, member] = True
        new &= ~self.measured
        self.measured |= new
        fixed, members = self.of.fixed, self.plan.varied.members
        if len(fixed.member):
            m, x, ends = fixed.samples()
            state, k = np.nonzero(new[:, m])
            if len(state):
                stack = alone(self.answers, fixed.mesh(self.answers, (state, m[k]), self.table))
                samples = Sampled(
                    np.arange(len(state)), x[k], self.four[state, k], ends[k], np.zeros((len(k), 9, self.most.shape[1]))
                )
                bound, here = sampled_stress(stack, samples)
                self._narrow(state, m[k], bound, here)
        state, number = np.nonzero(new[:, members])
        at = state * len(members) + number
        if len(at):
            samples = replace(self.at_ends.take(at), member=np.arange(len(at)))
            stack = alone(self.answers, varying_mesh(self.answers, (state, number), self.table))
            bound, here = sampled_stress(stack, samples)
            bound[np.asarray(self.long)[at]] = np.inf  # more happens between their ends
            self._narrow(state, members[number], bound, here)

    def _narrow(self, state: IntArray, member: IntArray, bound: Array, here: Array) -> None:
        narrow = np.zeros_like(self.bound)
        np.maximum.at(narrow, (state, member), bound)
        self.bound[state, member] = np.minimum(self.bound, narrow)[state, member]
        np.maximum.at(self.most, state, here)
        if self.asked.stretch:
            for k, own in enumerate(self.of.of_stretch):
                inside = own[member]
                np.maximum.at(self.stretch[:, k], state[inside], here[inside, 1:].max(axis=1))

    def look(self, state: IntArray, member: IntArray) -> None:
        """The plain way for members (of states) that were not looked at yet."""
        new = np.zeros_like(self.seen)
        new[state, member] = True
        new &= ~self.seen
        new[list(self.answers.failed)] = False
        self.seen |= new
        moving = np.zeros(new.shape[1], dtype=bool)
        moving[self.plan.varied.members] = True
        state, member = np.nonzero(new & ~moving)
        if len(state):
            self._take(state, member, self.of.fixed.stack(self.answers, (state, member), self.table))
        state, member = np.nonzero(new & moving)
        if len(state):
            number = np.searchsorted(self.plan.varied.members, member)
            self._take(state, member, varying_stack(self.answers, (state, number), self.table))

    def _take(self, state: IntArray, member: IntArray, stack: Stacked) -> None:
        rows, stress = looked_at(stack)
        ratio, point = _ratios(stress, self.plan)
        worst, of = ratio.max(axis=0), state[rows.member]
        before = self.best.copy()
        np.maximum.at(self.most, of, worst)
        np.maximum.at(self.best, of, worst[:, 1:].max(axis=1))
        if self.asked.stretch:
            over = worst[:, 1:].max(axis=1)
            for k, own in enumerate(self.of.of_stretch):
                inside = own[member[rows.member]]
                np.maximum.at(self.stretch[:, k], of[inside], over[inside])
        for v in np.flatnonzero(self.best > before).tolist():
            own_rows = np.flatnonzero(of == v)
            i, r, c = np.unravel_index(
                int(ratio[:, own_rows, 1:].argmax()), (len(ratio), len(own_rows), ratio.shape[2] - 1)
            )
            row = int(own_rows[r])
            self.places[v] = Place(
                int(member[rows.member[row]]), float(rows.x[row]), int(point[i, row, c + 1]), int(i), int(c) + 1
            )


def _joined(found: list[Found], parts: list[slice]) -> Found:
    failed: dict[int, str] = {}
    plain: list[int] = []
    for f, p in zip(found, parts, strict=True):
        failed |= {p.start + i: why for i, why in f.failed.items()}
        plain += [p.start + i for i in f.plain]
    ratio, by_case, by_stretch = (
        np.concatenate([getattr(f, n) for f in found]) for n in ("ratio", "by_case", "by_stretch")
    )
    return Found(ratio, by_case, by_stretch, tuple(p for f in found for p in f.places), failed, tuple(plain))


A = TypeVar("A")
B = TypeVar("B")
#: What processes do, and with what, set before they are forked: so they have all that is worked out already, and
#: nothing is sent to them but a number.
_WORK: list[tuple[Callable[[Any], Any], Sequence[Any]]] = []


def in_processes(work: Callable[[A], B], parts: Sequence[A], processes: int) -> list[B]:
    """The work on all parts, by so many processes forked from this one."""
    if processes < 2 or len(parts) < 2:
        return [work(p) for p in parts]
    from multiprocessing import get_context

    _WORK[:] = [(work, parts)]
    try:
        with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
            return list(pool.map(_call, range(len(parts))))
    finally:
        _WORK.clear()


def _call(number: int) -> Any:
    work, parts = _WORK[0]
    return work(parts[number])
