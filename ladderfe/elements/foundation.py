"""Racking along a member: a beam on elastic foundation with shear flexibility, exact for any length.

State: racking angle g, warping f, their forces R (on g) and B (on f), on the face with outward normal +x'.

    g' = rho (S R - 2 f)      f' = B/EI      R' = KD g      B' = 2 rho (R + 2 P f)      rho = 1/(1 + S P)

KD: walls bending across the member, N; EI: restrained warping, N mm4; S: shear flexibility of the walls in racking,
1/(N mm2); P: twist of the walls as plates, N mm2.  S = P = 0 leaves g'''' + 4 beta^4 g = 0, beta^4 = KD/EI.

The squares z of the decay rates have sum rho (S KD + 4 P/EI) and product 4 rho KD/EI, as a rule a complex pair.  All
results need only t = tanh(l sqrt z)/sqrt z (l half a length) at both roots: its mean p and divided difference d.  They
are carried together as the number p + d e with e^2 = (z1 - z2)^2/4, which is real and may be negative, zero or
positive; so complex, equal and real roots are one case, nothing overflows and short members do not cancel.
Own derivation; theory: Vlasov's distortion of box sections, M. Hetenyi, Beams on Elastic Foundation (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["STEP", "Foundation", "end_stiffness", "inverse_rates", "rates", "shares", "transfer"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: How far the power series of `shares` carries, in units of the shortest decay length, and its terms: the first one
#: left out is 2^26/26! = 2e-19; rounding grows by exp(2) at most.
STEP, TERMS, REST = 2.0, 13, 2e-19
#: What makes x^(2m)/(2m)! of the one before, over x^2; and up to which size 1, 2, ... terms leave out REST at most.
EVEN = 1 / (np.arange(1, 2 * TERMS, 2) * np.arange(2, 2 * TERMS + 1, 2))
REACH = (REST / np.cumprod(EVEN)) ** (1 / np.arange(2, 2 * TERMS + 1, 2))
#: The continued fraction below is exact to rounding for abs(z) l^2 up to this.
FRACTION = 0.25
#: Places below the diagonal.
LOWER = np.tril_indices(4, -1)


@dataclass(frozen=True, slots=True, eq=False)
class Foundation:
    """KD (n,) N; EI (n,) N mm4; shear (n,) = S, 1/(N mm2); plate (n,) = P, N mm2; see the module."""

    KD: Array
    EI: Array
    shear: Array
    plate: Array

    def take(self, index: IntArray) -> Foundation:
        """The same for the members in `index`."""
        return Foundation(self.KD[index], self.EI[index], self.shear[index], self.plate[index])

    @property
    def rho(self) -> Array:
        out: Array = 1 / (1 + self.shear * self.plate)
        return out

    @property
    def roots(self) -> tuple[Array, Array]:
        """(n,) sum and product of the squared decay rates, 1/mm2 and 1/mm4."""
        return self.rho * (self.shear * self.KD + 4 * self.plate / self.EI), 4 * self.rho * self.KD / self.EI

    @property
    def fastest(self) -> Array:
        """(n,) upper bound of the decay rates' size, 1/mm."""
        total, product = self.roots
        out: Array = np.sqrt(total + np.sqrt(product))
        return out


Pair = tuple[Array, Array]


def _times(a: Pair, b: Pair, square: Array) -> Pair:
    """Product of numbers p + d e with e^2 = square."""
    return a[0] * b[0] + square * a[1] * b[1], a[0] * b[1] + a[1] * b[0]


def _over(a: Pair, b: Pair, square: Array) -> Pair:
    """Quotient of such numbers."""
    size = b[0] ** 2 - square * b[1] ** 2
    p, d = _times(a, (b[0], -b[1]), square)
    return p / size, d / size


def _tanh_quotient(total: Array, product: Array) -> Pair:
    """tanh(sqrt z)/sqrt z at two roots given by sum and product: mean and divided difference.

    Continued fraction for small z, then tanh 2x = 2 tanh x/(1 + tanh^2 x) as often as needed.
    """
    size = float((np.abs(total) + np.sqrt(product)).max(initial=0.0))
    doublings = max(0, int(np.ceil(np.log2(max(size / FRACTION, 1.0)) / 2)))
    total, product = total / 4.0**doublings, product / 16.0**doublings
    square = total**2 / 4 - product
    z: Pair = (total / 2, np.ones_like(total))
    one: Pair = (np.ones_like(total), np.zeros_like(total))
    t: Pair = (one[0] / 19, one[1])
    for odd in range(17, 0, -2):
        p, d = _times(z, t, square)
        t = _over(one, (odd + p, d), square)
    for _ in range(doublings):
        p, d = _times(z, _times(t, t, square), square)
        p, d = _over(t, (1 + p, d), square)
        t, square, z = (p, d / 4), 16 * square, (4 * z[0], z[1])
    return t


