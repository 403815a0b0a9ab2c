"""Equilibrium and statics, worked out again from masses and places without the solver's load vectors."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass, LoadCase
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Axle, Chassis, Rail
from ladderfe.checks.proofs import Proof
from ladderfe.sections import properties
from ladderfe.solve import Solution

__all__ = ["Points", "balance_proofs", "carried_points", "residuals"]

Array = NDArray[np.float64]
ROUNDING = 1e-9


class Points(NamedTuple):
    """All masses as points that have their resultants: mass (k,) t, place (k, 3) mm, aboard (k,) when weighed."""

    mass: Array
    place: Array
    aboard: NDArray[np.bool_]


def carried_points(chassis: Chassis, solution: Solution) -> Points:
    """The masses that a frame carries, its own among them."""
    rows: list[tuple[float, ...]] = _member_points(solution)
    for line in solution.carried.lines:
        rail = next(r for r in chassis.rails if r.side == line.side)
        rows += _line_points(rail, line)
    rows += [(m.mass, *m.centre, float(m.aboard)) for m in solution.carried.masses]
    table = np.array(rows)
    return Points(table[:, 0], table[:, 1:4], table[:, 4] > 0)


def _member_points(solution: Solution) -> list[tuple[float, ...]]:
    """The frame's own mass as two Gauss points per member, which have its mass, centre and inertia."""
    mesh = solution.mesh
    ends = mesh.end_points()
    out: list[tuple[float, ...]] = []
    for m, k in enumerate(mesh.section_of):
        q = properties(mesh.sections[k])
        mass = q.metal * mesh.lengths[m] * mesh.material.density / 2
        off = q.yc * mesh.axes[m, 1] + q.zc * mesh.axes[m, 2]
        for g in (0.5 - np.sqrt(1 / 12), 0.5 + np.sqrt(1 / 12)):
            out.append((mass, *((1 - g) * ends[m, 0] + g * ends[m, 1] + off), 1.0))
    return out


def _line_points(rail: Rail, line: LineMass) -> list[tuple[float, ...]]:
    """A line mass as Gauss points between the kinks of its rail."""
    x, half, z = (np.array(v) for v in zip(*((p.station, p.half_spacing, p.height) for p in rail.path), strict=True))
    knots = sorted({line.start, line.end, *(float(v) for v in x if line.start < v < line.end)})
    gauss, weight = np.polynomial.legendre.leggauss(4)
    out: list[tuple[float, ...]] = []
    for a, b in itertools.pairwise(knots):
        ahead, aside = b - a, rail.sign * np.diff(np.interp([a, b], x, half))[0]
        square = rail.sign * np.array([-aside, ahead, 0.0]) / np.hypot(ahead, aside)  # level, outward
        for s, w in zip((a + b) / 2 + gauss * (b - a) / 2, weight * (b - a) / 2, strict=True):
            mass = w * (line.at_start + (line.at_end - line.at_start) * (s - line.start) / (line.end - line.start))
            place = np.array([s, rail.sign * np.interp(s, x, half), np.interp(s, x, z)]) + line.outward * square
            place[2] = place[2] if line.height is None else line.height
            out.append((mass, *place.tolist(), 1.0))
    return out


def _spring_points(chassis: Chassis, solution: Solution) -> Array:
    """(s, 3) where every spring's resultant acts."""
    axles = {a.name: a for a in chassis.axles}
    out = []
    for s in solution.springs:
        a = axles[s.axle]
        out.append((sum(x * share for x, share in a.seats), s.y, 0.0))
    return np.array(out)


def _six(point: Array, force: Array) -> Array:
    """(6, ...) resultant of forces (k, 3, c) at points (k, 3) about the datum."""
    return np.concatenate([force.sum(axis=0), _moments(point, force).sum(axis=0)])


def _moments(point: Array, force: Array) -> Array:
    """(k, 3, c) points (k, 3) x forces (k, 3, c)."""
    (x, y, z), (fx, fy, fz) = point.T[:, :, None], force.transpose(1, 0, 2)
    return np.stack([y * fz - z * fy, z * fx - x * fz, x * fy - y * fx], axis=1)


def balance_proofs(chassis: Chassis, solution: Solution) -> list[Proof]:
    """Equilibrium in six directions of every case, axle reactions by the lever rule, and the scales' reading."""
    masses = carried_points(chassis, solution)
    apart = residuals(chassis, solution, masses=masses)
    weight = masses.mass.sum() * GRAVITY
    holds = np.abs(solution.support_forces[-3:]).max() / weight
    return [
        Proof(
            what="equilibrium of every case, six directions",
            difference=float(np.abs(apart).max()),
            limit=ROUNDING,
            why="masses, places and reactions summed without the solver; rounding only",
        ),
        Proof(
            what="the whole vehicle: ground, pulls, stands",
            difference=float(np.abs(residuals(chassis, solution, vehicle=True, masses=masses)).max()),
            limit=ROUNDING,
            why="the same from outside, unsprung masses in it; rounding only",
        ),
        Proof(
            what="in-plane holds carry nothing",
            difference=float(holds),
            limit=ROUNDING,
            why="forces in plan are balanced by wheels or inertia; rounding only",
        ),
        *_statics(chassis, solution, masses),
    ]


def residuals(chassis: Chassis, solution: Solution, *, vehicle: bool = False, masses: Points | None = None) -> Array:
    """(6, c) what is left over of forces (over the sprung weight) and moments (over weight x wheelbase) in each case.

    Of the frame: masses in their fields, springs, links, stands and pulls.  Of the whole `vehicle`: masses, sprung and
    unsprung, the ground under the wheels, stands, jacks and pulls.  masses: its `carried_points`, if at hand.
    """
    masses = carried_points(chassis, solution) if masses is None else masses
    of_masses = _six_of_masses(solution, masses)
    total = of_masses + (_outside(chassis, solution, of_masses) if vehicle else _on_frame(chassis, solution))
    length = chassis.axles[1].station - chassis.axles[0].station
    weight = masses.mass.sum() * GRAVITY
    return np.concatenate([total[:3] / weight, total[3:] / (weight * length)])


