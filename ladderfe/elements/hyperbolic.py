"""Hyperbolic functions of warping torsion in forms that neither overflow nor cancel, for k L from 1e-9 to 1e6 and more.

Everything is written with exp(-x), expm1 and sums of positive terms; `half` is k L/2 throughout and eta = -1 ... 1 the
place in the member, end 1 to end 2.
"""

from __future__ import annotations

from math import factorial

import numpy as np
from numpy.typing import NDArray

__all__ = ["antisymmetric_shape", "end_factors", "product", "ratio"]

Array = NDArray[np.float64]

TERMS = range(1, 10)  # of the power series for half < 1: the first one left out is below 1e-19


def end_factors(half: Array) -> tuple[Array, Array]:
    """Numbers c = half coth(half) and half^2/(c - 1), which go to 1 and 3 for short members.

    Below 1 by J. H. Lambert's continued fraction of tanh (all terms positive), above it directly.
    """
    square = np.minimum(half, 1.0) ** 2
    short = np.full_like(half, 21.0)
    for odd in range(19, 1, -2):
        short = odd + square / short
    big = np.maximum(half, 1.0)
    long = big / np.tanh(big)
    is_short = half < 1
    return np.where(is_short, 1 + square / short, long), np.where(is_short, short, big**2 / (long - 1))


def _scaled(x: Array, odd: bool) -> Array:
    """2 exp(-x) sinh(x) if odd, 2 exp(-x) cosh(x) if not."""
    return -np.expm1(-2 * x) if odd else 1 + np.exp(-2 * x)


def product(k: Array, one: Array, two: Array, length: Array, odd: tuple[bool, bool]) -> Array:
    """h(k one) h(k two)/sinh(k length) with h = sinh where `odd`, else cosh; one, two >= 0 and one + two <= length."""
    fade = np.exp(-k * (length - one - two))
    out: Array = fade * _scaled(k * one, odd[0]) * _scaled(k * two, odd[1]) / (2 * _scaled(k * length, True))
    return out


def ratio(half: Array, eta: Array) -> Array:
    """sinh(half eta)/sinh(half)."""
    size = np.abs(eta)
    out: Array = np.sign(eta) * np.exp(half * (size - 1)) * np.expm1(-2 * half * size) / np.expm1(-2 * half)
    return out


def antisymmetric_shape(half: Array, eta: Array) -> tuple[Array, Array]:
    """Shape s = (sinh(half eta) - eta sinh(half))/(half cosh(half) - sinh(half)) and ds/deta; (eta^3 - eta)/2 when
    short."""
    small, big = np.minimum(half, 1.0), np.maximum(half, 1.0)
    short = [np.zeros_like(half) for _ in range(3)]
    for m in TERMS:
        term = small ** (2 * m - 2) / factorial(2 * m + 1)
        short[0] = short[0] + term * (eta ** (2 * m + 1) - eta)
        short[1] = short[1] + term * ((2 * m + 1) * eta ** (2 * m) - 1)
        short[2] = short[2] + term * (2 * m)
    size, end = np.abs(eta), -np.expm1(-2 * big)
    fade, faded = np.exp(big * (size - 1)), np.exp(-2 * big * size)
    under = big * (2 - end) - end
    shape = np.sign(eta) * (fade * (1 - faded) - size * end) / under
    slope = (big * fade * (1 + faded) - end) / under
    is_short = half < 1
    return np.where(is_short, short[0] / short[2], shape), np.where(is_short, short[1] / short[2], slope)
