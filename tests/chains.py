"""Straight runs of members with more than six unknowns per node, for the tests of their kernels.

Reached through the fixture `chains` (conftest.py of the rooms that use it).  Member axes throughout; N, mm, rad.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from types import SimpleNamespace

import numpy as np

from ladderfe.elements import (
    LineLoads,
    open_beam,
    open_loads,
    open_resultants,
    racking_beam,
    racking_loads,
    racking_resultants,
)
from ladderfe.elements.beam import Beams
from ladderfe.elements.open_beam import OpenBeams
from ladderfe.elements.racking_beam import RackingBeams
from ladderfe.elements.racking_walls import BoxWalls

UNKNOWNS = ("ux", "uy", "uz", "rx", "ry", "rz")
OPEN = SimpleNamespace(
    unknowns=(*UNKNOWNS, "f"), stiffness=open_beam.stiffness, influence=open_beam.influence,
    loads=open_loads.equivalent_loads, rows=("N", "Vy", "Vz", "T", "My", "Mz", "B", "Tw"),
)  # fmt: skip
RACKING = SimpleNamespace(
    unknowns=(*UNKNOWNS, "g", "f"), stiffness=racking_beam.stiffness, influence=racking_beam.influence,
    loads=racking_loads.equivalent_loads, rows=("N", "Vy", "Vz", "T", "My", "Mz", "B", "R", "g", "f"),
)  # fmt: skip


def plain(lengths, *, ea=1e9, gj=1e9, bending=None, shear=None, centroid=(0, 0), shear_centre=(0, 0)) -> Beams:
    """Members of one section."""
    n = len(lengths)
    bending = np.diag([2e11, 5e11]) if bending is None else np.asarray(bending, float)
    shear = np.zeros((2, 2)) if shear is None else np.asarray(shear, float)
    return Beams(
        length=np.asarray(lengths, float), EA=np.full(n, float(ea)), GJ=np.full(n, float(gj)),
        bending=np.tile(bending, (n, 1, 1)), shear=np.tile(shear, (n, 1, 1)),
        centroid=np.tile(np.asarray(centroid, float), (n, 1)),
        shear_centre=np.tile(np.asarray(shear_centre, float), (n, 1)),
    )  # fmt: skip


def open_members(lengths, *, eiw, warp_shear=0.0, coupling=(0, 0), origin=(0, 0, 0), **more) -> OpenBeams:
    """Members of one open section."""
    n = len(lengths)
    return OpenBeams(
        plain(lengths, **more), np.full(n, float(eiw)), np.full(n, float(warp_shear)),
        np.tile(np.asarray(coupling, float), (n, 1)), np.tile(np.asarray(origin, float), (n, 1)),
    )  # fmt: skip


def box_members(lengths, width, height, t, *, E, nu, plates=True, at=(0.0, 0.0)) -> RackingBeams:
    """Members of a box of mid-line width and height, walls t = (minus, plus, top, bottom), its middle `at` (y, z) from
    the reference line.  Area and moments are those of the mid-lines."""
    n, g = len(lengths), E / 2 / (1 + nu)
    walls = BoxWalls(np.full(n, float(width)), np.full(n, float(height)), np.tile(np.array(t, float), (n, 1)))
    membrane = walls.membrane()
    metal = np.array([height, height, width, width]) * t
    y, z = np.array([-width, width, 0, 0]) / 2, np.array([0, 0, height, -height]) / 2
    A = metal.sum()
    yc, zc = metal @ y / A, metal @ z / A
    Iyy = metal @ z**2 + metal[:2].sum() * height**2 / 12 - A * zc**2
    Izz = metal @ y**2 + metal[2:].sum() * width**2 / 12 - A * yc**2
    shear = membrane.shear[0] / g
    beams = plain(
        lengths, ea=E * A, gj=1 / shear[0, 0], bending=E * np.array([[Izz, -A * yc * zc], [-A * yc * zc, Iyy]]),
        shear=shear[1:3, 1:3], centroid=np.add(at, (yc, zc)), shear_centre=np.add(at, membrane.shear_centre[0]),
    )  # fmt: skip
    p = RackingBeams.of_walls(beams, walls, np.tile(np.asarray(at, float), (n, 1)), E, nu)
    return p if plates else replace(p, foundation=replace(p.foundation, plate=np.zeros(n)))


# Cells of plain walls, for chains of many: no centroid, shear centre or sectorial coordinate in them.


def wall_cell(p: RackingBeams, t, length: float, E: float, G: float) -> np.ndarray:
    """(16, 16) of a cell of a box's four walls t, each a membrane with linear movements and one point for shear: chords
    of webs and flanges, axial movement of four corners, racking with consistent stiffness of the bent walls.  Unknowns
    of the box's middle, in the kernel's order (our own study's element, the walls' twist as plates left out)."""
    b, h = p.size[0]
    ends = [(0, 3), (1, 2), (3, 2), (0, 1)]
    k = np.zeros((16, 16))
    for w, ((c, d), size, thickness) in enumerate(zip(ends, [h, h, b, b], t, strict=True)):
        metal = E * thickness * size / 6 / length * np.array([[2, 1], [1, 2]])
        i, j = [4 + c, 4 + d], [12 + c, 12 + d]
        k[np.ix_(i, i)] += metal
        k[np.ix_(j, j)] += metal
        k[np.ix_(i, j)] -= metal
        k[np.ix_(j, i)] -= metal
        g = np.zeros(16)
        g[[w, 8 + w]] = -1 / length, 1 / length
        g[[4 + c, 12 + c]] -= 0.5 / size
        g[[4 + d, 12 + d]] += 0.5 / size
        k += G * thickness * size * length * np.outer(g, g)
    a = np.zeros((2, 16))
    a[0, :4] = a[1, 8:12] = [-1 / b, 1 / b, 1 / h, -1 / h]
    k += p.foundation.KD[0] * length / 6 * a.T @ np.array([[2, 1], [1, 2]]) @ a
    y, z = np.array([-1, 1, 1, -1]) * b / 2, np.array([-1, -1, 1, 1]) * h / 2
    m = np.zeros((8, 8))  # rows: uz of two webs, uy of two flanges, ux of four corners
    m[4:, 0] = m[2:4, 1] = m[:2, 2] = 1
    m[:2, 3], m[2:4, 3] = [-b / 2, b / 2], [-h / 2, h / 2]
    m[4:, 4], m[4:, 5] = z, -y
    m[:2, 6], m[2:4, 6], m[4:, 7] = [-b / 4, b / 4], [h / 4, -h / 4], y * z
    m = np.kron(np.eye(2), m)
    return m.T @ k @ m


def with_plain_shear(p: RackingBeams, t, G: float) -> RackingBeams:
    """Members as above with those cells' poorer shear: every wall's flow constant along it.  Middle on the line."""
    b, h = p.size[0]
    y, z = np.array([-b, b, 0, 0]) / 2, np.array([0, 0, h, -h]) / 2
    web = np.array([True, True, False, False])
    strains = np.stack([np.where(web, y, -z), ~web, web, np.where(web, y, z) / 2], axis=1)  # theta', v', w', g' + 2 f
    raw = np.linalg.inv(
        strains.T @ np.diag(G * np.array(t) * [h, h, b, b]) @ strains
    )  # by T about the middle, Vy, Vz, R
    forces = np.eye(4)
    forces[3, 1:3] = p.plane[0, 1:] / 2  # R about the middle from those of the kernel
    raw = forces.T @ raw @ forces
    ys, zs = -raw[0, 2] / raw[0, 0], raw[0, 1] / raw[0, 0]
    centre = np.eye(4)
    centre[0, 1:3] = -zs, ys
    raw = centre.T @ raw @ centre
    n = len(p)
    beams = replace(
        p.beams,
        GJ=np.full(n, 1 / raw[0, 0]),
        shear=np.tile(raw[1:3, 1:3], (n, 1, 1)),
        shear_centre=np.tile([ys, zs], (n, 1)),
    )
    return replace(
        p,
        beams=beams,
        foundation=replace(p.foundation, shear=np.full(n, raw[3, 3])),
        coupling=np.tile(raw[3, :3], (n, 1)),
    )


def channel_cell(corners, t, torsion: float, length: float, E: float, G: float) -> np.ndarray:
    """(14, 14) of a cell of a channel's three walls between four `corners` (4, 2), unknowns ux of the corners, uy,
    uz, rx of the reference line at both ends: walls that stretch and shear, one point for shear, a rigid shape, and
    `torsion` = GJ.  With a great G it is a member without shear from bending and warping, with second-order error."""
    k = np.zeros((14, 14))
    for thickness, (p, q) in zip(t, pairwise(range(4)), strict=True):
        side = corners[q] - corners[p]
        size = np.hypot(*side)
        metal = E * thickness * size / 6 / length * np.array([[2, 1], [1, 2]])
        for s, first in ((p, 0), (q, 1)):
            for r, last in ((p, 0), (q, 1)):
                k[np.ix_([s, 7 + s], [r, 7 + r])] += metal[first, last] * np.array([[1, -1], [-1, 1]])
        along = side / size
        lever = corners[p][0] * along[1] - corners[p][1] * along[0]
        g = np.zeros(14)
        g[[p, 7 + p, q, 7 + q]] = np.array([-0.5, -0.5, 0.5, 0.5]) / size
        g[4:7] -= np.array([*along, lever]) / length
        g[11:14] += np.array([*along, lever]) / length
        k += G * thickness * size * length * np.outer(g, g)
    k[np.ix_([6, 13], [6, 13])] += torsion / length * np.array([[1, -1], [-1, 1]])
    return k


def run_of(cell: np.ndarray, cells: int) -> np.ndarray:
    """Stiffness of equal cells one behind the other."""
    w = len(cell) // 2
    whole = np.zeros(((cells + 1) * w,) * 2)
    for i in range(cells):
        whole[i * w : (i + 2) * w, i * w : (i + 2) * w] += cell
    return whole


def one_line(start, end, point, force, member=0) -> LineLoads:
    """A single line load; force: rows of coefficients of 1, s, s^2 by components x' y' z' (missing rows are zero)."""
    c = np.zeros((3, 3))
    force = np.atleast_2d(np.asarray(force, float))
    c[: len(force)] = force
    return LineLoads(
        np.array([member]),
        np.array([float(start)]),
        np.array([float(end)]),
        np.array([point], float),
        c[None, :, :, None],
    )


