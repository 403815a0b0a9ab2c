"""Members of open thin-walled section: the twelve unknowns of `beam` and a warping rate at each end.

Unknowns per end: ux uy uz rx ry rz of the reference line and the *warping rate* f, which moves the wall points along
the member by u = -w f (w = sectorial coordinate); fourteen a member, end 1 then end 2.  f is the twist rate theta'
unless `warp_shear` says otherwise.  On the face with outward normal +x': B = int s w dA = -E Iw f', direct stress
s = B w/Iw, torque T = GJ theta' + Tw with Tw = dB/dx.  The force that belongs to f is -B at end 2 and +B at end 1.

Exact for uniform members (V. Z. Vlasov's mixed torsion; the natural form below is our own derivation).  Beside the six
natural deformations of `beam`, of which uniform twist stays as it was, there are two of warping.  With
half = k L/2, k^2 = (GJ/EIw)/(1 + GJ sigma) and c = half coth(half):

    symmetric      f_2 - f_1,                                stiffness  EIw/L c
    antisymmetric  f_1 + f_2 - 2 (theta_2 - theta_1)/L,      stiffness  EIw/L (  (c - 1)/half^2 + 4 EIw sigma/L^2 )^-1

Shear strain from warping is left out, as in Vlasov's theory, where sigma = `warp_shear` is 0.  With sigma > 0 the
warping torque shears the walls as V shears those of a Timoshenko beam: one flexibility for (Vy, Vz, Tw), theta' = f +
sigma Tw + `coupling` . V, and the transverse shear strain takes `coupling` Tw on.  The three antisymmetric
deformations are then coupled by 4/L times that flexibility.  It is the integral of q q/(G t) over the walls for the
flows q of unit Vy, Vz, Tw.  For a channel of 150 x 65 x 4 it is worth 2 % at a half wave length of 1000 mm, 7 % at
500, 18 % at 300 (see the tests); a force through the shear centre then no longer leaves the section next to it quite
untwisted.

Sections with Iw = 0 have no such unknown and stay in `Beams`; an unknown without stiffness would make a frame singular.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import beam
from ladderfe.elements.beam import Beams
from ladderfe.elements.hyperbolic import antisymmetric_shape, end_factors, product, ratio

__all__ = ["OpenBeams", "deformation", "influence", "stiffness"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: k L below this acts as this: its effect on any result is of the order of its square.
LEAST = 1e-9
#: Positions of the plain unknowns among the fourteen.
PLAIN = np.r_[0:6, 7:13]


@dataclass(frozen=True, eq=False)
class OpenBeams:
    """Properties of n members of open section.

    beams: what the twelve-unknown kernel needs.  EIw (n,) N mm4, > 0.  warp_shear (n,) 1/(N mm2): sigma above, 0 for
    Vlasov's theory.  coupling (n, 2) 1/(N mm): shear strain by Vy, Vz per unit Tw, 0 in Vlasov's theory.  origin (n,
    3) mm2, mm, mm: the warping rate at the ends goes with the sectorial coordinate w + origin . (1, y, z), y and z
    from the reference line; zero for w about the shear centre with mean zero.  Where members of different section
    meet, each gets the `origin` that makes this sum the same function on the walls they share (see `common_origin`).
    """

    beams: Beams
    EIw: Array
    warp_shear: Array
    coupling: Array
    origin: Array

    @staticmethod
    def none() -> OpenBeams:
        """No members."""
        none = np.zeros(0)
        return OpenBeams(Beams.none(), none, none, np.zeros((0, 2)), np.zeros((0, 3)))

    def __len__(self) -> int:
        return len(self.EIw)

    @property
    def length(self) -> Array:
        return self.beams.length

    def take(self, index: IntArray) -> OpenBeams:
        """The same properties for the members in `index`."""
        return OpenBeams(
            self.beams.take(index), self.EIw[index], self.warp_shear[index], self.coupling[index], self.origin[index]
        )

    def stiffened(self, factor: Array) -> OpenBeams:
        """The same members, each `factor` (n,) times as stiff."""
        return OpenBeams(
            self.beams.stiffened(factor), self.EIw * factor, self.warp_shear / factor, self.coupling / factor[:, None],
            self.origin,
        )  # fmt: skip

    @cached_property
    def softening(self) -> Array:
        """(n,) 1/(1 + GJ sigma), 1 in Vlasov's theory."""
        out: Array = 1 / (1 + self.beams.torsional * self.warp_shear)
        return out

    @cached_property
    def decay(self) -> Array:
        """(n,) k, 1/mm: what is due to warping dies out as exp(-k x)."""
        k = np.sqrt(self.beams.torsional * self.softening / self.EIw)
        out: Array = np.maximum(k, LEAST / self.length)
        return out


