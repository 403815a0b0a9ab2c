"""Loads of a frame's own and carried masses as sums of a few fixed patterns, so that only their amounts vary.

A line mass under the six unit body fields brings forces along x, y and z that run as 1, x, y or z along it
(`body_forces`): nine patterns, of a mass that is 1 at the line's start and 0 at its end, and the other way round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass
from ladderfe.elements import LineLoads
from ladderfe.errors import ModelError
from ladderfe.mesh import Mesh
from ladderfe.solve.body_forces import METRE, line_runs, unit_fields

__all__ = ["Patterns", "own_lines"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: Direction of every pattern's force, and along which axis it grows (None: even).
NINE = ((0, None), (0, 1), (0, 2), (1, None), (1, 0), (1, 2), (2, None), (2, 0), (2, 1))
#: Of the unit body fields, what goes with each pattern where masses act on the members: (pattern, field, factor).
PLAIN = ((0, 0, 1), (2, 4, 1), (1, 5, -1), (3, 1, 1), (5, 3, -1), (4, 5, 1), (6, 2, 1), (8, 3, 1), (7, 4, -1))


@dataclass(frozen=True, eq=False)
class Patterns:
    """Line masses of a mesh by patterns.

    lines: line loads of l x e x 9 patterns (lines, mass at start or end, or even: e is 1; `NINE`) on members; which
    (k,): whose line each piece is.  sums (l, e, 6): of mass, mass x z, x, y, z x, z y; normal (l, e, 3, 3): as in
    `body_forces`, of line masses per unit at start and end.
    """

    lines: LineLoads
    which: IntArray
    sums: Array
    normal: Array

    @staticmethod
    def of(mesh: Mesh, masses: Sequence[LineMass], *, even: bool = False) -> Patterns:
        """Patterns of line masses whatever their size; even: as large at their start as at their end.

        ModelError where some have a height and others none."""
        if len({x.height is None for x in masses}) > 1:
            raise ModelError("body", "some line masses have a height and others none", "Give all or none")
        run, which, unit = line_runs(mesh, masses)
        unit = unit.sum(axis=2, keepdims=True) if even else unit
        parts = unit.shape[2]
        axes = mesh.axes[run.member]
        origin = mesh.nodes[mesh.ends[run.member, 0]] + mesh.arms[run.member, 0]
        at = origin + run.start[:, None] * axes[:, 0] + run.point[:, :1] * axes[:, 1] + run.point[:, 1:] * axes[:, 2]
        force = np.zeros((len(which), 3, 3, len(masses), parts, 9))
        k = np.arange(len(which))
        for p, (way, grows) in enumerate(NINE):
            here = np.ones(len(which)) if grows is None else at[:, grows]
            growth = np.zeros(len(which)) if grows is None else axes[:, 0, grows]
            for e in range(parts):
                m0, m1 = unit[:, 0, e], unit[:, 1, e]
                size = np.stack([m0 * here, m0 * growth + m1 * here, m1 * growth], axis=1)
                force[k, :, :, which, e, p] = size[:, :, None] * axes[:, None, :, way]
        sums, normal = _sums(len(masses), which, (at, axes[:, 0], run.end - run.start), unit)
        lines = LineLoads(run.member, run.start, run.end, run.point, force.reshape(len(which), 3, 3, -1))
        return Patterns(lines, which, sums, normal)

    def amounts(self, size: Array, height: Array | None) -> Array:
        """(v, l x e x 9, 6) of each pattern per unit body field, for masses per mm at start and end (v, l, 2) whose
        centre lies at `height` (v,) or, where None, on the members."""
        size = size[:, :, : self.sums.shape[1]]
        v = len(size)
        each = np.zeros((v, 9, 6))
        for p, field, factor in PLAIN:
            if height is None or NINE[p][1] != 2:
                each[:, p, field] += factor
        if height is not None:
            each[:, 0, 4], each[:, 3, 3] = height, -height
            each[:, 6:9] += self._shares(size, height)
        out: Array = (size[:, :, :, None, None] * each[:, None, None]).reshape(v, -1, 6)
        return out

    def _shares(self, size: Array, h: Array) -> Array:
        """(v, 3, 6) vertical forces per unit mass as 1, x, y, as in `body_forces`."""
        m, mz, mx, my, mzx, mzy = np.einsum("vle,leq->qv", size, self.sums)
        up = h * m - mz
        wanted = np.zeros((len(h), 3, 6))
        wanted[:, 1, 1], wanted[:, 1, 3], wanted[:, 1, 5] = -up, h * up, -(h * mx - mzx)
        wanted[:, 2, 0], wanted[:, 2, 4], wanted[:, 2, 5] = up, h * up, -(h * my - mzy)
        normal = np.einsum("vle,leij->vij", size, self.normal)
        out: Array = np.linalg.solve(normal, wanted / METRE) / np.array([[1.0], [METRE], [METRE]])
        return out


def _sums(lines: int, which: IntArray, run: tuple[Array, Array, Array], unit: Array) -> tuple[Array, Array]:
    start, along, length = run
    sums, normal = np.zeros((lines, unit.shape[2], 6)), np.zeros((lines, unit.shape[2], 3, 3))
    for s in (0.5 - np.sqrt(1 / 12), 0.5 + np.sqrt(1 / 12)):  # exact to the third degree
        x, y, z = (start + s * length[:, None] * along).T
        m = (unit[:, 0] + unit[:, 1] * (s * length)[:, None]) * length[:, None] / 2
        own = np.stack([np.ones_like(x), z, x, y, z * x, z * y], axis=1)
        np.add.at(sums, which, m[:, :, None] * own[:, None])
        place = np.stack([np.ones_like(x), x / METRE, y / METRE], axis=1)
        arm = place[:, [0, 2, 1]] * [1.0, 1.0, -1.0]
        np.add.at(normal, which, m[:, :, None, None] * (arm[:, :, None] * place[:, None])[:, None])
    return sums, normal


def own_lines(start: Array, axes: Array, length: Array, metal: tuple[Array, Array]) -> LineLoads:
    """Own mass of n members under unit body fields: (n, 3) where their reference lines begin, axes (n, 3, 3), length
    (n,); metal: mass per mm (n,) and centroid (n, 2)."""
    mass, centroid = metal
    at = start + centroid[:, :1] * axes[:, 1] + centroid[:, 1:] * axes[:, 2]
    here, there = unit_fields(at), unit_fields(at + axes[:, 0])
    here, growth = axes @ here, axes @ (there - here)
    force = mass[:, None, None, None] * np.stack([here, growth, np.zeros_like(here)], axis=1)
    n = len(length)
    return LineLoads(np.arange(n), np.zeros(n), length, centroid, force)
