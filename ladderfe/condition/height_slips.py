"""Heights that are no heights: a comma lost, metres among millimetres; found before anything is fitted to them.

The floor's level and tilt are the plane that leaves most heights near what was built: of all planes through three of
them the one whose h-th smallest miss is least, h = n // 2 + 2 (least quantile of squares: P. J. Rousseeuw, Least Median
of Squares Regression, J. Am. Stat. Assoc. 79, 1984; value from memory, source text not seen), so that a few heights of
any size move nothing.  Fewer than five, or heights on one line, are held against the median of their differences from
what was built.
"""

from __future__ import annotations

from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["GROSS", "height_slips", "meant_by"]

Array = NDArray[np.float64]
#: A height this far from where the others put it is a slip, mm; where they are too few to tell the floor's tilt, the
#: second.  Judgement: no frame that is measured for straightness is bent so far.
GROSS: Final = 300.0
GROSS_ON_MEDIAN: Final = 1000.0
#: So is one further off than the first that another place of its comma brings within the second, mm.
OFF, NEAR = 50.0, 20.0
FACTORS: Final = (10.0, 0.1, 100.0, 0.01, 1000.0, 0.001)
#: Heights through which planes are laid at most, and the least triangle in plan, mm2.
THROUGH: Final = 40
TRIANGLE: Final = 1e4


def height_slips(built: Array, value: Array) -> list[tuple[int, float]]:
    """Numbers of heights that no damage explains, and the heights that the others make of these points, mm.

    built: (n, 3) where the points lay as built; value: (n,) heights as read, over any level datum.
    """
    n = len(value)
    if n < 3:
        return []
    over = value - built[:, 2]
    plane = _plane(built[:, :2], over) if n > 4 else None
    level = np.full(n, np.median(over)) if plane is None else plane
    fits = level + built[:, 2]
    off = np.abs(value - fits)
    gross = off > (GROSS_ON_MEDIAN if plane is None else GROSS)
    commas = [plane is not None and off[k] > OFF and meant_by(value[k], fits[k]) is not None for k in range(n)]
    return [(int(k), float(fits[k])) for k in np.flatnonzero(gross | np.array(commas))]


def meant_by(value: float, fits: float) -> float | None:
    """The reading with its comma elsewhere, or taken for metres, where that fits."""
    return next((float(f"{value * f:.9g}") for f in FACTORS if abs(value * f - fits) < NEAR), None)


def _plane(places: Array, over: Array) -> Array | None:
    """(n,) what the floor's level and tilt make of each point; None where no three points span a triangle."""
    n = len(over)
    plan = np.column_stack([np.ones(n), (places - places.mean(axis=0)) / 1000.0])
    few = np.unique(np.linspace(0, n - 1, min(n, THROUGH)).round().astype(int))
    three = np.array(list(combinations(few, 3)))
    wide = np.abs(np.linalg.det(plan[three])) * 1e6 > 2 * TRIANGLE
    if not wide.any():
        return None
    planes = np.linalg.solve(plan[three[wide]], over[three[wide]][:, :, None])[:, :, 0]
    miss = np.abs(planes @ plan.T - over)
    nearest = np.sort(miss, axis=1)[:, n // 2 + 1]
    kept = miss[np.argmin(nearest)] <= max(float(nearest.min()), OFF)
    q = np.linalg.lstsq(plan[kept], over[kept], rcond=None)[0]
    out: Array = plan @ q
    return out