def _six_of_masses(solution: Solution, masses: Points) -> Array:
    """(6, c) of all masses in the fields of the cases."""
    mass, place, aboard = masses
    field = np.where(aboard[:, None, None], solution.field, solution.later_field)
    return _six(place, mass[:, None, None] * (field[:, :3] - _moments(place, field[:, 3:])))


def _on_frame(chassis: Chassis, solution: Solution) -> Array:
    """(6, c) of springs, stands, links and pulls, by the places and directions that their rows name."""
    n = len(solution.springs)
    up = np.zeros((n, 3, len(solution.cases)))
    up[:, 2] = solution.support_forces[:n]
    out = _six(_spring_points(chassis, solution), up)
    return out + _rows(solution, range(n, len(solution.system.seats)))


def _rows(solution: Solution, which: Iterable[int]) -> Array:
    """(6, c) resultant of the forces along rows of the frame about the datum, from the true places."""
    mesh, out = solution.mesh, np.zeros((6, len(solution.cases)))
    for k in which:
        for name, wrench in solution.system.seats[k].places:
            p = mesh.places[name]
            at = mesh.nodes[p.node] + np.array(p.arm)
            six = _six(at[None], np.array(wrench[:3])[None, :, None])[:, 0] + [0.0, 0.0, 0.0, *wrench[3:]]
            out += six[:, None] * solution.support_forces[k]
    return out


def _outside(chassis: Chassis, solution: Solution, sprung: Array) -> Array:
    """(6, c) of unsprung masses, ground, stands and pulls; sprung (6, c): of all masses on the frame.

    Where springs have given forces the axles count as without inertia, and forces through wheels' centres as such.
    """
    cases = solution.cases
    out = np.zeros((6, len(cases)))
    for k, axle in enumerate(chassis.axles):
        for j, case in enumerate(cases):
            out[:, j] += _of_axle(chassis, axle, case, solution.field[:, j], solution.ground[2 * k : 2 * k + 2, :, j])
    first = len(solution.springs)
    names = [s.name for s in solution.system.seats]
    stands = {s for c in cases for s in c.stands}
    pulled = [k for k in range(first, len(names)) if names[k] in stands or ", along " in names[k]]
    out += _rows(solution, pulled)
    by_name = {c.name: j for j, c in enumerate(cases)}

    def whole(j: int) -> Array:
        if not cases[j].of:
            return out[:, j] + sprung[:, j]
        return np.asarray(sum(f * whole(by_name[name]) for name, f in cases[j].of))

    for j, case in enumerate(cases):
        if case.of:
            out[:, j] = whole(j) - sprung[:, j]
    return out


def _of_axle(chassis: Chassis, axle: Axle, case: LoadCase, field: Array, ground: Array) -> Array:
    """(6,) of an axle's own mass in its field and of the ground (2, 3) under its wheels."""
    weight = axle.unsprung * GRAVITY * (case.gravity if case.static_factors is None else 1.0) * case.times
    in_plan = axle.unsprung * field[:2] if case.on_ground else np.zeros(2)
    foot = chassis.ground + (axle.tyre_radius if case.at_hubs else 0.0)
    places = [[axle.station, y, foot] for y in (-axle.track / 2, axle.track / 2)]
    places.append([axle.station, 0.0, chassis.ground + axle.tyre_radius])
    forces = np.concatenate([ground, [[*in_plan, -weight]]])
    return _six(np.array(places), forces[:, :, None])[:, 0]


def _plain(case: LoadCase) -> bool:
    """True where wheels carry nothing but weight."""
    weight_only = case.on_ground or case.scale is not None
    return weight_only and not (case.in_plan or case.pulls or case.stands or case.jack) and case.times == 1


def _statics(chassis: Chassis, solution: Solution, masses: Points) -> list[Proof]:
    mass, place, aboard = masses
    front, rear = chassis.axles
    lever = (place[:, 0] - front.station) / (rear.station - front.station)
    seat_lever = [
        (sum(s * q for s, q in a.seats) - front.station) / (rear.station - front.station) for a in chassis.axles
    ]
    standing = [k for k, c in enumerate(solution.cases) if _plain(c)]
    worst = 0.0
    for k in standing:
        taken = mass * np.where(aboard, -solution.field[2, k], -solution.later_field[2, k])
        carried = [solution.axle_forces(a.name)[k] for a in chassis.axles]
        rear_by_lever = sum(f * q for f, q in zip(carried, seat_lever, strict=True))
        worst = max(worst, abs(rear_by_lever - taken @ lever), abs(sum(carried) - taken.sum()))
    scale = mass.sum() * GRAVITY
    read = [solution.axle_forces(a.name)[0] / GRAVITY + a.unsprung for a in chassis.axles]
    weighed = max(abs(r / a.load - 1) for r, a in zip(read, chassis.axles, strict=True))
    wheels = [abs(solution.support_forces[k, 0] / s.weighed - 1) for k, s in enumerate(solution.springs) if s.weighed]
    return [
        Proof(
            what="axle reactions by the lever rule",
            difference=float(worst / scale),
            limit=ROUNDING,
            why="statics; rounding only",
        ),
        Proof(
            what="what was weighed comes out again",
            difference=float(max([weighed, *wheels])),
            limit=ROUNDING,
            why="axle (and wheel) loads before any case adds to them; rounding only",
        ),
    ]
