"""Mesh -> frame: section properties become members, joints become freedoms and energies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import Beams, Members, OpenBeams, RackingBeams
from ladderfe.joints import Meeting
from ladderfe.mesh import OPEN, RACKING, Mesh, Plate, SoftJoint
from ladderfe.solve.frame import WARPING, Frame, JointEnergy, SoftEnd
from ladderfe.solve.section_rows import SectionRows, section_rows

__all__ = ["frame_of", "joint_parts", "members_of"]

ABOUT_Z = 5
Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


def members_of(mesh: Mesh) -> Members:
    """Stiffness and offsets of every member of a mesh, by kernel."""
    rows = section_rows(mesh.shapes, mesh.sections, mesh.material)
    beams = _beams(mesh, rows)
    opened, racking = np.flatnonzero(mesh.kind == OPEN), np.flatnonzero(mesh.kind == RACKING)
    return Members(
        beams=beams,
        open_at=opened,
        open=_open(mesh, rows, beams, opened) if len(opened) else OpenBeams.none(),
        racking_at=racking,
        racking=_racking(mesh, rows, beams, racking) if len(racking) else RackingBeams.none(),
    )


def _beams(mesh: Mesh, rows: SectionRows) -> Beams:
    of = mesh.section_of
    return Beams(
        length=mesh.lengths, EA=rows.EA[of], GJ=rows.GJ[of], bending=rows.bending[of], shear=rows.shear[of],
        centroid=rows.centroid[of], shear_centre=rows.shear_centre[of],
    )  # fmt: skip


def _open(mesh: Mesh, rows: SectionRows, beams: Beams, own: IntArray) -> OpenBeams:
    of = mesh.section_of[own]
    return OpenBeams(beams.take(own), rows.EIw[of], rows.warp_shear[of], rows.coupling[of], mesh.origin[own])


def _racking(mesh: Mesh, rows: SectionRows, beams: Beams, own: IntArray) -> RackingBeams:
    at, b = rows.box[mesh.section_of[own]], rows.boxes
    return RackingBeams(beams.take(own), b.foundation.take(at), b.coupling[at], b.plane[at], b.pole[at], b.size[at])


class _MemberNames(Sequence[str]):
    """Names of all members of a mesh, made when they are asked for: by messages only."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh

    def __len__(self) -> int:
        return len(self.mesh.ends)

    def __getitem__(self, member: Any) -> Any:
        return self.mesh.member_names()[member]


def frame_of(mesh: Mesh) -> Frame:
    """The frame of a mesh; joints that are not rigid become relative freedoms."""
    soft: list[SoftEnd] = []
    energies: list[JointEnergy] = []
    follow = mesh.follow.copy()
    for joint in mesh.joints:
        energies += joint_parts(mesh, joint, soft, follow)
    energies += [_across(p) for p in mesh.plates]
    energies += [JointEnergy(b.member, (), b.nodes[0], (0,), b.stiffness, b.nodes[1]) for b in mesh.bridges]
    return Frame(
        nodes=mesh.nodes,
        ends=mesh.ends,
        arms=mesh.arms,
        axes=mesh.axes,
        members=members_of(mesh),
        soft=tuple(soft),
        node_names=mesh.node_names,
        member_names=_MemberNames(mesh),
        end_names=("left", "right"),
        extra_unknowns=mesh.extras,
        follow=follow,
        energies=tuple(energies),
    )


def joint_parts(mesh: Mesh, joint: SoftJoint, soft: list[SoftEnd], follow: Array) -> list[JointEnergy]:
    """Energies of a joint; its freedoms are added to `soft`, what ties its warping to the node's to `follow`."""
    first = len(soft)
    soft += _springs(joint) if joint.meeting is None else _met(joint, joint.meeting)
    return [*_between(mesh, joint, first), *_warped(mesh, joint, soft, follow)]


def _springs(joint: SoftJoint) -> Iterator[SoftEnd]:
    """The joint's six springs, those that give."""
    for direction, k in enumerate(joint.stiffness):
        if np.isfinite(k):
            yield SoftEnd(joint.member, joint.end, direction, float(k))


def _met(joint: SoftJoint, meeting: Meeting) -> Iterator[SoftEnd]:
    """What the walls leave free, each with its own stiffness."""
    for k, direction in enumerate(meeting.directions):
        yield SoftEnd(joint.member, joint.end, direction, float(meeting.stiffness[k, k]))


def _between(mesh: Mesh, joint: SoftJoint, first: int) -> Iterator[JointEnergy]:
    """How the joint's freedoms work on each other and on the rail's racking and warping."""
    if joint.meeting is None:
        return
    node, n = int(mesh.ends[joint.member, joint.end]), len(joint.meeting.directions)
    own = tuple(range(first, first + n))
    racks = int(mesh.extras[node]) == RACKING
    coupling = np.zeros((n + 2, n + 2))
    coupling[: n + 1, : n + 1], coupling[-1, -1] = joint.meeting.stiffness, joint.meeting.held
    coupling[range(n), range(n)] = 0  # the springs of the freedoms themselves
    if ABOUT_Z in joint.meeting.directions:
        k = joint.meeting.directions.index(ABOUT_Z)
        coupling[k, -1] = coupling[-1, k] = joint.meeting.plan
    kept = n + 2 * racks
    if coupling[:kept, :kept].any():
        yield JointEnergy(joint.member, own, node, (0, 1) if racks else (), coupling[:kept, :kept])


def _warped(mesh: Mesh, joint: SoftJoint, soft: list[SoftEnd], follow: Array) -> Iterator[JointEnergy]:
    """The warping of an open crossmember's end: free, through a spring, or tied to the rail's (put into `follow`).

    Where nothing is known of the joint it is free.
    """
    if mesh.kind[joint.member] != OPEN:
        return
    node = int(mesh.ends[joint.member, joint.end])
    spring, link = joint.warping, joint.link
    shared = int(mesh.extras[node]) == OPEN and link != 0
    if np.isinf(spring):
        follow[joint.member, joint.end, WARPING, 0] = link if shared else 0
        return
    soft.append(SoftEnd(joint.member, joint.end, WARPING, spring))
    if shared:
        both = spring * np.array([[0.0, -link], [-link, 1.0]])
        yield JointEnergy(joint.member, (len(soft) - 1,), node, (0,), both)


def _across(plate: Plate) -> JointEnergy:
    """A diaphragm holds the racking and the warping of its node."""
    return JointEnergy(plate.member, (), plate.node, (0, 1), np.diag([plate.racking, plate.warping]))
