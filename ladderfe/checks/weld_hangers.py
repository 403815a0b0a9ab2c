"""What the welds of spring hangers on the rails carry: all that an axle brings to an eye, at its own arm.

Spring force, fore-aft and side force, wind-up couple, stop and damper act where the spring's eye or seat is (their
heights and distances from the rail come with them), and one group of fillets on the bracket's outline holds them.
The welds alone carry: no contact, no bolts beside them.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Hanger
from ladderfe.checks.bolt_places import met_wall
from ladderfe.condition.rails import rail_of
from ladderfe.connections import Applied, in_weld_axes, line_forces, weld_group
from ladderfe.mesh.rails import rail_point, rail_shape
from ladderfe.solve import Solution

__all__ = ["HangerDemand", "hanger_demands", "wrench_at"]

Array = NDArray[np.float64]
#: A stiffening body acts on the rails beside the springs, not through their hangers.
BODY = "body"
GONE = "a hole took away the wall that it is on: no weld is reckoned; let a piece in there"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HangerDemand:
    """One bracket.  force (c, 3) N and moment (c, 3) N mm on the rail at `at` (3,) mm, vehicle axes.

    wall, thickness: of the rail, as strength is judged.  flow: N/mm, greatest of all cases and places, with its case
    and place; length: of weld, mm; lines (c, n, 2, 3): along, across, normal.  why: what keeps a weld from being
    reckoned, else "".
    """

    hanger: Hanger
    at: Array
    force: Array
    moment: Array
    wall: str
    thickness: float
    flow: float
    case: str
    place: str
    length: float
    lines: Array
    why: str = ""

    @property
    def thinner(self) -> float:
        return min(self.thickness, self.hanger.thickness)


def hanger_demands(solution: Solution, chassis: Chassis, bare: Collection[str] = ()) -> tuple[HangerDemand, ...]:
    """Of all brackets of a chassis that was solved; bare: names of those on a wall that a hole took away."""
    own = (_demand(solution, chassis, h) for h in chassis.hangers)
    return tuple(replace(d, wall=d.hanger.on, thickness=0.0, why=GONE) if d.hanger.name in bare else d for d in own)


def wrench_at(solution: Solution, place: str) -> tuple[Array, Array, Array]:
    """(3,) the true point of a place, mm, and (c, 3) force N and moment N mm that reach the frame there."""
    wrench = np.zeros((6, len(solution.cases)))
    for k, seat in enumerate(solution.system.seats):
        for name, parts in seat.places:
            if name == place and seat.name != BODY:
                wrench += np.outer(parts, solution.support_forces[k])
    at = solution.mesh.places[place]
    return solution.mesh.nodes[at.node] + np.array(at.arm), wrench[:3].T, wrench[3:].T


def _demand(solution: Solution, chassis: Chassis, h: Hanger) -> HangerDemand:
    axle = next(a for a in chassis.axles if a.name == h.axle)
    at, force, moment = wrench_at(solution, axle.seat_name(h.side, h.seat))
    corners, normal = _outline(chassis, h)
    group = weld_group(corners, np.roll(corners, -1, axis=0))
    if h.welds != "all round":
        keep = slice(0, None, 2) if h.welds == "lengthwise" else slice(1, None, 2)
        group = weld_group(group.start[keep], group.end[keep])
    forces = line_forces(group, Applied.of(force, at, moment))
    size = forces.size[1:]
    c, line, k = np.unravel_index(int((size >= size.max() * (1 - 1e-9)).argmax()), size.shape)
    wall, thickness = _wall(chassis, h)
    arm = (group.end if k else group.start)[line] - corners.mean(axis=0)
    return HangerDemand(
        hanger=h, at=at, force=force, moment=moment, wall=wall, thickness=thickness, flow=float(size[c, line, k]),
        case=solution.cases[int(c) + 1].name, place=_words(arm), length=float(group.length.sum()),
        lines=in_weld_axes(group, forces, normal),
    )  # fmt: skip


def _outline(chassis: Chassis, h: Hanger) -> tuple[Array, Array]:
    """(4, 3) corners of a bracket's outline on its wall, anticlockwise seen from outside with the first line along the
    rail, and (3,) the direction away from the wall."""
    rail = rail_of(chassis, h.side)
    shape, point = rail_shape(rail, h.station), rail_point(rail, h.station)
    a, b = h.length / 2, h.depth / 2
    if h.on == "bottom":
        middle = np.array([h.station, point[1], point[2] - shape.depth / 2])
        along, up, normal = np.array([1.0, 0, 0]), np.array([0, -1.0, 0]), np.array([0, 0, -1.0])
    else:
        away = rail.sign if h.on == "outer" else -rail.sign
        middle = np.array([h.station, point[1] + shape.landing(away), h.height])
        along, up, normal = np.array([-float(away), 0, 0]), np.array([0, 0, 1.0]), np.array([0, float(away), 0])
    return np.array([middle + s * a * along + t * b * up for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))]), normal


def _wall(chassis: Chassis, h: Hanger) -> tuple[str, float]:
    """The wall under a bracket and its least thickness along it, as strength is judged."""
    rail, found = rail_of(chassis, h.side), []
    for s in rail.spans:
        if s.start < h.station + h.length / 2 and s.end > h.station - h.length / 2:
            for shape in (s.least or s.shape, s.least_end or s.shape_end):
                if shape is not None:
                    name, own = met_wall(shape, h.side, h.on)
                    found.append((own, name))
    thickness, name = min(found)
    return name, thickness


def _words(point: Array) -> str:
    """Which corner of an outline."""
    level = "top" if point[2] > 1e-6 else "bottom" if point[2] < -1e-6 else "right" if point[1] > 0 else "left"
    return f"{level} {'rear' if point[0] > 0 else 'front'}"
