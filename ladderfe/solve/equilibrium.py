"""Which support forces, rigid motions and inertia bring each case into equilibrium."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Suspended, Suspension, raised, wheel_loads
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis
from ladderfe.errors import ModelError
from ladderfe.solve.applied import WHEELS, Applied, Rows, applied_together, centre_height, hung_rows, pushed
from ladderfe.solve.contact import Standing
from ladderfe.solve.jack import jack_forces
from ladderfe.solve.on_axles import Loads, OnWheels, given_forces, gravity_field, in_place
from ladderfe.solve.on_wheels import frame_forces
from ladderfe.solve.stands import on_its_stands
from ladderfe.solve.supports import Footing

__all__ = ["CasesInBalance", "Equilibrium", "equilibrium"]

Array = NDArray[np.float64]
Hung = tuple[tuple[str, float], ...]

#: A case that tips over is taken at this part of what tips it, so that its wheels still press a little.
SHORT_OF_TIPPING = 1 - 1e-6
#: A wheel that carries less than this part of the vehicle carries nothing; rounding only.
NOTHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Equilibrium:
    """load (12, c): body fields of what was aboard and of what was not; force (r, c) along the support rows; rigid
    (6, c); ground (4, 3, c): forces of the ground on the wheels, N; share (c,): part of what a case applies beside
    weight that it bears without tipping over, 1 where it bears all; tips: per case how it would tip over, or "";
    lifted: per case the wheels that are off the ground; off_level: per case, sums left aside, whether a wheel is off
    the ground, a spring pulls, or a stop or strap has taken hold, as far as it goes by how the vehicle stands."""

    load: Array
    force: Array
    rigid: Array
    ground: Array
    share: Array
    tips: tuple[str, ...]
    lifted: tuple[tuple[str, ...], ...]
    off_level: tuple[bool, ...]

    def scaled(self, times: Array) -> Equilibrium:
        """All results of every case times a factor (c,)."""
        return replace(self, load=self.load * times, force=self.force * times, rigid=self.rigid * times,
                       ground=self.ground * times)  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Stood:
    """How it stands in k cases at the share (k,) that each bears: force (r, k) of the links on the frame's rows, rigid
    (6, k), wheels (4, k) N from the ground, how it would tip over or "", the wheels off the ground, and whether it is
    off level in any way."""

    force: Array
    rigid: Array
    wheels: Array
    share: Array
    tips: tuple[str, ...]
    lifted: tuple[tuple[str, ...], ...]
    off_level: tuple[bool, ...]

    def one(self, k: int) -> _StoodOnce:
        """One of these cases."""
        return _StoodOnce(self.force[:, k], self.rigid[:, k], self.wheels[:, k], float(self.share[k]), self.tips[k],
                          self.off_level[k])  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _StoodOnce:
    """The same in one case."""

    force: Array
    rigid: Array
    wheels: Array
    share: float
    tips: str
    off_level: bool


def equilibrium(
    footing: Footing, chassis: Chassis, cases: Sequence[LoadCase], system: Suspended,
    suspensions: Sequence[Suspension], *, told: bool = True,
) -> Equilibrium:  # fmt: skip
    """Equilibrium of every case; the first is the condition on the scales.  told: False where it does not matter how
    those tip over that do.

    Raises ModelError for a case that tips over by weight and raised feet alone.
    """
    return CasesInBalance(footing, chassis, cases, system, suspensions, told=told).solved()


class CasesInBalance:
    """All cases of a frame on one footing, worked out together where they stand on the same links."""

    def __init__(
        self, footing: Footing, chassis: Chassis, cases: Sequence[LoadCase], system: Suspended,
        suspensions: Sequence[Suspension], *, told: bool = True, wheels: OnWheels | None = None,
    ) -> None:  # fmt: skip
        """wheels: how the axles are set up under this footing, where that was settled before."""
        self.told = told
        self.footing, self.chassis, self.cases, self.suspensions = footing, chassis, cases, suspensions
        self.wheels = wheels or OnWheels.of(footing, system, suspensions)
        self.rows = Rows((*(s.name for s in system.seats), *system.held), footing.lever)
        self.inertia = footing.motions.T @ (footing.loads[:, :6] + footing.loads[:, 6:])  # of a rigid body
        n, r = len(cases), len(footing.flexibility)
        self.load, self.force, self.rigid = np.zeros((12, n)), np.zeros((r, n)), np.zeros((6, n))
        self.ground, self.share = np.zeros((4, 3, n)), np.ones(n)
        self.tips, self.lifted = [""] * n, [()] * n  # type: list[str], list[tuple[str, ...]]
        self.off_level = [False] * n
        self.laden: dict[Hung, _StoodOnce] = {}

    def solved(self) -> Equilibrium:
        """Standing cases first: the others take what the springs carry there."""
        cases = self.cases
        self.load[2] = self.load[8] = [-GRAVITY * c.gravity for c in cases]
        self.load[8, 0] = 0  # what was not aboard was not weighed
        self._on_wheels([k for k, c in enumerate(cases) if c.on_ground and not c.stands])
        by_stands: dict[tuple[str, ...], list[int]] = {}
        for k, case in enumerate(cases):
            if case.stands:
                by_stands.setdefault(case.stands, []).append(k)
            elif case.scale is not None:
                self._scaled(k, case.scale)
        for together in by_stands.values():
            self._on_stands(together)
        self._given([k for k, c in enumerate(cases) if c.static_factors is not None and c.scale is None])
        times = np.array([c.times for c in cases])
        found = Equilibrium(self.load, self.force, self.rigid, self.ground, self.share, tuple(self.tips),
                            tuple(self.lifted), tuple(self.off_level))  # fmt: skip
        return self._added(found.scaled(times))

    def hung(self) -> Equilibrium:
        """Cases on stands alone, the first (as on the scales) left at rest.  A case whose stands cannot hold the
        vehicle has that in `tips` and a share of 0; its numbers are 0."""
        self.load[2, 1:] = self.load[8, 1:] = [-GRAVITY * c.gravity for c in self.cases[1:]]
        for k in range(1, len(self.cases)):
            try:
                self._on_stands([k])
            except ModelError as error:
                self.tips[k], self.share[k] = error.problem, 0.0
                self.load[:, k] = 0.0
        return Equilibrium(self.load, self.force, self.rigid, self.ground, self.share, tuple(self.tips),
                           tuple(self.lifted), (True,) * len(self.cases))  # fmt: skip

    def _added(self, found: Equilibrium) -> Equilibrium:
        """Cases that add up others, which may add up others in their turn."""
        names = {c.name: k for k, c in enumerate(self.cases)}
        done = {k for k, c in enumerate(self.cases) if not c.of}

        def add_up(k: int) -> None:
            parts = [(names[name], factor) for name, factor in self.cases[k].of]
            for j, _ in parts:
                if j not in done:
                    add_up(j)
            for a in (found.load, found.force, found.rigid, found.ground):
                a[..., k] = sum(factor * a[..., j] for j, factor in parts)
            done.add(k)

        for k in range(len(self.cases)):
            if k not in done:
                add_up(k)
        return found

    def _on_wheels(self, own: list[int]) -> None:
        """Cases on their wheels, one linear problem for all, with the laden vehicle standing level added last: alone,
        and with what hangs on the frame in cases with given forces.

        Cases whose forces in plan fall on wheels that turn out to be off the ground are taken once more without these.
        """
        hung = tuple(dict.fromkeys(((), *(c.hung for c in self.cases if c.static_factors is not None))))
        off = {k: {self.cases[k].clears} - {""} for k in own}
        every, stood = self._stand(own, hung, off)
        self.laden = {h: stood.one(len(own) + j) for j, h in enumerate(hung)}
        while own:
            idle = self._idle(every, stood)
            new = [{w for w, x in zip(WHEELS, i, strict=True) if x} - off[k] for k, i in zip(own, idle, strict=True)]
            self._keep(own, [j for j, more in enumerate(new) if not more], every, stood)
            for k, more in zip(own, new, strict=True):
                off[k] |= more
            own = [k for k, more in zip(own, new, strict=True) if more]
            every, stood = self._stand(own, (), off) if own else (every, stood)

    def _stand(
        self, own: list[int], hung: Sequence[Hung], off: Mapping[int, set[str]]
    ) -> tuple[Applied, _Stood]:
        """What these cases apply with wheels `off` the ground, and how they and the laden vehicle stand."""
        cases = [self.cases[k] for k in own]
        every = applied_together(self.chassis, cases, self.rows, self.inertia, [off[k] for k in own])
        self._push_up(own, every)
        names = [*(c.name for c in cases), *map(self._laden_in, hung)]
        loads = self._loads_of(own, every, hung)
        heights = np.zeros((len(self.wheels.system.links), len(names)))
        for j, case in enumerate(cases):
            if case.heights:
                heights[:, j] = raised(self.wheels.system, dict(case.heights))
        found = self.wheels.standing(loads, heights, told=self.told)
        off_level = _off_level(self.wheels.system, found)
        share, tips = self._share(names, loads, heights, found)
        system = self.wheels.system
        wheels = [system.index(f"{w} wheel") for w in WHEELS]
        lifted = tuple(tuple(system.links[i].name for i in wheels if not down[i]) for down in found.down.T.tolist())
        force = frame_forces(system, found.forces)
        return every, _Stood(force, found.motion[:6], found.forces[wheels], share, tips, lifted, off_level)

    def _laden_in(self, hung: Hung) -> str:
        """The first case that takes the standing laden vehicle with this hung on it, for messages."""
        takes = (c.name for c in self.cases if c.hung == hung and (c.static_factors is not None or c.scale is not None))
        return next(takes, "standing laden")

    def _idle(self, every: Applied, stood: _Stood) -> list[list[bool]]:
        """Of every case the four wheels that carry nothing but are given a force in plan that the frame feels:
        fore-aft, or the side force of an independent one."""
        ground = every.ground
        wheels = stood.wheels[:, : ground.shape[2]]
        idle = wheels <= NOTHING * wheels.sum(axis=0)
        single = np.repeat([a.kind == "independent" for a in self.chassis.axles], 2)[:, None]
        out: list[list[bool]] = (idle & ((ground[:, 0] != 0) | (single & (ground[:, 1] != 0)))).T.tolist()
        return out

    def _loads(self, own: list[int], every: Sequence[Applied], hung: Sequence[Hung]) -> Loads:
        """`_loads_of` single cases."""
        none = Applied(np.zeros((6, 0)), np.zeros((len(self.force), 0)), np.zeros((4, 0)), np.zeros((4, 3, 0)))
        return self._loads_of(own, Applied.join(every) if every else none, hung)

    def _loads_of(self, own: list[int], every: Applied, hung: Sequence[Hung]) -> Loads:
        """Loads of these cases and, last, of the laden vehicle at 1 g with each of what hangs on it."""
        n, k = len(hung), len(own)
        field, force, axle = np.zeros((12, k + n)), np.zeros((len(self.force), k + n)), np.zeros((4, k + n))
        field[:, :k], field[:, k:] = self.load[:, own], gravity_field(1.0, 1.0)
        field[:6, :k] += every.field
        field[6:, :k] += every.field
        force[:, :k], axle[:, :k] = every.force, every.axle
        for j, h in enumerate(hung, k):
            for at, m in h:
                force[:, j] += self.rows.at(at, (0.0, 0.0, -m * GRAVITY))
        return Loads(field, force, axle, np.array([*(self.cases[k].gravity for k in own), *[1.0] * n]))

    def _share(
        self, names: Sequence[str], loads: Loads, heights: Array, found: Standing
    ) -> tuple[Array, tuple[str, ...]]:
        """What every case bears of its loads beside weight, and how it would tip over or ""; those that tip are put
        into `found` as they stand just short of that."""
        tips = tuple(t.words if t is not None and t.over else "" for t in found.tipping)
        share, over = np.ones(len(names)), [j for j, words in enumerate(tips) if words]
        if not over:
            return share, tips
        borne = self.wheels.borne(loads.take(over), heights[:, over])
        for j, part in zip(over, borne.tolist(), strict=True):
            if np.isnan(part):
                hint = "Move or lighten what [[masses]] lists until the weight lies between the wheels that stay down"
                raise ModelError(f"case {names[j]}", f"by its weight alone the vehicle {tips[j]}", hint)
        share[over] = SHORT_OF_TIPPING * borne
        short = self.wheels.standing(loads.take(over, share[over]), heights[:, over], told=self.told)
        short.refuse_tipping(tuple(names[j] for j in over))
        for whole, part in zip(found.arrays, short.arrays, strict=True):
            whole[:, over] = part
        return share, tips

    def _keep(self, own: list[int], which: list[int], every: Applied, stood: _Stood) -> None:
        """Put down how some (`which`) of the cases `own` stand, and what they apply at the share that they bear."""
        if not which:
            return
        to = [own[j] for j in which]
        share = stood.share[which]
        part = every.take(which)
        field, force, ground = share * part.field, share * part.force, share * part.ground
        self.share[to], self.rigid[:, to] = share, stood.rigid[:, which]
        self.load[:6, to] += field
        self.load[6:, to] += field
        self.force[:, to] = stood.force[:, which] + force
        ground[:, 2] = stood.wheels[:, which]
        for i, axle in zip((0, 2), self.chassis.axles, strict=True):
            side, up = ground[i : i + 2, 1], ground[i : i + 2, 2]
            loaded = up.sum(axis=0) > 0
            if axle.kind == "beam":  # it passes on the sum
                of_sum = up / np.where(loaded, up.sum(axis=0), 1.0)
                ground[i : i + 2, 1] = np.where(loaded, side.sum(axis=0) * of_sum, side)
        self.ground[:, :, to] = ground
        for j, k in zip(which, to, strict=True):
            clears = (f"{self.cases[k].clears} wheel",) if self.cases[k].jack else ()
            self.tips[k], self.lifted[k] = stood.tips[j], tuple(dict.fromkeys((*clears, *stood.lifted[j])))
            self.off_level[k] = stood.off_level[j]

    def _scaled(self, k: int, scale: float) -> None:
        """The laden vehicle as it stands, times a factor."""
        stood = self.laden[()]
        self.off_level[k] = stood.off_level
        self.force[:, k], self.rigid[:, k] = scale * stood.force, scale * stood.rigid
        self.ground[:, 2, k] = scale * stood.wheels

    def _jack(self, own: list[int], every: list[Applied]) -> None:
        """`_push_up` on single cases."""
        together = Applied.join(every)
        self._push_up(own, together)
        every[:] = [together.one(j) for j in range(len(own))]

    def _push_up(self, own: list[int], every: Applied) -> None:
        """Add the forces of jacks, which push until the wheels that are to clear carry nothing."""
        jacks = [j for j, k in enumerate(own) if self.cases[k].jack]
        if not jacks:
            return
        cases = [self.cases[own[j]] for j in jacks]
        mass = float(self.inertia[2, 2]) * GRAVITY + sum(self.wheels.system.weight)
        weight = mass * np.array([c.gravity for c in cases])
        found = jack_forces(self.wheels, self.rows, cases, every.take(jacks), weight)
        for j, case, push in zip(jacks, cases, found, strict=True):
            every.force[:, j] += self.rows.at(case.jack, (0.0, 0.0, push))

    def _on_stands(self, own: list[int]) -> None:
        """Cases on the same stands, all wheels hanging."""
        cases = [self.cases[k] for k in own]
        names = [link.name for link in self.wheels.full.links if link.kind not in ("stand", "wheel")]
        on = self.wheels.only([*names, *cases[0].stands])
        a = applied_together(self.chassis, cases, self.rows, self.inertia, [()] * len(own))
        loads = Loads(self.load[:, own], a.force, a.axle, np.array([c.gravity for c in cases]))
        heights = np.stack([raised(on.system, dict(c.heights)) for c in cases], axis=1)
        found = on_its_stands(cases[0], lambda: on.standing(loads, heights))
        for j, case in enumerate(cases[1:], 1):
            on_its_stands(case, partial(found.one, j))
        self.force[:, own] = frame_forces(on.system, found.forces) + a.force
        self.rigid[:, own] = found.motion[:6]
        for k in own:
            self.lifted[k], self.off_level[k] = tuple(f"{w} wheel" for w in WHEELS), True

    def _given(self, own: list[int]) -> None:
        """Springs, links and pulls with given forces, factors on those of the vehicle as it stands with what hangs on
        it; inertia balances what is missing."""
        if not own:
            return
        height = centre_height(self.chassis, self.inertia)
        force, both = np.zeros((len(self.force), len(own))), np.repeat(self.inertia[None], len(own), axis=0)
        hung: list[tuple[int, float, list[int]]] = []
        for j, k in enumerate(own):
            case, stood = self.cases[k], self.laden[self.cases[k].hung]
            self.share[k], self.tips[k], self.off_level[k] = stood.share, stood.tips, stood.off_level
            push = pushed(self.chassis, case, self.rows, stood.wheels, height)
            springs = given_forces(case, self.suspensions, stood.force)
            force[:, j] = in_place(case, self.suspensions, springs, stood.force, self.rows) + push.force
            hung += [(j, stood.share * mass, at) for mass, at in hung_rows(case, self.rows)]
            self.ground[:, 2, k] = np.array(wheel_loads(self.chassis, springs))
            self.ground[:, :, k] += push.ground
        self._balanced(own, force, both, hung)
        load, row = self.load[:, own], self._with_body(self.load[:, own], force)
        rates = np.array([s.axle.rate * s.motion_ratio**2 for s in self.suspensions for _ in range(2)])
        self.force[:, own] = row
        self.rigid[:, own] = self.footing.settle(load, row, rates, self.wheels.springs_set_up())

    def _balanced(
        self, own: list[int], force: Array, both: Array, hung: Sequence[tuple[int, float, list[int]]]
    ) -> None:
        """Add the acceleration that balances loads and support forces (r, k) to the loads, and to the forces those of
        what hangs on the frame (case, mass, rows); both (k, 6, 6): inertia of the rest.  All masses share it."""
        lever = self.footing.lever
        for j, mass, at in hung:
            both[j] += mass * lever[at].T @ lever[at]
        missing = (both @ self.load[:6, own].T[:, :, None])[:, :, 0] + force.T @ lever
        field = np.linalg.solve(both, -missing[:, :, None])[:, :, 0].T
        for j, mass, at in hung:
            force[at, j] += mass * lever[at] @ (field[:, j] + self.load[:6, own[j]])
        self.load[:, own] += np.concatenate([field, field])

    def _with_body(self, load: Array, force: Array) -> Array:
        """Forces (r, k) along the rows with that of a body that stiffens the frame, loads (12, k)."""
        at = [i for i, link in enumerate(self.wheels.full.links) if link.kind == "body"]
        if not at:
            return force
        own = self.wheels.full.coupling[0][at[0]]
        moved = own @ (self.footing.row_movements(load) + self.footing.flexibility @ force)
        twist = own @ self.footing.flexibility @ own
        stiff = twist + twist / (self.wheels.full.links[at[0]].stiffens - 1)
        out: Array = force - own[:, None] * moved / stiff
        return out


def _off_level(system: Suspended, found: Standing) -> tuple[bool, ...]:
    """Per case, whether some link is not as on level ground: a pushing one open or pulling, a stop or strap closed."""
    opens = np.array([np.isfinite(link.lowest) for link in system.links])
    stops = np.array([link.engages for link in system.links])
    springs = np.array([link.kind == "spring" for link in system.links])
    taken = found.down[stops].any(axis=0) | ~found.down[opens & ~stops].all(axis=0)
    return tuple((taken | (found.forces[springs] < 0).any(axis=0)).tolist())
