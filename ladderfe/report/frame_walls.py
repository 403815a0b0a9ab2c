"""The real walls of the frame between neighbouring sections looked at, their movements and their values."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.errors import ModelError
from ladderfe.mesh import Mesh, warped
from ladderfe.report.scene import Kind
from ladderfe.sections import Section, properties
from ladderfe.solve import Frame

__all__ = [
    "VALUES", "SectionStrips", "WallStrips", "corner_movements", "corner_values", "moved_corners", "section_strips",
    "strips_between", "wall_strips",
]  # fmt: skip

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: What a picture may show: word -> (what the legend says, unit, kind of colouring).
VALUES: dict[str, tuple[str, str, Kind]] = {
    "utilisation": ("utilisation", "", "utilisation"),
    "von-mises": ("von Mises stress", "N/mm2", "size"),
    "bending": ("normal stress, tension positive", "N/mm2", "signed"),
    "shear": ("shear stress", "N/mm2", "size"),
}


@dataclass(frozen=True, slots=True, eq=False)
class SectionStrips:
    """k strips of a section's walls between two stress points: place (k, 2, 2) (y, z) of both edges, points (k, 2, f)
    stress points there (f faces), mean (k,) the wall among those with an average shear stress, wall names."""

    place: Array
    points: IntArray
    mean: IntArray
    walls: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class WallStrips:
    """All walls of a frame as q quads.

    corners (q, 4, 3) mm; rows (q, 4) of the findings' sections and points (q, 4, 2) stress points there (two faces);
    mean (q,) which of the section's walls it is among those with an average shear stress; member (q,); offset
    (q, 4, 3) from the member's reference line, vehicle axes; names of the walls.
    """

    corners: Array
    rows: IntArray
    points: IntArray
    mean: IntArray
    member: IntArray
    offset: Array
    walls: tuple[str, ...]


@lru_cache(maxsize=1024)
def section_strips(section: Section) -> SectionStrips:
    """A section's walls as strips between its stress points."""
    p = properties(section).points
    place, points, mean, walls = [], [], [], []
    for k, w in enumerate(dict.fromkeys(int(i) for i in p.index)):
        own = np.nonzero(p.index == w)[0]
        wall = section.walls[w]
        if wall.bulge:
            place.append([wall.start, wall.end])
            points.append([[own[0], own[-1]]] * 2)
            mean.append(k)
            walls.append(wall.name)
            continue
        faces = own.reshape(-1, 3)  # start, end, middle of each face
        ends = [
            ((p.y[f[i]] + p.y[g[i]]) / 2, (p.z[f[i]] + p.z[g[i]]) / 2)
            for f, g in [(faces[0], faces[-1])]
            for i in (0, 2, 1)
        ]
        if len(faces) > 1:
            ends = [wall.start, ((wall.start[0] + wall.end[0]) / 2, (wall.start[1] + wall.end[1]) / 2), wall.end]
        for a, b in ((0, 1), (1, 2)):
            place.append([ends[a], ends[b]])
            points.append([[faces[0][(0, 2, 1)[i]], faces[-1][(0, 2, 1)[i]]] for i in (a, b)])
            mean.append(k)
            walls.append(wall.name)
    index, among = (np.array(v, dtype=np.int64) for v in (points, mean))
    return SectionStrips(np.array(place), index, among, tuple(walls))


def wall_strips(findings: Findings) -> WallStrips:
    """Every wall between neighbouring sections looked at, so that the corners hold all the stresses found."""
    return strips_between(findings.solution.mesh, findings.rows.member, findings.rows.x)


