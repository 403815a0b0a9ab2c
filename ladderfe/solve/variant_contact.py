"""Equilibrium of all cases in many states at once, with the supports down that are down in the first one.

Which supports are down is a search (`contact`); whether a set is right is one linear solve and a look at the signs, and
the forces are one and only one.  So every case takes the steps it takes in the first state (`variant_courses`), each
solved for all states side by side; a state in which a sign is wrong, or a force so near to its limit that rounding
could tell, goes the plain way.  So do, in all states, cases whose steps cannot be told from the first one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, pull_name
from ladderfe.cases.types import GRAVITY
from ladderfe.solve.applied import WHEELS, Applied, applied_in_states
from ladderfe.solve.equilibrium import SHORT_OF_TIPPING, CasesInBalance, Hung, equilibrium
from ladderfe.solve.on_axles import gravity_field
from ladderfe.solve.respond import Hanging
from ladderfe.solve.supports import Footing
from ladderfe.solve.variant_courses import (
    OnStands,
    Step,
    carried_share,
    felt_wheels,
    idle_wheels,
    on_stands,
    steps_of,
)
from ladderfe.solve.variant_given import Given, Static
from ladderfe.solve.variant_links import SURE, Links, Solved

__all__ = ["Balance", "Condensed", "Found"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]
#: Just short of tipping wheels that are about to lift press a millionth of what they press else.
SHORT = 1e-9
#: Two pushes of a jack, N, from which all others follow.
PUSH = 1e4


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """load (v, 12, c) and force (v, r, c) as in `Equilibrium`; unsure: states for the plain way."""

    load: Array
    force: Array
    unsure: list[int]


@dataclass(frozen=True, eq=False)
class Condensed:
    """What supports need of frames on a footing, v states: flexibility (v, r, r), lever (r, 6), moved (v, r, 12) along
    the rows and resultants (v, 6, 12) per unit body field."""

    flexibility: Array
    lever: Array
    moved: Array
    resultants: Array

    def one(self, state: int) -> Footing:
        """One of them."""
        return OneState(self.flexibility[state], self.lever, self.moved[state], self.resultants[state])


class OneState(Footing):
    """A footing of which only what supports need is known."""

    def __init__(self, flexibility: Array, lever: Array, moved: Array, resultants: Array) -> None:
        self.flexibility, self.lever, self._row_movements, self._resultants = flexibility, lever, moved, resultants
        self.motions, self.loads = np.eye(6), resultants  # of which only the product is asked for


@dataclass(frozen=True, slots=True, eq=False)
class _Pushes:
    """What acts on links of v states in c columns: body fields (v, 12, c), pushes along the rows (v, r, c), on axles
    (v, b, c), axles' gravity (c,) in g and heights of the feet (n, c) mm."""

    field: Array
    push: Array
    axle: Array
    gravity: Array
    heights: Array


