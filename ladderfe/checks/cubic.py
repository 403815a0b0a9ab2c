"""Cubics through four equally spaced values, and the stretches of members on which shear forces are such cubics."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import LineLoads
from ladderfe.solve import Responses

__all__ = ["AT_FOUR", "Stretches", "cuts", "integral_at", "root_of", "stretches"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: The places of the four values on [0, 1].
AT_FOUR = np.array([0.0, 1 / 3, 2 / 3, 1.0])
_CUBIC = np.linalg.inv(np.vander(AT_FOUR))


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Members cut where line loads begin and end: member (k,), `first` to `last` (k,) mm from its end 1, and the
    resultants at four equally spaced places from one to the other (k, 4, 8, c): N Vy Vz T My Mz B, Tw or R."""

    member: IntArray
    first: Array
    last: Array
    resultants: Array


def cuts(lines: LineLoads, length: Array) -> tuple[IntArray, Array, Array]:
    """Members (length (m,)) cut where line loads begin and end: member (k,), and from where to where, mm."""
    every = np.arange(len(length))
    member = np.concatenate([every, every, lines.member, lines.member])
    x = np.round(np.concatenate([np.zeros(len(length)), length, lines.start, lines.end]), 6)
    edges = np.unique(np.stack([member.astype(float), x], axis=1), axis=0)
    same = edges[1:, 0] == edges[:-1, 0]
    return edges[:-1][same, 0].astype(np.int64), edges[:-1][same, 1], edges[1:][same, 1]


def stretches(solution: Responses) -> Stretches:
    """All stretches of all members of a solution."""
    member, first, last = cuts(solution.units, solution.mesh.lengths)
    places = first[:, None] + AT_FOUR * (last - first)[:, None]
    r = solution.resultants(np.repeat(member, 4), places.ravel())
    return Stretches(member, first, last, r.reshape(len(member), 4, *r.shape[1:]))


def root_of(v: Array) -> Array:
    """(k,) a root in [0, 1] of the cubics through four equally spaced values (k, 4) that change sign there.

    Bisection, 24 times, of the first stretch between neighbouring values that changes sign: to 1e-8 of the member.
    """
    c = v @ _CUBIC.T
    first = np.argmax(np.signbit(v[:, :-1]) != np.signbit(v[:, 1:]), axis=1)
    lo, hi = AT_FOUR[first], AT_FOUR[first + 1]
    below = np.signbit(np.take_along_axis(v, first[:, None], axis=1)[:, 0])
    for _ in range(24):
        x = (lo + hi) / 2
        left = np.signbit(((c[:, 0] * x + c[:, 1]) * x + c[:, 2]) * x + c[:, 3]) == below
        lo, hi = np.where(left, x, lo), np.where(left, hi, x)
    return np.asarray((lo + hi) / 2)


def integral_at(v: Array, x: Array) -> Array:
    """(k,) integral from 0 to x of the cubics through four equally spaced values (k, 4)."""
    c = v @ _CUBIC.T / np.array([4, 3, 2, 1])
    return np.asarray((((c[:, 0] * x + c[:, 1]) * x + c[:, 2]) * x + c[:, 3]) * x)
