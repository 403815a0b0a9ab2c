"""What the welds of crossmembers and outriggers on the rails carry: forces of every case into a weld all round.

The part's end brings its force and moment (at its reference line, as the solution has them) to one fillet round its
outline on the rail's wall.  Torque of the part acts in the plane of the weld, bending about x and z out of it.  The
weld alone carries, with the gussets that the file describes: no contact, nothing of the far web where the part goes
through.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Gusset
from ladderfe.checks.bolt_places import met_wall
from ladderfe.connections import in_weld_axes, line_forces, weld_group
from ladderfe.connections.applied import Applied
from ladderfe.connections.weld_groups import WeldGroup
from ladderfe.elements.members import PLACES
from ladderfe.mesh import Mesh, Part, SoftJoint
from ladderfe.sections import Box, Shape, Tube, wall_thickness
from ladderfe.solve import Responses

__all__ = ["JointDemand", "end_load", "joint_demands", "outline", "rail_at", "wall_of"]

Array = NDArray[np.float64]
#: Chords that stand for a round outline; together 0.07 % shorter than it.
CHORDS = 48
UP = np.array([0.0, 1.0, 0.0])
BOLTED = "bolted: no weld is reckoned; bolts that the file describes under [[bolts]] are told by `ladderfe bolts`"
ELSEWHERE = "it passes above or below the rail: how it is welded there is not described"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointDemand:
    """One joint.  force (c, 3) N and moment (c, 3) N mm that the part brings to the rail, vehicle axes, at `at` (3,).

    wall: the rail's, thickness: its own as strength is judged (a doubler of the joint does not count, which is on the
    low side), own: the thinnest wall of the part, mm.  why: what keeps a weld from being reckoned, else "".
    flow: N/mm, greatest of all cases and places, with its case and place; length: of weld, mm; lines (c, n, 2, 3):
    along, across, normal at both ends.  gusset_lines (c, 4, 2, 3): fillets of two gussets on the web, both sides of
    each, from the crossmember to the tip.
    """

    part: str
    rail: str
    kind: str
    at: Array
    force: Array
    moment: Array
    wall: str
    thickness: float
    own: float
    why: str
    flow: float = 0.0
    case: str = ""
    place: str = ""
    length: float = 0.0
    lines: Array | None = None
    gusset_lines: Array | None = None

    @property
    def thinner(self) -> float:
        return min(self.thickness, self.own)


def joint_demands(solution: Responses, gussets: Iterable[Gusset] = ()) -> tuple[JointDemand, ...]:
    """All joints of crossmembers and outriggers with the rails; gussets share the weld where they are."""
    own: dict[tuple[str, str], Gusset] = {(g.member, g.side): g for g in gussets if g.thickness}
    return tuple(_joint(solution, j, own) for j in solution.mesh.joints)


def end_load(solution: Responses, joint: SoftJoint) -> tuple[Array, Array, Array]:
    """(3,) the end of a part in vehicle axes, mm; (c, 3) force N and moment N mm that it brings to the rail there."""
    mesh, m, e = solution.mesh, joint.member, joint.end
    held = solution.end_forces[m, e * PLACES : e * PLACES + 6]
    force, moment = (-(mesh.axes[m].T @ v).T for v in (held[:3], held[3:]))
    return mesh.end_points()[m, e], force, moment


def outline(shape: Shape) -> tuple[Array, Array]:
    """(n, 2) starts and ends (y, z) in mm of the weld lines all round a part's end, in its section's axes.

    Boxes and tubes round their outside, anticlockwise; open parts once along the middle of every wall.
    """
    if isinstance(shape, Box):
        y, z = shape.width / 2, shape.depth / 2
        corners = np.array([(-y, -z), (y, -z), (y, z), (-y, z)])
        return corners, np.roll(corners, -1, axis=0)
    if isinstance(shape, Tube):
        turn = 2 * np.pi * np.arange(CHORDS) / CHORDS
        round_ = shape.diameter / 2 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        return round_, np.roll(round_, -1, axis=0)
    walls = [w for w in shape.section().walls if w.length > 0]
    return np.array([w.start for w in walls]), np.array([w.end for w in walls])


def _joint(solution: Responses, joint: SoftJoint, gussets: Mapping[tuple[str, str], Gusset]) -> JointDemand:
    mesh, m = solution.mesh, joint.member
    part = mesh.parts[int(mesh.part_of()[m])]
    node = int(mesh.ends[m, joint.end])
    rail = rail_at(mesh, joint)
    shape = mesh.shapes[mesh.section_of[m]]
    wall, thickness, depth = _wall(mesh, node, rail.name, "inner" if part.kind == "crossmember" else "outer")
    at, force, moment = end_load(solution, joint)
    off = abs(float(at[2] - mesh.nodes[node, 2])) >= (depth + shape.depth) / 2 - 1e-6
    why = BOLTED if joint.kind == "bolted" else ELSEWHERE if off else ""
    lines = (*outline(shape), *_gusset_lines(shape, gussets.get((part.name, rail.side))))
    found = {} if why else _weld(mesh, m, lines, (at, force, moment), [c.name for c in solution.cases])
    own = min(t for t in wall_thickness(mesh.least_shapes[mesh.section_of[m]]).values() if t > 0)
    return JointDemand(part=part.called, rail=rail.name, kind=joint.kind, at=at, force=force, moment=moment, wall=wall,
                       thickness=thickness, own=own, why=why, **found)  # type: ignore[arg-type]


def _gusset_lines(shape: Shape, gusset: Gusset | None) -> tuple[Array, Array]:
    """(4, 2) starts and ends (y, z) of the fillets of two gussets on the web, both sides of each plate as one line
    twice, from the outline outward; none where there are none."""
    if gusset is None:
        return np.zeros((0, 2)), np.zeros((0, 2))
    upright = gusset.way == "upright"
    ways = np.array([(0.0, 1.0), (0.0, -1.0)] if upright else [(1.0, 0.0), (-1.0, 0.0)]).repeat(2, axis=0)
    half = (shape.depth if upright else shape.width) / 2
    return half * ways, (half + gusset.web_leg) * ways


def _weld(
    mesh: Mesh, member: int, lines: tuple[Array, Array, Array, Array], load: tuple[Array, Array, Array],
    cases: list[str],
) -> dict[str, object]:  # fmt: skip
    """Flows in the outline (the first two of `lines`) and in the gussets' legs (the others), one group."""
    at, force, moment = load
    own = len(lines[0])
    start, end = (_on_wall(mesh, member, at, np.concatenate(lines[k::2])) for k in (0, 1))
    group: WeldGroup = weld_group(start, end)
    forces = line_forces(group, Applied.of(force, at, moment))
    size = forces.size[1:, :own]
    each = in_weld_axes(group, forces, UP)
    c, line, k = np.unravel_index(int((size >= size.max() * (1 - 1e-9)).argmax()), size.shape)
    point = (group.end if k else group.start)[line] - at
    return {
        "flow": float(size[c, line, k]), "case": cases[int(c) + 1], "place": _words(point),
        "length": float(group.length[:own].sum()), "lines": each[:, :own], "gusset_lines": each[:, own:] if own < len(
            group.length) else None,
    }  # fmt: skip


