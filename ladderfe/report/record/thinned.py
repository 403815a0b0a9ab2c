"""Which of the sections looked at a picture needs: those between which everything runs straight are left out, across
members where these follow each other with like walls."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.report.frame_walls import SectionStrips, WallStrips, section_strips

__all__ = ["NEAR", "PLACE", "kept_rows", "thinned_strips"]

Array = NDArray[np.float64]
#: A section is left out where the straight line between its neighbours comes this near to its utilisation, as a part of
#: the limit, or of itself where it is over the limit ...
NEAR = 0.01
#: ... and this near to its corners, mm.
PLACE = 1.0
#: Members whose ends are farther apart than this, mm, or at different sections do not follow each other.
JOINED = 8.0


def thinned_strips(findings: Findings) -> WallStrips:
    """The walls between the sections that are kept; rows are those of the findings, corners as in `wall_strips`."""
    mesh, rows = findings.solution.mesh, findings.rows
    shapes = [section_strips(mesh.least_sections[int(mesh.section_of[m])]) for m in rows.member]
    rings = [_ring(findings, k, shapes[k]) for k in range(len(shapes))]
    run = _runs(findings, shapes, rings)
    kept = kept_rows(run, rows.along, _utilisation(findings), _padded(rings))
    pairs = [(a, b) for a, b in zip(kept[:-1].tolist(), kept[1:].tolist(), strict=True)
             if run[a] == run[b] and abs(rows.along[b] - rows.along[a]) > 1e-9]  # fmt: skip
    ends = [(a, a, b, b) for a, b in pairs]
    return WallStrips(
        corners=np.concatenate([_four(rings[a], rings[b]) for a, b in pairs]),
        rows=np.concatenate([np.broadcast_to(e, (len(shapes[e[0]].walls), 4)) for e in ends]),
        points=np.concatenate([_four(shapes[a].points, shapes[b].points) for a, b in pairs]),
        mean=np.concatenate([shapes[a].mean for a, _ in pairs]),
        member=np.concatenate([np.full(len(shapes[a].walls), rows.member[a]) for a, _ in pairs]),
        offset=np.zeros((sum(len(shapes[a].walls) for a, _ in pairs), 4, 3)),
        walls=tuple(w for a, _ in pairs for w in shapes[a].walls),
    )


def kept_rows(run: NDArray[np.int64], x: Array, values: Array, places: Array) -> NDArray[np.int64]:
    """Numbers of the rows (r,) to keep, in order: the ends of every run, and what a straight line misses.

    values (r, k) utilisations, places (r, p) mm; rows of a run follow each other, x (r,) rising or falling.  Where a
    value is over 1 the line must be over 1 as well.
    """
    kept: list[int] = []
    starts = np.flatnonzero(np.r_[True, run[1:] != run[:-1]])
    for start, stop in zip(starts.tolist(), [*starts[1:].tolist(), len(run)], strict=True):
        left = [(start, stop - 1)]
        kept += [start, stop - 1]
        while left:
            first, last = left.pop()
            worst = _missed(x, values, places, first, last)
            if worst is not None:
                kept.append(worst)
                left += [(first, worst), (worst, last)]
    return np.unique(np.array(kept, dtype=np.int64))


def _missed(x: Array, values: Array, places: Array, first: int, last: int) -> int | None:
    """The row that the line from first to last misses most (Douglas and Peucker's rule); None where it misses none."""
    if last - first < 2:
        return None
    inner = slice(first + 1, last)
    reach = x[last] - x[first]
    share = ((x[inner] - x[first]) / reach if reach else np.zeros(last - first - 1))[:, None]
    line, own = values[first] + share * (values[last] - values[first]), values[inner]
    off = np.abs(line - own) / np.maximum(own, 1.0) / NEAR
    off = np.where((line > 1) != (own > 1), np.inf, off).max(axis=1)
    beside = np.abs(places[first] + share * (places[last] - places[first]) - places[inner]).max(axis=1) / PLACE
    off = np.maximum(off, beside)
    worst = int(off.argmax())
    return first + 1 + worst if off[worst] > 1 else None


def _ring(findings: Findings, row: int, shape: SectionStrips) -> Array:
    """(k, 2, 3) both edges of all strips of a section where it stands."""
    mesh, m = findings.solution.mesh, int(findings.rows.member[row])
    axes = mesh.axes[m]
    ring: Array = shape.place @ axes[1:] + mesh.end_points()[m, 0] + findings.rows.x[row] * axes[0]
    return ring


def _runs(findings: Findings, shapes: list[SectionStrips], rings: list[Array]) -> NDArray[np.int64]:
    """(r,) number of the run that a row belongs to: members of one part with like walls, end to end."""
    mesh, rows = findings.solution.mesh, findings.rows
    part, run = mesh.part_of()[rows.member], np.zeros(len(rings), dtype=np.int64)
    for k in range(1, len(rings)):
        a, b = shapes[k - 1], shapes[k]
        alike = a.walls == b.walls and np.array_equal(a.points, b.points) and part[k] == part[k - 1]
        joined = alike and bool(np.abs(rings[k] - rings[k - 1]).max() < JOINED)
        run[k] = run[k - 1] + (not joined and rows.member[k] != rows.member[k - 1])
    return run


def _four(start: NDArray[np.generic], end: NDArray[np.generic]) -> NDArray[np.generic]:
    """(k, 4, ...) around a wall from (k, 2, ...) at its start and its end."""
    return np.stack([start[:, 0], start[:, 1], end[:, 1], end[:, 0]], axis=1)


def _padded(rings: list[Array]) -> Array:
    """(r, p) all places of a section in a row, zeros behind them."""
    flat = [r.ravel() for r in rings]
    out = np.zeros((len(flat), max(map(len, flat))))
    for k, f in enumerate(flat):
        out[k, : len(f)] = f
    return out


def _utilisation(findings: Findings) -> Array:
    """(r, k) all utilisations of a section: of its points and of the mean shear of its walls, in all cases."""
    st, c = findings.stresses, findings.chassis.criteria
    points = np.maximum(np.abs(st.normal) / c.bending, st.von_mises / c.von_mises)
    both = np.concatenate([points, np.abs(st.mean) / c.shear], axis=1)[:, :, 1:]
    flat: Array = np.nan_to_num(both).reshape(len(both), -1)
    return flat
