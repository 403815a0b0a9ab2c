"""Linear elastic solids of 20-node bricks on a rectilinear grid, for scripts/ladder-solids only.

Numbering and shape functions are scikit-fem's (MeshHex, ElementHexS2); 2 x 2 x 2 Gauss points.  Every brick is an
axis-parallel box, so its stiffness is a sum of nine reference matrices weighted by its edge lengths.  Solved by a
sparse Cholesky factorisation (pypardiso).  N, mm, MPa; unknown 3 n + k is the movement of node n along axis k (x y z).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
import pypardiso  # type: ignore[import-untyped]
import scipy.sparse as sp
from numpy.typing import NDArray
from skfem import Basis, ElementHexS2, MeshHex  # type: ignore[import-untyped]

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Mask = NDArray[np.bool_]

E, NU = 205000.0, 0.3
SAME = 1e-6  # mm: planes nearer than that are one
CHUNK = 4000  # bricks whose stiffness is formed at once

# Strain xx yy zz xy yz zx = sum over axes a of STRAIN[a] (d/da of the movement).
STRAIN = np.zeros((3, 6, 3))
for _row, (_axis, _part) in enumerate([(0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (2, 0)]):
    STRAIN[_axis, _row, _part] = STRAIN[_part, _row, _axis] = 1.0


def elasticity() -> Array:
    """(6, 6) Hooke's law for strain xx yy zz xy yz zx with shear angles."""
    shear, lame = E / (2 * (1 + NU)), E * NU / ((1 + NU) * (1 - 2 * NU))
    law = np.diag([2 * shear] * 3 + [shear] * 3)
    law[:3, :3] += lame
    return law


def gauss(count: int) -> tuple[Array, Array]:
    """Points (3, count**3), the third axis running fastest, and weights on the unit cube."""
    place, weight = np.polynomial.legendre.leggauss(count)
    place, weight = (place + 1) / 2, weight / 2
    points = np.array(np.meshgrid(place, place, place, indexing="ij")).reshape(3, -1)
    return points, np.einsum("i,j,k->ijk", weight, weight, weight).ravel()


def divide(
    breaks: Sequence[float], size: Callable[[Array], Array], walls: Sequence[tuple[float, float]], layers: int
) -> Array:
    """Planes through all `breaks`; `layers` cells in each wall (start, end), elsewhere two or more of width size(x)."""
    at = np.unique(np.round(breaks, 6))
    planes = [at[:1]]
    for start, end in pairwise(at):
        if any(low - SAME < start and end < high + SAME for low, high in walls):
            planes.append(np.linspace(start, end, layers + 1)[1:])
            continue
        x = np.linspace(start, end, 61)
        density = 1 / size(x)
        passed = np.r_[0.0, np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(x))]
        count = max(2, int(np.ceil(passed[-1] - 1e-9)))
        planes.append(np.r_[np.interp(np.linspace(0, passed[-1], count + 1)[1:-1], passed, x), end])
    return np.concatenate(planes)


