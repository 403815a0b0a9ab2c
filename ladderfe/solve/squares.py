"""A band factor cut into squares, so that many columns are solved by products of matrices instead of one by one.

LAPACK's own solver of banded systems takes every column by itself.  With squares as high as the band is below its
diagonal, those on the diagonal are lower triangles and those below them upper ones; in LAPACK's storage either lie one
column after the other, `width` numbers apart, so that the triangles need not even be copied.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Squares"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Squares:
    """L of L L^T: diagonal (width, width) triangles whose other half means nothing, the last may be smaller; below
    (blocks - 1, width, width) the transposes of the squares under them, the last with columns that mean nothing."""

    diagonal: Sequence[Array]
    below: Array

    @staticmethod
    def of(lower: Array) -> Squares:
        """Of a factor (width + 1, n) in LAPACK's lower band storage, Fortran's order; width at least 1."""
        rows, n = lower.shape
        width, flat = rows - 1, lower.T.ravel()
        whole = (n - 1) // width  # the last square may be cut off
        last = flat[whole * width * rows :].reshape(-1, rows)
        square = flat[: whole * width * rows].reshape(whole, rows, width)
        tail = np.zeros((len(last), len(last)))
        for column, values in enumerate(last):
            tail[column, column:] = values[: len(last) - column]
        return Squares([*square[:, :width].transpose(0, 2, 1), tail.T], np.tril(square[:, 1:]))

    def solve(self, right: Array) -> None:
        """Put the solutions x of L L^T x = right in place of right (n, c), whose rows lie one after the other."""
        from scipy.linalg.blas import dtrsm

        width, every = len(self.diagonal[0]), range(len(self.diagonal))
        own = [right[k * width : (k + 1) * width] for k in every]
        for k in every:
            if k:
                own[k] -= self.below[k - 1].T[: len(own[k])] @ own[k - 1]
            dtrsm(1.0, self.diagonal[k], own[k].T, side=1, lower=1, trans_a=1, overwrite_b=1)
        for k in reversed(every):
            if k + 1 < len(own):
                own[k] -= self.below[k][:, : len(own[k + 1])] @ own[k + 1]
            dtrsm(1.0, self.diagonal[k], own[k].T, side=1, lower=1, overwrite_b=1)
