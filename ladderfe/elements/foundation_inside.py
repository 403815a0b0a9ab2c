"""The state inside a beam on elastic foundation, with and without loads inside, exact at any place.

Near an end (two decay lengths) the state is carried on from there by the matrix exponential; further in, the two
parts of the member meet and the node between them is condensed away.  Both are exact; each is used where it does not
cancel. Integrals of quadratics times the exact shapes: Gauss points where the shapes hardly decay within the piece,
closed forms from the state equations where they do; both to rounding (1e-12 of the largest end load, see the tests).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.foundation import STEP, Foundation, end_stiffness, inverse_rates, powers, shares, transfer
from ladderfe.elements.pieces import NEAR, at, gauss_places, slope_at

__all__ = ["Pieces", "inside", "on_ends", "state_under_loads"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """k pieces of load: from `first` to `last` (k,), places in the member; per length, polynomials (k, 3, c) counted
    from `origin` (k,): force on g, force on f, and `slip`, growth of f beyond B/EI."""

    first: Array
    last: Array
    origin: Array
    on_g: Array
    on_f: Array
    slip: Array

    def take(self, index: IntArray) -> Pieces:
        """The pieces in `index`."""
        return Pieces(
            self.first[index],
            self.last[index],
            self.origin[index],
            self.on_g[index],
            self.on_f[index],
            self.slip[index],
        )

    def between(self, low: Array | float, high: Array | float) -> Pieces:
        """What of the pieces lies between two places (empty pieces have last <= first)."""
        return Pieces(
            np.maximum(self.first, low), np.minimum(self.last, high), self.origin, self.on_g, self.on_f, self.slip
        )

    def where(self, wanted: NDArray[np.bool_]) -> Pieces:
        """The same pieces, those not wanted made empty."""
        last = np.where(wanted, self.last, self.first)
        return Pieces(self.first, last, self.origin, self.on_g, self.on_f, self.slip)

    def shifted(self, by: Array) -> Pieces:
        """The same pieces with places counted from `by`."""
        return Pieces(self.first - by, self.last - by, self.origin - by, self.on_g, self.on_f, self.slip)


def inside(c: Foundation, length: Array, x: Array, stiff: Array) -> Array:
    """(n, 4, 4): state g, f, R, B at x per unit g1, f1, g2, f2, without inner loads; stiff (n, 4, 4): `end_stiffness`
    of the same members."""
    ends = np.broadcast_to(np.eye(4), stiff.shape), stiff
    close = _is_close(c, length, x)
    out = np.zeros((len(x), 4, 4))
    _carry(c, length, x, ends, close, out)
    if not close.all():
        middle = np.flatnonzero(~close)
        none = np.zeros((len(middle), 4, 4))
        out[middle] = _meet(c.take(middle), length[middle], x[middle], ends[0][middle], (none, none))
    return out


def state_under_loads(
    c: Foundation, length: Array, x: Array, ends: tuple[Array, Array], loads: tuple[IntArray, Pieces]
) -> Array:
    """(n, 4, c) state at x of members under loads inside.

    ends: movements g1, f1, g2, f2 and the forces on them -R1, -B1, R2, B2, both (n, 4, c).  loads: the row (k,) that
    each piece belongs to, and the pieces."""
    close = _is_close(c, length, x)
    out = np.zeros((len(x), 4, ends[0].shape[2]))
    _carry(c, length, x, ends, close, out)
    row, pieces = loads
    here, late = x[row], (x > length / 2)[row]
    passed = pieces.between(np.where(late, here, 0.0), np.where(late, length[row], here))
    _add_carried(c, x, row, passed.where(close[row]), out)
    if not close.all():
        middle, inner = np.flatnonzero(~close), ~close[row]
        before, behind = np.zeros_like(out), np.zeros_like(out)
        _add_ends(c, x, row, pieces.between(0.0, here).where(inner), before)
        _add_ends(c, length - x, row, pieces.between(here, length[row]).shifted(here).where(inner), behind)
        parts = before[middle], behind[middle]
        out[middle] = _meet(c.take(middle), length[middle], x[middle], ends[0][middle], parts)
    return out


def _is_close(c: Foundation, length: Array, x: Array) -> NDArray[np.bool_]:
    """(n,) true where the state is carried on from the nearer end, false where two parts meet."""
    out: NDArray[np.bool_] = c.fastest * np.minimum(x, length - x) <= STEP
    return out


def _carry(
    c: Foundation, length: Array, x: Array, ends: tuple[Array, Array], close: NDArray[np.bool_], out: Array
) -> None:
    """Fill in the states of the rows in `close`, carried on from the nearer end."""
    rows = np.flatnonzero(close)
    moves, forces, late = ends[0][rows], ends[1][rows], (x > length / 2)[rows]
    one, two = (np.concatenate(e, axis=1) for e in ((moves[:, :2], -forces[:, :2]), (moves[:, 2:], forces[:, 2:])))
    step = x[rows] - np.where(late, length[rows], 0.0)
    out[rows] = transfer(c.take(rows), step) @ np.where(late[:, None, None], two, one)


def _add_carried(c: Foundation, x: Array, row: IntArray, pieces: Pieces, out: Array) -> None:
    """Add what pieces on the way from the near end bring to the state at x: int exp(A (x - xi)) b(xi) dxi.

    The powers of A do not depend on xi: Gauss points serve the shares of the powers only, times 1, s, s^2."""
    part = np.flatnonzero(pieces.last > pieces.first)
    own, rows = pieces.take(part), row[part]
    if not len(rows):
        return
    members = c.take(rows)
    places, weights = gauss_places(own.first, own.last)
    share = shares(members, x[rows, None] - places) * weights
    moments = np.einsum("jkg,kgp->kjp", share, (places - own.origin[:, None])[:, :, None] ** np.arange(3))
    push = np.stack([0 * own.on_g, own.slip, -own.on_g, -own.on_f], axis=2)
    whole = np.einsum("kjp,jkab->kapb", moments, powers(members)).reshape(len(rows), 4, 12)
    total = whole @ push.reshape(len(rows), 12, -1)
    from_end_2 = (own.first >= x[rows])[:, None, None]
    np.add.at(out, rows, np.where(from_end_2, -total, total))


def _add_ends(c: Foundation, length: Array, row: IntArray, pieces: Pieces, out: Array) -> None:
    """Add the loads that pieces bring to the ends of the parts they lie on."""
    part = np.flatnonzero(pieces.last > pieces.first)
    rows = row[part]
    members = c.take(rows)
    stiff = end_stiffness(members, length[rows])
    np.add.at(out, rows, on_ends(members, length[rows], pieces.take(part), stiff))


def _meet(c: Foundation, length: Array, x: Array, moves: Array, loads: tuple[Array, Array]) -> Array:
    """State where the parts before and behind x meet; R and B from the longer part."""
    a, b = end_stiffness(c, x), end_stiffness(c, length - x)
    push = loads[0][:, 2:] + loads[1][:, :2] - a[:, 2:, :2] @ moves[:, :2] - b[:, :2, 2:] @ moves[:, 2:]
    here = _inverse(a[:, 2:, 2:] + b[:, :2, :2]) @ push
    force_a = a[:, 2:, :2] @ moves[:, :2] + a[:, 2:, 2:] @ here - loads[0][:, 2:]
    force_b = loads[1][:, :2] - b[:, :2, :2] @ here - b[:, :2, 2:] @ moves[:, 2:]
    return np.concatenate([here, np.where((x > length / 2)[:, None, None], force_a, force_b)], axis=1)


def _inverse(m: Array) -> Array:
    """(n, 2, 2) inverse of symmetric 2 x 2 matrices whose two rows may differ by any factor."""
    out = np.zeros_like(m)
    out[:, 0, 0], out[:, 1, 1], out[:, 0, 1], out[:, 1, 0] = m[:, 1, 1], m[:, 0, 0], -m[:, 0, 1], -m[:, 1, 0]
    return out / (m[:, 0, 0] * m[:, 1, 1] - m[:, 0, 1] ** 2)[:, None, None]


def on_ends(c: Foundation, length: Array, pieces: Pieces, stiff: Array) -> Array:
    """(k, 4, c) loads on g1, f1, g2, f2 that members of these lengths take from one piece each (Betti); stiff:
    (k, 4, 4) `end_stiffness` of the same members."""
    loads = np.stack([pieces.on_g, pieces.on_f, 0 * pieces.on_g, pieces.slip], axis=2)  # they work on g, f, R, B
    out = np.zeros((len(length), 4, loads.shape[3]))
    near = c.fastest * (pieces.last - pieces.first) <= NEAR
    there = pieces.last > pieces.first
    for part, way in ((np.flatnonzero(near & there), _by_points), (np.flatnonzero(~near), _by_parts)):
        if len(part):
            out[part] = way(c.take(part), length[part], pieces.take(part), loads[part], stiff[part])
    return out


def _by_points(c: Foundation, length: Array, pieces: Pieces, loads: Array, stiff: Array) -> Array:
    """Integral of state^T load by Gauss points; loads (k, 3 powers, 4, c)."""
    places, weights = gauss_places(pieces.first, pieces.last)
    k, points = places.shape
    each = np.repeat(np.arange(k), points)
    x = places.ravel()
    state = inside(c.take(each), length[each], x, stiff[each]).reshape(k, points, 4, 4)
    load = at(loads[each], x - pieces.origin[each]).reshape(k, points, 4, loads.shape[3])
    out: Array = np.einsum("kg,kgsi,kgsc->kic", weights, state, load, optimize=True)
    return out


def _by_parts(c: Foundation, length: Array, pieces: Pieces, loads: Array, stiff: Array) -> Array:
    """The same from the states at both ends of the pieces: y = P y', so int m y = P [m y] - P^2 [m' y] + P^3 [m''
    y]."""
    rates = inverse_rates(c)
    out = np.zeros((len(length), 4, loads.shape[3]))
    for sign, x in ((-1, pieces.first), (1, pieces.last)):
        once, s = rates @ inside(c, length, x, stiff), x - pieces.origin
        for power, m in enumerate((at(loads, s), slope_at(loads, s), 2 * loads[:, 2])):
            out += sign * (-1) ** power * np.einsum("ksi,ksc->kic", once, m)
            once = rates @ once
    return out
