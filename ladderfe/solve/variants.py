"""Many states of one frame: other wall thicknesses of its rails, everything else as it is; exact.

What does not depend on the walls is condensed once (`variant_still`).  What does is worked out for many states side by
side: sections, members, loads (`variant_members`, `variant_loads`), runs of members condensed to their ends
(`variant_chains`), and one small dense matrix per state for what is left.  Joints, the residual and contact take the
plain way state by state: they are small.  Where a joint finds other freedoms than as laid out, or loads contradict
each other, the state is told as one for the plain way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Carried, carried_masses
from ladderfe.elements import PLACES, LineLoads
from ladderfe.errors import LadderFEError
from ladderfe.solve.equilibrium import equilibrium
from ladderfe.solve.frame import WARPING
from ladderfe.solve.variant_band import Factors
from ladderfe.solve.variant_chains import condense, recover
from ladderfe.solve.variant_contact import Condensed
from ladderfe.solve.variant_loads import own_lines
from ladderfe.solve.variant_mass import state_moments
from ladderfe.solve.variant_members import States, by_end
from ladderfe.solve.variant_plan import Laid
from ladderfe.solve.variant_plates import bridge_states, plate_states

__all__ = ["Answers", "Plan"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Answers:
    """v states solved for c cases, the first being the condition as weighed.

    states: what varies.  load (v, 12, c), force (v, r, c): body fields and forces along the support rows.  still
    (v, u, c): amounts of the columns of `Still`.  ends, forces (v, m, 16, c) of the members that vary; lines: line
    loads (v x k) of those, numbered as stacked.  failed: states without an answer here, and why; searched:
    those whose supports were searched for anew.
    """

    plan: Plan
    states: States
    load: Array
    force: Array
    still: Array
    ends: Array
    forces: Array
    lines: LineLoads
    failed: dict[int, str]
    searched: list[int]


@dataclass(frozen=True, eq=False)
class Plan(Laid):
    """A chassis and its stretches laid out, ready to be solved in many states."""

    def solve(self, thickness: Array) -> Answers:
        """States (v, k) of the stretches' thicknesses, mm."""
        states = States.of(self.varied, self.sections, np.asarray(thickness, dtype=float))
        return _Chunk(self, states).answers()