class Bricks:
    """The bricks of a grid whose centre `keep(x, y, z)` accepts.

    Attributes
    ----------
    low, high, centre, edge : (3, n) corners, centres and edge lengths of the bricks
    nodes : (20, n) node numbers
    place : (3, n_nodes) coordinates
    """

    def __init__(self, planes: tuple[Array, Array, Array], keep: Callable[[Array, Array, Array], Mask]) -> None:
        grid = MeshHex.init_tensor(*planes)
        kept = upright(grid)[:, keep(*grid.p[:, grid.t].mean(axis=1))]
        used, corners = np.unique(kept, return_inverse=True)
        mesh = MeshHex(np.ascontiguousarray(grid.p[:, used]), corners.reshape(kept.shape))
        basis = Basis(mesh, ElementHexS2(), intorder=1)
        self.low, self.high = mesh.p[:, mesh.t].min(axis=1), mesh.p[:, mesh.t].max(axis=1)
        self.centre, self.edge = (self.low + self.high) / 2, self.high - self.low
        self.nodes, self.place = basis.element_dofs.astype(np.int64), basis.doflocs
        self.size = 3 * self.place.shape[1]

    @property
    def volume(self) -> Array:
        """(n,) volumes, mm3."""
        volume: Array = self.edge.prod(axis=0)
        return volume

    @cached_property
    def unknowns(self) -> Index:
        """(n, 60) numbers of the bricks' unknowns."""
        unknowns: Index = (3 * self.nodes.T[:, :, None] + np.arange(3)).reshape(-1, 60)
        return unknowns

    @cached_property
    def reference(self) -> Array:
        """(9, 3600) stiffness per product of gradients along two axes, on the unit cube."""
        points, weights = gauss(2)
        slope = gradients(points)
        pairs = np.einsum("iaq,jbq,q->abij", slope, slope, weights)
        laws = np.einsum("ask,st,btl->abkl", STRAIN, elasticity(), STRAIN)
        reference: Array = np.einsum("abij,abkl->abikjl", pairs, laws).reshape(9, 3600)
        return reference

    def stiffness_of(self, chosen: Index) -> Array:
        """(m, 60, 60) stiffness of the chosen bricks."""
        edge = self.edge[:, chosen]
        factor = (self.volume[chosen] / edge[:, None] / edge[None, :]).reshape(9, -1)
        stiffness: Array = (factor.T @ self.reference).reshape(-1, 60, 60)
        return stiffness

    @cached_property
    def upper_stiffness(self) -> sp.csr_matrix:
        """Upper triangle of the whole stiffness matrix."""
        whole = sp.csr_matrix((self.size, self.size))
        for start in range(0, self.nodes.shape[1], CHUNK):
            chosen = np.arange(start, min(start + CHUNK, self.nodes.shape[1]))
            at = self.unknowns[chosen].astype(np.int32)
            row, column = np.broadcast_arrays(at[:, :, None], at[:, None, :])
            upper = row <= column
            part = self.stiffness_of(chosen)[upper], (row[upper], column[upper])
            whole = whole + sp.coo_matrix(part, shape=whole.shape).tocsr()
        return whole

    def inside(self, *ranges: tuple[float, float] | None) -> Index:
        """Bricks whose centre lies within the ranges of x, y, z (None: any)."""
        good = np.ones(self.nodes.shape[1], dtype=bool)
        for centre, span in zip(self.centre, ranges, strict=True):
            if span is not None:
                good &= (span[0] < centre) & (centre < span[1])
        return np.flatnonzero(good)

    def patch(self, chosen: Index, axis: int) -> Array:
        """Unit force along the axis, spread evenly over the volume of the bricks; times u it is their mean movement."""
        points, weights = gauss(3)
        share = shapes(points) @ weights
        volume = self.volume[chosen]
        force = np.zeros(self.size)
        np.add.at(force, 3 * self.nodes[:, chosen] + axis, share[:, None] * volume / volume.sum())
        return force

    def resultant(self, u: Array, cut: tuple[int, float], chosen: Index, about: Array) -> Array:
        """Force and moment (6,) on the face with outward normal along +axis of the chosen bricks that end on the plane.

        Sum of the nodal forces of the layer that lies just below the plane; `cut` is (axis, position).
        """
        axis, position = cut
        layer = chosen[abs(self.high[axis, chosen] - position) < SAME]
        if not len(layer):
            raise LookupError(f"no bricks end on the plane {'xyz'[axis]} = {position}")
        nodal = np.einsum("eij,ej->ei", self.stiffness_of(layer), u[self.unknowns[layer]])
        force = np.zeros(self.size)
        np.add.at(force, self.unknowns[layer], nodal)
        on = np.unique(self.nodes[:, layer])
        on = on[abs(self.place[axis, on] - position) < SAME]
        pulls = force.reshape(-1, 3)[on]
        arms = self.place[:, on].T - about
        six: Array = np.r_[pulls.sum(axis=0), np.cross(arms, pulls).sum(axis=0)]
        return six

    def axial(self, u: Array, chosen: Index, y: float | None = None) -> tuple[Array, Array]:
        """Axial stress xx along x: stations (m,) of the Gauss points and the mean over the chosen bricks of each layer.

        With `y` the stress is taken at that y by the straight line through the two Gauss points of each brick.
        """
        points, _ = gauss(2)
        slope = gradients(points)
        moved = u[self.unknowns[chosen]].reshape(len(chosen), 20, 3)
        grad = np.einsum("iaq,eik->eaqk", slope, moved) / self.edge[:, chosen].T[:, :, None, None]
        stress = np.einsum("s,ask,eaqk->eq", elasticity()[0], STRAIN, grad).reshape(-1, 2, 2, 2).mean(axis=3)  # e, x, y
        part = np.full((2, len(chosen)), 0.5)
        if y is not None:
            part[1] = ((y - self.low[1, chosen]) / self.edge[1, chosen] - points[1, 0]) / (points[1, 2] - points[1, 0])
            part[0] = 1 - part[1]
        stress = np.einsum("exy,ye->ex", stress, part)
        station = self.low[0, chosen][:, None] + self.edge[0, chosen][:, None] * points[0, [0, 4]]
        area = np.broadcast_to((self.edge[1, chosen] * self.edge[2, chosen])[:, None], station.shape)
        x, layer = np.unique(np.round(station, 6), return_inverse=True)
        layer = layer.ravel()
        return x, np.bincount(layer, (stress * area).ravel()) / np.bincount(layer, area.ravel())

    def node_at(self, point: Sequence[float]) -> int:
        """The node at a point."""
        far = abs(self.place - np.asarray(point)[:, None]).max(axis=0)
        if far.min() > SAME:
            raise LookupError(f"no node at {point}")
        return int(far.argmin())

    def moved_along(self, u: Array, x: Array, point: tuple[float, float], axis: int) -> Array:
        """Movement along the axis at stations x of the line (y, z), between its nodes by straight lines."""
        on = np.flatnonzero((abs(self.place[1] - point[0]) < SAME) & (abs(self.place[2] - point[1]) < SAME))
        on = on[np.argsort(self.place[0, on])]
        moved: Array = np.interp(x, self.place[0, on], u[3 * on + axis])
        return moved


