"""Plates added to a section, and the shear flow in the lines that join walls: lapped doublers, boxing plates, welds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.sections.flow import flow_of
from ladderfe.sections.graph import graph_of
from ladderfe.sections.lines import Array
from ladderfe.sections.properties import properties
from ladderfe.sections.walls import Point, Section, Wall, weld
from ladderfe.sections.words import Words

__all__ = ["Lap", "WeldLine", "boxing_plate", "joining_flow", "lapped_plate", "lapped_plates", "weld_lines"]

#: Welds this near to each other on a wall sit at one place, mm.
SAME = 1e-5


class WeldLine(NamedTuple):
    """A line along the member that joins a plate: its name, its place (y, z) in mm, and its shear flow.

    flow : (4,) per unit Vy, Vz (through the shear centre), St-Venant torque and warping torque, 1/mm and 1/mm2;
    positive where it makes the plate's tension grow along x'.
    """

    name: str
    y: float
    z: float
    flow: Array



class Lap(NamedTuple):
    """A plate to be lapped on a wall: width, thickness and the throat of its two welds, mm; `centre` mm from the start
    of the wall's straight mid-line; `inside`: on the face toward the centroid.  `suffix` goes to the end of the names
    of its new walls."""

    width: float
    thickness: float
    throat: float
    centre: float
    inside: bool = False
    suffix: str = ""


def lapped_plate(section: Section, wall: str, *, width: float, thickness: float, throat: float,
                 centre: float | None = None, inside: bool = False) -> Section:
    """The section with a plate lapped on a wall and joined to it by a weld line along each of its two edges.

    The plate lies on the wall's face away from the centroid (`inside`: toward it), `centre` mm from the start of the
    wall's straight mid-line (default: its middle).  Where it reaches past the mid-line's ends, or over the thickness of
    the wall beside it, the weld sits at the end.
    `throat` is the weld's.  New walls: "<wall> plate", "<wall> weld 1", "<wall> weld 2".  Raises ModelError where
    the plate does not lie on the wall.
    """
    middle = section.flat(wall).length / 2 if centre is None else centre
    return lapped_plates(section, wall, (Lap(width, thickness, throat, middle, inside),))


def lapped_plates(section: Section, wall: str, laps: Iterable[Lap]) -> Section:
    """The section with plates lapped on one wall, on either face or side by side; see `lapped_plate`.

    The wall is cut at every weld.  Raises ModelError where a plate does not lie on it, or lies on another.
    """
    base, each = section.flat(wall), tuple(laps)
    along: Array = np.subtract(base.end, base.start) / base.length
    normal = np.array([-along[1], along[0]])
    known = properties(section)
    outward = 1 if normal @ (np.add(base.start, base.end) / 2 - (known.yc, known.zc)) >= 0 else -1
    stops: list[float] = [0.0, base.length]
    edges: list[tuple[float, float]] = []
    for lap in each:
        first, last = lap.centre - lap.width / 2, lap.centre + lap.width / 2
        on, off = (_snapped(stops, _on_flat(base, v, lap.inside)) for v in (first, last))
        if not on < off or lap.thickness <= 0:
            raise ModelError(f"wall {wall}",
                             f"a plate {lap.width} x {lap.thickness} mm at {lap.centre} mm is not on its flat part",
                             f"The flat part is {base.length:.4g} mm wide")
        if any(lap.inside == other.inside and on < there[1] and there[0] < off
               for other, there in zip(each, edges, strict=False)):
            raise ModelError(f"wall {wall}", "two plates lie on each other", "Give one plate of both thicknesses")
        edges.append((on, off))
        stops += [v for v in (on, off) if v not in stops]

    def place(distance: float, height: float = 0.0) -> Point:
        if height == 0 and distance in (0.0, base.length):
            return base.start if distance == 0 else base.end
        y, z = base.start + distance * along + height * normal
        return float(y), float(z)

    new: list[Wall] = []
    for lap, (on, off) in zip(each, edges, strict=True):
        lift = (base.thickness + lap.thickness) / 2 * (-outward if lap.inside else outward)
        first, last = lap.centre - lap.width / 2, lap.centre + lap.width / 2
        new.append(Wall(f"{wall} plate{lap.suffix}", place(on, lift), place(off, lift), lap.thickness, on - first,
                        last - off))
        new += [weld(f"{wall} weld {i}{lap.suffix}", place(at), place(at, lift), lap.throat)
                for i, at in ((1, on), (2, off))]
    pieces = [replace(base, start=place(a), end=place(b), grow_start=base.grow_start if a == 0 else 0.0,
                      grow_end=base.grow_end if b == base.length else 0.0) for a, b in pairwise(sorted(stops))]
    under_plates = section.swapped(base, pieces)
    return replace(section, walls=(*under_plates.walls, *new))


def _on_flat(base: Wall, at: float, inside: bool) -> float:
    """The place on the wall's mid-line; its end where it is beyond that or, outside, over the thickness of the wall
    beside it.  ModelError for an inside plate that runs into that thickness."""
    before, behind = max(0.0, -base.grow_start), max(0.0, -base.grow_end)
    over = 0.0 < at < before - SAME or base.length - behind + SAME < at < base.length
    if inside and over:
        raise ModelError(f"wall {base.name}", "a plate inside runs into the wall beside it",
                         f"Between the walls beside it there are {base.length - before - behind:.4g} mm")
    if at <= before - SAME:
        return 0.0
    return base.length if at >= base.length - behind + SAME else at


def _snapped(stops: list[float], at: float) -> float:
    """The place, or one of the stops that coincides with it."""
    return next((stop for stop in stops if abs(stop - at) < SAME), at)


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
