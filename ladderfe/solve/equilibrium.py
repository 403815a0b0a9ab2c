"""Which support forces, rigid motions and inertia bring each case into equilibrium."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Suspended, Suspension, raised, weighed_link_forces
from ladderfe.cases.types import GRAVITY
from ladderfe.solve.contact import Standing, level_set_up, stand, weighed_set_up
from ladderfe.solve.lift_path import LiftPath, lift_path
from ladderfe.solve.on_wheels import frame_forces, link_movements, loads_on, problem_of
from ladderfe.solve.support_problem import SupportProblem
from ladderfe.solve.supports import Footing

__all__ = ["AS_WEIGHED", "Equilibrium", "OnWheels", "as_weighed", "equilibrium", "limit_couple"]

Array = NDArray[np.float64]

#: Name of the condition on the scales, the first of every set of cases.
AS_WEIGHED = "as weighed"


def as_weighed() -> LoadCase:
    """The condition on the scales: what was not aboard then carries no weight."""
    return LoadCase(name=AS_WEIGHED, kind="static", about="as on the scales", source="axle loads of the chassis file")


@dataclass(frozen=True, slots=True, eq=False)
class Equilibrium:
    """load (12, c): body fields of what was aboard and of what was not; force (r, c) along the support rows; rigid
    (6, c); lifted: per case the wheels that are off the ground; off_level: a wheel is off the ground, a spring pulls,
    or a stop or strap has taken hold in some case."""

    load: Array
    force: Array
    rigid: Array
    lifted: tuple[tuple[str, ...], ...]
    off_level: bool


@dataclass(frozen=True, slots=True, eq=False)
class OnWheels:
    """A footing on its axles: the links, the support problem and how the links are set up (n,) mm.

    The springs stand on level ground; where wheel loads were weighed the links are set up so that what was weighed
    comes out exactly.  Bump stops and straps keep their gap from standing as weighed.
    """

    footing: Footing
    system: Suspended
    problem: SupportProblem
    set_up: Array

    @staticmethod
    def of(footing: Footing, system: Suspended, suspensions: Sequence[Suspension]) -> OnWheels:
        """Set the springs up as on the scales; ModelError where the frame tips over there."""
        problem = problem_of(system, footing.flexibility, footing.lever)
        load = _gravity(1.0, 0.0)
        moved, resultant = _pushed(footing, system, load, np.ones(1))
        forces = weighed_link_forces(system, suspensions)
        if forces is None:
            set_up = level_set_up(problem, moved[:, 0], resultant[:, 0])
        else:
            set_up = _on_level_ground(system, problem, weighed_set_up(problem, moved[:, 0], forces))
        return OnWheels(footing, system, problem, set_up)

    def raise_wheels(self, wheels: Sequence[str], up_to: float) -> LiftPath:
        """How wheels and springs share the laden weight while some wheels ("front left") are raised together."""
        moved, resultant = _pushed(self.footing, self.system, _gravity(1.0, 1.0), np.ones(1))
        raising = raised(self.system, {f"{w} wheel": 1.0 for w in wheels})
        return lift_path(self.problem, moved[:, 0], resultant[:, 0], self.set_up, raising, up_to)

    def springs_set_up(self) -> Array:
        """(r,) mm by which the frame's support rows are set up: springs at their seats, holds not at all."""
        out = np.zeros(len(self.footing.flexibility))
        springs = [k for k, link in enumerate(self.system.links) if link.kind == "spring"]
        out[: len(springs)] = self.set_up[springs]
        return out

    def standing(self, load: Array, gravity: Array, heights: Array) -> Standing:
        """How it stands under loads (12, k) with the axles at `gravity` (k,) and feet raised by `heights` (n, k) mm."""
        moved, resultant = _pushed(self.footing, self.system, load, gravity)
        return stand(self.problem, moved, resultant, self.set_up[:, None] + heights)


def _on_level_ground(system: Suspended, problem: SupportProblem, set_up: Array) -> Array:
    """(n,) mm: the same set-up counted from wheels on level ground and from springs as free of set-up as can be.

    A set-up that belongs to a rigid motion of axles or frame asks for no force; only what twists them is left.
    """
    kinds = np.array([link.kind for link in system.links])
    wheels, level = kinds == "wheel", np.isin(kinds, ("spring", "hold"))
    axles = np.linalg.lstsq(problem.lever[wheels, 6:], set_up[wheels], rcond=None)[0]
    out = set_up - problem.lever[:, 6:] @ axles
    frame = np.linalg.lstsq(problem.lever[level, :6], out[level], rcond=None)[0]
    return np.asarray(out - problem.lever[:, :6] @ frame)


