"""A small frame builder for the tests: nodes, members, supports, springs to ground, loads, and the solved answer.

Reached through the fixture `frames` (tests/conftest.py).  Any consistent units; the axes are the vehicle's.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from math import inf

import numpy as np

from ladderfe.elements import Beams, LineLoads
from ladderfe.solve.band import Factor
from ladderfe.solve.frame import Frame, SoftEnd, rigid_arm

DIRECTIONS = {"ux": 0, "uy": 1, "uz": 2, "rx": 3, "ry": 4, "rz": 5}
OUT_OF_PLANE_XZ = "uy rx rz"


@dataclass(frozen=True, kw_only=True)
class Bar:
    """A section with its material; shear areas, A and J may be infinite.  `shear_yz` couples Vy and Vz in 1/A."""

    E: float
    G: float = 1.0
    A: float = inf
    Iy: float
    Iz: float
    Iyz: float = 0.0
    J: float = inf
    Asy: float = inf
    Asz: float = inf
    shear_yz: float = 0.0
    centroid: tuple[float, float] = (0.0, 0.0)
    shear_centre: tuple[float, float] = (0.0, 0.0)


def beams(bars, lengths) -> Beams:
    """Members with these sections and lengths, ready for the kernels."""
    shear = np.array([[[1 / b.Asy, b.shear_yz], [b.shear_yz, 1 / b.Asz]] for b in bars])
    return Beams(
        length=np.asarray(lengths, float),
        EA=np.array([b.E * b.A for b in bars]),
        GJ=np.array([b.G * b.J for b in bars]),
        bending=np.array([[[b.E * b.Iz, b.E * b.Iyz], [b.E * b.Iyz, b.E * b.Iy]] for b in bars]),
        shear=shear / np.array([b.G for b in bars])[:, None, None],
        centroid=np.array([b.centroid for b in bars], float),
        shear_centre=np.array([b.shear_centre for b in bars], float),
    )  # fmt: skip


def axes_of(start, end, z_near, roll_deg: float = 0.0) -> np.ndarray:
    """(3, 3) member axes: x' from start to end, z' as near as it can be to `z_near`, turned by `roll_deg` about x'."""
    x = np.subtract(end, start).astype(float)
    x /= np.linalg.norm(x)
    y = np.cross(z_near, x)
    y /= np.linalg.norm(y)
    z = np.cross(x, y)
    c, s = np.cos(np.deg2rad(roll_deg)), np.sin(np.deg2rad(roll_deg))
    return np.array([x, c * y + s * z, c * z - s * y])


