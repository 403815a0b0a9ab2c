"""How hard jacks push until the wheels that they are to lift carry nothing, those of all cases searched together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Suspended, pull_name
from ladderfe.errors import ModelError
from ladderfe.solve.applied import Applied, Rows
from ladderfe.solve.contact import Standing, base_of
from ladderfe.solve.on_axles import Loads, OnWheels, gravity_field

__all__ = ["clearing", "jack_forces"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]
#: What is wrong and what to do.
Why = tuple[str, str]

#: In every round the stretch in which a wheel clears is cut into so many parts, and where its load would be nothing if
#: it fell straight on is tried as well; until the stretch is about this part of the weight, at the latest after
#: as many rounds.
PARTS, NARROW, ROUNDS = 8, 2.0**-21, 8


def jack_forces(
    wheels: OnWheels, rows: Rows, cases: Sequence[LoadCase], rest: Applied, weight: Array
) -> Array:
    """(j,) forces N of the jacks of j cases; rest: what else they apply; weight (j,) N: what stands on the wheels.

    Raises ModelError for a jack that does not clear its wheel before the vehicle tips over, or at all because its
    spring comes loose and leaves the axle on the ground.
    """
    row = np.array([rows.number[pull_name(c.jack, "z")] for c in cases])
    wheel = np.array([wheels.system.index(f"{c.clears} wheel") for c in cases])
    field = np.concatenate([gravity_field(c.gravity, c.gravity) for c in cases], axis=1)
    given = Loads(field, rest.force, rest.axle, np.array([c.gravity for c in cases]))
    found = _followed(_Jacks(wheels, given, row, wheel), weight)
    left = np.flatnonzero(np.isnan(found)).tolist()
    if left:
        jacks = _Jacks(wheels, given.take(left), row[left], wheel[left])
        own = [cases[k] for k in left]
        found[left] = clearing(jacks.left, weight[left], own, lambda k, forces: jacks.why(own[k], k, forces))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Jacks:
    """j cases on jacks: what they apply, the rows of the jacks and the links of the wheels that they are to lift."""

    wheels: OnWheels
    given: Loads
    row: IntArray
    wheel: IntArray

    def pushed(self, forces: Array) -> Loads:
        """Loads of all cases under jack forces (j, k), case by case."""
        j, k = forces.shape
        loads = self.given.repeated(k)
        loads.force[np.repeat(self.row, k), np.arange(j * k)] += forces.ravel()
        return loads

    def standing(self, forces: Array) -> Standing:
        """How it stands under them."""
        heights = np.zeros((len(self.wheels.system.links), forces.size))
        return self.wheels.standing(self.pushed(forces), heights, told=False)

    def left(self, forces: Array) -> Array:
        """(j, k) loads of the wheels under jack forces (j, k), less than nothing where they are clear, nan where the
        vehicle tips over."""
        found, at, each = self.standing(forces), np.repeat(self.wheel, forces.shape[1]), np.arange(forces.size)
        over = np.array([t is not None and t.over for t in found.tipping])
        load = np.where(found.down[at, each], found.forces[at, each], -1.0)
        return np.where(over, np.nan, load).reshape(forces.shape)

    def why(self, case: LoadCase, k: int, forces: Array) -> Why:
        """Why case k does not clear, at the greatest forces that were borne."""
        return _why(self.wheels.system, case, self.standing(forces[:, None]).down[:, k])


def _followed(jacks: _Jacks, weight: Array) -> Array:
    """(j,) forces at which the wheels carry nothing, nan where they have to be searched.

    With the wheel held to the ground its force falls along straight pieces, one for every set of links that are down.
    Newton's method on these: the root on one piece tells the next; where the set at the root is that of the piece, it
    is the answer.
    """
    base, each = base_of(jacks.wheels.problem), np.arange(len(weight))
    lines = _lines(jacks, weight)
    fixed = base.pairs[:, None] == jacks.wheel
    pair = fixed.argmax(axis=0)
    force, before = np.zeros(len(weight)), None
    for _ in range(ROUNDS):
        chosen, solvable = base.choose(lines[0] + force * lines[1], fixed=fixed)
        if not solvable.all():
            break
        others = base.exchanged(np.concatenate(lines, axis=1), np.concatenate([chosen, chosen], axis=1))
        by_others = (np.tile(base.exchange[pair].T, 2) * others).sum(axis=0).reshape(2, -1)
        carried, fall = (line[pair, each] + more for line, more in zip(lines, by_others, strict=True))
        force = np.where(fall < 0, -carried / np.where(fall < 0, fall, 1.0), np.nan)
        if before is not None and np.array_equal(chosen, before):
            return np.where((force > 0) & (force < weight), force, np.nan)
        before = chosen
        if not ((force > 0) & (force < weight)).all():
            break
    return np.full(len(weight), np.nan)


def _lines(jacks: _Jacks, weight: Array) -> tuple[Array, Array]:
    """(pairs, j) values of the first guess without a push, and what each N of it adds."""
    base, wheels = base_of(jacks.wheels.problem), jacks.wheels
    loads = jacks.pushed(np.stack([np.zeros(len(weight)), weight], axis=1))
    moved, resultant = wheels.pushed(loads)
    forces, _, opening = base.first(moved, resultant, np.repeat(wheels.set_up[:, None], moved.shape[1], axis=1))
    value = base.values(forces, opening)
    return value[:, ::2], (value[:, 1::2] - value[:, ::2]) / weight


def _tips(case: LoadCase) -> Why:
    words = f"the jack at {case.jack} does not clear the {case.clears} wheel before the vehicle tips over"
    return words, "Name the wheel nearest to the jack, or another jack point"


def _why(system: Suspended, case: LoadCase, down: BoolArray) -> Why:
    """Why a wheel does not clear, from the links (n,) that are down at the greatest force that the vehicle bears.

    Where there is a strap it takes hold sooner or later: whatever its gap, only tipping is in the way.
    """
    strapped = any(link.name == f"{case.clears} droop strap" for link in system.links)
    if strapped or down[system.index(f"{case.clears} spring")]:
        return _tips(case)
    words = f"the jack at {case.jack} does not clear the {case.clears} wheel: its spring comes loose and leaves it down"
    axle = case.clears.split()[0]
    return words, f"Give `droop` of the {axle} axle, its travel down until dampers or straps hold it"


def clearing(
    left: Callable[[Array], Array], weight: Array, cases: Sequence[LoadCase],
    why: Callable[[int, Array], Why] | None = None,
) -> Array:  # fmt: skip
    """(j,) forces at which wheel loads, which fall along straight pieces as the jacks push, become nothing.

    why: words and hint for a case, by its index, whose wheel does not clear; it is given the greatest forces (j,) that
    were borne.  Raises ModelError with these.
    """
    j, near = np.arange(len(cases)), NARROW * weight
    low, high, guess = 0 * weight, weight, np.full(len(cases), np.nan)
    free = np.zeros(len(cases), dtype=bool)  # clear without any push
    for _ in range(ROUNDS):
        tried = _tries(low, high, guess, near)
        load = left(tried)
        clear = ~(load > 0)
        free |= clear[:, 0]
        end = np.where(clear.any(axis=1), clear.argmax(axis=1), tried.shape[1] - 1)
        start, before = np.maximum(end - 1, 0), np.maximum(end - 2, 0)
        low, high = tried[j, start], tried[j, end]
        fall = load[j, before] - load[j, start]
        ahead = np.where(fall > 0, (low - tried[j, before]) * load[j, start] / np.where(fall > 0, fall, 1), np.nan)
        guess = low + ahead
        if (high - low <= 3 * near).all():
            break
    for k in np.flatnonzero(~free & (np.isnan(load[j, end]) | ~clear[j, end])).tolist():
        words, hint = why(k, low) if why else _tips(cases[k])
        raise ModelError(f"case {cases[k].name}", words, hint)
    before, last = left(np.stack([low - near, low], axis=1)).T
    return np.where(free, 0.0, low + near * last / np.where(free, 1.0, before - last))


def _tries(low: Array, high: Array, guess: Array, near: Array) -> Array:
    """(j, k) forces to try, in order: the stretch in even parts, and just before and beyond the guess if it is
    inside."""
    even = np.linspace(low, high, PARTS + 1, axis=1)
    inside = (guess - near > low) & (guess + near < high)
    around = [np.where(inside, guess + sign * near, low) for sign in (-1, 1)]
    return np.sort(np.concatenate([even, np.stack(around, axis=1)], axis=1), axis=1)
