"""Where to measure next: how the governing utilisation changes with the thickness of every wall, read or not.

Derivatives are exact (`checks.sensitivities`): forces, own weight, joints and contact follow.  They hold for small
changes; beside those of the first places stands what the whole frame comes to with the wall 0.1 and 0.3 mm thinner.

How far off a place may be, about 95 %:  half = 2 sqrt((gauge/2)^2 + s^2/n)  with the gauge's accuracy as +-2 standard
deviations and s the scatter of n readings; a wall that nobody read may be thinner by a stated share.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.governing import Governing, LaidOut, compared, processes
from ladderfe.advice.walls import GAUGE, LEAST, SCATTER, Wall
from ladderfe.checks.sensitivities import Sensitivities, sensitivities
from ladderfe.checks.variants import Found as Answered
from ladderfe.checks.variants import Variants
from ladderfe.condition import k_factor
from ladderfe.errors import ModelError

__all__ = ["POINT", "STEPS", "UNREAD", "Doubt", "Next", "Row", "Thinner", "next_reading", "readings_needed"]

Array = NDArray[np.float64]
#: Share of its thickness that a wall may have lost which nobody read; judgement: nobody knows.
UNREAD: Final = 0.2
#: The change of the governing utilisation that matters: one percent point.
POINT: Final = 0.01
#: How much thinner walls are in the states worked out whole, mm.
STEPS: Final = (0.1, 0.3)
#: So many places of either order are worked out whole.
FIRST: Final = 5
#: Utilisations alike within this tie.
TIE: Final = 1e-7
#: More readings than this are not asked for at one place.
MOST: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """How far off walls may be: gauge and scatter of fewer than three readings in mm, share of unread walls."""

    gauge: float = GAUGE
    scatter: float = SCATTER
    unread: float = UNREAD

    def half(self, wall: Wall) -> float:
        """How far off a wall may be, mm."""
        if wall.read is None:
            return self.unread * wall.nominal
        return 2 * sqrt((self.gauge / 2) ** 2 + wall.scatter(self.scatter) ** 2 / wall.n)


@dataclass(frozen=True, slots=True)
class Thinner:
    """The whole frame with a wall `by` mm thinner: governing utilisation, and whether another place or case governs."""

    by: float
    ratio: float
    elsewhere: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What one wall does to the governing utilisation.

    thinner, thicker: its change per mm that the wall thins or grows; half: how far off the wall may be, mm, and moved:
    what that moves; to_limit: by how many mm the wall would have to change (negative: thin) for the utilisation to be
    1 by its derivative, None where that is more than the wall has; states: worked out whole.
    """

    wall: Wall
    thinner: float
    thicker: float
    half: float
    moved: float
    to_limit: float | None
    states: tuple[Thinner, ...] = ()

    @property
    def matters(self) -> float:
        """By how many mm the wall may be thinner before the utilisation moves by a percent point."""
        return POINT / abs(self.thinner) if self.thinner else inf


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Next:
    """Every wall, by how much the governing utilisation changes with it (`by_change`), and by what its uncertainty
    moves (`by_doubt`).

    ties: places that govern together, in words; exact: whether the changes are derivatives, else those over the first
    of `STEPS`, because `why`; apart: how far halving the derivatives' steps moved them, 1/mm; checked: how far states
    worked out both ways were apart.
    """

    laid_out: LaidOut
    doubt: Doubt
    ties: tuple[Governing, ...]
    rows: tuple[Row, ...]
    exact: bool
    why: str
    apart: float
    checked: float

    @property
    def by_change(self) -> tuple[Row, ...]:
        """The wall that changes it most first."""
        return tuple(sorted(self.rows, key=lambda r: -abs(float(f"{r.thinner:.6g}"))))

    @property
    def by_doubt(self) -> tuple[Row, ...]:
        """The wall whose uncertainty moves it most first."""
        return tuple(sorted(self.rows, key=lambda r: -float(f"{r.moved:.6g}")))


def next_reading(
    laid: LaidOut, doubt: Doubt | None = None, *, progress: Callable[[str], None] = lambda _: None
) -> Next:
    """Derivatives to the thickness of every wall of a chassis that is laid out, and what is uncertain of it.

    Raises what solving raises.
    """
    doubt = doubt or Doubt()
    top = laid.ratio
    cases = tuple(dict.fromkeys(u.case for u in laid.findings.utilisations if u.ratio >= top * (1 - TIE)))
    progress(f"derivatives to the thickness of {len(laid.walls.walls)} walls")
    thinner, thicker, ties, apart, why = _slopes(laid, cases)
    whole = laid.variants()
    if why:
        thinner = (_answered(laid, whole, _thinner(laid, range(len(laid.base)), STEPS[:1])).ratio - top) / STEPS[0]
        thicker = -thinner
    rows = [_row(laid, doubt, k, (float(thinner[k]), float(thicker[k]))) for k in range(len(laid.base))]
    found = Next(
        laid_out=laid, doubt=doubt, ties=ties, rows=tuple(rows), exact=not why, why=why, apart=apart, checked=0.0
    )
    progress("the first places with thinner walls")
    return _with_states(found, whole)


