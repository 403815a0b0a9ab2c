"""The graph of mid-lines: nodes, the faces it cuts the plane into, which walls are open and which face is outside."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2

from ladderfe.errors import ModelError
from ladderfe.sections.walls import Point, Section

__all__ = ["Graph", "graph_of"]

GRID = 1e6  # ends closer than about 1e-6 mm coincide
SHIFT = 0.31830988618  # keeps sizes with few decimals off the grid's rounding limits


@dataclass(frozen=True)
class Graph:
    """Half-edge 2i leaves the start of wall i, 2i + 1 leaves its end; a face lies on the left of each.

    starts, ends : node of each wall's ends.  nodes : places of the nodes.  face : of each half-edge.  outside : the face
    around the section.  left, right : of each half-edge the next half-edge about its node, counter-clockwise and
    clockwise (itself at a free end).  cells : number of closed cells.
    """

    starts: list[int]
    ends: list[int]
    nodes: list[Point]
    face: list[int]
    outside: int
    left: list[int]
    right: list[int]
    cells: int

    def is_open(self, wall: int) -> bool:
        """True where the wall bounds no closed cell: the same face lies on both its sides."""
        return self.face[2 * wall] == self.face[2 * wall + 1]


def graph_of(section: Section) -> Graph:
    """Read the graph off a section; ModelError when its walls do not hang together or cross without a common end."""
    index: dict[tuple[int, int], int] = {}
    nodes: list[Point] = []
    ids: list[int] = []
    around: list[list[int]] = []
    for wall in section.walls:
        for place in (wall.start, wall.end):
            key = (round(place[0] * GRID + SHIFT), round(place[1] * GRID + SHIFT))
            node = index.setdefault(key, len(nodes))
            if node == len(nodes):
                nodes.append(place)
                around.append([])
            around[node].append(len(ids))
            ids.append(node)
    _hang_together(ids, around, section)
    left, right = _turn(ids, around, nodes)
    face, areas = _faces(ids, right, nodes)
    cells = len(section.walls) - len(nodes) + 1
    if len(areas) != cells + 1:
        raise ModelError("section", "walls cross between their ends", "End walls where they meet")
    outside = min(range(len(areas)), key=areas.__getitem__)
    return Graph(ids[::2], ids[1::2], nodes, face, outside, left, right, cells)


def _hang_together(ids: list[int], around: list[list[int]], section: Section) -> None:
    seen, todo = {0}, [0]
    while todo:
        for half in around[todo.pop()]:
            other = ids[half ^ 1]
            if other not in seen:
                seen.add(other)
                todo.append(other)
    if len(seen) < len(around):
        loose = next(wall.name for i, wall in enumerate(section.walls) if ids[2 * i] not in seen)
        raise ModelError("section", f"wall {loose} does not touch wall {section.walls[0].name}",
                         "Let the ends of mid-lines coincide, or join them by a weld")


def _turn(ids: list[int], around: list[list[int]], nodes: list[Point]) -> tuple[list[int], list[int]]:
    """Neighbours of each half-edge about its node.  Walls on the same two nodes are ordered alike seen from both."""
    left, right = [0] * len(ids), [0] * len(ids)

    def direction(half: int) -> tuple[float, int]:
        (y, z), (yo, zo) = nodes[ids[half]], nodes[ids[half ^ 1]]
        angle = round(atan2(zo - z, yo - y), 9)
        angle = angle if angle < 3.141592653 else -angle
        return angle, half if angle >= 0 else -half

    for halves in around:
        if len(halves) > 2:
            halves = sorted(halves, key=direction)
        for i, half in enumerate(halves):
            left[halves[i - 1]] = half
            right[half] = halves[i - 1]
    return left, right


def _faces(ids: list[int], right: list[int], nodes: list[Point]) -> tuple[list[int], list[float]]:
    """Face on the left of each half-edge and the signed area of each face (the outside one is negative)."""
    face = [-1] * len(ids)
    areas: list[float] = []
    for first in range(len(ids)):
        if face[first] >= 0:
            continue
        half, area = first, 0.0
        while face[half] < 0:
            face[half] = len(areas)
            (y, z), (yo, zo) = nodes[ids[half]], nodes[ids[half ^ 1]]
            area += (y * zo - z * yo) / 2
            half = right[half ^ 1]
        areas.append(area)
    return face, areas