@dataclass
class Model:
    """Collects the frame; `solve` makes the answer.  `cases` load cases, loads go to case 0 unless told otherwise."""

    cases: int = 1
    nodes: list = field(default_factory=list)
    names: list = field(default_factory=list)
    members: list = field(default_factory=list)
    held: list = field(default_factory=list)
    soft: list = field(default_factory=list)
    loads: list = field(default_factory=list)
    lines: list = field(default_factory=list)

    def node(self, *place: float, name: str = "") -> int:
        self.nodes.append(np.array(place, float))
        self.names.append(name or f"node {len(self.nodes)}")
        return len(self.nodes) - 1

    def member(self, a, b, bar, *, z=(0, 0, 1), roll=0.0, arms=((0, 0, 0), (0, 0, 0)), name="") -> int:
        arms = np.array(arms, float)
        axes = axes_of(self.nodes[a] + arms[0], self.nodes[b] + arms[1], z, roll)
        self.members.append((a, b, bar, axes, arms, name or f"member {len(self.members) + 1}"))
        return len(self.members) - 1

    def chain(self, a, b, bar, parts: int = 1, **more) -> tuple[list[int], list[int]]:
        """Nodes (a, ..., b) and members of a straight run in equal parts."""
        places = self.nodes[a] + np.linspace(0, 1, parts + 1)[1:-1, None] * (self.nodes[b] - self.nodes[a])
        run = [a, *(self.node(*p) for p in places), b]
        return run, [self.member(i, j, bar, **more) for i, j in pairwise(run)]

    def hold(self, nodes, motions: str = "ux uy uz rx ry rz") -> None:
        """Hold one node or several."""
        self.held += [6 * int(n) + DIRECTIONS[m] for n in np.atleast_1d(nodes) for m in motions.split()]

    def plane(self, motions: str) -> None:
        """Hold these motions at every node made so far."""
        self.hold(range(len(self.nodes)), motions)

    def soften(self, member: int, end: int, motion: str, stiffness: float = 0.0) -> None:
        """A joint freedom; a release when the stiffness is 0."""
        self.soft.append(SoftEnd(member, end, DIRECTIONS[motion], stiffness))

    def spring(self, node: int, motion: str, stiffness: float) -> int:
        """A spring to ground: a bar that carries this one motion; the number of the ground node."""
        direction, turning = DIRECTIONS[motion] % 3, DIRECTIONS[motion] >= 3
        away = np.zeros(3)
        away[direction] = 100.0
        ground = self.node(*(self.nodes[node] - away))
        self.hold(ground)
        k = 100.0 * stiffness  # EA or GJ over the bar's length of 100 is the spring
        bar = Bar(E=1.0, A=k, J=k, Iy=1e4 * k, Iz=1e4 * k)
        m = self.member(ground, node, bar, z=np.roll([1.0, 0, 0], direction + 1), name="spring")
        for other, number in DIRECTIONS.items():
            if number != direction + 3 * turning:
                self.soften(m, 1, other)
        return ground

    def load(self, node, force=(0, 0, 0), moment=(0, 0, 0), *, case=0, at=(0, 0, 0)) -> None:
        """Force (at an arm `at` from the node) and moment on a node."""
        self.loads.append((node, case, rigid_arm(np.array(at, float)).T @ np.r_[force, moment].astype(float)))

    def line(
        self, member, force, *, start=0.0, end=None, point=(0, 0), slope=(0, 0, 0), bend=(0, 0, 0), case=0
    ) -> None:
        """Line load in vehicle axes: force + slope s + bend s^2 per length along the member."""
        a, b, _, axes, arms, _ = self.members[member]
        length = np.linalg.norm(self.nodes[b] + arms[1] - self.nodes[a] - arms[0])
        coefficients = np.zeros((3, 3, self.cases))
        coefficients[:, :, case] = np.array([force, slope, bend], float) @ axes.T
        self.lines.append((member, start, length if end is None else end, point, coefficients))

    def frame(self) -> Frame:
        nodes = np.array(self.nodes)
        a, b, bars, axes, arms, names = zip(*self.members, strict=True)
        ends, arms = np.stack([a, b], axis=1), np.array(arms)
        true = nodes[ends] + arms
        section = beams(bars, np.linalg.norm(true[:, 1] - true[:, 0], axis=1))
        return Frame(nodes, ends, arms, np.array(axes), section, tuple(self.soft), tuple(self.names), names)

    def line_loads(self) -> LineLoads:
        if not self.lines:
            return LineLoads.none(self.cases)
        member, *place, force = zip(*self.lines, strict=True)
        return LineLoads(np.array(member), *(np.array(p, float) for p in place), np.stack(force))

    def nodal_loads(self, unknowns: int) -> np.ndarray:
        out = np.zeros((unknowns, self.cases))
        for node, case, six in self.loads:
            out[6 * node : 6 * node + 6, case] += six
        return out

    def solve(self) -> Answer:
        frame = self.frame()
        return solve(frame, self.line_loads(), self.nodal_loads(frame.unknowns), np.array(self.held, dtype=np.int64))


