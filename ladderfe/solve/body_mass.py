"""The body's mass where its centre lies above or below the rails that carry it.

In statics the residual is a rigid body on even support: its forces in plan act along the rails, the couple that their
height brings as vertical forces  mass x (c0 + c1 x + c2 y)  (`body_forces`).  By virtual work that says how it moves:
the mass at a place of the rails moves up and down with it, and in plan with it plus the height `up` times the turn of
the body,

    ux + up ty,   uy - up tx,   uz,      (t0, tx, ty) = N^-T int m (1, x, y) uz,   N = int m (1, y, -x)^T (1, x, y),

the turn of the plane that fits the rails' vertical movement best.  Beside the line masses this brings, with ax and ay
the movements int m up ux, int m up uy and S = int m up^2:  2 ax ty - 2 ay tx + S (tx^2 + ty^2).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass
from ladderfe.elements import LineLoads
from ladderfe.mesh import Mesh
from ladderfe.solve.frame import Frame

__all__ = ["body_above"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: mm; brings arms and masses of a body to about 1, as in `body_forces`.
METRE = 1000.0


def body_above(
    mesh: Mesh, frame: Frame, lines: Sequence[LineMass], pieces: tuple[LineLoads, IntArray, Array]
) -> tuple[Array, Array]:
    """Rows (unknowns, 4) and core (4, 4), whose product rows core rows^T is what the height adds to the mass matrix;
    none where no line has a height.

    pieces: line loads on the members, which line each is of, and their mass per mm (k, 2) at the start and its growth.
    """
    loads, which, size = pieces
    height = np.array([np.nan if line.height is None else line.height for line in lines], dtype=float)[which]
    own = np.flatnonzero(~np.isnan(height))
    if not len(own):
        return np.zeros((frame.unknowns, 0)), np.zeros((0, 0))
    start, along = _places(mesh, loads, own)
    mass, length = size[own], (loads.end - loads.start)[own]
    up = np.stack([height[own] - start[:, 2], -along[:, 2]], axis=1)
    place = [np.stack([start[:, i] / METRE, along[:, i] / METRE], axis=1) for i in (0, 1)]
    one = np.tile([1.0, 0.0], (len(own), 1))
    normal, square = np.zeros((3, 3)), 0.0
    for s in (0.5 - np.sqrt(1 / 12), 0.5 + np.sqrt(1 / 12)):  # exact to the third degree
        m, h, x, y = (c[:, 0] + s * length * c[:, 1] for c in (mass, up, *place))
        m = m * length / 2
        normal += np.einsum("k,ik,jk->ij", m, [np.ones_like(m), y, -x], [np.ones_like(m), x, y])
        square += float(m @ h**2)
    weights = [_times(mass, c) for c in (up, up, one, *place)]
    rows = _loaded(mesh, frame, loads, own, (weights, (0, 1, 2, 2, 2)))
    turn = np.linalg.solve(normal.T, rows[:, 2:].T).T / METRE
    core = np.zeros((4, 4))
    core[0, 3] = core[3, 0] = 1.0  # ax ty
    core[1, 2] = core[2, 1] = -1.0  # ay tx
    core[2, 2] = core[3, 3] = square
    return np.concatenate([rows[:, :2], turn[:, 1:]], axis=1), core


def _places(mesh: Mesh, loads: LineLoads, own: IntArray) -> tuple[Array, Array]:
    """(k, 3) where pieces begin, and their direction."""
    member, point = loads.member[own], loads.point[own]
    axes = mesh.axes[member]
    origin = mesh.nodes[mesh.ends[member, 0]] + mesh.arms[member, 0]
    start = origin + loads.start[own, None] * axes[:, 0] + point[:, :1] * axes[:, 1] + point[:, 1:] * axes[:, 2]
    return start, axes[:, 0]


def _times(a: Array, b: Array) -> Array:
    """(k, 3) coefficients of 1, s, s^2 of the product of two linear functions (k, 2)."""
    return np.stack([a[:, 0] * b[:, 0], a[:, 0] * b[:, 1] + a[:, 1] * b[:, 0], a[:, 1] * b[:, 1]], axis=1)


def _loaded(
    mesh: Mesh, frame: Frame, loads: LineLoads, own: IntArray, cases: tuple[list[Array], tuple[int, ...]]
) -> Array:
    """(unknowns, c) nodal loads of pieces that bear a force per length each, coefficients (k, 3), along x, y or z."""
    weights, ways = cases
    axes = mesh.axes[loads.member[own]]
    force = np.stack([w[:, :, None] * axes[:, None, :, way] for w, way in zip(weights, ways, strict=True)], axis=3)
    lines = LineLoads(loads.member[own], loads.start[own], loads.end[own], loads.point[own], force)
    return frame.gather(frame.kernels.equivalent_loads(lines))
