"""Tipping over, in words: about which line, and which supports come up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.solve.support_problem import SupportProblem

__all__ = ["Tipping", "balances_on", "best_corner", "listed", "tips_over"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

#: Movements below this part of the greatest are none.
STILL = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Tipping:
    """A motion (m,) of the rigid unknowns that the loads drive or leave free; it moves the support that comes up most
    by 1 mm.  `stay` and `lift` name the supports that stay down and that come up.  `over`: no support stops it; else
    it only rocks between supports that touch in turn and carry nothing, and the forces are certain.  `drops`: axles or
    wheels fall off the frame, which stays where it is."""

    words: str
    stay: tuple[str, ...]
    lift: tuple[str, ...]
    motion: Array
    over: bool = True
    drops: bool = False


def tips_over(problem: SupportProblem, resultant: Array) -> Tipping:
    """How loads (m,) tip it over that no forces >= lowest can balance.

    Of all such forces those that come nearest to balance are found (non-negative least squares, Lawson and Hanson's
    finite active set method); what is left over is a motion on which the loads do work while every support
    opens or stays: Farkas' proof that there is no balance.
    """
    from scipy.optimize import nnls

    scale = 1 / np.abs(problem.lever).max(axis=0)
    a = (problem.lever * scale).T
    both_ways = ~problem.opens
    wanted = -scale * resultant - a @ np.where(both_ways, 0, problem.lowest)
    wanted = wanted / np.abs(wanted).max()
    columns = np.concatenate([a, -a[:, both_ways]], axis=1)
    forces, _ = nnls(columns, wanted, maxiter=100 * columns.shape[1])
    return _tipping(problem, scale * (columns @ forces - wanted))


def best_corner(problem: SupportProblem, weight: Array, more: Array) -> Array | None:
    """(n + 1,) forces >= lowest, over the size of the weight, that balance `weight` (m,) and the greatest share, at
    most 1, of loads `more` (m,), and that share; None where they cannot balance the weight.  A linear programme."""
    from scipy.optimize import linprog

    scale = 1 / np.abs(problem.lever).max(axis=0)
    size = float(np.abs(scale * weight).max()) or 1.0
    matrix = np.concatenate([problem.lever * scale, (scale * more / size)[None, :]]).T
    bounds = [*((None if np.isneginf(low) else low / size, None) for low in problem.lowest), (0.0, 1.0)]
    aim = np.zeros(len(bounds))
    aim[-1] = -1.0
    found = linprog(aim, A_eq=matrix, b_eq=-scale * weight / size, bounds=bounds, method="highs")
    return np.asarray(found.x) if found.status == 0 else None


def balances_on(problem: SupportProblem, carrying: BoolArray) -> Tipping | None:
    """The motion that links which carry something leave free to the frame, or None where they hold it.

    It tips over if all other supports open on the way in one sense; else it rocks.
    """
    scale = 1 / np.abs(problem.lever).max(axis=0)
    _, size, axes = np.linalg.svd(problem.lever[carrying] * scale)
    free = axes[int((size > 1e-9 * size.max(initial=0)).sum()) :]
    if not len(free) or np.abs(free[:, :6]).max() < STILL:
        return None
    motion = free[int(np.abs(free[:, :6]).max(axis=1).argmax())] * scale
    idle = problem.lever[problem.opens & ~carrying] @ motion
    up, down = float(idle.max(initial=0)), float(-idle.min(initial=0))
    over = len(free) > 1 or min(up, down) <= STILL * max(up, down)
    names = tuple(n for n, c, g in zip(problem.names, carrying, problem.ground, strict=True) if c and g)
    found = _tipping(problem, motion if up > down else -motion)
    on = f"{listed(names)} alone" if names else "nothing that pushes"
    words = f"{'tips over: it balances' if over else 'rocks: it stands'} on {on}"
    return Tipping(words, names, found.lift, found.motion, over)


def _tipping(problem: SupportProblem, motion: Array) -> Tipping:
    opening = problem.lever @ motion
    most = float(np.abs(opening[problem.opens]).max(initial=0)) or float(np.abs(motion).max()) or 1.0
    motion, opening = motion / most, opening / most
    names = np.array(problem.names)
    springs = problem.opens & ~problem.ground & ~problem.engages
    seen = problem.ground if (opening[problem.ground] > STILL).any() else springs
    stay, lift = tuple(names[seen & (opening <= STILL)].tolist()), tuple(names[seen & (opening > STILL)].tolist())
    scaled = motion * np.abs(problem.lever).max(axis=0)
    if np.abs(scaled[:6]).max() < STILL * np.abs(scaled).max():
        moving = {b: None for b, v in zip(problem.bodies, scaled[6:], strict=True) if abs(v) > STILL}
        words = "drop: nothing can hold them up" if len(moving) > 1 else "drops: nothing can hold it up"
        return Tipping(f"{listed(tuple(moving))} {words}", stay, lift, motion, drops=True)
    return Tipping(_words(stay, lift), stay, lift, motion)


def _words(stay: tuple[str, ...], lift: tuple[str, ...]) -> str:
    up = f": {listed(lift)} {'come' if len(lift) > 1 else 'comes'} up" if lift else ""
    if not stay:
        return f"tips over: nothing holds it down{up and ', ' + up[2:]}"
    if len(stay) == 1:
        return f"tips over about {stay[0]}{up}"
    return f"tips over about the line through {listed(stay)}{up}"


def listed(names: tuple[str, ...]) -> str:
    """a, b and c."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