def upright(grid: MeshHex) -> Index:
    """(8, n) corners of a grid's cells in the order that makes the cells' own axes x, y, z."""
    first = grid.p[:, grid.t[:, 0]]
    high = (first > first.mean(axis=1, keepdims=True)).T
    order = [int(np.flatnonzero((high == (corner > 0.5)).all(axis=1))[0]) for corner in ElementHexS2.refdom.p.T]
    return np.ascontiguousarray(grid.t[order], dtype=np.int64)


def gradients(points: Array) -> Array:
    """(20, 3, q) slopes of the shape functions on the unit cube."""
    element = ElementHexS2()
    return np.array([element.lbasis(points, i)[1] for i in range(20)])


def shapes(points: Array) -> Array:
    """(20, q) shape functions on the unit cube."""
    element = ElementHexS2()
    return np.array([element.lbasis(points, i)[0] for i in range(20)])


def solve(upper: sp.csr_matrix, held: Index, loads: Array) -> tuple[Array, Array, float]:
    """Movements (unknowns, cases) with the unknowns `held` at zero, the forces that hold them, solver memory in GiB."""
    free = np.setdiff1d(np.arange(upper.shape[0]), held)
    solver = pypardiso.PyPardisoSolver(mtype=2)
    matrix = upper[free][:, free].tocsr()
    matrix.sort_indices()
    solver.factorize(matrix)
    u = np.zeros(loads.shape)
    u[free] = np.asarray(solver.solve(matrix, np.asfortranarray(loads[free]))).reshape(len(free), -1)
    memory = max(solver.iparm[14], solver.iparm[15] + solver.iparm[16]) / 1024**2
    solver.free_memory(everything=True)
    forces = upper @ u + upper.T @ u - upper.diagonal()[:, None] * u - loads
    return u, forces[held], float(memory)
