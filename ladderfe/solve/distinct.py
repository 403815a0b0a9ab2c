"""What numbers and rows there are, each once, in order.

numpy's `unique` first imports all of masked arrays, which takes as long as it takes to read a chassis.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["distinct", "distinct_rows"]


def distinct(values: ArrayLike) -> NDArray[Any]:
    """(d,) the values (k,) in order, each once."""
    ordered = np.sort(values)
    return ordered[_new(ordered[:, None])]


def distinct_rows(rows: NDArray[Any]) -> NDArray[Any]:
    """(d, 2) the rows (k, 2) in order of the first number, then of the second, each once."""
    ordered = rows[np.lexsort((rows[:, 1], rows[:, 0]))]
    return ordered[_new(ordered)]


def _new(ordered: NDArray[Any]) -> NDArray[np.bool_]:
    """(k,) where a row is not the one before."""
    new = np.ones(len(ordered), dtype=bool)
    new[1:] = (ordered[1:] != ordered[:-1]).any(axis=1)
    return new
