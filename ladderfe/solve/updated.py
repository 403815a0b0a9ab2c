"""Sparse symmetric matrices with a full part of low rank:  base + rows core rows^T."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["Updated"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Updated:
    """base (n, n) scipy sparse, rows (n, r), core (r, r) symmetric and regular (r may be 0)."""

    base: Any
    rows: Array
    core: Array

    def __matmul__(self, x: Array) -> Array:
        out: Array = self.base @ x + self.rows @ (self.core @ (self.rows.T @ x))
        return out

    def plus(self, stiffness: Any, factor: float) -> Updated:
        """Sum of `stiffness` and this times a factor that is not 0."""
        return Updated(stiffness + factor * self.base, self.rows, factor * self.core)

    def solver(self) -> Callable[[Array], Array]:
        """Solves for right sides (n, c); the base is positive definite (Sherman, Morrison and Woodbury)."""
        factor = _factorised(self.base)
        if not len(self.core):
            return lambda b: np.asarray(factor.solve(b))
        answers = np.asarray(factor.solve(self.rows))
        small = np.linalg.inv(self.core) + self.rows.T @ answers

        def solve(b: Array) -> Array:
            first = np.asarray(factor.solve(b))
            out: Array = first - answers @ np.linalg.solve(small, self.rows.T @ first)
            return out

        return solve

    def negative(self) -> int:
        """How many eigenvalues are below 0: negative pivots of the base, and what the full part changes (Haynsworth's
        additivity of inertia on [[base, rows], [rows^T, -1/core]], both ways)."""
        factor = _factorised(self.base)
        count = int((factor.U.diagonal() < 0).sum())
        if not len(self.core):
            return count
        inverse = np.linalg.inv(self.core)
        corner = -inverse - self.rows.T @ np.asarray(factor.solve(self.rows))
        return count + _below_zero(corner) - _below_zero(-inverse)


def _below_zero(matrix: Any) -> int:
    return int((np.linalg.eigvalsh((matrix + matrix.T) / 2) < 0).sum())


def _factorised(matrix: Any) -> Any:
    """A sparse symmetric matrix factorised without pivoting off its diagonal."""
    from scipy.sparse.linalg import splu

    return splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
