"""Twist of the whole frame: how stiff it is, what the road can ask, what the springs allow and what it costs."""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Mapping
from dataclasses import dataclass, replace

from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.checks.bench import BenchFit, counted_from, fit_joints, scaled_joints
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.ground import MOST_TWIST
from ladderfe.checks.influence import greatest_ratio
from ladderfe.checks.proofs import Proof
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.checks.twist_lifts import (
    DIAGONALS,
    HIGHEST,
    WHEELS,
    GroundLoad,
    Lift,
    Series,
    ground_loads,
    raise_wheels,
    series_of,
)
from ladderfe.checks.twist_proofs import twist_proofs
from ladderfe.checks.twist_stiffness import Twisted, crossmember_effects, twist_frame
from ladderfe.checks.utilisation import Utilisation
from ladderfe.mesh import JointUse, build_mesh, joined, joint_uses
from ladderfe.solve import solve_chassis
from ladderfe.solve.on_axles import limit_couple

__all__ = ["BUMP", "HEIGHT", "LEVELS", "MOST_TWIST", "AtLevel", "TwistFindings", "check_twist", "twist_cases"]

#: Where in their range the joints are taken.
LEVELS = {"low": -1.0, "middle": 0.0, "high": 1.0, "rigid": math.inf}
#: Height in mm by which wheels are raised unless asked otherwise (common practice, no source: a ramp or a bank).
HEIGHT = 200.0
#: Factor of the one wheel bump on the limit couple: 1.3 on roads, to 1.8 on rough ground (course text on loads on
#: vehicle structures, factor table).
BUMP = 1.3
TWIST_KINDS = ("limit twist", "one wheel bump", "raised")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AtLevel:
    """What hangs on the joints, with the joints at one level: the bare frame twisted; effects: per crossmember the
    torsional stiffness with it removed, halved, doubled, N mm/rad; lifts: wheels raised; ratios: case -> governing
    utilisation."""

    twisted: Twisted
    effects: Mapping[str, tuple[float, float, float]]
    lifts: tuple[Lift, ...]
    ratios: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwistFindings:
    """Everything about twist.

    height: by which wheels were asked to be raised, mm.  levels: by joint level; used: the level that the chassis asks
    for, in which all else is given.  ground: both axles; couple: the limit couple, N mm, and the axle that limits it.
    findings: the twist cases.  joints: as used, with their estimate.  bench: fits of the bench tests; fitted: torsional
    stiffness with each fit's joints.  proofs: those of twist alone.
    """

    chassis: Chassis
    height: float
    levels: Mapping[str, AtLevel]
    used: str
    ground: tuple[GroundLoad, ...]
    couple: float
    lighter: str
    series: Series
    findings: Findings
    joints: tuple[JointUse, ...]
    bench: tuple[BenchFit, ...]
    fitted: tuple[float, ...]
    proofs: tuple[Proof, ...]

    @property
    def twisted(self) -> dict[str, Twisted]:
        """Level -> the bare frame twisted."""
        return {name: level.twisted for name, level in self.levels.items()}

    @property
    def ratios(self) -> dict[str, Mapping[str, float]]:
        """Level -> case -> governing utilisation."""
        return {name: level.ratios for name, level in self.levels.items()}

    @property
    def effects(self) -> Mapping[str, tuple[float, float, float]]:
        return self.levels[self.used].effects

    @property
    def lifts(self) -> tuple[Lift, ...]:
        return self.levels[self.used].lifts

    @property
    def stiffness(self) -> float:
        """N mm/rad with the joints as used."""
        return self.levels[self.used].twisted.stiffness

    def with_body(self, level: str) -> float:
        """N mm/rad of the frame as it stands, with the joints at a level: as much stiffer than bare as the file says of
        its body."""
        return self.levels[level].twisted.stiffness * self.chassis.body.stiffening

    def series_at(self, level: str) -> Series:
        """Springs and frame in series with the joints at a level."""
        return replace(self.series, frame=self.with_body(level))

    @property
    def rigid_error(self) -> float:
        """How much stiffer in twist the frame comes out with rigid joints than with those in the middle, as a share."""
        return self.twisted["rigid"].stiffness / self.twisted["middle"].stiffness - 1

    @property
    def beyond_reach(self) -> dict[str, float]:
        """Cases of a couple that cannot come about -> degrees between the axles that it would need."""
        per_couple = math.degrees(self.couple / self.with_body(self.used))
        kinds = ("limit twist", "one wheel bump")
        needed = {c.name: c.factor * per_couple for c in self.findings.chassis.cases if c.kind in kinds}
        return {name: angle for name, angle in needed.items() if angle > MOST_TWIST}

    @property
    def worst_within_reach(self) -> Utilisation | None:
        """The greatest utilisation among the cases that can come about."""
        beyond = self.beyond_reach
        return next((u for u in self.findings.utilisations if u.case not in beyond), None)

    @property
    def exceeded(self) -> bool:
        """True where a case within reach is over its limit or slender walls are over theirs in any case."""
        worst = self.worst_within_reach
        return (worst is not None and worst.ratio > 1) or self.findings.buckling.exceeded

    @property
    def all_proofs(self) -> tuple[Proof, ...]:
        return (*self.findings.proofs, *self.proofs)

    @property
    def proven(self) -> bool:
        """True where every proof holds."""
        return all(p.holds for p in self.all_proofs)


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
    """Study the twist of a chassis; raises as `check`.

    height : mm by which wheels are raised in the cases; factor : of the one wheel bump on the limit couple.
    """
    progress("solving the twist cases")
    twisting = replace(chassis, cases=_cases(chassis, height, factor))
    findings = check(twisting, assumptions=False)
    taken, used = _levels(chassis)
    levels = {}
    for name, level in taken.items():
        progress(f"twisting the frame, joints {name}")
        levels[name] = _at_level(twisting, findings, level)
    solution = findings.solution
    static = solution.support_forces[:, solution.case("static")]
    ground = ground_loads(solution.suspensions, static)
    fits = tuple(fit_joints(chassis, t) for t in chassis.bench_tests)
    twisted = {name: level.twisted for name, level in levels.items()}
    return TwistFindings(
        chassis=chassis,
        height=height,
        levels=levels,
        used=used,
        ground=ground,
        couple=limit_couple(solution.suspensions, static),
        lighter=min(ground, key=lambda g: g.couple).axle,
        series=series_of(solution.suspensions, twisted[used].stiffness * chassis.body.stiffening),
        findings=findings,
        joints=joint_uses(chassis),
        bench=fits,
        fitted=tuple(_fitted(chassis, f.factor) for f in fits),
        proofs=twist_proofs(chassis, twisted, used, levels[used].lifts, solution),
    )


