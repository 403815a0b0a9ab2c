"""The beams between the hand calculation and the whole frame: each is one step nearer to the frame."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis
from ladderfe.checks.along import Along, crossings
from ladderfe.checks.one_rail import reduced_loads
from ladderfe.errors import ModelError
from ladderfe.hand import Beam, BeamResult, LineLoad, PointLoad, solve_beam
from ladderfe.hand.calculation import HandCalculation
from ladderfe.hand.line_loads import line_loads_from_reactions
from ladderfe.sections import properties
from ladderfe.solve import Solution

__all__ = ["Curve", "beams_between", "of_beam", "of_rails"]

Array = NDArray[np.float64]

#: A member that covers less of the rail's length than this weighs on one station, mm.
ACROSS = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """V and M along a rail of some model, what its axles carry, and where M changes sign; N, N mm, mm."""

    x: Array
    shear: Array
    moment: Array
    reactions: tuple[float, float]
    contraflexure: tuple[float, ...]

    def between(self, a: float, b: float) -> Array:
        """M between two stations, minus infinity elsewhere."""
        return np.where((self.x > a) & (self.x < b), self.moment, -np.inf)


def beams_between(chassis: Chassis, solution: Solution, hand: HandCalculation) -> list[Curve]:
    """Three beams: the frame's own weight where its metal is, then the listed masses at their own stations, then
    carried at the spring seats."""
    own = _own_weight(solution)
    listed = reduced_loads(chassis, solution)
    listed = replace(
        listed, line_loads=(*listed.line_loads, *own[0]), point_loads=(*listed.point_loads, *own[1])
    )
    heavy = _own_weight_in_place(hand, own)
    return [of_beam(solve_beam(heavy)), of_beam(solve_beam(listed)), _at_seats(chassis, listed)]


def of_beam(result: BeamResult) -> Curve:
    """V and M of a beam every 5 mm, at its knots and beside its jumps."""
    b = result.beam
    jumps = np.array([*b.supports, *(p.station for p in b.point_loads)])
    steps = np.arange(b.start, b.end, 5.0)
    x = np.concatenate([steps, [b.end, *b.supports], result.load.knots, jumps - 1e-6, jumps + 1e-6])
    x = np.clip(np.sort(x), b.start, b.end)
    shear = np.where(x >= b.end, 0.0, result.shear(x))
    return Curve(x, np.asarray(shear), np.asarray(result.moment(x)), result.reactions, result.contraflexure)


def of_rails(left: Along, right: Along, case: int, reactions: tuple[float, float]) -> Curve:
    """Both rails of the frame together; contraflexure by straight lines between their sections."""
    x = np.union1d(left.station, right.station)
    v = sum(np.interp(x, a.station, a.shear(case)) for a in (left, right))
    m = sum(np.interp(x, a.station, a.moment(case)) for a in (left, right))
    return Curve(x, np.asarray(v), np.asarray(m), reactions, tuple(crossings(x, np.asarray(m))))


def _own_weight(solution: Solution) -> tuple[tuple[LineLoad, ...], tuple[PointLoad, ...]]:
    """Every member of the frame as a load on one rail: along it, or at its station where it lies across."""
    mesh = solution.mesh
    lines, points = [], []
    for m, (a, b) in enumerate(np.sort(mesh.end_points()[:, :, 0], axis=1).tolist()):
        weight = properties(mesh.sections[int(mesh.section_of[m])]).metal * mesh.lengths[m]
        weight = float(weight * mesh.material.density * GRAVITY)
        if weight and b - a > ACROSS:
            lines.append(LineLoad(a, b, weight / (b - a), weight / (b - a)))
        elif weight:
            points.append(PointLoad((a + b) / 2, weight))
    return tuple(lines), tuple(points)


def _own_weight_in_place(hand: HandCalculation, own: tuple[tuple[LineLoad, ...], tuple[PointLoad, ...]]) -> Beam:
    """The beam on paper, of whose line loads the frame's own weight is taken out and put in its place."""
    given, paper = hand.given, hand.result.beam
    sprung = (given.axles[0].sprung_weight, given.axles[1].sprung_weight)
    aboard = [given.carried(m) for m in given.aboard]
    try:
        rest = line_loads_from_reactions(sprung, given.supports, given.spread, [*own[0], *own[1], *aboard])
    except ModelError:  # less than the frame's weight on one of the two lines
        return paper
    listed = [q for m in given.masses if isinstance(q := given.carried(m), LineLoad)]
    lines, points = (*rest, *listed, *own[0]), (*paper.point_loads, *own[1])
    start = min(paper.start, *(x.start for x in lines), *(p.station for p in points))
    end = max(paper.end, *(x.end for x in lines), *(p.station for p in points))
    return replace(paper, start=start, end=end, line_loads=lines, point_loads=points)


def _at_seats(chassis: Chassis, beam: Beam) -> Curve:
    """The same beam carried where the springs sit: an axle's force stands at the middle of its seats."""
    front, rear = (sum(x * share for x, share in axle.seats) for axle in chassis.axles)
    reactions = solve_beam(replace(beam, supports=(front, rear))).reactions
    up = [
        PointLoad(station, -reaction * share)
        for axle, reaction in zip(chassis.axles, reactions, strict=True)
        for station, share in axle.seats
    ]
    curve = of_beam(solve_beam(replace(beam, supports=(front, rear), point_loads=(*beam.point_loads, *up))))
    return replace(curve, reactions=reactions)
