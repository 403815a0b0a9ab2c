"""Shear flow of a section: one linear problem on the graph of mid-lines, exact for straight walls.

Unknown is the axial displacement u of the nodes.  In each wall dq/ds = -t ds'/dx with the direct stress's rate ds'/dx
linear in s, so q is a polynomial of second degree, and mean(q) L/(m t) = G (u_end - u_start) + G theta' rho L with rho
the distance of the wall's line from the pole.  What flows into a node must flow out: a Laplacian of the graph with
conductances m t/L.  Cells need no search: compatibility around them holds because u is single-valued, and walls of
no cell come out with no flow under torque.  For a torque u is the warping function, -omega.
Thin-wall shear flow and Bredt's cells after any text on thin-walled beams (common theory, no single source).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.graph import Graph, graph_of
from ladderfe.sections.walls import Section

__all__ = ["Flow", "Lines", "flow_of", "lines_of"]

Array = NDArray[np.float64]
HILBERT = np.array([[1, 1 / 2, 1 / 3], [1 / 2, 1 / 3, 1 / 4], [1 / 3, 1 / 4, 1 / 5]])
STRIP = 1e-10  # smaller over larger principal moment of mid-lines that all lie on one straight line
NO_WARPING = 1e-12  # warping constant over area x size^4 below which it is rounding


@dataclass(frozen=True, eq=False)
class Lines:
    """The mid-lines as lines without thickness: their geometry and their own section properties.

    start, end, along : (w, 2) places and unit vectors; length, thickness, modulus, metal : (w,), where metal is m t L and
    0 for welds; rho : (w,) distance of each line from the origin, positive where walking along it turns
    counter-clockwise.  area, centre (2,) and moments (2, 2) = [[Izz, Iyz], [Iyz, Iyy]] of the lines, without the walls'
    own t^3 parts.
    """

    graph: Graph
    start: Array
    end: Array
    along: Array
    length: Array
    thickness: Array
    modulus: Array
    metal: Array
    rho: Array
    area: float
    centre: Array
    moments: Array


@dataclass(frozen=True, eq=False)
class Flow:
    """Flows per unit Vy, Vz (through the shear centre) and torque, and what follows from them.

    q : (w, 3 powers, 3 loads) in 1/mm and 1/mm2: q(xi) = q0 + q1 xi + q2 xi^2 at the fraction xi of the mid-line,
    positive from start to end.  J : mm4, split into J_cells (Bredt) and J_open (t^3/3 of walls that bound no cell);
    J_plates : the t^3/3 of the walls of cells, left out of J.  shear_centre : (y, z).  shear : (2, 2) in 1/mm2.
    omega : (w, 2) sectorial coordinate about the shear centre at both ends, mean 0; Iw its second moment, mm6.
    """

    lines: Lines
    q: Array
    open: NDArray[np.bool_]
    J_cells: float
    J_open: float
    J_plates: float
    shear_centre: Array
    shear: Array
    omega: Array
    Iw: float

    @property
    def J(self) -> float:
        return self.J_cells + self.J_open

    def at(self, wall: int, xi: float) -> Array:
        """(3,) flow at the fraction xi of a wall's mid-line per unit Vy, Vz and torque."""
        out: Array = self.q[wall, 0] + xi * (self.q[wall, 1] + xi * self.q[wall, 2])
        return out


def lines_of(section: Section) -> Lines:
    """The mid-lines of a section."""
    graph = graph_of(section)
    table = np.array([(*w.start, *w.end, w.thickness, w.modulus, w.grow_start + w.grow_end) for w in section.walls])
    start, end, thickness, modulus = table[:, 0:2], table[:, 2:4], table[:, 4], table[:, 5]
    along = end - start
    length = np.sqrt(along[:, 0] ** 2 + along[:, 1] ** 2)
    along = along / length[:, None]
    metal = modulus * thickness * length * (length + table[:, 6] > 1e-9 * length)
    area = float(metal.sum())
    centre = metal @ (start + end) / (2 * area)
    here, there = start - centre, end - centre
    sixth = metal[:, None] / 6
    moments = here.T @ (sixth * (2 * here + there)) + there.T @ (sixth * (here + 2 * there))
    rho = start[:, 0] * along[:, 1] - start[:, 1] * along[:, 0]
    return Lines(graph, start, end, along, length, thickness, modulus, metal, rho, area, centre, moments)


