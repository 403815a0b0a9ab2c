"""Where the points lie by all readings at once, and which reading does not fit the others.

A free network: x, y, z of all points are found by least squares from the readings alone, without any assumption on what
the frame was; only the start is as built.  What readings leave open (where the whole lies in plan, and more where there
are too few) is chosen as near to the start as can be, which changes no residual (free adjustment by the pseudoinverse,
as in textbooks of surveying; from memory of the authors).  Where no height was read a point keeps the height as built,
on the floor's tilt, to within 5 mm.

The test of single readings is Baarda's (W. Baarda, A testing procedure for use in geodetic networks, Delft 1968; value
from memory, source text not seen): w = v / (sigma sqrt(r)) with the residual v and the redundancy number r, against
3.29, which chance exceeds once in 1000 readings.  - v / r is how wrong the reading would be if it alone were.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.observations import Array, Index, Observations, fitted_plane

__all__ = ["ALIKE", "CONTROLLED", "CRITICAL", "Adjusted", "Misfit", "adjusted", "misfits"]

Bools = NDArray[np.bool_]
CRITICAL: Final = 3.29
#: Below this redundancy number no other reading tells of an error, whatever its size.
CONTROLLED: Final = 0.02
#: Normalised residuals that go together like this tell of the same error: which reading it is cannot be told.
ALIKE: Final = 0.98
#: Heights taken as built, where none was read: standard deviation, mm (judgement).
UNREAD_HEIGHT: Final = 5.0
#: Singular values below this share of the greatest leave a movement open: readings would fix it no nearer than a metre.
OPEN: Final = 1e-3
#: A turn of the centre line counts by its movement at this distance, mm.
ARM: Final = 1000.0
#: Points that move less than this in a unit vector of what is open stand still.
STILL: Final = 1e-3
STEPS: Final = 60


@dataclass(frozen=True, slots=True, eq=False)
class Adjusted:
    """The adjusted network.

    places : (n, 3) where the points lie, in a level frame, mm
    covariance : (3 n, 3 n) of these, mm2
    fixed : (n,) whether readings fix the point in plan
    residual : (m,) adjusted less read, mm; redundancy : (m,) from 0 to 1; normalised : (m,) w as above, 0 where nothing
    controls the reading
    together : (m, m) correlation of the residuals
    spare : readings more than needed
    """

    places: Array
    covariance: Array
    fixed: Bools
    residual: Array
    redundancy: Array
    normalised: Array
    together: Array
    spare: int


@dataclass(frozen=True, slots=True)
class Misfit:
    """A reading that the others do not bear out: its number among the readings, by how many mm it is off if it alone
    is, w, and numbers of those that might be wrong in its place."""

    reading: int
    off: float
    normalised: float
    instead: tuple[int, ...]


def adjusted(o: Observations) -> Adjusted:
    """Adjust the network; Gauss-Newton, with as-built positions as start."""
    n, prior = len(o.points), _prior(o)
    u = np.concatenate([o.built.copy().reshape(-1), np.zeros(2)])
    u[2 : 3 * n : 3] = prior[0]
    sigma = np.concatenate([o.sigma, prior[2]])
    for _ in range(STEPS):
        value, slope = _model(o, u, prior[1])
        miss = np.concatenate([o.value, prior[0][prior[1]]]) - value
        step = np.linalg.lstsq(slope / sigma[:, None], miss / sigma, rcond=OPEN)[0]
        u = u + step
        if np.max(np.abs(step)) < 1e-11 * max(1.0, float(np.max(np.abs(u)))):
            break
    value, slope = _model(o, u, prior[1])
    return _told(o, u, value, slope / sigma[:, None])


def _prior(o: Observations) -> tuple[Array, Index, Array]:
    """(n,) heights to start from; numbers of the points where no height was read; standard deviations for these."""
    known = o.first[o.heights]
    start = _on_tilt(o)
    start[known] = o.value[o.heights]
    unread = np.setdiff1d(np.arange(len(o.points)), known)
    return start, unread, np.full(len(unread), UNREAD_HEIGHT)


def _on_tilt(o: Observations) -> Array:
    """(n,) heights of all points as built, on the floor's level, and on its tilt where enough was read to fit one."""
    at, read = o.built[o.first[o.heights]], o.value[o.heights]
    out: Array = o.built[:, 2].copy()
    if fitted_plane(at, read) is not None:
        q = np.linalg.lstsq(np.column_stack([np.ones(len(at)), at[:, :2]]), read - at[:, 2], rcond=None)[0]
        out += q[0] + o.built[:, :2] @ q[1:]
    elif len(read):
        out += np.mean(read - at[:, 2])
    return out


