"""Stress points: the places on the true faces of the walls where stress is worked out, with words for where they are."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.flow import Flow
from ladderfe.sections.graph import Graph
from ladderfe.sections.walls import Section

__all__ = ["StressPoints", "points_of"]

Array = NDArray[np.float64]
STRAIGHT = 0.3  # sine of the angle below which two walls at a node count as one straight or smoothly bent plate


@dataclass(frozen=True, eq=False)
class StressPoints:
    """Points p on the walls' true faces.

    wall, label : names, and words such as "bottom, outer edge".  index : (p,) wall number in the section.
    y, z : (p,) mm in section axes.  modulus : (p,) factor on the direct stress (1 for the reference material).
    tau : (p, 3) shear stress along the wall, positive from its start to its end, per unit Vy, Vz (through the shear
    centre) and torque, 1/mm2 and 1/mm3.  tau_face : (p,) size of the shear stress that an open wall's own torsion puts on
    its faces per unit torque (m t/J, 1/mm3), 0 on walls of cells.  omega : (p,) sectorial coordinate about the shear
    centre, mm2; 0 for a section with cells.
    """

    wall: tuple[str, ...]
    label: tuple[str, ...]
    index: NDArray[np.int64]
    y: Array
    z: Array
    modulus: Array
    tau: Array
    tau_face: Array
    omega: Array

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)


def points_of(section: Section, flow: Flow) -> StressPoints:
    """Stress points of a section.

    A wall of a cell has three, on the outer face: both ends at the corners of the outline, and its middle.  Open walls
    and walls between two cells have them on both faces.  Curved walls have one, in the middle of the face.  Welds and
    other walls without metal have none.
    """
    graph = flow.lines.graph
    towards = _Towards(section, graph)
    rows: list[tuple[int, float, float, float]] = []  # wall, fraction, distance along from the start, offset to the left
    labels: list[str] = []
    for i, wall in enumerate(section.walls):
        if not flow.lines.metal[i]:
            continue
        both = graph.is_open(i) or graph.outside not in graph.face[2 * i:2 * i + 2]
        sides = (1, -1) if both else ((1,) if graph.face[2 * i] == graph.outside else (-1,))
        length = float(flow.lines.length[i])
        for side in sides:
            suffix = f", {_face_word(section, flow.lines.along[i], side)} face" if both else ""
            offset = side * wall.thickness / 2 + wall.bulge
            if wall.bulge:
                rows.append((i, 0.5, length / 2, offset))
                labels.append(f"{wall.name}, {towards.nearest(i)}{suffix}")
                continue
            for xi, half in ((0.0, 2 * i), (1.0, 2 * i + 1)):
                reach = _reach(section, flow, half, side if xi == 0 else -side)
                rows.append((i, xi, reach if xi == 0 else length - reach, offset))
                labels.append(f"{wall.name}, {towards.edge(half)}{suffix}")
            rows.append((i, 0.5, length / 2, offset))
            labels.append(f"{wall.name}, middle{suffix}")
    return _assemble(section, flow, rows, tuple(labels))


def _assemble(section: Section, flow: Flow, rows: list[tuple[int, float, float, float]],
              labels: tuple[str, ...]) -> StressPoints:
    table = np.array(rows)
    index = table[:, 0].astype(np.int64)
    xi, lines = table[:, 1], flow.lines
    along, modulus = lines.along[index], lines.modulus[index]
    place = lines.start[index] + table[:, 2, None] * along
    q = flow.q[index]
    tau = (q[:, 0] + xi[:, None] * (q[:, 1] + xi[:, None] * q[:, 2])) / lines.thickness[index][:, None]
    omega = np.zeros(len(rows))
    if not flow.lines.graph.cells:
        ends = flow.omega[index]
        omega = ends[:, 0] + xi * (ends[:, 1] - ends[:, 0])
    return StressPoints(
        wall=tuple(section.walls[i].name for i in index), label=labels, index=index,
        y=place[:, 0] - table[:, 3] * along[:, 1], z=place[:, 1] + table[:, 3] * along[:, 0], modulus=modulus, tau=tau,
        tau_face=np.where(flow.open[index], modulus * lines.thickness[index] / flow.J, 0.0), omega=omega)


def _reach(section: Section, flow: Flow, half: int, side: int) -> float:
    """How far along the wall, from the end where `half` leaves, its face on that side meets the face of the next wall.

    side: +1 left, -1 right of the half-edge.  Negative on the outside of a corner; the plate's end at a free edge.
    """
    graph, along = flow.lines.graph, flow.lines.along
    other = (graph.left if side > 0 else graph.right)[half]
    if other == half:
        wall = section.walls[half // 2]
        return -(wall.grow_end if half % 2 else wall.grow_start)
    (y, z), (yo, zo) = along[half // 2], along[other // 2]
    if half % 2 != other % 2:
        yo, zo = -yo, -zo
    cosine, sine = y * yo + z * zo, side * (y * zo - z * yo)
    if abs(sine) < STRAIGHT:
        return 0.0
    return float((section.walls[other // 2].thickness + cosine * section.walls[half // 2].thickness) / (2 * sine))


def _face_word(section: Section, along: Array, side: int) -> str:
    """Which way a face looks: "upper" or "lower" on walls that lie, the section's side names on upright ones."""
    y, z = -side * float(along[1]), side * float(along[0])
    if abs(z) >= sqrt(0.5):
        return "upper" if z > 0 else "lower"
    return section.side_names[y > 0]


class _Towards:
    """Words for the ends of walls: which differently named wall comes next there."""

    def __init__(self, section: Section, graph: Graph) -> None:
        self.names = [wall.name for wall in section.walls]
        self.graph = graph

    def _walk(self, half: int) -> tuple[str, int]:
        """From the end where `half` leaves, the next other name and how many walls away it is."""
        name, steps, here = self.names[half // 2], 1, half
        while True:
            turn, other = self.graph.left[here], self.graph.right[here]
            if turn == here:
                return "", steps
            for found in (self.names[turn // 2], self.names[other // 2]):
                if found != name:
                    return found, steps
            if turn != other or turn ^ 1 == half:
                return name, steps
            here, steps = turn ^ 1, steps + 1

    def edge(self, half: int) -> str:
        name, _ = self._walk(half)
        return f"{name} edge" if name else "free edge"

    def nearest(self, wall: int) -> str:
        (one, near), (two, far) = self._walk(2 * wall), self._walk(2 * wall + 1)
        if near == far:
            return "middle"
        return f"toward {one if near < far else two}"