def end_stiffness(c: Foundation, length: Array) -> Array:
    """(n, 4, 4) stiffness on g, f at end 1, then at end 2; the forces are -R, -B at end 1, R, B at end 2."""
    half, rho = length / 2, c.rho
    total, product = c.roots
    p, d = _tanh_quotient(total * half**2, product * half**4)
    p, d = p * half, d * half**3
    both = p**2 - (total**2 / 4 - product) * d**2  # t1 t2
    even = p - rho * (c.shear * c.KD - 4 * c.plate / c.EI) / 2 * d
    rise = p + total / 2 * d  # divided difference of z t
    odd = c.shear / 2 * rise - 2 / c.EI * d
    out = np.zeros((len(length), 4, 4))
    for gg, gf, ff, sign in (
        (c.KD * both / even, -2 * rho * c.KD * d / even, c.EI / even, 1),
        (1 / (2 * rho * odd), rise / odd, 2 * both / odd, -1),
    ):
        # even: g1 = g2, f1 = -f2; odd: g1 = -g2, f1 = f2
        out[:, 2, 2] += gg / 2
        out[:, 0, 2] += sign * gg / 2
        out[:, 2, 3] += gf / 2
        out[:, 1, 2] -= sign * gf / 2
        out[:, 3, 3] += ff / 2
        out[:, 1, 3] -= sign * ff / 2
    out[:, 0, 0], out[:, 1, 1], out[:, 0, 1] = out[:, 2, 2], out[:, 3, 3], -out[:, 2, 3]
    out[:, 0, 3] = -out[:, 1, 2]
    out[:, LOWER[0], LOWER[1]] = out[:, LOWER[1], LOWER[0]]
    return out


def shares(c: Foundation, x: Array) -> Array:
    """(n, g, 4) shares of 1, A, A^2, A^3 in exp(A x), A the derivative of the state; distances x (n, g), either sign.

    The power series, all powers from the second and fourth by the roots' sum and product; for `c.fastest` times abs(x)
    up to `STEP`.
    """
    count = 1 + int(np.searchsorted(REACH, (c.fastest * np.abs(x).max(axis=1, initial=0.0)).max(initial=0.0)))
    even = np.ones((*x.shape, count))  # x^(2m)/(2m)!
    np.multiply((x**2)[:, :, None], EVEN[: count - 1], out=even[:, :, 1:])
    np.multiply.accumulate(even, axis=2, out=even)
    out: Array = even @ _even_powers(c, count)
    out[:, :, 1::2] *= x[:, :, None]
    return out


def _even_powers(c: Foundation, count: int) -> Array:
    """(n, count, 4): A^(2m) as shares of 1 and A^2 in columns 0 and 2, and those over 2m + 1 in 1 and 3."""
    (total, product), out = c.roots, np.zeros((len(c.KD), count, 4))
    none, two = np.ones(len(out)), np.zeros(len(out))
    for m in range(count):
        out[:, m, 0], out[:, m, 2] = none, two
        none, two = -product * two, total * two + none
    out[:, :, 1::2] = out[:, :, ::2] / (2 * np.arange(count)[:, None] + 1)
    return out


def transfer(c: Foundation, x: Array) -> Array:
    """(n, 4, 4): state g, f, R, B a distance x (either sign) further on, per unit state, without inner loads.

    The matrix exponential, for `c.fastest` times abs(x) up to `STEP`.
    """
    share, rate = shares(c, x[:, None])[:, 0], rates(c)
    out = np.zeros((len(x), 4, 4))
    for power in range(3, -1, -1):
        out = rate @ out
        out[:, range(4), range(4)] += share[:, power, None]
    return out


def rates(c: Foundation) -> Array:
    """(n, 4, 4) A, the derivative of the state per unit state."""
    out = np.zeros((len(c.KD), 4, 4))
    out[:, 0, 1], out[:, 0, 2] = -2 * c.rho, c.rho * c.shear
    out[:, 1, 3], out[:, 2, 0] = 1 / c.EI, c.KD
    out[:, 3, 1], out[:, 3, 2] = 4 * c.rho * c.plate, 2 * c.rho
    return out


def inverse_rates(c: Foundation) -> Array:
    """(n, 4, 4) matrix that gives the state from its derivative; KD > 0."""
    out = np.zeros((len(c.KD), 4, 4))
    out[:, 0, 2] = 1 / c.KD
    out[:, 1, 0], out[:, 1, 3] = -0.5, c.shear / 4
    out[:, 2, 0], out[:, 2, 3] = c.plate, 0.5
    out[:, 3, 1] = c.EI
    return out
