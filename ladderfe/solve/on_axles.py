"""How a frame stands on its axles, and the forces that a case gives to its springs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Suspended, Suspension, raised, weighed_link_forces
from ladderfe.cases import damped as damper_of
from ladderfe.cases.types import GRAVITY
from ladderfe.solve.applied import Rows
from ladderfe.solve.contact import Standing, bearable, level_set_up, stand, weighed_set_up
from ladderfe.solve.lift_path import LiftPath, lift_path
from ladderfe.solve.on_wheels import link_movements, loads_on, problem_of
from ladderfe.solve.support_problem import SupportProblem
from ladderfe.solve.supports import Footing

__all__ = [
    "AS_WEIGHED", "Loads", "OnWheels", "as_weighed", "bar_couples", "given_forces", "gravity_field", "in_place",
    "limit_couple",
]  # fmt: skip

Array = NDArray[np.float64]

#: Name of the condition on the scales, the first of every set of cases.
AS_WEIGHED = "as weighed"


def as_weighed() -> LoadCase:
    """The condition on the scales: what was not aboard then carries no weight."""
    return LoadCase(name=AS_WEIGHED, kind="static", about="as on the scales", source="axle loads of the chassis file")


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """Loads of k cases: field (12, k) body fields, force (r, k) N given along the frame's rows, axle (b, k) N along the
    axles' unknowns beside their weight, gravity (k,) of the axles in g."""

    field: Array
    force: Array
    axle: Array
    gravity: Array

    def at(self, case: int, share: float = 1.0) -> Loads:
        """One case, with that share of all but its weight."""
        return self.take([case], share)

    def take(self, cases: Sequence[int], share: float | Array = 1.0) -> Loads:
        """Some cases, with that share (k,) of all but their weight."""
        weight = np.zeros((len(self.field), len(cases)))
        weight[[2, 8]] = self.field[[2, 8]][:, cases]
        field = weight + share * (self.field[:, cases] - weight)
        return Loads(field, share * self.force[:, cases], share * self.axle[:, cases], self.gravity[cases])

    def repeated(self, times: int) -> Loads:
        """Every case so many times, one after the other."""
        return Loads(*(np.repeat(a, times, axis=-1) for a in (self.field, self.force, self.axle, self.gravity)))


@dataclass(frozen=True, slots=True, eq=False)
class OnWheels:
    """A footing on its axles: the links, the support problem and how the links are set up (n,) mm.

    The springs stand on level ground; where wheel loads were weighed the links are set up so that what was weighed
    comes out exactly.  Bump stops and straps keep their gap from standing as weighed.  full: the system with all its
    stands.
    """

    footing: Footing
    system: Suspended
    problem: SupportProblem
    set_up: Array
    full: Suspended

    @staticmethod
    def of(footing: Footing, system: Suspended, suspensions: Sequence[Suspension]) -> OnWheels:
        """Set the springs up as on the scales; ModelError where the frame tips over there."""
        full, system = system, system.only(link.name for link in system.links if link.kind != "stand")
        problem = problem_of(system, footing.flexibility, footing.lever)
        load = gravity_field(1.0, 0.0)
        moved, resultant = _pushed(footing, system, load, np.ones(1))
        forces = weighed_link_forces(system, suspensions)
        if forces is None:
            set_up = level_set_up(problem, moved[:, 0], resultant[:, 0])
        else:
            set_up = _on_level_ground(system, problem, weighed_set_up(problem, moved[:, 0], forces))
        return OnWheels(footing, system, problem, set_up, full)

    def raise_wheels(self, wheels: Sequence[str], up_to: float) -> LiftPath:
        """How wheels and springs share the laden weight while some wheels ("front left") are raised together."""
        moved, resultant = _pushed(self.footing, self.system, gravity_field(1.0, 1.0), np.ones(1))
        raising = raised(self.system, {f"{w} wheel": 1.0 for w in wheels})
        return lift_path(self.problem, moved[:, 0], resultant[:, 0], self.set_up, raising, up_to)

    def springs_set_up(self) -> Array:
        """(r,) mm by which the frame's support rows are set up: springs at their seats, holds not at all."""
        out = np.zeros(len(self.footing.flexibility))
        springs = [k for k, link in enumerate(self.system.links) if link.kind == "spring"]
        out[: len(springs)] = self.set_up[springs]
        return out

    def standing(self, loads: Loads, heights: Array, *, told: bool = True) -> Standing:
        """How it stands under loads with feet raised by `heights` (n, k) mm; told: as for `stand`."""
        moved, resultant = self.pushed(loads)
        return stand(self.problem, moved, resultant, self.set_up[:, None] + heights, told=told)

    def borne(self, loads: Loads, heights: Array) -> Array:
        """(k,) the greatest share, at most 1, of all but the weight with which it stands; nan where it tips over by its
        weight alone."""
        every = list(range(len(loads.gravity)))
        alone, whole = (self.pushed(loads.take(every, share)) for share in (0.0, 1.0))
        return bearable(self.problem, alone, whole, self.set_up[:, None] + heights)

    def pushed(self, loads: Loads) -> tuple[Array, Array]:
        """(n, k) movement of the links and (m, k) loads on frame and axles."""
        moved, resultant = _pushed(self.footing, self.system, loads.field, loads.gravity)
        moved = moved + link_movements(self.system, self.footing.flexibility @ loads.force)
        resultant[:6] += self.footing.lever.T @ loads.force
        resultant[6:] += loads.axle
        return moved, resultant

    def only(self, names: Sequence[str]) -> OnWheels:
        """The same on the links that are named; stands are not set up."""
        known = {link.name: float(u) for link, u in zip(self.system.links, self.set_up, strict=True)}
        system = self.full.only(names)
        problem = problem_of(system, self.footing.flexibility, self.footing.lever)
        set_up = np.array([known.get(x.name, 0.0) for x in system.links])
        return OnWheels(self.footing, system, problem, set_up, self.full)


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


