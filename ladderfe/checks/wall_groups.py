"""Points and walls of sections told apart as a splice sees them: flanges, webs, and the corners between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.stress import PointTable
from ladderfe.mesh import Mesh
from ladderfe.sections import Section, properties

__all__ = ["GROUPS", "WallGroups", "upright_walls", "wall_groups"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: What a section's points are told apart as: walls that lie, walls that stand, and where one meets another.
GROUPS = ("flanges", "webs", "corners")
FLANGE, WEB, CORNER, NONE = 0, 1, 2, -1


@dataclass(frozen=True, slots=True, eq=False)
class WallGroups:
    """Of all sections s of a mesh, those that strength is judged by: point (s, p) number in `GROUPS` of each stress
    point, -1 where there is none; mean (s, w) that of each whole wall; upright (s, p) whether the point's wall stands;
    y, z (s, p) where the point is, mm in section axes; thickness (s, p) of its wall."""

    point: IntArray
    mean: IntArray
    upright: NDArray[np.bool_]
    y: Array
    z: Array
    thickness: Array


def upright_walls(section: Section) -> dict[str, bool]:
    """Whether the wall of each name stands: its pieces together reach further up than sideways.

    >>> from ladderfe.sections import Box
    >>> box = Box(depth=100, width=60, top=3, bottom=3, minus=3, plus=3)
    >>> upright_walls(box.section(("outer", "inner")))
    {'bottom': False, 'inner': True, 'top': False, 'outer': True}
    """
    reach: dict[str, list[float]] = {}
    for wall in section.walls:
        own = reach.setdefault(wall.name, [0.0, 0.0])
        own[0] += abs(wall.end[0] - wall.start[0])
        own[1] += abs(wall.end[1] - wall.start[1])
    return {name: z >= y for name, (y, z) in reach.items()}


def wall_groups(mesh: Mesh, table: PointTable) -> WallGroups:
    """The groups of a mesh's sections; free edges belong to their wall, edges at another wall and bends to corners."""
    shape = table.real.shape
    point, mean = np.full(shape, NONE), np.full(table.mean.shape[:2], NONE)
    upright, (y, z, thickness) = np.zeros(shape, dtype=bool), (np.zeros(shape) for _ in range(3))
    for k, section in enumerate(mesh.least_sections):
        stands, points = upright_walls(section), properties(section).points
        n = len(table.walls[k])
        own = np.array([stands[w] for w in table.walls[k]])
        corner = np.array([_is_corner(label) for label in table.labels[k]])
        upright[k, :n], y[k, :n], z[k, :n] = own, points.y, points.z
        thickness[k, :n] = np.array([w.thickness for w in section.walls])[points.index]
        point[k, :n] = np.where(corner, CORNER, np.where(own, WEB, FLANGE))
        mean[k, : len(table.mean_walls[k])] = [WEB if stands[w] else FLANGE for w in table.mean_walls[k]]
    return WallGroups(point, mean, upright, y, z, thickness)


def _is_corner(label: str) -> bool:
    """By the words for a point (`sections.words`): an edge that another wall meets, or a bend toward one."""
    where = label.split(", ")[1] if ", " in label else ""
    if where in ("free edge", "lower edge", "upper edge"):
        return False
    return where.endswith(" edge") or where.startswith(("next to", "toward"))
