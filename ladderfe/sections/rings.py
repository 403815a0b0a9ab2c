"""Shear flow of many sections that are one ring of walls, in closed form: the same numbers as `flow.solve_flows`.

Walked around, the flow is the sum of what the stress takes from it, and one flow more all round that closes the ring
without twist (shear) or is Bredt's (torque).  Arrays inside have the sections last, so that every step is one pass over
all of them.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ladderfe.sections.flow import NO_WARPING, STRIP, Flows, is_ruled_by_cells, torsion_of
from ladderfe.sections.graph import Graph
from ladderfe.sections.lines import Array, Lines

__all__ = ["ring_flows", "ring_of"]


class Step(NamedTuple):
    """A wall on the way round: its number, 1 where walked from start to end, else -1, and the node it leads to."""

    wall: int
    way: int
    to: int


def ring_of(graph: Graph) -> list[Step] | None:
    """The walls of a section on the way round from its first node; None where they are no one ring."""
    ends = np.asarray(graph.ends).reshape(-1, 2).tolist()
    if any(graph.open) or set(np.bincount(np.ravel(ends)).tolist()) != {2}:
        return None
    left, node, out = dict(enumerate(ends)), 0, []
    while left:
        wall = next((i for i, pair in left.items() if node in pair), None)
        if wall is None:  # more rings than one
            return None
        start, end = left.pop(wall)
        way = 1 if start == node else -1
        node = end if way > 0 else start
        out.append(Step(wall, way, node))
    return out


def ring_flows(lines: Lines, ring: list[Step]) -> Flows | None:
    """The flows of sections that are such rings; None where one lies on a line or is not ruled by its cell."""
    zz, yz, yy = lines.moments[:, 0, 0], lines.moments[:, 0, 1], lines.moments[:, 1, 1]
    det, trace = zz * yy - yz * yz, zz + yy
    if (det <= STRIP * trace**2).any():
        return None
    length, metal, rho = lines.length.T, lines.metal.T, lines.rho.T  # (w, n)
    soft = length / (lines.modulus.T * lines.thickness.T)
    y, z = np.moveaxis(lines.arms, (3, 0), (0, 3)) * metal[:, None]  # (w, 2 ends, n)
    rate = np.stack([y * (yy / det) - z * (yz / det), z * (zz / det) - y * (yz / det)], axis=2)  # (w, 2, Vy Vz, n)
    q = np.zeros((*rate.shape[:1], 3, 4, len(det)))
    mean = _closed(rate, soft, ring)
    q[:, 0, :2], q[:, 1, :2], q[:, 2, :2] = (
        mean + rate[:, 0] / 3 + rate[:, 1] / 6, -rate[:, 0], (rate[:, 0] - rate[:, 1]) / 2
    )  # fmt: skip
    way = np.zeros(len(ring))
    way[[s.wall for s in ring]] = [s.way for s in ring]
    around = way[:, None] * ((way[:, None] * rho * length).sum(axis=0) / soft.sum(axis=0))
    turning = ((rho * length)[:, None] * mean).sum(axis=0)
    omega, Iw = _sectorial(lines, soft * around - rho * length, turning, ring)
    if not is_ruled_by_cells(lines, Iw, (rho * length * around).sum(axis=0)).all():
        return None
    torsion = torsion_of(lines, around.T, Iw, np.zeros(len(det), dtype=bool))
    q[:, 0, 2] = around / (torsion.J_cells + torsion.J_open)
    flexible = np.zeros((3, 3, len(det)))
    flexible[:2, :2] = _flexibility(soft, q[:, :, :2])
    centre = np.stack([turning[1], -turning[0]], axis=1)
    return Flows(
        lines, np.moveaxis(q, 3, 0), *torsion, centre, np.moveaxis(flexible, 2, 0), np.moveaxis(omega, 2, 0), Iw,
        np.zeros(len(det)),
    )  # fmt: skip


def _closed(rate: Array, soft: Array, ring: list[Step]) -> Array:
    """(w, 2, n) mean flows of shear that leave the ring untwisted, from metal x stress rate at the walls' ends (w, 2,
    2, n)."""
    mean, before = np.zeros_like(rate[:, 0]), np.zeros_like(rate[0, 0])
    turn = np.zeros_like(before)
    for wall, way, _ in ring:
        first, last = rate[wall][::way]
        mean[wall] = before - first / 3 - last / 6
        turn += mean[wall] * soft[wall]
        before = before - (first + last) / 2
    mean -= turn / soft.sum(axis=0)
    for wall, way, _ in ring:
        mean[wall] *= way
    return mean


def _flexibility(soft: Array, q: Array) -> Array:
    """(2, 2, n) integral of q q^T/(m t) for the flows q (w, 3 powers, 2, n) of shear."""
    c0, c1, c2 = np.moveaxis(q, 1, 0) * soft[:, None]
    by = q[:, 0], q[:, 1], q[:, 2]
    parts = c0 + c1 / 2 + c2 / 3, c0 / 2 + c1 / 3 + c2 / 4, c0 / 3 + c1 / 4 + c2 / 5
    out = np.zeros((2, 2, soft.shape[1]))
    for i, j in ((0, 0), (0, 1), (1, 1)):
        out[i, j] = out[j, i] = sum((a[:, i] * b[:, j]).sum(axis=0) for a, b in zip(by, parts, strict=True))
    return out


def _sectorial(lines: Lines, growth: Array, turning: Array, ring: list[Step]) -> tuple[Array, Array]:
    """(w, 2 ends, n) sectorial coordinate about the shear centre, mean 0, and Iw (n,); from the growth of warping along
    walls (w, n), and the torque of the flows of Vy and Vz (2, n)."""
    warp = np.zeros((len(ring), growth.shape[1]))
    here = 0
    for wall, way, to in ring[:-1]:
        warp[to], here = warp[here] + way * growth[wall], to
    y, z = np.moveaxis(lines.ends, (3, 0), (0, 3))
    omega = -warp[np.asarray(lines.graph.ends)].reshape(y.shape) - (y * turning[0] + z * turning[1])
    metal = lines.metal.T
    omega -= (metal * (omega[:, 0] + omega[:, 1])).sum(axis=0) / (2 * lines.area)
    one, two = omega[:, 0], omega[:, 1]
    Iw = (metal * (one * one + one * two + two * two)).sum(axis=0) / 3
    none = Iw < NO_WARPING * (lines.moments[:, 0, 0] + lines.moments[:, 1, 1]) ** 2 / lines.area
    omega[:, :, none], Iw[none] = 0.0, 0.0
    return omega, Iw
