"""Members of box section whose section racks: the unknowns of `beam`, a racking angle and its warping at each end.

Unknowns per end: ux uy uz rx ry rz g f; sixteen a member, end 1 then end 2.  Of the box's walls, the flanges' lines
turn by rx + g/2 (so the webs move up and down by y (rx + g/2)) and the webs' lines by rx - g/2 (so the flanges move
sideways by -z (rx - g/2)); warping moves them along the member by u = f y z.  y and z count from `pole`, the middle of
the box, which racking and warping leave where the other six unknowns put it.  On the face with outward normal +x': R
is the force of racking (it works on g), B = int s omega dA = EI f' the bimoment (it works on f), the warping stress is
s = B omega/I = E f' omega.

The section's strains follow its forces by one shear flexibility for (T, Vy, Vz, R), whose part without R is that of
`Beams` (Bredt's torsion, shear of the walls), see `racking_walls`; racking itself is a beam on elastic foundation, see
`foundation`.  With R = 0 nothing differs from `Beams`: condense g and f, free of load, or hold g alone, and its twelve
unknowns' matrix comes back exactly (with unequal walls in the unknowns of `to_own`: an upright force in the middle of
unequal webs does rack the box).  The walls' own twist as plates is counted in racking only (in J it is left out, as in
`Beams`: 0.1 to 0.6 % for frame rails).

Exact for uniform members of any length.  Let q = D (e - p dB/2) be the forces of the natural deformations e of `beam`
(D their stiffness there, p the coupling of T, Vy, Vz with R), dB the growth of B along the member, and
(g, f - p.q/2) the racking state that obeys the foundation's equations; eliminating q leaves a rank-one coupling.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import beam
from ladderfe.elements.beam import Beams
from ladderfe.elements.foundation import Foundation, end_stiffness
from ladderfe.elements.foundation_inside import inside
from ladderfe.elements.racking_walls import BoxWalls

__all__ = ["RackingBeams", "deformation", "influence", "stiffness"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Positions of the plain unknowns and of racking and warping among the sixteen.
PLAIN, RACKING = np.r_[0:6, 8:14], np.array([6, 7, 14, 15])
#: Sums f at both ends; applied to end forces, the growth of the bimoment.
WARPS = np.array([0.0, 1.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False)
class RackingBeams:
    """Properties of n members of box section.

    beams: what the twelve-unknown kernel needs.  foundation: KD, EI, S and P of the walls.  coupling (n, 3): strain of
    racking (1/mm) per unit T, Vy, Vz about the shear centre; 1/(N mm2), 1/(N mm), 1/(N mm).  plane (n, 3) mm2, mm, mm:
    omega = y z - plane . (1, y, z).  pole (n, 2) mm from the reference line; size (n, 2) mm: mid-line width and height.
    `of_walls` makes them from four walls.
    """

    beams: Beams
    foundation: Foundation
    coupling: Array
    plane: Array
    pole: Array
    size: Array

    @staticmethod
    def none() -> RackingBeams:
        """No members."""
        none, two, three = np.zeros(0), np.zeros((0, 2)), np.zeros((0, 3))
        return RackingBeams(Beams.none(), Foundation(none, none, none, none), three, three, two, two)

    def __len__(self) -> int:
        return len(self.pole)

    @property
    def length(self) -> Array:
        return self.beams.length

    def take(self, index: IntArray) -> RackingBeams:
        """The same properties for the members in `index`."""
        return RackingBeams(
            self.beams.take(index), self.foundation.take(index), self.coupling[index], self.plane[index],
            self.pole[index], self.size[index],
        )  # fmt: skip

    def stiffened(self, factor: Array) -> RackingBeams:
        """The same members, each `factor` (n,) times as stiff."""
        f = self.foundation
        foundation = Foundation(f.KD * factor, f.EI * factor, f.shear / factor, f.plate * factor)
        return RackingBeams(
            self.beams.stiffened(factor), foundation, self.coupling / factor[:, None], self.plane, self.pole, self.size
        )

    @staticmethod
    def of_walls(beams: Beams, walls: BoxWalls, pole: Array, youngs_modulus: float, poisson: float) -> RackingBeams:
        """Members whose plain part is `beams`, of boxes with these walls, their middle at `pole` (n, 2)."""
        g = youngs_modulus / (2 * (1 + poisson))
        membrane = walls.membrane()
        foundation = Foundation(
            KD=walls.frame(youngs_modulus, poisson).KD,
            EI=youngs_modulus * membrane.inertia,
            shear=membrane.shear[:, 3, 3] / g,
            plate=g * walls.plates / 4,
        )
        size = np.stack([walls.width, walls.height], axis=1)
        return RackingBeams(beams, foundation, membrane.shear[:, 3, :3] / g, membrane.plane, pole, size)

    @cached_property
    def coupled(self) -> Coupled:
        """How racking and the natural deformations of `beam` share the members."""
        soft, natural = self.natural_coupling, beam.natural_stiffness(self.beams)
        pull = np.einsum("emk,ek->em", natural, soft)
        racking = end_stiffness(self.foundation, self.length)
        growth = racking @ WARPS
        whole, drive = growth @ WARPS, np.einsum("em,em->e", soft, pull)
        return Coupled(natural, pull, racking, growth, whole, drive, 1 - whole * drive / 4)

    @property
    def natural_coupling(self) -> Array:
        """(n, 6) strain of racking per unit force of the natural deformations: the second is T, V is -2/L of the
        last."""
        out = np.zeros((len(self), 6))
        out[:, 1] = self.coupling[:, 0]
        out[:, 4:] = -2 / self.length[:, None] * self.coupling[:, 1:]
        return out


def to_own(p: RackingBeams) -> Array:
    """(n, 8, 8) from an end's unknowns to those whose racking and warping do no work with N, My, Mz, Vy, Vz."""
    m = np.zeros((len(p), 8, 8))
    m[:, range(8), range(8)] = 1
    one, by_y, by_z = _shift(p)
    m[:, 0, 7], m[:, 4, 7], m[:, 5, 7] = one, by_z, -by_y
    m[:, 1, 6], m[:, 2, 6] = by_y / 2, by_z / 2
    return m


