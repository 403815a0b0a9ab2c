"""The same rail twice: as a closed-form beam on two supports and by the frame solver reduced to that beam."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis, Mass
from ladderfe.checks.proofs import Proof
from ladderfe.elements import Beams, LineLoads, Members, resultants
from ladderfe.hand import Beam, LineLoad, PointLoad, solve_beam
from ladderfe.solve import Factor, Frame, Solution

__all__ = ["one_rail_proof", "reduced_loads"]

Array = NDArray[np.float64]


def reduced_loads(chassis: Chassis, solution: Solution) -> Beam:
    """One straight rail that carries all line masses and listed masses at 1 g, on the two axles.

    It reaches as far as the farthest mass that overhangs the rail's ends.
    """
    lines = [_line_load(line) for line in solution.carried.lines]
    lines += [_spread(m) for m in solution.carried.masses if m.spread is not None]
    points = [PointLoad(m.centre[0], m.mass * GRAVITY, m.name) for m in solution.carried.masses if m.spread is None]
    lo = min(*(r.start for r in chassis.rails), *(p.station for p in points), *(line.start for line in lines))
    hi = max(*(r.end for r in chassis.rails), *(p.station for p in points), *(line.end for line in lines))
    a, b = chassis.axles
    return Beam(start=lo, end=hi, supports=(a.station, b.station), line_loads=tuple(lines), point_loads=tuple(points))


def _line_load(line: LineMass) -> LineLoad:
    return LineLoad(line.start, line.end, line.at_start * GRAVITY, line.at_end * GRAVITY, line.name)


def _spread(mass: Mass) -> LineLoad:
    """A mass that lies along the rails: sum and moment of a trapezium."""
    start, end = mass.spread or (0.0, 0.0)
    even, tilt = mass.mass * GRAVITY / (end - start), (6 * mass.centre[0] - 3 * (start + end)) / (end - start)
    return LineLoad(start, end, even * (1 - tilt), even * (1 + tilt), mass.name)


def one_rail_proof(chassis: Chassis, solution: Solution) -> Proof:
    """Shear and moment of the reduced beam at all stations, and both reactions: closed form against frame solver."""
    beam = reduced_loads(chassis, solution)
    closed = solve_beam(beam)
    x, v, m, reactions = _by_frame(beam, solution.frame.beams.take(np.array(solution.mesh.part("left rail").members)))
    apart = [abs(a - b) / sum(closed.reactions) for a, b in zip(reactions, closed.reactions, strict=True)]
    moment = np.array([closed.moment(float(s)) for s in x])
    apart.append(float(np.abs(m - moment).max() / np.abs(moment).max()))
    middle = np.array([closed.shear(float(s)) for s in (x[1:] + x[:-1]) / 2])
    apart.append(float(np.abs(v - middle).max() / np.abs(middle).max()))
    return Proof(
        what="one rail as a beam: closed form against the frame solver",
        difference=max(apart),
        limit=1e-9,
        why="reactions, shear and moment at every station; both are exact, rounding only",
    )


def _by_frame(beam: Beam, own: Beams) -> tuple[Array, Array, Array, tuple[float, float]]:
    """Stations, V in the middle of every member, M at every station and reactions, by the frame solver."""
    x = np.unique(
        [
            beam.start,
            beam.end,
            *beam.supports,
            *(p.station for p in beam.point_loads),
            *np.linspace(beam.start, beam.end, 9),
        ]
    )
    n = len(x)
    members = np.arange(n - 1)
    picked = own.take(np.minimum(members * len(own) // n, len(own) - 1))
    zero = np.zeros((n - 1, 2))
    beams = Beams(np.diff(x), picked.EA, picked.GJ, picked.bending, picked.shear, zero, zero)
    nodes = np.stack([x, np.zeros(n), np.zeros(n)], axis=1)
    ends = np.stack([members, members + 1], axis=1)
    frame = Frame(nodes, ends, np.zeros((n - 1, 2, 3)), np.broadcast_to(np.eye(3), (n - 1, 3, 3)), beams)
    front, rear = (int(np.argmin(np.abs(x - s))) for s in beam.supports)
    factor = Factor(
        frame, np.array([6 * front, 6 * front + 1, 6 * front + 2, 6 * front + 3, 6 * front + 5, 6 * rear + 2])
    )
    lines = _lines(beam, x)
    end_loads = np.zeros((n - 1, 16, 1))
    np.add.at(end_loads, lines.member, Members.of(beams).each_equivalent(lines))
    loads = frame.gather(end_loads)
    for p in beam.point_loads:
        loads[6 * int(np.argmin(np.abs(x - p.station))) + 2, 0] -= p.force
    u = factor.solve(loads)
    f = frame.end_forces(frame.member_movements(u), end_loads)[:, :6]
    my = resultants(beams, f, lines, np.append(members, n - 2), np.append(np.zeros(n - 1), x[-1] - x[-2]))[:, 4, 0]
    vz = resultants(beams, f, lines, members, np.diff(x) / 2)[:, 2, 0]
    held = (frame.multiply(u) - loads)[:, 0]
    return x, -vz, -my, (float(held[6 * front + 2]), float(held[6 * rear + 2]))


def _lines(beam: Beam, x: Array) -> LineLoads:
    rows = []
    for load in beam.line_loads:
        growth = (load.q_end - load.q_start) / (load.end - load.start)
        for k, (a, b) in enumerate(itertools.pairwise(x)):
            p, q = max(a, load.start), min(b, load.end)
            if q > p:
                rows.append((k, p - a, q - a, load.q_start + growth * (p - load.start), growth))
    table = np.array(rows)
    force = np.zeros((len(rows), 3, 3, 1))
    force[:, 0, 2, 0], force[:, 1, 2, 0] = -table[:, 3], -table[:, 4]
    return LineLoads(table[:, 0].astype(np.int64), table[:, 1], table[:, 2], np.zeros((len(rows), 2)), force)
