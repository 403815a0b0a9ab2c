"""Which members can be where stress is greatest, in many states: bounds from a few places, then the plain way.

Between the ends of line loads resultants are all but cubics: at four equally spaced places of every such stretch they
are found at once, for members that stay by one product of matrices.  A member whose resultants, each taken at its
greatest and all adding up, cannot bring a wall point to what some member's end has, is left out.  The rest goes through
`look_at` and `stresses` like any frame's members.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, reduce
from typing import cast

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Criteria, Material
from ladderfe.checks.cubic import AT_FOUR, cuts
from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.stress import Stresses, Tabled, stresses
from ladderfe.checks.variant_tables import StackedTable
from ladderfe.elements import LineLoads
from ladderfe.elements.pieces import take_loads
from ladderfe.mesh import Mesh
from ladderfe.solve import Frame, Responses
from ladderfe.solve.variants import Answers, Plan

__all__ = [
    "Fixed",
    "Sampled",
    "Stacked",
    "alone",
    "end_samples",
    "every_varying",
    "long_ones",
    "looked_at",
    "sampled_stress",
    "sizes",
    "taken",
    "utilisation_bound",
    "varying_mesh",
    "varying_part",
    "varying_stack",
]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: How far values between the four places may pass these, as a part of their spread: 1/8 for parabolas.
BEYOND = 0.25
#: Length of members, over that in which racking or warping dies out, up to which both ends tell all.
SHORT = 0.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stacked(Responses):
    """Members of many states side by side, and the limits of their stress."""

    criteria: Criteria


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

    def samples(self) -> tuple[IntArray, Array, NDArray[np.bool_]]:
        """Member (k,), places (k, 4) and whether they are its ends."""
        m, a, b = self._cut
        ends = np.zeros((len(m), 4), dtype=bool)
        ends[:, 0], ends[:, 3] = self.at_ends
        return m, a[:, None] + AT_FOUR * (b - a)[:, None], ends

    def stack(self, answers: Answers, pairs: tuple[IntArray, IntArray], table: StackedTable) -> Stacked:
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
        whole = self.mesh(answers, pairs, table)
        return _responses(answers, whole, kernels, (still.ends[at] @ z, still.forces[at] @ z), lines)

    def mesh(self, answers: Answers, pairs: tuple[IntArray, IntArray], table: StackedTable) -> Mesh:
        """The mesh of such a stack alone."""
        state, member = pairs
        mesh, sections = self.plan.varied.mesh, answers.states.sections
        own = sections.stacked(mesh.section_of), sections.stacked(mesh.end_sections)
        return _tabled(mesh, member, (own[0][state, member], own[1][state, member]), table)


def _tabled(mesh: Mesh, member: IntArray, sections: tuple[IntArray, IntArray], table: StackedTable | None) -> Mesh:
    """Some members with stacked sections (k,), (k, 2); with the table of these where one is given."""
    values = {name: getattr(mesh, name) for name in Mesh.__dataclass_fields__}
    values |= {"lengths": mesh.lengths[member], "along": mesh.along[member], "kind": mesh.kind[member],
               "tapered": mesh.tapered[member], "section_of": sections[0], "end_sections": sections[1]}  # fmt: skip
    if table is None:
        return Mesh(**values)
    used, place = np.unique(np.concatenate([sections[0], sections[1].ravel()]), return_inverse=True)
    k = len(member)
    values |= {"section_of": place[:k], "end_sections": place[k:].reshape(-1, 2)}
    return Tabled(**values, table=table.take(used))


def _responses(answers: Answers, mesh: Mesh, kernels: object, moved: tuple[Array, Array], lines: LineLoads) -> Stacked:
    cases = answers.plan.hanging.cases
    return Stacked(
        mesh=mesh, frame=cast(Frame, Kernels(kernels)), cases=cases, movements=moved[0], end_movements=moved[0],
        end_forces=moved[1], units=lines, fields=np.eye(len(cases)), criteria=answers.plan.varied.chassis.criteria,
    )  # fmt: skip


def alone(answers: Answers, mesh: Mesh) -> Stacked:
    """Stacked members that are asked for nothing but stress from given resultants."""
    none = np.zeros((0, 16, len(answers.plan.hanging.cases)))
    return _responses(answers, mesh, None, (none, none), LineLoads.none(none.shape[2]))


def varying_mesh(answers: Answers, pairs: tuple[IntArray, IntArray], table: StackedTable | None) -> Mesh:
    """Members that vary, (state, number among these) by (state, number), no pair twice."""
    plan, states = answers.plan, answers.states
    mesh, own = plan.varied.mesh, plan.varied.members
    state, number = pairs
    at = state * len(own) + number
    section = states.sections.stacked(mesh.section_of[own]).reshape(-1)[at]
    ends = states.sections.stacked(mesh.end_sections[own]).reshape(-1, 2)[at]
    whole = _tabled(mesh, own[number], (section, ends), table)
    return replace(whole, lengths=states.lengths.ravel()[at], along=states.along.reshape(-1, 2)[at])


def every_varying(answers: Answers) -> Stacked:
    """All members that vary, stacked; of their sections no more than numbers."""
    v, m = answers.ends.shape[:2]
    mesh = varying_mesh(answers, (np.repeat(np.arange(v), m), np.tile(np.arange(m), v)), None)
    ends, forces = (a.reshape(v * m, *a.shape[2:]) for a in (answers.ends, answers.forces))
    return _responses(answers, mesh, answers.states.kernels, (ends, forces), answers.lines)


def varying_part(answers: Answers, every: Stacked, pairs: tuple[IntArray, IntArray]) -> Stacked:
    """Of `every_varying` the members, as in `varying_mesh`; of their sections no more than numbers."""
    at = pairs[0] * answers.ends.shape[1] + pairs[1]
    return replace(taken(every, at), mesh=varying_mesh(answers, pairs, None))


def varying_stack(answers: Answers, pairs: tuple[IntArray, IntArray], table: StackedTable) -> Stacked:
    """Members that vary, as `varying_mesh`, stacked."""
    at = pairs[0] * answers.ends.shape[1] + pairs[1]
    return replace(taken(every_varying(answers), at), mesh=varying_mesh(answers, pairs, table))


def taken(stack: Stacked, at: IntArray) -> Stacked:
    """Of a stack the members `at`, none twice; the mesh stays that of all."""
    place = np.full(len(stack.end_forces), -1)
    place[at] = np.arange(len(at))
    lines = take_loads(stack.units, np.flatnonzero(place[stack.units.member] >= 0))
    kernels = Kernels(stack.frame.kernels.pieces(at, stack.mesh.lengths[at]))
    moved, forces = stack.end_movements[at], stack.end_forces[at]
    return replace(
        stack, frame=cast(Frame, kernels), movements=moved, end_movements=moved, end_forces=forces,
        units=replace(lines, member=place[lines.member]),
    )  # fmt: skip


def utilisation_bound(resultants: Array, greatest: Array, limits: tuple[Criteria, Material]) -> Array:
    """(..., c) what stress over its limit cannot pass, from sizes of resultants (..., 9, c) and the greatest of a
    section's coefficients (..., 4, 8): normal, shear, mean, and across (its first)."""
    criteria, steel = limits
    normal, shear, mean = np.moveaxis(greatest[..., :3, :] @ resultants[..., :8, :], -2, 0)
    plate, nu = steel.youngs_modulus / (1 - steel.poissons_ratio**2), steel.poissons_ratio
    across = plate * greatest[..., 3, 0, None] * resultants[..., 8, :]
    worst = np.sqrt(normal**2 + across * ((1 - 2 * nu) * normal + (1 - nu + nu**2) * across) + 3 * shear**2)
    out: Array = np.maximum(np.maximum(normal / criteria.bending, mean / criteria.shear), worst / criteria.von_mises)
    return out


