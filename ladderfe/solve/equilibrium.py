"""Which support forces, rigid motions and inertia bring each case into equilibrium."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Suspended, Suspension, raised, wheel_loads
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis
from ladderfe.errors import ModelError
from ladderfe.solve.applied import WHEELS, Applied, Rows, applied, centre_height, hung_rows, pushed
from ladderfe.solve.contact import Standing
from ladderfe.solve.jack import jack_forces
from ladderfe.solve.on_axles import Loads, OnWheels, given_forces, gravity_field, in_place
from ladderfe.solve.on_wheels import frame_forces
from ladderfe.solve.stands import on_its_stands
from ladderfe.solve.supports import Footing
from ladderfe.solve.tipping import greatest_share

__all__ = ["Equilibrium", "equilibrium"]

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
    lifted: per case the wheels that are off the ground; off_level: a wheel is off the ground, a spring pulls, or a
    stop or strap has taken hold in some case that stands on its wheels."""

    load: Array
    force: Array
    rigid: Array
    ground: Array
    share: Array
    tips: tuple[str, ...]
    lifted: tuple[tuple[str, ...], ...]
    off_level: bool

    def scaled(self, times: Array) -> Equilibrium:
        """All results of every case times a factor (c,)."""
        return replace(self, load=self.load * times, force=self.force * times, rigid=self.rigid * times,
                       ground=self.ground * times)  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Stood:
    """How it stands in one case at the share that it bears: force (r,) of the links on the frame's rows, rigid (6,),
    wheels (4,) N from the ground, how it would tip over or "", and the wheels off the ground."""

    force: Array
    rigid: Array
    wheels: Array
    share: float
    tips: str
    lifted: tuple[str, ...]


def equilibrium(
    footing: Footing, chassis: Chassis, cases: Sequence[LoadCase], system: Suspended, suspensions: Sequence[Suspension]
) -> Equilibrium:
    """Equilibrium of every case; the first is the condition on the scales.

    Raises ModelError for a case that tips over by weight and raised feet alone.
    """
    return _Cases(footing, chassis, cases, system, suspensions).solved()


