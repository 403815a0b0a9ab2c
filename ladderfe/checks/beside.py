"""The hand calculation beside the whole frame, row by row, with what makes the difference.

Five models in order, each a step nearer to the frame: (1) the beam on paper, all sprung weight as line loads; (2) the
same beam with the frame's listed masses at their own stations; (3) carried at the spring seats instead of at the axles;
(4) both rails of the frame together, at 1 g: true mounts and crossmembers; (5) each rail of the frame at 2 x static,
which is what the paper's one rail stands for.  The changes from one to the next are the causes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.along import Along, along_part, crossings
from ladderfe.checks.one_rail import at_seats, reduced_loads
from ladderfe.checks.rows import turning_points
from ladderfe.hand import (
    BeamResult,
    HandAxle,
    HandCalculation,
    HandGiven,
    ListedMass,
    Permissible,
    RailSpan,
    Spread,
    hand_calculation,
    hand_section,
    solve_beam,
)
from ladderfe.sections import Channel
from ladderfe.solve import Solution

__all__ = ["BesideRow", "beside", "hand_of"]

Array = NDArray[np.float64]


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
    """The hand calculation of a chassis' right rail; `listed` takes the listed masses at their own stations."""
    rail = chassis.rails[1]
    axles = tuple(
        HandAxle(name=f"{a.name} axle", station=a.station, load=a.load, unsprung=a.unsprung) for a in chassis.axles
    )
    masses = tuple(
        ListedMass(name=m.name, station=m.centre[0], mass=m.mass, aboard=m.aboard)
        for m in chassis.masses
        if listed or not m.aboard
    )
    b, c = chassis.body, chassis.criteria
    return hand_calculation(
        HandGiven(
            title=chassis.title,
            start=rail.start,
            end=rail.end,
            axles=(axles[0], axles[1]),
            spread=Spread(start=b.start, end=b.end, split=b.split, distribution=b.distribution),
            spans=tuple(RailSpan(start=s.start, end=s.end, shape=s.shape, shape_end=s.shape_end) for s in rail.spans),
            masses=masses,
            permissible=Permissible(bending=c.bending, shear=c.shear, source=c.source),
        )
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Curve:
    """V and M along a rail of some model; N, N mm."""

    x: Array
    shear: Array
    moment: Array

    def between(self, a: float, b: float) -> Array:
        return np.where((self.x > a) & (self.x < b), self.moment, -np.inf)


def beside(chassis: Chassis, solution: Solution) -> tuple[HandCalculation, tuple[BesideRow, ...]]:
    """The hand calculation and its rows beside the frame's static case at 2 x static."""
    hand = hand_of(chassis)
    case = next((k for k, c in enumerate(solution.cases) if c.kind == "static" and k), 0)
    left, right = along_part(solution, "left rail"), along_part(solution, "right rail")
    listed = reduced_loads(chassis, solution)
    beams = [hand.result, solve_beam(listed), solve_beam(at_seats(chassis, listed))]
    models = [*(_of_beam(b) for b in beams), _together(left, right, case)]
    rails = [_Curve(a.station, 2 * a.shear(case), 2 * a.moment(case)) for a in (left, right)]
    rows = _reactions(chassis, solution, hand, case)
    rows += _moments(chassis, models, rails)
    rows += _stresses(chassis, solution, hand, case)
    return hand, tuple(rows)


def _of_beam(result: BeamResult) -> _Curve:
    b = result.beam
    x = np.unique(np.concatenate([np.arange(b.start, b.end, 5.0), [b.end, *b.supports]]))
    jumps = np.array([*b.supports, *(p.station for p in b.point_loads)])
    x = np.sort(np.concatenate([x, result.load.knots, jumps - 1e-6, jumps + 1e-6]))
    x = np.clip(x, b.start, b.end)
    return _Curve(
        x,
        np.array([result.shear_beside(float(s))[1] for s in x]),
        np.array([float(result.moment(float(s))) for s in x]),
    )


def _together(left: Along, right: Along, case: int) -> _Curve:
    x = np.union1d(left.station, right.station)
    v = sum(np.interp(x, a.station, a.shear(case)) for a in (left, right))
    m = sum(np.interp(x, a.station, a.moment(case)) for a in (left, right))
    return _Curve(x, np.asarray(v), np.asarray(m))


def _reactions(chassis: Chassis, solution: Solution, hand: HandCalculation, case: int) -> list[BesideRow]:
    rows = []
    for k, axle in enumerate(chassis.axles):
        side = {
            s.side: 2 * float(solution.support_forces[i, case])
            for i, s in enumerate(solution.springs)
            if s.axle == axle.name
        }
        rows.append(
            BesideRow(
                what=f"{axle.name} reaction",
                unit="N",
                hand=float(hand.result.reactions[k]),
                left=side["left"],
                right=side["right"],
                cause=_shared(side["left"], side["right"], "masses off the centre line")
                or "the same weight, shared by two springs",
            )
        )
    return rows


def _shared(left: float, right: float, why: str) -> str:
    """Words for what one side carries more, empty when within 1 %."""
    if abs(left - right) <= 0.01 * max(abs(left), abs(right)):
        return ""
    return f"{'left' if abs(left) > abs(right) else 'right'} side carries more: {why}"


def _moments(chassis: Chassis, models: list[_Curve], rails: list[_Curve]) -> list[BesideRow]:
    a, b = (axle.station for axle in chassis.axles)
    wanted: list[tuple[str, str, Callable[[_Curve], float]]] = [
        ("greatest shear", "N", lambda c: float(np.abs(c.shear).max())),
        ("greatest sagging moment", "N mm", lambda c: float(c.between(a, b).max())),
        ("  at station", "mm", lambda c: _peak_station(c, a, b)),
        (f"hogging moment, {chassis.axles[0].name} axle", "N mm", lambda c: float(-np.interp(a, c.x, c.moment))),
        (f"hogging moment, {chassis.axles[1].name} axle", "N mm", lambda c: float(-np.interp(b, c.x, c.moment))),
        ("contraflexure, front", "mm", lambda c: _contraflexure(c, a, b)[0]),
        ("contraflexure, rear", "mm", lambda c: _contraflexure(c, a, b)[1]),
    ]
    return [_row(what, unit, [float(f(m)) for m in models], [float(f(r)) for r in rails]) for what, unit, f in wanted]


def _peak_station(c: _Curve, a: float, b: float) -> float:
    """Station of the greatest moment between a and b: where V is zero beside the greatest value of the curve."""
    k = int(np.argmax(c.between(a, b)))
    near = slice(max(k - 1, 0), k + 2)
    zeros = crossings(c.x[near], c.shear[near])
    return zeros[0] if zeros else float(c.x[k])


def _contraflexure(c: _Curve, a: float, b: float) -> tuple[float, float]:
    """First and last station between the axles where the moment changes sign; not a number where there is none."""
    found = [x for x in crossings(c.x, c.moment) if a - 200 < x < b + 200]
    return (found[0], found[-1]) if found else (float("nan"), float("nan"))


def _row(what: str, unit: str, models: list[float], rails: list[float]) -> BesideRow:
    mean = sum(rails) / 2
    steps = [
        (models[1] - models[0], "listed masses act where they are, not spread"),
        (models[2] - models[1], "springs sit at their seats, not at the axles"),
        (models[3] - models[2], "carried at mounts and through crossmembers"),
        (mean - models[3], "greatest of each rail, not of both together"),
    ]
    return BesideRow(
        what=what, unit=unit, hand=models[0], left=rails[0], right=rails[1], cause=_words(steps, models[0], unit, rails)
    )


def _words(steps: list[tuple[float, str]], base: float, unit: str, rails: list[float]) -> str:
    """The steps that matter, largest first, with their size."""
    scale = 100.0 if unit == "mm" else abs(base)
    told = []
    for change, why in sorted(steps, key=lambda s: -abs(s[0])):
        if np.isfinite(change) and abs(change) > 0.01 * scale:
            told.append(f"{change:+.0f} mm: {why}" if unit == "mm" else f"{100 * change / scale:+.0f} %: {why}")
    side = "" if unit == "mm" else _shared(rails[0], rails[1], "masses off the centre line")
    if np.isfinite(base) and not np.isfinite(rails).all():
        side = "in the frame the moment keeps its sign there"
    near = "agrees within 1 mm" if unit == "mm" else "agrees within 1 %"
    return "; ".join([*told[:2], *([side] if side else [])]) or near


def _stresses(chassis: Chassis, solution: Solution, hand: HandCalculation, case: int) -> list[BesideRow]:
    """Average web shear, flange stress and utilisation where they govern: the frame's own sections, My and Vz only."""
    bending, shear = hand.governing_bending, hand.governing_shear
    found = {side: _rail_stress(solution, f"{side} rail", case) for side in ("left", "right")}
    twist = " (twist and sideways bending left out here)"
    if isinstance(chassis.rails[1].spans[0].shape, Channel):
        twist = " (open rail: vertical bending only)"
    c = chassis.criteria
    m, v = {k: f[0] for k, f in found.items()}, {k: f[1] for k, f in found.items()}
    return [
        BesideRow(
            what="average web shear",
            unit="MPa",
            hand=shear.average_shear,
            left=v["left"],
            right=v["right"],
            cause="follows the shear above" + twist,
        ),
        BesideRow(
            what="flange stress",
            unit="MPa",
            hand=bending.bending,
            left=m["left"],
            right=m["right"],
            cause="follows the moments above" + twist,
        ),
        BesideRow(
            what="utilisation, shear",
            unit="share",
            hand=shear.shear_utilisation,
            left=v["left"] / c.shear,
            right=v["right"] / c.shear,
            cause=f"of {c.shear:g} N/mm2",
        ),
        BesideRow(
            what="utilisation, bending",
            unit="share",
            hand=bending.bending_utilisation,
            left=m["left"] / c.bending,
            right=m["right"] / c.bending,
            cause=f"of {c.bending:g} N/mm2",
        ),
    ]


def _rail_stress(solution: Solution, name: str, case: int) -> tuple[float, float]:
    """Greatest flange stress M/Z and average web shear V/A_web of a rail at 2 x static, MPa, by its true sections."""
    stress, shear = 0.0, 0.0
    turning, turns_at = turning_points(solution)
    for m in solution.mesh.part(name).members:
        section = hand_section(solution.mesh.sections[int(solution.mesh.section_of[m])])
        x = np.append(np.linspace(0, float(solution.mesh.lengths[m]), 9), turns_at[turning == m])
        r = 2 * solution.resultants(np.full(len(x), m), x)[:, :, case]
        stress = max(stress, *(max(abs(s) for s in section.bending(float(-v))) for v in r[:, 4]))
        shear = max(shear, *(abs(section.average_shear(float(v))) for v in r[:, 2]))
    return stress, shear
