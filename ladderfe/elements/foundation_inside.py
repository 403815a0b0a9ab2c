"""The state inside a beam on elastic foundation, with and without loads inside, exact at any place.

Near an end (two decay lengths) the state is carried on from there by the matrix exponential; further in, the two
parts of the member meet and the node between them is condensed away.  Both are exact; each is used where it does not
cancel. Integrals of quadratics times the exact shapes: Gauss points where the shapes hardly decay within the piece,
closed forms from the state equations where they do; both to rounding (1e-12 of the largest end load, see the tests).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import inverse, powers, sum_rows
from ladderfe.elements.foundation import STEP, Foundation, end_stiffness, inverse_rates, rates, shares, transfer
from ladderfe.elements.line_loads import acting
from ladderfe.elements.pieces import EIGHT, NEAR, at, gauss_places, slope_at

__all__ = ["Pieces", "at_end", "carried", "carried_loads", "inside", "is_close", "meeting", "on_ends"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """k pieces of load: from `first` to `last` (k,), places in the member; force (k, 3, 3, c) per length as in
    `LineLoads`, counted from `origin` (k,); work (k, 4, 3) of unit forces x' y' z' on g, on f, none on R, and on B by
    their `slip`, the growth of f beyond B/EI."""

    first: Array
    last: Array
    origin: Array
    work: Array
    force: Array

    def take(self, index: IntArray) -> Pieces:
        """The pieces in `index`."""
        return Pieces(
            self.first[index],
            self.last[index],
            self.origin[index],
            self.work[index],
            self.force[index],
        )

    def between(self, low: Array | float, high: Array | float) -> Pieces:
        """What of the pieces lies between two places (empty pieces have last <= first)."""
        return replace(self, first=np.maximum(self.first, low), last=np.minimum(self.last, high))

    def where(self, wanted: NDArray[np.bool_]) -> Pieces:
        """The same pieces, those not wanted made empty."""
        return replace(self, last=np.where(wanted, self.last, self.first))

    def shifted(self, by: Array) -> Pieces:
        """The same pieces with places counted from `by`."""
        return replace(self, first=self.first - by, last=self.last - by, origin=self.origin - by)

    @property
    def coefficients(self) -> Array:
        """(k, 9, c) `force`, power by power x' y' z'."""
        return self.force.reshape(len(self.force), 9, self.force.shape[3])

    @property
    def works(self) -> Works:
        """The same, forces multiplied by their work."""
        return Works(self.first, self.last, self.origin, acting(self.work, self.force))


@dataclass(frozen=True, slots=True, eq=False)
class Works:
    """k pieces of load as in `Pieces`; loads (k, 3, 4, c): work per length on g, f, R, B, coefficients as those of
    `Pieces.force`."""

    first: Array
    last: Array
    origin: Array
    loads: Array

    def take(self, index: IntArray) -> Works:
        """The pieces in `index`."""
        return Works(self.first[index], self.last[index], self.origin[index], self.loads[index])

    def between(self, low: Array | float, high: Array | float) -> Works:
        """As `Pieces.between`."""
        return replace(self, first=np.maximum(self.first, low), last=np.minimum(self.last, high))

    @property
    def total(self) -> Array:
        """(k, 4, c) the work of pieces as a whole, those counted from their beginning."""
        weight = powers(self.last - self.first, 4)[:, 1:] / np.arange(1, 4)
        k, _, places, c = self.loads.shape
        return (weight[:, None] @ self.loads.reshape(k, 3, places * c)).reshape(k, places, c)


def inside(c: Foundation, length: Array, x: Array, stiff: Array) -> Array:
    """(n, 4, 4): state g, f, R, B at x per unit g1, f1, g2, f2, without inner loads; stiff (n, 4, 4): `end_stiffness`
    of the same members."""
    moves, way = np.broadcast_to(np.eye(4), stiff.shape), carried(c, length, x)
    one, two = (at_end(moves, stiff, end) for end in (0, 1))
    out: Array = way @ np.where((x > length / 2)[:, None, None], two, one)
    middle = np.flatnonzero(~is_close(c, length, x))
    if len(middle):
        none = np.zeros((len(middle), 4, 4))
        out[middle] = _meet(c.take(middle), length[middle], x[middle], moves[middle], (none, none))
    return out


