"""Consistent mass of members, whatever their kernel: what their walls and what lies along them weighs in motion.

Between its ends a member moves as it does at rest under end loads alone (`Members.influence`, exact in statics).  The
kinetic energy of that movement, points of the section moving as the kernel says, is quadratic in the end unknowns; its
matrix is the consistent mass (J. S. Archer 1963, from memory).  With exact shapes and exact integrals the frequencies
of a frame fall toward their true values as members are divided, and never pass them (Rayleigh and Ritz).

What moves: the section as a plane, with its rotary inertia about all three axes; open walls along the member by
u = -w f; boxes that rack by u = f y z along it and z g/2, y g/2 across it.  Walls that bend as the box racks count as
straight, which is how the racking angle is defined.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import open_beam, racking_beam
from ladderfe.elements.members import PLACES, Members
from ladderfe.elements.pieces import NEAR, gauss_places
from ladderfe.elements.racking_loads import wall_arms

__all__ = ["SectionMass", "Spread", "member_mass", "point_movements", "section_mass"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Where the eight movements of a section are linear in (1, y, z): (direction, place, which of 1 y z, factor).
RIGID = (
    (0, 0, 0, 1.0), (1, 1, 0, 1.0), (2, 2, 0, 1.0), (1, 3, 2, -1.0), (2, 3, 1, 1.0), (0, 4, 2, 1.0), (0, 5, 1, -1.0),
)  # fmt: skip
F_OPEN, G, F_BOX = 6, 6, 7


@dataclass(frozen=True, slots=True, eq=False)
class SectionMass:
    """What sections of m members weigh: per_length (m,) t/mm; centroid (m, 2) = (y, z) mm from the reference line;
    second (m, 2, 2) t mm, density x moments of area [[int yy, int yz], [int yz, int zz]] about the centroid; warping
    (m,) t mm3, density x Iw of open walls or int omega^2 dA of boxes that rack (any in plain members)."""

    per_length: Array
    centroid: Array
    second: Array
    warping: Array

    def moments(self) -> Array:
        """(m, 3, 3) density x integral of (1, y, z) (1, y, z)^T, about the reference line."""
        one = np.concatenate([np.ones((len(self.per_length), 1)), self.centroid], axis=1)
        out: Array = self.per_length[:, None, None] * one[:, :, None] * one[:, None, :]
        out[:, 1:, 1:] += self.second
        return out


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Masses along members: from start to end (k,) mm of `member` (k,), `inertia` (k, 8, 8) of the section's eight
    movements per mm and unit of `size` (k, 2): at the start, and growth per mm."""

    member: IntArray
    start: Array
    end: Array
    inertia: Array
    size: Array

    @staticmethod
    def join(parts: list[Spread]) -> Spread:
        """Several sets as one."""
        names = ("member", "start", "end", "inertia", "size")
        return Spread(*(np.concatenate([getattr(p, n) for p in parts]) for n in names))


def section_mass(members: Members, mass: SectionMass) -> Spread:
    """The members' own mass along their whole length."""
    n = len(members)
    linear = np.zeros((n, 3, PLACES, 3))  # movement along x' y' z', per unknown, by 1, y, z
    for direction, place, by, factor in RIGID:
        linear[:, direction, place, by] = factor
    racking, p = members.racking_at, members.racking
    middle = p.pole[:, ::-1] + p.plane[:, 1:]  # z and y from which racking is counted
    for direction, by, k in ((1, 2, 0), (2, 1, 1)):
        linear[racking, direction, G, by], linear[racking, direction, G, 0] = 0.5, -middle[:, k] / 2
    out = np.einsum("edip,epq,edjq->eij", linear, mass.moments(), linear, optimize=True)
    own = np.zeros((n, PLACES, PLACES))
    own[:, range(PLACES), range(PLACES)] = 1
    for at, place, to_own in (
        (members.open_at, F_OPEN, open_beam.to_own(members.open)),
        (racking, F_BOX, racking_beam.to_own(p)),
    ):
        out[at, place, place] += mass.warping[at]
        own[at, : to_own.shape[1], : to_own.shape[1]] = to_own
    inertia = own.transpose(0, 2, 1) @ out @ own
    size = np.tile([1.0, 0.0], (n, 1))
    return Spread(np.arange(n), np.zeros(n), members.beams.length, inertia, size)


def point_movements(members: Members, member: IntArray, point: Array) -> Array:
    """(k, 3, 8) movement of what hangs at points (k, 2) = (y, z) of sections, in member axes, by the eight unknowns
    there; as line loads act on them (`open_loads`, `racking_loads`)."""
    out = np.zeros((len(member), 3, PLACES))
    yz = np.concatenate([np.ones((len(member), 1)), point], axis=1)
    for direction, place, by, factor in RIGID:
        out[:, direction, place] = factor * yz[:, by]
    for at, kind in ((members.open_at, F_OPEN), (members.racking_at, F_BOX)):
        rows = np.flatnonzero(np.isin(member, at))
        own = np.searchsorted(at, member[rows])
        if kind == F_OPEN:
            out[rows, 0, F_OPEN] = -np.einsum("ei,ei->e", members.open.origin[own], yz[rows])
        else:
            arms = wall_arms(members.racking.take(own), point[rows])
            out[rows, 0, F_BOX], out[rows, 1, G], out[rows, 2, G] = arms.T
    return out


def member_mass(members: Members, spread: Spread) -> Array:
    """(m, 16, 16) mass of all members in member axes; t, t mm and t mm2; symmetric.

    Gauss points integrate the product of two shapes to rounding: polynomials of degree 7 and what decays within NEAR
    of a decay length; longer pieces are cut.
    """
    out = np.zeros((len(members), 2 * PLACES, 2 * PLACES))
    cuts = _cuts(members, spread)
    row = np.repeat(np.arange(len(spread.member)), cuts)
    number = np.arange(len(row)) - np.repeat(np.cumsum(cuts) - cuts, cuts)
    step = ((spread.end - spread.start) / cuts)[row]
    first = spread.start[row] + number * step
    places, weights = gauss_places(first, first + step)
    points = places.shape[1]
    each = np.repeat(row, points)
    s = places.ravel() - spread.start[each]
    amount = weights.ravel() * (spread.size[each, 0] + s * spread.size[each, 1])
    shape = members.influence(spread.member[each], places.ravel())
    by_row = shape.reshape(len(row), points, PLACES, 2 * PLACES)
    moved = spread.inertia[row, None] @ by_row * amount.reshape(len(row), points)[:, :, None, None]
    np.add.at(out, spread.member[row], np.einsum("kgai,kgaj->kij", by_row, moved, optimize=True))
    return (out + out.transpose(0, 2, 1)) / 2


def _cuts(members: Members, spread: Spread) -> IntArray:
    """(k,) parts of each stretch within which products of shapes decay by exp(NEAR) at most."""
    decay = np.zeros(len(members))
    if len(members.open):
        decay[members.open_at] = members.open.decay
    if len(members.racking):
        decay[members.racking_at] = members.racking.foundation.fastest
    inside = 2 * decay[spread.member] * (spread.end - spread.start) / NEAR
    return np.maximum(1, np.ceil(inside)).astype(np.int64)
