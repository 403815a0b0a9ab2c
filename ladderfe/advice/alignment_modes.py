"""What is wrong with a frame in the trade's words: sag, bow, diamond, twist, sides short, rails apart.

Each is a movement of the rails with one size, and all are found at once by least squares from the readings, together
with the floor's level and two tilts and the place and turn of the centre line, which are no damage.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from ladderfe.advice.observations import Array, Observations
from ladderfe.chassis import Chassis

__all__ = ["MODES", "Mode", "Modes", "alignment_modes", "moved"]

#: Name -> what it is; sizes in mm, of twist the height that a point a metre outboard gains from axle to axle.
MODES: Final = ("sag", "twist", "bow", "diamond", "left side", "right side", "spread")
OPEN: Final = 1e-6
#: A mode that the readings fix no nearer than this, mm, is told as not fixed.
VAGUE: Final = 20.0
ARM: Final = 1000.0
STEPS: Final = 60


@dataclass(frozen=True, slots=True)
class Mode:
    """A mode's size and its standard deviation, mm (of twist: degrees); not a number where readings leave it open."""

    name: str
    size: float
    sigma: float

    @property
    def known(self) -> bool:
        """Whether the readings fix it."""
        return bool(np.isfinite(self.size))

    @property
    def seen(self) -> bool:
        """Whether it stands out of the error of measuring: beyond two standard deviations."""
        return self.known and abs(self.size) > 2 * self.sigma


@dataclass(frozen=True, slots=True, eq=False)
class Modes:
    """All modes; `left` (m,) is what they do not explain of each reading, mm; `scatter` is the root mean square of that
    in standard deviations, 1 for a frame that has nothing but these modes, not a number without spare readings."""

    modes: tuple[Mode, ...]
    left: Array
    scatter: float

    def __getitem__(self, name: str) -> Mode:
        return next(m for m in self.modes if m.name == name)


def moved(chassis: Chassis, built: Array, outward: Array) -> Array:
    """(modes, n, 3) movement of points at `built` (n, 3) for 1 mm of each mode, of twist 1 mrad from axle to axle.

    sag: 1 at the middle of the frame, 0 at its ends, down.  twist: turns about x, growing evenly from 0 at the front
    axle to 1 at the rear axle, right up.  bow: as sag, to the right.  diamond: the right rail rearward by 1/2, the left
    forward by 1/2.  left side, right side: the rail longer by 1 from end to end.  spread: rails 1 further apart.
    """
    start = min(r.start for r in chassis.rails)
    end = max(r.end for r in chassis.rails)
    front, rear = sorted(a.station for a in chassis.axles)
    x, y = built[:, 0], built[:, 1]
    along = (x - start) / (end - start)
    arch = 4 * along * (1 - along)
    out = np.zeros((len(MODES), len(built), 3))
    out[0, :, 2] = -arch
    out[1, :, 2] = y / ARM * (x - front) / (rear - front)
    out[2, :, 1] = arch
    out[3, :, 0] = outward / 2
    out[4, :, 0] = np.where(outward < 0, along, 0.0)
    out[5, :, 0] = np.where(outward > 0, along, 0.0)
    out[6, :, 1] = outward / 2
    return out


def alignment_modes(chassis: Chassis, o: Observations) -> Modes:
    """Fit the modes; Gauss-Newton.  Unknowns beside them: level and tilts of the floor, shift and turn of the centre
    line.  Standard deviations grow with the scatter where that is more than the error of measuring explains."""
    shapes, k = moved(chassis, o.built, o.outward), len(MODES)
    centre = o.built.mean(axis=0)
    u = np.zeros(k + 5)
    u[k] = np.mean(o.value[o.heights]) if len(o.heights) else 0.0
    for _ in range(STEPS):
        value, slope = _model(o, shapes, centre, u)
        step = np.linalg.lstsq(slope / o.sigma[:, None], (o.value - value) / o.sigma, rcond=OPEN)[0]
        u = u + step
        if np.max(np.abs(step)) < 1e-11 * max(1.0, float(np.max(np.abs(u)))):
            break
    value, slope = _model(o, shapes, centre, u)
    return _told(o, u, value, slope / o.sigma[:, None])


def _model(o: Observations, shapes: Array, centre: Array, u: Array) -> tuple[Array, Array]:
    """Values of all readings at the unknowns u, and their slope."""
    k = len(shapes)
    places = o.built + np.einsum("m,mni->ni", u[:k], shapes)
    value, slope = np.zeros(len(o.value)), np.zeros((len(o.value), len(u)))
    length, way = o.spans(places)
    value[o.distances] = length
    slope[o.distances, :k] = o.spans_by_points(way) @ shapes.reshape(k, -1).T
    _heights(o, places - centre, shapes, u, value, slope)
    p, out, sin, cos = o.first[o.offsets], o.outward[o.first[o.offsets]], np.sin(u[k + 4] / ARM), np.cos(u[k + 4] / ARM)
    x, y = places[p, 0], places[p, 1]
    value[o.offsets] = out * (y * cos - x * sin - u[k + 3])
    slope[o.offsets, :k] = (out * (shapes[:, p, 1] * cos - shapes[:, p, 0] * sin)).T
    slope[o.offsets, k + 3], slope[o.offsets, k + 4] = -out, out * (-y * sin - x * cos) / ARM
    return value, slope


def _heights(o: Observations, d: Array, shapes: Array, u: Array, value: Array, slope: Array) -> None:
    """Fill in the rows of heights: level plus the place on the unit normal of the floor.  d (n, 3) from the centre.

    The slope leaves out that on a tilted floor movements in plan change heights a little: heights alone must not count
    as fixing a diamond.  The values have it, so that steps still end at them.
    """
    k, p = len(shapes), o.first[o.heights]
    normal = np.array([u[k + 1] / ARM, u[k + 2] / ARM, 0.0])
    normal[2] = np.sqrt(max(1.0 - normal[0] ** 2 - normal[1] ** 2, 0.01))
    value[o.heights] = u[k] + d[p] @ normal
    slope[o.heights, :k] = (shapes[:, p, 2] * normal[2]).T
    slope[o.heights, k] = 1.0
    for j in (0, 1):
        slope[o.heights, k + 1 + j] = (d[p, j] - normal[j] / normal[2] * d[p, 2]) / ARM


def _told(o: Observations, u: Array, value: Array, slope: Array) -> Modes:
    _, size, right = np.linalg.svd(slope, full_matrices=True)
    rank = int(np.sum(size > OPEN * size[0]))
    scaled = right[:rank].T / size[:rank]
    spare = o.count - rank
    left = o.value - value
    scatter = float(np.sqrt(np.sum((left / o.sigma) ** 2) / spare)) if spare > 0 else float("nan")
    sigma = np.sqrt(np.sum(scaled**2, axis=1))
    grown = max(1.0, scatter) if spare > 0 else 1.0
    free = np.sqrt(np.sum(right[rank:] ** 2, axis=0))
    units: Mapping[str, float] = {"twist": float(np.degrees(1 / ARM))}
    found = []
    for j, name in enumerate(MODES):
        unit = units.get(name, 1.0)
        known = free[j] < 1e-4 and sigma[j] < VAGUE
        found.append(
            Mode(name, float(u[j]) * unit, float(sigma[j]) * unit * grown) if known else Mode(name, np.nan, np.nan)
        )
    return Modes(tuple(found), left, scatter)