def _rates(lines: Lines) -> tuple[Array, Array | None]:
    """Stress gradient per unit shear, (2, 2): the inverse of the moments; and the direction across a strip, if it is one."""
    (zz, yz), (_, yy) = lines.moments
    det = zz * yy - yz * yz
    if det > STRIP * (zz + yy) ** 2:
        return np.array([[yy, -yz], [-yz, zz]]) / det, None
    along = lines.along[int(np.argmax(lines.metal))]
    return np.outer(along, along) / (zz + yy), np.array([-along[1], along[0]])


@lru_cache(maxsize=4096)
def flow_of(section: Section) -> Flow:
    """Solve the shear flow of a section for unit Vy, Vz and torque."""
    lines = lines_of(section)
    graph, count = lines.graph, len(lines.graph.nodes)
    eye = np.eye(count)
    leave, arrive = eye[graph.starts], eye[graph.ends]
    stiff = lines.modulus * lines.thickness
    loop = (stiff * lines.rho)[:, None]
    rates, across = _rates(lines)
    per_area = lines.modulus[:, None]
    s0, s1 = per_area * ((lines.start - lines.centre) @ rates), per_area * ((lines.end - lines.centre) @ rates)
    sixth = (lines.metal / lines.modulus / 6)[:, None]
    from_start, from_end = sixth * (2 * s0 + s1), sixth * (s0 + 2 * s1)
    jump = arrive - leave
    conduct = stiff / lines.length
    laplacian = jump.T @ (conduct[:, None] * jump)
    laplacian[0, 0] += conduct[0]
    load = np.concatenate([leave.T @ from_start + arrive.T @ from_end, -(jump.T @ loop)], axis=1)
    u = np.linalg.solve(laplacian, load)
    q = np.zeros((len(stiff), 3, 3))
    q[:, 0] = conduct[:, None] * (jump @ u)
    q[:, 0, :2] += from_start
    q[:, 0, 2:] += loop
    q[:, 1, :2] = -6 * sixth * s0
    q[:, 2, :2] = -3 * sixth * (s1 - s0)
    is_open = np.array([graph.is_open(wall) for wall in range(len(stiff))])
    q[is_open, 0, 2] = 0.0
    return _summary(lines, q, is_open, u[:, 2], across)


def _summary(lines: Lines, q: Array, is_open: NDArray[np.bool_], warp: Array, across: Array | None) -> Flow:
    """Torsion constant, shear centre, shear flexibility and sectorial coordinate from the flows; scales q to unit torque."""
    stiff = lines.modulus * lines.thickness
    own = lines.metal * lines.thickness**2 / 3
    J_open = float(own[is_open].sum())
    mean = q[:, 0] + q[:, 1] / 2 + q[:, 2] / 3
    of_y, of_z, J_cells = (float(x) for x in (lines.rho * lines.length) @ mean)
    q[:, :, 2] /= J_cells + J_open
    weighted = (lines.length / stiff)[:, None, None] * (HILBERT @ q[:, :, :2])
    shear = q[:, :, :2].reshape(-1, 2).T @ weighted.reshape(-1, 2)
    shear = (shear + shear.T) / 2
    centre = np.array([of_z, -of_y])
    starts, ends = lines.graph.starts, lines.graph.ends
    if across is None:
        omega = -np.stack([warp[starts], warp[ends]], axis=1)
        for side, place in enumerate((lines.start, lines.end)):
            omega[:, side] += centre[1] * place[:, 0] - centre[0] * place[:, 1]
        omega -= lines.metal @ omega.sum(axis=1) / (2 * lines.area)
        Iw = float(lines.metal @ (omega[:, 0] ** 2 + omega[:, 0] * omega[:, 1] + omega[:, 1] ** 2)) / 3
        size = float(np.trace(lines.moments)) / lines.area
        if Iw < NO_WARPING * lines.area * size**2:
            omega, Iw = np.zeros_like(omega), 0.0
    else:
        centre = lines.centre
        shear = shear + 1.2 / lines.area * np.outer(across, across)
        omega, Iw = np.zeros((len(stiff), 2)), 0.0
    return Flow(lines, q, is_open, J_cells, J_open, float(own[~is_open].sum()), centre, shear, omega, Iw)
