"""Weight and inertia of everything the frame carries, for unit body fields.

A field is (b, a): force = mass x (b + a x r), r from the vehicle's datum.  Gravity is b = (0, 0, -g); inertia of a
moving vehicle is minus its acceleration.  All masses respond to the same six unit fields, so that loads, balance
and self weight of every case come from one set of six load vectors.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass, mount_wrenches
from ladderfe.chassis import Mass, Mount
from ladderfe.elements import LineLoads
from ladderfe.mesh import Mesh, Place
from ladderfe.solve.at_places import at_places
from ladderfe.solve.frame import Frame
from ladderfe.solve.section_rows import section_rows

__all__ = ["METRE", "add_wrench", "hung_masses", "line_masses", "line_runs", "own_mass", "unit_fields"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: mm; brings arms and masses of a body to about 1.
METRE = 1000.0


@dataclass(frozen=True, slots=True)
class _Run:
    """Stretches of members: member (k,), start and end (k,) mm along them, point (k, 2) y' and z' beside the axis."""

    member: IntArray
    start: Array
    end: Array
    point: Array


def unit_fields(points: Array) -> Array:
    """(k, 3, 6) force per unit mass at points (k, 3) for the six unit fields."""
    out = np.zeros((len(points), 3, 6))
    out[:, range(3), range(3)] = 1
    x, y, z = points.T
    out[:, 1, 3], out[:, 2, 3] = -z, y  # about x
    out[:, 0, 4], out[:, 2, 4] = z, -x  # about y
    out[:, 0, 5], out[:, 1, 5] = -y, x  # about z
    return out


def _spread(
    mesh: Mesh, run: _Run, mass: Array, height: Array | None = None, share: Array | None = None
) -> LineLoads:
    """Line loads of masses per length (k, 2: at start, growth per mm) on runs of members.

    height (k,): where the masses have their centre, nan on the member itself; share (k, 3, 6): vertical force per unit
    mass as 1, x and y times these, see `_shares`.
    """
    at, along = _places(mesh, run)
    fields = [_fields(p, height, share) for p in (at, at + along)]
    axes = mesh.axes[run.member]
    here, there = (np.einsum("eij,ejc->eic", axes, f) for f in fields)
    growth = there - here  # fields are linear in place: the change per mm along the member
    m0, m1 = mass[:, 0, None, None], mass[:, 1, None, None]
    force = np.stack([m0 * here, m0 * growth + m1 * here, m1 * growth], axis=1)
    return LineLoads(run.member, run.start, run.end, run.point, force)


def _places(mesh: Mesh, run: _Run) -> tuple[Array, Array]:
    """(k, 3) where runs begin, and their direction."""
    axes = mesh.axes[run.member]
    origin = mesh.nodes[mesh.ends[run.member, 0]] + mesh.arms[run.member, 0]
    at = origin + run.start[:, None] * axes[:, 0] + run.point[:, :1] * axes[:, 1] + run.point[:, 1:] * axes[:, 2]
    return at, axes[:, 0]


def _fields(at: Array, height: Array | None, share: Array | None) -> Array:
    """(k, 3, 6) force per unit mass at points (k, 3)."""
    if height is None or share is None:
        return unit_fields(at)
    centre = at.copy()
    centre[:, 2] = np.where(np.isnan(height), at[:, 2], height)
    out = unit_fields(centre)
    out[:, 2] += share[:, 0] + at[:, :1] * share[:, 1] + at[:, 1:2] * share[:, 2]
    return out


def _shares(mesh: Mesh, run: _Run, mass: Array, height: Array, owner: IntArray) -> Array:
    """(k, 3, 6) vertical forces that carry masses whose centre lies above the rails.

    A body with its centre at a height dz above its line of support brings the moment -dz f_y about x and dz f_x about y
    of its forces f in plan.  As a rigid body on even support it presses on the rails by  mass x (c0 + c1 x + c2 y),
    whose sum is nothing and whose moments are these; c per unit field, for all lines of one owner together.
    """
    out = np.zeros((len(mass), 3, 6))
    at, along = _places(mesh, run)
    length = run.end - run.start
    for k in np.unique(owner):
        own = np.flatnonzero((owner == k) & ~np.isnan(height))
        normal, wanted = np.zeros((3, 3)), np.zeros((3, 6))
        for s in (0.5 - np.sqrt(1 / 12), 0.5 + np.sqrt(1 / 12)):  # exact to the third degree
            p = at[own] + s * length[own, None] * along[own]
            m = (mass[own, 0] + mass[own, 1] * s * length[own]) * length[own] / 2
            place = np.stack([np.ones(len(own)), p[:, 0] / METRE, p[:, 1] / METRE], axis=1)
            arm = place[:, [0, 2, 1]] * [1.0, 1.0, -1.0]  # force, moments about x and y
            normal += np.einsum("k,ki,kj->ij", m, arm, place)
            up = (height[own] - p[:, 2]) / METRE
            f = unit_fields(np.column_stack([p[:, :2], height[own]]))
            wanted += np.stack([np.zeros(6), -(m * up) @ f[:, 1], (m * up) @ f[:, 0]])
        if normal[0, 0] > 0:
            out[own] = np.linalg.solve(normal, wanted) / np.array([[1.0], [METRE], [METRE]])
    return out


def own_mass(mesh: Mesh) -> LineLoads:
    """Every member's own mass along its centroid."""
    rows, of = section_rows(mesh.shapes, mesh.sections, mesh.material), mesh.section_of
    per_length, centroid = rows.metal[of] * mesh.material.density, rows.centroid[of]
    n = len(mesh.ends)
    mass = np.stack([per_length, np.zeros(n)], axis=1)
    return _spread(mesh, _Run(np.arange(n), np.zeros(n), mesh.lengths, centroid), mass)


