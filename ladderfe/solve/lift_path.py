"""Raising a wheel step by step: the heights at which supports lift or touch, exactly.

With set-ups d0 + h d1 every set of supports that are down gives forces and openings linear in the height h.  A set
holds until the first of them reaches zero; there the contact problem is solved once more for a height "just above"
(values first, slopes where a value is zero), which is again the criss-cross method of complementarity.py and ends.
Solutions of a convex problem with parameter h: the heights at which one set is right form one interval, each step
goes on by more than nothing and no set comes back, so the path has finitely many pieces.  Loads and equilibrium do
not depend on h: whether any forces can balance the loads is settled at the start.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError
from ladderfe.solve.complementarity import ROUNDING
from ladderfe.solve.contact import Base
from ladderfe.solve.support_problem import SupportProblem
from ladderfe.solve.tipping import Tipping, balances_on, tips_over

__all__ = ["Change", "LiftPath", "lift_path"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

#: No frame has so many pieces; a path that does goes round in rounding errors.
PIECES = 1000


@dataclass(frozen=True, slots=True)
class Change:
    """At this height (mm) the support lifts (or reaches what it can pull), or else touches."""

    height: float
    support: str
    lifts: bool


@dataclass(frozen=True, slots=True, eq=False)
class LiftPath:
    """Corners of the path: heights (j,) mm from 0 on, forces (n, j) N, motion (m, j), opening (n, j) mm; between them
    all is linear.  down (n, j - 1): closed links of each piece.  changes: what happens at the corners, in order.
    rocking: per piece None, or the supports between which it rocks.  tipping: None, or how it tips above the last
    height."""

    height: Array
    forces: Array
    motion: Array
    opening: Array
    down: BoolArray
    changes: tuple[Change, ...]
    rocking: tuple[Tipping | None, ...]
    tipping: Tipping | None

    def forces_at(self, height: float) -> Array:
        """(n,) N at a height on the path."""
        return np.array([np.interp(height, self.height, f) for f in self.forces])


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """One set of supports: value at height 0 and slope per mm of all that is asked for."""

    down: BoolArray
    forces: Array  # (n, 2)
    motion: Array  # (m, 2)
    opening: Array  # (n, 2)


def lift_path(
    problem: SupportProblem, load_movement: Array, resultant: Array, set_up: Array, raising: Array, up_to: float
) -> LiftPath:
    """Path of one case, load_movement (n,), resultant (m,), set_up (n,) mm, while `raising` (n,) mm per mm goes on.

    `raising` is 1 at a wheel that is raised, 0 elsewhere (-1 where one is lowered); `up_to` mm ends it.
    Raises as contact.stand; ModelError if rounding keeps the path from going on.
    """
    base = Base(problem)
    wanted = np.stack([set_up, raising], axis=1)
    none = np.zeros((len(set_up), 1)), np.zeros((len(resultant), 1))
    start = base.first(
        np.concatenate([load_movement[:, None], none[0]], axis=1),
        np.concatenate([resultant[:, None], none[1]], axis=1),
        wanted,
    )
    corners, pieces, rocking, tipping = [0.0], list[_Piece](), list[Tipping | None](), None
    while corners[-1] < up_to or not pieces:
        piece = _piece_above(base, start, corners[-1])
        if piece is None:
            tipping = tips_over(problem, resultant)
            break
        reach = min(_reach(problem, piece, corners[-1]), up_to)
        edge = _knife_edge(problem, piece, (corners[-1] + reach) / 2)
        if edge is not None and edge.over:
            tipping = edge
            break
        pieces.append(piece)
        rocking.append(edge)
        corners.append(reach)
        if len(pieces) > PIECES:
            raise ModelError(
                "lift path", f"does not go on above {reach:g} mm", "Look for rates that differ by millions"
            )
    return _collected(problem, np.array(corners), pieces, rocking, tipping)


def _piece_above(base: Base, start: tuple[Array, Array, Array], height: float) -> _Piece | None:
    """The set that is right just above a height; None where nothing balances the loads."""
    forces, motion, opening = (a.copy() for a in start)
    lowest = base.problem.lowest[:, None]
    value = base.values(forces, opening)
    value[:, 1] = np.where(base.open_first[base.pairs], opening[base.pairs, 1], forces[base.pairs, 1])
    chosen, solvable = base.choose(value[:, :1] + height * value[:, 1:], value[:, 1:])
    if not solvable[0]:
        return None
    z = base.exchanged(value, np.repeat(chosen, 2, axis=1))
    forces = forces + base.unit_forces @ z
    down = base.down(chosen)[:, 0]
    forces[~down] = np.concatenate([lowest, np.zeros_like(lowest)], axis=1)[~down]
    opening = opening + base.unit_opening @ z
    opening[down] = 0
    return _Piece(down, forces, motion + base.unit_motion @ z, opening)


def _reach(problem: SupportProblem, piece: _Piece, height: float) -> float:
    """Height above `height` at which the first force or opening of the piece comes down to zero."""
    k = problem.opens
    over = piece.forces[k].copy()
    over[:, 0] -= problem.lowest[k]
    both = [np.where(piece.down[k, None], over, 0), np.where(piece.down[k, None], 0, piece.opening[k])]
    first = np.inf
    for part in both:
        value, slope = part[:, 0] + height * part[:, 1], part[:, 1]
        falling = slope < -ROUNDING * np.abs(part[:, 1]).max(initial=0)
        falling &= value > ROUNDING * np.abs(part).max(initial=0)
        if falling.any():
            first = min(first, float((value[falling] / -slope[falling]).min()))
    return height + first


def _knife_edge(problem: SupportProblem, piece: _Piece, height: float) -> Tipping | None:
    forces = piece.forces @ np.array([1.0, height])
    idle = problem.opens & piece.down & (forces - problem.lowest <= 1e-9 * np.abs(forces).max())
    return balances_on(problem, piece.down & ~idle) if idle.any() else None


def _collected(
    problem: SupportProblem,
    height: Array,
    pieces: list[_Piece],
    rocking: list[Tipping | None],
    tipping: Tipping | None,
) -> LiftPath:
    n, m = problem.lever.shape
    forces, opening, motion = np.zeros((n, len(height))), np.zeros((n, len(height))), np.zeros((m, len(height)))
    if not pieces:
        no, none = np.zeros((n, 0)), np.zeros((n, 0), dtype=bool)
        return LiftPath(np.zeros(0), no, np.zeros((m, 0)), no, none, (), (), tipping)
    for j, h in enumerate(height):
        piece, at = pieces[max(j - 1, 0)], np.array([1.0, h])
        forces[:, j], motion[:, j], opening[:, j] = piece.forces @ at, piece.motion @ at, piece.opening @ at
    down = np.stack([p.down for p in pieces], axis=1)
    changes = tuple(
        Change(float(height[j + 1]), problem.names[i], bool(down[i, j]))
        for j in range(len(pieces) - 1)
        for i in np.nonzero(down[:, j] != down[:, j + 1])[0]
    )
    return LiftPath(height, forces, motion, opening, down, changes, tuple(rocking), tipping)
