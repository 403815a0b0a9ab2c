"""One band Cholesky factorisation for all load cases, with mechanisms named in words."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import MechanismError
from ladderfe.solve.frame import MOTIONS, WARPING, Frame
from ladderfe.solve.layout import band_of
from ladderfe.solve.squares import Squares

__all__ = ["Factor"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Least pivot of the matrix scaled to a unit diagonal; a mechanism leaves only rounding there (about 1e-16 times
#: the unknowns), a real frame stays above it by decades.
LEAST_PIVOT = 1e-13
#: From so many columns on squares of the band are quicker than one column after the other.
MANY = 16


class Factor:
    """K of a frame with some unknowns held at zero, factorised once.

    Unknowns are ordered along the band (solve/layout.py), scaled to a unit diagonal, kept in lower band storage and
    factorised by LAPACK.  Raises MechanismError where the frame can move without straining.
    """

    def __init__(self, frame: Frame, held: IntArray) -> None:
        self.frame = frame
        self.held = np.unique(np.asarray(held, dtype=np.int64))  # an unknown named twice is held once
        self._place = band_of(frame.layout, tuple(self.held.tolist()))
        self._band = self._assemble()
        diagonal = self._band[0]
        if np.any(diagonal <= 0):
            self._complain(int(np.nonzero(self._place.position == np.argmin(diagonal))[0][0]))
        self._scale = 1 / np.sqrt(diagonal)
        self._factorise()

    @property
    def size(self) -> int:
        """Number of unknowns that are not held."""
        return self._place.size

    def _assemble(self) -> Array:
        """Lower band storage (bandwidth + 1, size)."""
        p, every = self._place, np.concatenate([k.ravel() for k, _ in self.frame.blocks])
        band: Array = np.bincount(p.slots, every[p.kept], minlength=p.rows * p.size).astype(float, copy=False)
        return band.reshape(p.size, p.rows).T

    def _scaled(self) -> Array:
        n, rows = self.size, len(self._band)
        scaled: Array = self._band * self._scale
        shifted = np.concatenate([self._scale, np.ones(rows - 1)])
        scaled *= np.lib.stride_tricks.sliding_window_view(shifted, n)
        return scaled

    def _factorise(self) -> None:
        from scipy.linalg.lapack import dpbtrf

        self._lower, info = dpbtrf(self._scaled(), lower=1, overwrite_ab=1)
        if info > 0 or float(self._lower[0].min()) ** 2 < LEAST_PIVOT:
            self._complain(self._loosest())

    def _softest_motion(self) -> Array:
        """(unknowns,) the softest motion, by inverse iteration on a slightly stiffened K."""
        from scipy.linalg import cho_solve_banded, cholesky_banded

        band = self._scaled()
        band[0] += 1e-9
        c = cholesky_banded(band, lower=True, check_finite=False)
        v = np.linspace(1, 2, self.size)
        for _ in range(4):
            v = cho_solve_banded((c, True), v, check_finite=False)
            v /= np.abs(v).max()
        return np.append(v * self._scale, 0.0)[self._place.position]

    def _loosest(self) -> int:
        """The unknown to name: a released joint that takes part in the softest motion, else what moves most."""
        f, u = self.frame, self._softest_motion()
        turning = np.concatenate(
            [
                np.arange(f.start[-1]) - np.repeat(f.start[:-1], np.diff(f.start)) >= 3,  # warping too, roughly
                np.array([s.direction >= 3 for s in f.soft], dtype=bool),
            ]
        )
        size = np.abs(u) * np.where(turning, np.ptp(f.nodes, axis=0).max(), 1.0)
        free = [int(f.start[-1]) + k for k, s in enumerate(f.soft) if s.stiffness == 0]
        moving = [k for k in free if size[k] > 1e-3 * size.max()]
        candidates = np.array(moving) if moving else np.arange(f.unknowns)
        most = size[candidates]
        return int(
            candidates[np.argmax(most > 0.999 * most.max())]
        )  # the first of those alike: rounding does not choose

    def _loose_part(self) -> str | None:
        """Name of a node in a part that is joined to nothing that is held, None if all hangs together."""
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        f = self.frame
        n = len(f.nodes)
        graph = coo_array((np.ones(len(f.ends)), (f.ends[:, 0], f.ends[:, 1])), shape=(n, n))
        count, part = connected_components(graph, directed=False)
        held = set(part[np.searchsorted(f.start, self.held[self.held < f.start[-1]], side="right") - 1])
        loose = [c for c in range(count) if c not in held]
        return self.describe(int(f.start[np.nonzero(part == loose[0])[0][0]]))[0] if loose else None

    def _complain(self, unknown: int) -> None:
        if not np.any(self.held < self.frame.start[-1]):
            raise MechanismError("frame", "nothing holds it, so it floats", "Give it supports")
        loose = self._loose_part()
        if loose is not None:
            raise MechanismError(
                loose, "not connected to the rest of the frame", "Join it by a crossmember or remove it"
            )
        where, motion = self.describe(unknown)
        raise MechanismError(
            where,
            f"free to {motion}: nothing holds it, so the frame is a mechanism",
            "Connect the part to the rest of the frame, or give the joint a stiffness in that direction",
        )

    def describe(self, unknown: int) -> tuple[str, str]:
        """(place, motion) of an unknown in words."""
        f = self.frame
        if unknown >= f.start[-1]:
            s = f.soft[unknown - int(f.start[-1])]
            name = f.member_names[s.member] if f.member_names else f"member {s.member + 1}"
            return f"{name}, {f.end_names[s.end]} end", MOTIONS[s.direction]
        node = int(np.searchsorted(f.start, unknown, side="right")) - 1
        name = f.node_names[node] if f.node_names else f"node {node + 1}"
        return name, MOTIONS[min(unknown - int(f.start[node]), WARPING)]

    @cached_property
    def _squares(self) -> Squares:
        return Squares.of(self._lower)

    def solve(self, loads: Array) -> Array:
        """Movements (unknowns, c) under loads (unknowns, c); zero where held."""
        from scipy.linalg.lapack import dpbtrs

        order, position = self._place.order, self._place.position
        x = np.zeros((self.size + 1, loads.shape[1]))  # the last row stands for all that are held
        own, scale = x[:-1], self._scale[:, None]
        np.multiply(loads.take(order, axis=0), scale, out=own)
        if x.shape[1] < MANY or len(self._lower) < 2:
            own[:] = dpbtrs(self._lower, own, lower=1)[0]
        else:
            self._squares.solve(own)
        own *= scale
        return x.take(position, axis=0)

    def refinement(self, loads: Array, u: Array) -> Array:
        """(unknowns, c) what one step of iterative refinement would add to movements u under loads: their rounding."""
        residual = loads - self.frame.multiply(u)
        residual[self.held] = 0
        return self.solve(residual)

    def digits_lost(self, loads: Array, u: Array) -> float:
        """Decimal digits lost to conditioning: size of one refinement step against rounding (16 digits)."""
        step, size = np.abs(self.refinement(loads, u)).max(), np.abs(u).max()
        return float(np.log10(max(step / size, 1e-16) / 1e-16)) if size else 0.0