def cut(loads: LineLoads, places) -> LineLoads:
    """The line loads of one member handed on to its parts between `places` (0, ..., length)."""
    parts = []
    for k in range(len(loads)):
        for m, (a, b) in enumerate(pairwise(places)):
            start, end = max(a, loads.start[k]), min(b, loads.end[k])
            if end > start:
                c, s = loads.force[k], start - loads.start[k]
                force = np.stack([c[0] + s * (c[1] + s * c[2]), c[1] + 2 * s * c[2], c[2]])
                parts.append(
                    LineLoads(np.array([m]), np.array([start - a]), np.array([end - a]), loads.point[[k]], force[None])
                )
    return LineLoads.join(parts)


@dataclass
class Chain:
    """Members one behind the other; `extra` are the sectorial coordinates or wall arms of the line loads."""

    p: OpenBeams | RackingBeams
    lines: LineLoads = field(default_factory=lambda: LineLoads.none(1))
    extra: np.ndarray | None = None
    held: list = field(default_factory=list)
    forces: list = field(default_factory=list)
    springs: list = field(default_factory=list)

    @property
    def kind(self) -> SimpleNamespace:
        return OPEN if isinstance(self.p, OpenBeams) else RACKING

    @property
    def wide(self) -> int:
        return len(self.kind.unknowns)

    def dof(self, node: int, what: str) -> int:
        nodes = len(self.p) + 1
        return (node % nodes) * self.wide + self.kind.unknowns.index(what)

    def hold(self, node: int, what: str) -> Chain:
        """Hold unknowns of a node by name; "all" holds everything."""
        self.held += [self.dof(node, w) for w in (self.kind.unknowns if what == "all" else what.split())]
        return self

    def load(self, node: int, **forces: float) -> Chain:
        """Forces on unknowns of a node by their names."""
        self.forces += [(self.dof(node, w), value) for w, value in forces.items()]
        return self

    def spring(self, node: int, what: str, stiffness: float) -> Chain:
        self.springs.append((self.dof(node, what), stiffness))
        return self

    def solve(self) -> Answer:
        n, w = len(self.p), self.wide
        k = self.kind.stiffness(self.p)
        inner = self.kind.loads(self.p, self.lines, self.extra)
        whole, load = np.zeros(((n + 1) * w,) * 2), np.zeros((n + 1) * w)
        for i in range(n):
            own = slice(i * w, (i + 2) * w)
            whole[own, own] += k[i]
            load[own] += inner[i, :, 0]
        for dof, value in self.forces:
            load[dof] += value
        for dof, value in self.springs:
            whole[dof, dof] += value
        free = np.setdiff1d(np.arange(len(load)), self.held)
        scale = 1 / np.sqrt(np.diag(whole)[free])
        u = np.zeros(len(load))
        u[free] = scale * np.linalg.solve(whole[np.ix_(free, free)] * np.outer(scale, scale), scale * load[free])
        moves = np.stack([u[i * w : (i + 2) * w] for i in range(n)])[:, :, None]
        return Answer(self, u.reshape(n + 1, w), moves, k @ moves - inner)


