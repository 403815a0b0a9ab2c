"""Shear flow of a section: one linear problem on the graph of mid-lines, exact for straight walls.

Unknown is the axial displacement u of the nodes (times G).  In each wall dq/ds = -t d(stress)/dx, which is linear in s,
so q is a polynomial of second degree, and mean(q) L/(m t) = u_end - u_start + theta' rho L with rho the distance of the
wall's line from the pole.  What flows into a node must flow out: a Laplacian of the graph, conductances m t/L.  Cells
need no search: compatibility around each of them holds because u has one value at a node, and walls of no cell come out
with no flow under torque.  For a torque u is the warping function, -omega.

Theory of thin-walled beams with Bredt's flow in cells (common theory, in any text on thin-walled beams; this form is
the natural one for a graph, no single source).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.lines import LINEAR, Array, Lines, lines_of
from ladderfe.sections.walls import Section

__all__ = ["Flow", "flow_of", "rectangle_torsion"]

HILBERT = np.array([[1, 1 / 2, 1 / 3], [1 / 2, 1 / 3, 1 / 4], [1 / 3, 1 / 4, 1 / 5]])  # integrals of xi^i xi^j
STRAINED = [0, 1, 3]  # the loads whose shear strain a beam counts: Vy, Vz, Tw
STRIP = 1e-10  # determinant over squared trace of the moments of mid-lines that all lie on one straight line
THIN_CELL = 0.2  # own torsion of a cell's walls over Bredt's: 1/3 for plates face to face, 0.02 for rails and tubes
NO_WARPING = 1e-12  # warping constant, over moments x size^2, that is rounding


@dataclass(frozen=True, eq=False)
class Flow:
    """Flows per unit Vy, Vz (through the shear centre), torque and warping torque, and what follows from them.

    q : (w, 3 powers, 4 loads), 1/mm and 1/mm2; q(xi) = q0 + q1 xi + q2 xi^2 at the fraction xi of the mid-line,
    positive from start to end.  The fourth load is Tw = dB/dx = 1, about the shear centre (zeros where Iw = 0).
    own : (w,) True on walls whose own torsion counts: those that bound no cell, and every wall where cells do not rule
    the torsion (`_ruled_by_cells`) or carry little more than their own walls, as the thin cell under a lapped plate.
    J_cells (Bredt) + J_open (t^3/3 of walls with `own`) = J, mm4; J_plates is the t^3/3 of the others, left out of J.
    shear_centre : (y, z).  soft : (3, 3) flexibility, the integral of
    q q^T/(m t) for the flows of Vy, Vz and Tw; 1/mm2, its last row and column 1/mm3 and 1/mm4.
    omega : (w, 2 ends) sectorial coordinate about the shear centre with mean 0, mm2, Iw_free its second moment, mm6.
    Iw = Iw_free, but 0 where cells rule the torsion: see `_ruled_by_cells`.
    """

    lines: Lines
    q: Array
    own: NDArray[np.bool_]
    J_cells: float
    J_open: float
    J_plates: float
    shear_centre: Array
    soft: Array
    omega: Array
    Iw_free: float
    Iw: float

    @property
    def J(self) -> float:
        return self.J_cells + self.J_open

    def at(self, wall: int, xi: float) -> Array:
        """(4,) flow at the fraction xi of a wall's mid-line per unit Vy, Vz, T and Tw."""
        q = self.q[wall]
        out: Array = q[0] + xi * (q[1] + xi * q[2])
        return out