def is_close(c: Foundation, length: Array, x: Array) -> NDArray[np.bool_]:
    """(n,) true where the state is carried on from the nearer end, false where two parts meet."""
    out: NDArray[np.bool_] = c.fastest * np.minimum(x, length - x) <= STEP
    return out


def at_end(moves: Array, forces: Array, end: int) -> Array:
    """(n, 4, c) state at an end (0 or 1), from movements g1, f1, g2, f2 and the forces on them -R1, -B1, R2, B2."""
    own = slice(2 * end, 2 * end + 2)
    return np.concatenate([moves[:, own], forces[:, own] if end else -forces[:, own]], axis=1)


def carried(c: Foundation, length: Array, x: Array) -> Array:
    """(n, 4, 4): state at x per unit state at the nearer end, without inner loads; zero where two parts meet."""
    out = np.zeros((len(x), 4, 4))
    rows = np.flatnonzero(is_close(c, length, x))
    out[rows] = transfer(c.take(rows), (x - np.where(x > length / 2, length, 0.0))[rows])
    return out


def carried_loads(c: Foundation, length: Array, x: Array, row: IntArray, pieces: Pieces) -> Array:
    """(k, 4, 9): what pieces on the way from the nearer end bring to the state at x of their rows (k,), by the
    coefficients of their forces: int exp(A (x - xi)) b(xi) dxi."""
    here, late = x[row], (x > length / 2)[row]
    way = pieces.between(np.where(late, here, 0.0), np.where(late, length[row], here))
    out = np.zeros((len(row), 4, 9))
    part = np.flatnonzero((way.last > way.first) & is_close(c, length, x)[row])
    own, members, here = way.take(part), c.take(row[part]), here[part]
    growth = np.zeros_like(own.work)  # of f, R, B
    growth[:, 1], growth[:, 2:] = own.work[:, 3], -own.work[:, :2]
    moments = _moments(members, own, here, -1)
    moments[late[part]] *= -1
    out[part] = _summed(moments, rates(members), growth)
    return out


def meeting(
    c: Foundation, length: Array, x: Array, moves: Array, loads: tuple[IntArray, Pieces], fields: Array | None
) -> Array:
    """(n, 4, c) state at x where two parts of members meet whose ends move by g1, f1, g2, f2 (n, 4, c).

    loads: the row (k,) that each piece belongs to, and the pieces; fields as in `resultants`."""
    row, pieces = loads
    here = x[row]
    before = _on_parts(c, x, row, pieces.between(0.0, here), fields)
    behind = _on_parts(c, length - x, row, pieces.between(here, length[row]).shifted(here), fields)
    return _meet(c, length, x, moves, (before, behind))


def _on_parts(c: Foundation, length: Array, row: IntArray, pieces: Pieces, fields: Array | None) -> Array:
    """(n, 4, c) loads that pieces bring to the ends of the parts of members they lie on."""
    part = np.flatnonzero(pieces.last > pieces.first)
    rows = row[part]
    members = c.take(rows)
    stiff = end_stiffness(members, length[rows])
    return sum_rows(len(length), rows, on_ends(members, length[rows], pieces.take(part).works, stiff), fields)


def _meet(c: Foundation, length: Array, x: Array, moves: Array, loads: tuple[Array, Array]) -> Array:
    """State where the parts before and behind x meet; R and B from the longer part."""
    a, b = end_stiffness(c, x), end_stiffness(c, length - x)
    push = loads[0][:, 2:] + loads[1][:, :2] - a[:, 2:, :2] @ moves[:, :2] - b[:, :2, 2:] @ moves[:, 2:]
    here = inverse(a[:, 2:, 2:] + b[:, :2, :2]) @ push
    force_a = a[:, 2:, :2] @ moves[:, :2] + a[:, 2:, 2:] @ here - loads[0][:, 2:]
    force_b = loads[1][:, :2] - b[:, :2, :2] @ here - b[:, :2, 2:] @ moves[:, 2:]
    return np.concatenate([here, np.where((x > length / 2)[:, None, None], force_a, force_b)], axis=1)


def _moments(c: Foundation, pieces: Pieces | Works, place: Array, sign: int) -> Array:
    """(k, 3, 4) integrals over the pieces of 1, s, s^2 times the shares of the powers of A in exp(A d), where d is
    `sign` times the distance from `place` (k,).

    The powers do not depend on the place: Gauss points serve their shares only.  Pieces end within `STEP`."""
    places, weights = gauss_places(pieces.first, pieces.last, EIGHT)
    share = shares(c, sign * (places - place[:, None])) * weights[:, :, None]
    out: Array = powers(places - pieces.origin[:, None], 3) @ share
    return out