def from_own(p: RackingBeams) -> Array:
    """(n, 8, 8), the inverse of `to_own`."""
    m = -to_own(p)
    m[:, range(8), range(8)] = 1
    return m


def ends_to_own(p: RackingBeams) -> Array:
    """(n, 16, 16): `to_own` of both ends."""
    m = np.zeros((len(p), 16, 16))
    m[:, :8, :8] = m[:, 8:, 8:] = to_own(p)
    return m


def deformation(p: RackingBeams) -> Array:
    """(n, 10, 16): natural deformations of `beam.deformation`, then racking and warping at both ends."""
    b, plain = np.zeros((len(p), 10, 16)), beam.deformation(p.beams)
    b[:, :6, :6], b[:, :6, 8:14] = plain[:, :, :6], plain[:, :, 6:]
    turn_to_own(p, b[:, :6])
    b[:, range(6, 10), RACKING] = 1
    return b


def turn_to_own(p: RackingBeams, columns: Array) -> None:
    """Multiply columns (n, k, 16) by `ends_to_own` where they stand."""
    one, by_y, by_z = (a[:, None] for a in _shift(p))
    for end in (columns[:, :, :8], columns[:, :, 8:]):
        end[:, :, 6] += by_y / 2 * end[:, :, 1] + by_z / 2 * end[:, :, 2]
        end[:, :, 7] += one * end[:, :, 0] + by_z * end[:, :, 4] - by_y * end[:, :, 5]


def _shift(p: RackingBeams) -> tuple[Array, Array, Array]:
    """(n,) each: `plane`, counted from the pole."""
    one, by_y, by_z = p.plane.T
    return one - by_y * p.pole[:, 0] - by_z * p.pole[:, 1], by_y, by_z


@dataclass(frozen=True, slots=True, eq=False)
class Coupled:
    """How racking and the natural deformations of `beam` share a member.

    natural (n, 6, 6): D.  pull (n, 6): D p.  racking (n, 4, 4): end stiffness of the foundation.  growth (n, 4): growth
    of B per unit end state.  whole (n,): the same for unit f at both ends.  drive (n,): p D p.  left (n,): 1 - whole
    drive/4, the share that held warping leaves of the flexibility; positive as long as `beams` has the shear and
    torsion of the same walls."""

    natural: Array
    pull: Array
    racking: Array
    growth: Array
    whole: Array
    drive: Array
    left: Array


