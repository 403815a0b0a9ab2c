"""The graph of mid-lines: nodes, the faces it cuts the plane into, which walls are open and which face is outside."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2

from ladderfe.errors import ModelError
from ladderfe.sections.walls import Point, Section, spot

__all__ = ["Graph", "graph_of"]

HALF_TURN = 3.141592653  # just below pi


@dataclass(frozen=True)
class Graph:
    """Half-edge 2i leaves the start of wall i, 2i + 1 leaves its end; each has a face on its left.

    nodes : places (y, z).  ends : of each half-edge the node it leaves.  face : of each half-edge; `outside` is the
    one around the section.  open : of each wall, True where one face lies on both its sides, so that it bounds no cell.
    left, right : of each half-edge the next one about its node, counter-clockwise and clockwise (itself at a free end).
    cells : number of closed cells.
    """

    nodes: list[Point]
    ends: list[int]
    face: list[int]
    outside: int
    open: list[bool]
    left: list[int]
    right: list[int]
    cells: int


@lru_cache(maxsize=4096)
def graph_of(section: Section) -> Graph:
    """Read the graph off a section; ModelError when its walls do not hang together or cross without a common end."""
    index: dict[tuple[int, int], int] = {}
    nodes: list[Point] = []
    ends: list[int] = []
    around: list[list[int]] = []
    for wall in section.walls:
        for place in (wall.start, wall.end):
            node = index.setdefault(spot(place), len(nodes))
            if node == len(nodes):
                nodes.append(place)
                around.append([])
            around[node].append(len(ends))
            ends.append(node)
    _hang_together(ends, around, section)
    left, right = _turn(ends, around, nodes)
    face, areas = _faces(ends, right, nodes)
    cells = len(section.walls) - len(nodes) + 1
    if len(areas) != cells + 1:
        raise ModelError("section", "walls cross between their ends", "End walls where they meet")
    outside = min(range(len(areas)), key=areas.__getitem__)
    is_open = [face[i] == face[i + 1] for i in range(0, len(face), 2)]
    return Graph(nodes, ends, face, outside, is_open, left, right, cells)


def _hang_together(ends: list[int], around: list[list[int]], section: Section) -> None:
    seen, todo = {0}, [0]
    while todo:
        for half in around[todo.pop()]:
            other = ends[half ^ 1]
            if other not in seen:
                seen.add(other)
                todo.append(other)
    if len(seen) < len(around):
        loose = next(wall.name for i, wall in enumerate(section.walls) if ends[2 * i] not in seen)
        raise ModelError("section", f"wall {loose!r} does not touch wall {section.walls[0].name!r}",
                         "Let the ends of mid-lines coincide, or join them by a weld")


def _turn(ends: list[int], around: list[list[int]], nodes: list[Point]) -> tuple[list[int], list[int]]:
    """Neighbours of each half-edge about its node.  Walls on the same two nodes are ordered alike seen from both."""
    left, right = [0] * len(ends), [0] * len(ends)

    def direction(half: int) -> tuple[float, int]:
        (y, z), (yo, zo) = nodes[ends[half]], nodes[ends[half ^ 1]]
        angle = round(atan2(zo - z, yo - y), 9)
        angle = angle if angle < HALF_TURN else -angle
        return angle, half if angle >= 0 else -half

    for halves in around:
        if len(halves) > 2:
            halves = sorted(halves, key=direction)
        for i, half in enumerate(halves):
            left[halves[i - 1]] = half
            right[half] = halves[i - 1]
    return left, right


def _faces(ends: list[int], right: list[int], nodes: list[Point]) -> tuple[list[int], list[float]]:
    """Face on the left of each half-edge and the signed area of each face (the outside one is negative)."""
    face = [-1] * len(ends)
    areas: list[float] = []
    for first in range(len(ends)):
        if face[first] >= 0:
            continue
        half, area = first, 0.0
        while face[half] < 0:
            face[half] = len(areas)
            (y, z), (yo, zo) = nodes[ends[half]], nodes[ends[half ^ 1]]
            area += (y * zo - z * yo) / 2
            half = right[half ^ 1]
        areas.append(area)
    return face, areas
