"""Which supports are down: the criss-cross method on a small linear complementarity problem, all cases side by side.

Wanted are y, z >= 0 with y = b + M z and y z = 0 item by item: of every pair (force, opening) one is zero.  M is
positive semidefinite (in contact.py z^T M z is twice a strain energy), so it is sufficient, and so is every matrix
that exchanging pairs makes of it.

Why it ends: each exchange leads to another choice of one from each pair, and there are 2^n choices.  With the
least-index rule (always the first pair whose value is negative; if it cannot be exchanged alone, together with the
first that can) no choice comes twice for a sufficient matrix: D. den Hertog, C. Roos, T. Terlaky, "The linear
complementarity problem, sufficient matrices, and the criss-cross method", Linear Algebra and its Applications 187
(1993) 1-14 (reference from memory).  It needs neither a feasible start nor nondegeneracy.  It ends with a solution or
with a row  y_i = b_i + sum m_ij z_j,  b_i < 0, all m_ij <= 0, which no z >= 0 can satisfy: then there is no solution.
Only signs are used, so that the same holds for values b + t s with a vanishing t > 0 (`slope` s): those are read
first by b, and by s where b is zero.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError

__all__ = ["complementary"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

#: An entry of the matrix below this is zero (the matrix comes with a diagonal of about 1).
SMALL = 1e-9
#: A value below this part of the greatest is zero.
ROUNDING = 1e-11


def complementary(matrix: Array, value: Array, slope: Array | None = None) -> tuple[BoolArray, BoolArray]:
    """Choices that solve y = value + matrix z for every column of `value` (n, k).

    Parameters
    ----------
    matrix : (n, n), positive semidefinite, scaled to a diagonal of about 1 (0 where it is singular).
    value, slope : (n, k); slopes break the ties of values that are zero (none: such values count as positive).

    Returns
    -------
    (n, k) True where y is zero and z takes its place; (k,) False where there is no solution.

    Raises ModelError if rounding spoils the signs so far that the exchanges do not end.
    """
    n, k = value.shape
    chosen, solvable = np.zeros((k, n), dtype=bool), np.ones(k, dtype=bool)
    if not n:
        return chosen.T, solvable
    table = np.zeros((k, n, n + 2))
    table[:, :, :n] = matrix
    table[:, :, n] = value.T
    table[:, :, n + 1] = 0.0 if slope is None else slope.T
    small = ROUNDING * np.abs(table[:, :, n:]).max(axis=1)
    running = np.arange(k)
    for _ in range(100 + 20 * n):
        fault, first = _first_negative(table, small)
        partner, found = _partner(table, first)
        solvable[running[fault & ~found]] = False
        go = fault & found
        if not go.all():
            running, first, partner, table, small = running[go], first[go], partner[go], table[go], small[go]
        if not len(running):
            return chosen.T, solvable
        _exchange_pairs(table, first, partner)
        chosen[running, first] ^= True
        chosen[running, partner] ^= first != partner
    hint = "Look for supports that stand on one another or rates that differ by millions"
    raise ModelError("supports", "rounding hides which of them are down", hint)


def _first_negative(table: Array, small: Array) -> tuple[BoolArray, IntArray]:
    """Whether a case has a negative value, and the least index of one."""
    n = table.shape[1]
    value, slope = table[:, :, n], table[:, :, n + 1]
    negative = (value < -small[:, :1]) | ((value <= small[:, :1]) & (slope < -small[:, 1:]))
    fault = np.asarray(negative.any(axis=1))
    return fault, negative.argmax(axis=1)


def _partner(table: Array, first: IntArray) -> tuple[IntArray, BoolArray]:
    """With which pair to exchange: itself where the diagonal allows, else the first that can lift the value."""
    n, case = table.shape[1], np.arange(len(table))
    row = table[case, first, :n]
    lifts = row > SMALL
    alone = row[case, first] > SMALL
    found = np.asarray(lifts.any(axis=1))
    return np.where(alone, first, lifts.argmax(axis=1)), found


def _exchange_pairs(table: Array, first: IntArray, partner: IntArray) -> None:
    """In place: exchange `first` of every table alone, or `first` and `partner` with each other."""
    _exchange(table, first, partner)
    two = np.nonzero(first != partner)[0]
    if len(two):
        i, k = first[two], partner[two]
        both = table[two]
        _exchange(both, k, i)
        every = np.arange(len(two))
        both[every, i], both[every, k] = both[every, k], both[every, i]
        both[every, :, i], both[every, :, k] = both[every, :, k], both[every, :, i]
        table[two] = both


def _exchange(table: Array, r: IntArray, s: IntArray) -> None:
    """In place: solve line r of each table for the unknown of column s and put it in everywhere."""
    case = np.arange(len(table))
    pivot = table[case, r, s]
    row = -table[case, r] / pivot[:, None]
    row[case, s] = 1 / pivot
    column = table[case, :, s]
    table[case, :, s] = 0
    table += column[:, :, None] * row[:, None, :]
    table[case, r] = row
