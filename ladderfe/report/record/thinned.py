"""Which of the sections looked at a picture needs: those between which everything runs straight are left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.report.frame_walls import WallStrips, strips_between

__all__ = ["NEAR", "kept_rows", "thinned_strips"]

Array = NDArray[np.float64]
#: A section is left out where the straight line between its neighbours comes this near to its utilisation, as a part of
#: the limit, or of itself where it is over the limit.
NEAR = 0.01


def thinned_strips(findings: Findings) -> WallStrips:
    """The walls between the sections that are kept; rows are those of the findings."""
    kept = kept_rows(findings.rows.member, findings.rows.x, _utilisation(findings))
    strips = strips_between(findings.solution.mesh, findings.rows.member[kept], findings.rows.x[kept])
    return replace(strips, rows=kept[strips.rows])


def kept_rows(member: NDArray[np.int64], x: Array, values: Array) -> NDArray[np.int64]:
    """Numbers of the rows (r,) to keep, in order: the ends of every member, and what a straight line misses.

    values (r, k); rows of a member follow each other, x (r,) rising.  Where a value is over 1 the line must be over
    1 as well.
    """
    kept: list[int] = []
    starts = np.flatnonzero(np.r_[True, member[1:] != member[:-1]])
    for start, stop in zip(starts.tolist(), [*starts[1:].tolist(), len(member)], strict=True):
        kept += _between(x, values, start, stop - 1)
    return np.array(kept, dtype=np.int64)


def _between(x: Array, values: Array, first: int, last: int) -> list[int]:
    """Rows to keep from first to last, both included (Douglas and Peucker's rule)."""
    if last - first < 2:
        return [first, last] if last > first else [first]
    reach = x[last] - x[first]
    share = (x[first + 1 : last] - x[first]) / reach if reach > 0 else np.zeros(last - first - 1)
    line = values[first] + share[:, None] * (values[last] - values[first])
    own = values[first + 1 : last]
    off = np.abs(line - own) / np.maximum(own, 1.0)
    off = np.where((line > 1) != (own > 1), np.inf, off).max(axis=1)
    worst = int(off.argmax())
    if off[worst] <= NEAR:
        return [first, last]
    middle = first + 1 + worst
    return [*_between(x, values, first, middle)[:-1], *_between(x, values, middle, last)]


def _utilisation(findings: Findings) -> Array:
    """(r, k) all utilisations of a section: of its points and of the mean shear of its walls, in all cases."""
    st, c = findings.stresses, findings.chassis.criteria
    points = np.maximum(np.abs(st.normal) / c.bending, st.von_mises / c.von_mises)
    both = np.concatenate([points, np.abs(st.mean) / c.shear], axis=1)[:, :, 1:]
    flat: Array = np.nan_to_num(both).reshape(len(both), -1)
    return flat
