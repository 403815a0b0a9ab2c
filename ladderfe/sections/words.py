"""Words for places on walls: which wall comes next at an end, so that a reader finds the point on the frame."""

from __future__ import annotations

from ladderfe.sections.graph import Graph
from ladderfe.sections.walls import Section

__all__ = ["Words"]


class Words:
    """Names of ends and middles of a section's walls, from the names of the walls that they meet."""

    def __init__(self, section: Section, graph: Graph) -> None:
        self.section, self.graph = section, graph
        self.names = [wall.name for wall in section.walls]

    def _walk(self, half: int) -> tuple[str, int]:
        """Beyond the end that `half` leaves: the next other name ("" at a free edge) and how many walls away it is."""
        name, steps, here = self.names[half // 2], 1, half
        while True:
            left, right = self.graph.left[here], self.graph.right[here]
            if left == here:
                return "", steps
            for found in (self.names[left // 2], self.names[right // 2]):
                if found != name:
                    return found, steps
            if left != right or left ^ 1 == half:
                return name, steps
            here, steps = left ^ 1, steps + 1

    def edges(self, wall: int) -> tuple[str, str]:
        """Words for the start and the end of a wall."""
        start, end = (self._walk(half)[0] for half in (2 * wall, 2 * wall + 1))
        if not start and not end:
            return self._opposite(wall)
        return f"{start or 'free'} edge", f"{end or 'free'} edge"

    def _opposite(self, wall: int) -> tuple[str, str]:
        """Words for a plate with two free edges: by where they lie."""
        (y, z), (yo, zo) = self.section.walls[wall].start, self.section.walls[wall].end
        if abs(zo - z) >= abs(yo - y):
            return ("lower edge", "upper edge") if zo > z else ("upper edge", "lower edge")
        minus, plus = self.section.side_names
        return (f"{minus} edge", f"{plus} edge") if yo > y else (f"{plus} edge", f"{minus} edge")

    def middle(self, wall: int) -> str:
        """Word for the middle of a wall; a curved one is told by the nearer wall of another name."""
        if not self.section.walls[wall].bulge:
            return "middle"
        (one, near), (two, far) = self._walk(2 * wall), self._walk(2 * wall + 1)
        if near == far:
            return "middle"
        return f"{'next to' if min(near, far) == 1 else 'toward'} {one if near < far else two}"

    def fades(self, wall: int) -> bool:
        """True for a curved wall that runs into a straight one of its own name, whose end point lies close by; also
        where a weld sits between the two, on whichever side."""
        walls, graph = self.section.walls, self.graph
        nexts = (walls[way[half] // 2] for half in (2 * wall, 2 * wall + 1) for way in (graph.left, graph.right))
        return any(not other.bulge and other.name == self.names[wall] for other in nexts)