def common_origin(shear_centre: Array, place: Array, omega: Array) -> Array:
    """(n, 3) `origin` that counts sectorial coordinates from a shared place about the reference line.

    shear_centre (n, 2); place (n, 2) a wall point that all these sections share, omega (n,) its sectorial coordinate
    in each of them.  About the reference line dw = y dz - z dy; about the shear centre ys dz - zs dy less.
    """
    ys, zs = shear_centre.T
    at_place = omega + ys * place[:, 1] - zs * place[:, 0]
    return np.stack([-at_place, -zs, ys], axis=1)


def to_own(p: OpenBeams) -> Array:
    """(n, 7, 7) from an end's unknowns to those that go with w about the shear centre, mean zero."""
    m = np.zeros((len(p), 7, 7))
    m[:, range(7), range(7)] = 1
    m[:, 0, 6], m[:, 4, 6], m[:, 5, 6] = -p.origin[:, 0], -p.origin[:, 2], p.origin[:, 1]
    return m


def from_own(p: OpenBeams) -> Array:
    """(n, 7, 7), the inverse of `to_own`."""
    m = -to_own(p)
    m[:, range(7), range(7)] = 1
    return m


def ends_to_own(p: OpenBeams) -> Array:
    """(n, 14, 14): `to_own` of both ends."""
    m = np.zeros((len(p), 14, 14))
    m[:, :7, :7] = m[:, 7:, 7:] = to_own(p)
    return m


def deformation(p: OpenBeams) -> Array:
    """(n, 8, 14): natural deformations (those of `beam.deformation`, then warping: symmetric, antisymmetric)."""
    b = np.zeros((len(p), 8, 14))
    b[:, :6, PLAIN] = beam.deformation(p.beams)
    b[:, 6, 6], b[:, 6, 13] = -1, 1
    b[:, 7, 6] = b[:, 7, 13] = 1
    b[:, 7, 3], b[:, 7, 10] = 2 / p.length, -2 / p.length
    return b @ ends_to_own(p)


def warping_stiffness(p: OpenBeams) -> tuple[Array, Array]:
    """(n,) stiffness of the symmetric and of the antisymmetric warping deformation, N mm3 per 1/mm."""
    c, g = end_factors(p.decay * p.length / 2)
    per_length = p.EIw / p.length
    return per_length * c, per_length / (1 / g + 4 * p.EIw * p.warp_shear / p.length**2)


def natural_stiffness(p: OpenBeams) -> Array:
    """(n, 8, 8) stiffness of the natural deformations; warping stands alone but for `coupling`."""
    d = np.zeros((len(p), 8, 8))
    d[:, :6, :6] = beam.natural_stiffness(p.beams)
    d[:, 6, 6], alone = warping_stiffness(p)
    soft = 4 / p.length[:, None] * p.coupling
    pull = (d[:, 4:6, 4:6] @ soft[:, :, None])[:, :, 0]
    d[:, 7, 7] = 1 / (1 / alone - np.einsum("ei,ei->e", soft, pull))
    d[:, 4:6, 7] = d[:, 7, 4:6] = -pull * d[:, 7, 7, None]
    d[:, 4:6, 4:6] -= pull[:, :, None] * d[:, 7, None, 4:6]
    return d


def stiffness(p: OpenBeams) -> Array:
    """(n, 14, 14) stiffness in member axes; N, mm, rad; symmetric."""
    b = deformation(p)
    return b.transpose(0, 2, 1) @ natural_stiffness(p) @ b


