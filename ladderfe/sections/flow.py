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

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.graph import Graph, graph_of
from ladderfe.sections.kept import Kept
from ladderfe.sections.lines import LINEAR, Array, Lines, lines_of
from ladderfe.sections.walls import Section

__all__ = [
    "Flow", "Flows", "flow_of", "flows_of", "is_ruled_by_cells", "rectangle_torsion", "solve_flows", "torsion_of",
]  # fmt: skip

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
    the torsion (`is_ruled_by_cells`) or carry little more than their own walls, as the thin cell under a lapped plate.
    J_cells (Bredt) + J_open (t^3/3 of walls with `own`) = J, mm4; J_plates is the t^3/3 of the others, left out of J.
    shear_centre : (y, z).  soft : (3, 3) flexibility, the integral of q q^T/(m t) for the flows of Vy, Vz and Tw; 1/mm2
    (last row and column 1/mm3 and 1/mm4).  omega : (w, 2 ends) sectorial coordinate about the shear centre with mean 0,
    mm2.  Iw_free : its second moment, mm6.
    Iw = Iw_free, but 0 where cells rule the torsion: see `is_ruled_by_cells`.
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


def flow_of(section: Section) -> Flow:
    """The shear flow of a section, kept for the next equal one; ModelError when its walls do not connect."""
    return _KEPT.one(section)


def flows_of(sections: Sequence[Section]) -> list[Flow]:
    """`flow_of` each section, sections whose walls connect alike solved together."""
    return _KEPT.each(sections)


def _flows(sections: list[Section]) -> list[Flow]:
    graphs = [graph_of(section) for section in sections]
    alike: dict[tuple[tuple[int, ...], tuple[bool, ...]], list[int]] = {}
    for i, graph in enumerate(graphs):
        alike.setdefault((tuple(graph.ends), tuple(graph.open)), []).append(i)
    found: dict[int, Flow] = {}
    for those in alike.values():
        found.update(zip(those, _solve([sections[i] for i in those], [graphs[i] for i in those]), strict=True))
    return [found[i] for i in range(len(sections))]


_KEPT = Kept(_flows)


class _Net:
    """The Laplacians of sections on one graph: conductances m t/L between the nodes, the first node held."""

    def __init__(self, lines: Lines) -> None:
        graph = lines.graph
        self.at_ends = np.eye(len(graph.nodes))[graph.ends]  # (2 w half-edges, nodes)
        self.jump = self.at_ends[1::2] - self.at_ends[::2]
        self.conduct = lines.modulus * lines.thickness / lines.length
        self.laplacian = self.jump.T @ (self.conduct[..., None] * self.jump)
        self.laplacian[:, 0, 0] += self.conduct[:, 0]

    def from_stress(self, statics: Array) -> Array:
        """Nodal loads (s, n, loads) of the stress's consistent share (s, w, 2 ends, loads) at the walls' ends."""
        out: Array = self.at_ends.T @ statics.reshape(len(statics), len(self.at_ends), -1)
        return out

    def solve(self, load: Array) -> tuple[Array, Array]:
        """Displacement u at the nodes (s, n, loads), and conductance times its difference along walls (s, w, loads)."""
        u = np.linalg.solve(self.laplacian, load).astype(np.float64, copy=False)
        return u, self.conduct[..., None] * (self.jump @ u)


def _rates(lines: Lines) -> tuple[Array, Array]:
    """Stress gradient per unit shear, the inverse of the moments (s, 2, 2); the direction (s, 2) across a strip.

    That direction is zero for sections that are no strip.
    """
    zz, yz, yy = lines.moments[:, 0, 0], lines.moments[:, 0, 1], lines.moments[:, 1, 1]
    det, trace = zz * yy - yz * yz, zz + yy
    strip = det <= STRIP * trace**2
    rates = np.array([[yy, -yz], [-yz, zz]]).transpose(2, 0, 1) / np.where(strip, trace, det)[:, None, None]
    across = np.zeros((len(det), 2))
    for i in np.flatnonzero(strip):
        along = lines.along[i, int(np.argmax(lines.metal[i]))]
        rates[i], across[i] = along[:, None] * along / trace[i], (-along[1], along[0])
    return rates, across


