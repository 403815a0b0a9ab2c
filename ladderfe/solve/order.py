"""Numbering of the nodes that keeps neighbours close together, so that K fits a narrow band."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["narrow_order"]

IntArray = NDArray[np.int64]


def narrow_order(nodes: int, ends: IntArray) -> IntArray:
    """(nodes,) the nodes in reverse Cuthill-McKee order; ends (m, 2): the nodes that every member joins.

    From a node with the fewest neighbours outward, the neighbours of each in turn, those with fewest of their own
    first; the whole reversed (E. Cuthill, J. McKee, 1969; A. George, 1971; from memory).  The same numbering as
    scipy.sparse.csgraph's, whose import would take longer than the work.
    """
    near: list[set[int]] = [set() for _ in range(nodes)]
    for a, b in ends.tolist():
        near[a].add(b)
        near[b].add(a)
    count = [len(own) for own in near]
    order: list[int] = []
    met = [False] * nodes
    for start in np.argsort(count).tolist():
        if met[start]:
            continue
        met[start], done = True, len(order)
        order.append(start)
        while done < len(order):
            new = sorted((n for n in near[order[done]] if not met[n]), key=lambda n: (count[n], n))
            for n in new:
                met[n] = True
            order += new
            done += 1
    return np.array(order[::-1], dtype=np.int64)
