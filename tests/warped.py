"""A builder of frames whose nodes carry warping and racking, for the tests of the solver; vehicle axes, N, mm, rad.

Reached through the fixture `warped` (tests/conftest.py).
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from ladderfe.elements import Beams, BoxWalls, LineLoads, Members, OpenBeams, RackingBeams
from ladderfe.mesh import pole_of
from ladderfe.sections import Box, properties
from ladderfe.solve.band import Factor
from ladderfe.solve.frame import Frame, JointEnergy, SoftEnd, rigid_arm

E, NU = 205_000.0, 0.3
G = E / 2 / (1 + NU)
SIX = ("ux", "uy", "uz", "rx", "ry", "rz")
EXTRA = ((), ("f",), ("g", "f"))
RESULTANTS = ("N", "Vy", "Vz", "T", "My", "Mz", "B", "last")


def kind_of(stock) -> int:
    """Unknowns that a member of this stock has at an end beside the six."""
    return 1 if isinstance(stock, OpenBeams) else 2 if isinstance(stock, RackingBeams) else 0


def stock(shape, *, vlasov: bool = False, racks: bool = True, sides=("minus", "plus")):
    """One member of unit length of this shape, in steel; `vlasov`: without any shear strain; a box racks unless told
    otherwise."""
    section = shape.section(sides)
    q = properties(section)
    beams = Beams(
        length=np.ones(1), EA=E * np.array([q.A]), GJ=G * np.array([q.J]),
        bending=E * np.array([[[q.Izz, q.Iyz], [q.Iyz, q.Iyy]]]), shear=(0 if vlasov else 1) * q.shear[None] / G,
        centroid=np.array([[q.yc, q.zc]]), shear_centre=np.array([[q.ys, q.zs]]),
    )  # fmt: skip
    if isinstance(shape, Box) and racks:
        pole, size = pole_of(shape)
        walls = BoxWalls(size[:1], size[1:], np.array([[shape.minus, shape.plus, shape.top, shape.bottom]]))
        return RackingBeams.of_walls(beams, walls, pole[None], E, NU)
    if not q.Iw:
        return beams
    sigma, coupling = np.array([q.warp_shear]) / G, q.warp_coupling[None] / G
    if vlasov:
        sigma, coupling = 0 * sigma, 0 * coupling
    return OpenBeams(beams, E * np.array([q.Iw]), sigma, coupling, np.zeros((1, 3)))


def cut_to(stock, length: float):
    """The stock with this length."""
    if isinstance(stock, Beams):
        return replace(stock, length=np.array([float(length)]))
    return replace(stock, beams=cut_to(stock.beams, length))


def together(parts):
    """Several sets of properties as one."""
    out = {}
    for f in fields(parts[0]):
        values = [getattr(p, f.name) for p in parts]
        out[f.name] = together(values) if is_dataclass(values[0]) else np.concatenate(values)
    return type(parts[0])(**out)


def members(stocks) -> Members:
    """All members by kernel."""
    kinds = np.array([kind_of(s) for s in stocks])
    opened, racking = np.flatnonzero(kinds == 1), np.flatnonzero(kinds == 2)
    return Members(
        beams=together([s if isinstance(s, Beams) else s.beams for s in stocks]),
        open_at=opened,
        open=together([stocks[m] for m in opened]) if len(opened) else OpenBeams.none(),
        racking_at=racking,
        racking=together([stocks[m] for m in racking]) if len(racking) else RackingBeams.none(),
    )


def axes_of(start, end, z_near) -> np.ndarray:
    """(3, 3) member axes: x' from start to end, z' as near as it can be to `z_near`."""
    x = np.subtract(end, start) / np.linalg.norm(np.subtract(end, start))
    y = np.cross(z_near, x)
    y /= np.linalg.norm(y)
    return np.array([x, y, np.cross(x, y)])


def through(kind: int) -> np.ndarray:
    """(8, 2) what the node's racking and warping do to the end of a member of the node's own kind."""
    out = np.zeros((8, 2))
    out[range(6, 6 + kind), range(kind)] = 1
    return out


@dataclass
class Model:
    """Collects the frame; `solve` makes the answer.  Loads go to case 0 unless told otherwise."""

    cases: int = 1
    nodes: list = field(default_factory=list)
    extras: list = field(default_factory=list)
    members: list = field(default_factory=list)
    held: list = field(default_factory=list)
    soft: list = field(default_factory=list)
    energies: list = field(default_factory=list)
    loads: list = field(default_factory=list)
    lines: list = field(default_factory=list)

    def node(self, *place: float, extras: int = 0) -> int:
        self.nodes.append(np.array(place, float))
        self.extras.append(extras)
        return len(self.nodes) - 1

    def member(self, a, b, own, *, z=(0, 0, 1), arms=((0, 0, 0), (0, 0, 0)), follow=(None, None)) -> int:
        """`follow`: (8, 2) at either end, vehicle axes; None where the member runs on through a node of its kind."""
        arms = np.array(arms, float)
        start, end = self.nodes[a] + arms[0], self.nodes[b] + arms[1]
        kind = kind_of(own)
        moved = [
            through(kind if kind == self.extras[n] else 0) if f is None else np.asarray(f, float)
            for n, f in zip((a, b), follow, strict=True)
        ]
        length = np.linalg.norm(end - start)
        self.members.append((a, b, cut_to(own, length), axes_of(start, end, z), arms, np.stack(moved)))
        return len(self.members) - 1

    def run(self, places, own, **more) -> tuple[list[int], list[int]]:
        """Nodes and members of one stock from place to place."""
        nodes = [self.node(*p, extras=kind_of(own)) for p in places]
        return nodes, [self.member(a, b, own, **more) for a, b in pairwise(nodes)]

    def dof(self, node: int, what: str) -> int:
        return sum(6 + e for e in self.extras[:node]) + (*SIX, *EXTRA[self.extras[node]]).index(what)

    def hold(self, node: int, what: str = "all") -> None:
        """Hold unknowns of a node by name."""
        names = (*SIX, *EXTRA[self.extras[node]]) if what == "all" else what.split()
        self.held += [self.dof(node, w) for w in names]

    def load(self, node: int, *, case: int = 0, at=(0, 0, 0), force=(0, 0, 0), moment=(0, 0, 0), **extra) -> None:
        """Force at an arm `at` from the node and moment; and what acts on f and g by name."""
        six = rigid_arm(np.array(at, float)).T @ np.r_[force, moment].astype(float)
        self.loads += [(self.dof(node, w), case, v) for w, v in (*zip(SIX, six, strict=True), *extra.items())]

    def line(self, member, force, *, start=0.0, end=None, point=(0, 0), case=0) -> None:
        """Line load in member axes; force (1 to 3, 3): coefficients of 1, s, s^2."""
        c = np.zeros((3, 3, self.cases))
        force = np.atleast_2d(np.asarray(force, float))
        c[: len(force), :, case] = force
        own = self.members[member][2]
        length = float((own if isinstance(own, Beams) else own.beams).length[0])
        self.lines.append((member, start, length if end is None else end, point, c))

    def frame(self) -> Frame:
        a, b, stocks, axes, arms, follow = zip(*self.members, strict=True)
        return Frame(
            np.array(self.nodes), np.stack([a, b], axis=1), np.array(arms), np.array(axes), members(stocks),
            tuple(self.soft), extra_unknowns=np.array(self.extras, dtype=np.int64), follow=np.array(follow),
            energies=tuple(self.energies),
        )  # fmt: skip

    def line_loads(self) -> LineLoads:
        if not self.lines:
            return LineLoads.none(self.cases)
        member, *place, force = zip(*self.lines, strict=True)
        return LineLoads(np.array(member), *(np.array(p, float) for p in place), np.stack(force))

    def nodal(self) -> np.ndarray:
        """(unknowns, c) loads on nodes."""
        out = np.zeros((sum(6 + e for e in self.extras) + len(self.soft), self.cases))
        for dof, case, value in self.loads:
            out[dof, case] += value
        return out

    def solve(self) -> Answer:
        return solve(self.frame(), self.line_loads(), self.nodal(), self.held)


def solve(frame: Frame, lines: LineLoads, nodal: np.ndarray, held) -> Answer:
    """Movements and end forces under nodal loads (unknowns, c) and line loads."""
    inner = np.zeros((len(frame.ends), 16, nodal.shape[1]))
    np.add.at(inner, lines.member, frame.kernels.each_equivalent(lines))
    u = Factor(frame, np.array(held, dtype=np.int64)).solve(nodal + frame.gather(inner))
    moved = frame.member_movements(u)
    return Answer(frame, lines, nodal, u, moved, frame.end_forces(moved, inner), inner, np.array(held, dtype=np.int64))


@dataclass(frozen=True, eq=False)
class Answer:
    """nodal: loads on nodes; inner: end loads that stand for line loads; moved, ends (m, 16, c) of the member ends."""

    frame: Frame
    lines: LineLoads
    nodal: np.ndarray
    u: np.ndarray
    moved: np.ndarray
    ends: np.ndarray
    inner: np.ndarray
    held: np.ndarray

    @cached_property
    def loads(self) -> np.ndarray:
        return self.nodal + self.frame.gather(self.inner)

    @cached_property
    def reactions(self) -> np.ndarray:
        out = np.zeros_like(self.u)
        out[self.held] = (self.frame.multiply(self.u) - self.loads)[self.held]
        return out

    def unknowns(self, node: int) -> np.ndarray:
        """(6 to 8, c) movements of a node."""
        return self.u[self.frame.start[node] : self.frame.start[node + 1]]

    def at(self, node: int, what: str, case: int = 0) -> float:
        names = (*SIX, *EXTRA[int(self.frame.extras[node])])
        return float(self.unknowns(node)[names.index(what), case])

    def rows(self, member, x) -> np.ndarray:
        """(places, 8, c) resultants at x of members."""
        x = np.atleast_1d(np.asarray(x, float))
        member = np.broadcast_to(np.asarray(member), x.shape)
        return self.frame.kernels.resultants(self.moved, self.ends, self.lines, member, x)

    def section(self, member: int, x: float, what: str, case: int = 0) -> float:
        return float(self.rows(member, [x])[0, RESULTANTS.index(what), case])


__all__ = [
    "E", "G", "NU", "RESULTANTS", "SIX", "Answer", "JointEnergy", "Model", "SoftEnd", "axes_of", "cut_to", "kind_of",
    "members", "solve", "stock", "through", "together",
]  # fmt: skip
