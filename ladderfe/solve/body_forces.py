"""Weight and inertia of everything the frame carries, for unit body fields.

A field is (b, a): force = mass x (b + a x r), r from the vehicle's datum.  Gravity is b = (0, 0, -g); inertia of a
moving vehicle is minus its acceleration.  All masses respond to the same six unit fields, so that loads, balance
and self weight of every case come from one set of six load vectors.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass, mount_wrenches
from ladderfe.chassis import Mass, Mount
from ladderfe.elements import LineLoads, equivalent_loads
from ladderfe.mesh import Mesh, Place
from ladderfe.sections import properties
from ladderfe.solve.frame import Frame, rigid_arm

__all__ = ["BodyForces", "body_forces"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class BodyForces:
    """Loads per unit field: `nodal` (unknowns, 6) from masses on mounts, `lines` on members (6 cases), `end_loads`
    (m, 12, 6) their equivalent end loads and `total` (unknowns, 6) all of it."""

    nodal: Array
    lines: LineLoads
    end_loads: Array
    total: Array


def body_forces(
    mesh: Mesh, frame: Frame, lines: Sequence[LineMass], masses: Sequence[Mass], mounts: Sequence[Mount], *, own: bool
) -> BodyForces:
    """Loads of line masses, listed masses and (if `own`) the frame itself per unit field."""
    parts = [_line_mass(mesh, line) for line in lines]
    if own:
        parts.append(_own_mass(mesh))
    loads = LineLoads.join(parts) if parts else LineLoads.none(6)
    nodal = np.zeros((frame.unknowns, 6))
    by_name = {m.name: m for m in mounts}
    for mass in masses:
        _hang(frame, mesh, mass, tuple(by_name[n] for n in mass.mounts), nodal)
    end_loads = equivalent_loads(frame.beams, loads)
    return BodyForces(nodal, loads, end_loads, nodal + frame.gather(end_loads))


def unit_fields(points: Array) -> Array:
    """(k, 3, 6) force per unit mass at points (k, 3) for the six unit fields."""
    out = np.zeros((len(points), 3, 6))
    out[:, range(3), range(3)] = 1
    x, y, z = points.T
    out[:, 1, 3], out[:, 2, 3] = -z, y  # about x
    out[:, 0, 4], out[:, 2, 4] = z, -x  # about y
    out[:, 0, 5], out[:, 1, 5] = -y, x  # about z
    return out


def _spread(mesh: Mesh, member: IntArray, start: Array, end: Array, point: Array, mass: Array) -> LineLoads:
    """Line loads of masses per length (k, 2: at start, growth per mm) on members from start to end (mm along them)."""
    axes = mesh.axes[member]
    origin = mesh.nodes[mesh.ends[member, 0]] + mesh.arms[member, 0]
    at = origin + start[:, None] * axes[:, 0] + point[:, :1] * axes[:, 1] + point[:, 1:] * axes[:, 2]
    here = np.einsum("eij,ejc->eic", axes, unit_fields(at))
    there = np.einsum("eij,ejc->eic", axes, unit_fields(at + axes[:, 0]))
    growth = there - here  # fields are linear in place: the change per mm along the member
    m0, m1 = mass[:, 0, None, None], mass[:, 1, None, None]
    force = np.stack([m0 * here, m0 * growth + m1 * here, m1 * growth], axis=1)
    return LineLoads(member, start, end, point, force)


def _own_mass(mesh: Mesh) -> LineLoads:
    """Every member's own mass along its centroid."""
    p = [properties(s) for s in mesh.sections]
    of = mesh.section_of
    per_length = np.array([q.metal for q in p])[of] * mesh.material.density
    centroid = np.array([[q.yc, q.zc] for q in p])[of]
    n = len(mesh.ends)
    mass = np.stack([per_length, np.zeros(n)], axis=1)
    return _spread(mesh, np.arange(n), np.zeros(n), mesh.lengths, centroid, mass)


def _line_mass(mesh: Mesh, line: LineMass) -> LineLoads:
    """A line mass, given per mm of projected length, on the members of its rail that it covers."""
    part = mesh.part(f"{line.side} rail")
    member = np.arange(part.first, part.last)
    x0, x1 = mesh.along[member].T
    a, b = np.maximum(x0, line.start), np.minimum(x1, line.end)
    covered = b > a
    member, x0, x1, a, b = member[covered], x0[covered], x1[covered], a[covered], b[covered]
    slope = (x1 - x0) / mesh.lengths[member]  # projected mm per mm of member
    start, end = (a - x0) / slope, (b - x0) / slope
    growth = (line.at_end - line.at_start) / (line.end - line.start)
    mass = np.stack([(line.at_start + growth * (a - line.start)) * slope, growth * slope**2], axis=1)
    sign = -1 if line.side == "left" else 1
    point = np.broadcast_to([sign * line.outward, 0.0], (len(member), 2))
    return _spread(mesh, member, start, end, point, mass)


def _hang(frame: Frame, mesh: Mesh, mass: Mass, mounts: tuple[Mount, ...], nodal: Array) -> None:
    """Add a listed mass, carried by its mounts, to the nodal loads."""
    at_centre = mass.mass * unit_fields(np.array([mass.centre]))[0]
    for mount, wrench in zip(mounts, mount_wrenches(mass, mounts), strict=True):
        add_wrench(frame, mesh.places[mount.name], wrench @ at_centre, nodal)


def add_wrench(frame: Frame, place: Place, wrench: Array, nodal: Array) -> None:
    """Add a force and moment (6, c) at a place to the loads (unknowns, c)."""
    first = int(frame.start[place.node])
    nodal[first : first + 6] += rigid_arm(np.array(place.arm)).T @ wrench