def _polynomials(q: Array, load: int | slice, mean: Array, ends: Array) -> None:
    """Fill q for loads by stress, from the `mean` flow (s, w, loads) and metal x stress rate at the `ends` (s, w, 2,
    loads).

    q' = -(s0 + (s1 - s0) xi), so q = mean + s0/3 + s1/6 - s0 xi - (s1 - s0) xi^2/2.
    """
    first, last = ends[..., 0, :], ends[..., 1, :]
    q[..., 0, load] = mean + first / 3 + last / 6
    q[..., 1, load] = -first
    q[..., 2, load] = (first - last) / 2


class _Torsion(NamedTuple):
    """Which walls' own torsion counts (s, w), and the parts (s,) of the torsion constant."""

    own: NDArray[np.bool_]
    J_cells: Array
    J_open: Array
    J_plates: Array


def torsion_of(lines: Lines, flow: Array, Iw: Array, strip: NDArray[np.bool_]) -> _Torsion:
    """Bredt's part from the cells' `flow` per unit twist rate, t^3/3 of walls; a plain strip's J is the rectangle's."""
    J_cells = (lines.rho * lines.length * flow).sum(axis=1)
    plates, is_open = lines.metal * lines.thickness**2 / 3, np.array(lines.graph.open)
    J_open = plates[:, is_open].sum(axis=1)
    J_plates = plates.sum(axis=1) - J_open
    every = (J_plates > THIN_CELL * J_cells) | ~is_ruled_by_cells(lines, Iw, J_cells)
    J_open, J_plates = np.where(every, J_open + J_plates, J_open), np.where(every, 0.0, J_plates)
    for i in np.flatnonzero(strip):
        if np.ptp(lines.thickness[i]) == 0 and np.ptp(lines.modulus[i]) == 0:
            breadth = float((lines.length[i] + lines.grow[i].sum(axis=1)).sum())
            J_open[i] = lines.modulus[i, 0] * rectangle_torsion(breadth, float(lines.thickness[i, 0]))
    return _Torsion(is_open | every[:, None], J_cells, J_open, J_plates)


class Flows(NamedTuple):
    """`Flow` of n sections whose walls connect alike, every array with the sections first."""

    lines: Lines
    q: Array
    own: NDArray[np.bool_]
    J_cells: Array
    J_open: Array
    J_plates: Array
    shear_centre: Array
    soft: Array
    omega: Array
    Iw_free: Array
    Iw: Array


def _solve(sections: Sequence[Section], graphs: Sequence[Graph]) -> list[Flow]:
    """Flows of s sections whose walls connect alike."""
    lines, *parts = solve_flows(lines_of(sections, graphs))
    for array in (*parts, *vars(lines).values()):
        if isinstance(array, np.ndarray):
            array.setflags(write=False)
    each = zip(*(part.tolist() if part.ndim == 1 else part for part in parts), strict=True)
    return [Flow(lines.of(i, graph), *part) for i, (graph, part) in enumerate(zip(graphs, each, strict=True))]