class _Cases:
    """All cases of a frame on one footing, worked out together where they stand on the same links."""

    def __init__(
        self, footing: Footing, chassis: Chassis, cases: Sequence[LoadCase], system: Suspended,
        suspensions: Sequence[Suspension],
    ) -> None:  # fmt: skip
        self.footing, self.chassis, self.cases, self.suspensions = footing, chassis, cases, suspensions
        self.wheels = OnWheels.of(footing, system, suspensions)
        self.rows = Rows((*(s.name for s in system.seats), *system.held), footing.lever)
        self.inertia = footing.motions.T @ (footing.loads[:, :6] + footing.loads[:, 6:])  # of a rigid body
        n, r = len(cases), len(footing.flexibility)
        self.load, self.force, self.rigid = np.zeros((12, n)), np.zeros((r, n)), np.zeros((6, n))
        self.ground, self.share = np.zeros((4, 3, n)), np.ones(n)
        self.tips, self.lifted = [""] * n, [()] * n  # type: list[str], list[tuple[str, ...]]
        self.off_level = False
        self.laden: dict[Hung, _Stood] = {}

    def solved(self) -> Equilibrium:
        """Standing cases first: the others take what the springs carry there."""
        cases = self.cases
        self.load[2] = self.load[8] = [-GRAVITY * c.gravity for c in cases]
        self.load[8, 0] = 0  # what was not aboard was not weighed
        self._on_wheels([k for k, c in enumerate(cases) if c.on_ground and not c.stands])
        for k, case in enumerate(cases):
            if case.stands:
                self._on_stands(k)
            elif case.scale is not None:
                self._scaled(k, case.scale)
            elif case.static_factors is not None:
                self._given(k, case)
        times = np.array([c.times for c in cases])
        found = Equilibrium(self.load, self.force, self.rigid, self.ground, self.share, tuple(self.tips),
                            tuple(self.lifted), self.off_level)  # fmt: skip
        return self._added(found.scaled(times))

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
        self.laden = dict(zip(hung, stood[len(own) :], strict=True))
        while own:
            again = []
            for k, a, s in zip(own, every, stood, strict=False):
                idle = self._idle(a, s) - off[k]
                if idle:
                    off[k] |= idle
                    again.append(k)
                else:
                    self._keep(k, a, s)
            own = again
            every, stood = self._stand(own, (), off) if own else ([], [])

    def _stand(
        self, own: list[int], hung: Sequence[Hung], off: Mapping[int, set[str]]
    ) -> tuple[list[Applied], list[_Stood]]:
        """What these cases apply with wheels `off` the ground, and how they and the laden vehicle stand."""
        every = [applied(self.chassis, self.cases[k], self.rows, self.inertia, tuple(off[k])) for k in own]
        self._jack(own, every)
        names = [*(self.cases[k].name for k in own), *map(self._laden_in, hung)]
        loads = self._loads(own, every, hung)
        feet = [*(dict(self.cases[k].heights) for k in own), *({} for _ in hung)]
        heights = np.stack([raised(self.wheels.system, f) for f in feet], axis=1)
        found = self.wheels.standing(loads, heights)
        self.off_level = self.off_level or _off_level(self.wheels.system, found)
        return every, [
            self._borne(name, loads.at(j), heights[:, j : j + 1], found.one(j)) for j, name in enumerate(names)
        ]

    def _laden_in(self, hung: Hung) -> str:
        """The first case that takes the standing laden vehicle with this hung on it, for messages."""
        takes = (c.name for c in self.cases if c.hung == hung and (c.static_factors is not None or c.scale is not None))
        return next(takes, "standing laden")

    def _idle(self, applied: Applied, stood: _Stood) -> set[str]:
        """Wheels that carry nothing but are given a force in plan that the frame feels: fore-aft, or the side force of
        an independent one."""
        idle = stood.wheels <= NOTHING * stood.wheels.sum()
        single = np.repeat([a.kind == "independent" for a in self.chassis.axles], 2)
        felt = (applied.ground[:, 0] != 0) | (single & (applied.ground[:, 1] != 0))
        return {w for w, x in zip(WHEELS, idle & felt, strict=True) if x}

    def _loads(self, own: list[int], every: Sequence[Applied], hung: Sequence[Hung]) -> Loads:
        """Loads of these cases and, last, of the laden vehicle at 1 g with each of what hangs on it."""
        n = len(hung)
        field = np.concatenate([self.load[:, own], np.repeat(gravity_field(1.0, 1.0), n, axis=1)], axis=1)
        for j, a in enumerate(every):
            field[:6, j] += a.field
            field[6:, j] += a.field
        down = [
            sum((self.rows.at(at, (0.0, 0.0, -m * GRAVITY)) for at, m in h), np.zeros(len(self.rows.names)))
            for h in hung
        ]
        force = np.stack([*(a.force for a in every), *down], axis=1)
        axle = np.stack([*(a.axle for a in every), *np.zeros((n, 4))], axis=1)
        return Loads(field, force, axle, np.array([*(self.cases[k].gravity for k in own), *[1.0] * n]))

    def _borne(self, name: str, loads: Loads, heights: Array, found: Standing) -> _Stood:
        """How it stands in one case; one that its loads beside weight tip over is taken just short of that."""
        (tip,), system, share = found.tipping, self.wheels.system, 1.0
        tips = tip.words if tip is not None and tip.over else ""
        if tips:
            share = SHORT_OF_TIPPING * self._bearable(name, loads, tips)
            found = self.wheels.standing(loads.at(0, share), heights)
            found.refuse_tipping((name,))
        wheels = [system.index(f"{w} wheel") for w in WHEELS]
        lifted = tuple(system.links[i].name for i in wheels if not found.down[i, 0])
        force = frame_forces(system, found.forces)[:, 0]
        return _Stood(force, found.motion[:6, 0], found.forces[wheels, 0], share, tips, lifted)

    def _bearable(self, name: str, loads: Loads, tips: str) -> float:
        """Greatest share of a case's loads beside weight with which it stands."""
        zero, one = (self.wheels.pushed(loads.at(0, share))[1][:, 0] for share in (0.0, 1.0))
        share = greatest_share(self.wheels.problem, zero, one - zero)
        if share is None:
            hint = "Move or lighten what [[masses]] lists until the weight lies between the wheels that stay down"
            raise ModelError(f"case {name}", f"by its weight alone the vehicle {tips}", hint)
        return share

    def _keep(self, k: int, applied: Applied, stood: _Stood) -> None:
        """Put down how a case stands, and what it applies at the share that it bears."""
        self.share[k], self.tips[k] = stood.share, stood.tips
        self.load[:6, k] += stood.share * applied.field
        self.load[6:, k] += stood.share * applied.field
        self.force[:, k] = stood.force + stood.share * applied.force
        self.rigid[:, k] = stood.rigid
        self.ground[:, :2, k] = stood.share * applied.ground[:, :2]
        self.ground[:, 2, k] = stood.wheels
        for i, axle in zip((0, 2), self.chassis.axles, strict=True):
            own = self.ground[i : i + 2, :, k]
            if axle.kind == "beam" and own[:, 2].sum() > 0:  # it passes on the sum
                own[:, 1] = own[:, 1].sum() * own[:, 2] / own[:, 2].sum()
        clears = (f"{self.cases[k].clears} wheel",) if self.cases[k].jack else ()
        self.lifted[k] = tuple(dict.fromkeys((*clears, *stood.lifted)))

    def _scaled(self, k: int, scale: float) -> None:
        """The laden vehicle as it stands, times a factor."""
        stood = self.laden[()]
        self.force[:, k], self.rigid[:, k] = scale * stood.force, scale * stood.rigid
        self.ground[:, 2, k] = scale * stood.wheels

    def _jack(self, own: list[int], every: list[Applied]) -> None:
        """Jacks push until the wheels that are to clear carry nothing."""
        jacks = [j for j, k in enumerate(own) if self.cases[k].jack]
        if not jacks:
            return
        cases = [self.cases[own[j]] for j in jacks]
        mass = float(self.inertia[2, 2]) * GRAVITY + sum(self.wheels.system.weight)
        weight = mass * np.array([c.gravity for c in cases])
        found = jack_forces(self.wheels, self.rows, cases, [every[j] for j in jacks], weight)
        for j, case, push in zip(jacks, cases, found, strict=True):
            every[j] = replace(every[j], force=every[j].force + self.rows.at(case.jack, (0.0, 0.0, push)))

    def _on_stands(self, k: int) -> None:
        """On stands, all wheels hanging."""
        case = self.cases[k]
        names = [link.name for link in self.wheels.full.links if link.kind not in ("stand", "wheel")]
        on = self.wheels.only([*names, *case.stands])
        a = applied(self.chassis, case, self.rows, self.inertia)
        loads = Loads(self.load[:, [k]], a.force[:, None], a.axle[:, None], np.array([case.gravity]))
        found = on_its_stands(case, lambda: on.standing(loads, raised(on.system, dict(case.heights))[:, None]))
        self.force[:, k] = frame_forces(on.system, found.forces)[:, 0] + a.force
        self.rigid[:, k] = found.motion[:6, 0]
        self.lifted[k] = tuple(f"{w} wheel" for w in WHEELS)

    def _given(self, k: int, case: LoadCase) -> None:
        """Springs, links and pulls with given forces, factors on those of the vehicle as it stands with what hangs on
        it; inertia balances what is missing."""
        stood = self.laden[case.hung]
        self.share[k], self.tips[k] = stood.share, stood.tips
        height = centre_height(self.chassis, self.inertia)
        push = pushed(self.chassis, case, self.rows, stood.wheels, height)
        springs = given_forces(case, self.suspensions, stood.force)
        force = in_place(case, self.suspensions, springs, stood.force, self.rows) + push.force
        hung = [(stood.share * mass, at) for mass, at in hung_rows(case, self.rows)]
        field = self._inertia(self.load[:6, k], force, hung)
        for mass, at in hung:
            force[at] += mass * self.footing.lever[at] @ (field + self.load[:6, k])
        self.load[:, k] += np.concatenate([field, field])
        self.ground[:, 2, k] = np.array(wheel_loads(self.chassis, springs))
        self.ground[:, :, k] += push.ground
        self.force[:, k] = self._with_body(self.load[:, k], force)
        rates = np.array([s.axle.rate * s.motion_ratio**2 for s in self.suspensions for _ in range(2)])
        load, row = self.load[:, k : k + 1], self.force[:, k : k + 1]
        self.rigid[:, k] = self.footing.settle(load, row, rates, self.wheels.springs_set_up())[:, 0]

    def _inertia(self, load: Array, force: Array, hung: list[tuple[float, list[int]]]) -> Array:
        """(6,) body field of the acceleration that balances loads and support forces; all masses share it."""
        lever = self.footing.lever
        both = self.inertia.copy()
        for mass, at in hung:
            both += mass * lever[at].T @ lever[at]
        missing = both @ load + lever.T @ force
        return np.asarray(np.linalg.solve(both, -missing))

    def _with_body(self, load: Array, force: Array) -> Array:
        """Forces along the rows with that of a body that stiffens the frame."""
        at = [i for i, link in enumerate(self.wheels.full.links) if link.kind == "body"]
        if not at:
            return force
        own = self.wheels.full.coupling[0][at[0]]
        moved = own @ (self.footing.row_movements(load[:, None])[:, 0] + self.footing.flexibility @ force)
        twist = own @ self.footing.flexibility @ own
        out: Array = force - own * moved / (twist + twist / (self.wheels.full.links[at[0]].stiffens - 1))
        return out


def _off_level(system: Suspended, found: Standing) -> bool:
    """True where some link is not as on level ground: a pushing one open or pulling, a stop or strap closed."""
    opens = np.array([np.isfinite(link.lowest) for link in system.links])
    stops = np.array([link.engages for link in system.links])
    springs = np.array([link.kind == "spring" for link in system.links])
    taken = found.down[stops].any() or not found.down[opens & ~stops].all()
    return bool(taken or (found.forces[springs] < 0).any())
