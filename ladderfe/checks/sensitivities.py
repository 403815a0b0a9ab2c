"""How the greatest utilisation changes with the thickness of every stretch's wall: derivatives at fixed places.

A greatest value changes as the value at its place does, wherever that place moves to (the envelope theorem).  Every
derivative is an extrapolated central difference of the exact answer at that place,

    D = (4 D(h/2) - D(h))/3,    D(h) = (u(t + h) - u(t - h))/2h,

four states a wall, all solved side by side: stiffness, own weight, the residual, joints and contact (on the supports
that are down) change together, as they do.  What is left out is of the order h^4, rounding of the order 1e-11 u/h.
Where two places tie the greatest value has a kink: it grows as the one that grows most, falls as the one that falls
least.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.stress import stresses
from ladderfe.checks.utilisation import tables
from ladderfe.checks.variant_rows import Stacked, varying_stack
from ladderfe.checks.variant_tables import stacked_table
from ladderfe.checks.variants import Place, Variants
from ladderfe.errors import ModelError

__all__ = ["Sensitivities", "at_places", "sensitivities", "tied_places"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Step over thickness; the difference that two steps make tells whether it was small enough.
STEP = 4e-3
#: Places within this part of the greatest tie.
TIE = 1e-7
#: States at a time.
AT_A_TIME = 16


@dataclass(frozen=True, eq=False)
class Sensitivities:
    """ratio: the utilisation.  places: where (several tie).  each (p, k): derivative of each place's utilisation to
    the thickness of every stretch's wall, 1/mm; up (k,), down (k,): of the greatest of them where that wall grows and
    where it thins (both as derivatives to the thickness: down is what is lost per mm on the way in); apart: the
    greatest difference that halving the step made, 1/mm.
    """

    ratio: float
    places: tuple[Place, ...]
    each: Array
    up: Array
    down: Array
    apart: float


def sensitivities(of: Variants, thickness: Sequence[float] | Array, places: Sequence[Place] = ()) -> Sensitivities:
    """Derivatives at a state (k,) mm; of the places given, else of those where the utilisation is greatest.

    Raises ModelError where a support or a joint changes its kind within a step.
    """
    t = np.asarray(thickness, dtype=float)
    places = tuple(places) or tied_places(of, t)
    k = len(t)
    steps = np.array([STEP, -STEP, STEP / 2, -STEP / 2])
    states = np.repeat(t[None], 4 * k + 1, axis=0)
    for i in range(k):
        states[4 * i : 4 * i + 4, i] += steps * t[i]
    u = at_places(of, states, places)  # (4 k + 1, p)
    each, apart = np.zeros((len(places), k)), 0.0
    for i in range(k):
        a, b, c, d = u[4 * i : 4 * i + 4]
        wide, narrow = (a - b) / (2 * STEP * t[i]), (c - d) / (STEP * t[i])
        each[:, i] = (4 * narrow - wide) / 3
        apart = max(apart, float(np.abs(narrow - wide).max()))
    return Sensitivities(float(u[-1].max()), places, each, each.max(axis=0), each.min(axis=0), apart)


def tied_places(of: Variants, thickness: Array) -> tuple[Place, ...]:
    """Where the utilisation of a state is greatest, by the plain way; several where they tie."""
    solution = of.plan.plain(thickness.tolist())
    rows = look_at(solution)
    stress = stresses(solution, rows)
    sizes = [np.abs(v[:, :, 1:]) / limit for _, v, _, limit in tables(stress, of.plan.varied.chassis.criteria)]
    top = max(float(s.max()) for s in sizes)
    out = []
    for criterion, size in enumerate(sizes):
        for r, p, c in np.argwhere(size >= top * (1 - TIE)).tolist():
            out.append(Place(int(rows.member[r]), float(rows.x[r]), int(p), criterion, int(c) + 1))
    return tuple(out)


def at_places(of: Variants, thickness: Array, places: Sequence[Place]) -> Array:
    """(v, p) utilisation of states (v, k) at places, whatever is greatest elsewhere."""
    of.prepare()
    parts = [thickness[i : i + AT_A_TIME] for i in range(0, len(thickness), AT_A_TIME)]
    return np.concatenate([_at(of, part, places) for part in parts])


def _at(of: Variants, thickness: Array, places: Sequence[Place]) -> Array:
    answers = of.plan.solve(thickness)
    if answers.failed or answers.searched:
        why = next(iter(answers.failed.values()), "supports come up or down")
        raise ModelError("sensitivities", f"no derivative there: {why}", "Ask for another state")
    table = stacked_table(answers.states.sections)
    v, members = len(thickness), of.plan.varied.members
    out = np.zeros((v, len(places)))
    for moving in (False, True):
        own = [k for k, p in enumerate(places) if (p.member in members) == moving]
        if own:
            each = np.unique([places[k].member for k in own])
            state, member = np.repeat(np.arange(v), len(each)), np.tile(each, v)
            if moving:
                stack = varying_stack(answers, (state, np.searchsorted(members, member)), table)
            else:
                stack = of.fixed.stack(answers, (state, member), table)
            out[:, own] = _values(stack, [places[k] for k in own], each, of)
    return out


def _values(stack: Stacked, places: Sequence[Place], members: IntArray, of: Variants) -> Array:
    """(v, p) utilisation at places, of a stack of these members (m,) state by state."""
    m, n = len(members), len(places)
    v = len(stack.mesh.lengths) // m
    own = np.array([p.member for p in places])
    share = np.array([p.x for p in places]) / of.plan.varied.mesh.lengths[own]
    at = (np.arange(v)[:, None] * m + np.searchsorted(members, own)).ravel()
    x = np.tile(share, v) * stack.mesh.lengths[at]
    rows = Rows(at, x, x, np.zeros(v * n, dtype=bool), stack.resultants(at, x))
    values = tables(stresses(stack, rows), of.plan.varied.chassis.criteria)
    out = np.zeros((v, n))
    for k, p in enumerate(places):
        _, found, _, limit = values[p.criterion]
        out[:, k] = np.abs(found[k::n, p.point, p.case]) / limit
    return out