class _Chunk:
    """Some states on their way to answers."""

    def __init__(self, plan: Plan, states: States) -> None:
        self.plan, self.states = plan, states
        self.failed = dict.fromkeys(states.odd, "a joint has other freedoms")
        self.searched: list[int] = []

    def answers(self) -> Answers:
        amounts = self._amounts()
        lines = self._unit_lines(amounts)
        m, v = len(self.plan.varied.members), self.states.count
        ends = self.states.kernels.equivalent_loads(lines).reshape(v, m, 2 * PLACES, 6)
        loads = (self.states.transform.swapaxes(3, 4) @ by_end(ends, 2)).reshape(ends.shape)
        own, chains = self.plan.chains
        k, f, kept = condense(chains, own, self.states.stiffness, loads)
        factors, halfway, rows = self._outer(k, f, ends, amounts)
        load, force = self._equilibrium(halfway, rows, amounts, loads)
        outer = factors.movements(halfway @ np.concatenate([load, force], axis=1))
        padded = np.concatenate([outer, np.zeros((v, 1, outer.shape[2]))], axis=1)
        still = np.concatenate([outer, load, amounts @ load[:, :6], force], axis=1)
        moved = self._moved(padded, kept, load)
        case_lines = _by_case(lines, load, m)
        natural, stiffness = self.states.natural
        forces = natural.swapaxes(2, 3) @ (stiffness @ (natural @ moved)) - ends @ load[:, None, :6]
        return Answers(
            self.plan, self.states, load, force, still, moved, forces, case_lines, self.failed, self.searched
        )

    def _amounts(self) -> Array:
        """(v, p, 6) amounts of the patterns in use per body field."""
        plan, found = self.plan, []
        moments = state_moments(self.states, plan.own_moments)
        lines = plan.hanging.carried.lines
        for v in range(self.states.count):
            try:
                carried = carried_masses(plan.varied.chassis, *moments.of(v))
            except LadderFEError as error:
                self.failed[v], carried = str(error), plan.hanging.carried
            found.append(carried)
        size = np.array([[(x.at_start, x.at_end) for x in c.lines] for c in found]).reshape(len(found), len(lines), 2)
        self.carried: list[Carried] = found
        height = None if plan._level_lines else np.array([c.lines[0].height for c in found], dtype=float)
        patterns, used = plan.patterns
        return patterns.amounts(size, height)[:, used]

    def _unit_lines(self, amounts: Array) -> LineLoads:
        """Line loads of the stacked members that vary, per body field: own mass, then line masses."""
        s, plan = self.states, self.plan
        mesh, m = plan.varied.mesh, len(plan.varied.members)
        rows, of = s.sections.rows, s.section_of
        start = (s.nodes[:, mesh.ends[plan.varied.members, 0]] + s.arms[:, :, 0]).reshape(-1, 3)
        metal = rows.metal[of] * mesh.material.density, rows.centroid[of]
        own = own_lines(start, s.axes.reshape(-1, 3, 3), s.lengths.ravel(), metal)
        number, line = plan.varying_lines
        k = len(number)
        force = (line.force.reshape(k * 9, -1) @ amounts).reshape(-1, 3, 3, 6)
        member = (np.arange(s.count)[:, None] * m + number).ravel()
        start, end = (np.tile(a, s.count) for a in (line.start, line.end))
        more = LineLoads(member, start, end, np.tile(line.point, (s.count, 1)), force)
        return LineLoads.join([own, more])

    def _outer(self, k: Array, f: Array, ends: Array, amounts: Array) -> tuple[Factors, Array, Array]:
        """Factors of the matrices of the outer unknowns; loads by body fields and unit forces along the rows (12 + r),
        halfway to movements; and what `_equilibrium` needs of the rows."""
        plan, s, v = self.plan, self.plan.still, self.states.count
        b, r, p = len(plan.outer), s.supports, s.patterns
        right = np.zeros((v, b + 1, 12 + r))
        right[:, :b, :12], right[:, :b, 12:] = s.loads[:, :12], s.loads[:, 12 + p :]
        right[:, :b, :6] += s.loads[:, 12 : 12 + p] @ amounts
        parts: list[tuple[IntArray, Array]] = []
        for i, (one, two) in enumerate(plan.chains[1].ends.tolist()):
            at = np.concatenate([plan.at_node(one), plan.at_node(two)])
            parts.append((at, k[:, i]))
            _add_rows(right[:, :, :6], at, f[:, i])
        parts += self._jointed(right, ends)
        for held in plan.held.values():
            if held.node in plan.varied.nodes:
                both = np.concatenate([held.masses, held.rows], axis=1)
                _add_rows(right, plan.at_node(held.node), self.states.place_map(held.node, held.point) @ both)
        bands = plan.bands([at for at, _ in parts])
        factors = bands.factors(bands.added(parts))
        return factors, factors.halfway(right[:, :b]), s.rows

    def _jointed(self, right: Array, ends: Array) -> list[tuple[IntArray, Array]]:
        """Blocks of members with joints, joints and diaphragms, and where; loads on the former are added to `right`."""
        plan, s = self.plan, self.states
        parts: list[tuple[IntArray, Array]] = []
        mesh, members = plan.varied.mesh, plan.varied.members
        for i, joints in plan._jointed.items():
            at = [np.concatenate([plan.at_node(int(n)) for n in mesh.ends[members[i]]])]
            columns = [s.end_columns(i)]
            for k in joints:
                found = s.joints[plan.varied.joints.index(k)] if k in plan.varied.joints else None
                unknowns = plan.joint_unknowns(k)
                directions = (
                    found.directions
                    if found
                    else tuple(plan.frame.soft[u - int(plan.frame.start[-1])].direction for u in unknowns)
                )
                at.append(plan.position[unknowns])
                columns.append(_soft_columns(s.axes[:, i], mesh.joints[k].end, directions))
            t, where = np.concatenate(columns, axis=2), np.concatenate(at)
            parts.append((where, s.stiffness_on(t, i)))
            _add_rows(right[:, :, :6], where, t.swapaxes(1, 2) @ ends[:, i])
        for k, found in zip(plan.varied.joints, s.joints, strict=True):
            j = mesh.joints[k]
            node = plan.at_node(int(mesh.ends[j.member, j.end]))
            parts.append((np.concatenate([plan.position[plan.joint_unknowns(k)], node[6:8]]), found.stiffness))
        for node_number, stiffness in plate_states(s):
            parts.append((plan.at_node(node_number)[6:8], stiffness))
        for nodes, stiffness in bridge_states(s):
            parts.append((np.array([plan.at_node(n)[6] for n in nodes]), stiffness))
        return parts

    def _equilibrium(self, halfway: Array, rows: Array, amounts: Array, loads: Array) -> tuple[Array, Array]:
        """(v, 12, c) body fields and (v, r, c) forces along the support rows of all cases."""
        plan, s, v = self.plan, self.plan.still, self.states.count
        p, hanging = s.patterns, plan.hanging
        along = halfway[:, :, 12:].swapaxes(1, 2) @ halfway  # (v, r, 12 + r) by way of the outer unknowns
        along[:, :, :12] += rows[:, :12]
        along[:, :, :6] += rows[:, 12 : 12 + p] @ amounts
        along[:, :, 12:] += rows[:, 12 + p :]
        resultants = np.repeat(s.resultant[None, :, :12], v, axis=0)
        resultants[:, :, :6] += s.resultant[:, 12:] @ amounts + self._own_resultants(loads)
        of = Condensed(
            (along[:, :, 12:] + along[:, :, 12:].swapaxes(1, 2)) / 2, plan.lever, along[:, :, :12], resultants
        )
        found = plan.balance(of).solve(of)
        for k in found.unsure:
            if k in self.failed:
                continue
            self.searched.append(k)
            try:
                one = equilibrium(
                    of.one(k), plan.varied.chassis, hanging.cases, hanging.suspended(), hanging.suspensions
                )
            except LadderFEError as error:
                self.failed[k] = str(error)
                continue
            found.load[k], found.force[k] = one.load, one.force
        return found.load, found.force

    def _own_resultants(self, loads: Array) -> Array:
        """(v, 6, 6) resultants about the datum of the loads on members that vary."""
        mesh, own, v = self.plan.varied.mesh, self.plan.varied.members, self.states.count
        place = self.states.nodes[:, mesh.ends[own]].reshape(v, -1, 3)
        ends = by_end(loads, 2).reshape(v, -1, PLACES, loads.shape[3])
        out: Array = ends[:, :, :6].sum(axis=1)
        force = ends[:, :, :3].reshape(v, place.shape[1], -1)
        first = (place.swapaxes(1, 2) @ force).reshape(v, 3, 3, -1)
        for k in range(3):
            y, z = (k + 1) % 3, (k + 2) % 3
            out[:, 3 + k] += first[:, y, z] - first[:, z, y]
        return out

    def _moved(self, outer: Array, kept: list[Array], load: Array) -> Array:
        """(v, m, 16, c) movements of the ends of all members that vary, member axes."""
        plan, s = self.plan, self.states
        own, chains = plan.chains
        mesh, members = plan.varied.mesh, plan.varied.members
        left = np.array([np.concatenate([plan.at_node(n) for n in e]) for e in chains.ends.tolist()], dtype=np.int64)
        out = np.zeros((s.count, len(members), 2 * PLACES, outer.shape[2]))
        if len(own):
            out[:, own] = recover(chains, outer.take(left, axis=1), kept, load[:, :6])
            out = (s.transform @ by_end(out, 2)).reshape(out.shape)
        for i, joints in plan._jointed.items():
            at = np.concatenate([plan.at_node(int(n)) for n in mesh.ends[members[i]]])
            out[:, i] = s.end_columns(i) @ outer[:, at]
            for k in joints:
                unknowns = plan.joint_unknowns(k)
                directions = tuple(plan.frame.soft[u - int(plan.frame.start[-1])].direction for u in unknowns)
                out[:, i] += (
                    _soft_columns(s.axes[:, i], mesh.joints[k].end, directions) @ outer[:, plan.position[unknowns]]
                )
        return out


def _soft_columns(axes: Array, end: int, directions: Sequence[int]) -> Array:
    """(v, 16, f) movement of a member's end in its axes (v, 3, 3) by joint freedoms."""
    out = np.zeros((len(axes), 2 * PLACES, len(directions)))
    first = PLACES * end
    for k, d in enumerate(directions):
        if d == WARPING:
            out[:, first + WARPING, k] = 1
        else:
            block, row = divmod(d, 3)
            out[:, first + 3 * block : first + 3 * block + 3, k] = axes[:, :, row]
    return out


def _add_rows(right: Array, at: IntArray, block: Array) -> None:
    right[:, at] += block


def _by_case(lines: LineLoads, load: Array, members: int) -> LineLoads:
    """Line loads of cases from those per body field: one per state and member, then as many per state as there are."""
    v = len(load)
    own, more = lines.force[: v * members], lines.force[v * members :]
    force = [(f.reshape(v, -1, 6) @ load[:, :6]).reshape(-1, 3, 3, load.shape[2]) for f in (own, more)]
    return LineLoads(lines.member, lines.start, lines.end, lines.point, np.concatenate(force))
