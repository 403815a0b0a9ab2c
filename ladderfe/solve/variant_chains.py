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


def condense(chains: Chains, stiffness: Array, loads: Array) -> tuple[Array, Array, list[Array]]:
    """Stiffness (v, s, 16, 16) and loads (v, s, 16, c) of what is left of members (v, m, 16, 16) and (v, m, 16, c), and
    per round (v, pairs, 8, 16 + c) what `recover` needs."""
    kept = []
    for r in chains.rounds:
        one, two = stiffness[:, r.first], stiffness[:, r.second]
        f1, f2 = loads[:, r.first], loads[:, r.second]
        middle = one[:, :, EIGHT:, EIGHT:] + two[:, :, :EIGHT, :EIGHT]
        middle[:, :, range(EIGHT), range(EIGHT)] += r.missing
        across = np.concatenate([one[:, :, EIGHT:, :EIGHT], two[:, :, :EIGHT, EIGHT:]], axis=3)
        right = np.concatenate([across, f1[:, :, EIGHT:] + f2[:, :, :EIGHT]], axis=3)
        scale = 1 / np.sqrt(middle[:, :, range(EIGHT), range(EIGHT)])[..., None]
        x = scale * np.linalg.solve(scale * middle * scale.swapaxes(2, 3), scale * right)
        less, n = across.swapaxes(2, 3) @ x, len(r.first)
        k, f = (np.zeros((len(a), n + len(r.carried), *a.shape[2:])) for a in (stiffness, loads))
        k[:, n:], f[:, n:] = stiffness[:, r.carried], loads[:, r.carried]
        k[:, :n, :EIGHT, :EIGHT], k[:, :n, EIGHT:, EIGHT:] = one[:, :, :EIGHT, :EIGHT], two[:, :, EIGHT:, EIGHT:]
        f[:, :n, :EIGHT], f[:, :n, EIGHT:] = f1[:, :, :EIGHT], f2[:, :, EIGHT:]
        k[:, :n] -= less[..., : 2 * EIGHT]
        f[:, :n] -= less[..., 2 * EIGHT :]
        kept.append(x)
        stiffness, loads = k, f
    return stiffness, loads, kept


def recover(chains: Chains, ends: Array, kept: list[Array], fields: Array) -> Array:
    """(v, m, 16, c) movements of the members' ends from those of what is left (v, s, 16, c); fields (v, u, c): how much
    of each of the u loads every case has."""
    for r, x in zip(reversed(chains.rounds), reversed(kept), strict=True):
        n = len(r.first)
        outer = ends[:, :n]
        middle = x[..., 2 * EIGHT :] @ fields[:, None] - x[..., : 2 * EIGHT] @ outer
        out = np.zeros((len(ends), 2 * n + len(r.carried), *ends.shape[2:]))
        out[:, r.first] = np.concatenate([outer[:, :, :EIGHT], middle], axis=2)
        out[:, r.second] = np.concatenate([middle, outer[:, :, EIGHT:]], axis=2)
        out[:, r.carried] = ends[:, n:]
        ends = out
    return ends
