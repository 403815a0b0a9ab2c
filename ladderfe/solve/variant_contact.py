"""Equilibrium of all cases in many states at once, with the supports down that are down in the first one.

Which supports are down is a search (`contact`); whether a set is right is one linear solve and a look at the signs, and
the forces are one and only one.  So every case takes the set it has in the first state, solved for all states side by
side; a state in which a sign is wrong, or a force so near to its limit that rounding could tell, goes the plain way.
So do, in all states, cases on stands and jacks, such that tip over, and such that are taken again because a wheel
that was to hold something in plan is off the ground.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, raised, weighed_link_forces
from ladderfe.cases.types import GRAVITY
from ladderfe.solve.applied import WHEELS, Applied, applied
from ladderfe.solve.equilibrium import NOTHING, CasesInBalance, Hung, equilibrium
from ladderfe.solve.on_axles import gravity_field
from ladderfe.solve.respond import Hanging
from ladderfe.solve.supports import Footing
from ladderfe.solve.variant_given import Given, Static

__all__ = ["Balance", "Condensed", "Found"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]
#: A force or opening within this part of the greatest of its limit is left to the plain way.
SURE = 1e-7


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


class Balance:
    """The cases of a hanging and the sets of supports that are down in each, by a state `like` the others."""

    def __init__(self, hanging: Hanging, like: Footing) -> None:
        self.hanging, self.chassis = hanging, hanging.chassis
        base = CasesInBalance(like, self.chassis, hanging.cases, hanging.suspended(), hanging.suspensions)
        self.system, self.full, self.names = base.wheels.system, base.wheels.full, base.rows
        self.wheels = [self.system.index(f"{w} wheel") for w in WHEELS]
        self.single = np.repeat([a.kind == "independent" for a in self.chassis.axles], 2)
        self._lay_out(base)
        cases = hanging.cases
        self.given = {
            k: Given.of(self, c) for k, c in enumerate(cases) if c.static_factors is not None and c.hung in self.hung
        }
        direct = {*self.on_wheels, *self.given, *(k for k, c in enumerate(cases) if c.scale is not None or c.of)}
        self.plainly = [k for k in range(1, len(cases)) if k not in direct]
        rows, bodies = self.system.coupling
        self.rows = rows
        self.lever = np.concatenate([rows @ like.lever, bodies], axis=1)
        self.lowest = np.array([x.lowest for x in self.system.links])
        self.engages = np.array([x.engages for x in self.system.links], dtype=bool)
        self.gap = np.array([x.gap for x in self.system.links])

    def _lay_out(self, base: CasesInBalance) -> None:
        """Which cases stand on which supports, and how it stands laden with each of what hangs on it, in one state."""
        cases = self.hanging.cases
        own = [k for k, c in enumerate(cases) if c.on_ground and not c.stands and not c.jack]
        hung: tuple[Hung, ...] = tuple(dict.fromkeys(((), *(c.hung for c in cases if c.static_factors is not None))))
        every = [applied(self.chassis, cases[k], base.rows, base.inertia) for k in own]
        base.load[2] = base.load[8] = [-GRAVITY * c.gravity for c in cases]
        base.load[8, 0] = 0
        feet = [*(dict(cases[k].heights) for k in own), *({} for _ in hung)]
        heights = np.stack([raised(self.system, f) for f in feet], axis=1)
        found = base.wheels.standing(base._loads(own, every, hung), heights, told=False)
        stands = [t is None for t in found.tipping]
        kept = [j for j, a in enumerate(every) if stands[j] and not self._idle(a, found.forces[self.wheels, j])]
        laden = [len(own) + j for j in range(len(hung)) if stands[len(own) + j]]
        self.on_wheels, self.hung = [own[j] for j in kept], [hung[j - len(own)] for j in laden]
        self.sure = stands[len(own)] and self.on_wheels[:1] == [0]
        self.down, self.heights = found.down[:, kept + laden].T, heights[:, kept + laden]

    def solve(self, of: Condensed) -> Found:
        """All cases in all states."""
        cases, v = self.hanging.cases, len(of.moved)
        load, force = np.zeros((v, 12, len(cases))), np.zeros((v, of.flexibility.shape[1], len(cases)))
        if not self.sure:
            return Found(load, force, list(range(v)))
        load[:, 2] = load[:, 8] = [-GRAVITY * c.gravity for c in cases]
        load[:, 8, 0] = 0
        soft = self._soft(of.flexibility)
        wrong = np.zeros(v, dtype=bool)
        set_up = self._set_up(of, soft, wrong)
        static = self._standing(of, (soft, set_up), load, force, wrong)
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

    def _soft(self, flexibility: Array) -> Array:
        frame: Array = self.rows @ flexibility @ self.rows.T
        own = np.array([x.flexibility for x in self.system.links])
        for i, x in enumerate(self.system.links):
            frame[:, i, i] += frame[:, i, i] / (x.stiffens - 1) if x.stiffens > 1 else own[i]
        return frame

    def _pushed(self, of: Condensed, load: Array, gravity: Array) -> tuple[Array, Array]:
        """(v, n, c) movements of the links and (v, m, c) loads, under body fields (v, 12, c)."""
        weight = -np.outer(np.array(self.system.weight), gravity)
        resultant = of.resultants @ load
        return self.rows @ (of.moved @ load), np.concatenate(
            [resultant, np.repeat(weight[None], len(resultant), axis=0)], axis=1
        )

    def _set_up(self, of: Condensed, soft: Array, wrong: BoolArray) -> Array:
        """(v, n) as `OnWheels.of` sets the links up."""
        v = len(soft)
        field = np.repeat(gravity_field(1.0, 0.0)[None], v, axis=0)
        moved, resultant = self._pushed(of, field, np.ones(1))
        forces = weighed_link_forces(self.system, self.hanging.suspensions)
        if forces is not None:
            out = moved[:, :, 0] + soft @ forces - self.gap
            return np.asarray(out @ self._to_level.T)
        keep = ~self.engages
        down = keep & np.ones(len(keep), dtype=bool)
        p, q = self._solve(soft, down, (0 * moved, moved, resultant))
        wrong |= (p[:, keep & np.isfinite(self.lowest), 0] - self.lowest[keep & np.isfinite(self.lowest)]
                  < SURE * np.abs(p).max(axis=1)).any(axis=1)  # fmt: skip
        there = (soft @ p + self.lever @ q + moved)[:, :, 0] - self.gap
        return np.where(keep, 0.0, there)

    @cached_property
    def _to_level(self) -> Array:
        """(n, n) as `on_axles` counts set-ups from wheels on level ground and springs free of set-up."""
        kinds = np.array([x.kind for x in self.system.links])
        wheels, level = kinds == "wheel", np.isin(kinds, ("spring", "hold"))
        n = len(kinds)
        axles, frame = np.zeros((2, n, n))
        axles[:, wheels] = self.lever[:, 6:] @ np.linalg.pinv(self.lever[wheels, 6:])
        scale = 1 / np.abs(self.lever[:, :6]).max(axis=0)
        frame[:, level] = (self.lever[:, :6] * scale) @ np.linalg.pinv(self.lever[level, :6] * scale)
        out: Array = (np.eye(n) - frame) @ (np.eye(n) - axles)
        return out

    def _solve(self, soft: Array, down: BoolArray, wanted: tuple[Array, Array, Array]) -> tuple[Array, Array]:
        """Forces (v, n, c) and motions (v, m, c) with these links down: set-up, movements and loads; others carry their
        lowest."""
        set_up, moved, resultant = wanted
        v, n, c = moved.shape
        m = self.lever.shape[1]
        forces = np.zeros((v, n, c))
        forces[:, ~down] = np.where(np.isfinite(self.lowest), self.lowest, 0.0)[~down, None]
        unit = soft[:, range(n), range(n)].max(axis=1)[:, None, None]
        scale = 1 / np.abs(self.lever).max(axis=0)
        a, d = self.lever[down] * scale, int(down.sum())
        matrix = np.zeros((v, d + m, d + m))
        matrix[:, :d, :d], matrix[:, :d, d:], matrix[:, d:, :d] = soft[:, down][:, :, down] / unit, a, a.T
        top = (set_up - moved - soft @ forces)[:, down] / unit
        x = np.linalg.solve(
            matrix, np.concatenate([top, -scale[:, None] * (resultant + self.lever.T @ forces)], axis=1)
        )
        forces[:, down] = x[:, :d]
        return forces, x[:, d:] * scale[:, None] * unit

    def _standing(
        self, of: Condensed, links: tuple[Array, Array], load: Array, force: Array, wrong: BoolArray
    ) -> dict[Hung, Static]:
        """Put down cases on wheels; how it stands laden, with each of what hangs on it."""
        soft, set_up = links
        v, r, own, h = len(soft), force.shape[1], self.on_wheels, len(self.hung)
        push, axle = np.zeros((v, r, len(own) + h)), np.zeros((v, len(self.system.weight), len(own) + h))
        every = [
            self._apply(of, self.hanging.cases[k], (load[:, :, k], push[:, :, j], axle[:, :, j]))
            for j, k in enumerate(own)
        ]
        for j, hung in enumerate(self.hung):
            push[:, :, len(own) + j] = sum(self.names.at(at, (0.0, 0.0, -m * GRAVITY)) for at, m in hung)
        field = np.concatenate([load[:, :, own], np.tile(gravity_field(1.0, 1.0), (v, 1, h))], axis=2)
        gravity = np.array([*(self.hanging.cases[k].gravity for k in own), *[1.0] * h])
        moved, resultant = self._pushed(of, field, gravity)
        moved = moved + self.rows @ (of.flexibility @ push)
        resultant[:, :6] += of.lever.T @ push
        resultant[:, 6:] += axle
        forces = np.zeros((v, len(self.lowest), len(own) + h))
        wanted = set_up[:, :, None] + self.heights
        for down in np.unique(self.down, axis=0):
            at = np.flatnonzero((self.down == down).all(axis=1))
            p, q = self._solve(soft, down, (wanted[:, :, at], moved[:, :, at], resultant[:, :, at]))
            forces[:, :, at] = p
            opening = soft @ p + self.lever @ q + moved[:, :, at] - wanted[:, :, at]
            wrong |= self._wrong(soft, down, p, opening)
        wheels = forces[:, self.wheels]
        for j, k in enumerate(own):
            if self.hanging.cases[k].in_plan:
                wrong |= [self._idle(a, wheels[i, :, j]) for i, a in enumerate(every[j])]
        rows = self.rows.T @ forces
        force[:, :, own] = rows[:, :, : len(own)] + push[:, :, : len(own)]
        return {hung: Static(rows[:, :, len(own) + j], wheels[:, :, len(own) + j]) for j, hung in enumerate(self.hung)}

    def _idle(self, applied: Applied, wheels: Array) -> bool:
        """True where a wheel that carries nothing, of (4,) N, is given a force in plan that the frame feels, as in
        `CasesInBalance`."""
        felt = (applied.ground[:, 0] != 0) | (self.single & (applied.ground[:, 1] != 0))
        return bool((felt & (wheels <= NOTHING * wheels.sum())).any())

    def _wrong(self, soft: Array, down: BoolArray, forces: Array, opening: Array) -> BoolArray:
        """(v,) states in which a link that is down pulls, or an open one is entered, or nearly so."""
        opens = np.isfinite(self.lowest)
        size = np.abs(forces).max(axis=1, keepdims=True)
        unit = soft[:, range(len(down)), range(len(down))].max(axis=1)[:, None, None]
        move = np.abs(opening).max(axis=1, keepdims=True) + unit * size
        closed, free = opens & down, opens & ~down
        pulls = (forces[:, closed] - self.lowest[closed, None] < SURE * size).any(axis=(1, 2))
        out: BoolArray = pulls | (opening[:, free] < SURE * move).any(axis=(1, 2))
        return out

    def _apply(self, of: Condensed, case: LoadCase, to: tuple[Array, Array, Array]) -> Sequence[Applied]:
        """Add what a case applies to fields (v, 12), pushes (v, r) and axles (v, b); of every state, or of all."""
        field, push, axle = to
        inertia = of.resultants[:, :, :6] + of.resultants[:, :, 6:]
        if not case.in_plan:
            inertia = inertia[:1]
        found = [applied(self.chassis, case, self.names, one) for one in inertia]
        more = np.stack([a.field for a in found])
        field[:, :6] += more
        field[:, 6:] += more
        push += np.stack([a.force for a in found])
        axle += np.stack([a.axle for a in found])
        return found

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
