"""The mid-lines of a section as arrays: geometry, and the section properties of lines without thickness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.graph import Graph
from ladderfe.sections.walls import Section

__all__ = ["LINEAR", "Array", "Lines", "lines_of", "lines_of_table", "table_of"]

Array = NDArray[np.float64]
LINEAR = np.array([[2.0, 1.0], [1.0, 2.0]]) / 6  # integral of the products of two linear functions over a unit length


@dataclass(frozen=True, eq=False)
class Lines:
    """Mid-lines of w walls.  `lines_of` gives those of many sections at once, every array with the sections first.

    graph : how they connect.  ends : (w, 2 ends, 2) places (y, z).  grow : (w, 2) plate beyond each end.
    along : (w, 2) unit vectors from start to end.  length, thickness, modulus : (w,).  metal : (w,) m t L, 0 for welds.
    rho : (w,) distance of the line from the origin, positive where walking along it turns counter-clockwise.
    area (), centre (2,) and moments (2, 2) = [[Izz, Iyz], [Iyz, Iyy]] are those of the lines: each m t L, without the
    walls' own t^3 parts.  arms : (w, 2 ends, 2) places d from the centre.  statics : (w, 2 ends, 2) first moments
    m t L (2 d0 + d1)/6 and m t L (d0 + 2 d1)/6: what a stress linear in y and z brings to the ends of each wall.
    """

    graph: Graph
    ends: Array
    grow: Array
    along: Array
    length: Array
    thickness: Array
    modulus: Array
    metal: Array
    rho: Array
    area: Array
    centre: Array
    arms: Array
    moments: Array
    statics: Array

    def of(self, section: int, graph: Graph) -> Lines:
        """Those of one section among many."""
        return Lines(graph, *(array[section] for name, array in vars(self).items() if name != "graph"))


def table_of(section: Section) -> list[tuple[float, ...]]:
    """(w, 8) of every wall start (y, z), end (y, z), thickness, modulus and growth at both ends."""
    return [(*w.start, *w.end, w.thickness, w.modulus, w.grow_start, w.grow_end) for w in section.walls]


def lines_of(sections: Sequence[Section], graphs: Sequence[Graph]) -> Lines:
    """The mid-lines of sections whose walls connect alike."""
    return lines_of_table(np.array([table_of(section) for section in sections]), graphs[0])


def lines_of_table(table: Array, graph: Graph) -> Lines:
    """The mid-lines of n sections whose walls, (n, w, 8) as in `table_of`, connect as `graph` says."""
    ends, thickness, modulus = table[..., :4].reshape(*table.shape[:2], 2, 2), table[..., 4], table[..., 5]
    along = ends[:, :, 1] - ends[:, :, 0]
    length = np.hypot(along[..., 0], along[..., 1])
    along = along / length[..., None]
    metal = modulus * thickness * length * (length + table[..., 6] + table[..., 7] > 1e-9 * length)
    area = metal.sum(axis=1)
    centre = (metal[:, None] @ ends.sum(axis=2))[:, 0] / (2 * area)[:, None]
    arms = ends - centre[:, None, None]
    statics = (metal / 6)[..., None, None] * (arms + arms.sum(axis=2)[:, :, None])
    pairs = (len(table), -1, 2)
    moments = arms.reshape(pairs).transpose(0, 2, 1) @ statics.reshape(pairs)
    rho = ends[:, :, 0, 0] * along[..., 1] - ends[:, :, 0, 1] * along[..., 0]
    return Lines(
        graph=graph, ends=ends, grow=table[..., 6:8], along=along, length=length, thickness=thickness,
        modulus=modulus, metal=metal, rho=rho, area=area, centre=centre, arms=arms, moments=moments, statics=statics)
