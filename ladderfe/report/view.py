"""From the vehicle to the sheet: an axonometric view, and the edges and triangles that are drawn in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.report.scene import Array

__all__ = ["View", "edges", "sides", "spread", "triangles"]

AZIMUTH, ELEVATION = np.radians(24.0), np.radians(33.0)  # the eye is ahead, to the left and above
STEP = 6.0  # mm: sides of two walls that lie no further apart are one
CREASE = np.cos(np.radians(30.0))  # walls that meet at more than this show an edge


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class View:
    """A parallel projection: a turn (3, 3), a scale in pixels per mm, a shift (2,) in pixels."""

    turn: Array
    scale: float
    shift: Array

    @classmethod
    def fitted(cls, points: Array, left: float, top: float, right: float, bottom: float) -> View:
        """The view that shows points (k, 3) as large as a box of the sheet allows, in its middle."""
        sa, ca, se, ce = np.sin(AZIMUTH), np.cos(AZIMUTH), np.sin(ELEVATION), np.cos(ELEVATION)
        rightward, upward = np.array([ca, -sa, 0.0]), np.array([sa * se, ca * se, ce])
        turn = np.stack([rightward, -upward, np.cross(rightward, upward)])
        flat = points @ turn[:2].T
        low, high = flat.min(0), flat.max(0)
        room = np.array([right - left, bottom - top])
        scale = float((room / np.maximum(high - low, 1e-9)).min())
        return cls(turn=turn, scale=scale, shift=np.array([left, top]) + room / 2 - scale * (low + high) / 2)

    def project(self, points: Array) -> Array:
        """Pixels to the right, pixels down, and nearness (in pixels, greater is nearer) of points (..., 3) in mm."""
        placed: Array = self.scale * (points @ self.turn.T)
        placed[..., :2] += self.shift
        return placed

    def direct(self, vectors: Array) -> Array:
        """Pixels to the right and down, per mm, of directions (..., 3)."""
        flat: Array = vectors @ self.turn[:2].T
        return flat


def edges(quads: Array, view: View | None = None) -> NDArray[np.int64]:
    """Which sides of walls (n, 4, 3) are edges: where a wall ends, or meets others at an angle of more than 30 degrees.

    Returns (k, 2): the wall, and the corner at which the side begins (it ends at the next one around).  Each edge once.
    Corners within 0.05 mm of each other are one; where a wall goes on with a step of a few mm, as a taper does, there
    is no edge.  With a view the outline of round members in that view comes in as well.
    """
    _, ids = np.unique((quads.reshape(-1, 3) / 0.05).round().astype(np.int64), axis=0, return_inverse=True)
    corner = ids.reshape(-1, 4)
    ends = np.sort(np.stack([corner, np.roll(corner, -1, axis=1)], axis=-1).reshape(-1, 2), axis=1)
    normal = np.cross(quads[:, 2] - quads[:, 0], quads[:, 3] - quads[:, 1])
    normal = np.repeat(normal / np.maximum(np.linalg.norm(normal, axis=1), 1e-30)[:, None], 4, axis=0)
    _, first, side, count = np.unique(ends, axis=0, return_index=True, return_inverse=True, return_counts=True)
    side = side.ravel()
    least = np.ones(len(first))
    np.minimum.at(least, side, np.abs(np.einsum("sk,sk->s", normal[first[side]], normal)))
    real = ends[first, 0] != ends[first, 1]
    folded, lone, smooth = real & (count > 1) & (least < CREASE), first[real & (count == 1)], real & (count == 2)
    shown = [first[folded], lone[_stays(quads, lone, normal[lone])]]
    if view is not None:
        second = np.argsort(side, kind="stable")[np.cumsum(count) - 1]
        shown.append(first[smooth][_turns_away(view.project(quads)[..., :2], first[smooth], second[smooth])])
    chosen = np.unique(np.concatenate(shown))
    return np.stack([chosen // 4, chosen % 4], axis=1)


def _turns_away(flat: Array, first: NDArray[np.int64], second: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which sides (4 wall + corner) have both their walls on the same side of them as drawn, corners (n, 4, 2)."""
    start, end = flat[first // 4, first % 4], flat[first // 4, (first + 1) % 4]
    along = end - start
    off = [flat.mean(axis=1)[side // 4] - start for side in (first, second)]
    one, other = (along[:, 0] * o[:, 1] - along[:, 1] * o[:, 0] for o in off)
    turned: NDArray[np.bool_] = one * other > 0
    return turned


def _stays(quads: Array, lone: NDArray[np.int64], normal: Array) -> NDArray[np.bool_]:
    """Which of the sides that belong to one wall only (4 wall + corner) do not go on, one step aside, in another wall.

    A wall goes on in one that lies beyond the side, not in one that ends near it on its own side, as short members of a
    taper do at a rail's end.  Of two such sides that meet at an angle the first stays.
    """
    from scipy.spatial import KDTree

    stays = np.ones(len(lone), dtype=bool)
    centre = quads[lone // 4].mean(axis=1)
    middle = sides(quads, np.stack([lone // 4, lone % 4], axis=1)).mean(axis=1)
    out = middle - centre
    there = sides(quads, np.stack([lone // 4, lone % 4], axis=1)).reshape(-1, 6)
    back = np.concatenate([there[:, 3:], there[:, :3]], axis=1)
    for one, close in enumerate(KDTree(np.concatenate([there, back])).query_ball_point(there, STEP * np.sqrt(2))):
        for other in {k % len(lone) for k in close} - {one}:
            flat = abs(float(normal[one] @ normal[other])) > CREASE
            if flat and float(out[one] @ (centre[other] - middle[one])) <= 0:
                continue
            stays[one] &= not flat and (one < other or not stays[other])
    return stays


def sides(corners: Array, which: NDArray[np.int64]) -> Array:
    """Ends (k, 2, d) of the sides (k, 2) that `edges` chose, of walls with corners (n, 4, d)."""
    wall, corner = which.T
    ends: Array = np.stack([corners[wall, corner], corners[wall, (corner + 1) % 4]], axis=1)
    return ends


def triangles(quads: Array, values: Array) -> tuple[Array, Array]:
    """Walls (n, 4, 3) and their values (n, 4) as triangles around each wall's middle: (4n, 3, 3) and (4n, 3)."""

    def split(corners: Array) -> Array:
        middle = np.broadcast_to(corners.mean(axis=1, keepdims=True), corners.shape)
        parts = np.stack([corners, np.roll(corners, -1, axis=1), middle], axis=2)
        return parts.reshape(-1, *parts.shape[2:])

    return split(quads), split(values)


def spread(heads: Array, shafts: Array, spacing: float) -> tuple[Array, Array]:
    """The same comb of arrows (k, d) and (k, d) at even spacing along its line."""
    along = np.concatenate([[0.0], np.linalg.norm(np.diff(heads, axis=0), axis=1).cumsum()])
    at = np.linspace(0, along[-1], max(2, round(float(along[-1]) / spacing) + 1))
    both = np.concatenate([heads, shafts], axis=1)
    even = np.stack([np.interp(at, along, column) for column in both.T], axis=1)
    return even[:, : heads.shape[1]], even[:, heads.shape[1] :]
