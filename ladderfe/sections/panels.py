"""Flat walls as plates that may buckle: clear width between what holds their edges, internal or outstand.

Read off the graph of mid-lines.  Pieces of one straight wall that carry on into each other (a weld line between them
holds nothing) are one panel.  An edge is held where another wall or a bend meets it, or a weld joins it to another
wall.  The clear width runs between the faces of the other walls, or between bends (the b-bar of EN 1993-1-5 4.4(2)).
Bends, tubes and plates with two free edges are no panels: they stay whole.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from ladderfe.sections.flow import flow_of
from ladderfe.sections.lines import Lines
from ladderfe.sections.walls import Point, Section

__all__ = ["Edge", "Panel", "panels_of"]

#: Sine of the angle below which two walls carry on straight into each other.
STRAIGHT = 0.02
#: An outstand narrower than this part of a wall does not hold that wall's edge (EN 1993-1-3 5.2, from memory).
HOLDS = 0.2


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of a panel: whether it is held; how far the wall's mid-line (or, at a free edge, its plate) reaches
    beyond the clear width, to the mid-line of what holds it; the numbers of the walls there (beyond a bend, where there
    is one); and the bend's inside radius, None where there is no bend."""

    held: bool
    beyond: float
    others: tuple[int, ...] = ()
    radius: float | None = None


@dataclass(frozen=True, slots=True)
class Panel:
    """A flat wall between its edges, mm in section axes.

    name; walls : numbers of its pieces in order; start : where the clear width begins on the mid-line; along : unit
    vector; width : clear; thickness : of its thinnest piece; metal : mean of thickness times modulus ratio over it;
    modulus : of its first piece; edges : at start and end.
    """

    name: str
    walls: tuple[int, ...]
    start: Point
    along: Point
    width: float
    thickness: float
    metal: float
    modulus: float
    edges: tuple[Edge, Edge]

    @property
    def outstand(self) -> bool:
        """True where one edge is free."""
        return not (self.edges[0].held and self.edges[1].held)

    @property
    def tip(self) -> int:
        """Which edge is free, 0 or 1; -1 for an internal panel."""
        return next((i for i in (0, 1) if not self.edges[i].held), -1)

    def place(self, s: float) -> Point:
        """Where on the mid-line, s mm from the start of the clear width."""
        return self.start[0] + s * self.along[0], self.start[1] + s * self.along[1]