def gravity_field(aboard: float, later: float) -> Array:
    """(12, 1) body fields of so many g."""
    load = np.zeros((12, 1))
    load[2], load[8] = -GRAVITY * aboard, -GRAVITY * later
    return load


def limit_couple(suspensions: Sequence[Suspension], static: Array) -> float:
    """N mm: ground load of the lighter axle, unsprung included, x track/2: its wheel is then off the ground.

    static (r,) N: standing forces along the support rows, two springs per axle first.
    """
    loads = [float(static[2 * k : 2 * k + 2].sum()) + s.axle.unsprung * GRAVITY for k, s in enumerate(suspensions)]
    return min(load * s.axle.track / 2 for load, s in zip(loads, suspensions, strict=True))


def given_forces(case: LoadCase, suspensions: Sequence[Suspension], static: Array) -> Array:
    """(4,) N: what reaches the frame above the springs in a case with given forces, stops and dampers among it.

    static (r,): standing forces along the support rows.  A couple T at an axle changes its springs by +-T/spring base
    (wheels of independent suspensions by +-T/track).
    """
    factor, stops = dict(case.static_factors or ()), dict(case.stop_factors)
    couple = case.couple * limit_couple(suspensions, static) if case.couple else 0.0
    times = [factor[s.axle.name] + stops.get(s.axle.name, 0.0) for s in suspensions]
    out: Array = np.repeat(times, 2) * static[:4]
    for k, s in enumerate(suspensions):
        if couple:
            axle, side = case.lifted.rsplit(" ", 1)
            up = (1 if side == "left" else -1) * (1 if axle == s.axle.name else -1)
            out[2 * k : 2 * k + 2] += np.array([up, -up]) * couple / s.arm
    return out


def bar_couples(s: Suspension, springs: Array) -> list[tuple[str, float]]:
    """Of the forces (2,) N by which a couple changes springs, the part of an anti-roll bar beside torsion bars: its
    couples stay on the rails (names of rows, N mm), by its share of the roll stiffness."""
    if s.axle.torsion_bar is None:
        return []
    share = s.anti_roll / s.roll_stiffness
    sides = zip((("left", -1), ("right", 1)), springs.tolist(), strict=True)
    return [(s.axle.arm_couple_name(side), share * force * s.reach(sign)) for (side, sign), force in sides]


def in_place(case: LoadCase, suspensions: Sequence[Suspension], given: Array, static: Array, rows: Rows) -> Array:
    """(r,) N: forces above the springs (4,) along the rows of springs, stops and dampers; holds and other entries carry
    nothing.

    What stops bring beside the static forces enters above the axle.  Dampers take their force off the springs that are
    thrown up.
    """
    out, stops = np.zeros(len(static)), dict(case.stop_factors)
    out[:4] = given
    factor = dict(case.static_factors or ())
    for k, s in enumerate(suspensions):
        if case.couple:
            own = slice(2 * k, 2 * k + 2)
            times = factor[s.axle.name] + stops.get(s.axle.name, 0.0)
            out += rows.force(bar_couples(s, given[own] - times * static[own]))
        for j, side in enumerate(("left", "right")):
            name, i = s.axle.name, 2 * k + j
            if name in stops:
                out += rows.force([(f"{name} stop {side}", stops[name] * static[i])])
                out[i] -= stops[name] * static[i]
            if name in case.dampers:
                taken = damper_of(s.axle, side)
                out += rows.force(taken.entries)
                out[i] += taken.axle[0]
    return out
