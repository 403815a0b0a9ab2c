"""How far a frame is turned by its loads."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ladderfe.solve import Solution

__all__ = ["SMALL_TURN", "Turn", "greatest_turn"]

#: Beyond this a frame is no longer one of small movements, degrees (common practice, no source).
SMALL_TURN = 3.0


@dataclass(frozen=True, slots=True)
class Turn:
    """The greatest turn of a node against the frame as a whole: degrees, the node's name and the case's."""

    degrees: float
    where: str
    case: str


def greatest_turn(solution: Solution) -> Turn:
    """Where and in which case the frame is turned most, its turn as a whole (a wheel raised) taken off."""
    start = solution.frame.start[:-1]
    turn = np.stack([solution.movements[start + 3 + i] for i in range(3)], axis=1)  # (n, 3, c)
    own = np.linalg.norm(turn - turn.mean(axis=0), axis=1)
    own[:, 0] = 0.0  # the condition on the scales is no case
    node, case = np.unravel_index(int(np.argmax(own)), own.shape)
    degrees = float(np.degrees(own[node, case]))
    return Turn(degrees, solution.mesh.node_names[int(node)], solution.cases[int(case)].name)
