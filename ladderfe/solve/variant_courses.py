"""How cases come to stand on their wheels or stands in one state, to be gone through in the same way by others.

A case on its wheels takes one step or several: forces in plan that fall on a wheel which turns out to be off the ground
are taken by the others in the next step.  In a step the case stands

    plainly           on the links that are down
    on a jack         which pushes until the wheel carries nothing: its load falls straight with the push
    short of tipping  at the share of its loads that the vehicle bears: a linear programme, whose best corner is a set
                      of links that carry and the share, found from balance alone

and all three are, on given sets of links, linear: `variant_contact` solves them for all states and proves the signs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import raised
from ladderfe.errors import LadderFEError
from ladderfe.solve.applied import WHEELS, applied
from ladderfe.solve.equilibrium import NOTHING, SHORT_OF_TIPPING, CasesInBalance
from ladderfe.solve.on_axles import Loads
from ladderfe.solve.tipping import best_corner

__all__ = ["OnStands", "Step", "carried_share", "felt_wheels", "idle_wheels", "on_stands", "steps_of"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
#: A corner's forces and prices count from this part of the greatest.
CLEAR = 1e-9
#: Columns are independent whose least singular value is above this part of the greatest.
APART = 1e-6
#: Steps a case takes at most: no more wheels can come off the ground one after the other.
MOST = 5


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One step of case `case`, wheels `off` being off the ground.

    down (n,): links that are down; heights (n,) mm; idle (4,): wheels that carry nothing but are given a force in plan,
    on which there is another step; last: there is none.  carrying (n,): of a case that tips the links that carry where
    it begins to; wheel: the number of the link that a jack is to clear, -1 without.
    """

    case: int
    off: tuple[str, ...]
    down: BoolArray
    heights: Array
    idle: BoolArray
    last: bool
    carrying: BoolArray | None = None
    wheel: int = -1

    @property
    def linear(self) -> bool:
        """True where a share of something is found on the way."""
        return self.carrying is not None or self.wheel >= 0


@dataclass(frozen=True, slots=True, eq=False)
class OnStands:
    """A case on stands: its links by name, those that are down (n,), set up and raised by (n,) mm; known (n,): the
    number on wheels of each, -1 for stands."""

    case: int
    names: tuple[str, ...]
    down: BoolArray
    heights: Array
    known: NDArray[np.int64]


def felt_wheels(ground: Array, single: BoolArray) -> BoolArray:
    """(v, 4) wheels that are given a force in plan that the frame feels: fore-aft, or sideways on independent ones;
    ground (v, 4, 3) N as in `Applied`."""
    out: BoolArray = (ground[:, :, 0] != 0) | (single & (ground[:, :, 1] != 0))
    return out


def idle_wheels(felt: BoolArray, wheels: Array) -> BoolArray:
    """(v, 4) of these the wheels that carry nothing, as in `CasesInBalance`; wheels (v, 4) N."""
    out: BoolArray = felt & (wheels <= NOTHING * wheels.sum(axis=1, keepdims=True))
    return out


def steps_of(base: CasesInBalance, case: int, single: BoolArray) -> list[Step]:
    """The steps of a case on its wheels in one state, of which `base` has the weight in `load`; none where it has no
    way to be followed."""
    out: list[Step] = []
    off = {base.cases[case].clears} - {""}
    while len(out) < MOST:
        try:
            found = _step(base, case, tuple(w for w in WHEELS if w in off), single)
        except LadderFEError:
            return []
        if found is None:
            return []
        new = {w for w, is_idle in zip(WHEELS, found.idle, strict=True) if is_idle} - off
        out.append(replace(found, last=not new))
        if not new:
            return out
        off |= new
    return []


def _step(base: CasesInBalance, k: int, off: tuple[str, ...], single: BoolArray) -> Step | None:
    case, wheels = base.cases[k], base.wheels
    a = applied(base.chassis, case, base.rows, base.inertia, off)
    every, wheel = [a], -1
    if case.jack:
        base._jack([k], every)
        wheel = wheels.system.index(f"{case.clears} wheel")
        if np.array_equal(every[0].force, a.force):
            return None  # clear without any push
    loads = base._loads([k], every, ())
    heights = raised(wheels.system, dict(case.heights))
    found, carrying, share = wheels.standing(loads, heights[:, None], told=False), None, 1.0
    tip = found.tipping[0]
    if tip is not None and tip.over and not case.jack:
        corner = _corner(base, loads)
        if corner is None:
            return None
        share, carrying = corner
        found = wheels.standing(loads.at(0, SHORT_OF_TIPPING * share), heights[:, None], told=False)
        tip = found.tipping[0]
    if tip is not None and (tip.over or not case.jack):
        return None
    down = found.down[:, 0].copy()
    if wheel >= 0:
        down[wheel] = True
    at = [wheels.system.index(f"{w} wheel") for w in WHEELS]
    idle = idle_wheels(felt_wheels(a.ground[None], single), found.forces[at, 0][None])[0]
    return Step(k, off, down, heights, idle, last=False, carrying=carrying, wheel=wheel)


