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

The row that proves that there is none holds for all values b + t s with the same M: its b_i + t s_i tells for which
other t there is none either (`borne`).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError

__all__ = ["borne", "complementary"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

#: An entry of the matrix below this is zero (the matrix comes with a diagonal of about 1).
SMALL = 1e-9
#: A value below this part of the greatest is zero.
ROUNDING = 1e-11
HINT = "Look for supports that stand on one another or rates that differ by millions"


class _Ended(NamedTuple):
    """chosen (n, k) and solvable (k,) as in `complementary`; proof (k, 2): b_i and s_i of the row that proves that
    there is no solution, 0 where there is one."""

    chosen: BoolArray
    solvable: BoolArray
    proof: Array


def complementary(
    matrix: Array, value: Array, slope: Array | None = None, fixed: BoolArray | None = None
) -> tuple[BoolArray, BoolArray]:
    """Choices that solve y = value + matrix z for every column of `value` (n, k).

    Parameters
    ----------
    matrix : (n, n), positive semidefinite, scaled to a diagonal of about 1 (0 where it is singular).
    value, slope : (n, k); slopes break the ties of values that are zero (none: such values count as positive).
    fixed : (n, k) pairs that are left out: z is zero, and y may be anything.

    Returns
    -------
    (n, k) True where y is zero and z takes its place; (k,) False where there is no solution.

    Raises ModelError if rounding spoils the signs so far that the exchanges do not end.
    """
    both = np.stack([value, np.zeros_like(value) if slope is None else slope], axis=2)
    ended = _ended(matrix, both, slope is not None, fixed)
    return ended.chosen, ended.solvable


def borne(matrix: Array, value: Array, more: Array) -> Array:
    """(k,) the greatest t of 0 to 1 at which y = value + t more + matrix z has a solution, nan where none has at 0.

    value, more : (n, k).  Each row that proves that there is none at some t is a bound on t; the next t is that bound,
    until there is one (a cutting plane method in one unknown: it ends as there are finitely many rows).
    """
    t = np.ones(value.shape[1])
    left = np.arange(len(t))
    for _ in range(100):
        both = np.stack([value[:, left] + t[left] * more[:, left], more[:, left]], axis=2)
        ended = _ended(matrix, both, False, None)
        left, (b, s) = left[~ended.solvable], ended.proof[~ended.solvable].T
        if not len(left):
            return t
        back = np.where(s < 0, b / np.where(s < 0, s, 1.0), np.inf)
        t[left] -= back
        t[t < 0] = np.nan
        left = left[~np.isnan(t[left])]
    raise ModelError("supports", "rounding hides how much they bear", HINT)


def _ended(matrix: Array, both: Array, ties: bool, fixed: BoolArray | None) -> _Ended:
    """Exchanges for values and slopes `both` (n, k, 2) until they end; ties: slopes break them."""
    n, k = both.shape[:2]
    chosen, solvable, proof = np.zeros((k, n), dtype=bool), np.ones(k, dtype=bool), np.zeros((k, 2))
    if not n:
        return _Ended(chosen.T, solvable, proof)
    small = ROUNDING * np.abs(both).max(axis=0)
    running, first = _first_faults(both.transpose(1, 0, 2), small, ties, fixed)
    table, small = _tables(matrix, both, fixed, running), small[running]
    for _ in range(100 + 20 * n):
        if not len(running):
            return _Ended(chosen.T, solvable, proof)
        partner, found = _partner(table, first)
        if not found.all():
            solvable[running[~found]] = False
            proof[running[~found]] = table[~found, first[~found], n:]
            running, first, partner = running[found], first[found], partner[found]
            table, small = table[found], small[found]
        _exchange_pairs(table, first, partner)
        chosen[running, first] ^= True
        chosen[running, partner] ^= first != partner
        faulty, first = _first_faults(table[:, :, n:], small, ties, None)
        if len(faulty) < len(running):
            running, table, small = running[faulty], table[faulty], small[faulty]
    raise ModelError("supports", "rounding hides which of them are down", HINT)


def _tables(matrix: Array, both: Array, fixed: BoolArray | None, running: IntArray) -> Array:
    """(r, n, n + 2) of the cases `running`: matrix, value and slope; nothing where pairs are fixed."""
    n = len(matrix)
    table = np.zeros((len(running), n, n + 2))
    table[:, :, :n] = matrix
    table[:, :, n:] = both[:, running].transpose(1, 0, 2)
    if fixed is not None:
        case, pair = np.nonzero(fixed[:, running].T)
        table[case, pair] = 0.0
        table[case, :, pair] = 0.0
    return table


def _first_faults(both: Array, small: Array, ties: bool, fixed: BoolArray | None) -> tuple[IntArray, IntArray]:
    """Which cases have a negative value (r, n, 2), and the least index of one."""
    negative = both[:, :, 0] < -small[:, :1]
    if ties:
        negative |= (both[:, :, 0] <= small[:, :1]) & (both[:, :, 1] < -small[:, 1:])
    if fixed is not None:
        negative &= ~fixed.T
    faulty = np.flatnonzero(negative.any(axis=1))
    return faulty, negative[faulty].argmax(axis=1)


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
