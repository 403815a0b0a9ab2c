"""How much a frame bears at its coupling, winch and recovery points and behind its rear axle: the loads at which the
governing utilisation of the whole frame is 1."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.limits import Reach, search, together
from ladderfe.checks.proofs import Proof
from ladderfe.checks.tow_ground import Ground, OnGround
from ladderfe.checks.tow_loads import Load, loads_of, missing, nose_factor, rear_factor, with_mounts
from ladderfe.checks.tow_states import TowFrame
from ladderfe.checks.utilisation import Utilisation
from ladderfe.errors import ModelError
from ladderfe.solve import Solution, solve_chassis

__all__ = ["GRIP", "MOST", "Limit", "TowFindings", "check_towing"]

#: Grip of tyres on a dry road, force in plan over load (value from memory of the authors, 0.8 to 1).
GRIP = 0.8
#: Loads are looked at up to so many times the vehicle's weight, from this part of it on.
MOST, START = 100.0, 0.05
#: Part of the vehicle's weight under which the sections are found that are looked at first.
TRIAL = 0.2
#: A limit that is put back in may miss 1 by this much.
MISS = 1e-3
#: The search ends where solving again changes no utilisation by more than this.
SETTLED = 1e-5
#: Ends of a search at which there is a state to look at.
REACHED = ("found", "tips over")
#: Cases that are such a load by themselves, and the one that is with a mass.
TOWED, WHIPS = ("nose weight", "drawbar pull", "winch", "recovery"), "rear overhang whip"
#: The frame is solved anew, with finer tapers, at most this often.
ROUNDS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A load, how far it may grow (N), the governing stress there (without it where that is over already, None where
    nothing is reached) and what comes first on the ground (None where inertia balances it).  moment: of the rail at the
    rearmost spring seat, N mm, sagging positive; None where nothing is reached or no rail lies behind."""

    load: Load
    reach: Reach
    governing: Utilisation | None
    ground: Ground | None
    moment: float | None

    @property
    def greatest(self) -> float | None:
        """N at which the governing utilisation is 1, None where there is no such load."""
        return self.reach.magnitude if self.reach.how == "found" else None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TowFindings:
    """All limits of a chassis; findings: the cases at their limits, solved again from the start.

    weight: of the laden vehicle, N.  nose_factor, rear_factor: with where they come from.  missing: what the chassis
    does not name.  proofs: those of the limits alone.  own: the greatest utilisation of those of the chassis' own cases
    that have no such load; None where there are none, or where they cannot be solved.
    """

    chassis: Chassis
    findings: Findings
    limits: tuple[Limit, ...]
    weight: float
    grip: float
    nose_factor: tuple[float, str]
    rear_factor: tuple[float, str]
    missing: tuple[str, ...]
    proofs: tuple[Proof, ...]
    own: Utilisation | None = None

    @property
    def all_proofs(self) -> tuple[Proof, ...]:
        return (*self.findings.proofs, *self.proofs)

    @property
    def proven(self) -> bool:
        """True where every proof holds."""
        return all(p.holds for p in self.all_proofs)

    def of(self, *groups: str) -> tuple[Limit, ...]:
        """The limits of some groups of loads."""
        return tuple(limit for limit in self.limits if limit.load.group in groups)


def check_towing(
    chassis: Chassis,
    *,
    nose: float | None = None,
    behind: float | None = None,
    grip: float = GRIP,
    progress: Callable[[str], None] = lambda _: None,
) -> TowFindings:
    """Look for the limits of a chassis; raises as `check`, and ModelError where [towing] names no mount of its own.

    nose, behind : factors on a nose weight and on a vehicle with a load behind its rear axle, instead of the usual.
    grip : of the tyres, force in plan over load.
    """
    factors = [
        usual(chassis) if own is None else (own, "as asked for")
        for own, usual in ((nose, nose_factor), (behind, rear_factor))
    ]
    more = with_mounts(chassis)
    loads = loads_of(more, factors[0][0], factors[1][0])
    progress("looking for the limits")
    frame, reaches, findings = _settled(more, loads, progress)
    progress("looking at the ground")
    on_ground = OnGround(frame, loads)
    weight = _vehicle(chassis)
    ground = [None if load.given else on_ground.study(load, MOST * weight, grip) for load in loads]
    own = {u.case: u for u in reversed(findings.utilisations)}
    limits = tuple(
        Limit(
            load=load,
            reach=reach,
            governing=own.get(load.name, own[load.without.name] if reach.how == "already over" else None),
            ground=at,
            moment=_seat_moment(chassis, findings.solution, load.name) if load.name in own else None,
        )
        for load, reach, at in zip(loads, reaches, ground, strict=True)
    )
    return TowFindings(
        chassis=chassis, findings=findings, limits=limits, weight=weight, grip=grip, nose_factor=factors[0],
        rear_factor=factors[1], missing=missing(chassis), proofs=(_put_back(limits),), own=_without_loads(chassis),
    )  # fmt: skip


