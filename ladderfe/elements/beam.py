"""Straight two-node Timoshenko beams of any thin-walled section, exact for end loads.

The twelve unknowns are those of the member's *reference line* (end 1 then end 2: ux uy uz rx ry rz in member axes);
centroid and shear centre are offsets from it, so that rust moves them without moving the member.  Axial force and
bending act about the centroid, shear and torsion about the shear centre.

Six natural deformations e carry all the energy (J. H. Argyris' natural-mode form; for one plane it is the usual
12 x 12 matrix with the shear factor Phi = 12 EI/(GA L^2), e.g. J. S. Przemieniecki, Theory of Matrix Structural
Analysis, 1968, section 5.6, from memory).  Written with 2 x 2 blocks for both planes it needs no principal axes:

    symmetric bending      e = phi_2 - phi_1,               stiffness  B/L
    antisymmetric bending  e = phi_1 + phi_2 - 2 (t_2 - t_1)/L,  stiffness  3/L (B^-1 + 12/L^2 f)^-1

with phi = (rz, -ry) the slopes of the normals, t = (v, w) the movement of the shear centre, B the bending stiffness
and f the shear flexibility.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import inverse

__all__ = ["Beams", "deformation", "influence", "stiffness"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: An infinite EA is carried by this multiple of EI over the square of all members' length together, so that the mesh
#: does not matter; a shallow kicked rail between two pins (the touchiest case) is then right to 2e-6 with 1 to 50
#: members a span.  Ten times less and shortening shows, ten times more and rounding does.
NO_STRETCH = 1e9
#: An infinite GJ is carried by this multiple of EI: the member's own twist is about 1e-7 of its bending movement.
NO_TWIST = 1e7


@dataclass(frozen=True, eq=False)
class Beams:
    """Properties of n members.

    length (n,) mm; EA (n,) N; GJ (n,) N mm2; bending (n, 2, 2) N mm2 = [[EIzz, EIyz], [EIyz, EIyy]] about the
    centroid; shear (n, 2, 2) 1/N = flexibility for (Vy, Vz), zero for infinite GA; centroid and shear_centre (n, 2)
    mm = (y, z) from the reference line.  Infinite EA or GJ stands for a member that does not stretch or twist.
    """

    length: Array
    EA: Array
    GJ: Array
    bending: Array
    shear: Array
    centroid: Array
    shear_centre: Array

    @staticmethod
    def none() -> Beams:
        """No members."""
        none, two = np.zeros(0), np.zeros((0, 2))
        return Beams(none, none, none, np.zeros((0, 2, 2)), np.zeros((0, 2, 2)), two, two)

    def __len__(self) -> int:
        return len(self.length)

    def take(self, index: IntArray) -> Beams:
        """The same properties for the members in `index`."""
        return Beams(
            self.length[index],
            self.EA[index],
            self.GJ[index],
            self.bending[index],
            self.shear[index],
            self.centroid[index],
            self.shear_centre[index],
        )

    def stiffened(self, factor: Array) -> Beams:
        """The same members, each `factor` (n,) times as stiff."""
        matrix = factor[:, None, None]
        return Beams(
            self.length, self.EA * factor, self.GJ * factor, self.bending * matrix, self.shear / matrix, self.centroid,
            self.shear_centre,
        )  # fmt: skip

    def axial(self) -> Array:
        """EA with a stand-in where it is infinite, (n,) N."""
        bending = np.trace(self.bending, axis1=1, axis2=2)
        return np.where(np.isinf(self.EA), NO_STRETCH * bending / self.length.sum() ** 2, self.EA)

    @cached_property
    def torsional(self) -> Array:
        """GJ with a stand-in where it is infinite, (n,) N mm2."""
        return np.where(np.isinf(self.GJ), NO_TWIST * np.trace(self.bending, axis1=1, axis2=2), self.GJ)

    @cached_property
    def natural(self) -> Array:
        """(n, 6, 6) see `natural_stiffness`."""
        d = np.zeros((len(self), 6, 6))
        length = self.length
        d[:, 0, 0], d[:, 1, 1] = self.axial() / length, self.torsional / length
        d[:, 2:4, 2:4] = self.bending / length[:, None, None]
        flexibility = np.linalg.inv(self.bending) + (12 / length**2)[:, None, None] * self.shear
        d[:, 4:6, 4:6] = np.linalg.inv(flexibility) * (3 / length)[:, None, None]
        d.setflags(write=False)
        return d

    @cached_property
    def by_ends(self) -> Array:
        """(n, 6, 12) see `deformation`."""
        s, per_length = _section_map(self), 2 / self.length[:, None, None]
        b = np.zeros((len(self), 6, 12))
        b[:, :4, :6], b[:, :4, 6:] = -s[:, :4], s[:, :4]
        b[:, 4:, :6] = s[:, 2:4] + per_length * s[:, 4:6]
        b[:, 4:, 6:] = s[:, 2:4] - per_length * s[:, 4:6]
        b.setflags(write=False)
        return b


def _section_map(p: Beams) -> Array:
    """(n, 6, 6) from the reference line's ux uy uz rx ry rz to u of the centroid, rx, phi_y, phi_z, v, w of the shear
    centre."""
    m = np.zeros((len(p), 6, 6))
    m[:, 0, 0] = m[:, 1, 3] = m[:, 2, 5] = m[:, 4, 1] = m[:, 5, 2] = 1
    m[:, 3, 4] = -1
    m[:, 0, 4], m[:, 0, 5] = p.centroid[:, 1], -p.centroid[:, 0]
    m[:, 4, 3], m[:, 5, 3] = -p.shear_centre[:, 1], p.shear_centre[:, 0]
    return m


def _section_map_inverse(p: Beams) -> Array:
    """(n, 6, 6), the inverse of `_section_map`."""
    m = np.zeros((len(p), 6, 6))
    m[:, 0, 0] = m[:, 3, 1] = m[:, 5, 2] = m[:, 1, 4] = m[:, 2, 5] = 1
    m[:, 4, 3] = -1
    m[:, 0, 3], m[:, 0, 2] = p.centroid[:, 1], p.centroid[:, 0]
    m[:, 1, 1], m[:, 2, 1] = p.shear_centre[:, 1], -p.shear_centre[:, 0]
    return m


def deformation(p: Beams) -> Array:
    """(n, 6, 12): natural deformations (stretch, twist, 2 symmetric, 2 antisymmetric) from the end unknowns."""
    return p.by_ends


def natural_stiffness(p: Beams) -> Array:
    """(n, 6, 6) stiffness of the natural deformations; stretch and twist stand alone, bending in 2 x 2 blocks."""
    return p.natural


def stiffness(p: Beams) -> Array:
    """(n, 12, 12) stiffness in member axes, N/mm, N and N mm; symmetric."""
    b = deformation(p)
    out: Array = b.transpose(0, 2, 1) @ natural_stiffness(p) @ b
    return out


def influence(p: Beams, x: Array) -> Array:
    """Movement of the reference line inside members per unit end unknown, exact for members without inner loads.

    Parameters
    ----------
    p : Beams, one entry per wanted place (use `Beams.take`)
    x : (n,) distance from end 1, mm

    Returns
    -------
    (n, 6, 12): ux uy uz rx ry rz at x per unit end unknown.  By Betti's theorem its transpose turns a force at x
    into the equivalent end loads, exactly.
    """
    h, x = cubic(p), x[:, None, None]
    out: Array = h[:, 0] + x * (h[:, 1] + x * (h[:, 2] + x * h[:, 3]))
    return out


def cubic(p: Beams) -> Array:
    """(n, 4, 6, 12): coefficients of 1, x, x^2, x^3 in `influence`."""
    s, b, d = _section_map(p), deformation(p), natural_stiffness(p)
    soft, per_length = inverse(p.bending), 1 / p.length[:, None, None]
    q = d[:, 2:6] @ b  # (n, 4, 12): bending forces of the natural deformations
    slope = 2 * per_length * q[:, 2:4]  # dm/dx of the moment m = B dphi/dx
    bend, turn = soft @ (q[:, 0:2] - q[:, 2:4]), soft @ slope / 2  # by m at end 1, and by its growth
    h = np.zeros((len(p), 4, 6, 12))  # u and rx, which run linearly; phi; t
    h[:, 0, :, :6] = s
    h[:, 1, :2, :6], h[:, 1, :2, 6:] = -per_length * s[:, :2], per_length * s[:, :2]
    h[:, 1, 2:4], h[:, 1, 4:6] = bend, -p.shear @ slope
    h[:, 1, 4:6, :6] += s[:, 2:4]
    h[:, 2, 2:4], h[:, 2, 4:6], h[:, 3, 4:6] = turn, bend / 2, turn / 3
    out: Array = _section_map_inverse(p)[:, None] @ h
    return out