class _Net:
    """The graph's Laplacian: conductances m t/L between the nodes, the first node held."""

    def __init__(self, lines: Lines) -> None:
        graph = lines.graph
        self.at_ends = np.eye(len(graph.nodes))[graph.ends]  # (2 w half-edges, nodes)
        self.jump = self.at_ends[1::2] - self.at_ends[::2]
        self.conduct = lines.modulus * lines.thickness / lines.length
        self.laplacian = self.jump.T @ (self.conduct[:, None] * self.jump)
        self.laplacian[0, 0] += self.conduct[0]

    def from_stress(self, statics: Array) -> Array:
        """Nodal loads (n, loads) of the stress's consistent share (w, 2 ends, loads) at the walls' ends."""
        out: Array = self.at_ends.T @ statics.reshape(len(self.at_ends), -1)
        return out

    def solve(self, load: Array) -> tuple[Array, Array]:
        """Displacement u at the nodes (n, loads), and conductance times its difference along each wall (w, loads)."""
        u = np.linalg.solve(self.laplacian, load).astype(np.float64, copy=False)
        return u, self.conduct[:, None] * (self.jump @ u)


def _rates(lines: Lines) -> tuple[Array, Array | None]:
    """Stress gradient per unit shear, the inverse of the moments (2, 2); the direction across a strip if it is one."""
    (zz, yz), (_, yy) = lines.moments.tolist()
    det, trace = zz * yy - yz * yz, zz + yy
    if det > STRIP * trace**2:
        return np.array([[yy / det, -yz / det], [-yz / det, zz / det]]), None
    along = lines.along[int(np.argmax(lines.metal))]
    return along[:, None] * along / trace, np.array([-along[1], along[0]])


def _polynomials(q: Array, load: int | slice, mean: Array, ends: Array) -> None:
    """Fill q for loads by stress, from the `mean` flow (w, loads) and metal x stress rate at both ends (w, 2, loads).

    q' = -(s0 + (s1 - s0) xi), so q = mean + s0/3 + s1/6 - s0 xi - (s1 - s0) xi^2/2.
    """
    first, last = ends[:, 0], ends[:, 1]
    q[:, 0, load] = mean + first / 3 + last / 6
    q[:, 1, load] = -first
    q[:, 2, load] = (first - last) / 2


class _Torsion(NamedTuple):
    """Which walls' own torsion counts (w,), and the parts of the torsion constant."""

    own: NDArray[np.bool_]
    J_cells: float
    J_open: float
    J_plates: float


def _torsion(lines: Lines, flow: Array, Iw: float, strip: bool) -> _Torsion:
    """Bredt's part from the cells' `flow` per unit twist rate, t^3/3 of walls; a plain strip's J is the rectangle's."""
    J_cells = float((lines.rho * lines.length) @ flow)
    if strip and np.ptp(lines.thickness) == 0 and np.ptp(lines.modulus) == 0:
        breadth = float((lines.length + lines.grow.sum(axis=1)).sum())
        J_open = float(lines.modulus[0]) * rectangle_torsion(breadth, float(lines.thickness[0]))
        return _Torsion(np.ones(len(flow), bool), J_cells, J_open, 0.0)
    plates, own = lines.metal * lines.thickness**2 / 3, np.array(lines.graph.open)
    J_open = float(plates[own].sum())
    J_plates = float(plates.sum()) - J_open
    if J_plates > THIN_CELL * J_cells or not _ruled_by_cells(lines, Iw, J_cells):
        return _Torsion(own | True, J_cells, J_open + J_plates, 0.0)
    return _Torsion(own, J_cells, J_open, J_plates)