def _pushed(footing: Footing, system: Suspended, load: Array, gravity: Array) -> tuple[Array, Array]:
    """(n, k) movement of the links and (m, k) loads on frame and axles under loads (12, k)."""
    return link_movements(system, footing.row_movements(load)), loads_on(system, footing.resultant(load), gravity)


def _gravity(aboard: float, later: float) -> Array:
    """(12, 1) body fields of so many g."""
    load = np.zeros((12, 1))
    load[2], load[8] = -GRAVITY * aboard, -GRAVITY * later
    return load


def equilibrium(
    footing: Footing, cases: Sequence[LoadCase], system: Suspended, suspensions: Sequence[Suspension]
) -> Equilibrium:
    """Equilibrium of every case; the first is the condition on the scales.

    Raises ModelError for a case that tips over.
    """
    wheels = OnWheels.of(footing, system, suspensions)
    n, r = len(cases), len(footing.flexibility)
    load, force, rigid = np.zeros((12, n)), np.zeros((r, n)), np.zeros((6, n))
    load[2] = load[8] = [-GRAVITY * c.gravity for c in cases]
    load[8, 0] = 0  # what was not aboard was not weighed
    lifted: list[tuple[str, ...]] = [()] * n
    own = [k for k, c in enumerate(cases) if c.stands]
    every = np.concatenate([load[:, own], _gravity(1.0, 1.0)], axis=1)
    heights = np.stack([*(raised(system, dict(cases[k].heights)) for k in own), np.zeros(len(system.links))], axis=1)
    found = wheels.standing(every, np.ones(len(own) + 1), heights)
    found.refuse_tipping((*(cases[k].name for k in own), "standing laden"))
    forces = frame_forces(system, found.forces)
    force[:, own], rigid[:, own] = forces[:, :-1], found.motion[:6, :-1]
    for j, k in enumerate(own):
        lifted[k] = _off_the_ground(system, found, j)
    for k, case in enumerate(cases):
        if case.scale is not None:
            force[:, k], rigid[:, k] = case.scale * forces[:, -1], case.scale * found.motion[:6, -1]
        elif case.static_factors is not None:
            force[:, k] = given_forces(case, suspensions, forces[:, -1])
            load[:, k] += _inertia(footing, load[:, k], force[:, k])
            rates = np.array([s.axle.rate * s.motion_ratio**2 for s in suspensions for _ in range(2)])
            rigid[:, k] = footing.settle(load[:, k : k + 1], force[:, k : k + 1], rates, wheels.springs_set_up())[:, 0]
    return Equilibrium(load, force, rigid, tuple(lifted), _off_level(system, found))


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


def limit_couple(suspensions: Sequence[Suspension], static: Array) -> float:
    """N mm: ground load of the lighter axle, unsprung included, x track/2: its wheel is then off the ground.

    static (r,) N: standing forces along the support rows, two springs per axle first.
    """
    loads = [float(static[2 * k : 2 * k + 2].sum()) + s.axle.unsprung * GRAVITY for k, s in enumerate(suspensions)]
    return min(load * s.axle.track / 2 for load, s in zip(loads, suspensions, strict=True))


def given_forces(case: LoadCase, suspensions: Sequence[Suspension], static: Array) -> Array:
    """(r,) support forces of a case with given spring forces; the holds carry nothing.

    A couple T at an axle changes its springs by +-T/spring base (wheels of independent suspensions by +-T/track).
    """
    factor = dict(case.static_factors or ())
    couple = case.couple * limit_couple(suspensions, static)
    out = np.zeros(len(static))
    for k, s in enumerate(suspensions):
        out[2 * k : 2 * k + 2] = factor[s.axle.name] * static[2 * k : 2 * k + 2]
        if couple:
            axle, side = case.lifted.rsplit(" ", 1)
            up = (1 if side == "left" else -1) * (1 if axle == s.axle.name else -1)
            out[2 * k : 2 * k + 2] += np.array([up, -up]) * couple / s.arm
    return out


def _inertia(footing: Footing, load: Array, force: Array) -> Array:
    """(12,) body field of the acceleration that balances loads and support forces; all masses share it."""
    both = footing.motions.T @ (footing.loads[:, :6] + footing.loads[:, 6:])  # (6, 6): the mass matrix of a rigid body
    missing = footing.resultant(load[:, None])[:, 0] + footing.lever.T @ force
    field = np.linalg.solve(both, -missing)
    return np.concatenate([field, field])
