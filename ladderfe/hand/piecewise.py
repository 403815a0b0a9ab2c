"""Functions along a beam that are exact polynomials between knots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["SIDES", "Array", "Beside", "Piecewise", "sign_changes"]

Array = NDArray[np.float64]
Beside = Literal["ahead", "behind"]
SIDES: Final[tuple[Beside, Beside]] = ("ahead", "behind")


@dataclass(frozen=True, slots=True, eq=False)
class Piecewise:
    """A polynomial on each piece between `knots`; it may jump at a knot.

    Parameters
    ----------
    knots : (n+1,) array
        Increasing stations in mm; the ends of the beam are the first and the last.
    coefficients : (n, degree+1) array
        Of piece i, in rising powers of (x - knots[i]).
    """

    knots: Array
    coefficients: Array

    def __post_init__(self) -> None:
        for array in (self.knots, self.coefficients):
            array.setflags(write=False)

    def __call__(self, x: ArrayLike, side: Beside = "behind") -> Any:
        """Values at the stations `x`: at a knot the one just "ahead" of it (smaller x) or just "behind" it.

        The first and last piece are carried on beyond the ends.  Returns the shape of `x`.
        """
        x = np.asarray(x, dtype=float)
        piece = np.searchsorted(self.knots, x, side="right" if side == "behind" else "left") - 1
        piece = np.clip(piece, 0, len(self.coefficients) - 1)
        s = x - self.knots[piece]
        value = np.zeros_like(s)
        for power in range(self.coefficients.shape[1] - 1, -1, -1):
            value = value * s + self.coefficients[piece, power]
        return value

    def derivative(self) -> Piecewise:
        """The slope, piece by piece; jumps leave no trace."""
        powers = np.arange(1, self.coefficients.shape[1])
        slope = self.coefficients[:, 1:] * powers
        return Piecewise(self.knots.copy(), slope if slope.shape[1] else np.zeros((len(slope), 1)))

    def integral(self, start: float = 0.0, jumps: ArrayLike = 0.0) -> Piecewise:
        """The integral from the first knot on, with the value `start` there.

        `jumps`, of shape (n,) or a number, is added at the beginning of each piece, before it is integrated.
        """
        count, width = self.coefficients.shape
        grown = np.zeros((count, width + 1))
        grown[:, 1:] = self.coefficients / np.arange(1, width + 1)
        step = np.diff(self.knots)
        gain = np.sum(grown * step[:, None] ** np.arange(width + 1), axis=1)
        grown[:, 0] = start + np.cumsum(np.broadcast_to(jumps, count)) + np.concatenate(([0.0], np.cumsum(gain[:-1])))
        return Piecewise(self.knots.copy(), grown)

    def refined(self, stations: ArrayLike) -> Piecewise:
        """The same function with further knots inside it, so that two functions can share their pieces."""
        knots = np.union1d(self.knots, np.asarray(stations, dtype=float))
        knots = knots[(knots >= self.knots[0]) & (knots <= self.knots[-1])]
        piece = np.clip(np.searchsorted(self.knots, knots[:-1], side="right") - 1, 0, len(self.coefficients) - 1)
        shift = knots[:-1] - self.knots[piece]
        return Piecewise(knots, _shifted(self.coefficients[piece], shift))

    def scaled(self, factors: ArrayLike) -> Piecewise:
        """Each piece times its own factor, (n,) or one number."""
        column = np.broadcast_to(factors, len(self.coefficients))[:, None]
        return Piecewise(self.knots.copy(), self.coefficients * column)


def _shifted(coefficients: Array, shift: Array) -> Array:
    """Taylor shift: p(s + shift) in powers of s, row by row, by repeated synthetic division."""
    out = coefficients.copy()
    width = out.shape[1]
    for low in range(width - 1):
        for power in range(width - 2, low - 1, -1):
            out[:, power] += shift * out[:, power + 1]
    return out


def sign_changes(function: Piecewise, zero: float) -> list[float]:
    """Stations strictly inside the beam where the function changes its sign, in order: by a root or by a jump.

    Values not larger than `zero` count as nothing, which keeps rounding at the free ends from looking like a root; a
    stretch without value that lies between two signs is given by its two ends.
    """
    last, found = 0.0, list[float]()
    idle: list[float] = []  # where the function was nothing since the last sign
    for i, start in enumerate(function.knots[:-1]):
        row, length = function.coefficients[i].tolist(), float(function.knots[i + 1] - start)
        places = [0.0, *_roots(_slope(row), length), length]
        for k, place in enumerate(places):
            value = _value(row, place)
            if abs(value) <= zero:
                idle.append(start + place)
                continue
            if last * value < 0:
                whole = k == 0 or idle
                found += (idle or [start]) if whole else [start + _bracketed(row, places[k - 1], place)]
            last, idle = value, []
    ends = function.knots[0], function.knots[-1]
    return sorted({float(x) for x in found if ends[0] < x < ends[1]})


def _value(row: Sequence[float], s: float) -> float:
    value = 0.0
    for c in reversed(row):
        value = value * s + c
    return value


def _slope(row: Sequence[float]) -> list[float]:
    return [power * c for power, c in enumerate(row)][1:]


def _roots(row: Sequence[float], length: float) -> list[float]:
    """Places in (0, length) where a polynomial changes sign: its slope's own splits it into rising and falling runs."""
    if len(row) < 2:
        return []
    places = [0.0, *_roots(_slope(row), length), length]
    return [_bracketed(row, a, b) for a, b in pairwise(places) if _value(row, a) * _value(row, b) < 0]


def _bracketed(row: Sequence[float], a: float, b: float) -> float:
    """The root between a and b, where the signs differ: Newton steps, halving whenever one would leave the bracket."""
    rising, slope = _value(row, b) > 0, _slope(row)
    s = (a + b) / 2
    for _ in range(200):
        value = _value(row, s)
        if value == 0.0:
            return s
        a, b = (a, s) if (value > 0) == rising else (s, b)
        steep = _value(slope, s)
        step = s - value / steep if steep else a
        step = step if a < step < b else (a + b) / 2
        if step == s or not a < step < b:
            return s
        s = step
    return s