@lru_cache(maxsize=4096)
def flow_of(section: Section) -> Flow:
    """Solve the shear flow of a section, kept for the next equal one; ModelError when its walls do not connect."""
    lines = lines_of(section)
    net = _Net(lines)
    rates, across = _rates(lines)
    loop = lines.modulus * lines.thickness * lines.rho
    load = np.zeros((len(lines.graph.nodes), 3))
    load[:, :2] = net.from_stress(lines.statics) @ rates
    load[:, 2] = -(loop @ net.jump)
    u, mean = net.solve(load)
    q = np.zeros((len(loop), 3, 4))
    pulls = (lines.arms.reshape(-1, 2) @ rates).reshape(-1, 2, 2) * lines.metal[:, None, None]
    _polynomials(q, slice(2), mean[:, :2], pulls)
    around = np.where(lines.graph.open, 0.0, mean[:, 2] + loop)
    of_y, of_z = ((lines.rho * lines.length) @ mean[:, :2]).tolist()
    centre, omega, Iw_free = lines.centre, np.zeros((len(loop), 2)), 0.0
    if across is None:
        centre = np.array([of_z, -of_y])
        omega, Iw_free = _sectorial(lines, u[:, 2], of_y, of_z)
    torsion = _torsion(lines, around, Iw_free, strip=across is not None)
    q[:, 0, 2] = around / (torsion.J_cells + torsion.J_open)
    Iw = 0.0 if _ruled_by_cells(lines, Iw_free, torsion.J_cells) else Iw_free
    if Iw:
        rate = omega * (lines.metal / Iw)[:, None]
        _, mean = net.solve(net.from_stress(rate @ LINEAR))
        _polynomials(q, slice(3, 4), mean, rate[:, :, None])
    soft = _flexibility(lines, q[:, :, STRAINED])
    if across is not None:
        soft[:2, :2] += 1.2 / lines.area * across[:, None] * across
    for array in (q, soft, centre, omega):
        array.setflags(write=False)
    return Flow(
        lines=lines, q=q, own=torsion.own, J_cells=torsion.J_cells, J_open=torsion.J_open, J_plates=torsion.J_plates,
        shear_centre=centre, soft=soft, omega=omega, Iw_free=Iw_free, Iw=Iw)


def _flexibility(lines: Lines, q: Array) -> Array:
    """Integral of q q^T/(m t) over the walls, (loads, loads), symmetric to the last digit."""
    weighted = (lines.length / (lines.modulus * lines.thickness))[:, None, None] * (HILBERT @ q)
    soft = q.reshape(-1, q.shape[2]).T @ weighted.reshape(-1, q.shape[2])
    out: Array = (soft + soft.T) / 2
    return out


def _sectorial(lines: Lines, warp: Array, of_y: float, of_z: float) -> tuple[Array, float]:
    """Sectorial coordinate (w, 2 ends) about the shear centre, mean 0, from the warping u about the origin; and Iw."""
    omega = -warp[lines.graph.ends].reshape(-1, 2) - of_y * lines.ends[:, :, 0] - of_z * lines.ends[:, :, 1]
    omega -= float(lines.metal @ omega.sum(axis=1)) / (2 * lines.area)
    Iw = float(lines.metal @ (omega * (omega @ LINEAR)).sum(axis=1))
    size = float(lines.moments[0, 0] + lines.moments[1, 1])
    if Iw < NO_WARPING * size**2 / lines.area:
        return np.zeros_like(omega), 0.0
    return omega, Iw


def _ruled_by_cells(lines: Lines, Iw: float, J_cells: float) -> bool:
    """Whether restrained warping of the twist-rate kind has no meaning because cells carry the torque.

    It dies out over a length of about sqrt(E Iw/(G J)); where Iw/J_cells is below the squared radius of gyration that
    length is less than the section's own size (box rails: a tenth of it), and the section's warping belongs to
    distortion.  An open section with a small cell, such as a lapped plate, stays above it and warps.
    """
    return Iw * lines.area < J_cells * float(lines.moments[0, 0] + lines.moments[1, 1])


def rectangle_torsion(breadth: float, thickness: float) -> float:
    """Torsion constant of a solid rectangle, mm4: b t^3 (1/3 - 0.21 (t/b) (1 - t^4/(12 b^4))), b the larger side.

    Within 0.5 % of the exact series for any b/t.  Source: Young & Budynas, Roark's Formulas, torsion table (from
    memory).
    """
    b, t = max(breadth, thickness), min(breadth, thickness)
    return b * t**3 * (1 / 3 - 0.21 * t / b * (1 - (t / b) ** 4 / 12))