def _on_wall(mesh: Mesh, member: int, at: Array, points: Array) -> Array:
    """(n, 3) points of a section (n, 2) carried along the part onto the upright plane through its end."""
    along, y, z = mesh.axes[member]
    p = points[:, :1] * y + points[:, 1:] * z
    out: Array = at + p - np.outer(p[:, 1] / along[1], along)
    return out


def _words(point: Array) -> str:
    """Where on an outline a point lies, from its middle."""
    level = "top" if point[2] > 1e-6 else "bottom" if point[2] < -1e-6 else ""
    way = "rear" if point[0] > 1e-6 else "front" if point[0] < -1e-6 else ""
    return " ".join(w for w in (level, way) if w) or "middle"


def _wall(mesh: Mesh, node: int, rail: str, side: str) -> tuple[str, float, float]:
    """The rail's wall that a part meets, its least thickness on both sides of a node, and the rail's depth."""
    members = [m for m in mesh.part(rail).members if node in mesh.ends[m]]
    return wall_of(mesh, rail, members, side)


def wall_of(mesh: Mesh, rail: str, members: Iterable[int], side: str) -> tuple[str, float, float]:
    """The upright wall of a rail on its side "inner" or "outer", its least thickness along some members, and the rail's
    depth there."""
    found = []
    for m in members:
        shape = mesh.least_shapes[mesh.section_of[m]]
        name, own = met_wall(shape, mesh.part(rail).side, side)
        found.append((own, name, shape.depth))
    thickness, name, depth = min(found)
    return name, thickness, depth


def rail_at(mesh: Mesh, joint: SoftJoint) -> Part:
    """The rail on which a part's end lands."""
    node = int(mesh.ends[joint.member, joint.end])
    return next(p for p in mesh.parts if p.kind == "rail" and any(node in mesh.ends[k] for k in p.members))
