"""Small symmetric matrices of one pattern in many states, kept and solved as bands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Bands", "Factors"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Bands:
    """b unknowns in `order`; width: entries from the diagonal down; blocks: the band cut into squares of width - 1, the
    last filled up with unknowns that meet none; slot (b + 1, b + 1): where an entry lies in a state's band, laid out
    flat column by column, the last place for those above the diagonal and for unknown b, which is none; first: a
    state's band to begin with, flat."""

    order: IntArray
    width: int
    blocks: int
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
        width = max(int(np.abs(place[row] - place[column]).max(initial=0)), 1) + 1
        blocks = -(-b // (width - 1))
        last = blocks * (width - 1) * width
        down = place[:, None] - place[None]
        slot = np.full((b + 1, b + 1), last)
        slot[:b, :b] = np.where((down >= 0) & (down < width), down + width * place[None], last)
        flat = np.zeros(last + 1)
        flat[width * b : last : width] = 1
        flat[slot[row, column]] = first[row, column]
        return Bands(order, width, blocks, slot, flat)

    def added(self, parts: Sequence[tuple[IntArray, Array]]) -> Array:
        """(v, flat) bands of all states: as they begin, and blocks (v, k, k) on their rows and columns (k,)."""
        v, size = len(parts[0][1]), len(self.first)
        slot = np.concatenate([self.slot[at[:, None], at[None]].ravel() for at, _ in parts])
        blocks = np.concatenate([np.broadcast_to(b, (v, *b.shape[-2:])).reshape(v, -1) for _, b in parts], axis=1)
        place = (np.arange(v)[:, None] * size + slot).ravel()
        out: Array = np.bincount(place, blocks.ravel(), v * size).reshape(v, size) + self.first
        return out

    def factors(self, bands: Array) -> Factors:
        """Cholesky's factors of all states.

        With squares as high as the band is below its diagonal, those on the diagonal are triangles, and so are those
        below them; kept column by column, either lie one after the other.  Raises LinAlgError where a matrix is not
        positive."""
        from scipy.linalg.lapack import dpbtrf, dtrtri

        v, n = len(bands), self.width - 1
        band = bands[:, :-1].reshape(v, -1, self.width).copy()
        for k in range(v):
            if dpbtrf(band[k].T, lower=1, overwrite_ab=1)[1]:
                raise np.linalg.LinAlgError("a state's matrix is not positive")
        square = band.reshape(v, self.blocks, n + 1, n)
        inverse, below = np.triu(square[:, :, :n]), np.tril(square[:, :, 1:])
        for own in inverse.reshape(-1, n, n):
            dtrtri(own.T, lower=1, overwrite_c=1)
        return Factors(self.order, inverse, below)


@dataclass(frozen=True, eq=False)
class Factors:
    """L L^T of v states in squares, n unknowns each: inverse (v, blocks, n, n) of those of L^T on the diagonal, below
    (v, blocks, n, n) those of L^T beside them."""

    order: IntArray
    inverse: Array
    below: Array

    def halfway(self, right: Array) -> Array:
        """(v, blocks x n, c) z = L^-1 p of loads p (v, b, c): work of loads on the movements of others is z^T z."""
        (v, blocks, n, _), b = self.inverse.shape, len(self.order)
        out = np.zeros((v, blocks * n, right.shape[2]))
        out[:, :b] = right.take(self.order, axis=1)
        for k in range(blocks):
            own = out[:, k * n : k * n + n]
            if k:
                own -= self.below[:, k - 1].swapaxes(1, 2) @ out[:, k * n - n : k * n]
            own[:] = self.inverse[:, k].swapaxes(1, 2) @ own
        return out

    def movements(self, halfway: Array) -> Array:
        """(v, b, c) movements L^-T z."""
        (v, blocks, n, _), b = self.inverse.shape, len(self.order)
        out, x = np.zeros((v, b, halfway.shape[2])), np.zeros_like(halfway)
        for k in reversed(range(blocks)):
            own = halfway[:, k * n : k * n + n]
            if k + 1 < blocks:
                own = own - self.below[:, k] @ x[:, k * n + n : k * n + 2 * n]
            x[:, k * n : k * n + n] = self.inverse[:, k] @ own
        out[:, self.order] = x[:, :b]
        return out