def natural_stiffness(p: RackingBeams) -> Array:
    """(n, 10, 10) stiffness of the natural deformations."""
    c = p.coupled
    d = np.zeros((len(p), 10, 10))
    d[:, :6, :6] = c.natural + _outer(c.pull, c.pull, c.whole / (4 * c.left))
    d[:, 6:, 6:] = c.racking + _outer(c.growth, c.growth, c.drive / (4 * c.left))
    d[:, :6, 6:] = _outer(c.pull, c.growth, -1 / (2 * c.left))
    d[:, 6:, :6] = d[:, :6, 6:].transpose(0, 2, 1)
    return d


def _outer(a: Array, b: Array, factor: Array) -> Array:
    return factor[:, None, None] * a[:, :, None] * b[:, None, :]


def stiffness(p: RackingBeams) -> Array:
    """(n, 16, 16) stiffness in member axes; N, mm, rad; symmetric."""
    b = deformation(p)
    return b.transpose(0, 2, 1) @ natural_stiffness(p) @ b


@dataclass(frozen=True, slots=True, eq=False)
class RackingEnds:
    """Per unit end unknown (those of `to_own`): strain (n, 16), the strain of racking p.q that T and V bring; state
    (n, 4, 16), racking at both ends less what that strain accounts for; first, growth (n, 16), the bimoment at end 1
    and its growth.  racking (n, 4, 4): end stiffness of the foundation."""

    strain: Array
    state: Array
    first: Array
    growth: Array
    racking: Array


def racking_strain(p: RackingBeams) -> Array:
    """(n, 16) `RackingEnds.strain` of all members."""
    c, strain = p.coupled, np.zeros((len(p), 16))
    strain[:, PLAIN] = (c.pull[:, None] @ beam.deformation(p.beams))[:, 0]
    strain[:, RACKING] = -(c.drive / 2)[:, None] * c.growth
    strain /= c.left[:, None]
    return strain


def racking_ends(p: RackingBeams) -> RackingEnds:
    """How all members rack by their end unknowns."""
    c, strain, state = p.coupled, racking_strain(p), np.zeros((len(p), 4, 16))
    state[:, 1::2] = -strain[:, None] / 2
    state[:, range(4), RACKING] += 1
    first, growth = (np.stack([-c.racking[:, 1], c.growth], axis=1) @ state).swapaxes(0, 1)
    return RackingEnds(strain, state, first, growth, c.racking)


def shear_movement(p: RackingBeams) -> Array:
    """(n, 6) movement of the reference line by a unit of the walls' shear strains that go with R."""
    ys, zs = p.beams.shear_centre.T
    turn, side, up = p.coupling.T
    none = np.zeros(len(p))
    return np.stack([none, side + zs * turn, up - ys * turn, turn, none, none], axis=1)


def influence(p: RackingBeams, x: Array) -> Array:
    """Movement inside members per unit end unknown, exact for members without inner loads.

    Parameters
    ----------
    p : RackingBeams, one entry per wanted place (use `RackingBeams.take`)
    x : (n,) distance from end 1, mm

    Returns
    -------
    (n, 8, 16): ux uy uz rx ry rz g f at x per unit end unknown; its transpose turns forces at x into end loads.
    """
    ends = racking_ends(p)
    state = inside(p.foundation, p.length, x, ends.racking) @ ends.state
    shear = shear_movement(p)[:, :, None] / 2
    plain = beam.influence(p.beams, x)
    out = np.zeros((len(p), 8, 16))
    out[:, :6, PLAIN] = plain
    grown = state[:, 3] - ends.first
    out[:, :6] += shear * grown[:, None] - plain[:, :, 6:] @ shear * ends.growth[:, None]
    out[:, 6], out[:, 7] = state[:, 0], state[:, 1] + ends.strain / 2
    return from_own(p) @ out @ ends_to_own(p)