def _without_loads(chassis: Chassis) -> Utilisation | None:
    """The greatest utilisation of the chassis' own cases without a load at coupling, winch or recovery points."""
    cases = tuple(c for c in chassis.cases if c.kind not in TOWED and not (c.kind == WHIPS and c.mass))
    if not cases:
        return None
    try:
        return check(replace(chassis, cases=cases), assumptions=False).utilisations[0]
    except ModelError:  # `check` tells why; the limits do not hang on it
        return None


def _settled(
    chassis: Chassis, loads: tuple[Load, ...], progress: Callable[[str], None]
) -> tuple[TowFrame, tuple[Reach, ...], Findings]:
    """Limits, and the findings of the cases at their limits.

    The search is done again in the findings' own sections and tapers until putting the limits back gives 1.
    """
    weight = _vehicle(chassis)
    first = tuple(load.spec(TRIAL * weight) for load in loads)
    frame = TowFrame(chassis, solve_chassis(replace(chassis, cases=(CaseSpec(name="static", kind="static"), *first))))
    starts = [START * weight] * len(loads)
    for _ in range(ROUNDS):
        reaches = _reaches(frame, loads, starts, MOST * weight)
        progress("solving the cases at their limits")
        findings = check(replace(chassis, cases=_at_limits(loads, reaches)), assumptions=False)
        if _apart(loads, reaches, findings) <= SETTLED:
            break
        frame = TowFrame(chassis, findings.solution, findings.rows)
        starts = [r.magnitude * (1 + MISS) or START * weight for r in reaches]
    return frame, reaches, findings


def _reaches(frame: TowFrame, loads: Sequence[Load], starts: Sequence[float], most: float) -> tuple[Reach, ...]:
    searches = [search(size, most) for size in starts]
    return together(searches, lambda points: frame.states([(loads[k], size) for k, size in points]))


def _vehicle(chassis: Chassis) -> float:
    """Weight of the laden vehicle, N: what was weighed and what came aboard later."""
    return GRAVITY * (sum(a.load for a in chassis.axles) + sum(m.mass for m in chassis.masses if not m.aboard))


def _apart(loads: Sequence[Load], reaches: Sequence[Reach], findings: Findings) -> float:
    """How far the findings' utilisations are from those searched for."""
    ratios = {u.case: u.ratio for u in reversed(findings.utilisations)}
    own = [(ratios[load.without.name], r.without) for load, r in zip(loads, reaches, strict=True)]
    own += [(ratios[load.name], r.ratio) for load, r in zip(loads, reaches, strict=True) if r.how in REACHED]
    return max((abs(a / b - 1) for a, b in own), default=0.0)


def _at_limits(loads: Sequence[Load], reaches: Sequence[Reach]) -> tuple[CaseSpec, ...]:
    """The cases without loads, and those with a load at its limit or at what tips the vehicle over."""
    bare = {load.without.name: load.without for load in loads} or {"": CaseSpec(name="without", kind="static")}
    loaded = [load.spec(r.magnitude) for load, r in zip(loads, reaches, strict=True) if r.how in REACHED]
    return (*bare.values(), *loaded)


def _put_back(limits: Sequence[Limit]) -> Proof:
    apart = [abs(x.governing.ratio - 1) for x in limits if x.reach.how == "found" and x.governing]
    return Proof(
        what="utilisation at every limit, solved again",
        difference=max(apart, default=0.0),
        limit=MISS,
        why="the limits put into the chassis as cases of their own; by how much 1 is missed",
    )


def _seat_moment(chassis: Chassis, solution: Solution, case: str) -> float | None:
    """Bending moment (N mm, sagging positive) of the rail that has the larger one, just behind the rearmost seat."""
    seat = max(s for s, _ in chassis.axles[1].seats)
    found: list[float] = []
    for rail in chassis.rails:
        own = [m for m in solution.mesh.part(rail.name).members if solution.mesh.along[m, 0] >= seat - 1e-6]
        if own:
            first = np.array([min(own, key=lambda m: float(solution.mesh.along[m, 0]))])
            found.append(-float(solution.resultants(first, np.zeros(1))[0, 4, solution.case(case)]))
    return max(found, key=abs, default=None)
