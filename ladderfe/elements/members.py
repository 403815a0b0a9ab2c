"""All members of a frame side by side, whatever their kernel: twelve, fourteen or sixteen unknowns.

Arrays over members have sixteen places, eight an end: ux uy uz rx ry rz, then the warping rate f (open walls) or
racking g and warping f (box walls that rack).  Places that a member's kernel does not know stay zero.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import (
    beam,
    line_loads,
    open_beam,
    open_loads,
    open_resultants,
    racking_beam,
    racking_loads,
    racking_resultants,
)
from ladderfe.elements.arrays import in_order
from ladderfe.elements.beam import Beams
from ladderfe.elements.line_loads import LineLoads, Together
from ladderfe.elements.open_beam import OpenBeams
from ladderfe.elements.pieces import take_loads
from ladderfe.elements.racking_beam import RackingBeams
from ladderfe.elements.resultants import OnRows, by_end_1
from ladderfe.elements.resultants import of_rows as plain_rows

__all__ = ["PLACES", "Members"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Places an end of a member has in all arrays.
PLACES = 8
#: Places of the unknowns of the twelve- and the fourteen-unknown kernels.
TWELVE, FOURTEEN = np.r_[0:6, 8:14], np.r_[0:7, 8:15]


@dataclass(frozen=True, slots=True, eq=False)
class Members:
    """m members: `beams` of all of them; those in `open_at` (k,) carry warping and those in `racking_at` racking, with
    the properties in `open` and `racking`."""

    beams: Beams
    open_at: IntArray
    open: OpenBeams
    racking_at: IntArray
    racking: RackingBeams

    @staticmethod
    def of(beams: Beams) -> Members:
        """Members that are all plain."""
        none = np.zeros(0, dtype=np.int64)
        return Members(beams, none, OpenBeams.none(), none, RackingBeams.none())

    def __len__(self) -> int:
        return len(self.beams)

    @property
    def plain_at(self) -> IntArray:
        """(k,) members with the twelve-unknown kernel."""
        plain = np.ones(len(self), dtype=bool)
        plain[self.open_at] = plain[self.racking_at] = False
        return np.flatnonzero(plain)

    def stiffness(self) -> Array:
        """(m, 16, 16) in member axes; N, mm, rad."""
        out = np.zeros((len(self), 2 * PLACES, 2 * PLACES))
        plain = self.plain_at
        out[np.ix_(plain, TWELVE, TWELVE)] = beam.stiffness(self.beams.take(plain))
        if len(self.open):
            out[np.ix_(self.open_at, FOURTEEN, FOURTEEN)] = open_beam.stiffness(self.open)
        if len(self.racking):
            out[self.racking_at] = racking_beam.stiffness(self.racking)
        return out

    def natural(self) -> tuple[Array, Array]:
        """(m, 10, 16) natural deformations by the end unknowns, and (m, 10, 10) their stiffness; rows that a member's
        kernel does not know stay zero."""
        by_ends, stiffness = np.zeros((len(self), 10, 2 * PLACES)), np.zeros((len(self), 10, 10))
        for at, places, b, d in self._kernels():
            if b.shape == (len(at), *by_ends.shape[1:]):
                by_ends[at], stiffness[at] = b, d
            else:
                rows = np.arange(b.shape[1])
                by_ends[np.ix_(at, rows, places)], stiffness[np.ix_(at, rows, rows)] = b, d
        return by_ends, stiffness

    def _kernels(self) -> Iterator[tuple[IntArray, IntArray, Array, Array]]:
        """Of every kernel in use its members, the places of their unknowns, `deformation` and `natural_stiffness`."""
        plain = self.plain_at
        own = self.beams.take(plain)
        yield plain, TWELVE, beam.deformation(own), beam.natural_stiffness(own)
        if len(self.open):
            yield self.open_at, FOURTEEN, open_beam.deformation(self.open), open_beam.natural_stiffness(self.open)
        if len(self.racking):
            b, d = racking_beam.deformation(self.racking), racking_beam.natural_stiffness(self.racking)
            yield self.racking_at, np.arange(2 * PLACES), b, d

    def energy(self, movements: Array) -> Array:
        """(m, 2) strain energy under end movements (m, 16), N mm: of stretch and bending, and of torsion with warping
        and racking; what couples the two is shared equally."""
        out = np.zeros((len(self), 2))
        for at, places, b, d in self._kernels():
            e = np.einsum("eij,ej->ei", b, movements[np.ix_(at, places)])
            each = e * np.einsum("eij,ej->ei", d, e) / 2
            out[at, 0] = each[:, 0] + each[:, 2:6].sum(axis=1)
            out[at, 1] = each[:, 1] + each[:, 6:].sum(axis=1)
        return out

    def stiffened(self, factor: Array) -> Members:
        """The same members, each `factor` (m,) times as stiff."""
        return Members(
            self.beams.stiffened(factor),
            self.open_at,
            self.open.stiffened(factor[self.open_at]),
            self.racking_at,
            self.racking.stiffened(factor[self.racking_at]),
        )

    def pieces(self, member: IntArray, length: Array) -> Members:
        """Members (k,) of the same sections as `member` (k,), with a length of their own."""
        (opened, own_open), (racking, own_racking) = (
            next(self._rows(member, at), (at[:0], at[:0])) for at in (self.open_at, self.racking_at)
        )
        beams = replace(self.beams.take(member), length=length)
        return Members(
            beams,
            opened,
            replace(self.open.take(own_open), beams=replace(self.open.beams.take(own_open), length=length[opened])),
            racking,
            replace(
                self.racking.take(own_racking),
                beams=replace(self.racking.beams.take(own_racking), length=length[racking]),
            ),
        )

    def influence(self, member: IntArray, x: Array) -> Array:
        """(rows, 8, 16) movement at x (rows,) of the members per unit end unknown, see the kernels' `influence`."""
        out = np.zeros((len(x), PLACES, 2 * PLACES))
        for rows, own in self._rows(member, self.plain_at):
            out[np.ix_(rows, np.arange(6), TWELVE)] = beam.influence(self.beams.take(self.plain_at[own]), x[rows])
        for rows, own in self._rows(member, self.open_at):
            out[np.ix_(rows, np.arange(7), FOURTEEN)] = open_beam.influence(self.open.take(own), x[rows])
        for rows, own in self._rows(member, self.racking_at):
            out[rows] = racking_beam.influence(self.racking.take(own), x[rows])
        return out

    def each_equivalent(self, loads: LineLoads) -> Array:
        """(k, 16, c) end loads that move the ends just as every line load by itself does."""
        out = np.zeros((len(loads), 2 * PLACES, loads.cases))
        for rows, own in self._loads(loads, self.plain_at):
            out[np.ix_(rows, TWELVE)] = line_loads.each_equivalent(self.beams.take(self.plain_at), own)
        for rows, own in self._loads(loads, self.open_at):
            out[np.ix_(rows, FOURTEEN)] = open_loads.each_equivalent(self.open, own)
        for rows, own in self._loads(loads, self.racking_at):
            out[rows] = racking_loads.each_equivalent(self.racking, own)
        return out

    def equivalent_loads(self, loads: LineLoads) -> Array:
        """(m, 16, c) end loads that move the ends just as all line loads together do."""
        out = np.zeros((len(self), 2 * PLACES, loads.cases))
        if not len(loads):
            return out
        whole = Together.of(loads, self._work(loads))
        plain = line_loads.of_resultants(self.beams, whole.part(slice(6)))
        out[:, :6], out[:, PLACES : PLACES + 6] = plain[:, :6], plain[:, 6:]
        if len(self.open):
            own = whole.on(_numbers(len(self), self.open_at)).part(slice(6, 9))
            out[np.ix_(self.open_at, FOURTEEN)] = open_loads.with_warping(self.open, own, plain[self.open_at])
        if len(self.racking):
            own = whole.on(_numbers(len(self), self.racking_at)).part(slice(6, 10))
            out[self.racking_at] = racking_loads.with_racking(self.racking, own, plain[self.racking_at])
        return out

    def _work(self, loads: LineLoads) -> Array:
        """(k, 10, 3) work of unit forces x' y' z' on the six movements of the section and those of its kernel."""
        out = np.zeros((len(loads), 10, 3))
        out[:, :6] = line_loads.resultant_work(loads.point)
        for rows, own in self._loads(loads, self.open_at):
            out[rows, 6:9] = open_loads.twisting_work(self.open.take(own.member), own)
        for rows, own in self._loads(loads, self.racking_at):
            out[rows, 6:] = racking_loads.driving(self.racking.take(own.member), own).work
        return out

    def resultants(
        self, movements: Array, ends: Array, loads: LineLoads, member: IntArray, x: Array, fields: Array | None = None
    ) -> Array:
        """(rows, 9, c) N, Vy, Vz, T, My, Mz, B, Tw or R, and the racking angle g at x (rows,) of the members.

        movements, ends : (m, 16, c) movements of the member ends and forces on them, member axes
        loads : line loads of all members
        fields : (u, c); None, or the loads are u units of which every case has so much of each

        The bimoment B (N mm2) and the warping torque Tw (N mm) are those of open walls, B and the racking force R
        (N mm) those of box walls that rack by g (rad); all are zero in plain members.  See the kernels' `resultants`.
        """
        end = np.where(x == 0, 0, np.where(x == self.beams.length[member], 1, -1))
        end[np.isin(member, self.open_at)] = -1  # what is warping of their torque depends on the loads inside
        out = np.zeros((len(x), 9, ends.shape[2]))
        rows = np.flatnonzero(end >= 0)
        if len(rows):
            both, at = self._of_forces(movements, ends).reshape(-1, *out.shape[1:]), 2 * member[rows] + end[rows]
            out[rows] = both if in_order(at, len(both)) else both[at]
        rows = np.flatnonzero(end < 0)
        if len(rows):
            out[rows] = self._inside(movements, ends, loads, member[rows], x[rows], fields)
        return out

    def at_ends(self, movements: Array, ends: Array) -> Array:
        """(m, 2, 9, c) `resultants` at both ends of all members by the forces there alone; the warping torque of open
        walls is that of end forces without line loads."""
        out, own = self._of_forces(movements, ends), self.open
        b = out[self.open_at, :, 6]
        for end, x in enumerate((np.zeros(len(own)), own.length)):
            out[self.open_at, end, 6:8] = open_resultants.between(own, b[:, 0], b[:, 1], x)
        return out

    def _of_forces(self, movements: Array, ends: Array) -> Array:
        """The same without the warping torque of open walls, which forces do not tell."""
        out = np.zeros((len(self), 2, 9, ends.shape[2]))
        way = np.zeros((len(self), 2, PLACES, PLACES))
        way[:, 0] = self._of_end_forces()
        way[:, 1] = -way[:, 0]
        np.matmul(way, ends.reshape(len(self), 2, PLACES, ends.shape[2]), out=out[:, :, :8])
        if len(self.racking):
            out[self.racking_at, :, 8] = movements.reshape(len(self), 2, PLACES, ends.shape[2])[self.racking_at, :, 6]
        return out

    def _of_end_forces(self) -> Array:
        """(m, 8, 8) resultants on the face of end 1 (N, Vy, Vz, T, My, Mz, B, R) per unit force that acts on it."""
        out = np.zeros((len(self), PLACES, PLACES))
        out[:, :6, :6] = by_end_1(self.beams, np.zeros(len(self)))
        if len(self.open):
            at = self.open_at
            out[at, 6, 6] = -1
            out[at, :, :7] = out[at, :, :7] @ open_beam.from_own(self.open).transpose(0, 2, 1)
        if len(self.racking):
            at = self.racking_at
            out[at, 6, 7] = out[at, 7, 6] = -1
            out[at] = out[at] @ racking_beam.from_own(self.racking).transpose(0, 2, 1)
        return out

    def _inside(
        self, movements: Array, ends: Array, loads: LineLoads, member: IntArray, x: Array, fields: Array | None
    ) -> Array:
        """`resultants` with the line loads on the way to x."""
        out, on_rows = np.zeros((len(x), 9, ends.shape[2])), OnRows.of(member, loads)
        out[:, :6] = plain_rows(self.beams.take(member), ends[member, :6], on_rows, x, fields)
        for rows, own in self._rows(member, self.open_at):
            here, mine = ends[np.ix_(member[rows], FOURTEEN)], on_rows.some(_numbers(len(x), rows))
            out[rows, 6:8] = open_resultants.warping_rows(self.open.take(own), here, mine, x[rows], fields=fields)
        for rows, own in self._rows(member, self.racking_at):
            both, mine = racking_resultants.Ends(movements, ends, member[rows]), on_rows.some(_numbers(len(x), rows))
            state = racking_resultants.state_rows(self.racking.take(own), both, mine, x[rows], fields=fields)
            out[rows, 6:] = state[:, :3]
        return out

    def _rows(self, member: IntArray, at: IntArray) -> Iterator[tuple[IntArray, IntArray]]:
        """The rows whose member is in `at`, with its number there; nothing where there is none."""
        number = _numbers(len(self), at)[member]
        rows = np.flatnonzero(number >= 0)
        if len(rows):
            yield rows, number[rows]

    def _loads(self, loads: LineLoads, at: IntArray) -> Iterator[tuple[IntArray, LineLoads]]:
        """The line loads on the members in `at`, numbered as there."""
        for rows, own in self._rows(loads.member, at):
            yield rows, replace(take_loads(loads, rows), member=own)


def _numbers(n: int, at: IntArray) -> IntArray:
    """(n,) number in `at` of every member, -1 for none."""
    out = np.full(n, -1, dtype=np.int64)
    out[at] = np.arange(len(at))
    return out
