"""Consistent mass of a frame and of what it carries, in the unknowns of the frame.

Members bring what their walls weigh, the residual its line masses along the rails, both by the exact shapes between
the nodes (`elements.mass`).  A listed mass is a point at its centre on a rigid body: the centre moves as the mounts'
movements say by the same shares by which they carry it (`cases.mount_wrenches`, virtual work), so weight and inertia
act alike.  Its own turning about its centre is not known and left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Carried, mount_wrenches
from ladderfe.chassis import Mass, Mount
from ladderfe.elements import LineLoads
from ladderfe.elements.mass import SectionMass, Spread, member_mass, point_movements, section_mass
from ladderfe.mesh import RACKING, Mesh, Place
from ladderfe.sections import properties_of
from ladderfe.solve.body_forces import add_wrench, line_masses
from ladderfe.solve.frame import Frame

__all__ = ["FrameMass", "carried_mass", "own_mass_of", "section_masses"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FrameMass:
    """Mass of a frame: members (m, 16, 16) in member axes, and points: sizes (k,) t that move by rows (unknowns, 3 k)
    along x, y, z, with their names."""

    frame: Frame
    members: Array
    sizes: Array
    rows: Array
    names: tuple[str, ...] = ()

    def sparse(self) -> Any:
        """(unknowns, unknowns) as a scipy sparse array; t, t mm, t mm2."""
        from scipy.sparse import csc_array

        f = self.frame
        blocks = [(g.transform.transpose(0, 2, 1) @ self.members[g.members] @ g.transform, g.dofs) for g in f.groups]
        points = csc_array(self.rows) * np.sqrt(np.repeat(self.sizes, 3))
        return sparse(blocks, f.unknowns) + points @ points.T

    def multiply(self, u: Array) -> Array:
        """M u of movements (unknowns, c), member by member and point by point."""
        moved = self.members @ self.frame.member_movements(u)
        points = np.repeat(self.sizes, 3)[:, None] * (self.rows.T @ u)
        out: Array = self.frame.gather(moved) + self.rows @ points
        return out

    def energy(self, u: Array) -> tuple[Array, Array]:
        """(m, c) and (k, c) parts that members and points have in u M u of movements (unknowns, c)."""
        moved = self.frame.member_movements(u)
        own = np.einsum("eic,eij,ejc->ec", moved, self.members, moved, optimize=True)
        points = ((self.rows.T @ u) ** 2).reshape(len(self.sizes), 3, u.shape[1]).sum(axis=1)
        return own, self.sizes[:, None] * points

    @cached_property
    def total(self) -> float:
        """All mass, t: that of a unit movement along x."""
        along = np.zeros((self.frame.unknowns, 1))
        along[self.frame.start[:-1]] = 1
        return float(along[:, 0] @ self.multiply(along)[:, 0])


def sparse(blocks: Sequence[tuple[Array, NDArray[np.int64]]], unknowns: int) -> Any:
    """(unknowns, unknowns) scipy sparse array of blocks (g, m, m) on unknowns (g, m)."""
    from scipy.sparse import coo_array

    row = [np.broadcast_to(d[:, :, None], k.shape).ravel() for k, d in blocks]
    col = [np.broadcast_to(d[:, None, :], k.shape).ravel() for k, d in blocks]
    values = np.concatenate([k.ravel() for k, _ in blocks])
    return coo_array((values, (np.concatenate(row), np.concatenate(col))), shape=(unknowns, unknowns)).tocsc()


def section_masses(mesh: Mesh, frame: Frame) -> SectionMass:
    """What the walls of every member weigh; where walls count with a modulus of their own the moments of area are
    scaled to the metal's."""
    of, density = mesh.section_of, mesh.material.density
    p = properties_of(mesh.sections)
    metal = np.array([q.metal for q in p])
    share = metal / np.array([q.A for q in p])
    second = np.array([[[q.Izz, q.Iyz], [q.Iyz, q.Iyy]] for q in p])
    warping = (np.array([q.Iw for q in p]) * share)[of]
    racking = np.flatnonzero(mesh.kind == RACKING)
    warping[racking] = frame.kernels.racking.foundation.EI / mesh.material.youngs_modulus
    return SectionMass(
        per_length=density * metal[of],
        centroid=np.array([[q.yc, q.zc] for q in p])[of],
        second=density * (share[:, None, None] * second)[of],
        warping=density * warping,
    )


def own_mass_of(mesh: Mesh, frame: Frame) -> FrameMass:
    """The bare frame's mass: rails, crossmembers and outriggers, nothing on them."""
    own = section_mass(frame.kernels, section_masses(mesh, frame))
    return FrameMass(frame, member_mass(frame.kernels, own), np.zeros(0), np.zeros((frame.unknowns, 0)))


def carried_mass(mesh: Mesh, frame: Frame, carried: Carried, mounts: Sequence[Mount]) -> FrameMass:
    """The laden frame's mass: its own, the residual along the rails and all listed masses, aboard when weighed or
    not."""
    kernels = frame.kernels
    own = section_mass(kernels, section_masses(mesh, frame))
    pieces, _ = line_masses(mesh, carried.lines, np.zeros(len(carried.lines), dtype=np.int64))
    members = member_mass(kernels, Spread.join([own, _lines(mesh, frame, pieces)]))
    sizes = np.array([m.mass for m in carried.masses])
    rows = [_centre(frame, mesh.places, m, mounts) for m in carried.masses]
    points = np.concatenate(rows, axis=1) if rows else np.zeros((frame.unknowns, 0))
    return FrameMass(frame, members, sizes, points, tuple(m.name for m in carried.masses))


def _lines(mesh: Mesh, frame: Frame, pieces: LineLoads) -> Spread:
    """Line masses as `Spread`; their size is read off the force that unit body fields along x, y, z bring."""
    along = mesh.axes[pieces.member]  # rows x' y' z': the force per mass of a unit field in member axes
    size = np.einsum("epic,eic->ep", pieces.force[:, :2, :, :3], along) / 3
    moved = point_movements(frame.kernels, pieces.member, pieces.point)
    inertia = moved.transpose(0, 2, 1) @ moved
    return Spread(pieces.member, pieces.start, pieces.end, inertia, size)


def _centre(frame: Frame, places: Mapping[str, Place], mass: Mass, mounts: Sequence[Mount]) -> Array:
    """(unknowns, 3) movement of a mass's centre along x, y, z by the frame's unknowns."""
    by_name = {m.name: m for m in mounts}
    own = tuple(by_name[n] for n in mass.mounts)
    rows = np.zeros((frame.unknowns, 3))
    for mount, wrench in zip(own, mount_wrenches(mass, own), strict=True):
        add_wrench(frame, places[mount.name], wrench, rows)
    return rows
