"""Which members can be where stress is greatest, in many states: bounds from a few places, then the plain way for these.

Between the ends of line loads resultants are all but cubics: at four equally spaced places of every such stretch they
are found at once, for members that stay by one product of matrices.  A member whose resultants, each taken at its
greatest and all adding up, cannot bring a wall point to what some member's end has, is left out.  The rest goes through
`look_at` and `stresses` like any frame's members.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Criteria, Material
from ladderfe.checks.cubic import AT_FOUR, cuts
from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.stress import PointTable, Stresses, Tabled, stresses
from ladderfe.elements import LineLoads
from ladderfe.elements.pieces import take_loads
from ladderfe.mesh import Mesh
from ladderfe.solve import Responses
from ladderfe.solve.variants import Answers, Plan

__all__ = ["Fixed", "end_sizes", "greatest_coefficients", "looked_at", "sizes", "utilisation_bound", "varying_stack"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: How far values between the four places may pass these, as a part of their spread: 1/8 for parabolas.
BEYOND = 0.25
#: Length of members, over that in which racking or warping dies out, up to which both ends tell all.
SHORT = 0.5


class Kernels:
    """What `Responses` asks of a frame: the members' kernels."""

    def __init__(self, kernels: object) -> None:
        self.kernels = kernels


@dataclass(frozen=True, eq=False)
class Fixed:
    """Members that stay: `four` (k, 4, 9, u) resultants at four places of their stretches per column of `Still`, of
    which member `member` (k,) is the owner; and the loads of each, for the plain way."""

    plan: Plan

    @cached_property
    def _cut(self) -> tuple[IntArray, Array, Array]:
        still = self.plan.still
        m, a, b = cuts(self.plan.still.lines, self.plan.varied.mesh.lengths)
        own = np.isin(m, still.members)
        return m[own], a[own], b[own]

    @property
    def member(self) -> IntArray:
        return self._cut[0]

    @cached_property
    def at_ends(self) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """(k,) whether a stretch begins, and ends, at the member's ends."""
        m, a, b = self._cut
        return a <= 1e-6, b >= self.plan.varied.mesh.lengths[m] - 1e-6

    @cached_property
    def four(self) -> Array:
        """(k x 4 x 9, u)."""
        plan, still = self.plan, self.plan.still
        m, a, b = self._cut
        x = (a[:, None] + AT_FOUR * (b - a)[:, None]).ravel()
        every = len(plan.varied.mesh.ends)
        ends, forces = np.zeros((2, every, *still.ends.shape[1:]))
        ends[still.members], forces[still.members] = still.ends, still.forces
        wide = np.zeros((len(still.lines), 3, 3, still.ends.shape[2]))
        first = len(plan.outer)
        wide[..., first : first + still.lines.cases] = still.lines.force
        lines = replace(still.lines, force=wide)
        out: Array = plan.frame.kernels.resultants(ends, forces, lines, np.repeat(m, 4), x)
        return out.reshape(-1, out.shape[2])

    @cached_property
    def by_member(self) -> dict[int, IntArray]:
        """Line loads of every member."""
        order = np.argsort(self.plan.still.lines.member, kind="stable")
        member = self.plan.still.lines.member[order]
        edges = np.searchsorted(member, np.arange(len(self.plan.varied.mesh.ends) + 1))
        return {m: order[edges[m] : edges[m + 1]] for m in self.plan.still.members.tolist()}

    def stack(self, answers: Answers, pairs: tuple[IntArray, IntArray], table: PointTable) -> Responses:
        """Members that stay, (state, member) by (state, member), as a frame's responses."""
        plan, still = self.plan, self.plan.still
        state, member = pairs
        mesh, at = plan.varied.mesh, np.searchsorted(still.members, member)
        z = answers.still[state]
        own = [self.by_member[m] for m in member.tolist()]
        which = np.concatenate(own) if own else np.zeros(0, dtype=np.int64)
        pair = np.repeat(np.arange(len(state)), [len(o) for o in own])
        first = len(plan.outer)
        amounts = z[pair][:, first : first + still.lines.cases]
        force = still.lines.coefficients[which] @ amounts
        line = take_loads(replace(still.lines, force=still.lines.force[..., :1]), which)
        lines = LineLoads(pair, line.start, line.end, line.point, force.reshape(len(which), 3, 3, -1))
        kernels = plan.frame.kernels.pieces(member, mesh.lengths[member])
        whole = _tabled(mesh, member, (answers.states.sections.stacked(mesh.section_of[member])[state, range(len(state))],
                        answers.states.sections.stacked(mesh.end_sections[member])[state, range(len(state))]), table)
        return _responses(answers, whole, kernels, (still.ends[at] @ z, still.forces[at] @ z), lines)


def _tabled(mesh: Mesh, member: IntArray, sections: tuple[IntArray, IntArray], table: PointTable) -> Tabled:
    values = {name: getattr(mesh, name) for name in Mesh.__dataclass_fields__}
    values |= {"lengths": mesh.lengths[member], "along": mesh.along[member], "kind": mesh.kind[member],
               "tapered": mesh.tapered[member], "section_of": sections[0], "end_sections": sections[1]}  # fmt: skip
    return Tabled(**values, table=table)


def _responses(
    answers: Answers, mesh: Mesh, kernels: object, moved: tuple[Array, Array], lines: LineLoads
) -> Responses:
    cases = answers.plan.hanging.cases
    return Responses(
        mesh=mesh, frame=Kernels(kernels), cases=cases, movements=moved[0], end_movements=moved[0],
        end_forces=moved[1], units=lines, fields=np.eye(len(cases)),
    )  # type: ignore[arg-type]  # fmt: skip


