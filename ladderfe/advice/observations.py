"""Distances, heights and offsets as functions of where the points lie, and how these functions change with the points.

Arrays: m readings, n points.  x rearward, y right, z up, mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.condition.alignment_types import AlignmentReading, RailPoint
from ladderfe.condition.rail_points import place_of

__all__ = ["Array", "Index", "Observations", "fitted_plane", "observed"]

Array = NDArray[np.float64]
Index = NDArray[np.intp]
#: Standard deviation of a reading that is left out, mm.
LEFT_OUT: Final = 1e7


@dataclass(frozen=True, slots=True, eq=False)
class Observations:
    """Readings as arrays.

    points : the n points; built : (n, 3) where they lay as built
    value, sigma : (m,) readings and their standard deviations, mm
    distances, heights, offsets : which of the m readings are of each kind
    first, second : (m,) numbers of their points, `second` 0 where there is none
    """

    points: tuple[RailPoint, ...]
    built: Array
    value: Array
    sigma: Array
    distances: Index
    heights: Index
    offsets: Index
    first: Index
    second: Index

    def without(self, reading: int) -> Observations:
        """The same with a reading left out: it keeps its number and weighs nothing."""
        sigma = self.sigma.copy()
        sigma[reading] = LEFT_OUT
        return replace(self, sigma=sigma)

    @property
    def count(self) -> int:
        """Readings that count."""
        return int(np.sum(self.sigma < LEFT_OUT))

    @property
    def outward(self) -> Array:
        """(n,) -1 for points of the left rail, +1 for the right."""
        return np.array([-1.0 if p.side == "left" else 1.0 for p in self.points])

    def spans(self, places: Array) -> tuple[Array, Array]:
        """Lengths of the distances at places (n, 3), and their directions (distances, 3) from first to second."""
        d = places[self.second[self.distances]] - places[self.first[self.distances]]
        length = np.sqrt(np.sum(d * d, axis=1))
        return length, d / length[:, None]

    def spans_by_points(self, directions: Array) -> Array:
        """(distances, 3 n) how distances change with x, y, z of each point."""
        out = np.zeros((len(self.distances), len(self.points), 3))
        rows = np.arange(len(self.distances))
        out[rows, self.second[self.distances]] += directions
        out[rows, self.first[self.distances]] -= directions
        return out.reshape(len(rows), 3 * len(self.points))


def observed(
    chassis: Chassis, readings: Sequence[AlignmentReading], tape: float, level: float, built: Array | None = None
) -> Observations:
    """Readings as arrays; tape and level: standard deviations of distances and offsets, and of heights, mm."""
    points = tuple(sorted({p for r in readings for p in (r.first, r.second) if p is not None}))
    number = {p: k for k, p in enumerate(points)}
    kinds = np.array([r.kind for r in readings])
    which = {kind: np.flatnonzero(kinds == kind) for kind in ("distance", "height", "offset")}
    return Observations(
        points,
        np.array([place_of(chassis, p) for p in points]) if built is None else built,
        np.array([r.value for r in readings]),
        np.where(kinds == "height", level, tape),
        which["distance"],
        which["height"],
        which["offset"],
        np.array([number[r.first] for r in readings], dtype=np.intp),
        np.array([number[r.second] if r.second else 0 for r in readings], dtype=np.intp),
    )


def fitted_plane(places: Array, heights: Array) -> Array | None:
    """(k,) heights over a level datum that points at places (k, 3) would have, on the floor's tilt that fits best.

    The floor's level and two tilts by least squares with a unit normal, so that a tilt of any size changes nothing;
    None where fewer than four points, or points on one line, leave nothing to compare.
    """
    if len(places) < 4:
        return None
    d = places - places.mean(axis=0)
    plan = np.column_stack([np.ones(len(d)), d[:, :2]])
    if np.linalg.matrix_rank(plan, tol=1.0) < 3:
        return None
    q = np.linalg.lstsq(plan, heights - d[:, 2], rcond=None)[0]
    for _ in range(50):
        up = np.sqrt(max(1 - q[1] ** 2 - q[2] ** 2, 0.01))
        slope = plan - np.column_stack([np.zeros(len(d)), q[1] / up * d[:, 2], q[2] / up * d[:, 2]])
        step = np.linalg.lstsq(slope, heights - q[0] - d[:, :2] @ q[1:] - up * d[:, 2], rcond=None)[0]
        q = q + step
        if np.max(np.abs(step * [1.0, 1e3, 1e3])) < 1e-11:
            break
    up = np.sqrt(1 - q[1] ** 2 - q[2] ** 2)
    out: Array = q[0] + d[:, :2] @ q[1:] + up * d[:, 2]
    return out