def sizes(places: Array, warps: NDArray[np.bool_]) -> Array:
    """(..., k, 9, c) what resultants at some places (..., k, q, 9, c) of k stretches do not pass between these; of
    members that warp (k,) St-Venant's torque in place of T."""
    out = _size(np.moveaxis(places, -3, 0))
    if warps.any():
        uniform = (places[..., 3, :] - places[..., 7, :])[..., warps, :, :]
        out[..., warps, 3, :] = _size(np.moveaxis(uniform, -2, 0))
    return out


def _size(places: Array) -> Array:
    """What values at some places (q, ...) do not pass between these."""
    least, most = reduce(np.minimum, places), reduce(np.maximum, places)
    out: Array = np.maximum(most, -least)
    out += BEYOND * (most - least)
    return out


def looked_at(stack: Stacked) -> tuple[Rows, Stresses]:
    """Rows and stresses of a stack, the plain way."""
    rows = look_at(stack)
    return rows, stresses(stack, rows)


@dataclass(frozen=True, eq=False)
class Sampled:
    """Stretches of stacked members at some places: member (k,) of stretch; x, resultants (k, q), (k, q, 9, c); ends
    (k, q) True at ends of members.  more (k, 9, c): what resultants may be beyond the places' greatest and spread."""

    member: IntArray
    x: Array
    resultants: Array
    ends: NDArray[np.bool_]
    more: Array

    def take(self, index: IntArray) -> Sampled:
        """Those in `index`."""
        return Sampled(self.member[index], self.x[index], self.resultants[index], self.ends[index], self.more[index])

    def sizes(self, warps: NDArray[np.bool_]) -> Array:
        """(k, 9, c) what resultants do not pass; warps (k,): as `sizes` counts."""
        out = sizes(self.resultants, warps) + self.more
        out[warps, 3] += self.more[warps, 7]
        return out


