"""Where the normal stress at a wall point turns inside a member: bending about both axes, each with its own turn."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.cubic import Stretches, integral_at, root_of
from ladderfe.checks.stress import point_table
from ladderfe.mesh import RACKING
from ladderfe.solve import Responses

__all__ = ["stress_turns"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def stress_turns(solution: Responses, cut: Stretches) -> tuple[IntArray, Array]:
    """(members, x): places inside members where the normal stress of some wall point is greater, in some case, than at
    both ends of the stretch between line loads; the greatest of each stretch (`cut`) and case.

    d(sigma)/dx follows from dMy/dx = Vz and dMz/dx = -Vy, a cubic at most, and from the bimoment, dB/dx = Tw (open
    walls) or 2 R (racking), which is no cubic: where it rules, the place is rough, the stress looked at there exact.
    The slow change of N along slopes is left out.
    """
    member, x0, x1, r = cut.member, cut.first, cut.last, cut.resultants
    of = point_table(solution.mesh).normal[solution.mesh.section_of[member]]  # (k, p, 8)
    growth = r[:, :, 7] * np.where(solution.mesh.kind[member] == RACKING, 2.0, 1.0)[:, None, None]
    slope = np.einsum("kp,ksc->kspc", of[:, :, 4], r[:, :, 2]) - np.einsum("kp,ksc->kspc", of[:, :, 5], r[:, :, 1])
    slope += np.einsum("kp,ksc->kspc", of[:, :, 6], growth)
    small = 1e-9 * float(np.abs(slope).max(initial=0.0))
    k, p, c = np.nonzero((slope.min(axis=1) < -small) & (slope.max(axis=1) > small))
    if not len(k):
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    values = slope[k, :, p, c]
    s = root_of(values)
    ends = of[:, None] @ r[:, [0, 3], :8]  # (k, 2, p, c)
    size = np.abs(ends[k, 0, p, c] + (x1 - x0)[k] * integral_at(values, s))
    best = np.abs(ends).max(axis=(1, 2)) * (1 + 1e-6)  # (k, c)
    np.maximum.at(best, (k, c), size)
    keep = size >= best[k, c]
    return member[k[keep]], (x0[k] + s * (x1 - x0)[k])[keep]
