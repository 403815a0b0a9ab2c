"""Plates added to a section, and the shear flow in the lines that join walls: lapped doublers, boxing plates, welds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.sections.flow import flow_of
from ladderfe.sections.graph import graph_of
from ladderfe.sections.lines import Array
from ladderfe.sections.properties import properties
from ladderfe.sections.walls import Point, Section, Wall, weld
from ladderfe.sections.words import Words

__all__ = ["WeldLine", "boxing_plate", "joining_flow", "lapped_plate", "weld_lines"]


class WeldLine(NamedTuple):
    """A line along the member that joins a plate: its name, its place (y, z) in mm, and its shear flow.

    flow : (4,) per unit Vy, Vz (through the shear centre), St-Venant torque and warping torque, 1/mm and 1/mm2;
    positive where it makes the plate's tension grow along x'.
    """

    name: str
    y: float
    z: float
    flow: Array



def lapped_plate(section: Section, wall: str, *, width: float, thickness: float, throat: float,
                 centre: float | None = None, inside: bool = False) -> Section:
    """The section with a plate lapped on a wall and joined to it by a weld line along each of its two edges.

    The plate lies on the wall's face away from the centroid (`inside`: toward it), `centre` mm from the start of the
    wall's straight mid-line (default: its middle).  Where it reaches past the mid-line's ends the weld sits at the end.
    `throat` is the weld's.  New walls: "<wall> plate", "<wall> weld 1", "<wall> weld 2".  Raises ModelError where
    the plate does not lie on the wall.
    """
    base = section.flat(wall)
    middle = base.length / 2 if centre is None else centre
    first, last = middle - width / 2, middle + width / 2
    on, off = max(first, 0.0), min(last, base.length)
    if not on < off or thickness <= 0:
        raise ModelError(f"wall {wall}", f"a plate {width} x {thickness} mm at {middle} mm is not on its flat part",
                         f"The flat part is {base.length:.4g} mm wide")
    along: Array = np.subtract(base.end, base.start) / base.length
    normal = np.array([-along[1], along[0]])
    known = properties(section)
    lift = (base.thickness + thickness) / 2
    if (normal @ (np.add(base.start, base.end) / 2 - (known.yc, known.zc)) < 0) != inside:
        lift = -lift

    def place(distance: float, height: float = 0.0) -> Point:
        y, z = base.start + distance * along + height * normal
        return float(y), float(z)

    plate = Wall(f"{wall} plate", place(on, lift), place(off, lift), thickness, on - first, last - off)
    welds = [weld(f"{wall} weld {i + 1}", place(at) if 0 < at < base.length else end, place(at, lift), throat)
             for i, (at, end) in enumerate(((on, base.start), (off, base.end)))]
    before = [replace(base, end=welds[0].start, grow_end=0.0)] if on > 0 else []
    after = [replace(base, start=welds[1].start, grow_start=0.0)] if off < base.length else []
    under = replace(base, start=welds[0].start, end=welds[1].start, grow_start=0.0 if before else base.grow_start,
                    grow_end=0.0 if after else base.grow_end)
    under_plate = section.swapped(base, (*before, under, *after))
    return replace(section, walls=(*under_plate.walls, plate, *welds))


def boxing_plate(section: Section, first: str, second: str, thickness: float, over: bool = False) -> Section:
    """The section closed by a "boxing plate" between the free edges of two walls.

    It lies between the two walls, flush with their edges; with `over` it lies on the edges, from outer face to outer
    face.  Raises ModelError when one of the two walls has no free edge.
    """
    graph = graph_of(section)
    walls = list(section.walls)
    ends: list[Point] = []
    beyond: list[float] = []
    half = thickness / 2 if over else -thickness / 2
    for wanted in (first, second):
        halves = [half for half, left in enumerate(graph.left)
                  if left == half and walls[half // 2].name == wanted]
        if not halves:
            raise ModelError(f"wall {wanted}", "it has no free edge", "Name two walls whose edges the plate joins")
        wall, at_end = walls[halves[0] // 2], halves[0] % 2 == 1
        away = np.subtract(wall.end, wall.start) / wall.length * (1 if at_end else -1)
        grow = (wall.grow_end if at_end else wall.grow_start) + half
        y, z = (np.array(wall.end if at_end else wall.start) + grow * away).tolist()
        walls[halves[0] // 2] = (replace(wall, end=(y, z), grow_end=-half) if at_end
                                 else replace(wall, start=(y, z), grow_start=-half))
        ends.append((y, z))
        beyond.append(wall.thickness / 2 if over else -wall.thickness / 2)
    return replace(section, walls=(*walls, Wall("boxing plate", ends[0], ends[1], thickness, *beyond)))


def joining_flow(section: Section, names: Iterable[str], shear: tuple[float, float]) -> float:
    """Shear flow q = V Q/I, N/mm, across all lines together that join the named walls to the rest, under (Vy, Vz) in N.

    From the true plates, with Iyz where there is one; positive where the walls' tension grows along x'.  Shared by two
    welds that lie alike it is half of this in each; `weld_lines` gives every weld its own.  Source: D. J. Jourawski's
    formula (any text on strength of materials).
    """
    known = properties(section)
    statics = np.zeros(2)
    for wall in (w for name in names for w in section.named(name)):
        along = np.subtract(wall.end, wall.start) / wall.length
        middle = np.add(wall.start, wall.end) / 2 + along * (wall.grow_end - wall.grow_start) / 2
        statics += wall.modulus * wall.area * (middle - (known.yc, known.zc))
    moments = np.array([[known.Izz, known.Iyz], [known.Iyz, known.Iyy]])
    return float(statics @ np.linalg.solve(moments, shear))


def weld_lines(section: Section, names: Iterable[str]) -> tuple[WeldLine, ...]:
    """The lines along which the named walls (a plate) are joined to the rest, each with its own shear flow.

    One where a named wall ends on another, or on the weld of a lapped plate.  From the section's whole flow: under
    torque it is the plate's share of Bredt's, and of two welds that lie unlike each has its own.  Under (Vy, Vz) their
    sum is `joining_flow` but for the walls' thickness.  Raises ModelError for a name that no wall has.
    """
    flow, graph = flow_of(section), flow_of(section).lines.graph
    named = {section.walls.index(wall) for name in names for wall in section.named(name)}
    words = Words(section, graph)
    lines: list[WeldLine] = []
    for node, place in enumerate(graph.nodes):
        here = [half for half, end in enumerate(graph.ends) if end == node]
        own = [half for half in here if half // 2 in named]
        others = [half // 2 for half in here if half // 2 not in named]
        if not own or not others:
            continue
        welds = [section.walls[i].name for i in others if not flow.lines.metal[i]]
        wall = own[0] // 2
        name = welds[0] if welds else f"{section.walls[wall].name}, {words.edges(wall)[own[0] % 2]}"
        into = [flow.at(half // 2, 1.0) * -1 if half % 2 else flow.at(half // 2, 0.0) for half in own]
        lines.append(WeldLine(name, *place, np.sum(into, axis=0)))
    return tuple(lines)
