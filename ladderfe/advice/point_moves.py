"""How far each point lies from where it was built, the frame as measured laid on the frame as built."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from ladderfe.advice.adjustment import Adjusted
from ladderfe.advice.observations import Array, Index, Observations
from ladderfe.condition.alignment_types import RailPoint

__all__ = ["PointMove", "point_moves"]

LEAST: Final = 4


@dataclass(frozen=True, slots=True)
class PointMove:
    """A point, its movement rearward, to the right and up (mm; not a number where no height was read), and the largest
    of their standard deviations."""

    point: RailPoint
    move: tuple[float, float, float]
    sigma: float


def point_moves(a: Adjusted, o: Observations) -> tuple[PointMove, ...]:
    """Of all points that the readings fix; none where these are fewer than four or on one rail only.

    The rotation and shift are those that bring all these points nearest to where they were built, by the singular value
    decomposition of their products (Kabsch; value from memory).
    """
    which = np.flatnonzero(a.fixed)
    if len(which) < LEAST or len({o.points[k].side for k in which}) < 2:
        return ()
    there, built = (p[which] - p[which].mean(axis=0) for p in (a.places, o.built))
    u, _, vt = np.linalg.svd(there.T @ built)
    u[:, -1] *= np.sign(np.linalg.det(u @ vt))
    moves = there @ u @ vt - built
    sigma = _sigmas(a, built, which)
    read = np.isin(which, o.first[o.heights])
    moves[~read, 2] = sigma[~read, 2] = np.nan
    return tuple(
        PointMove(o.points[k], (float(m[0]), float(m[1]), float(m[2])), float(np.nanmax(s)))
        for k, m, s in zip(which, moves, sigma, strict=True)
    )


def _sigmas(a: Adjusted, built: Array, which: Index) -> Array:
    """(k, 3) standard deviations of the movements: what rigid movements of the whole would change is taken out."""
    rows = (3 * which[:, None] + np.arange(3)).ravel().astype(int)
    whole = np.zeros((len(rows), 6))
    for j in range(3):
        whole[j::3, j] = 1.0
        whole[:, 3 + j] = np.cross(np.eye(3)[j], built).ravel()
    basis = np.linalg.qr(whole)[0]
    rest = np.eye(len(rows)) - basis @ basis.T
    out: Array = np.sqrt(np.clip(np.diag(rest @ a.covariance[np.ix_(rows, rows)] @ rest), 0, None)).reshape(-1, 3)
    return out