class Balance:
    """The cases of a hanging and the steps that each takes, by a state `like` the others."""

    def __init__(self, hanging: Hanging, like: Footing) -> None:
        self.hanging, self.chassis = hanging, hanging.chassis
        base = CasesInBalance(like, self.chassis, hanging.cases, hanging.suspended(), hanging.suspensions)
        self.full, self.names = base.wheels.full, base.rows
        self.links = Links(base.wheels.system, like.lever)
        self.wheels = [self.links.system.index(f"{w} wheel") for w in WHEELS]
        self.single = np.repeat([a.kind == "independent" for a in self.chassis.axles], 2)
        self._lay_out(base)
        cases = hanging.cases
        self.given = {
            k: Given.of(self, c) for k, c in enumerate(cases) if c.static_factors is not None and c.hung in self.hung
        }
        known = {s.case for s in self.steps} | {s.case for s, _ in self.stands}
        direct = {*known, *self.given, *(k for k, c in enumerate(cases) if c.scale is not None or c.of)}
        self.plainly = [k for k in range(1, len(cases)) if k not in direct]

    def _lay_out(self, base: CasesInBalance) -> None:
        """The steps of all cases, and how it stands laden with each of what hangs on it, in one state."""
        cases = self.hanging.cases
        base.load[2] = base.load[8] = [-GRAVITY * c.gravity for c in cases]
        base.load[8, 0] = 0
        own = [k for k, c in enumerate(cases) if c.on_ground and not c.stands]
        self.steps: list[Step] = [s for k in own for s in steps_of(base, k, self.single)]
        self.sure = bool(self.steps) and self.steps[0].case == 0 and not self.steps[0].linear
        found = [on_stands(base, k) for k, c in enumerate(cases) if c.stands]
        self.stands = [(s, self._standing_links(s)) for s in found if s is not None]
        hung: tuple[Hung, ...] = tuple(dict.fromkeys(((), *(c.hung for c in cases if c.static_factors is not None))))
        none = np.zeros((len(self.links.system.links), len(hung)))
        laden = base.wheels.standing(base._loads([], [], hung), none, told=False)
        stands = [j for j, t in enumerate(laden.tipping) if t is None]
        self.sure = self.sure and 0 in stands
        self.hung, self.laden_down = [hung[j] for j in stands], [laden.down[:, j] for j in stands]

    def _standing_links(self, stands: OnStands) -> Links:
        own = tuple(x for x in self.full.links if x.name in stands.names)
        return Links(replace(self.full, links=own), self.links.frame_lever)

    def solve(self, of: Condensed) -> Found:
        """All cases in all states."""
        cases, v = self.hanging.cases, len(of.moved)
        load, force = np.zeros((v, 12, len(cases))), np.zeros((v, of.flexibility.shape[1], len(cases)))
        if not self.sure:
            return Found(load, force, list(range(v)))
        load[:, 2] = load[:, 8] = [-GRAVITY * c.gravity for c in cases]
        load[:, 8, 0] = 0
        soft = self.links.soft(of.flexibility)
        wrong = np.zeros(v, dtype=bool)
        set_up = self.links.set_up(of, soft, self.hanging.suspensions, wrong)
        static = self._laden(of, (soft, set_up), wrong)
        self._stepped(of, (soft, set_up), (load, force), wrong)
        for stands, links in self.stands:
            self._on_stands(of, (stands, links, set_up), (load, force), wrong)
        for k, case in enumerate(cases):
            if case.scale is not None:
                force[:, :, k] = case.scale * static[()].force
        for k, given in self.given.items():
            given.put(of, static[cases[k].hung], load, force, k)
        self._plainly(of, load, force, wrong)
        times = np.array([1.0 if k in self.plainly else c.times for k, c in enumerate(cases)])
        load, force = load * times, force * times
        self._add_up(load, force)
        return Found(load, force, np.flatnonzero(wrong | ~np.isfinite(force).all(axis=(1, 2))).tolist())

    def _solved(
        self, of: Condensed, links: tuple[Links, Array, Array], pushes: _Pushes, down: BoolArray
    ) -> Solved:  # fmt: skip
        """Columns of pushes solved on links, each with its own set of these down (n, c)."""
        own, soft, set_up = links
        moved, resultant = own.pushed(of, pushes.field, pushes.gravity)
        moved = moved + own.rows @ (of.flexibility @ pushes.push)
        resultant[:, :6] += of.lever.T @ pushes.push
        resultant[:, 6:] += pushes.axle
        wanted = set_up[:, :, None] + pushes.heights
        forces, opening = np.zeros((2, *moved.shape))
        alike: dict[bytes, list[int]] = {}
        for k, one in enumerate(down.T):
            alike.setdefault(one.tobytes(), []).append(k)
        for at in alike.values():
            found = own.solve(soft, down[:, at[0]], (wanted[:, :, at], moved[:, :, at], resultant[:, :, at]))
            forces[:, :, at], opening[:, :, at] = found.forces, found.opening
        return Solved(forces, opening)

    def _laden(self, of: Condensed, links: tuple[Array, Array], wrong: BoolArray) -> dict[Hung, Static]:
        """How it stands laden, with each of what hangs on it."""
        soft, set_up = links
        v, h = len(soft), len(self.hung)
        push = [sum((self.names.at(at, (0.0, 0.0, -m * GRAVITY)) for at, m in hung), np.zeros(of.lever.shape[0]))
                for hung in self.hung]  # fmt: skip
        pushes = _Pushes(
            np.tile(gravity_field(1.0, 1.0), (v, 1, h)), np.repeat(np.stack(push, axis=1)[None], v, axis=0),
            np.zeros((v, len(self.links.system.weight), h)), np.ones(h), np.zeros((soft.shape[1], h)),
        )  # fmt: skip
        down = np.stack(self.laden_down, axis=1)
        found = self._solved(of, (self.links, soft, set_up), pushes, down)
        for j in range(h):
            wrong |= self.links.wrong(soft, down[:, j], found.take([j]))
        rows = self.links.rows.T @ found.forces
        return {hung: Static(rows[:, :, j], found.forces[:, self.wheels, j]) for j, hung in enumerate(self.hung)}

    def _stepped(
        self, of: Condensed, links: tuple[Array, Array], to: tuple[Array, Array], wrong: BoolArray
    ) -> None:
        """Put down cases on wheels: every step has a column for none and one for all of what has a share in it."""
        soft, set_up = links
        load, force = to
        every = self._applied(of, [self.hanging.cases[s.case] for s in self.steps], [s.off for s in self.steps])
        ground = every.ground.transpose(2, 0, 1, 3)
        pushes = self._pushes(every, load)
        down = np.stack([s.down for s in self.steps], axis=1)
        n = len(self.steps)
        found = self._solved(of, (self.links, soft, set_up), pushes, np.concatenate([down, down], axis=1))
        full, none = found.take(list(range(n))), found.take(list(range(n, 2 * n)))
        for j, s in enumerate(self.steps):
            share = np.ones(len(soft))
            if s.linear:
                share = self._share(of, s, (pushes, j, n), (none, full), wrong)
            here = none.take([j]).between(full.take([j]), share) if s.linear else full.take([j])
            sure = SURE if s.carrying is None else SHORT
            wrong |= self.links.wrong(soft, s.down, here, but=s.wheel, sure=sure)
            felt = felt_wheels(ground[..., j], self.single)
            idle = idle_wheels(felt, here.forces[:, self.wheels, 0])
            wrong |= (idle != s.idle).any(axis=1)
            if s.last:
                change = share[:, None] * (pushes.field[:, :, j] - pushes.field[:, :, n + j])
                load[:, :, s.case] = pushes.field[:, :, n + j] + change
                given = pushes.push[:, :, n + j] + share[:, None] * (pushes.push[:, :, j] - pushes.push[:, :, n + j])
                force[:, :, s.case] = (self.links.rows.T @ here.forces)[:, :, 0] + given

    def _applied(self, of: Condensed, cases: Sequence[LoadCase], off: Sequence[Sequence[str]]) -> Applied:
        """What k cases apply in all states, each with its wheels off the ground; states before cases."""
        inertia = of.resultants[:, :, :6] + of.resultants[:, :, 6:]
        return applied_in_states(self.chassis, cases, self.names, inertia, off)

    def _pushes(self, every: Applied, load: Array) -> _Pushes:
        """Columns of all steps with all of what has a share, then with none of it."""
        field, push, axle = (a.swapaxes(0, 1).copy() for a in (every.field, every.force, every.axle))  # (v, ., steps)
        cases = [s.case for s in self.steps]
        weight = load[:, :, cases]
        full = weight + np.concatenate([field, field], axis=1)
        keeps = np.array([s.carrying is None for s in self.steps])  # what tips has no more than its weight at first
        rest = np.where(keeps, full, weight), np.where(keeps, push, 0.0), np.where(keeps, axle, 0.0)
        for j, s in enumerate(self.steps):
            if s.wheel >= 0:
                case = self.hanging.cases[s.case]
                push[:, self.names.names.index(pull_name(case.jack, "z")), j] += PUSH
        gravity = np.array([self.hanging.cases[k].gravity for k in cases])
        heights = np.stack([s.heights for s in self.steps], axis=1)
        pairs = (full, rest[0]), (push, rest[1]), (axle, rest[2]), (gravity, gravity), (heights, heights)
        return _Pushes(*(np.concatenate(pair, axis=-1) for pair in pairs))

    def _share(
        self, of: Condensed, s: Step, columns: tuple[_Pushes, int, int], found: tuple[Solved, Solved], wrong: BoolArray
    ) -> Array:
        """(v,) share of the way from nothing to all of what tips it, or from no push of its jack to `PUSH`."""
        pushes, j, n = columns
        none, full = found
        if s.wheel >= 0:
            a, b = none.forces[:, s.wheel, j], full.forces[:, s.wheel, j]
            wrong |= ~((a > 0) & (b < a))
            share: Array = a / np.where(a > b, a - b, 1.0)
            return share
        loads = []
        for at in (n + j, j):
            _, resultant = self.links.pushed(of, pushes.field[:, :, [at]], pushes.gravity[[at]])
            resultant[:, :6] += of.lever.T @ pushes.push[:, :, [at]]
            resultant[:, 6:] += pushes.axle[:, :, [at]]
            loads.append(resultant[:, :, 0])
        carrying = s.carrying if s.carrying is not None else s.down
        borne, off = carried_share(self.links.lever, self.links.lowest, carrying, (loads[0], loads[1] - loads[0]))
        wrong |= off
        return SHORT_OF_TIPPING * borne

    def _on_stands(
        self, of: Condensed, own: tuple[OnStands, Links, Array], to: tuple[Array, Array], wrong: BoolArray
    ) -> None:
        """Put down a case on stands, all wheels hanging."""
        (s, links, set_up), (load, force) = own, to
        case, soft = self.hanging.cases[s.case], links.soft(of.flexibility)
        every = self._applied(of, [case], [()])
        push, axle = every.force.swapaxes(0, 1), every.axle.swapaxes(0, 1)
        pushes = _Pushes(load[:, :, [s.case]], push, axle, np.array([case.gravity]), s.heights[:, None])
        up = np.where(s.known >= 0, set_up[:, s.known], 0.0)
        found = self._solved(of, (links, soft, up), pushes, s.down[:, None])
        wrong |= links.wrong(soft, s.down, found)
        force[:, :, s.case] = (links.rows.T @ found.forces + push)[:, :, 0]

    def _plainly(self, of: Condensed, load: Array, force: Array, wrong: BoolArray) -> None:
        """Cases that take the plain way in every state."""
        if not self.plainly:
            return
        cases, h = [self.hanging.cases[k] for k in (0, *self.plainly)], self.hanging
        for v in np.flatnonzero(~wrong):
            one = equilibrium(of.one(int(v)), self.chassis, cases, h.suspended(), h.suspensions)
            load[v][:, self.plainly], force[v][:, self.plainly] = one.load[:, 1:], one.force[:, 1:]

    def _add_up(self, load: Array, force: Array) -> None:
        """Cases that add up others."""
        cases = self.hanging.cases
        names = {c.name: k for k, c in enumerate(cases)}
        done = {k for k, c in enumerate(cases) if not c.of}

        def add(k: int) -> None:
            parts = [(names[name], factor) for name, factor in cases[k].of]
            for j, _ in parts:
                if j not in done:
                    add(j)
            for a in (load, force):
                a[..., k] = sum(factor * a[..., j] for j, factor in parts)
            done.add(k)

        for k in range(len(cases)):
            if k not in done:
                add(k)
