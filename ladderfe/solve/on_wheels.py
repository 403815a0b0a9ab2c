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
    links = system.links
    frame = rows @ flexibility @ rows.T
    own = [
        frame[i, i] / (link.stiffens - 1) if link.stiffens > 1 else link.flexibility for i, link in enumerate(links)
    ]
    return SupportProblem(
        names=tuple(link.name for link in links),
        soft=frame + np.diag(own),
        lever=np.concatenate([rows @ lever, bodies], axis=1),
        lowest=np.array([link.lowest for link in links]),
        engages=np.array([link.engages for link in links], dtype=bool),
        gap=np.array([link.gap for link in links]),
        ground=np.array([link.kind in ("wheel", "stand") for link in links], dtype=bool),
        bodies=system.bodies,
    )


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
