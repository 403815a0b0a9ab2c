"""Quadratics over pieces of members: values, derivatives, and the twelve Gauss points that integrate them with
decay."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.line_loads import LineLoads

__all__ = ["EIGHT", "NEAR", "along", "at", "gauss_places", "integral", "slope_at", "take_loads"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Twelve Gauss points integrate exp(-k s) times a quadratic over a length h to rounding while k h stays below this
#: (error term of Gauss-Legendre quadrature: (k h)^22/22!-like, below 1e-15 here); beyond it closed forms take over.
NEAR = 8.0

#: Eight of them do so while k h stays below 2 (3e-15 of the integral of the function's size, measured).
TWELVE, EIGHT = (np.polynomial.legendre.leggauss(points) for points in (12, 8))


def gauss_places(start: Array, end: Array, rule: tuple[Array, Array] = TWELVE) -> tuple[Array, Array]:
    """(k, g) places between start and end (k,), and their weights; `rule` for -1 to 1."""
    half = (end - start)[:, None] / 2
    return start[:, None] + half * (rule[0] + 1), half * rule[1]


def at(c: Array, s: Array) -> Array:
    """(k, ...) value at s (k,) of polynomials c (k, 3, ...): c0 + c1 s + c2 s^2."""
    s = s.reshape(-1, *([1] * (c.ndim - 2)))
    out: Array = c[:, 0] + s * (c[:, 1] + s * c[:, 2])
    return out


def along(c: Array, s: Array) -> Array:
    """(k, g, ...) values at s (k, g) of polynomials c (k, 3, ...)."""
    s = s.reshape(*s.shape, *([1] * (c.ndim - 2)))
    out: Array = c[:, None, 0] + s * (c[:, None, 1] + s * c[:, None, 2])
    return out


def slope_at(c: Array, s: Array) -> Array:
    """(k, ...) derivative at s of polynomials."""
    s = s.reshape(-1, *([1] * (c.ndim - 2)))
    out: Array = c[:, 1] + 2 * s * c[:, 2]
    return out


def integral(c: Array, s: Array) -> Array:
    """(k, ...) integral of polynomials from 0 to s."""
    s = s.reshape(-1, *([1] * (c.ndim - 2)))
    out: Array = s * (c[:, 0] + s * (c[:, 1] / 2 + s * c[:, 2] / 3))
    return out


def take_loads(loads: LineLoads, index: IntArray) -> LineLoads:
    """The line loads in `index`."""
    return LineLoads(loads.member[index], loads.start[index], loads.end[index], loads.point[index], loads.force[index])
