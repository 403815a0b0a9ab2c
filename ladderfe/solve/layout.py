"""How a frame hangs together: which unknowns belong to which members, and where their stiffness stands in the band.

Nothing here depends on sizes, so it is worked out once for all frames that hang together alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import PLACES

__all__ = ["Band", "Layout", "MemberGroup", "band_of", "layout_of"]

IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class MemberGroup:
    """Members (g,) with equally many unknowns: columns (a,) of their sixteen places that these are, numbers (g, b) of
    their joint freedoms, and all unknowns `dofs` (g, a + b)."""

    members: IntArray
    columns: IntArray
    soft: IntArray
    dofs: IntArray


@dataclass(frozen=True)
class Layout:
    """extras (n,): racking and warping unknowns of every node; ends: two nodes of every member, one after the other;
    soft: member and end of every joint freedom; energies: joint freedoms, nodes and extras of every `JointEnergy`."""

    extras: bytes
    ends: bytes
    soft: tuple[tuple[int, int], ...]
    energies: tuple[tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]], ...]

    @cached_property
    def member_ends(self) -> IntArray:
        """(m, 2)."""
        return np.frombuffer(self.ends, dtype=np.int64).reshape(-1, 2)

    @cached_property
    def start(self) -> IntArray:
        """(n + 1,) first unknown of every node."""
        return np.concatenate([[0], np.cumsum(6 + np.frombuffer(self.extras, dtype=np.int64))])

    @property
    def unknowns(self) -> int:
        return int(self.start[-1]) + len(self.soft)

    @cached_property
    def groups(self) -> tuple[MemberGroup, ...]:
        """All members by number of unknowns."""
        extras = np.diff(self.start)[self.member_ends] - 6
        freedoms: dict[int, list[int]] = {}
        for k, (member, _) in enumerate(self.soft):
            freedoms.setdefault(member, []).append(k)
        count = np.zeros(len(extras), dtype=np.int64)
        count[list(freedoms)] = [len(own) for own in freedoms.values()]
        kinds, kind = np.unique(np.column_stack([extras, count]), axis=0, return_inverse=True)
        return tuple(
            self._group(np.flatnonzero(kind.ravel() == k), int(one), int(two), freedoms)
            for k, (one, two, _) in enumerate(kinds)
        )

    @cached_property
    def gathering(self) -> Any:
        """(unknowns, 16 m) scipy sparse array that adds what acts on the places of all members' ends up."""
        from scipy.sparse import csr_array

        place, size = np.arange(PLACES), np.diff(self.start)[self.member_ends][:, :, None]
        at = (self.start[self.member_ends][:, :, None] + place)[place < size]
        kept = np.flatnonzero(place < size)
        return csr_array((np.ones(len(kept)), (at, kept)), shape=(self.unknowns, 2 * PLACES * len(size)))

    def _group(self, own: IntArray, one: int, two: int, freedoms: dict[int, list[int]]) -> MemberGroup:
        columns = np.r_[0 : 6 + one, PLACES : PLACES + 6 + two]
        first = self.start[self.member_ends[own]]
        soft = np.array([freedoms.get(int(m), []) for m in own], dtype=np.int64).reshape(len(own), -1)
        dofs = [first[:, :1] + np.arange(6 + one), first[:, 1:] + np.arange(6 + two), int(self.start[-1]) + soft]
        return MemberGroup(own, columns, soft, np.concatenate(dofs, axis=1))

    @cached_property
    def energy_unknowns(self) -> tuple[IntArray, ...]:
        """(k,) unknowns of every joint's energy."""
        last = int(self.start[-1])
        return tuple(
            np.array([*(last + k for k in soft), *(int(self.start[node]) + 6 + i for node in nodes for i in extras)])
            for soft, nodes, extras in self.energies
        )

    @cached_property
    def blocks(self) -> tuple[IntArray, ...]:
        """(g, k) unknowns of all blocks of stiffness: groups of members, joint springs, energies."""
        springs = (int(self.start[-1]) + np.arange(len(self.soft))[:, None],) if self.soft else ()
        return (*(g.dofs for g in self.groups), *springs, *(e[None] for e in self.energy_unknowns))


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Lower band storage (rows, size) of the unknowns that are not held, the first row being the diagonal.

    position (unknowns,): place of every unknown, `size` for those held; order (size,): the unknown at every place.
    kept: which entries of all blocks, one after the other, stand in the band, and slots: where, column by column as for
    LAPACK.
    """

    size: int
    rows: int
    position: IntArray
    order: IntArray
    kept: IntArray
    slots: IntArray


@lru_cache(maxsize=8)
def layout_of(layout: Layout) -> Layout:
    """The same layout, with what was worked out for it before."""
    return layout


@lru_cache(maxsize=8)
def band_of(layout: Layout, held: tuple[int, ...]) -> Band:
    """The band with some unknowns held, ordered by reverse Cuthill-McKee on the nodes."""
    position = _position(layout, np.array(held, dtype=np.int64))
    size = layout.unknowns - len(held)
    grids = [np.broadcast_arrays(position[d][:, :, None], position[d][:, None, :]) for d in layout.blocks]
    row, col = (np.concatenate([g[way].ravel() for g in grids]) for way in (0, 1))
    kept = np.flatnonzero((row >= col) & (row < size))
    below, col = (row - col)[kept], col[kept]
    rows = int(below.max(initial=0)) + 1
    order = np.argsort(position, kind="stable")[:size]
    return Band(size, rows, position, order, kept, col * rows + below)


def _position(layout: Layout, held: IntArray) -> IntArray:
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import reverse_cuthill_mckee

    ends, n = layout.member_ends, len(layout.start) - 1
    i, j = np.concatenate([ends, ends[:, ::-1]]).T
    graph = coo_array((np.ones(len(i)), (i, j)), shape=(n, n)).tocsr()
    rank = np.zeros(n, dtype=np.int64)
    rank[reverse_cuthill_mckee(graph, symmetric_mode=True)] = np.arange(n)
    key = np.repeat(rank, np.diff(layout.start))
    soft = np.array([rank[ends[member, end]] for member, end in layout.soft], dtype=np.int64)
    order = np.argsort(np.concatenate([key, soft]), kind="stable")
    order = order[~np.isin(order, held)]
    position = np.full(layout.unknowns, len(order), dtype=np.int64)
    position[order] = np.arange(len(order))
    return position
