"""Which support forces, rigid motions and inertia bring each case into equilibrium."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Suspended, Suspension, raised, wheel_loads
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis
from ladderfe.errors import ModelError
from ladderfe.solve.applied import WHEELS, Applied, Rows, applied, hung_rows, pushed
from ladderfe.solve.contact import Standing
from ladderfe.solve.jack import jack_forces
from ladderfe.solve.on_axles import Loads, OnWheels, damped, given_forces, gravity_field
from ladderfe.solve.on_wheels import frame_forces
from ladderfe.solve.supports import Footing
from ladderfe.solve.tipping import greatest_share

__all__ = ["CasesInBalance", "Equilibrium", "equilibrium"]

Array = NDArray[np.float64]

#: A case that tips over is taken at this part of what tips it, so that its wheels still press a little.
SHORT_OF_TIPPING = 1 - 1e-6


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


def equilibrium(
    footing: Footing, chassis: Chassis, cases: Sequence[LoadCase], system: Suspended, suspensions: Sequence[Suspension]
) -> Equilibrium:
    """Equilibrium of every case; the first is the condition on the scales.

    Raises ModelError for a case that tips over by weight and raised feet alone.
    """
    return CasesInBalance(footing, chassis, cases, system, suspensions).solved()


class CasesInBalance:
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
        self.static, self.static_rigid, self.static_wheels = np.zeros(r), np.zeros(6), np.zeros(4)

    def solved(self) -> Equilibrium:
        """Standing cases first: the others take what the springs carry there."""
        cases = self.cases
        self.load[2] = self.load[8] = [-GRAVITY * c.gravity for c in cases]
        self.load[8, 0] = 0  # what was not aboard was not weighed
        self._on_wheels([k for k, c in enumerate(cases) if c.on_ground and not c.stands])
        for k in (k for k, c in enumerate(cases) if c.stands):
            self._on_stands(k)
        for k, case in enumerate(cases):
            if case.static_factors is not None:
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
        """Cases on their wheels, one linear problem for all, with the laden vehicle standing level added last."""
        every = [applied(self.chassis, self.cases[k], self.rows, self.inertia) for k in own]
        self._jack(own, every)
        loads = self._loads(own, every)
        zero = np.zeros((len(self.wheels.system.links), 1))
        heights = np.concatenate(
            [*(raised(self.wheels.system, dict(self.cases[k].heights))[:, None] for k in own), zero], axis=1
        )
        found = self.wheels.standing(loads, heights)
        self._keep_up(own, every, loads, found, heights)
        level = replace(found, tipping=found.tipping[-1:])
        level.refuse_tipping(("standing laden",))
        forces = frame_forces(self.wheels.system, found.forces)
        self.static, self.static_rigid = forces[:, -1], found.motion[:6, -1]
        self.static_wheels = self._wheel_forces(found)[:, -1]
        for k, case in enumerate(self.cases):
            if case.scale is not None:
                self.force[:, k], self.rigid[:, k] = case.scale * self.static, case.scale * self.static_rigid
                self.ground[:, 2, k] = case.scale * self.static_wheels
        self.off_level = _off_level(self.wheels.system, found)

    def _loads(self, own: list[int], every: Sequence[Applied]) -> Loads:
        """Loads of these cases and, last, of the laden vehicle at 1 g."""
        field = self.load[:, own].copy()
        for j, a in enumerate(every):
            field[:6, j] += a.field
            field[6:, j] += a.field
        add = [np.zeros((len(self.rows.names), 1)), np.zeros((4, 1))]
        force, axle = (
            np.concatenate([np.stack([getattr(a, what) for a in every], axis=1), more], axis=1)
            for what, more in zip(("force", "axle"), add, strict=True)
        )
        gravity = np.array([*(self.cases[k].gravity for k in own), 1.0])
        return Loads(np.concatenate([field, gravity_field(1.0, 1.0)], axis=1), force, axle, gravity)

    def _keep_up(
        self, own: list[int], every: Sequence[Applied], loads: Loads, found: Standing, heights: Array
    ) -> None:
        """Put down what was found; a case that its loads beside weight tip over is taken just short of that."""
        motion, forces, wheel = found.motion, frame_forces(self.wheels.system, found.forces), self._wheel_forces(found)
        for j, k in enumerate(own):
            share, standing, col = 1.0, found, j
            tip = found.tipping[j]
            if tip is not None and tip.over:
                self.tips[k] = tip.words
                share = SHORT_OF_TIPPING * self._bearable(k, loads, j)
                standing, col = self.wheels.standing(loads.at(j, share), heights[:, j : j + 1]), 0
                standing.refuse_tipping((self.cases[k].name,))
                forces[:, j] = frame_forces(self.wheels.system, standing.forces)[:, 0]
                motion[:, j], wheel[:, j] = standing.motion[:, 0], self._wheel_forces(standing)[:, 0]
            self.share[k] = share
            self.load[:6, k] += share * every[j].field
            self.load[6:, k] += share * every[j].field
            self.force[:, k] = forces[:, j] + share * loads.force[:, j]
            self.rigid[:, k] = motion[:6, j]
            self.ground[:, :2, k] = share * every[j].ground[:, :2]
            self.ground[:, 2, k] = wheel[:, j]
            clears = (f"{self.cases[k].clears} wheel",) if self.cases[k].jack else ()
            self.lifted[k] = tuple(dict.fromkeys((*clears, *_off_the_ground(self.wheels.system, standing, col))))

    def _bearable(self, k: int, loads: Loads, j: int) -> float:
        """Greatest share of a case's loads beside weight with which it stands."""
        zero, one = (self.wheels.pushed(loads.at(j, share))[1][:, 0] for share in (0.0, 1.0))
        share = greatest_share(self.wheels.problem, zero, one - zero)
        if share is None:
            hint = "Move a support or a load so that three supports are pushed"
            raise ModelError(f"case {self.cases[k].name}", self.tips[k], hint)
        return share

    def _wheel_forces(self, found: Standing) -> Array:
        """(4, k) N under the wheels."""
        at = [self.wheels.system.index(f"{w} wheel") for w in WHEELS]
        return found.forces[at].copy()

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
        found = on.standing(loads, raised(on.system, dict(case.heights))[:, None])
        found.refuse_tipping((case.name,))
        self.force[:, k] = frame_forces(on.system, found.forces)[:, 0] + a.force
        self.rigid[:, k] = found.motion[:6, 0]
        self.lifted[k] = tuple(f"{w} wheel" for w in WHEELS)

    def _given(self, k: int, case: LoadCase) -> None:
        """Springs, links and pulls with given forces; inertia balances what is missing."""
        push = pushed(self.chassis, case, self.rows, self.static_wheels)
        force = damped(case, self.suspensions, given_forces(case, self.suspensions, self.static), self.rows)
        force += push.force
        hung = hung_rows(case, self.rows)
        field = self._inertia(self.load[:6, k], force, hung)
        for mass, at in hung:
            force[at] += mass * self.footing.lever[at] @ (field + self.load[:6, k])
        self.load[:, k] += np.concatenate([field, field])
        self.ground[:, 2, k] = np.array(wheel_loads(self.chassis, self._from_springs(case)))
        self.ground[:, :, k] += push.ground
        self.force[:, k] = self._with_body(self.load[:, k], force)
        rates = np.array([s.axle.rate * s.motion_ratio**2 for s in self.suspensions for _ in range(2)])
        load, row = self.load[:, k : k + 1], self.force[:, k : k + 1]
        self.rigid[:, k] = self.footing.settle(load, row, rates, self.wheels.springs_set_up())[:, 0]

    def _from_springs(self, case: LoadCase) -> Array:
        """(4,) N: all that reaches the frame above the springs, stops and dampers among it, pushes left out."""
        stops = dict(case.stop_factors)
        factor = np.repeat([stops.get(s.axle.name, 0.0) for s in self.suspensions], 2)
        given = given_forces(case, self.suspensions, self.static)[:4]
        out: Array = given + factor * self.static[:4]
        return out

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


def _off_the_ground(system: Suspended, found: Standing, case: int) -> tuple[str, ...]:
    return tuple(
        link.name
        for link, down in zip(system.links, found.down[:, case], strict=True)
        if link.kind == "wheel" and not down
    )
