"""Supports by condensation: the frame is factorised once on a determinate footing, whatever carries it afterwards.

With F the flexibility of the frame at the supports (on that footing), R its six rigid motions and p the forces of
the supports along their rows A:

    movement at supports   d = d_load + F p + A^T R q
    springs                d + p / k = d0          (d0: how far a spring was set up, mm)
    equilibrium            R^T (load + A p) = 0

a small linear system in p and q.  Given forces simply leave the first block and join the loads.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Spring
from ladderfe.mesh import Place
from ladderfe.solve.band import Factor
from ladderfe.solve.frame import Frame, rigid_arm

__all__ = ["Footing", "Support", "factorised", "footing_of", "rigid_motions", "support_rows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Support:
    """A support force along `row` (unknowns,): positive pushes the frame along it; flexibility in mm/N, 0 holds."""

    name: str
    row: Array
    flexibility: float


def rigid_motions(frame: Frame) -> Array:
    """(unknowns, 6) movements of all unknowns per unit rigid motion about the datum; joint freedoms stay at rest."""
    out = np.zeros((frame.unknowns, 6))
    own = rigid_arm(frame.nodes)  # every node as a point `nodes` away from the datum
    for i in range(6):
        out[frame.start[:-1] + i] = own[:, i]
    return out


def support_rows(frame: Frame, places: Mapping[str, Place], springs: Sequence[Spring]) -> tuple[Support, ...]:
    """The springs (vertical, at their seats) and the three in-plane holds at the front left and rear left seats."""
    out = []
    for s in springs:
        row = np.zeros(frame.unknowns)
        for place, share in s.seats:
            p = places[place]
            unknown, coefficient = frame.row(p.node, np.array(p.arm), np.array([0, 0, share, 0, 0, 0.0]))
            np.add.at(row, unknown, coefficient)
        out.append(Support(s.name, row, 1 / s.rate))
    left = [s for s in springs if s.side == "left"]
    for spring, direction, words in ((left[0], 0, "along x"), (left[0], 1, "sideways"), (left[-1], 1, "sideways")):
        row = np.zeros(frame.unknowns)
        row[frame.start[places[spring.seats[0][0]].node] + direction] = 1
        out.append(Support(f"hold {words} at {spring.name}", row, 0.0))
    return tuple(out)


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
    """A factorised frame with its supports condensed."""

    def __init__(self, factor: Factor, supports: Sequence[Support], loads: Array, solved: Array | None = None) -> None:
        """Solve for the load vectors (unknowns, c) and unit support forces at once, unless `solved` brings the
        movements (unknowns, c + s) already."""
        self.factor, self.supports = factor, tuple(supports)
        frame = self.frame = factor.frame
        self.rows = np.stack([s.row for s in supports], axis=1)
        self.motions = rigid_motions(frame)
        self.loads = loads
        if solved is None:
            solved = self.factor.solve(np.concatenate([loads, self.rows], axis=1))
        self.load_movements, self.unit_movements = solved[:, : loads.shape[1]], solved[:, loads.shape[1] :]
        self.flexibility = self.rows.T @ self.unit_movements
        self.lever = self.rows.T @ self.motions  # (s, 6)

    def carry(self, load: Array, set_up: Array) -> tuple[Array, Array]:
        """Support forces (s, k) and rigid motions (6, k) for loads = self.loads @ load (c, k), springs set up by
        (s, k) mm."""
        own = np.array([s.flexibility for s in self.supports])
        wanted = set_up - self.rows.T @ (self.load_movements @ load)
        return self._balance(self.flexibility + np.diag(own), wanted, self.motions.T @ (self.loads @ load))

    def _balance(self, soft: Array, wanted: Array, resultant: Array) -> tuple[Array, Array]:
        scale = 1.0 / np.abs(self.lever).max(axis=0)  # rotations and movements to one size
        a = self.lever * scale
        unit = float(np.abs(np.diag(soft)).max())
        matrix = np.block([[soft / unit, a], [a.T, np.zeros((6, 6))]])
        x = np.linalg.solve(matrix, np.concatenate([wanted / unit, -scale[:, None] * resultant]))
        n = len(self.supports)
        return x[:n], x[n:] * scale[:, None] * unit

    def spread(self) -> Array:
        """(s, s) forces of all supports per unit push in place of each."""
        own = np.array([s.flexibility for s in self.supports])
        return self._balance(self.flexibility + np.diag(own), -self.flexibility, self.lever.T)[0]

    def work(self) -> Array:
        """(c + s, c + s) work of every load and unit support force on the others' movements; symmetric by Betti."""
        loads = np.concatenate([self.loads, self.rows], axis=1)
        out: Array = loads.T @ np.concatenate([self.load_movements, self.unit_movements], axis=1)
        return out

    def set_up_for(self, load: Array, force: Array) -> Array:
        """(s,) mm by which the springs must be set up so that under `load` (c,) they push with `force` (s,)."""
        own = np.array([s.flexibility for s in self.supports])
        out: Array = self.rows.T @ (self.load_movements @ load) + (self.flexibility + np.diag(own)) @ force
        return out

    def settle(self, load: Array, force: Array) -> Array:
        """(6, k) rigid motions that bring springs under given forces (s, k) nearest to their own deflection."""
        own = np.array([s.flexibility for s in self.supports])
        gap = -(self.rows.T @ (self.load_movements @ load)) - (self.flexibility + np.diag(own)) @ force
        out: Array = np.linalg.lstsq(self.lever, gap, rcond=None)[0].astype(float)
        return out

    def movements(self, load: Array, force: Array, rigid: Array) -> Array:
        """(unknowns, k) movements of the frame."""
        return self.load_movements @ load + self.unit_movements @ force + self.motions @ rigid