def solve_flows(lines: Lines) -> Flows:
    """The flows of sections by their mid-lines."""
    net = _Net(lines)
    rates, across = _rates(lines)
    strip = np.hypot(across[:, 0], across[:, 1]) > 0
    loop = lines.modulus * lines.thickness * lines.rho
    u, mean = net.solve(np.concatenate([net.from_stress(lines.statics) @ rates, -(loop @ net.jump)[..., None]], axis=2))
    q = np.zeros((*loop.shape, 3, 4))
    _polynomials(q, slice(2), mean[..., :2], (lines.arms @ rates[:, None]) * lines.metal[..., None, None])
    around = np.where(lines.graph.open, 0.0, mean[..., 2] + loop)
    turning = ((lines.rho * lines.length)[:, None] @ mean[..., :2])[:, 0]
    centre = np.where(strip[:, None], lines.centre, np.stack([turning[:, 1], -turning[:, 0]], axis=1))
    omega, Iw_free = _sectorial(lines, u[..., 2], turning, strip)
    torsion = torsion_of(lines, around, Iw_free, strip)
    q[..., 0, 2] = around / (torsion.J_cells + torsion.J_open)[:, None]
    Iw = np.where(is_ruled_by_cells(lines, Iw_free, torsion.J_cells), 0.0, Iw_free)
    if Iw.any():
        rate = omega * (lines.metal * (Iw > 0)[:, None] / np.where(Iw > 0, Iw, 1.0)[:, None])[..., None]
        _, mean = net.solve(net.from_stress(rate @ LINEAR))
        _polynomials(q, slice(3, 4), mean, rate[..., None])
    soft = _flexibility(lines, q[..., STRAINED])
    soft[:, :2, :2] += (1.2 / lines.area)[:, None, None] * across[:, :, None] * across[:, None]
    return Flows(lines, q, *torsion, centre, soft, omega, Iw_free, Iw)


def _flexibility(lines: Lines, q: Array) -> Array:
    """Integral of q q^T/(m t) over the walls, (s, loads, loads), symmetric to the last digit."""
    weighted = (lines.length / (lines.modulus * lines.thickness))[..., None, None] * (HILBERT @ q)
    flat = (len(q), -1, q.shape[-1])
    soft = q.reshape(flat).transpose(0, 2, 1) @ weighted.reshape(flat)
    out: Array = (soft + soft.transpose(0, 2, 1)) / 2
    return out


def _sectorial(lines: Lines, warp: Array, turning: Array, strip: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Sectorial coordinate (s, w, 2 ends) about the shear centre, mean 0, and Iw (s,); from the warping u (s, n) about
    the origin and the torque `turning` (s, 2) of the flows of Vy and Vz about it."""
    omega = -warp[:, lines.graph.ends].reshape(*lines.metal.shape, 2) - (lines.ends @ turning[:, None, :, None])[..., 0]
    omega -= ((lines.metal * omega.sum(axis=2)).sum(axis=1) / (2 * lines.area))[:, None, None]
    Iw = (lines.metal * (omega * (omega @ LINEAR)).sum(axis=2)).sum(axis=1)
    size = lines.moments[:, 0, 0] + lines.moments[:, 1, 1]
    none = strip | (Iw < NO_WARPING * size**2 / lines.area)
    omega[none], Iw[none] = 0.0, 0.0
    return omega, Iw


def is_ruled_by_cells(lines: Lines, Iw: Array, J_cells: Array) -> NDArray[np.bool_]:
    """Whether restrained warping of the twist-rate kind has no meaning because cells carry the torque, (s,).

    It dies out over a length of about sqrt(E Iw/(G J)); where Iw/J_cells is below the squared radius of gyration that
    length is less than the section's own size (box rails: a tenth of it), and the section's warping belongs to
    distortion.  An open section with a small cell, such as a lapped plate, stays above it and warps.
    """
    out: NDArray[np.bool_] = Iw * lines.area < J_cells * (lines.moments[:, 0, 0] + lines.moments[:, 1, 1])
    return out


def rectangle_torsion(breadth: float, thickness: float) -> float:
    """Torsion constant of a solid rectangle, mm4: b t^3 (1/3 - 0.21 (t/b) (1 - t^4/(12 b^4))), b the larger side.

    Within 0.5 % of the exact series for any b/t.  Source: Young & Budynas, Roark's Formulas, torsion table (from
    memory).
    """
    b, t = max(breadth, thickness), min(breadth, thickness)
    return b * t**3 * (1 / 3 - 0.21 * t / b * (1 - (t / b) ** 4 / 12))