def _model(o: Observations, u: Array, assumed: Index) -> tuple[Array, Array]:
    """Values of all readings and assumed heights at the unknowns u, and their slope."""
    n = len(o.points)
    places, (shift, turn) = u[: 3 * n].reshape(n, 3), u[3 * n :]
    value, slope = np.zeros(len(o.value) + len(assumed)), np.zeros((len(o.value) + len(assumed), len(u)))
    length, way = o.spans(places)
    value[o.distances], slope[o.distances, : 3 * n] = length, o.spans_by_points(way)
    upright = np.concatenate([o.heights, len(o.value) + np.arange(len(assumed))])
    at = np.concatenate([o.first[o.heights], assumed])
    value[upright], slope[upright, 3 * at + 2] = places[at, 2], 1.0
    p = o.first[o.offsets]
    out, x, y = o.outward[p], places[p, 0], places[p, 1]
    sin, cos = np.sin(turn / ARM), np.cos(turn / ARM)
    value[o.offsets] = out * (y * cos - x * sin - shift)
    slope[o.offsets, 3 * p], slope[o.offsets, 3 * p + 1] = -out * sin, out * cos
    slope[o.offsets, 3 * n], slope[o.offsets, 3 * n + 1] = -out, out * (-y * sin - x * cos) / ARM
    return value, slope


def _told(o: Observations, u: Array, value: Array, slope: Array) -> Adjusted:
    """What the adjusted network tells; slope in units of the standard deviations."""
    n, m = len(o.points), len(o.value)
    left, size, right = np.linalg.svd(slope, full_matrices=True)
    rank = int(np.sum(size > OPEN * size[0]))
    hat = left[:, :rank] @ left[:, :rank].T
    residual = value[:m] - o.value
    cofactor = np.eye(m) - hat[:m, :m]
    redundancy = np.clip(np.diag(cofactor), 0.0, 1.0)
    sure = np.where(redundancy > CONTROLLED, np.sqrt(redundancy), np.inf)
    scaled = right[:rank].T / size[:rank]
    return Adjusted(
        u[: 3 * n].reshape(n, 3),
        (scaled @ scaled.T)[: 3 * n, : 3 * n],
        _fixed(u[: 3 * n].reshape(n, 3), right[rank:, : 3 * n]),
        residual,
        redundancy,
        residual / o.sigma / sure,
        cofactor / np.outer(sure, sure),
        o.count + len(slope) - m - rank,
    )


def _fixed(places: Array, open_moves: Array) -> Bools:
    """(n,) whether a point moves in what the readings leave open only as the whole does in plan.

    The point that moves most against the others is taken out first, until those that are left move as one.
    """
    n = len(places)
    d = places - places.mean(axis=0)
    whole = np.zeros((n, 3, 3))
    whole[:, 0, 0] = whole[:, 1, 1] = 1.0
    whole[:, 0, 2], whole[:, 1, 2] = -d[:, 1] / ARM, d[:, 0] / ARM
    moves = open_moves.T.reshape(n, 3, -1)
    held = np.ones(n, dtype=bool)
    while held.any():
        as_one = np.linalg.lstsq(whole[held].reshape(-1, 3), moves[held].reshape(-1, moves.shape[2]), rcond=None)[0]
        rest = np.sqrt(np.sum((moves - whole @ as_one) ** 2, axis=(1, 2))) * held
        if rest.max() < STILL:
            break
        held[np.argmax(rest)] = False
    return held


def misfits(a: Adjusted, o: Observations) -> tuple[Misfit, ...]:
    """The reading with the largest |w| beyond the critical value, and those that cannot be told from it; none where all
    fit."""
    if not len(a.normalised) or (worst := int(np.argmax(np.abs(a.normalised)))) < 0:
        return ()
    if abs(a.normalised[worst]) <= CRITICAL:
        return ()
    off = -a.residual[worst] / a.redundancy[worst]
    alike = np.abs(a.together[worst]) > ALIKE
    instead = tuple(int(k) for k in np.flatnonzero(alike & (np.abs(a.normalised) > 0)) if k != worst)
    return (Misfit(worst, float(off), float(a.normalised[worst]), instead),)
