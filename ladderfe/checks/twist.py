"""Twist of the whole frame: how stiff it is, what the road can ask, what the springs allow and what it costs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import wheel_loads
from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.checks.bench import BenchFit, fit_joints
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.influence import greatest_ratio
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.checks.twist_stiffness import Twisted, crossmember_effects, twist_frame
from ladderfe.mesh import build_mesh, joined
from ladderfe.solve import Solution, solve_chassis
from ladderfe.solve.equilibrium import limit_couple
from ladderfe.solve.lift_path import Change

__all__ = ["LEVELS", "Lift", "Series", "TwistFindings", "check_twist", "twist_cases"]

Array = NDArray[np.float64]

#: Where in their range the joints are taken.
LEVELS = {"low": -1.0, "middle": 0.0, "high": 1.0, "rigid": math.inf}
#: Height in mm by which wheels are raised unless asked otherwise (common practice, no source: a ramp or a bank).
HEIGHT = 200.0
#: A raised wheel is followed up to this height, mm.
HIGHEST = 600.0
#: Factor of the one wheel bump on the limit couple: 1.3 on roads, to 1.8 on rough ground (course text on loads on
#: vehicle structures, factor table).
BUMP = 1.3
WHEELS = ("front left", "front right", "rear left", "rear right")
DIAGONALS = (("front left", "rear right"), ("front right", "rear left"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lift:
    """Wheels raised together, step by step: height (j,) mm; wheel (4, j) and spring (4, j) forces in N, front left,
    front right, rear left, rear right; couple (j,) N mm that the frame carries; what lifts or touches on the way;
    tipping: in words, empty if it stands up to the last height."""

    wheels: tuple[str, ...]
    height: Array
    wheel_forces: Array
    spring_forces: Array
    couple: Array
    changes: tuple[Change, ...]
    tipping: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Springs and frame in series, N mm/rad: roll stiffness of both axles, the frame's and all together."""

    front: float
    rear: float
    frame: float

    @property
    def total(self) -> float:
        return 1 / (1 / self.front + 1 / self.rear + 1 / self.frame)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwistFindings:
    """Everything about twist.

    twisted: the bare frame by joint level; effects: per crossmember its torsional stiffness removed, halved, doubled
    (middle joints), N mm/rad; couple: the limit couple in N mm and the lighter axle; lifts; series; findings: the twist
    cases with middle joints; ratios: per case and level the governing utilisation; bench: fits of the bench tests.
    """

    chassis: Chassis
    twisted: dict[str, Twisted]
    effects: dict[str, tuple[float, float, float]]
    couple: float
    lighter: str
    lifts: tuple[Lift, ...]
    series: Series
    findings: Findings
    ratios: dict[str, dict[str, float]]
    bench: tuple[BenchFit, ...]

    @property
    def rigid_error(self) -> float:
        """How much stiffer in twist the frame comes out with rigid joints, as a share."""
        return self.twisted["rigid"].stiffness / self.twisted["middle"].stiffness - 1


def twist_cases(height: float = HEIGHT, factor: float = BUMP) -> tuple[CaseSpec, ...]:
    """The twist cases that are looked at, to either side."""
    limit = [CaseSpec(name=f"limit twist, {w} up", kind="limit twist", factor=1.0, wheels=(w,)) for w in WHEELS[:2]]
    bump = [CaseSpec(name=f"one wheel bump, {w}", kind="one wheel bump", factor=factor, wheels=(w,)) for w in WHEELS]
    one = [CaseSpec(name=f"{w} raised", kind="raised", wheels=(w,), height=height) for w in WHEELS]
    two = [CaseSpec(name=f"{a} and {b} raised", kind="raised", wheels=(a, b), height=height) for a, b in DIAGONALS]
    return (*limit, *bump, *one, *two)


def check_twist(
    chassis: Chassis,
    *,
    height: float = HEIGHT,
    factor: float = BUMP,
    progress: Callable[[str], None] = lambda _: None,
) -> TwistFindings:
    """Study the twist of a chassis; raises as `check`."""
    own = tuple(c for c in chassis.cases if c.kind in ("limit twist", "one wheel bump", "raised"))
    names = {c.name for c in own}
    cases = (*own, *(c for c in twist_cases(height, factor) if c.name not in names))
    twisting = replace(chassis, cases=(CaseSpec(name="static", kind="static"), *cases))
    progress("twisting the bare frame")
    twisted = {name: twist_frame(joined(chassis, level)) for name, level in LEVELS.items()}
    effects = crossmember_effects(joined(chassis), build_mesh(chassis))
    progress("solving the twist cases")
    findings = check(twisting, assumptions=False)
    ratios = {name: _ratios(twisting, findings, level) for name, level in LEVELS.items()}
    solution = findings.solution
    static = solution.support_forces[:, solution.case("static")]
    loads = [float(solution.axle_forces(a.name)[solution.case("static")]) / 9806.65 + a.unsprung for a in chassis.axles]
    progress("raising wheels")
    lifts = tuple(_lift(chassis, solution, w) for w in [(w,) for w in WHEELS] + list(DIAGONALS))
    front, rear = solution.suspensions
    return TwistFindings(
        chassis=chassis,
        twisted=twisted,
        effects=effects,
        couple=limit_couple(solution.suspensions, static),
        lighter=min(zip(chassis.axles, loads, strict=True), key=lambda al: al[1] * al[0].track)[0].name,
        lifts=lifts,
        series=Series(front=front.roll_stiffness, rear=rear.roll_stiffness, frame=twisted["middle"].stiffness),
        findings=findings,
        ratios=ratios,
        bench=tuple(fit_joints(chassis, t) for t in chassis.bench_tests),
    )


def _ratios(chassis: Chassis, findings: Findings, level: float) -> dict[str, float]:
    """Case -> governing utilisation with the joints at a level."""
    if level == 0:
        s, stress = findings.solution, findings.stresses
    else:
        s = solve_chassis(joined(chassis, level))
        stress = stresses(s, look_at(s))
    return {
        case.name: greatest_ratio(stress, chassis.criteria, slice(k - 1, k + 1)) for k, case in enumerate(s.cases) if k
    }


def _lift(chassis: Chassis, solution: Solution, wheels: tuple[str, ...]) -> Lift:
    path = solution.on_wheels().raise_wheels(wheels, HIGHEST)
    system = solution.on_wheels().system
    rows = system.coupling()[0].T @ path.forces
    springs = rows[: len(solution.springs)]
    arm = solution.suspensions[0].arm
    return Lift(
        wheels=wheels,
        height=path.height,
        wheel_forces=np.array(wheel_loads(chassis, springs)),
        spring_forces=springs,
        couple=(springs[0] - springs[1]) * arm / 2,
        changes=path.changes,
        tipping=path.tipping.words if path.tipping is not None else "",
    )
