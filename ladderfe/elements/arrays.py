"""Small steps on arrays that numpy does slowly or not at all."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["in_order", "inverse", "powers", "solved", "sum_by", "sum_rows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def inverse(m: Array) -> Array:
    """(n, 2, 2) inverse of symmetric 2 x 2 matrices, whose two rows may differ by any factor."""
    out = np.zeros_like(m)
    out[:, 0, 0], out[:, 1, 1], out[:, 0, 1], out[:, 1, 0] = m[:, 1, 1], m[:, 0, 0], -m[:, 0, 1], -m[:, 1, 0]
    out /= (m[:, 0, 0] * m[:, 1, 1] - m[:, 0, 1] ** 2)[:, None, None]
    return out


def powers(s: Array, n: int) -> Array:
    """(k, n, ...) 1, s, s^2, ... of s (k, ...); multiplied out, which is many times quicker than `**`."""
    out = np.ones((len(s), n, *s.shape[1:]))
    for k in range(1, n):
        out[:, k] = out[:, k - 1] * s
    return out


def solved(matrix: Array, right: Array) -> Array:
    """(k, n) solutions of n small systems side by side: symmetric positive matrices (k, k, n), right sides (k, n)."""
    a, x = matrix.copy(), right.copy()
    k = len(a)
    for i in range(k):
        for j in range(i + 1, k):
            part = a[j, i] / a[i, i]
            a[j, i + 1 :] -= part * a[i, i + 1 :]
            x[j] -= part * x[i]
    for i in range(k - 1, -1, -1):
        x[i] = (x[i] - (a[i, i + 1 :] * x[i + 1 :]).sum(axis=0)) / a[i, i]
    return x


def in_order(row: IntArray, n: int) -> bool:
    """Whether rows (k,) are 0, 1, ..., n - 1."""
    return len(row) == n and bool((row == np.arange(n)).all())


def sum_by(n: int, row: IntArray, values: Array) -> Array:
    """(n, ...) the sums of values (k, ...) by their rows (k,), which come in any order."""
    if in_order(row, n):
        return values
    out = np.zeros((n, *values.shape[1:]))
    order, count = np.argsort(row, kind="stable"), np.bincount(row, minlength=n)
    first = np.cumsum(count) - count
    for k in range(int(count.max(initial=0))):  # rows have few values each
        some = np.flatnonzero(count > k)
        out[some] += values[order[first[some] + k]]
    return out


def sum_rows(n: int, row: IntArray, values: Array, fields: Array | None = None) -> Array:
    """(n, ..., c) the sums of values (k, ..., c) by their rows (k,), which come in order; with fields (u, c) the values
    are (k, ..., u) for unit loads and the sums are those of the cases."""
    out = sum_by(n, row, values)
    if fields is None:
        return out
    return (out.reshape(-1, len(fields)) @ fields).reshape(*out.shape[:-1], fields.shape[1])