def _slopes(laid: LaidOut, cases: tuple[str, ...]) -> tuple[Array, Array, tuple[Governing, ...], float, str]:
    """(w,) change per mm that walls thin and grow, places that tie, and why there is no derivative."""
    own = laid.variants(cases)
    try:
        s = sensitivities(own, laid.walls.states(laid.base)[0])
    except ModelError as error:
        none = np.zeros(len(laid.base))
        return none, none, (), 0.0, error.problem
    each = laid.walls.of(s.each)
    return -each.min(axis=0), each.max(axis=0), _ties(laid, own, s), s.apart, ""


def _ties(laid: LaidOut, own: Variants, s: Sensitivities) -> tuple[Governing, ...]:
    names = [c.name for c in own.plan.varied.chassis.cases]
    return tuple(dict.fromkeys(laid.governing(p, names[p.case - 1]) for p in s.places))


def _row(laid: LaidOut, doubt: Doubt, k: int, slopes: tuple[float, float]) -> Row:
    wall, (thinner, thicker) = laid.walls.walls[k], slopes
    half = doubt.half(wall)
    moved = abs(thinner) * half if wall.read is None else max(abs(thinner), abs(thicker)) * half
    return Row(
        wall=wall, thinner=thinner, thicker=thicker, half=half, moved=moved, to_limit=_to_limit(laid, wall, slopes)
    )


def _to_limit(laid: LaidOut, wall: Wall, slopes: tuple[float, float]) -> float | None:
    """By the derivatives; None beyond what the wall has to lose or to gain."""
    left = 1 - laid.ratio
    ways = [(-left / slopes[0], wall.used - LEAST)] if slopes[0] * left > 0 else []
    ways += [(left / slopes[1], wall.nominal - wall.used)] if slopes[1] * left > 0 else []
    return next((change for change, has in ways if abs(change) <= has), None)


def _thinner(laid: LaidOut, walls: Iterable[int], steps: Sequence[float]) -> Array:
    """(v, w) states with one wall thinner: all steps of the first wall, then of the next."""
    states = []
    for k in walls:
        for by in steps:
            state = laid.base.copy()
            state[k] = max(state[k] - by, LEAST)
            states.append(state)
    return np.array(states)


def _answered(laid: LaidOut, whole: Variants, states: Array) -> Answered:
    return whole.answer(laid.walls.states(states), check=0, processes=processes())


def _with_states(found: Next, whole: Variants) -> Next:
    """With the first places of both orders worked out whole."""
    laid = found.laid_out
    chosen = dict.fromkeys(r.wall for r in (*found.by_change[:FIRST], *found.by_doubt[:FIRST]) if r.thinner)
    numbers = [k for k, r in enumerate(found.rows) if r.wall in chosen]
    if not numbers:
        return found
    changed = _thinner(laid, numbers, STEPS)
    answered = _answered(laid, whole, changed)
    checked = compared(whole, laid.walls.states(changed), answered.ratio, {0, int(np.nanargmax(answered.ratio))})
    names = [c.name for c in laid.walls.chassis.cases]
    alike = found.ties or [u for u in laid.findings.utilisations if u.ratio >= laid.ratio * (1 - TIE)]
    rows, known = list(found.rows), {(t.part, t.wall, t.criterion, t.case) for t in alike}
    for i, k in enumerate(numbers):
        states = []
        for j, by in enumerate(STEPS):
            place = answered.places[i * len(STEPS) + j]
            if place is None or rows[k].wall.used - by < LEAST:
                continue
            g = laid.governing(place, names[place.case - 1])
            ratio = float(answered.ratio[i * len(STEPS) + j])
            states.append(Thinner(by, ratio, (g.part, g.wall, g.criterion, g.case) not in known))
        rows[k] = replace(rows[k], states=tuple(states))
    return replace(found, rows=tuple(rows), checked=checked)


def readings_needed(mean: float, scatter: float, target: float) -> int | None:
    """The least number n of readings with that mean and scatter s whose lower bound mean - k s reaches the target, mm.

    k as `k_factor` of n (EN 1990 Annex D, scatter unknown); None where not even `MOST` do.
    """
    return next((n for n in range(3, MOST + 1) if mean - k_factor(n) * scatter >= target), None)
