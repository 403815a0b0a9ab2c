"""The mid-lines of a section as arrays: geometry, and the section properties of lines without thickness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.graph import Graph, graph_of
from ladderfe.sections.walls import Section

__all__ = ["LINEAR", "Array", "Lines", "lines_of"]

Array = NDArray[np.float64]
LINEAR = np.array([[2.0, 1.0], [1.0, 2.0]]) / 6  # integral of the products of two linear functions over a unit length


@dataclass(frozen=True, eq=False)
class Lines:
    """Mid-lines of w walls.

    graph : how they connect.  ends : (w, 2 ends, 2) places (y, z).  grow : (w, 2) plate beyond each end.  lean : (w,)
    area's centre off the chord.
    along : (w, 2) unit vectors from start to end.  length, thickness, modulus : (w,).  metal : (w,) m t L, 0 for welds.
    rho : (w,) distance of the line from the origin, positive where walking along it turns counter-clockwise.
    area, centre (2,) and moments (2, 2) = [[Izz, Iyz], [Iyz, Iyy]] are those of the lines: each m t L, without the
    walls' own t^3 parts.  arms : (w, 2 ends, 2) places d from the centre.  statics : (w, 2 ends, 2) first moments
    m t L (2 d0 + d1)/6 and m t L (d0 + 2 d1)/6: what a stress linear in y and z brings to the ends of each wall.
    """

    graph: Graph
    ends: Array
    grow: Array
    lean: Array
    along: Array
    length: Array
    thickness: Array
    modulus: Array
    metal: Array
    rho: Array
    area: float
    centre: Array
    arms: Array
    moments: Array
    statics: Array


def lines_of(section: Section) -> Lines:
    """The mid-lines of a section; ModelError when they do not connect."""
    graph = graph_of(section)
    table = np.array([(*w.start, *w.end, w.thickness, w.modulus, w.grow_start, w.grow_end, w.lean)
                      for w in section.walls])
    ends, thickness, modulus, grow = table[:, :4].reshape(-1, 2, 2), table[:, 4], table[:, 5], table[:, 6:8]
    along = ends[:, 1] - ends[:, 0]
    length = np.hypot(along[:, 0], along[:, 1])
    along = along / length[:, None]
    metal = modulus * thickness * length * (length + grow[:, 0] + grow[:, 1] > 1e-9 * length)
    area = float(metal.sum())
    centre = metal @ ends.sum(axis=1) / (2 * area)
    arms = ends - centre
    statics = (metal / 6)[:, None, None] * (arms + arms.sum(axis=1)[:, None])
    moments = arms.reshape(-1, 2).T @ statics.reshape(-1, 2)
    rho = ends[:, 0, 0] * along[:, 1] - ends[:, 0, 1] * along[:, 0]
    return Lines(
        graph=graph, ends=ends, grow=grow, lean=table[:, 8], along=along, length=length, thickness=thickness,
        modulus=modulus, metal=metal, rho=rho, area=area, centre=centre, arms=arms, moments=moments, statics=statics)
