"""Stress points of sections in many states: the same numbers as `coefficients`, family by family."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import LAST, MY, MZ, VY, VZ, B, N, T
from ladderfe.checks.stress import PointTable, table_of
from ladderfe.sections import Box
from ladderfe.sections.alike import Alike, Many
from ladderfe.solve.variant_sections import SectionStates

__all__ = ["stacked_table"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Four = tuple[Array, Array, Array, Array]


def stacked_table(stiff: SectionStates, least: SectionStates | None = None) -> PointTable:
    """Of all sections that vary, states first, and then of all sections of the mesh: numbered as
    `SectionStates.stacked` does.  least: the sections by which strength is judged, None: those of stiffness."""
    states = stiff if least is None else least
    mesh, v = states.sections.varied.mesh, states.count
    base = table_of(mesh)
    walls, labels, mean_walls, parts = [], [], [], []
    for (own, alike), many in zip(states.sections.families, states.many, strict=True):
        parts.append(_coefficients(states, own, alike, many))
        if states is not stiff:
            parts[-1] = _under_forces_of(parts[-1], (states, own, alike, many), stiff)
        names = tuple(alike.sections[0].walls[k].name for k in many.wall.tolist())
        walls += [names] * len(own)
        labels += [alike.labels] * len(own)
        mean_walls += [tuple(alike.sections[0].walls[k].name for k in dict.fromkeys(many.wall.tolist()))] * len(own)
    count = [(len(w), len(m)) for w, m in zip(walls, mean_walls, strict=True)]
    p, w = np.maximum(base.count.max(axis=0), np.max(count, axis=0))

    def join(number: int, size: int, still: Array) -> Array:
        own = [_padded(part[number].reshape(v, -1, *part[number].shape[1:]), 2, size) for part in parts]
        both = np.concatenate(own, axis=1)
        return np.concatenate([both.reshape(-1, *both.shape[2:]), _padded(still, 1, size)])

    real = np.zeros((v, len(walls), p), dtype=bool)
    for k, (points, _) in enumerate(count):
        real[:, k, :points] = True
    return PointTable(
        walls=tuple(walls) * v + base.walls, labels=tuple(labels) * v + base.labels,
        real=np.concatenate([real.reshape(-1, p), _padded(base.real, 1, p).astype(bool)]),
        count=np.concatenate([np.tile(np.array(count), (v, 1)), base.count]),
        normal=join(0, p, base.normal), shear=join(1, p, base.shear),
        mean_walls=tuple(mean_walls) * v + base.mean_walls, mean=join(2, w, base.mean), across=join(3, p, base.across),
    )  # fmt: skip


def _padded(a: NDArray[Any], axis: int, size: int) -> NDArray[Any]:
    more = [(0, 0)] * a.ndim
    more[axis] = (0, size - a.shape[axis])
    return np.pad(a, more)


def _coefficients(states: SectionStates, own: IntArray, alike: Alike, m: Many) -> Four:
    """Normal and shear (n, p, 8), mean (n, w, 8), across (n, p)."""
    normal, line = _normal(m), np.zeros((*m.y.shape, 8))
    line[..., VY : T + 1] = m.tau
    warps = (m.Iw > 0)[:, None]
    line[..., LAST] = np.where(warps, m.tau_warp - m.tau[..., 2], 0.0)
    across = np.zeros(m.y.shape)
    if isinstance(alike.shapes[0], Box):
        across = _add_racking(states, own, (alike, m), normal, line)
    mean = _mean(m, line)
    line[..., T] += m.tau_face
    line[..., LAST] -= np.where(warps, m.tau_face, 0.0)
    return normal, line, mean, across


def _under_forces_of(
    found: Four, least: tuple[SectionStates, IntArray, Alike, Many], stiff: SectionStates
) -> Four:  # fmt: skip
    """As `least_walls.under_forces_of`: per unit resultants of the sections of stiffness."""
    states, own, alike, m = least
    other, q = next((a, m2) for (o, a), m2 in zip(stiff.sections.families, stiff.many, strict=True)
                    if np.array_equal(o, own))  # fmt: skip
    by = np.repeat(np.eye(8)[None], len(m.A), axis=0)
    by[:, MY, N], by[:, MZ, N] = q.centroid[:, 1] - m.centroid[:, 1], m.centroid[:, 0] - q.centroid[:, 0]
    by[:, T, VZ] = q.shear_centre[:, 0] - m.shear_centre[:, 0]
    by[:, T, VY] = m.shear_centre[:, 1] - q.shear_centre[:, 1]
    warps = m.Iw > 0
    for v in (VY, VZ):
        by[warps, LAST, v] = by[warps, T, v]
    normal, shear, mean, across = found
    if isinstance(alike.shapes[0], Box):
        bent = 6 * stiff.box_walls(own, other.shapes)[0].frame(1.0, 0.0).moment
        rest = np.zeros((2, *normal.shape))
        across = _add_racking(states, own, (alike, m), rest[0], rest[1], bent)
    return normal @ by, shear @ by, mean @ by, across


def _normal(m: Many) -> Array:
    y, z = m.y - m.centroid[:, :1], m.z - m.centroid[:, 1:]
    inverse = np.linalg.inv(m.moments[:, ::-1, ::-1])  # [[Iyy, Iyz], [Iyz, Izz]]
    linear = np.stack([z, y], axis=2) @ inverse
    out = np.zeros((*y.shape, 8))
    out[..., N] = 1 / m.A[:, None]
    out[..., MY], out[..., MZ] = linear[..., 0], -linear[..., 1]
    warps = (m.Iw > 0)[:, None]
    out[..., B] = np.where(warps, m.omega / np.where(warps, m.Iw[:, None], 1.0), 0.0)
    out *= m.modulus[..., None]
    return out


def _add_racking(
    states: SectionStates, own: IntArray, family: tuple[Alike, Many], normal: Array, line: Array,
    moment: Array | None = None,
) -> Array:  # fmt: skip
    """As `coefficients` adds it: racking's normal stress and shear flow; returned (n, p), the stress across walls, of
    six times the moments (n, 4, 2) of other walls where given."""
    alike, m = family
    walls, pole = states.box_walls(own, alike.shapes)
    found, thickness = walls.membrane(), walls.thickness
    moment = 6 * walls.frame(1.0, 0.0).moment if moment is None else moment
    bent = moment / thickness[:, :, None] ** 2
    y, z = m.y - pole[:, :1], m.z - pole[:, 1:]
    one, by_y, by_z = (c[:, None] for c in found.plane.T)
    normal[..., B] = (y * z - one - by_y * y - by_z * z) / found.inertia[:, None]
    along = m.flows.lines.along[:, m.wall]
    upright = np.abs(along[..., 1]) > np.abs(along[..., 0])
    which = np.where(upright, y > 0, 2 + (z < 0))
    way = np.sign(np.where(upright, along[..., 1], along[..., 0]))
    share = np.where(upright, z / walls.height[:, None], y / walls.width[:, None])
    share = np.clip(share + 0.5, 0, 1)
    n = np.arange(len(y))[:, None]
    c0, c1, c2 = np.moveaxis(found.racking_flow[n, which], 2, 0)
    line[..., LAST] = way * (c0 + share * (c1 + share * c2)) / thickness[n, which]
    first, last = np.moveaxis(bent[n, which], 2, 0)
    return np.asarray(np.abs((1 - share) * first - share * last))


def _mean(m: Many, line: Array) -> Array:
    """(n, w, 8) average shear stress of the walls."""
    out = []
    for w in dict.fromkeys(m.wall.tolist()):
        own = np.flatnonzero(m.wall == w)[:3]
        if len(own) < 3:  # a curved piece counts by its middle
            out.append(line[:, own[0]])
            continue
        length, thickness = m.flows.lines.length[:, w], m.flows.lines.thickness[:, w]
        whole = np.maximum(m.true_length[:, w], thickness)
        simpson = (line[:, own[0]] + 4 * line[:, own[2]] + line[:, own[1]]) / 6
        out.append(simpson * (length / whole)[:, None])
    return np.stack(out, axis=1)
