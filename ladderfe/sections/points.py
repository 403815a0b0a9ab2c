"""Stress points: places on the true faces of the walls where stress is worked out, with words for where they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.flow import Flow
from ladderfe.sections.graph import Graph
from ladderfe.sections.lines import Array, Lines
from ladderfe.sections.walls import Section
from ladderfe.sections.words import Words

__all__ = ["StressPoints", "points_of", "rows_of"]

Row = tuple[int, int, float, float, float, int]
"""Wall, its number among all walls of all sections, fraction, distance from its start, offset to the left, side."""
STRAIGHT = 0.3  # sine of the angle below which two walls at a node count as one straight or smoothly bent plate


@dataclass(frozen=True, eq=False)
class StressPoints:
    """Points p on the walls' true faces, wall by wall and face by face: start, end, middle.  Read-only arrays.

    wall, label : names, and words such as "bottom, outer edge".  index : (p,) number of the wall in the section.
    y, z : (p,) mm in section axes.  modulus : (p,) factor on the direct stress (1 for the reference material).
    tau : (p, 3) shear stress along the wall, positive from its start to its end, per unit Vy, Vz (through the shear
    centre) and St-Venant torque, 1/mm2 and 1/mm3.  tau_face : (p,) shear stress that an open wall's own torsion puts
    on that face per unit St-Venant torque, positive likewise (m t/J in size, 1/mm3); 0 on walls of cells.
    omega : (p,) sectorial coordinate about the shear centre, mm2, direct stress = modulus B omega/Iw; 0 where Iw is 0.
    tau_warp : (p,) shear stress along the wall per unit warping torque Tw = dB/dx, 1/mm3; 0 where Iw is 0.
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
    tau_warp: Array


def points_of(sections: Sequence[Section], flows: Sequence[Flow]) -> list[StressPoints]:
    """Stress points of sections.

    A wall of a cell has three, on the face that looks outside: both ends, at the corners of the outline, and the
    middle.  Open walls and walls between two cells have them on both faces.  A curved wall has one in the middle of the
    face, and none where it runs into a straight wall of its own name.  Welds have none.
    """
    rows: list[Row] = []
    labels, stops, first = [], [0], 0
    for section, flow in zip(sections, flows, strict=True):
        own, words = rows_of(section, flow.lines, first)
        rows += own
        labels.append(tuple(words))
        stops.append(len(rows))
        first += len(section.walls)
    values = _values(flows, np.array(rows))
    found = []
    for i, section in enumerate(sections):
        part = [value[stops[i]:stops[i + 1]] for value in values]
        walls = tuple(section.walls[k].name for k in part[0].tolist())
        found.append(StressPoints(walls, labels[i], *part))
    return found


def rows_of(section: Section, lines: Lines, first: int) -> tuple[list[Row], list[str]]:
    """Where the points of a section lie, and their labels; its walls are numbered from `first` on."""
    graph, words = lines.graph, Words(section, lines.graph)
    along, length = lines.along.tolist(), lines.length.tolist()
    rows: list[Row] = []
    labels: list[str] = []
    for i, wall in enumerate(section.walls):
        if wall.true_length <= 1e-9 * length[i] or (wall.bulge and words.fades(i)):
            continue
        outside = [side for side in (1, -1) if graph.face[2 * i + (side < 0)] == graph.outside]
        sides = outside if len(outside) == 1 else [1, -1]
        for side in sides:
            face = "" if len(sides) == 1 else f", {_face_word(section, along[i], side)} face"
            offset = side * wall.thickness / 2 + wall.bulge
            if not wall.bulge:
                from_start = _reach(section, graph, along, 2 * i, side)
                from_end = _reach(section, graph, along, 2 * i + 1, -side)
                rows += [(i, first + i, 0.0, from_start, offset, side),
                         (i, first + i, 1.0, length[i] - from_end, offset, side)]
                labels += [f"{wall.name}, {word}{face}" for word in words.edges(i)]
            rows.append((i, first + i, 0.5, length[i] / 2, offset, side))
            labels.append(f"{wall.name}, {words.middle(i)}{face}")
    return rows, labels


def _values(flows: Sequence[Flow], rows: Array) -> tuple[NDArray[Any], ...]:
    """The arrays of `StressPoints`, in their order, of the points of all sections together; read-only."""
    which = rows[:, 1].astype(np.int64)
    number = np.repeat(np.arange(len(flows)), [len(flow.q) for flow in flows])[which]

    def at(arrays: Iterable[Array]) -> Array:
        out: Array = np.concatenate(list(arrays))[which]
        return out

    lines = [flow.lines for flow in flows]
    along, thickness, modulus = at(m.along for m in lines), at(m.thickness for m in lines), at(m.modulus for m in lines)
    place = at(m.ends[:, 0] for m in lines) + rows[:, 3, None] * along
    q, omega, xi = at(flow.q for flow in flows), at(flow.omega for flow in flows), rows[:, 2]
    tau = (q[:, 0] + xi[:, None] * (q[:, 1] + xi[:, None] * q[:, 2])) / thickness[:, None]
    faces = at(flow.own / flow.J for flow in flows) * modulus * thickness
    warps = np.array([flow.Iw > 0 for flow in flows])[number]
    values = (
        rows[:, 0].astype(np.int64), place[:, 0] - rows[:, 4] * along[:, 1], place[:, 1] + rows[:, 4] * along[:, 0],
        modulus, tau[:, :3], -rows[:, 5] * faces, warps * (omega[:, 0] + xi * (omega[:, 1] - omega[:, 0])), tau[:, 3])
    for value in values:
        value.setflags(write=False)
    return values


def _reach(section: Section, graph: Graph, along: list[list[float]], half: int, side: int) -> float:
    """How far along the wall, from the end that `half` leaves, its face on that side meets the face of the next wall.

    side: +1 left, -1 right of the half-edge.  Negative on the outside of a corner; the plate's end at a free edge; 0
    where the next wall carries on straight.
    """
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
    return (section.walls[other // 2].thickness + cosine * section.walls[half // 2].thickness) / (2 * sine)


def _face_word(section: Section, along: list[float], side: int) -> str:
    """Which way a face looks: "upper" or "lower" on walls that lie, the section's side names on upright ones."""
    y, z = -side * along[1], side * along[0]
    if abs(z) >= sqrt(0.5):
        return "upper" if z > 0 else "lower"
    return section.side_names[y > 0]
