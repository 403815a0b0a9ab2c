"""Stress of one section at the stress points of another one that was made from it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import (
    Coefficients,
    Pair,
    at_points,
    bending_across,
    mean_shear,
    on_faces,
    racking_walls,
)
from ladderfe.checks.least_walls import carried_over
from ladderfe.sections import Properties, Section, cell_of, flow_of, properties

__all__ = ["coefficients_at"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: Cosine of the angle above which two walls count as lying alike.
ALIKE = 0.7
#: How far the mid-line of a wall may lie from that of the same wall in the other section, in thicknesses.
NEAR = 1.0
#: Ends of walls are looked for this share of their length inside, so that of two pieces the own one is found.
WITHIN = 0.01


def coefficients_at(
    before: Pair, stiff: Pair, after: Pair
) -> tuple[Coefficients, NDArray[np.bool_], NDArray[np.bool_]]:
    """Stress of the section `before` at the points of `after`, per unit resultant of `stiff` (the section that stands
    for `before` in the stiffness), signed along the walls of `after`; and which points, and which walls of the table of
    mean shear, have a wall of `before` where they are (the others are zero).

    Places are matched, not names: a wall of `before` that lies alike and whose mid-line is there.
    """
    q, other = properties(before[1]), properties(after[1])
    wall, share, sign, met = _matched(before[1], after[1], other)
    moved = _moved(q, before[1], other, (wall, share))
    cell, mean_of = cell_of(before[0]), cell_of(stiff[0])
    normal, line, across = at_points(racking_walls([cell])[0] if cell else None, before[1], moved)
    if cell and mean_of and cell != mean_of:
        across = bending_across(cell, before[1], mean_of, moved)
    normal, line = normal * met[:, None], line * (met * sign)[:, None]
    faces = on_faces(moved) * (met * sign)[:, None]
    names, mean = mean_shear(after[1], other, line)
    first = {w: met[other.points.index == w].all() for w in dict.fromkeys(other.points.index.tolist())}
    by = carried_over(q, properties(stiff[1])) if before != stiff else np.eye(8)
    own = Coefficients(other.points.wall, other.points.label, normal @ by, (line + faces) @ by, names, mean @ by,
                       across * met)  # fmt: skip
    return own, met, np.array(list(first.values()), dtype=bool)


def _matched(before: Section, after: Section, q: Properties) -> tuple[IntArray, Array, Array, NDArray[np.bool_]]:
    """For every point of `after`: the wall of `before`, the share of its mid-line, the sign of its direction, and
    whether there is one."""
    lines, points = flow_of(before).lines, q.points
    walls = [after.walls[k] for k in points.index.tolist()]
    start, end = np.array([w.start for w in walls]), np.array([w.end for w in walls])
    length = np.array([w.length for w in walls])
    along = (end - start) / length[:, None]
    place = np.stack([points.y, points.z], axis=1) - start
    at = np.clip(np.round(2 * (place * along).sum(axis=1) / length) / 2, 0, 1)  # points lie at ends and middles
    middle = start + np.clip(at, WITHIN, 1 - WITHIN)[:, None] * (end - start)
    arm = middle[:, None] - lines.ends[None, :, 0]
    near = np.clip((arm * lines.along).sum(axis=2), 0, lines.length)
    away = np.linalg.norm(arm - near[:, :, None] * lines.along, axis=2)
    cosine = along @ lines.along.T
    away = np.where((abs(cosine) > ALIKE) & (lines.metal > 0), away, np.inf)
    wall = away.argmin(axis=1)
    rows = np.arange(len(wall))
    on = ((start + at[:, None] * (end - start) - lines.ends[wall, 0]) * lines.along[wall]).sum(axis=1)
    met = away[rows, wall] <= NEAR * lines.thickness[wall]
    return wall, np.clip(on / lines.length[wall], 0, 1), np.sign(cosine[rows, wall]), met


def _moved(q: Properties, section: Section, other: Properties, at: tuple[IntArray, Array]) -> Properties:
    """The properties of a section with its stress points where those of the other one are."""
    flow, (wall, share) = flow_of(section), at
    lines, points = flow.lines, other.points
    off = np.stack([points.y, points.z], axis=1) - lines.ends[wall, 0]
    along = lines.along[wall]
    side = np.where(along[:, 0] * off[:, 1] - along[:, 1] * off[:, 0] >= 0, 1.0, -1.0)
    power = np.stack([np.ones_like(share), share, share**2], axis=1)
    tau = np.einsum("pk,pkj->pj", power, flow.q[wall]) / lines.thickness[wall, None]
    face = -side * (flow.own[wall] / flow.J) * lines.modulus[wall] * lines.thickness[wall]
    omega = flow.omega[wall, 0] + share * (flow.omega[wall, 1] - flow.omega[wall, 0])
    warps = float(flow.Iw > 0)
    return replace(q, points=replace(
        points, index=wall, modulus=lines.modulus[wall], tau=tau[:, :3], tau_face=face, omega=warps * omega,
        tau_warp=tau[:, 3],
    ))  # fmt: skip