def strips_between(mesh: Mesh, sections: IntArray, x: Array) -> WallStrips:
    """Every wall between neighbouring sections of members `sections` (r,) at x (r,) from their end 1, in order."""
    pair = np.nonzero((sections[1:] == sections[:-1]) & (x[1:] > x[:-1] + 1e-9))[0]
    origin = mesh.end_points()[:, 0]
    corners, rows, points, mean, member, offset = [], [], [], [], [], []
    walls: list[str] = []
    for a in pair:
        m = int(sections[a])
        strips = section_strips(mesh.least_sections[int(mesh.section_of[m])])
        k = len(strips.walls)
        axes = mesh.axes[m]
        off = strips.place @ axes[1:]  # (k, 2, 3)
        line = origin[m] + x[[a, a + 1], None] * axes[0]
        four = np.stack([off[:, 0], off[:, 1], off[:, 1], off[:, 0]], axis=1)
        offset.append(four)
        corners.append(four + line[[0, 0, 1, 1]])
        rows.append(np.broadcast_to([a, a, a + 1, a + 1], (k, 4)))
        points.append(strips.points[:, [0, 1, 1, 0]])
        mean.append(strips.mean)
        member.append(np.full(k, m))
        walls += strips.walls
    return WallStrips(
        np.concatenate(corners),
        np.concatenate(rows),
        np.concatenate(points),
        np.concatenate(mean),
        np.concatenate(member),
        np.concatenate(offset),
        tuple(walls),
    )


def corner_movements(findings: Findings, strips: WallStrips) -> Array:
    """(q, 4, 3, c) movement of the corners: their section moves as a plane, warps and racks."""
    s, r = findings.solution, findings.rows
    return moved_corners(s.mesh, s.frame, strips, (r.member, r.x), s.movements)


def moved_corners(
    mesh: Mesh, frame: Frame, strips: WallStrips, sections: tuple[IntArray, Array], movements: Array
) -> Array:
    """(q, 4, 3, c) the same for the movements (unknowns, c) of a frame; sections: those between which the strips lie
    (member and x)."""
    member, x = sections
    own = frame.kernels.influence(member, x) @ frame.member_movements(movements)[member]  # (rows, 8, c)
    axes = mesh.axes[member].transpose(0, 2, 1)
    move, turn = axes @ own[:, :3], axes @ own[:, 3:6]
    arm = np.broadcast_to(strips.offset[..., None], (*strips.offset.shape, own.shape[2]))
    out: Array = move[strips.rows] + np.cross(turn[strips.rows], arm, axis=2)
    for m in np.unique(strips.member[mesh.kind[strips.member] > 0]):
        mine, section = np.flatnonzero(strips.member == m), int(mesh.section_of[m])
        places = (strips.offset[mine] @ mesh.axes[m].T)[..., 1:].reshape(-1, 2)
        kind = int(mesh.kind[m])
        by = warped(mesh.shapes[section], mesh.sections[section], mesh.origin[m], kind, places) @ mesh.axes[m]
        amount = own[strips.rows[mine], 6 : 6 + kind]  # (q, 4, k, c)
        out[mine] += np.einsum("qxkd,qxkc->qxdc", by.reshape(len(mine), 4, kind, 3), amount)
    return out


def corner_values(findings: Findings, strips: WallStrips, what: str) -> Array:
    """(q, 4, c) the value at the corners; of a wall's two faces the larger in size.

    Utilisation is the greatest of all criteria, that of the whole wall's average shear included.
    """
    st, c = findings.stresses, findings.chassis.criteria
    if what == "utilisation":
        table = np.maximum(np.abs(st.normal) / c.bending, st.von_mises / c.von_mises)
    elif what in VALUES:
        table = {"von-mises": st.von_mises, "bending": st.normal, "shear": np.abs(st.shear)}[what]
    else:
        raise ModelError("picture", f"{what!r} is not something to colour by", "Use one of " + ", ".join(VALUES))
    both = table[strips.rows[:, :, None], strips.points]  # (q, 4, f, c)
    pick = np.argmax(np.abs(both), axis=2)
    values: Array = np.take_along_axis(both, pick[:, :, None], axis=2)[:, :, 0]
    if what == "utilisation":
        values = np.maximum(values, np.abs(st.mean[strips.rows, strips.mean[:, None]]) / c.shear)
    return values
