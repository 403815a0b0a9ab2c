"""What the bolts and rivets of joints on the rails carry: forces of every case in each of them.

The part's end brings its force and moment (where the solution has it meet the rail) to the pattern on the face of the
rail's upright wall: shear in the plane of the wall by the elastic method about the group's centroid, pull out of it by
the plane inertias about the same.  The fasteners alone carry, without slip, friction or prying.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import BoltPattern, Chassis
from ladderfe.checks.bolt_places import Distances, distances
from ladderfe.checks.weld_joints import end_load, rail_at, wall_of
from ladderfe.condition.rails import rail_of
from ladderfe.connections import Applied, bolt_forces, bolt_group
from ladderfe.errors import ModelError
from ladderfe.mesh import Mesh, Part, SoftJoint
from ladderfe.mesh.rails import rail_point, rail_shape
from ladderfe.solve import Responses

__all__ = ["BoltDemand", "bolt_demands"]

Array = NDArray[np.float64]
#: Rails run level enough for stations along them within this part of a mm.
SAME = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoltDemand:
    """One pattern of n fasteners in c cases.

    part, rail, wall: where it is; thickness: least of that wall along the pattern, mm, as strength is judged.
    force (c, 3) N and moment (c, 3) N mm that the part brings, vehicle axes.  shear (c, n, 2) N, rearward and upward,
    pull (c, n) N, that it passes to each.  why: what keeps the forces from being known, else "".
    """

    pattern: BoltPattern
    part: str
    rail: str
    wall: str
    thickness: float
    distances: Distances
    cases: tuple[str, ...]
    force: Array
    moment: Array
    shear: Array
    pull: Array
    why: str = ""


def bolt_demands(solution: Responses, chassis: Chassis) -> tuple[BoltDemand, ...]:
    """Of all patterns of a chassis that was solved."""
    mesh = solution.mesh
    ends = {(mesh.parts[int(mesh.part_of()[j.member])].name, rail_at(mesh, j).side): j for j in mesh.joints}
    return tuple(_demand(solution, chassis, p, ends[p.member, p.side]) for p in chassis.bolts)


def _demand(solution: Responses, chassis: Chassis, pattern: BoltPattern, joint: SoftJoint) -> BoltDemand:
    mesh = solution.mesh
    part, rail = mesh.parts[int(mesh.part_of()[joint.member])], rail_at(mesh, joint)
    toward = "inner" if part.kind == "crossmember" else "outer"
    wall, thickness, _ = wall_of(mesh, rail.name, _along(mesh, rail, pattern), toward)
    at, force, moment = end_load(solution, joint)
    away = (1.0 if rail.side == "left" else -1.0) * (1.0 if toward == "inner" else -1.0)
    axes = np.array([(-away, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, away, 0.0)])  # along, up, away from the wall
    places = np.array([(-away * (x - at[0]), z - at[2]) for x, z in pattern.places])
    arm = np.array([0.0, 0.0, away * (at[1] - _face(chassis, pattern.side, float(at[0]), int(away)))])
    why, shear, pull = "", np.zeros((len(force), len(places), 2)), np.zeros((len(force), len(places)))
    try:
        found = bolt_forces(bolt_group(places), Applied.of(force @ axes.T, arm, moment @ axes.T))
        shear, pull = found.shear * np.array([-away, 1.0]), found.pull
    except ModelError as error:
        why = error.problem
    return BoltDemand(pattern=pattern, part=part.called, rail=rail.name, wall=wall, thickness=thickness,
                      distances=distances(chassis, pattern), cases=tuple(c.name for c in solution.cases), force=force,
                      moment=moment, shear=shear, pull=pull, why=why)  # fmt: skip


def _face(chassis: Chassis, side: str, station: float, away: int) -> float:
    """Y of the face of a rail's upright wall that looks toward y of the sign `away`."""
    rail = rail_of(chassis, side)
    return float(rail_point(rail, station)[1]) + rail_shape(rail, station).landing(away)


def _along(mesh: Mesh, rail: Part, pattern: BoltPattern) -> list[int]:
    """Members of a rail over which a pattern reaches."""
    a, b = pattern.reach
    x = {m: sorted(mesh.nodes[mesh.ends[m], 0].tolist()) for m in rail.members}
    return [m for m, (start, end) in x.items() if start < b - SAME and end > a + SAME]
