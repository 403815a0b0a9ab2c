"""The hand calculation beside the whole frame, row by row, with what makes the difference.

Six models in order, each a step nearer to the frame: (1) the beam on paper, all sprung weight as line loads; (2) the
same beam with the frame's own weight where its metal is; (3) with the listed masses at their own stations; (4) carried
at the spring seats instead of at the axles; (5) both rails of the frame together, at 1 g: true mounts and crossmembers;
(6) each rail of the frame at 2 x static, which is what the paper's one rail stands for.  The changes from one to the
next are the causes.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import CaseSpec, Chassis, Rail
from ladderfe.checks.along import along_part, crossings
from ladderfe.checks.beside_models import Curve, beams_between, of_beam, of_rails
from ladderfe.checks.contraflexure import of_both_rails
from ladderfe.checks.rows import turning_points
from ladderfe.hand.calculation import HandCalculation, hand_calculation
from ladderfe.hand.given import HandAxle, HandGiven, ListedMass
from ladderfe.hand.line_loads import Spread
from ladderfe.hand.rail import Permissible, RailSpan
from ladderfe.hand.section import hand_section
from ladderfe.solve import Solution, hanging_of
from ladderfe.solve.analyse import analyse

__all__ = ["BesideRow", "beside", "hand_of"]

Array = NDArray[np.float64]

#: Differences up to this part are none; stations within as many parts of 100 mm.
NEAR = 0.01
#: Stations that a single step moves farther than this, mm, belong to two different peaks.
FAR = 200.0
#: A mass farther from the centre line than this, mm, loads one side more.
OFF_CENTRE = 1.0
#: So far to either side the moment is looked at, mm.
BESIDE = 1.0
HALVES = "the greater of both: of two webs the thinner one with half of the force"


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideRow:
    """One quantity: by hand, left and right rail of the frame at 2 x static, its unit (N, N mm, mm, MPa, share) and why
    they differ."""

    what: str
    unit: str
    hand: float
    left: float
    right: float
    cause: str


def hand_of(chassis: Chassis, *, listed: bool = False) -> HandCalculation:
    """The hand calculation of a chassis' rail, the one more utilised where the two differ (the title then names it);
    `listed` takes the listed masses at their own stations."""
    return _hand_and_rail(chassis, listed)[0]


def _hand_and_rail(chassis: Chassis, listed: bool = False) -> tuple[HandCalculation, str]:
    """The hand calculation and the name of the rail whose sections it takes, "" where both rails are alike."""
    left, right = chassis.rails
    if not _rails_differ(left, right):
        return _hand_of(chassis, right, chassis.title, listed), ""
    both = [(_hand_of(chassis, r, f"{chassis.title}, {r.name}", listed), r.name) for r in (right, left)]
    return max(both, key=lambda own: own[0].utilisation)


def _rails_differ(left: Rail, right: Rail) -> bool:
    """True where the two are no mirror images along their length."""
    spans = tuple(s.mirrored() for s in left.spans)
    return (left.start, left.end) != (right.start, right.end) or spans != right.spans


def _hand_of(chassis: Chassis, rail: Rail, title: str, listed: bool) -> HandCalculation:
    axles = tuple(
        HandAxle(name=f"{a.name} axle", station=a.station, load=a.load, unsprung=a.unsprung) for a in chassis.axles
    )
    masses = tuple(
        ListedMass(name=m.name, station=m.centre[0], mass=m.mass, aboard=m.aboard, spread=m.spread)
        for m in chassis.masses
        if listed or not m.aboard
    )
    b, c = chassis.body, chassis.criteria
    return hand_calculation(
        HandGiven(
            title=title,
            start=rail.start,
            end=rail.end,
            axles=(axles[0], axles[1]),
            spread=Spread(start=b.start, end=b.end, split=b.split, distribution=b.distribution),
            spans=tuple(
                RailSpan(start=s.start, end=s.end, shape=s.least or s.shape, shape_end=s.least_end or s.shape_end)
                for s in rail.spans
            ),
            masses=masses,
            permissible=Permissible(bending=c.bending, shear=c.shear, source=c.source),
        )
    )


def beside(chassis: Chassis, solution: Solution) -> tuple[HandCalculation, tuple[BesideRow, ...]]:
    """The hand calculation and its rows beside the frame's static case at 2 x static."""
    hand, rail = _hand_and_rail(chassis)
    solution, case = _standing(chassis, solution)
    left, right = along_part(solution, "left rail"), along_part(solution, "right rail")
    sides = [
        tuple(2 * float(solution.support_forces[i, case]) for i, s in enumerate(solution.springs) if s.side == side)
        for side in ("left", "right")
    ]
    front, rear = ((a + b) / 2 for a, b in zip(*sides, strict=True))
    models = [of_beam(hand.result), *beams_between(chassis, solution, hand)]
    models.append(of_rails(left, right, case, (front, rear)))
    rails = [
        Curve(a.station, 2 * a.shear(case), 2 * a.moment(case), (side[0], side[1]), signs[case - 1].stations)
        for a, side, signs in zip((left, right), sides, of_both_rails(solution), strict=True)
    ]
    words = _Words(_steps(chassis), _side_reason(chassis))
    return hand, (*_compared(chassis, models, rails, words), *_stresses(chassis, solution, hand, case, rail))


