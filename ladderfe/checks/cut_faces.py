"""What a cut through a rail sets free, and how its two faces then move against each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Side
from ladderfe.mesh import Mesh
from ladderfe.mesh.rails import SAME, rail_shape
from ladderfe.solve import Solution

__all__ = ["Cut", "Faces", "Freed", "faces_of", "freed_at", "put_back"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, order=True)
class Cut:
    """A rail cut right through at a station, mm."""

    side: Side
    station: float

    @property
    def name(self) -> str:
        return f"{self.side} rail at {self.station:g} mm"


@dataclass(frozen=True, slots=True)
class Freed:
    """What the rear face does to the front one before a cut, N and N mm: along the rail (tension positive), sideways
    (to the right), up; torque, and moments about the rail's y' and z' axes, as resultants everywhere in this house."""

    N: float
    Vy: float
    Vz: float
    T: float
    My: float
    Mz: float


@dataclass(frozen=True, slots=True)
class Faces:
    """Movement of the rear face of a cut against the front one, as if they passed through each other.

    top, bottom, inner, outer: gap along the rail at the middle of each wall of the outline, mm, + opens; up, right:
    step of the rear piece, mm; turn: about the rail's own axis x' (top to the left), y' (opens at the top) and z'
    (opens at the left), degrees.
    """

    top: float
    bottom: float
    inner: float
    outer: float
    up: float
    right: float
    turn: tuple[float, float, float]

    @property
    def gaps(self) -> dict[str, float]:
        return {"top": self.top, "bottom": self.bottom, "inner side": self.inner, "outer side": self.outer}

    @property
    def greatest(self) -> float:
        """The greatest gap or step, mm."""
        return max(map(abs, (*self.gaps.values(), self.up, self.right)))

    @property
    def closing(self) -> tuple[str, ...]:
        """Where the faces press on each other."""
        return tuple(name for name, gap in self.gaps.items() if gap < -CLOSED)


#: Less than this is no movement, mm.
CLOSED = 0.005


def beside(mesh: Mesh, cut: Cut) -> tuple[int, int]:
    """The rail's member before a cut and that behind it."""
    for m in mesh.part(f"{cut.side} rail").members:
        if abs(mesh.along[m, 1] - cut.station) < SAME:
            return m, m + 1
    raise KeyError(cut.name)


def freed_at(whole: Solution, cut: Cut, case: int) -> Freed:
    """Resultants of the uncut rail at the station of a cut."""
    m, _ = beside(whole.mesh, cut)
    found = whole.resultants(np.array([m]), whole.mesh.lengths[[m]])[0, :6, case]
    return Freed(*map(float, found))


def faces_of(chassis: Chassis, opened: Solution, cut: Cut, case: int) -> Faces:
    """How the faces of a cut stand to each other in a case; in the uncut frame they stand together."""
    mesh, frame = opened.mesh, opened.frame
    front, rear = beside(mesh, cut)
    first, second = (int(frame.start[n]) for n in (mesh.ends[front, 1], mesh.ends[rear, 0]))
    apart = opened.movements[second : second + 6, case] - opened.movements[first : first + 6, case]
    along, sideways, up = mesh.axes[front] @ apart[:3]
    turn = mesh.axes[front] @ apart[3:]
    rail = next(r for r in chassis.rails if r.side == cut.side)
    shape = rail_shape(rail, cut.station)
    z, y = shape.depth / 2, shape.width / 2 * -rail.sign  # inner side
    return Faces(
        top=float(along + turn[1] * z), bottom=float(along - turn[1] * z), inner=float(along - turn[2] * y),
        outer=float(along + turn[2] * y), up=float(up), right=float(sideways),
        turn=(float(np.degrees(turn[0])), float(np.degrees(turn[1])), float(np.degrees(turn[2]))),
    )  # fmt: skip


def put_back(whole: Solution, opened: Solution, cuts: tuple[Cut, ...], case: int) -> float:
    """How far the cut frame is from the uncut frame's movements when what the cuts set free is put back on both faces
    as loads: the greatest load that is missing over the greatest force there is.

    The uncut movements are laid on the cut frame (both nodes of a cut move as the one did), multiplied by its stiffness
    and compared with its loads, the uncut frame's support forces and the faces' forces.
    """
    mesh, frame, before = opened.mesh, opened.frame, whole.frame
    node = np.arange(len(mesh.nodes))
    behind = {int(mesh.ends[beside(mesh, c)[1], 0]): int(mesh.ends[beside(mesh, c)[0], 1]) for c in cuts}
    # nodes behind cuts have no number of their own in the uncut frame; those after them count on without them
    kept = np.cumsum([n not in behind for n in node]) - 1
    own = np.array([kept[behind.get(int(n), int(n))] for n in node])
    u = np.zeros((frame.unknowns, 1))
    for n in node:
        a, b, size = int(frame.start[n]), int(before.start[own[n]]), int(frame.start[n + 1] - frame.start[n])
        u[a : a + size, 0] = whole.movements[b : b + size, case]
    u[frame.start[-1] :, 0] = whole.movements[before.start[-1] :, case]
    loads = opened.loads[:, [case]] + opened.footing.rows @ whole.support_forces[:, [case]]
    for c in cuts:
        loads += _both_faces(whole, opened, c, case)
    missing = np.abs(frame.multiply(u) - loads)
    scale = _scale(frame.start, float(np.abs(whole.end_forces[:, :3, case]).max()),
                   float(np.abs(whole.end_forces[:, 3:6, case]).max()), frame.unknowns)  # fmt: skip
    return float((missing[:, 0] / scale).max())


def _both_faces(whole: Solution, opened: Solution, cut: Cut, case: int) -> Array:
    """(unknowns, 1) loads on both faces by what the uncut rail carries there, the rear face's the opposite of the front
    one's; what a node between them carries hangs on the front one."""
    mesh, frame = opened.mesh, opened.frame
    front, rear = beside(mesh, cut)
    ends = np.zeros((len(mesh.ends), 16, 1))
    ends[front, 8:, 0], ends[rear, :8, 0] = whole.end_forces[front, 8:, case], whole.end_forces[rear, :8, case]
    out = frame.gather(ends)
    nodes = mesh.ends[front, 1], mesh.ends[rear, 0]
    own, other = (range(int(frame.start[n]), int(frame.start[n + 1])) for n in nodes)
    if len(own) == len(other):
        out[list(own)] = -out[list(other)]
    return out


def _scale(start: NDArray[np.int64], force: float, moment: float, unknowns: int) -> Array:
    """(unknowns,) what every unknown's load is measured by: forces by the greatest force, all others by the moment."""
    out = np.full(unknowns, moment)
    for k in range(3):
        out[start[:-1] + k] = force
    return out