def _corner(base: CasesInBalance, loads: Loads) -> tuple[float, BoolArray] | None:
    """Share that is borne and links that carry then; None where more than one set could."""
    zero, one = (base.wheels.pushed(loads.at(0, share))[1][:, 0] for share in (0.0, 1.0))
    problem = base.wheels.problem
    x = best_corner(problem, zero, one - zero)
    if x is None or not 0 < x[-1] < 1:
        return None
    forces, scale = x[:-1], 1 / np.abs(problem.lever).max(axis=0)
    carrying: BoolArray = problem.opens & (forces - problem.lowest > CLEAR * np.abs(forces).max())
    columns = [*(problem.lever * scale)[carrying], scale * (one - zero)]
    for k in np.flatnonzero(~problem.opens):  # of those that hold both ways as many as it takes
        if _independent([*columns, problem.lever[k] * scale]):
            columns.append(problem.lever[k] * scale)
            carrying[k] = True
    whole = len(columns) == problem.lever.shape[1] and _independent(columns)
    return (float(x[-1]), carrying) if whole else None


def _independent(columns: list[Array]) -> bool:
    size = np.linalg.svd(np.array([c / np.abs(c).max() for c in columns]), compute_uv=False)
    return len(size) == len(columns) and bool(size[-1] > APART * size[0])


def carried_share(
    lever: Array, lowest: Array, carrying: BoolArray, loads: tuple[Array, Array]
) -> tuple[Array, BoolArray]:
    """(v,) the greatest share of loads `more` beside `zero` (v, m) that links (n, m) bear, by the corner in which these
    carry; and whether that is no best corner, or nearly none: a force has the wrong sign or a price is below nothing.
    Prices of nothing leave the share as it is: a stop beside a spring would carry as well."""
    zero, more = loads
    opens = np.isfinite(lowest)
    scale = 1 / np.abs(lever).max(axis=0)
    size = np.abs(scale * zero).max(axis=1, keepdims=True)
    own = np.repeat((lever[carrying] * scale).T[None], len(zero), axis=0)
    matrix = np.concatenate([own, (scale * more / size)[:, :, None]], axis=2)
    rest = np.where(opens & ~carrying, lowest, 0.0)
    wanted = -scale * (zero + rest @ lever) / size
    x = np.linalg.solve(matrix, wanted[:, :, None])[:, :, 0]
    aim = np.zeros((len(zero), matrix.shape[1], 1))
    aim[:, -1] = -1.0
    price = -np.linalg.solve(matrix.swapaxes(1, 2), aim)[:, :, 0] @ (lever * scale).T  # (v, n)
    forces, carry = x[:, :-1], opens[carrying]
    above = forces[:, carry] - lowest[carrying][carry] / size
    wrong = (above < CLEAR * np.abs(forces).max(axis=1, keepdims=True)).any(axis=1)
    wrong |= ~((x[:, -1] > 0) & (x[:, -1] < 1 - CLEAR))
    most = np.abs(price).max(axis=1, keepdims=True)
    wrong |= (price[:, opens & ~carrying] < -CLEAR * most).any(axis=1)
    wrong |= (np.abs(price[:, ~opens & ~carrying]) > CLEAR * most).any(axis=1)
    return x[:, -1], wrong


def on_stands(base: CasesInBalance, k: int) -> OnStands | None:
    """A case on stands in one state; None where it has no way to be followed."""
    case = base.cases[k]
    names = [link.name for link in base.wheels.full.links if link.kind not in ("stand", "wheel")]
    try:
        on = base.wheels.only([*names, *case.stands])
        a = applied(base.chassis, case, base.rows, base.inertia)
        loads = Loads(base.load[:, [k]], a.force[:, None], a.axle[:, None], np.array([case.gravity]))
        heights = raised(on.system, dict(case.heights))
        found = on.standing(loads, heights[:, None], told=False)
    except LadderFEError:
        return None
    if found.tipping[0] is not None:
        return None
    number = {link.name: i for i, link in enumerate(base.wheels.system.links)}
    known = np.array([number.get(link.name, -1) for link in on.system.links])
    return OnStands(k, tuple(link.name for link in on.system.links), found.down[:, 0], heights, known)

