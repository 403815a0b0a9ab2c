"""Runs of members condensed to their two ends, pair by pair, for many states at once.

Two members that meet in a node where nothing else is become one.  With K parted by the outer ends and the middle, the
middle moves by  u = Kmm^-1 (fm - Km u_ends), what is left is  K - Km^T Kmm^-1 Km  and  f - Km^T Kmm^-1 fm.
Every round halves the number of members, and all pairs of all runs and states are solved for side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Chains", "Round", "condense", "recover"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: Places an end has.
EIGHT = 8


@dataclass(frozen=True, slots=True, eq=False)
class Round:
    """Pairs (first, second) among the members of a round, the middle's missing places (pairs, 8: 1 where there is no
    such unknown), and those that are carried over; the next round has the pairs first, then these."""

    first: IntArray
    second: IntArray
    missing: Array
    carried: IntArray


@dataclass(frozen=True, eq=False)
class Chains:
    """rounds; ends (s, 2): nodes of what is left at last, in its order."""

    rounds: tuple[Round, ...]
    ends: IntArray

    @staticmethod
    def of(ends: IntArray, runs: Sequence[Sequence[int]], extras: IntArray) -> Chains:
        """Members with nodes ends (m, 2) in runs, each from member to member; extras (nodes,) as in the frame."""
        nodes = [tuple(e) for e in ends.tolist()]
        left = [list(r) for r in runs]
        rounds = []
        while any(len(r) > 1 for r in left):
            pairs: list[tuple[int, int]] = []
            carried: list[int] = []
            shape = []  # of every run: (0, number of a pair) or (1, number of one carried over)
            for r in left:
                own = []
                for i in range(0, len(r) - 1, 2):
                    own.append((0, len(pairs)))
                    pairs.append((r[i], r[i + 1]))
                if len(r) % 2:
                    own.append((1, len(carried)))
                    carried.append(r[-1])
                shape.append(own)
            middle = [nodes[a][1] for a, _ in pairs]
            missing = (np.arange(EIGHT) >= 6 + extras[middle][:, None]).astype(float)
            new_nodes = [(nodes[a][0], nodes[b][1]) for a, b in pairs] + [nodes[c] for c in carried]
            left = [[k if kind == 0 else len(pairs) + k for kind, k in own] for own in shape]
            first, second = np.array(pairs).T
            rounds.append(Round(first, second, missing, np.array(carried, dtype=np.int64)))
            nodes = new_nodes
        return Chains(tuple(rounds), np.array(nodes, dtype=np.int64).reshape(-1, 2))


def condense(chains: Chains, own: IntArray, stiffness: Array, loads: Array) -> tuple[Array, Array, list[Array]]:
    """Stiffness (v, s, 16, 16) and loads (v, s, 16, c) of what is left of the members `own` (m,) among many, (v, many,
    16, 16) and (v, many, 16, c), and per round (v, pairs, 8, 16 + c) what `recover` needs."""
    kept, one, two = [], slice(EIGHT), slice(EIGHT, None)
    for r in chains.rounds:
        (k1, k2), (f1, f2) = ([a.take(own[x], axis=1) for x in (r.first, r.second)] for a in (stiffness, loads))
        (v, n, _, c), size = f1.shape, len(r.first) + len(r.carried)
        across, x = np.zeros((v, n, EIGHT, 2 * EIGHT)), np.zeros((v, n, EIGHT, 2 * EIGHT + c))
        across[..., one], across[..., two] = k1[:, :, two, one], k2[:, :, one, two]
        yielding = _yielding(k1[:, :, two, two] + k2[:, :, one, one], r.missing)
        np.matmul(yielding, across, out=x[..., : 2 * EIGHT])
        np.matmul(yielding, f1[:, :, two] + f2[:, :, one], out=x[..., 2 * EIGHT :])
        k, f = (np.zeros((v, size, *a.shape[2:])) for a in (stiffness, loads))
        np.matmul(across.swapaxes(2, 3), x[..., : 2 * EIGHT], out=k[:, :n])
        np.matmul(across.swapaxes(2, 3), x[..., 2 * EIGHT :], out=f[:, :n])
        for end, own_k, own_f in ((one, k1, f1), (two, k2, f2)):
            k[:, :n, end, end] += own_k[:, :, end, end]
            f[:, :n, end] += own_f[:, :, end]
        k[:, n:], f[:, n:] = (a.take(own[r.carried], axis=1) for a in (stiffness, loads))
        kept.append(x)
        stiffness, loads, own = k, f, np.arange(size)
    if not chains.rounds:
        stiffness, loads = stiffness.take(own, axis=1), loads.take(own, axis=1)
    return stiffness, loads, kept


def _yielding(middle: Array, missing: Array) -> Array:
    """(v, pairs, 8, 8) minus the inverse of the stiffness of what lies in the middle, by way of a unit diagonal."""
    middle[:, :, range(EIGHT), range(EIGHT)] += missing
    scale = 1 / np.sqrt(middle[:, :, range(EIGHT), range(EIGHT)])
    both = scale[..., None] * scale[:, :, None]
    out = np.asarray(np.linalg.inv(both * middle), dtype=np.float64)
    out *= -both
    return out


def recover(chains: Chains, ends: Array, kept: list[Array], fields: Array) -> Array:
    """(v, m, 16, c) movements of the members' ends from those of what is left (v, s, 16, c); fields (v, u, c): how much
    of each of the u loads every case has."""
    for r, x in zip(reversed(chains.rounds), reversed(kept), strict=True):
        n = len(r.first)
        outer = ends[:, :n]
        middle = x[..., : 2 * EIGHT] @ outer - x[..., 2 * EIGHT :] @ fields[:, None]
        out = np.zeros((len(ends), 2 * n + len(r.carried), *ends.shape[2:]))
        out[:, :n, :EIGHT], out[:, :n, EIGHT:] = outer[:, :, :EIGHT], middle
        out[:, n : 2 * n, :EIGHT], out[:, n : 2 * n, EIGHT:] = middle, outer[:, :, EIGHT:]
        out[:, 2 * n :] = ends[:, n:]
        ends = out.take(np.argsort(np.concatenate([r.first, r.second, r.carried])), axis=1)
    return ends