def _standing(chassis: Chassis, solution: Solution) -> tuple[Solution, int]:
    """A solution with the vehicle standing laden, and which case that is; solved for on the same frame where the
    chassis has no such case, or only with forces of its own."""
    for k, c in enumerate(solution.cases):
        if k and c.kind == "static" and not c.pulls and c.times == 1:
            return solution, k
    alone = replace(chassis, cases=(CaseSpec(name="standing laden", kind="static"),))
    return analyse(solution.mesh, hanging_of(alone, solution.mesh), factor=solution.footing.factor), 1


def _steps(chassis: Chassis) -> tuple[str, ...]:
    """What is otherwise from one model to the next."""
    through = "carried at mounts and through crossmembers" if chassis.masses else "carried through crossmembers"
    return (
        "the frame's own weight lies where its metal is",
        "listed masses act where they are, not spread",
        "springs sit at their seats, not at the axles",
        through,
        "greatest of each rail, not of both together",
    )


def _side_reason(chassis: Chassis) -> str:
    """Why left and right carry unlike."""
    left, right = chassis.rails
    reasons = [
        (any(abs(m.centre[1]) > OFF_CENTRE for m in chassis.masses), "masses off the centre line"),
        (any(a.wheel_loads is not None for a in chassis.axles), "wheels as weighed"),
        (_rails_differ(left, right), "rails not alike"),
    ]  # fmt: skip
    return ", ".join(words for true, words in reasons if true) or "crossmembers or brackets not alike"


def _compared(chassis: Chassis, models: list[Curve], rails: list[Curve], words: _Words) -> list[BesideRow]:
    """Reactions, shear, moments and contraflexure of the paper and of both rails."""
    (front, rear), (a, b) = chassis.axles, (axle.station for axle in chassis.axles)
    wanted: list[tuple[str, str, Callable[[Curve], float]]] = [
        (f"{front.name} reaction", "N", lambda c: c.reactions[0]),
        (f"{rear.name} reaction", "N", lambda c: c.reactions[1]),
        ("greatest shear", "N", lambda c: float(np.abs(c.shear).max())),
        ("greatest sagging moment", "N mm", lambda c: float(c.between(a, b).max())),
        ("  at station", "mm", lambda c: _peak_station(c, a, b)),
        (f"hogging moment, {front.name} axle", "N mm", lambda c: float(-np.interp(a, c.x, c.moment))),
        (f"hogging moment, {rear.name} axle", "N mm", lambda c: float(-np.interp(b, c.x, c.moment))),
        ("contraflexure, front", "mm", lambda c: _contraflexure(c, a, b)[0]),
        ("contraflexure, rear", "mm", lambda c: _contraflexure(c, a, b)[1]),
    ]
    rows = []
    for what, unit, f in wanted:
        base, *steps = (float(f(m)) for m in models)
        left, right = (float(f(r)) for r in rails)
        alike = "the same weight, shared by two springs" if what.endswith("reaction") else ""
        cause = words.cause(unit, [base, *steps, (left + right) / 2], left, right, alike)
        if what.startswith("hogging"):
            cause = _other_sign(base, left, right) + cause
        rows.append(BesideRow(what=what, unit=unit, hand=base, left=left, right=right, cause=cause))
    return rows


def _peak_station(c: Curve, a: float, b: float) -> float:
    """Station of the greatest moment between a and b: where V is zero beside the greatest value of the curve."""
    k = int(np.argmax(c.between(a, b)))
    near = slice(max(k - 1, 0), k + 2)
    zeros = crossings(c.x[near], c.shear[near])
    return zeros[0] if zeros else float(c.x[k])


def _contraflexure(c: Curve, a: float, b: float) -> tuple[float, float]:
    """Between the axles the first station where hogging turns into sagging, and the last where it turns back; not a
    number where there is none."""
    found = np.array([x for x in c.contraflexure if a - 200 < x < b + 200])
    grows = np.interp(found + BESIDE, c.x, c.moment) > np.interp(found - BESIDE, c.x, c.moment)
    front, rear = found[grows], found[~grows]
    return float(front[0]) if len(front) else float("nan"), float(rear[-1]) if len(rear) else float("nan")


def _other_sign(hand: float, left: float, right: float) -> str:
    """Words for a moment over an axle that bends the other way in the frame; "" where none does."""
    turned = [side for side, value in (("left", left), ("right", right)) if value * hand < -((0.01 * hand) ** 2)]
    how = "sags" if hand > 0 else "hogs"
    if not turned:
        return ""
    return f"the frame {how} there; " if len(turned) == 2 else f"the {turned[0]} rail {how} there; "


