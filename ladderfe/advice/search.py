"""Where a wall that becomes thinner brings a number to its limit; many searches side by side.

A search is told `room`, 1/ratio - 1: positive below the limit, negative over it.  Stress in a wall goes about as one
over its thickness, so that room is nearly a straight line in it.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Hashable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

__all__ = ["CLOSE", "FRACTIONS", "Crossing", "Fall", "How", "closed_in", "fall", "room", "together"]

K = TypeVar("K", bound=Hashable)
How = Literal["found", "jumps", "gone", "none", "already over"]
#: Parts of the thickness at the start that are tried one after the other until one is over.
FRACTIONS = (0.75, 0.5, 0.25, 0.1, 0.03)
#: A search ends where the number is this near to its limit, as a part of it, or its bracket is so narrow, mm.
CLOSE, NARROW = 5e-7, 1e-6
#: No search takes more rounds.
ROUNDS = 60
#: Nearer to the limit than this, as a part of it, a crossing is no jump.
SAME_LIMIT = 1e-4
#: Room of a wall that nothing loads.
MUCH = 10.0


@dataclass(frozen=True, slots=True)
class Crossing:
    """The greatest thickness found at which the number comes over its limit as the wall becomes thinner.

    found: it is at its limit there; jumps: below it there, over it just under (NARROW); gone: over it only when the
    wall is gone; none: not even then; already over: at the start and at all that may be thicker.
    """

    how: How
    thickness: float


#: Asks for the room at a thickness, is sent it, and ends with a crossing.
Fall = Generator[float, float, Crossing]


def room(ratio: float) -> float:
    """1/ratio - 1, `MUCH` at most."""
    return 1 / ratio - 1 if ratio > 1 / (1 + MUCH) else MUCH


def fall(start: float, above: Sequence[float] = (), *, to_nothing: bool = True) -> Fall:
    """Go down from `start` until the limit is crossed, then close in on it.  Where the start is over already, `above`
    are thicknesses to try.  to_nothing: the wall may be gone.

    The first step goes to where a ratio that grows as one over the thickness, as stress in a wall does at most when its
    load stays, is still below its limit.  Between two thicknesses that were tried a hump over it would not be seen.
    """
    high = (start, (yield start))
    low: tuple[float, float] | None = None
    if high[1] < 0:
        low = high
        for thickness in above:
            high = (thickness, (yield thickness))
            if high[1] >= 0:
                break
            low = high
        else:
            return Crossing("already over", low[0])
        return (yield from closed_in(low, high))
    hop = 1 / (1 + high[1])
    for part in (f for f in FRACTIONS if f <= hop or f == FRACTIONS[-1]):
        low = (part * start, (yield part * start))
        if low[1] < 0:
            return (yield from closed_in(low, high))
        high = low
    if to_nothing and (yield 0.0) < 0:
        return Crossing("gone", 0.0)
    return Crossing("none", 0.0)


def closed_in(low: tuple[float, float], high: tuple[float, float], narrow: float = NARROW) -> Fall:
    """The crossing between (thickness, room) over and below the limit, to `narrow` mm.

    T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149: inverse quadratic where three points allow
    it, else bisection (formulas from memory); the first step is a secant.
    """
    (x1, f1), (x2, f2) = high, low
    part = f1 / (f1 - f2)
    for _ in range(ROUNDS):
        width = abs(x2 - x1)
        if min(abs(f1), abs(f2)) <= CLOSE or width <= narrow:
            break
        edge = 0.25 * narrow / width
        x = x1 + min(max(part, edge), 1 - edge) * (x2 - x1)
        f = yield x
        if (f >= 0) == (f1 >= 0):
            x3, f3 = x1, f1
        else:
            (x3, f3), (x2, f2) = (x2, f2), (x1, f1)
        x1, f1 = x, f
        part = _share((x1, f1), (x2, f2), (x3, f3))
    good, bad = ((x1, f1), (x2, f2)) if f1 >= 0 else ((x2, f2), (x1, f1))
    best = min((good, bad), key=lambda p: abs(p[1]))
    return Crossing("found", best[0]) if abs(best[1]) <= SAME_LIMIT else Crossing("jumps", good[0])


def _share(one: tuple[float, float], two: tuple[float, float], three: tuple[float, float]) -> float:
    """How far from point one to point two the next one lies."""
    (x1, f1), (x2, f2), (x3, f3) = one, two, three
    if x3 == x2 or f3 == f2:
        return 0.5
    xi, phi = (x1 - x2) / (x3 - x2), (f1 - f2) / (f3 - f2)
    if not (phi**2 < xi and (1 - phi) ** 2 < 1 - xi):
        return 0.5
    a = f1 / (f2 - f1) * f3 / (f2 - f3)
    return a + (x3 - x1) / (x2 - x1) * f1 / (f3 - f1) * f2 / (f3 - f2)


def together(
    searches: dict[K, Fall], measure: Callable[[Sequence[tuple[K, float]]], Sequence[float]]
) -> dict[K, Crossing]:
    """Run searches side by side; `measure` gives the room of all (key, thickness) of one round."""
    out: dict[K, Crossing] = {}
    asked = {k: next(s) for k, s in searches.items()}
    while asked:
        points = list(asked.items())
        asked = {}
        for (key, _), value in zip(points, measure(points), strict=True):
            try:
                asked[key] = searches[key].send(value)
            except StopIteration as done:
                out[key] = done.value
    return out
