"""Supports by condensation: the frame is factorised once on a determinate footing, whatever carries it afterwards.

The frame meets its supports along rows A (springs at their seats, in-plane holds).  With the load movements u_l and
the movements u_a per unit force along each row, all on the footing, and R the six rigid motions, every standing frame
is  u = u_l load + u_a p + R q.  Which p and q those are is a small problem: solve/contact.py.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.suspension import Seat
from ladderfe.mesh import Place
from ladderfe.solve.at_places import at_places
from ladderfe.solve.band import Factor
from ladderfe.solve.frame import Frame, rigid_arm

__all__ = ["HOLDS", "Footing", "factorised", "footing_of", "rigid_motions", "support_rows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def rigid_motions(frame: Frame) -> Array:
    """(unknowns, 6) movements of all unknowns per unit rigid motion about the datum; joint freedoms stay at rest."""
    out = np.zeros((frame.unknowns, 6))
    own = rigid_arm(frame.nodes)  # every node as a point `nodes` away from the datum
    for i in range(6):
        out[frame.start[:-1] + i] = own[:, i]
    return out


#: Directions along which the frame is held in plane, determinately: where (front left or rear left) and which way.
HOLDS = (("front", 0, "along x"), ("front", 1, "sideways"), ("rear", 1, "sideways"))


def support_rows(frame: Frame, places: Mapping[str, Place], seats: Sequence[Seat]) -> Array:
    """(unknowns, r) rows of the seats, then of the three in-plane holds at the front left and rear left seats."""
    rows = np.zeros((frame.unknowns, len(seats) + len(HOLDS)))
    each = [(k, places[place], direction) for k, seat in enumerate(seats) for place, direction in seat.places]
    if each:
        number, where, direction = zip(*each, strict=True)
        unknowns, own = at_places(frame, where, np.array(direction, dtype=float)[:, :, None])
        np.add.at(rows, (unknowns, np.array(number)[:, None]), own[:, :, 0])
    for k, (axle, way, _) in enumerate(HOLDS):
        place = seats[0 if axle == "front" else 2].places[0][0]
        rows[frame.start[places[place].node] + way, len(seats) + k] = 1
    return rows


def footing_of(frame: Frame) -> IntArray:
    """Six unknowns that hold a free frame determinately: three nodes far apart, three, two and one movement."""
    xyz = frame.nodes
    a = int(np.argmin(xyz[:, 0] + xyz[:, 1]))
    b = int(np.argmax(np.linalg.norm(xyz - xyz[a], axis=1) - 2 * np.abs(xyz[:, 1] - xyz[a, 1])))
    along = (xyz[b] - xyz[a]) / np.linalg.norm(xyz[b] - xyz[a])
    off = xyz - xyz[a] - ((xyz - xyz[a]) @ along)[:, None] * along
    c = int(np.argmax(np.abs(off[:, 1])))
    s = frame.start
    return np.array([s[a], s[a] + 1, s[a] + 2, s[b] + 1, s[b] + 2, s[c] + 2])


def factorised(frame: Frame) -> Factor:
    """A frame factorised on its determinate footing; MechanismError where it does not hang together."""
    return Factor(frame, footing_of(frame))


class Footing:
    """A factorised frame with its supports condensed: flexibility (r, r) mm/N and lever (r, 6) of the support rows."""

    def __init__(
        self, factor: Factor, rows: Array, loads: Array, solved: tuple[Array, Array] | None = None
    ) -> None:
        """Solve for the load vectors (unknowns, c) and unit forces along the rows (unknowns, r) at once, unless
        `solved` brings the movements (unknowns, c) and (unknowns, r) already."""
        self.factor, self.rows, self.loads = factor, rows, loads
        self.frame = factor.frame
        self.motions = rigid_motions(factor.frame)
        if solved is None:
            both = factor.solve(np.concatenate([loads, rows], axis=1))
            solved = both[:, : loads.shape[1]], both[:, loads.shape[1] :]
        self.load_movements, self.unit_movements = solved
        met = np.flatnonzero(rows.any(axis=1))  # few unknowns
        some = rows[met].T
        self.flexibility = some @ self.unit_movements[met]
        self.lever = some @ self.motions[met]
        self._row_movements, self._resultants = some @ self.load_movements[met], self.motions.T @ loads

    def stiffer(self, times: float) -> Footing:
        """The footing of a frame with so many times the stiffness, all of it alike: rows and loads move it less."""
        return Footing(self.factor, self.rows, self.loads, (self.load_movements / times, self.unit_movements / times))

    def row_movements(self, load: Array) -> Array:
        """(r, k) movement along the rows under loads = self.loads @ load (c, k), on the footing."""
        out: Array = self._row_movements @ load
        return out

    def resultant(self, load: Array) -> Array:
        """(6, k) force and moment about the datum of loads (c, k)."""
        out: Array = self._resultants @ load
        return out

    def settle(self, load: Array, force: Array, rates: Array, set_up: Array) -> Array:
        """(6, k) rigid motions that bring springs (rates (s,) N/mm, the first rows) under given forces (r, k) nearest
        to their own deflection from a set-up of `set_up` (r,) mm, and the holds to rest."""
        soft = self.flexibility.copy()
        n = len(rates)
        soft[range(n), range(n)] += 1 / rates
        held = self._held(n)
        gap = (set_up[:, None] - self.row_movements(load) - soft @ force)[held]
        out: Array = np.linalg.lstsq(self.lever[held], gap, rcond=None)[0].astype(float)
        return out

    def _held(self, springs: int) -> IntArray:
        """Rows of the springs and of the in-plane holds, which come last."""
        r = len(self.flexibility)
        return np.array([*range(springs), *range(r - len(HOLDS), r)])

    def spread(self, rates: Array) -> Array:
        """(r, r) forces of springs and holds per unit push in place of each; holds are rigid."""
        held = self._held(len(rates))
        n, r, lever = len(rates), len(held), self.lever[held]
        flexibility = self.flexibility[np.ix_(held, held)]
        soft = flexibility.copy()
        soft[range(n), range(n)] += 1 / rates
        scale = 1.0 / np.abs(lever).max(axis=0)  # rotations and movements to one size
        a, unit = lever * scale, float(np.abs(np.diag(soft)).max())
        matrix = np.block([[soft / unit, a], [a.T, np.zeros((6, 6))]])
        wanted = np.concatenate([-flexibility / unit, -scale[:, None] * lever.T])
        return np.linalg.solve(matrix, wanted)[:r]

    def work(self) -> Array:
        """(c + r, c + r) work of every load and unit support force on the others' movements; symmetric by Betti."""
        loads = np.concatenate([self.loads, self.rows], axis=1)
        out: Array = loads.T @ np.concatenate([self.load_movements, self.unit_movements], axis=1)
        return out

    def straining(self, load: Array, force: Array) -> Array:
        """(unknowns, k) movements under loads (c, k) and row forces (r, k) seen from the footing: all that strains."""
        out: Array = self.load_movements @ load + self.unit_movements @ force
        return out

    def movements(self, load: Array, force: Array, rigid: Array) -> Array:
        """(unknowns, k) movements of the frame, rigid motions (6, k) included."""
        return self.straining(load, force) + self.motions @ rigid