def _summed(moments: Array, rate: Array, first: Array) -> Array:
    """(k, 4, 9): the sum of moment x power of `rate` (k, 4, 4) x first (k, 4, 3), power by power of s."""
    k, powers = len(first), [first]
    for _ in range(3):
        powers.append(rate @ powers[-1])
    whole = moments @ np.stack(powers, axis=1).reshape(k, 4, 12)
    return whole.reshape(k, 3, 4, 3).transpose(0, 2, 1, 3).reshape(k, 4, 9)


def _by_rate(moments: Array, rate: Array, loads: Array) -> Array:
    """(k, 4, c): the sum of moment x power of `rate` (k, 4, 4) x loads (k, 3, 4, c), power by power of s."""
    k, _, _, c = loads.shape
    each = (moments.transpose(0, 2, 1) @ loads.reshape(k, 3, 4 * c)).reshape(k, 4, 4, c)
    out: Array = each[:, 3]
    for power in (2, 1, 0):
        out = rate @ out + each[:, power]
    return out


def on_ends(c: Foundation, length: Array, pieces: Works, stiff: Array) -> Array:
    """(k, 4, c) loads on g1, f1, g2, f2 that members of these lengths take from one piece each (Betti); stiff:
    (k, 4, 4) `end_stiffness` of the same members."""
    out = np.zeros((len(length), 4, pieces.loads.shape[3]))
    short = c.fastest * length <= 2 * STEP
    near = c.fastest * (pieces.last - pieces.first) <= NEAR
    there = pieces.last > pieces.first
    ways = ((short & there, _by_carrying), (near & there & ~short, _by_points), (~near, _by_parts))
    for wanted, way in ways:
        part = np.flatnonzero(wanted)
        if len(part):
            out[part] = way(c.take(part), length[part], pieces.take(part), stiff[part])
    return out


def _by_carrying(c: Foundation, length: Array, pieces: Works, stiff: Array) -> Array:
    """Integral of state^T load where the state is carried on from an end everywhere: from end 1 in short members, from
    the nearer one in others."""
    middle = np.where(c.fastest * length <= STEP, length, length / 2)
    moves = np.broadcast_to(np.eye(4), stiff.shape)
    out = np.zeros((len(length), 4, pieces.loads.shape[3]))
    for end, (low, high) in enumerate(((0 * middle, middle), (middle, length))):
        cut = pieces.between(low, high)
        part = np.flatnonzero(cut.last > cut.first)
        if len(part):
            own, members = cut.take(part), c.take(part)
            moments = _moments(members, own, length[part] * end, 1)
            state = at_end(moves[part], stiff[part], end).transpose(0, 2, 1)
            out[part] += state @ _by_rate(moments, rates(members).transpose(0, 2, 1), own.loads)
    return out


def _by_points(c: Foundation, length: Array, pieces: Works, stiff: Array) -> Array:
    """The same by Gauss points."""
    loads = pieces.loads
    places, weights = gauss_places(pieces.first, pieces.last)
    k, points = places.shape
    each = np.repeat(np.arange(k), points)
    x = places.ravel()
    state = inside(c.take(each), length[each], x, stiff[each]).reshape(k, points, 4, 4)
    load = at(loads[each], x - pieces.origin[each]).reshape(k, points, 4, loads.shape[3])
    out: Array = np.einsum("kg,kgsi,kgsc->kic", weights, state, load, optimize=True)
    return out


def _by_parts(c: Foundation, length: Array, pieces: Works, stiff: Array) -> Array:
    """The same from the states at both ends of the pieces: y = P y', so int m y = P [m y] - P^2 [m' y] + P^3 [m''
    y]."""
    loads, back = pieces.loads, inverse_rates(c)
    out = np.zeros((len(length), 4, loads.shape[3]))
    for sign, x in ((-1, pieces.first), (1, pieces.last)):
        once, s = back @ inside(c, length, x, stiff), x - pieces.origin
        for power, m in enumerate((at(loads, s), slope_at(loads, s), 2 * loads[:, 2])):
            out += sign * (-1) ** power * np.einsum("ksi,ksc->kic", once, m)
            once = back @ once
    return out
