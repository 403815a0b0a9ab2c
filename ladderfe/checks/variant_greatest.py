"""The greatest utilisation of states that are solved: bounds of all members, then those that can be greater.

A few members whose bounds are greatest are measured first, so that there is something to pass; all that can pass it are
looked at the plain way.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.stress import Stresses
from ladderfe.checks.utilisation import tables
from ladderfe.checks.variant_rough import rough_sizes
from ladderfe.checks.variant_rows import (
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
    varying_part,
    varying_stack,
)  # fmt: skip
from ladderfe.checks.variant_tables import StackedTable
from ladderfe.mesh import OPEN
from ladderfe.solve.variants import Answers, Plan

if TYPE_CHECKING:
    from ladderfe.checks.variants import Variants

__all__ = ["Asked", "Found", "Greatest", "Place", "ratios"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Bools = NDArray[np.bool_]

#: Members whose bounds come this near to what is known are looked at, too: bounds take what racking brings to short
#: boxes as straight between their ends, and it was seen to pass that by up to a tenth of itself.
NEAR = 0.1
#: So many members of a state, where bounds are greatest, are measured first: what is left can mostly not be greater.
PROMISING = 4


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


def ratios(stress: Stresses, plan: Plan) -> tuple[Array, IntArray]:
    """(criteria, r, c) greatest utilisation of every row, and at which of its points or walls."""
    ratio, point = [], []
    for _, values, _, limit in tables(stress, plan.varied.chassis.criteria):
        size = np.abs(values)
        at = size.argmax(axis=1)
        point.append(at)
        ratio.append(np.take_along_axis(size, at[:, None], axis=1)[:, 0] / limit)
    return np.stack(ratio), np.stack(point)


class Greatest:
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
        state, member = np.nonzero(self._possible())
        return state, member

    def _possible(self) -> Bools:
        """(v, m) the same."""
        over = self.bound[:, :, 1:].max(axis=2)
        wanted: Bools = over >= self.most[:, None, 1:].max(axis=2) * (1 - NEAR)
        if self.asked.case:
            wanted |= (self.bound >= self.most[:, None] * (1 - NEAR)).any(axis=2)
        if self.asked.stretch:
            for k, own in enumerate(self.of.of_stretch):
                wanted |= own & (over >= self.stretch[:, k, None] * (1 - NEAR))
        return wanted

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
        self.own, self.limits = own[:, plan.varied.members], limits
        self.every = every_varying(answers)
        rough, holds = rough_sizes(self.every, by_case=self.asked.case)
        found = utilisation_bound(rough.reshape(v, -1, *rough.shape[1:]), self.own, limits)
        self.bound[:, plan.varied.members] = np.where(holds.reshape(v, -1, 1), found, np.inf)
        self.measured = np.zeros_like(self.seen)
        self._closer(*np.nonzero(~holds.reshape(v, -1)))

    def _closer(self, state: IntArray, number: IntArray) -> tuple[Sampled, Bools]:
        """Closer bounds for members that vary (of states), by what they have at their ends; and which of them are so
        long that more happens between these."""
        members = self.plan.varied.members
        stack = varying_part(self.answers, self.every, (state, number))
        samples, inner = end_samples(stack)
        size = np.maximum(samples.sizes(stack.mesh.kind == OPEN), inner)
        found = utilisation_bound(size, self.own[state, number], self.limits)
        at = state, members[number]
        self.bound[at] = np.minimum(self.bound[at], found)
        return samples, np.asarray(inner.any(axis=(1, 2)))

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
        if len(state):
            samples, long = self._closer(state, number)
            left = self._possible()[state, members[number]]
            state, number, samples, long = state[left], number[left], samples.take(np.flatnonzero(left)), long[left]
        if len(state):
            samples = replace(samples, member=np.arange(len(state)))
            stack = alone(self.answers, varying_mesh(self.answers, (state, number), self.table))
            bound, here = sampled_stress(stack, samples)
            bound[long] = np.inf  # more happens between their ends
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
        ratio, point = ratios(stress, self.plan)
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
