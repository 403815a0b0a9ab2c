"""Supports that only push: which are down, and with what force.

Of n links between frame, axles and ground (see cases/suspension.py; a stand under the bare frame is the simplest)

    movement     w = S p + L q + g - d0      S = F + diag(c): flexibility of frame and links, mm/N
    equilibrium  L^T p + Q = 0               L: movement of every link per rigid unknown q; Q: loads along q
    contact      w = 0 where a link holds both ways;  else  w >= 0,  p >= lowest,  w (p - lowest) = 0

with g the movement of the links under the loads (frame on its footing) and d0 their set-up.  This is the condition
for the least of  p^T S p/2 + p^T (g - d0)  over all p >= lowest in equilibrium, a convex problem.  S is positive on
all self-stress (L^T p = 0, p not 0: frame or link strains), so that p is one and only one.

With a first guess (all down, stops and straps open) one linear solve turns it into y = b + M z, where y are the
forces above `lowest` of the links guessed down and the openings of those guessed open, z the opposite.  For any z,
z^T M z = p^T S p >= 0, twice the strain energy that z alone causes, so M is positive semidefinite and
complementarity.py ends with the set or with the proof that no pushing forces balance the loads ("tips over",
tipping.py).  Forces then come from one exact linear solve on the set found.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError
from ladderfe.solve.complementarity import borne, complementary
from ladderfe.solve.support_problem import SupportProblem, open_first
from ladderfe.solve.tipping import Tipping, balances_on, tips_over

__all__ = ["Base", "Standing", "SupportProblem", "base_of", "bearable", "level_set_up", "stand", "weighed_set_up"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

#: A force or opening may break its sign by this part of the greatest before the run stops; rounding stays far below.
SIGN = 1e-8
#: A diagonal of M below this part of the greatest or the usual is not scaled up to 1: it may be but rounding.
FLOOR = 1e-4
#: A link that pushes by more than this part of the greatest force surely is down.
LOADED = 1e-8
#: Stands for all ways of tipping over where they do not matter.
UNTOLD = Tipping("tips over", (), (), np.zeros(0))


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """How it stands in every case.

    forces (n, k) N; motion (m, k) rigid unknowns, mm and rad; opening (n, k) mm, 0 where down; down (n, k): closed
    (a link that can pull a little and is at that limit is not down); tipping: per case None, or how it tips, and then
    the numbers of that case are nan, or how it rocks (then they are right, but which of the idle supports touch is not
    certain).
    """

    forces: Array
    motion: Array
    opening: Array
    down: BoolArray
    tipping: tuple[Tipping | None, ...]

    @property
    def arrays(self) -> tuple[Array, Array, Array, BoolArray]:
        """Forces, motion, opening and down."""
        return self.forces, self.motion, self.opening, self.down

    def one(self, case: int) -> Standing:
        """That case alone."""
        k = slice(case, case + 1)
        return Standing(self.forces[:, k], self.motion[:, k], self.opening[:, k], self.down[:, k], self.tipping[k])

    def refuse_tipping(self, cases: tuple[str, ...]) -> None:
        """Raise ModelError for the first case that tips over."""
        hint = "Move a support or a load so that three supports are pushed"
        for name, tip in zip(cases, self.tipping, strict=True):
            if tip is not None and tip.over:
                raise ModelError(f"case {name}", tip.words, hint)


class Base:
    """The problem solved for its first guess: all links down, stops and straps open."""

    def __init__(self, problem: SupportProblem) -> None:
        """Raises MechanismError where the links cannot hold the frame, ModelError where rigid links fight."""
        self.problem = problem
        self.open_first = open_first(problem)
        down = ~self.open_first
        self.unit = float(np.diag(problem.soft).max()) or 1.0
        self.scale = 1.0 / np.abs(problem.lever).max(axis=0)
        a = problem.lever[down] * self.scale
        m = a.shape[1]
        n = len(a)
        self.matrix = np.zeros((n + m, n + m))
        self.matrix[:n, :n], self.matrix[:n, n:], self.matrix[n:, :n] = problem.soft[down][:, down] / self.unit, a, a.T
        order = 2 * ~problem.engages + ~problem.ground  # stops first, springs last: any order ends, this one sooner
        by_order = np.argsort(order, kind="stable")
        self.pairs = by_order[problem.opens[by_order]]
        at = np.arange(len(self.pairs))
        openings, forces = np.zeros((2, len(problem.names), len(self.pairs)))
        guessed_open = self.open_first[self.pairs]
        openings[self.pairs[~guessed_open], at[~guessed_open]] = 1
        forces[self.pairs[guessed_open], at[guessed_open]] = 1
        nothing = np.zeros((m, len(self.pairs)))
        self.unit_forces, self.unit_motion = self._solve(openings, nothing, forces)
        self.unit_opening = problem.soft @ self.unit_forces + problem.lever @ self.unit_motion
        self.exchange = np.where(guessed_open[:, None], self.unit_opening[self.pairs], self.unit_forces[self.pairs])
        self.size = self._sizes(guessed_open)
        self.scaled = self.size[:, None] * self.exchange * self.size

    def _sizes(self, guessed_open: BoolArray) -> Array:
        """(pairs,) factors that bring the diagonal of the exchange matrix to about 1, but blow up no rounding.

        Where links are redundant at all, the greatest stiffness is at least 1/(n^2 unit).
        """
        diagonal = np.diag(self.exchange).copy()
        for kind, usual in ((guessed_open, self.unit), (~guessed_open, 1 / self.unit)):
            diagonal[kind] = np.maximum(diagonal[kind], FLOOR * max(usual, diagonal[kind].max(initial=0)))
        out: Array = 1 / np.sqrt(diagonal)
        return out

    def _solve(self, wanted: Array, resultant: Array, given: Array | None = None) -> tuple[Array, Array]:
        """Forces (n, k) and motion (m, k) for wanted movements of the links down and given forces of those open."""
        p, down = self.problem, ~self.open_first
        forces = np.zeros_like(wanted)
        if given is not None:
            wanted, resultant, forces = wanted - p.soft @ given, resultant + p.lever.T @ given, given.copy()
        x = np.linalg.solve(self.matrix, np.concatenate([wanted[down] / self.unit, -self.scale[:, None] * resultant]))
        n = len(x) - len(self.scale)
        forces[down] = x[:n]
        return forces, x[n:] * self.scale[:, None] * self.unit

    def first(self, load_movement: Array, resultant: Array, set_up: Array) -> tuple[Array, Array, Array]:
        """Forces, motion and openings (n or m, k) of the first guess."""
        forces, motion = self._solve(set_up - load_movement, resultant)
        opening = self.problem.soft @ forces + self.problem.lever @ motion + load_movement - set_up
        opening[~self.open_first] = 0
        return forces, motion, opening

    def values(self, forces: Array, opening: Array) -> Array:
        """(pairs, k) y: force above the lowest of links guessed down, opening of links guessed open."""
        k = self.pairs
        out: Array = np.where(self.open_first[k, None], opening[k], forces[k] - self.problem.lowest[k, None])
        return out

    def choose(
        self, value: Array, slope: Array | None = None, fixed: BoolArray | None = None
    ) -> tuple[BoolArray, BoolArray]:
        """(pairs, k) which pairs are the other way than guessed, and (k,) whether a solution exists; pairs in `fixed`
        (pairs, k) stay as guessed whatever that asks for."""
        d = self.size[:, None]
        return complementary(self.scaled, d * value, None if slope is None else d * slope, fixed)

    def borne(self, value: Array, more: Array) -> Array:
        """(k,) the greatest share, at most 1, of what changes the values by `more` (pairs, k) with which there is a
        solution; nan where there is none without it."""
        d = self.size[:, None]
        return borne(self.scaled, d * value, d * more)

    def exchanged(self, value: Array, chosen: BoolArray) -> Array:
        """(pairs, k) z: exact solve of M z = -y on the pairs chosen, 0 elsewhere."""
        z = np.zeros_like(value)
        busy = np.nonzero(chosen.any(axis=0))[0]
        if len(busy):
            c = chosen[:, busy].T
            matrix = np.where(c[:, :, None] & c[:, None, :], self.scaled, np.eye(len(value)))
            wanted = np.where(c, -(self.size[:, None] * value[:, busy]).T, 0)
            z[:, busy] = self.size[:, None] * np.linalg.solve(matrix, wanted[:, :, None])[:, :, 0].T
        return z

    def down(self, chosen: BoolArray) -> BoolArray:
        """(n, k) links that are closed."""
        out = np.repeat(~self.open_first[:, None], chosen.shape[1], axis=1)
        out[self.pairs] ^= chosen
        return out


@lru_cache(maxsize=32)
def base_of(problem: SupportProblem) -> Base:
    """The first guess of a problem, kept while it is asked again."""
    return Base(problem)


def stand(
    problem: SupportProblem, load_movement: Array, resultant: Array, set_up: Array, *, told: bool = True
) -> Standing:
    """How the frame stands in k cases.

    Parameters
    ----------
    load_movement : (n, k) mm, movement of every link under the loads (frame on its footing, axles at rest).
    resultant : (m, k) N and N mm, loads along the rigid unknowns: about the datum for the frame, upward on the axles.
    set_up : (n, k) mm by which the foot of every link is raised: ground heights, springs set up, less the gaps.
    told : False where it does not matter how those tip that tip over.

    Raises
    ------
    MechanismError where even all links together leave a motion free; ModelError where rigid links fight each other.
    Cases that tip over are told in the result.
    """
    base = base_of(problem)
    forces, motion, opening = base.first(load_movement, resultant, set_up)
    value = base.values(forces, opening)
    chosen, solvable = base.choose(value)
    z = base.exchanged(value, chosen & solvable)
    forces = forces + base.unit_forces @ z
    motion = motion + base.unit_motion @ z
    opening = opening + base.unit_opening @ z
    down = base.down(chosen)
    lowest = np.broadcast_to(problem.lowest[:, None], forces.shape)
    forces[~down], opening[down] = lowest[~down], 0
    _check_signs(problem, base, forces[:, solvable], opening[:, solvable])
    tipping = _tipping(problem, forces, down, solvable, resultant if told else None)
    for k, tip in enumerate(tipping):
        if tip is not None and tip.over:
            forces[:, k] = motion[:, k] = opening[:, k] = np.nan
    return Standing(forces, motion, opening, down, tipping)


def bearable(
    problem: SupportProblem, weight: tuple[Array, Array], whole: tuple[Array, Array], set_up: Array
) -> Array:
    """(k,) the greatest share, at most 1, of the way from loads `weight` to `whole` (both as in `stand`: movements of
    the links, loads along the unknowns) that forces >= lowest can balance; nan where they cannot balance the first."""
    base = base_of(problem)
    value = []
    for load_movement, resultant in (weight, whole):
        forces, _, opening = base.first(load_movement, resultant, set_up)
        value.append(base.values(forces, opening))
    return base.borne(value[0], value[1] - value[0])


def weighed_set_up(problem: SupportProblem, load_movement: Array, forces: Array) -> Array:
    """(n,) mm by which the links are set up so that under this load (n,) they push with `forces` (n,), frame and axles
    level; stops and straps are then `gap` away."""
    out: Array = load_movement + problem.soft @ forces - problem.gap
    return out


def level_set_up(problem: SupportProblem, load_movement: Array, resultant: Array) -> Array:
    """(n,) mm: springs stand level as they are; under this load (n,), (m,) stops and straps are `gap` away.

    Raises ModelError where it tips over.
    """
    k = ~problem.engages
    out = np.zeros(len(problem.names))
    moved = _on_guess(problem, load_movement, resultant)
    if moved is not None:
        out[~k] = (moved - problem.gap)[~k]
        return out
    plain = problem.without_stops()
    standing = stand(plain, load_movement[k, None], resultant[:, None], np.zeros((int(k.sum()), 1)))
    standing.refuse_tipping(("on level ground",))
    moved = problem.soft[:, k] @ standing.forces[:, 0] + problem.lever @ standing.motion[:, 0] + load_movement
    out[~k] = (moved - problem.gap)[~k]
    return out


def _on_guess(problem: SupportProblem, load_movement: Array, resultant: Array) -> Array | None:
    """(n,) mm by which all links move level on the ground, where all but stops and straps push; None else."""
    base = base_of(problem)
    if not np.array_equal(base.open_first, problem.engages):
        return None
    none = np.zeros((len(problem.names), 1))
    forces, motion, _ = base.first(load_movement[:, None], resultant[:, None], none)
    above = (forces[:, 0] - problem.lowest)[problem.opens & ~problem.engages]
    if (above <= LOADED * np.abs(forces).max()).any():
        return None
    moved: Array = problem.soft @ forces[:, 0] + problem.lever @ motion[:, 0] + load_movement
    return moved


def _check_signs(problem: SupportProblem, base: Base, forces: Array, opening: Array) -> None:
    """No pushing support pulls, none is entered; ModelError where rounding was too strong for that."""
    k = base.pairs
    if not (len(k) and forces.size):
        return
    force = np.abs(forces).max(axis=0)
    move = np.abs(opening).max(axis=0) + base.unit * force
    wrong = (forces[k] - problem.lowest[k, None] < -SIGN * force) | (opening[k] < -SIGN * move)
    if wrong.any():
        hint = "Look for rates that differ by millions"
        raise ModelError("supports", "their forces could not be told apart from rounding", hint)


def _tipping(
    problem: SupportProblem, forces: Array, down: BoolArray, solvable: BoolArray, resultant: Array | None
) -> tuple[Tipping | None, ...]:
    """Per case: tips over (how, where the resultant is given), rocks on two, or neither."""
    out: list[Tipping | None] = [None] * len(solvable)
    for k in np.nonzero(~solvable)[0]:
        out[k] = UNTOLD if resultant is None else tips_over(problem, resultant[:, k])
    opens = problem.opens[:, None]
    idle = opens & down & (forces - problem.lowest[:, None] <= 1e-9 * np.abs(forces).max(axis=0))
    for k in np.nonzero(idle.any(axis=0) & solvable)[0]:
        out[k] = balances_on(problem, down[:, k] & ~idle[:, k])
    return tuple(out)
