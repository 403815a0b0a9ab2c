"""Members and sections of a repaired frame found again on the frame as found, where a plan put in or took out parts, so
that the two are not divided alike."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.rows import Rows
from ladderfe.mesh import Mesh
from ladderfe.solve import Solution

__all__ = ["divided_alike", "members_there", "rows_there"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: Places that are one along a part, mm.
NEAR = 0.1
#: A section at a node belongs to the member on whose side it is looked at: it is looked for so far inside, mm.
INSIDE = 1e-3


def divided_alike(found: Mesh, repaired: Mesh) -> bool:
    """Whether both have the same parts in the same members."""
    if [(p.name, p.first, p.last) for p in found.parts] != [(p.name, p.first, p.last) for p in repaired.parts]:
        return False
    rails = [m for p in repaired.parts if p.kind == "rail" for m in p.members]
    return bool(np.abs(found.along[rails] - repaired.along[rails]).max(initial=0) <= NEAR)


def members_there(found: Mesh, repaired: Mesh) -> IntArray:
    """(m,) for each member of the repaired mesh that of the frame as found where its middle is, -1 where there is
    none."""
    every = np.arange(len(repaired.lengths))
    return _there(found, repaired, every, repaired.along.mean(axis=1))[0]


def rows_there(rows: Rows, mesh: Mesh, found: Solution) -> Rows:
    """The rows of a repaired frame's mesh at the same places of the frame as found; rows on parts that this does not
    have lie at the end of its first member and stand for nothing."""
    member, share = _there(found.mesh, mesh, rows.member, rows.along)
    known = member >= 0
    member, share = np.where(known, member, 0), np.where(known, share, 0.0)
    x = share * found.mesh.lengths[member]
    return replace(rows, member=member, x=x, resultants=found.resultants(member, x))


def _there(found: Mesh, mesh: Mesh, member: IntArray, along: Array) -> tuple[IntArray, Array]:
    """Members (r,) as found, -1 for none, and shares (r,) of their lengths."""
    parts = {(p.kind, p.name): p for p in found.parts}
    out, share = np.full(len(member), -1), np.zeros(len(member))
    for p in mesh.parts:
        other = parts.get((p.kind, p.name))
        own = np.flatnonzero((member >= p.first) & (member < p.last))
        if other is None or not len(own):
            continue
        first, last = mesh.along[p.first, 0], mesh.along[p.last - 1, 1]
        a, b = found.along[other.first, 0], found.along[other.last - 1, 1]
        to_middle = mesh.along[member[own]].mean(axis=1) - along[own]
        place = np.stack([along[own], along[own] + np.clip(to_middle, -INSIDE, INSIDE)])
        if p.kind != "rail":  # it may be a wall's thickness longer than it was
            place = a + (place - first) * (b - a) / (last - first)
        ends = found.along[other.first : other.last]
        at = np.clip(np.searchsorted(ends[:, 1], place[1]), 0, len(ends) - 1)
        inside = (place[0] > a - NEAR) & (place[0] < b + NEAR)
        out[own] = np.where(inside, other.first + at, -1)
        share[own] = np.clip((place[0] - ends[at, 0]) / (ends[at, 1] - ends[at, 0]), 0, 1)
    return out, share
