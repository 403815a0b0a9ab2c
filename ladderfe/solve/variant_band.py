"""Small symmetric matrices of one pattern in many states, kept and solved as bands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Bands"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Bands:
    """b unknowns in `order`; slot (b + 1, b + 1): where an entry lies in a state's band, laid out flat, the last place
    for those above the diagonal and for unknown b, which is none; first: a state's band to begin with, flat."""

    order: IntArray
    width: int
    slot: IntArray
    first: Array

    @staticmethod
    def of(first: Array, meet: Iterable[IntArray]) -> Bands:
        """For matrices that begin as `first` (b, b), to which blocks on these unknowns are added (b: none)."""
        from scipy.sparse import csr_array
        from scipy.sparse.csgraph import reverse_cuthill_mckee

        b = len(first)
        pattern = np.zeros((b + 1, b + 1), dtype=bool)
        pattern[:b, :b] = first != 0
        for at in meet:
            pattern[at[:, None], at[None]] = True
        graph = csr_array(pattern[:b, :b])
        order = np.asarray(reverse_cuthill_mckee(graph, symmetric_mode=True), dtype=np.int64)
        place = np.zeros(b, dtype=np.int64)
        place[order] = np.arange(b)
        row, column = np.nonzero(pattern[:b, :b])
        width = int(np.abs(place[row] - place[column]).max(initial=0)) + 1
        down = place[:, None] - place[None]
        slot = np.full((b + 1, b + 1), width * b)
        slot[:b, :b] = np.where((down >= 0) & (down < width), down * b + place[None], width * b)
        flat = np.zeros(width * b + 1)
        flat[slot[row, column]] = first[row, column]
        return Bands(order, width, slot, flat)

    def added(self, parts: Sequence[tuple[IntArray, Array]]) -> Array:
        """(v, flat) bands of all states: as they begin, and blocks (v, k, k) on their rows and columns (k,)."""
        v, size = len(parts[0][1]), len(self.first)
        slot = np.concatenate([self.slot[at[:, None], at[None]].ravel() for at, _ in parts])
        blocks = np.concatenate([np.broadcast_to(b, (v, *b.shape[-2:])).reshape(v, -1) for _, b in parts], axis=1)
        place = (np.arange(v)[:, None] * size + slot).ravel()
        out: Array = np.bincount(place, blocks.ravel(), v * size).reshape(v, size) + self.first
        return out

    def solve(self, bands: Array, right: Array) -> Array:
        """(v, b, c) movements under loads (v, b, c); Cholesky's way, scaled to a unit diagonal, in each state.

        Raises LinAlgError where a matrix is not positive."""
        from scipy.linalg.lapack import dpbsv

        b = len(self.order)
        band = bands[:, :-1].reshape(len(bands), self.width, b)
        scale = 1 / np.sqrt(band[:, 0])
        band = band * scale[:, None]
        for k in range(self.width):
            band[:, k, : b - k] *= scale[:, k:]
        loads = right[:, self.order] * scale[:, :, None]
        out = np.zeros_like(right)
        for v in range(len(bands)):
            _, x, info = dpbsv(band[v], loads[v], lower=1)
            if info:
                raise np.linalg.LinAlgError("a state's matrix is not positive")
            out[v, self.order] = scale[v, :, None] * x
        return out