def _fitted(chassis: Chassis, factor: float) -> float:
    """Torsional stiffness with the joints of a fit, N mm/rad."""
    chassis = counted_from(chassis)
    return twist_frame(chassis, scaled_joints(build_mesh(chassis), factor)).stiffness


def _levels(chassis: Chassis) -> tuple[dict[str, float], str]:
    """The levels looked at and the name of the chassis' own, which joins them where it is none of the usual."""
    own = chassis.joint_level
    used = next((name for name, level in LEVELS.items() if level == own), "as stated")
    return ({**LEVELS} if used in LEVELS else {**LEVELS, used: own}), used


def _cases(chassis: Chassis, height: float, factor: float) -> tuple[CaseSpec, ...]:
    """Standing, the chassis' own twist cases, and those of the usual that are not among them without further forces."""
    own = tuple(c for c in chassis.cases if c.kind in TWIST_KINDS)
    taken, same = {c.name for c in own}, {_what(c) for c in own}
    more = (_named(c, taken) for c in twist_cases(height, factor) if _what(c) not in same)
    return (CaseSpec(name="static", kind="static"), *own, *more)


def _what(c: CaseSpec) -> tuple[object, ...]:
    """What a twist case asks for, whatever it is called and in whichever order its wheels stand."""
    return c.kind, c.factor, frozenset(c.wheels), c.height, c.forces


def _named(c: CaseSpec, taken: Container[str]) -> CaseSpec:
    """A usual case under a name that none of the chassis' own has: with its height or factor where one has it."""
    if c.name in taken:
        size = f"{c.height:g} mm" if c.kind == "raised" else f"{c.factor:g} x limit couple"
        words = f"{c.name}, {size}"
        while words in taken:
            words += ", as asked"
        return replace(c, name=words)
    return c


def _at_level(twisting: Chassis, findings: Findings, level: float) -> AtLevel:
    chassis = joined(twisting, level)
    mesh = build_mesh(chassis)
    if level == twisting.joint_level:
        solution, stress = findings.solution, findings.stresses
    else:
        solution = solve_chassis(chassis)
        stress = stresses(solution, look_at(solution))
    peaks, highest = stress.peaks, max(HIGHEST, *(c.height for c in chassis.cases))
    return AtLevel(
        twisted=twist_frame(chassis, mesh),
        effects=crossmember_effects(chassis, mesh),
        lifts=raise_wheels(chassis, solution, highest),
        ratios={
            case.name: greatest_ratio(peaks, chassis.criteria, slice(k - 1, k + 1))
            for k, case in enumerate(solution.cases)
            if k
        },
    )
