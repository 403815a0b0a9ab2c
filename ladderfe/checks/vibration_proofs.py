"""Proofs that frequencies and modes hold."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.balance import carried_points
from ladderfe.checks.proofs import Proof
from ladderfe.sections import properties_of
from ladderfe.solve import Solution
from ladderfe.solve.modes import Modes, modes_below
from ladderfe.solve.supports import rigid_motions

__all__ = ["CONVERGED_LIMIT", "vibration_proofs"]

Array = NDArray[np.float64]
#: A state's modes, how many rigid motions come first, how many after them are looked at.
Found = tuple[Modes, int, int]

#: Frequencies are printed with three figures.
CONVERGED_LIMIT = 1e-3
#: w^2 of a rigid motion against that of the first elastic mode: rounding of stiffness leaves about 1e-10 to 1e-12 (a
#: soft laden frame the most); 1e-6 is a thousandth in the frequency.
ZERO_LIMIT = 1e-6
#: Products of modes, against 1 (mass) and against the highest w^2 looked at (stiffness).
PRODUCT_LIMIT = 1e-7
#: What a static solution of the mode's own inertia forces may miss of the mode: digits that soft frames lose.
STATIC_LIMIT = 1e-6
MASS_LIMIT = 1e-9


def vibration_proofs(
    chassis: Chassis, solution: Solution, found: Mapping[str, Found], halved: float
) -> tuple[Proof, ...]:
    """All proofs; `halved`: the greatest change of a frequency when every member was halved."""
    free = [f for f in found.values() if f[1]]
    return (
        _mass(chassis, solution, found),
        _zeros(free),
        _none_missed(list(found.values())),
        _products(list(found.values())),
        _at_rest(solution, list(found.values())),
        Proof(
            what="frequencies with every member halved",
            difference=halved,
            limit=CONVERGED_LIMIT,
            why="three figures are printed; members are divided until so, and halving once more changes far less",
        ),
    )


def _mass(chassis: Chassis, solution: Solution, found: Mapping[str, Found]) -> Proof:
    """Mass, first and second moments of all states about the datum, from rigid motions and from points."""
    mass, place, _ = carried_points(chassis, solution)
    members = 2 * len(solution.mesh.ends)  # the frame's own points come first
    sections = _section_inertia(solution)
    motions, apart = rigid_motions(solution.frame), 0.0
    for name, (modes, _, _) in found.items():
        own = slice(members) if name == "bare" else slice(None)
        wanted = _rigid_matrix(mass[own], place[own], sections)
        got = motions.T @ modes.of.mass.multiply(motions)
        size = np.sqrt(np.outer(np.diag(wanted), np.diag(wanted)))
        apart = max(apart, float((np.abs(got - wanted) / size).max()))
    return Proof(
        what="mass, its centre and moments of inertia",
        difference=apart,
        limit=MASS_LIMIT,
        why="rigid motions of the mass matrix against masses and places summed without it; rounding only",
    )


def _rigid_matrix(mass: Array, place: Array, sections: Array) -> Array:
    """(6, 6) mass matrix of a rigid body about the datum from points; sections (3, 3): sum of mass x place x place of
    the sections about their centroids."""
    total, first = mass.sum(), mass @ place
    second = np.einsum("k,ki,kj->ij", mass, place, place) + sections
    x, y, z = first
    coupling = np.array([[0, z, -y], [-z, 0, x], [y, -x, 0]])
    return np.block([[total * np.eye(3), coupling], [coupling.T, np.trace(second) * np.eye(3) - second]])


def _section_inertia(solution: Solution) -> Array:
    """(3, 3) what the members' sections add to the second moments of the lines through their centroids."""
    mesh = solution.mesh
    p = properties_of(mesh.sections)
    metal = np.array([q.metal / q.A for q in p])[:, None, None]
    second = metal * np.array([[[q.Izz, q.Iyz], [q.Iyz, q.Iyy]] for q in p])
    across = mesh.axes[:, 1:]
    size = mesh.material.density * mesh.lengths
    out: Array = np.einsum("e,eia,eij,ejb->ab", size, across, second[mesh.section_of], across, optimize=True)
    return out


def _zeros(free: list[Found]) -> Proof:
    apart = [float(np.abs(m.square[:skip]).max() / m.square[skip]) for m, skip, _ in free if len(m.square) > skip]
    return Proof(
        what="six motions of the free frame have frequency 0",
        difference=max(apart),
        limit=ZERO_LIMIT,
        why="square against that of the first elastic mode; rounding of the stiffness only",
    )


def _none_missed(found: list[Found]) -> Proof:
    """Modes below a frequency in a gap past the last one looked at: as found, and counted."""
    missed = 0
    for modes, skip, count in found:
        f = modes.frequencies
        last = min(skip + count, len(f) - 1)
        if last < 1:
            continue
        gap = last + int(np.argmax(f[last:] / np.maximum(f[last - 1 : -1], 1e-9)))
        missed = max(missed, abs(modes_below(modes.of, float(f[gap - 1] + f[gap]) / 2) - gap))
    return Proof(
        what="modes found against modes counted",
        difference=float(missed),
        limit=0.0,
        unit="modes",
        why="negative pivots of stiffness less mass x square of the frequency (Sylvester); a count",
    )


def _products(found: list[Found]) -> Proof:
    apart = 0.0
    for modes, skip, count in found:
        u, square = modes.shapes[:, : skip + count], modes.square[: skip + count]
        by_mass = u.T @ modes.of.mass.multiply(u) - np.eye(len(square))
        by_stiffness = (u.T @ modes.of.stiffness_times(u) - np.diag(square)) / square.max()
        apart = max(apart, float(np.abs(by_mass).max()), float(np.abs(by_stiffness).max()))
    return Proof(
        what="modes are orthogonal in mass and stiffness",
        difference=apart,
        limit=PRODUCT_LIMIT,
        why="products summed member by member; the solution was stopped at 1e-10 of each mode",
    )


def _at_rest(solution: Solution, found: list[Found]) -> Proof:
    """Modes against the static solution under their own inertia forces, springs' forces among the loads."""
    motions, factor, apart = rigid_motions(solution.frame), solution.footing.factor, 0.0
    for modes, skip, count in found:
        u, square = modes.shapes[:, skip : skip + count], modes.square[skip : skip + count]
        of = modes.of
        loads = of.mass.multiply(u) * square - of.rows @ (of.rates[:, None] * (of.rows.T @ u))
        still = factor.solve(loads)
        still += factor.refinement(loads, still)
        lacks = u - still
        lacks -= motions @ np.linalg.lstsq(motions, lacks, rcond=None)[0]
        lengths = np.concatenate([modes.of.frame.start[:-1] + i for i in range(3)])
        apart = max(apart, float((np.abs(lacks[lengths]).max(axis=0) / np.abs(u[lengths]).max(axis=0)).max()))
    return Proof(
        what="modes against statics under their inertia",
        difference=apart,
        limit=STATIC_LIMIT,
        why="another factorisation, on a determinate footing; digits that soft frames lose",
    )
