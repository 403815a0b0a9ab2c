"""A frame on its axles: the condensed frame (solve/supports.py) and the links of its axles (cases/suspension.py) as one
small support problem."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.suspension import Suspended
from ladderfe.solve.support_problem import SupportProblem

__all__ = ["frame_forces", "link_movements", "loads_on", "problem_of"]

Array = NDArray[np.float64]


def problem_of(system: Suspended, flexibility: Array, lever: Array) -> SupportProblem:
    """Support problem of a frame with `flexibility` (rows, rows) mm/N and `lever` (rows, 6) of its seats and holds.

    With d = W (movement of the frame rows) + B (axle unknowns):  S = W F W^T + diag(c),  L = [W lever, B].
    """
    rows, bodies = system.coupling
    laws = system.laws
    frame = rows @ flexibility @ rows.T
    at = np.arange(len(frame))
    stiff = laws.stiffens > 1
    own = np.where(stiff, frame[at, at] / np.where(stiff, laws.stiffens - 1, 1.0), laws.flexibility)
    frame[at, at] += own
    return SupportProblem(
        names=laws.names, soft=frame, lever=np.concatenate([rows @ lever, bodies], axis=1), lowest=laws.lowest,
        engages=laws.engages, gap=laws.gap, ground=laws.ground, bodies=system.bodies,
    )  # fmt: skip


def link_movements(system: Suspended, row_movements: Array) -> Array:
    """(n, k) movement of all links from that of the frame rows (rows, k) under the loads."""
    out: Array = system.coupling[0] @ row_movements
    return out


def loads_on(system: Suspended, resultant: Array, gravity: Array) -> Array:
    """(m, k) N and N mm: loads on the frame about the datum (6, k), then the weight of the axles at (k,) g."""
    return np.concatenate([resultant, -np.outer(np.array(system.weight), gravity)])


def frame_forces(system: Suspended, forces: Array) -> Array:
    """(rows, k) N: what the links (n, k) do to the frame along its rows."""
    out: Array = system.coupling[0].T @ forces
    return out
