"""Section resultants anywhere inside members of open section, with the bimoment and the two parts of the torque.

N, Vy, Vz, T, My, Mz follow from equilibrium as in `resultants`.  The bimoment solves B'' = k^2 B - rho m + mu' (m
torque, less GJ coupling . force, mu bimoment per length of line loads, rho = 1/(1 + GJ sigma)) between the end
bimoments, which are known:

    B(x) = B1 sinh k(L - x)/sinh kL + B2 sinh kx/sinh kL + int (rho m G + mu dG/dxi) dxi,
    G(x, xi) = sinh(k lesser) sinh k(L - greater)/(k sinh kL) of x and xi,

whose terms do not cancel, whatever k L is.  The warping torque is Tw = dB/dx - mu, St-Venant's part is T - Tw.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import sum_rows
from ladderfe.elements.hyperbolic import product
from ladderfe.elements.line_loads import LineLoads
from ladderfe.elements.open_beam import OpenBeams, from_own
from ladderfe.elements.open_loads import twisting
from ladderfe.elements.pieces import NEAR, along, at, gauss_places, slope_at
from ladderfe.elements.resultants import OnRows, pairs
from ladderfe.elements.resultants import of_rows as plain_rows

__all__ = ["between", "resultants", "warping_rows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def resultants(
    p: OpenBeams, ends: Array, loads: LineLoads, member: IntArray, x: Array, omega: Array | None = None,
    fields: Array | None = None,
) -> Array:  # fmt: skip
    """N, Vy, Vz, T, My, Mz, B, Tw on the face with outward normal +x'.

    Parameters
    ----------
    p : OpenBeams of all members
    ends : (n_members, 14, c) forces that act on both ends, member axes; N, N mm and, for f, N mm2
    loads, omega : line loads of all members and the sectorial coordinates of their points, as in `equivalent_loads`
    member, x : (rows,) member and distance from its end 1, mm
    fields : as in `resultants` of plain members

    Returns
    -------
    (rows, 8, c): N, My, Mz about the centroid, Vy, Vz, whole torque T about the shear centre, bimoment B in N mm2 (w
    about the shear centre, mean zero), warping torque Tw; St-Venant's torque is T - Tw.
    """
    on_rows, own, mine = OnRows.of(member, loads), p.take(member), ends[member]
    if omega is not None:
        omega = omega[pairs(member, loads)[1]]
    plain = plain_rows(own.beams, mine[:, :6], on_rows, x, fields)
    return np.concatenate([plain, warping_rows(own, mine, on_rows, x, omega, fields)], axis=1)


def warping_rows(
    p: OpenBeams, ends: Array, loads: OnRows, x: Array, omega: Array | None = None, fields: Array | None = None
) -> Array:
    """(r, 2, c) B and Tw with one entry of p and ends per row, and of omega per line load on a row."""
    back = from_own(p)[:, :, 6:].transpose(0, 2, 1)
    out = between(p, (back @ ends[:, :7])[:, 0], -(back @ ends[:, 7:])[:, 0], x)
    if len(loads.row):
        by_load = _inside(p.take(loads.row), loads.loads, omega, x[loads.row])
        out += sum_rows(len(x), loads.row, by_load, fields)
    return out


def between(p: OpenBeams, b1: Array, b2: Array, x: Array) -> Array:
    """(rows, 2, c) B and dB/dx from the end bimoments."""
    k, none = p.decay, np.zeros(len(x))
    ways = [[product(k, s, none, p.length, (odd, False))[:, None] for s in (p.length - x, x)] for odd in (True, False)]
    return np.stack([ways[0][0] * b1 + ways[0][1] * b2, k[:, None] * (ways[1][1] * b2 - ways[1][0] * b1)], axis=1)


def _inside(p: OpenBeams, loads: LineLoads, omega: Array | None, x: Array) -> Array:
    """(pairs, 2, c) B and Tw at x by line loads, one entry of p, loads and x per pair, with free warping at both
    ends."""
    torque, bimoment, drift = twisting(p, loads, omega)
    torque = (torque - p.beams.torsional[:, None, None] * drift) * p.softening[:, None, None]
    k = p.decay
    out = np.zeros((len(p), 2, torque.shape[2]))
    for before in (True, False):
        first = loads.start if before else np.maximum(loads.start, x)
        last = np.minimum(loads.end, x) if before else loads.end
        near = k * (last - first) <= NEAR
        for part, way in ((np.flatnonzero(near & (last > first)), _by_points), (np.flatnonzero(~near), _by_parts)):
            if len(part):
                span = first[part], last[part], loads.start[part]
                kernel = _Kernel(k[part, None], p.length[part, None], x[part, None], before)
                out[part] += way(kernel, span, torque[part], bimoment[part])
    return out


@dataclass(frozen=True, slots=True, eq=False)
class _Kernel:
    """G and its derivatives on one side of x, before it or behind it: decay rate, length and x (pairs, 1)."""

    k: Array
    length: Array
    x: Array
    before: bool

    def at(self, xi: Array) -> tuple[Array, Array]:
        """(pairs, g, 2) G and dG/dx at places xi (pairs, g), and their derivatives by xi."""
        near, far, sign = (xi, self.length - self.x, 1) if self.before else (self.length - xi, self.x, -1)

        def g(odd_near: bool, odd_far: bool) -> Array:
            return product(self.k, near, far, self.length, (odd_near, odd_far))

        values = np.stack([g(True, True) / self.k, -sign * g(True, False)], axis=2)
        return values, np.stack([sign * g(False, True), -self.k * g(False, False)], axis=2)


Span = tuple[Array, Array, Array]


def _by_points(kernel: _Kernel, span: Span, torque: Array, bimoment: Array) -> Array:
    """Integral of m K + mu dK/dxi for K = G, dG/dx by Gauss points; span: from, to, and where the polynomials count
    from."""
    xi, weight = gauss_places(span[0], span[1])
    value, slope = (part * weight[:, :, None] for part in kernel.at(xi))
    s = xi - span[2][:, None]
    out: Array = np.einsum("pgk,pgc->pkc", value, along(torque, s)) + np.einsum(
        "pgk,pgc->pkc", slope, along(bimoment, s)
    )
    return out


def _by_parts(kernel: _Kernel, span: Span, torque: Array, bimoment: Array) -> Array:
    """The same in closed form: K'' = k^2 K on either side of x."""
    first, last, origin = span
    k2 = kernel.k[:, :, None] ** 2
    out = np.zeros((len(first), 2, torque.shape[2]))
    for sign, xi in ((-1, first), (1, last)):
        value, slope = (part.transpose(0, 2, 1) for part in kernel.at(xi[:, None]))
        m, dm, ddm = at(torque, xi - origin)[:, None], slope_at(torque, xi - origin)[:, None], 2 * torque[:, None, 2]
        u, du, ddu = (
            at(bimoment, xi - origin)[:, None], slope_at(bimoment, xi - origin)[:, None], 2 * bimoment[:, None, 2]
        )  # fmt: skip
        by_torque = (m * slope - dm * value + ddm * slope / k2) / k2
        by_bimoment = u * value - (du * slope - ddu * value) / k2
        out = out + sign * (by_torque + by_bimoment)
    return out
