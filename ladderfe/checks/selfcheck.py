"""The check that checks itself: every run proves its own numbers."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Crossmember, Rail
from ladderfe.checks.balance import balance_proofs
from ladderfe.checks.one_rail import one_rail_proof
from ladderfe.checks.proofs import Proof
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import point_table, stresses
from ladderfe.mesh import Mesh
from ladderfe.solve import Solution

__all__ = ["doubling_difference", "self_check"]

Array = NDArray[np.float64]

PRISMATIC_LIMIT = 1e-9
TAPER_LIMIT = 2e-3
#: However soft a frame is in twist, seven digits of its forces must stand.
ROUGHEST_LIMIT = 1e-7
#: Eight of 16 digits left is still more than any tape or gauge gives; rails that hardly resist twist lose up to 7.0.
DIGITS_LIMIT = 8.0


def self_check(
    chassis: Chassis, solution: Solution, doubled: Solution, apart: float | None = None
) -> tuple[Proof, ...]:
    """All proofs of a solution; `doubled` is the same chassis with every member divided in two, `apart` their
    `doubling_difference`, if at hand."""
    apart = doubling_difference(solution, doubled) if apart is None else apart
    lost = solution.footing.factor.digits_lost(solution.all_loads, solution.movements)
    halved = _doubling(solution, doubled, apart)
    proofs = [*balance_proofs(chassis, solution), one_rail_proof(chassis, solution), halved]
    if _is_mirrored(chassis):
        proofs.append(_mirror(solution))
    proofs.append(_reciprocity(solution))
    proofs.append(
        Proof(
            what="digits lost to conditioning",
            difference=lost,
            limit=DIGITS_LIMIT,
            unit="digits of 16",
            why="one refinement step of the solution; leaves eight digits, more than any input holds",
        )
    )
    return tuple(proofs)


def doubling_difference(solution: Solution, doubled: Solution) -> float:
    """Greatest relative change of resultants, stresses, movements and support forces when every member is halved.

    Forces are compared with the greatest force, moments with the greatest moment.  In frames with tapers bimoments, and
    Tw or R, are compared by the stress that they bring alone, with the greatest von Mises stress: beside a jump of the
    section (a hole's rim) they go by the taper step there, also where they hardly count.
    """
    n = len(solution.mesh.lengths)
    whole, parts = _alike_rows(solution, doubled)
    of_whole, of_parts = stresses(solution, whole).von_mises, stresses(doubled, parts).von_mises
    stress, size = float(np.abs(of_whole - of_parts).max()), float(np.abs(of_whole).max())
    ends = slice(0, n), slice(2 * n, 3 * n)
    pairs = [(whole.resultants[end], parts.resultants[end]) for end in ends]
    if solution.mesh.tapered.any():
        warping = max(_warping_apart(solution.mesh, a, b) for a, b in pairs)
        stress, pairs = max(stress, warping), [(a[:, :6], b[:, :6]) for a, b in pairs]
    u, v = (s.frame.member_movements(s.movements) for s in (solution, doubled))
    moved = np.abs(u[:, :3] - v[::2, :3]).max() / np.abs(u[:, :3]).max()
    p, q = solution.support_forces, doubled.support_forces
    forces = max(_apart(a, b) for a, b in pairs)
    return float(max(forces, moved, np.abs(p - q).max() / np.abs(p).max(), stress / size))


def _alike_rows(solution: Solution, doubled: Solution) -> tuple[Rows, Rows]:
    """The same places of both: end 1 of all members, then their middles, then end 2."""
    n, k = len(solution.mesh.lengths), np.arange(len(solution.mesh.lengths))
    length, half, rest = solution.mesh.lengths, doubled.mesh.lengths[2 * k], doubled.mesh.lengths[2 * k + 1]
    whole = _rows(solution, np.tile(k, 3), np.concatenate([np.zeros(n), length / 2, length]))
    parts = _rows(doubled, np.concatenate([2 * k, 2 * k, 2 * k + 1]), np.concatenate([np.zeros(n), half, rest]))
    return whole, parts


def _warping_apart(mesh: Mesh, a: Array, b: Array) -> float:
    """Greatest von Mises stress, MPa, that the difference of bimoments brings alone, and that of Tw or R, in resultants
    (m, 9, c) of all members."""
    table = point_table(mesh)
    normal, shear = table.normal[:, :, 6:], table.shear[:, :, 6:]
    per_unit = np.sqrt((normal**2 + 3 * shear**2).max(axis=1))[mesh.section_of]
    return float((np.abs(a - b)[:, 6:8] * per_unit[:, :, None]).max())


def _rows(solution: Solution, member: NDArray[np.int64], x: Array) -> Rows:
    return Rows(member, x, x, np.zeros(len(x), dtype=bool), solution.resultants(member, x))


def _apart(a: Array, b: Array) -> float:
    """Greatest difference of resultants (r, 9, c), or of the first of them: forces against the largest force, moments
    and bimoments likewise; the racking angle is compared by its stress."""
    kind = np.array([0, 0, 0, 1, 1, 1, 2, 1])[: a.shape[1]]
    n = len(kind)
    return _relative(np.abs(a - b)[:, :n], np.abs(a)[:, :n], np.broadcast_to(kind, (len(a), n)))


def _relative(difference: Array, size: Array, kind: NDArray[np.int64]) -> float:
    """Greatest difference over greatest size (rows, columns, c) of forces (kind 0), moments (1) and bimoments (2), the
    latter against a moment at one millimetre at least."""
    force, moment, bimoment = (float(size[kind == k].max(initial=0.0)) for k in range(3))
    sizes = force, moment, max(bimoment, moment)
    return max(float(difference[kind == k].max(initial=0.0)) / s for k, s in enumerate(sizes) if s)


def _doubling(solution: Solution, doubled: Solution, apart: float) -> Proof:
    """Prismatic members are exact: the limit is 1e-9, or what rounding leaves of forces that are small differences of
    stiffness x movement (rails that hardly resist twist, short members)."""
    limit, why = PRISMATIC_LIMIT, "prismatic members are exact; rounding only"
    rounding = min(10 * max(_rounding(solution), _rounding(doubled)), ROUGHEST_LIMIT)
    if rounding > limit:
        limit, why = rounding, "prismatic members are exact; ten times the rounding that one refinement step shows"
    if solution.mesh.tapered.any():
        why = "tapered stretches stand as steps, made finer until so; bimoments count by the stress they bring"
        limit = max(limit, TAPER_LIMIT)
    return Proof(what="every member halved", difference=apart, limit=limit, why=why)


def _rounding(solution: Solution) -> float:
    """Relative size of the member end forces that belong to one step of iterative refinement."""
    frame = solution.frame
    step = solution.footing.factor.refinement(solution.all_loads, solution.movements)
    error, force = np.abs(frame.member_stiffness @ frame.member_movements(step)), np.abs(solution.end_forces)
    kinds = np.tile([0, 0, 0, 1, 1, 1, 1, 2], (len(error), 2))
    kinds[np.ix_(frame.kernels.open_at, np.array([6, 14]))] = 2  # their seventh unknown is the warping rate
    return _relative(error, force, kinds)


def _reciprocity(solution: Solution) -> Proof:
    work = solution.footing.work()
    size = np.sqrt(np.abs(np.outer(np.diag(work), np.diag(work))))
    return Proof(
        what="reciprocity of loads and unit support forces",
        difference=float((np.abs(work - work.T) / np.maximum(size, size.max() * 1e-6)).max()),
        limit=PRISMATIC_LIMIT,
        why="Betti: the work of each on the other's movements; rounding only",
    )


def _mirror(solution: Solution) -> Proof:
    """Unit pushes in place of left springs against right springs."""
    n = len(solution.springs)
    spread = solution.footing.spread(np.array([s.rate for s in solution.springs]))[:n, :n]
    other = [
        solution.springs.index(next(t for t in solution.springs if t.axle == s.axle and t.side != s.side))
        for s in solution.springs
    ]
    apart = np.abs(spread - spread[np.ix_(other, other)]).max() / np.abs(spread).max()
    return Proof(
        what="left and right answer alike",
        difference=float(apart),
        limit=PRISMATIC_LIMIT,
        why="frame and springs are mirror images; rounding only",
    )


def _is_mirrored(chassis: Chassis) -> bool:
    left, right = chassis.rails
    brackets = {
        side: sorted(
            (o.station, o.length, o.height, repr(o.shape), repr(o.joint.stiffness))
            for o in chassis.outriggers
            if o.side == side
        )
        for side in ("left", "right")
    }
    plates = {
        side: sorted((d.station, d.thickness) for d in chassis.diaphragms if d.side == side)
        for side in ("left", "right")
    }
    tests: list[Callable[[], bool]] = [
        lambda: _alike(left, right),
        lambda: all(_symmetric(c) for c in chassis.crossmembers),
        lambda: brackets["left"] == brackets["right"],
        lambda: plates["left"] == plates["right"],
    ]
    return all(t() for t in tests)


def _alike(left: Rail, right: Rail) -> bool:
    return left.path == right.path and tuple(s.mirrored() for s in left.spans) == right.spans


def _symmetric(c: Crossmember) -> bool:
    via = tuple((-y, z) for y, z in reversed(c.via))
    level = c.station_left == c.station_right and c.height_left == c.height_right and c.via == via
    return level and c.joint_left.stiffness == c.joint_right.stiffness