def line_masses(mesh: Mesh, lines: Sequence[LineMass], owner: IntArray) -> tuple[LineLoads, IntArray]:
    """Line masses, given per mm of projected length, on the members of their rails; and which line each piece is of.

    owner (lines,): lines of one owner are one body where they have a height of their own.
    """
    if not lines:
        return LineLoads.none(6), np.zeros(0, dtype=np.int64)
    run, which, unit = line_runs(mesh, lines)
    mass = (unit @ np.array([(x.at_start, x.at_end) for x in lines])[which, :, None])[:, :, 0]
    height = np.array([np.nan if x.height is None else x.height for x in lines])[which]
    return _spread(mesh, run, mass, height, _shares(mesh, run, mass, height, owner[which])), which


def line_runs(mesh: Mesh, lines: Sequence[LineMass]) -> tuple[_Run, IntArray, Array]:
    """Where line masses lie on members; which line each piece is of; and (k, 2, 2) its mass per mm of member, at its
    start and growing, per unit of the line's mass per mm at the line's start and end."""
    t = np.array([(x.start, x.end, x.outward) for x in lines])
    side = np.array([-1 if x.side == "left" else 1 for x in lines])
    rails = {-1: mesh.part("left rail"), 1: mesh.part("right rail")}
    of_rail = np.zeros(len(mesh.ends), dtype=np.int64)
    for sign, part in rails.items():
        of_rail[part.first : part.last] = sign
    lo, hi = mesh.along.T
    a, b = np.maximum(lo, t[:, :1]), np.minimum(hi, t[:, 1:2])  # (lines, members)
    which, member = np.nonzero((b > a) & (of_rail == side[:, None]))
    a, b = a[which, member], b[which, member]
    slope = (hi - lo)[member] / mesh.lengths[member]  # projected mm per mm of member
    length = (t[:, 1] - t[:, 0])[which]
    share = (a - t[which, 0]) / length
    unit = np.stack([np.stack([1 - share, share], axis=1) * slope[:, None],
                     np.stack([-1 / length, 1 / length], axis=1) * (slope**2)[:, None]], axis=1)  # fmt: skip
    point = np.stack([side[which] * t[which, 2], np.zeros(len(which))], axis=1)
    return _Run(member, (a - lo[member]) / slope, (b - lo[member]) / slope, point), which, unit


def hung_masses(frame: Frame, places: Mapping[str, Place], masses: Sequence[Mass], mounts: Sequence[Mount]) -> Array:
    """(unknowns, 6) nodal loads of listed masses, carried by their mounts, per unit field."""
    nodal, by_name = np.zeros((frame.unknowns, 6)), {m.name: m for m in mounts}
    if not masses:
        return nodal
    at_centre = np.array([m.mass for m in masses])[:, None, None] * unit_fields(np.array([m.centre for m in masses]))
    wrench = np.concatenate(
        [mount_wrenches(m, tuple(by_name[n] for n in m.mounts)) @ f for m, f in zip(masses, at_centre, strict=True)]
    )
    unknowns, loads = at_places(frame, [places[n] for m in masses for n in m.mounts], wrench)
    np.add.at(nodal, unknowns, loads)
    return nodal


def add_wrench(frame: Frame, place: Place, wrench: Array, nodal: Array) -> None:
    """Add a force and moment (6, c) at a place to the loads (unknowns, c)."""
    unknowns, loads = at_places(frame, [place], wrench[None])
    np.add.at(nodal, unknowns, loads)