def warping_fields(p: OpenBeams, x: Array) -> tuple[Array, Array]:
    """Twist (n, 2) in mm and warping rate (n, 2) at x per unit symmetric and antisymmetric warping deformation.

    The twist is what comes on top of the straight line between the ends.
    """
    k, length = p.decay, p.length
    half, eta = k * length / 2, 2 * x / length - 1
    shape, slope = antisymmetric_shape(half, eta)
    share = warping_stiffness(p)[1] / (p.EIw / length * end_factors(half)[1])  # 1 without shear from warping
    symmetric = -product(k, x / 2, (length - x) / 2, length / 2, (True, True)) / k
    twist = np.stack([symmetric, length / 4 * share * shape], axis=1) * p.softening[:, None]
    rate = np.stack([ratio(half, eta), share * slope + 1 - share], axis=1) / 2
    return twist, rate


@dataclass(frozen=True, slots=True, eq=False)
class WarpingDrive:
    """What drives the warping fields, per unit end unknown.

    fields (n, 2, 14): symmetric and antisymmetric warping deformation, the latter with the warping rate counted from
    `drift`.  drift (n, 14): coupling . V.  force (n, 2, 14): forces of both deformations; B at the ends is -(first) -+
    (second).  twist (n, 14): uniform twist rate.
    """

    fields: Array
    drift: Array
    force: Array
    twist: Array

    def take(self, index: IntArray) -> WarpingDrive:
        """The same for the members in `index`."""
        return WarpingDrive(self.fields[index], self.drift[index], self.force[index], self.twist[index])


def warping_drive(p: OpenBeams) -> WarpingDrive:
    """The drive of the warping fields of all members."""
    b = deformation(p)
    force = natural_stiffness(p) @ b
    drift = -2 / p.length[:, None] * np.einsum("ei,eij->ej", p.coupling, force[:, 4:6])  # V is -2/L of these forces
    fields = b[:, 6:8]
    fields[:, 1] += 2 * drift
    return WarpingDrive(fields, drift, force[:, 6:8], b[:, 1] / p.length[:, None])


def growth_of_bimoment(p: OpenBeams, twist: Array, rate: Array) -> Array:
    """(n, 2) B at a place less B at end 1 per unit force of both warping deformations, from `warping_fields` there."""
    even = 2 * p.decay * np.tanh(p.decay * p.length / 2) / p.softening
    return np.stack([-even * twist[:, 0], -2 * rate[:, 0] - 1], axis=1)


def influence(p: OpenBeams, x: Array) -> Array:
    """Movement inside members per unit end unknown, exact for members without inner loads.

    Parameters
    ----------
    p : OpenBeams, one entry per wanted place (use `OpenBeams.take`)
    x : (n,) distance from end 1, mm

    Returns
    -------
    (n, 7, 14): ux uy uz rx ry rz f at x per unit end unknown; its transpose turns forces at x into end loads.
    """
    drive = warping_drive(p)
    twist, rate = warping_fields(p, x)
    plain = beam.influence(p.beams, x)
    out = np.zeros((len(p), 7, 14))
    out[:, :6, PLAIN] = plain
    out = out @ ends_to_own(p)
    bubble = np.einsum("em,emi->ei", twist, drive.fields)
    ys, zs = p.beams.shear_centre.T
    out[:, 1] += zs[:, None] * bubble
    out[:, 2] -= ys[:, None] * bubble
    out[:, 3] += bubble
    out[:, 6] = drive.twist + np.einsum("em,emi->ei", rate, drive.fields) - drive.drift
    grown = np.einsum("em,emi->ei", growth_of_bimoment(p, twist, rate), drive.force)
    out[:, 1:3] += p.coupling[:, :, None] * grown[:, None]
    lost = plain[:, :, 7:9] @ p.coupling[:, :, None]  # by the growth up to end 2, minus twice the second force
    out[:, :6] += 2 * lost * drive.force[:, 1, None]
    return from_own(p) @ out