@dataclass(frozen=True, eq=False)
class Answer:
    chain: Chain
    u: np.ndarray
    moves: np.ndarray
    ends: np.ndarray

    def at(self, node: int, what: str) -> float:
        """Movement of a node by the unknown's name."""
        return float(self.u[node, self.chain.kind.unknowns.index(what)])

    def rows(self, member, x) -> np.ndarray:
        """(places, rows) resultants at x of members."""
        x = np.atleast_1d(np.asarray(x, float))
        member, c = np.broadcast_to(np.asarray(member), x.shape), self.chain
        if c.kind is OPEN:
            return open_resultants.resultants(c.p, self.ends, c.lines, member, x, c.extra)[:, :, 0]
        return racking_resultants.resultants(c.p, self.moves, self.ends, c.lines, member, x, c.extra)[:, :, 0]

    def section(self, member: int, x: float, what: str) -> float:
        """One resultant by name."""
        return float(self.rows(member, [x])[0, self.chain.kind.rows.index(what)])

    def inside(self, member: int, x: float) -> np.ndarray:
        """Movement at x of a member without inner loads."""
        p = self.chain.p.take(np.array([member]))
        return self.chain.kind.influence(p, np.array([float(x)]))[0] @ self.moves[member, :, 0]


def condensed(k: np.ndarray, keep) -> np.ndarray:
    """Stiffness of the kept unknowns when nothing acts on the others."""
    keep = np.asarray(keep)
    rest = np.setdiff1d(np.arange(len(k)), keep)
    scale = 1 / np.sqrt(np.diag(k)[rest])
    inner = k[np.ix_(rest, rest)] * np.outer(scale, scale)
    side = k[np.ix_(rest, keep)] * scale[:, None]
    return k[np.ix_(keep, keep)] - side.T @ np.linalg.solve(inner, side)