def end_samples(stack: Stacked) -> tuple[Sampled, Array]:
    """Stacked members at both ends; and (n, 9, c) sizes at four places in place of those of B, Tw or R and g.

    Between the ends of short members resultants run all but straight, save for what line loads bring: at most their
    sum x length/4 to bending.  In members longer than a part of the length over which racking or warping dies out these
    are taken at four places (0 in others).
    """
    kernels, length = stack.frame.kernels, stack.mesh.lengths
    n, every = len(length), np.arange(len(length))
    two = kernels.at_ends(stack.end_movements, stack.end_forces)
    more = np.zeros((n, 9, two.shape[3]))
    lines = stack.units
    span = (lines.end - lines.start)[:, None] ** np.arange(1, 4)
    total = (span[:, None] @ reduce(np.add, np.abs(np.moveaxis(lines.force, 2, 0))))[:, 0]
    force, torque = np.zeros((2, n, two.shape[3]))
    np.add.at(force, lines.member, total)
    np.add.at(torque, lines.member, total * (np.linalg.norm(lines.point, axis=1) + length[lines.member])[:, None])
    more[kernels.open_at, 7] = torque[kernels.open_at]
    more[:, 4] = more[:, 5] = force * length[:, None] / 4
    long = long_ones(stack)
    x = np.stack([np.zeros(n), length], axis=1)
    inner = np.zeros_like(more)
    if len(long):
        at, own = (AT_FOUR * length[long, None]).ravel(), np.repeat(np.arange(len(long)), 4)
        four = taken(stack, long).resultants(own, at).reshape(len(long), 4, 9, -1)
        inner[long, 6:] = _size(np.moveaxis(four[:, :, 6:], 1, 0))
    return Sampled(every, x, two, np.ones((n, 2), dtype=bool), more), inner


def long_ones(stack: Stacked) -> IntArray:
    """Which of stacked members are longer than both ends tell of."""
    kernels, fast = stack.frame.kernels, np.zeros(len(stack.mesh.lengths))
    fast[kernels.racking_at], fast[kernels.open_at] = kernels.racking.foundation.fastest, kernels.open.decay
    return np.flatnonzero(fast * stack.mesh.lengths > SHORT)


def sampled_stress(stack: Stacked, samples: Sampled) -> tuple[Array, Array]:
    """(k, c) what utilisation does not pass in every stretch, point by point, and what it is at the members' ends."""
    k, q = samples.x.shape
    member, cases = np.repeat(samples.member, q), samples.resultants.shape[3]
    rows = Rows(member, samples.x.ravel(), samples.x.ravel(), np.zeros(k * q, dtype=bool),
                samples.resultants.reshape(k * q, 9, cases))  # fmt: skip
    s = stresses(stack, rows)
    mesh, criteria = stack.mesh, stack.criteria
    own = mesh.section_of[samples.member]
    coefficient = [np.abs(a).max(axis=1)[own] for a in (s.table.normal, s.table.shear, s.table.mean)]
    more = np.stack(coefficient, axis=1) @ samples.more[:, :8]  # (k, 3, c)
    parts = []
    for values, extra in (
        (s.normal, more[:, 0]),
        (s.shear, more[:, 1]),
        (s.mean, more[:, 2]),
        (s.across, 0 * more[:, 0]),
    ):
        v = values.reshape(k, q, -1, cases)
        parts.append(np.abs(v).max(axis=1) + BEYOND * (v.max(axis=1) - v.min(axis=1)) + extra[:, None])
    normal, shear, mean, across = parts
    nu = mesh.material.poissons_ratio
    worst = normal**2 + across * ((1 - 2 * nu) * normal + (1 - nu + nu**2) * across) + 3 * shear**2
    bound = [normal.max(axis=1) / criteria.bending, mean.max(axis=1) / criteria.shear,
             np.sqrt(worst.max(axis=1)) / criteria.von_mises]  # fmt: skip
    here = [np.abs(s.normal).max(axis=1) / criteria.bending, np.abs(s.mean).max(axis=1) / criteria.shear,
            s.von_mises.max(axis=1) / criteria.von_mises]  # fmt: skip
    sure = np.abs(s.normal).max(axis=1) / min(criteria.bending, criteria.von_mises)
    whole = (samples.more[:, 7] == 0).all(axis=1).repeat(q)  # Tw at the ends left out what loads bring to it
    known = np.where(whole[:, None], np.max(here, axis=0), sure).reshape(k, q, cases)
    return np.max(bound, axis=0), np.where(samples.ends[..., None], known, 0.0).max(axis=1)
