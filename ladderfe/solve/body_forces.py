"""Weight and inertia of everything the frame carries, for unit body fields.

A field is (b, a): force = mass x (b + a x r), r from the vehicle's datum.  Gravity is b = (0, 0, -g); inertia of a
moving vehicle is minus its acceleration.  All masses respond to the same six unit fields, so that loads, balance
and self weight of every case come from one set of six load vectors.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass, mount_wrenches
from ladderfe.chassis import Mass, Mount
from ladderfe.elements import LineLoads
from ladderfe.mesh import Mesh, Place
from ladderfe.sections import properties_of
from ladderfe.solve.frame import Frame, rigid_arm

__all__ = ["add_wrench", "hung_masses", "line_masses", "own_mass", "unit_fields"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


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


def own_mass(mesh: Mesh) -> LineLoads:
    """Every member's own mass along its centroid."""
    p = properties_of(mesh.sections)
    of = mesh.section_of
    per_length = np.array([q.metal for q in p])[of] * mesh.material.density
    centroid = np.array([[q.yc, q.zc] for q in p])[of]
    n = len(mesh.ends)
    mass = np.stack([per_length, np.zeros(n)], axis=1)
    return _spread(mesh, np.arange(n), np.zeros(n), mesh.lengths, centroid, mass)


def line_masses(mesh: Mesh, lines: Sequence[LineMass]) -> tuple[LineLoads, IntArray]:
    """Line masses, given per mm of projected length, on the members of their rails; and which line each piece is of."""
    if not lines:
        return LineLoads.none(6), np.zeros(0, dtype=np.int64)
    t = np.array([(x.start, x.end, x.at_start, x.at_end, x.outward) for x in lines])
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
    growth = ((t[:, 3] - t[:, 2]) / (t[:, 1] - t[:, 0]))[which]
    mass = np.stack([(t[which, 2] + growth * (a - t[which, 0])) * slope, growth * slope**2], axis=1)
    point = np.stack([side[which] * t[which, 4], np.zeros(len(which))], axis=1)
    return _spread(mesh, member, (a - lo[member]) / slope, (b - lo[member]) / slope, point, mass), which


def hung_masses(frame: Frame, places: Mapping[str, Place], masses: Sequence[Mass], mounts: Sequence[Mount]) -> Array:
    """(unknowns, 6) nodal loads of listed masses, carried by their mounts, per unit field."""
    nodal = np.zeros((frame.unknowns, 6))
    by_name = {m.name: m for m in mounts}
    for mass in masses:
        own = tuple(by_name[n] for n in mass.mounts)
        at_centre = mass.mass * unit_fields(np.array([mass.centre]))[0]
        for mount, wrench in zip(own, mount_wrenches(mass, own), strict=True):
            add_wrench(frame, places[mount.name], wrench @ at_centre, nodal)
    return nodal


def add_wrench(frame: Frame, place: Place, wrench: Array, nodal: Array) -> None:
    """Add a force and moment (6, c) at a place to the loads (unknowns, c)."""
    first = int(frame.start[place.node])
    nodal[first : first + 6] += rigid_arm(np.array(place.arm)).T @ wrench
    if place.follow:
        nodal[first + 6 : first + 6 + len(place.follow)] += np.array(place.follow) @ wrench