@lru_cache(maxsize=4096)
def panels_of(section: Section) -> tuple[Panel, ...]:
    """The panels of a section in the order of its walls."""
    net = _Net(section, flow_of(section).lines)
    done: set[int] = set()
    panels = []
    for i, flat in enumerate(net.flat):
        if flat and i not in done:
            chain = net.chain(i)
            done.update(half // 2 for half in chain)
            panels.append(net.panel(chain))
    whole = [p for p in panels if (p.edges[0].held or p.edges[1].held) and p.width > 1e-9]
    if not any(p.outstand for p in whole):
        return tuple(whole)
    return tuple(_weakly_held(p, whole) for p in whole)


def _weakly_held(panel: Panel, every: list[Panel]) -> Panel:
    """The panel with an edge free that only a narrow outstand (a small lip) holds, if its other edge is held better."""
    weak = [edge.held and _only_a_lip(panel, edge, every) for edge in panel.edges]
    if panel.outstand or weak[0] == weak[1]:
        return panel
    k = 0 if weak[0] else 1
    first, last = (replace(e, held=e.held and i != k) for i, e in enumerate(panel.edges))
    return replace(panel, edges=(first, last))


def _only_a_lip(panel: Panel, edge: Edge, every: list[Panel]) -> bool:
    found = [p for p in every if set(p.walls) & set(edge.others)]
    return len(found) == 1 == len(edge.others) and found[0].outstand and found[0].width < HOLDS * panel.width


class _Net:
    """Walls about each node of the graph, as plain lists."""

    def __init__(self, section: Section, lines: Lines) -> None:
        self.walls, self.ends, self.nodes = section.walls, lines.graph.ends, lines.graph.nodes
        self.metal: list[bool] = (lines.metal > 0).tolist()
        self.flat = [metal and not wall.bulge for metal, wall in zip(self.metal, self.walls, strict=True)]
        self.length: list[float] = lines.length.tolist()
        self.away: list[Point] = [a for y, z in lines.along.tolist() for a in ((y, z), (-y, -z))]  # of half-edges
        self.around: list[list[int]] = [[] for _ in self.nodes]
        for half, node in enumerate(self.ends):
            self.around[node].append(half)

    def others(self, half: int) -> list[int]:
        """Half-edges of other walls with metal that leave the same node."""
        return [h for h in self.around[self.ends[half]] if h != half and self.metal[h // 2]]

    def onward(self, half: int) -> int | None:
        """The half-edge that carries a wall straight on beyond the end that `half` leaves, where nothing else meets."""
        others = self.others(half)
        if len(others) != 1 or not self.flat[others[0] // 2]:
            return None
        (y, z), (yo, zo) = self.away[half], self.away[others[0]]
        return others[0] if abs(y * zo - z * yo) < STRAIGHT and y * yo + z * zo < 0 else None

    def chain(self, i: int) -> list[int]:
        """Half-edges, one a piece, of the straight run that wall i belongs to, walked from its first end."""
        first, seen = 2 * i, {i}
        while (before := self.onward(first)) is not None and before // 2 not in seen:
            first = before ^ 1
            seen.add(first // 2)
        run = [first]
        while (after := self.onward(run[-1] ^ 1)) is not None and after // 2 not in {h // 2 for h in run}:
            run.append(after)
        return run

    def panel(self, chain: list[int]) -> Panel:
        numbers = tuple(half // 2 for half in chain)
        pieces, lengths = [self.walls[k] for k in numbers], [self.length[k] for k in numbers]
        edges = self.edge(chain[0]), self.edge(chain[-1] ^ 1)
        back = [edge.beyond if edge.radius is None else 0.0 for edge in edges]
        (y, z), along, whole = self.nodes[self.ends[chain[0]]], self.away[chain[0]], sum(lengths)
        metal = sum(w.thickness * w.modulus * own for w, own in zip(pieces, lengths, strict=True)) / whole
        return Panel(
            pieces[0].name, numbers, (y + back[0] * along[0], z + back[0] * along[1]), along, whole - sum(back),
            min(w.thickness for w in pieces), metal, pieces[0].modulus, edges,
        )  # fmt: skip

    def edge(self, half: int) -> Edge:
        """The edge that a half-edge leaves: mid-lines go on from bends, end at faces, and stop short at free edges."""
        others = self.others(half)
        if not others:
            if len(self.around[self.ends[half]]) > 1:
                return Edge(True, 0.0)  # a weld
            wall = self.walls[half // 2]
            return Edge(False, -(wall.grow_end if half % 2 else wall.grow_start))
        if len(others) == 1 and self.walls[others[0] // 2].bulge:
            return self._bend(half, others[0])
        return Edge(True, max(self._setback(half, h) for h in others), tuple(h // 2 for h in others))

    def _setback(self, half: int, other: int) -> float:
        """From the node to the face of another wall; 0 where it carries on straight."""
        (y, z), (yo, zo) = self.away[half], self.away[other]
        sine = abs(y * zo - z * yo)
        return self.walls[other // 2].thickness / 2 / sine if sine >= STRAIGHT else 0.0

    def _bend(self, half: int, curved: int) -> Edge:
        """Walk round a bend to the wall beyond it; a curled edge with nothing beyond is free."""
        here, seen = curved, {half // 2}
        while self.walls[here // 2].bulge:
            seen.add(here // 2)
            others = [h for h in self.others(here ^ 1) if h // 2 not in seen]
            if not others:
                return Edge(False, 0.0)
            if len(others) > 1:
                return Edge(True, 0.0, tuple(h // 2 for h in others))
            here = others[0]
        wall, other = self.walls[half // 2], self.walls[here // 2]
        (y, z), (yo, zo), away = self.nodes[self.ends[half]], self.nodes[self.ends[here]], self.away[half]
        cut = abs((yo - y) * away[0] + (zo - z) * away[1])  # outside radius less half the other wall's thickness
        return Edge(True, cut, (here // 2,), max(0.0, cut + other.thickness / 2 - max(wall.thickness, other.thickness)))
