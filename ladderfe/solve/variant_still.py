"""The part of a frame that does not vary, condensed once to the unknowns at which something does.

With I the unknowns of which nothing varies and B the others, K of the members and joints that stay:

    u_I = K_II^-1 (f_I - K_IB u_B),    K_BB - K_BI K_II^-1 K_IB  and  f_B - K_BI K_II^-1 f_I  are what B sees.

Loads are sums of fixed columns (own mass and listed masses per body field, patterns of line masses, support rows).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import mount_wrenches
from ladderfe.elements import PLACES, LineLoads
from ladderfe.elements.pieces import take_loads
from ladderfe.mesh.varied import Varied
from ladderfe.solve.body_forces import add_wrench, unit_fields
from ladderfe.solve.frame import Frame, JointEnergy, rigid_arm
from ladderfe.solve.respond import Hanging
from ladderfe.solve.section_rows import section_rows
from ladderfe.solve.supports import HOLDS, rigid_motions
from ladderfe.solve.variant_loads import Patterns, own_lines

__all__ = ["Held", "Still", "held_places"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """What acts at a named place: its node and true point, loads (6, 12) of listed masses per unit body field (aboard,
    not aboard) and (6, r) of unit forces along the support rows."""

    node: int
    point: Array
    masses: Array
    rows: Array


def held_places(frame: Frame, hanging: Hanging) -> dict[str, Held]:
    """All places at which masses hang or supports hold."""
    seats = hanging.suspended().seats
    r = len(seats) + len(HOLDS)
    out: dict[str, Held] = {}

    def at(name: str) -> Held:
        p = hanging.places[name]
        return out.setdefault(
            name, Held(p.node, frame.nodes[p.node] + np.array(p.arm), np.zeros((6, 12)), np.zeros((6, r)))
        )

    by_name = {m.name: m for m in hanging.mounts}
    for mass in hanging.carried.masses:
        own = tuple(by_name[n] for n in mass.mounts)
        at_centre = mass.mass * unit_fields(np.array([mass.centre]))[0]
        first = 0 if mass.aboard else 6
        for mount, wrench in zip(own, mount_wrenches(mass, own), strict=True):
            at(mount.name).masses[:, first : first + 6] += wrench @ at_centre
    for k, seat in enumerate(seats):
        for place, direction in seat.places:
            at(place).rows[:, k] += direction
    return out


def hold_rows(frame: Frame, hanging: Hanging) -> list[tuple[int, int]]:
    """Row and unknown of the in-plane holds."""
    seats = hanging.suspended().seats
    out = []
    for k, (axle, way, _) in enumerate(HOLDS):
        place = seats[0 if axle == "front" else 2].places[0][0]
        out.append((len(seats) + k, int(frame.start[hanging.places[place].node]) + way))
    return out


@dataclass(frozen=True, eq=False)
class Still:
    """inner: unknowns I, outer: unknowns B (b,).  Columns of loads: 6 of own mass and listed masses aboard, 6 of the
    others, p patterns, r rows.  stiffness (b, b), loads (b, 12 + p + r) as B sees them; rows (r, 12 + p + r): movement
    along the rows by loads on I while B rests (along rows at I alone); movements (unknowns, b + 12 + p + r): of all
    unknowns by B's and by loads; resultant (6, 12 + p).

    members: those that stay; ends, forces (m, 16, b + 12 + p + r): their movements and forces; lines: line loads of
    members that stay for the first 12 + p columns (the second six: none).
    """

    inner: IntArray
    outer: IntArray
    stiffness: Array
    loads: Array
    rows: Array
    movements: Array
    resultant: Array
    members: IntArray
    ends: Array
    forces: Array
    lines: LineLoads
    patterns: int
    supports: int


def still_part(
    varied: Varied,
    frame: Frame,
    hanging: Hanging,
    patterns: tuple[Patterns, IntArray],
    parts: tuple[IntArray, IntArray, IntArray],
) -> Still:
    """Condense what stays.  patterns with the columns that are in use; parts: unknowns B, unknowns that carry nothing
    that stays and are left out, and those held."""
    outer, left_out, held = parts
    mesh = varied.mesh
    inner = np.setdiff1d(np.arange(frame.unknowns), np.concatenate([outer, left_out, held]))
    matrix = _stiffness(varied, frame)
    lines = _lines(varied, patterns)
    ends, loads, resultant = _loads(varied, frame, hanging, lines)
    solver = _solver(matrix[inner][:, inner]) if len(inner) else None
    coupling = matrix[inner][:, outer].toarray()
    right = np.concatenate([coupling, loads[inner]], axis=1)
    solved = solver(right) if solver else right
    b = len(outer)
    by_outer, by_loads = solved[:, :b], solved[:, b:]
    movements = np.zeros((frame.unknowns, b + loads.shape[1]))
    movements[inner, :b], movements[inner, b:] = -by_outer, by_loads
    movements[outer, range(b)] = 1
    own = np.setdiff1d(np.arange(len(mesh.ends)), varied.members)
    r = len(hanging.suspended().seats) + len(HOLDS)
    moved = frame.member_movements(movements)[own]
    wide = np.zeros((len(own), 2 * PLACES, movements.shape[1]))
    wide[:, :, b : b + lines.cases] = ends[own]
    return Still(
        inner=inner, outer=outer,
        stiffness=matrix[outer][:, outer].toarray() - coupling.T @ by_outer,
        loads=loads[outer] - coupling.T @ by_loads,
        rows=loads[inner, loads.shape[1] - r :].T @ by_loads, movements=movements, resultant=resultant,
        members=own, ends=moved, forces=frame.member_stiffness[own] @ moved - wide, lines=lines,
        patterns=lines.cases - 12, supports=r,
    )  # fmt: skip


def _solver(matrix: Any) -> Callable[[Array], Array]:
    """Solves with a sparse symmetric matrix, one step of refinement included."""
    from scipy.sparse import diags
    from scipy.sparse.linalg import splu

    scale = 1 / np.sqrt(matrix.diagonal())
    factor = splu((diags(scale) @ matrix @ diags(scale)).tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                  options={"SymmetricMode": True})  # fmt: skip

    def solve(right: Array) -> Array:
        u = scale[:, None] * factor.solve(scale[:, None] * right)
        out: Array = u + scale[:, None] * factor.solve(scale[:, None] * (right - matrix @ u))
        return out

    return solve


def _stiffness(varied: Varied, frame: Frame) -> Any:
    """Sparse K of all members, joints and diaphragms that stay."""
    from scipy.sparse import coo_array

    varies = np.zeros(len(frame.ends), dtype=bool)
    varies[varied.members] = True
    joints = {(varied.mesh.joints[k].member, varied.mesh.joints[k].end) for k in varied.joints}
    soft_stays = np.array([(s.member, s.end) not in joints for s in frame.soft], dtype=bool)
    keep = [~varies[g.members] for g in frame.groups]
    if frame.soft:
        keep.append(soft_stays)
    keep += [np.array([_energy_stays(varied, frame, e, joints)]) for e in frame.energies]
    value, row, col = [], [], []
    for (k, dofs), own in zip(frame.blocks, keep, strict=True):
        k, dofs = k[own], dofs[own]
        value.append(k.ravel())
        row.append(np.repeat(dofs, dofs.shape[1], axis=1).ravel())
        col.append(np.tile(dofs, (1, dofs.shape[1])).ravel())
    n = frame.unknowns
    return coo_array((np.concatenate(value), (np.concatenate(row), np.concatenate(col))), shape=(n, n)).tocsr()


def _energy_stays(varied: Varied, frame: Frame, energy: JointEnergy, joints: set[tuple[int, int]]) -> bool:
    bridges = [
        k for k, b in enumerate(varied.mesh.bridges) if energy.other >= 0 and b.nodes == (energy.node, energy.other)
    ]
    if bridges:
        return bridges[0] not in varied.bridges
    own = [e for e in (0, 1) if (energy.member, e) in joints and int(frame.ends[energy.member, e]) == energy.node]
    plates = [p for p in varied.mesh.plates if p.node == energy.node and p.member == energy.member]
    return not own if not plates else energy.node not in varied.nodes


def _lines(varied: Varied, patterns: tuple[Patterns, IntArray]) -> LineLoads:
    """Line loads on members that stay, 12 + p columns."""
    mesh, (found, used) = varied.mesh, patterns
    stays = np.setdiff1d(np.arange(len(mesh.ends)), varied.members)
    rows, of = section_rows(mesh.shapes, mesh.sections, mesh.material), mesh.section_of[stays]
    start = (mesh.nodes[mesh.ends[:, 0]] + mesh.arms[:, 0])[stays]
    metal = rows.metal[of] * mesh.material.density, rows.centroid[of]
    own = own_lines(start, mesh.axes[stays], mesh.lengths[stays], metal)
    kept = np.flatnonzero(np.isin(found.lines.member, stays))
    line = take_loads(found.lines, kept)
    force = np.zeros((len(stays) + len(kept), 3, 3, 12 + len(used)))
    force[: len(stays), :, :, :6], force[len(stays) :, :, :, 12:] = own.force, line.force[..., used]
    return LineLoads(
        np.concatenate([stays, line.member]), np.concatenate([own.start, line.start]),
        np.concatenate([own.end, line.end]), np.concatenate([own.point, line.point]), force,
    )  # fmt: skip


def _loads(varied: Varied, frame: Frame, hanging: Hanging, lines: LineLoads) -> tuple[Array, Array, Array]:
    """End loads (m, 16, 12 + p) by lines, loads (unknowns, 12 + p + r), and the resultant (6, 12 + p) of all that stays
    and of all listed masses."""
    ends = frame.kernels.equivalent_loads(lines)
    spread = frame.gather(ends)
    resultant = rigid_motions(frame).T @ spread
    held = held_places(frame, hanging)
    r = len(hanging.suspended().seats) + len(HOLDS)
    at_places = np.zeros((frame.unknowns, 12 + r))
    for name, h in held.items():
        resultant[:, :12] += _about_datum(h.point) @ h.masses
        if h.node not in varied.nodes:
            add_wrench(frame, hanging.places[name], np.concatenate([h.masses, h.rows], axis=1), at_places)
    for k, unknown in hold_rows(frame, hanging):
        at_places[unknown, 12 + k] = 1
    spread[:, :12] += at_places[:, :12]
    return ends, np.concatenate([spread, at_places[:, 12:]], axis=1), resultant


def _about_datum(point: Array) -> Array:
    return np.asarray(rigid_arm(point).T)