def solve(frame: Frame, lines: LineLoads, nodal: np.ndarray, held: np.ndarray) -> Answer:
    """Movements and end forces under nodal loads (unknowns, c) and line loads."""
    inner = np.zeros((len(frame.ends), 16, nodal.shape[1]))
    np.add.at(inner, lines.member, frame.kernels.each_equivalent(lines))
    loads = nodal + frame.gather(inner)
    u = Factor(frame, held).solve(loads)
    return Answer(frame, lines, loads, u, frame.end_forces(frame.member_movements(u), inner), np.unique(held))


@dataclass(frozen=True, eq=False)
class Answer:
    frame: Frame
    lines: LineLoads
    loads: np.ndarray
    u: np.ndarray
    end_forces: np.ndarray
    held: np.ndarray

    @cached_property
    def reactions(self) -> np.ndarray:
        """(unknowns, c) forces of the supports on the frame, zero where nothing is held."""
        out = np.zeros_like(self.u)
        out[self.held] = (self.frame.multiply(self.u) - self.loads)[self.held]
        return out

    def move(self, node: int, case: int = 0) -> np.ndarray:
        return self.u[6 * node : 6 * node + 6, case]

    def reaction(self, node: int, case: int = 0) -> np.ndarray:
        return self.reactions[6 * node : 6 * node + 6, case]

    def section(self, member: int, x, case: int = 0) -> np.ndarray:
        """(6,) N Vy Vz T My Mz at x, or (6, n) at n places."""
        x = np.asarray(x, float)
        flat = np.atleast_1d(x)
        rows = np.full(len(flat), member)
        moved = self.frame.member_movements(self.u)
        out = self.frame.kernels.resultants(moved, self.end_forces, self.lines, rows, flat)[:, :6, case]
        return out.T if x.ndim else out[0]

    def M(self, member: int, x) -> np.ndarray:
        """Bending moment in the vertical plane, sagging positive: -My."""
        return -self.section(member, x)[4]

    def V(self, member: int, x) -> np.ndarray:
        """Shear in the vertical plane, dM/dx: -Vz."""
        return -self.section(member, x)[2]

    def inside(self, member: int, x: float, case: int = 0) -> np.ndarray:
        """(6,) movement of the reference line at x in member axes; for members without inner loads."""
        at = self.frame.kernels.influence(np.array([member]), np.array([x]))[0, :6]
        return at @ self.frame.member_movements(self.u)[member, :, case]

    def energy(self, case: int = 0) -> float:
        return float(self.u[:, case] @ self.frame.multiply(self.u)[:, case]) / 2

    def resultant_about_origin(self, nodal: np.ndarray) -> np.ndarray:
        """(6, c) force and moment about the origin of nodal forces (unknowns, c)."""
        at_origin = rigid_arm(self.frame.nodes)  # movement of the origin -> nodes; transposed it carries forces back
        nodal = nodal[: 6 * len(self.frame.nodes)].reshape(len(self.frame.nodes), 6, -1)
        return np.einsum("nij,nic->jc", at_origin, nodal)


@dataclass(frozen=True, eq=False)
class Ladder:
    """Two rails and crossmembers at `stations`; node numbers of both sides, member numbers."""

    model: Model
    left: list[int]
    right: list[int]
    rails: list[int]
    cross: list[int]


def ladder(stations, half, rail, cross, *, heights=None, right_rail=None, arm=0.0, parts=1, cases=1) -> Ladder:
    """A ladder frame; crossmembers begin `arm` inboard of the rails' reference lines."""
    m = Model(cases=cases)
    heights = np.zeros(len(stations)) if heights is None else heights
    left = [m.node(x, -half, z) for x, z in zip(stations, heights, strict=True)]
    right = [m.node(x, half, z) for x, z in zip(stations, heights, strict=True)]
    rails = []
    for side, bar in ((left, rail), (right, right_rail or rail)):
        for a, b in pairwise(side):
            rails += m.chain(a, b, bar, parts)[1]
    arms = ((0, arm, 0), (0, -arm, 0))
    rungs = [m.member(a, b, cross, arms=arms) for a, b in zip(left, right, strict=True)]
    return Ladder(m, left, right, rails, rungs)
