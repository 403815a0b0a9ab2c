"""Where a load that grows brings a number to its limit: Brent's method on straight lines between solved states.

Between two magnitudes in which the same supports are down everything answers along a straight line, so that the root on
that line is exact; where contact changes on the way, or axles share a pull by loads that it shifts, the state is solved
there and the line drawn anew.  All searches of one frame go on side by side, and what they ask for in one round is
solved together.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol, Self

__all__ = ["CLOSE", "Reach", "Search", "State", "search", "together"]

#: The number is this near to its limit where a search ends.
CLOSE = 1e-9
#: How much further every step of the look for a state over the limit goes.
STRIDE = 4.0
#: Rounds halve the interval at least: this many leave nothing of it, that is this part of it.
ROUNDS, NOTHING = 60, 1e-14
#: What tips over at so much more, as a part of it, is at the edge: equilibrium stops a millionth short.
EDGE = 4e-6


class State(Protocol):
    """What holds at a magnitude: ratio, the number over its limit; tips: how it tips over there, or "", and then
    `magnitude` is what it just bears."""

    @property
    def magnitude(self) -> float: ...
    @property
    def ratio(self) -> float: ...
    @property
    def tips(self) -> str: ...

    def at(self, magnitude: float, other: Self) -> float:
        """The ratio on the straight line to another state."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far a load may grow.

    how: "found" (magnitude and ratio are those of the limit), "already over" (at magnitude 0), "tips over" (at that
    magnitude, with the ratio there, in `words`) or "none" (the ratio at the greatest magnitude looked at).
    without: the ratio at magnitude 0.
    """

    how: Literal["found", "already over", "tips over", "none"]
    magnitude: float
    ratio: float
    without: float
    words: str = ""


Search = Generator[tuple[float, ...], Sequence[State], Reach]


def search(start: float, most: float) -> Search:
    """Asks for states at magnitudes, receives them in that order and ends with the smallest magnitude found at which
    the ratio is 1, beginning at `start` and going up to `most`."""
    none, high = yield (0.0, start)
    if none.ratio >= 1:
        return Reach(how="already over", magnitude=0.0, ratio=none.ratio, without=none.ratio)
    low, asked = none, start
    while high.ratio < 1 and not high.tips and high.magnitude < most:
        low, asked = high, min(STRIDE * high.magnitude, most)
        (high,) = yield (asked,)
    words = high.tips
    if words:
        low, high, words = yield from _before_it_tips(low, high, asked)
    if high.ratio >= 1:
        found = yield from _root(low, high)
        return Reach(how="found", magnitude=found.magnitude, ratio=found.ratio, without=none.ratio)
    how: Literal["tips over", "none"] = "tips over" if words else "none"
    return Reach(how=how, magnitude=high.magnitude, ratio=high.ratio, without=none.ratio, words=words)


def _before_it_tips(
    low: State, tipping: State, beyond: float
) -> Generator[tuple[float, ...], Sequence[State], tuple[State, State, str]]:
    """(a state before it, the last one that does not tip over, or the first one there that is over its limit, and the
    words), from one that was asked for `beyond` what it bears.

    What a greater load bears is solved there, not scaled down to it; where wheel forces do not grow in step more may
    be borne, which is looked for between both.
    """
    words = tipping.tips
    (state,) = yield (tipping.magnitude,)
    for k in range(ROUNDS):
        if state.ratio >= 1 or beyond - state.magnitude <= EDGE * beyond:
            break
        middle = (state.magnitude + beyond) / 2
        asked = middle if k else min(middle, state.magnitude * (1 + EDGE))  # most tip just beyond what they bear
        (after,) = yield (asked,)
        if after.tips:
            beyond, words = asked, after.tips
        else:
            low, state = state, after
    return low, state, words


def _root(low: State, high: State) -> Generator[tuple[float, ...], Sequence[State], State]:
    """The state between two at which the ratio is 1, or just before where it jumps over 1; it is below 1 at the first
    and not at the second."""
    from scipy.optimize import brentq

    for _ in range(ROUNDS):
        a, b = low.magnitude, high.magnitude
        near = min(low, high, key=_miss)
        if _miss(near) <= CLOSE:
            return near
        if b - a <= NOTHING * b:
            break
        guess = float(brentq(_left, a, b, args=(low, high), xtol=NOTHING * b))
        states = yield tuple(sorted({guess, (a + b) / 2}))
        for state in states:
            if state.ratio >= 1:
                high = state
                break
            low = state
    return low


def _left(size: float, low: State, high: State) -> float:
    return low.at(size, high) - 1


def _miss(state: State) -> float:
    return abs(state.ratio - 1)


def together(
    searches: Sequence[Search], solve: Callable[[Sequence[tuple[int, float]]], Sequence[State]]
) -> tuple[Reach, ...]:
    """Run searches side by side; `solve` makes the states of all (number of the search, magnitude) of one round."""
    out: dict[int, Reach] = {}
    asked = {k: next(s) for k, s in enumerate(searches)}
    while asked:
        points = [(k, size) for k, sizes in asked.items() for size in sizes]
        states = solve(points)
        after: dict[int, tuple[float, ...]] = {}
        for k in asked:
            own = [s for (j, _), s in zip(points, states, strict=True) if j == k]
            try:
                after[k] = searches[k].send(own)
            except StopIteration as done:
                out[k] = done.value
        asked = after
    return tuple(out[k] for k in range(len(searches)))