@dataclass(frozen=True, slots=True)
class _Words:
    """Makes the words for what makes a difference: one for each step from model to model, and for left and right."""

    steps: tuple[str, ...]
    sides: str

    def cause(self, unit: str, values: list[float], left: float, right: float, alike: str) -> str:
        """The steps that matter most, with their size; `values` of all models, the paper's first, the rails' mean last.

        `alike` is said instead of "agrees" where nothing differs.
        """
        base, mean = values[0], values[-1]
        scale = 100.0 if unit == "mm" else abs(base)
        changes = [b - a for a, b in itertools.pairwise(values)]
        told = []
        for change, why in sorted(zip(changes, self.steps, strict=True), key=lambda s: -abs(s[0])):
            if np.isfinite(change) and abs(change) > NEAR * scale:
                told.append(f"{change:+.0f} mm: {why}" if unit == "mm" else f"{100 * change / scale:+.0f} %: {why}")
        if unit == "mm" and np.isfinite(mean - base) and not np.isfinite(changes).all():
            told = [f"{mean - base:+.0f} mm in all: springs at their seats and true mounts give M another shape"]
        elif unit == "mm" and _to_and_fro(changes, mean - base):
            told = [f"{mean - base:+.0f} mm in all: two peaks of about one height take turns in being the greatest"]
        side = "" if unit == "mm" else self._shared(left, right)
        if np.isfinite(base) and not np.isfinite([left, right]).all():
            side = "in the frame the moment keeps its sign there"
        near = alike or ("agrees within 1 mm" if unit == "mm" else "agrees within 1 %")
        return "; ".join([*told[:2], *([side] if side else [])]) or near

    def _shared(self, left: float, right: float) -> str:
        """Words for what one side carries more, empty when within 1 %."""
        if abs(left - right) <= NEAR * max(abs(left), abs(right)):
            return ""
        return f"{'left' if abs(left) > abs(right) else 'right'} side carries more: {self.sides}"


def _to_and_fro(changes: list[float], whole: float) -> bool:
    """True where single steps move a station far and back again."""
    return bool(np.isfinite(changes).all()) and max(map(abs, changes)) > max(FAR, 3 * abs(whole))


def _stresses(
    chassis: Chassis, solution: Solution, hand: HandCalculation, case: int, rail: str
) -> list[BesideRow]:
    """Web shear, flange stress and utilisation where they govern: the frame's own sections, My and Vz only.

    `rail` is the one whose sections the hand calculation took, "" where both are alike.
    """
    bending, shear = hand.governing_bending, hand.governing_shear
    seen = [_rail_stress(solution, f"{side} rail", case) for side in ("left", "right")]
    stress, average, web = zip(*seen, strict=True)
    left_out = "(twist and sideways bending left out here)"
    if not all(s.shape.closed for r in chassis.rails for s in r.spans):
        left_out = "(open rail: vertical bending only)"
    c = chassis.criteria
    follows = f"by hand the {rail}'s sections, here each rail's own; follows" if rail else "follows"
    rows = [
        ("average web shear", "MPa", shear.average_shear, average, 1.0, f"{follows} the shear above {left_out}"),
        ("  or thinner web", "MPa", shear.web_shear, web, 1.0, f"{HALVES}; follows the average"),
        ("flange stress", "MPa", bending.bending, stress, 1.0, f"{follows} the moments above {left_out}"),
        ("utilisation, shear", "share", shear.shear_utilisation, web, c.shear, f"of {c.shear:g} N/mm2"),
        ("utilisation, bending", "share", bending.bending_utilisation, stress, c.bending, f"of {c.bending:g} N/mm2"),
    ]
    if (shear.average_shear, *average) == (shear.web_shear, *web):
        del rows[1]
    return [
        BesideRow(what=what, unit=unit, hand=paper, left=rails[0] / limit, right=rails[1] / limit, cause=cause)
        for what, unit, paper, rails, limit, cause in rows
    ]


def _rail_stress(solution: Solution, name: str, case: int) -> tuple[float, float, float]:
    """Greatest flange stress M/Z, average web shear V/A_web, and that or the thinner web's, of a rail at 2 x static,
    MPa, by its true sections."""
    stress, average, shear = 0.0, 0.0, 0.0
    turning, turns_at = turning_points(solution)
    for m in solution.mesh.part(name).members:
        section = hand_section(solution.mesh.least_sections[int(solution.mesh.section_of[m])])
        x = np.append(np.linspace(0, float(solution.mesh.lengths[m]), 9), turns_at[turning == m])
        r = 2 * solution.resultants(np.full(len(x), m), x)[:, :, case]
        stress = max(stress, *(max(abs(s) for s in section.bending(float(-v))) for v in r[:, 4]))
        average = max(average, *(section.average_shear(float(v)) for v in r[:, 2]))
        shear = max(shear, *(section.web_shear(float(v)) for v in r[:, 2]))
    return stress, average, shear