def varying_stack(answers: Answers, pairs: tuple[IntArray, IntArray] | None, table: PointTable) -> Responses:
    """Members that vary, stacked; pairs: (state, number among these), all of them where None."""
    plan, states = answers.plan, answers.states
    mesh, own = plan.varied.mesh, plan.varied.members
    v, m = states.count, len(own)
    state, number = (np.repeat(np.arange(v), m), np.tile(np.arange(m), v)) if pairs is None else pairs
    at = state * m + number
    section = states.sections.stacked(mesh.section_of[own]).reshape(-1)[at]
    ends = states.sections.stacked(mesh.end_sections[own]).reshape(-1, 2)[at]
    whole = _tabled(mesh, own[number], (section, ends), table)
    whole = replace(whole, lengths=states.lengths.ravel()[at], along=states.along.reshape(-1, 2)[at])
    moved = tuple(a.reshape(v * m, *a.shape[2:])[at] for a in (answers.ends, answers.forces))
    if pairs is None:
        return _responses(answers, whole, states.kernels, moved, answers.lines)
    place = np.full(v * m, -1)
    place[at] = np.arange(len(at))
    kept = np.flatnonzero(place[answers.lines.member] >= 0)
    lines = take_loads(answers.lines, kept)
    kernels = states.kernels.pieces(at, states.lengths.ravel()[at])
    return _responses(answers, whole, kernels, moved, replace(lines, member=place[lines.member]))


def utilisation_bound(resultants: Array, greatest: Array, limits: tuple[Criteria, Material]) -> Array:
    """(..., c) what stress over its limit cannot pass, from sizes of resultants (..., 9, c) and the greatest of a
    section's coefficients (..., 4, 8): normal, shear, mean, and across (its first)."""
    criteria, steel = limits
    normal, shear, mean = np.moveaxis(greatest[..., :3, :] @ resultants[..., :8, :], -2, 0)
    plate, nu = steel.youngs_modulus / (1 - steel.poissons_ratio**2), steel.poissons_ratio
    across = plate * greatest[..., 3, 0, None] * resultants[..., 8, :]
    worst = np.sqrt(normal**2 + across * ((1 - 2 * nu) * normal + (1 - nu + nu**2) * across) + 3 * shear**2)
    return np.maximum(np.maximum(normal / criteria.bending, mean / criteria.shear), worst / criteria.von_mises)


def greatest_coefficients(table: PointTable) -> Array:
    """(s, 4, 8) of every section the greatest size of its coefficients: normal, shear, mean, and across."""
    out = np.zeros((len(table.real), 4, 8))
    for k, a in enumerate((table.normal, table.shear, table.mean)):
        out[:, k] = np.abs(a).max(axis=1)
    out[:, 3, 0] = table.across.max(axis=1)
    return out


def sizes(four: Array) -> Array:
    """(..., 9, c) what resultants at four places (..., 4, 9, c) do not pass between these."""
    least, most = four.min(axis=-3), four.max(axis=-3)
    out: Array = np.maximum(np.abs(least), np.abs(most)) + BEYOND * (most - least)
    return out


def looked_at(stack: Responses) -> tuple[Rows, Stresses]:
    """Rows and stresses of a stack, the plain way."""
    rows = look_at(stack)
    return rows, stresses(stack, rows)


def end_sizes(stack: Responses) -> Array:
    """(n, 9, c) sizes that the resultants of stacked members do not pass, N Vy Vz T My Mz B, Tw or R, g.

    Of short members from both ends alone: between them these run all but straight, save for what line loads bring,
    at most their sum x length/4 to bending.  Of members longer than a part of the length over which racking or warping
    dies out from four places, as for members that stay.
    """
    kernels = stack.frame.kernels
    n, every = len(kernels), np.arange(len(kernels))
    length = stack.mesh.lengths
    two = _at_ends(stack)
    spread = np.abs(two[:, 1] - two[:, 0])
    out = np.abs(two).max(axis=1) + BEYOND * spread
    moment = np.zeros((n, out.shape[2]))
    span = stack.units.end - stack.units.start
    total = np.abs(stack.units.force[:, 0]).sum(axis=1) + sum(
        np.abs(stack.units.force[:, p]).sum(axis=1) * span[:, None] ** p for p in (1, 2)
    )
    np.add.at(moment, stack.units.member, total * span[:, None])
    out[:, 4:6] += (moment * length[:, None] / 4)[:, None]
    fast = np.zeros(n)
    fast[kernels.racking_at], fast[kernels.open_at] = kernels.racking.foundation.fastest, kernels.open.decay
    long = np.flatnonzero(fast * length > SHORT)
    if len(long):
        x = (AT_FOUR * length[long, None]).ravel()
        four = stack.resultants(np.repeat(every[long], 4), x).reshape(len(long), 4, 9, -1)
        out[long, 6:] = sizes(four)[:, 6:]
    return out


def _at_ends(stack: Responses) -> Array:
    """(n, 2, 9, c) resultants at both ends."""
    n = len(stack.mesh.lengths)
    x = np.stack([np.zeros(n), stack.mesh.lengths], axis=1).ravel()
    r = stack.resultants(np.repeat(np.arange(n), 2), x)
    return r.reshape(n, 2, 9, -1)
