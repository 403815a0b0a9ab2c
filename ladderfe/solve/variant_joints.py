"""Joints of a varied mesh in many states: their freedoms and stiffness, and where channel rails put members' ends."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.joints.meeting import Webs
from ladderfe.mesh import SoftJoint
from ladderfe.mesh.build import member_points
from ladderfe.mesh.joined import joint_ends, joints_of
from ladderfe.mesh.varied import Varied
from ladderfe.solve.frame import SoftEnd
from ladderfe.solve.members import joint_parts

__all__ = ["JointStates", "joint_states", "moved_points"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class JointStates:
    """Of one joint in v states.

    directions: its freedoms, as in `SoftEnd`; stiffness (v, f + 2, f + 2) on them and on the node's two unknowns beside
    the six; tie (v,): warping of the member's end per unit warping of the node, where it has none of its own.
    webs: what carries the end.
    """

    directions: tuple[int, ...]
    stiffness: Array
    tie: Array
    webs: Webs


def joint_states(varied: Varied, states: list[Chassis]) -> tuple[list[JointStates], list[int]]:
    """All joints that vary, and the states in which one of them has other freedoms than as laid out."""
    mesh, odd = varied.mesh, set()
    base = joint_ends(varied.chassis)
    found = [[] for _ in varied.joints]  # type: list[list[tuple[tuple[int, ...], Array, float, Webs]]]
    for v, chassis in enumerate(states):
        rails = {r.name: r for r in chassis.rails}
        for i, k in enumerate(varied.joints):
            end = base[k]._replace(rail=rails[base[k].rail.name])
            joint, meeting, warping = joints_of(chassis, end, chassis.joint_level)
            soft = replace(mesh.joints[k], stiffness=joint.stiffness, meeting=meeting, warping=warping[0], link=warping[1])
            found[i].append(_one(varied, soft))
    out = []
    for i, k in enumerate(varied.joints):
        usual = _one(varied, mesh.joints[k])
        for v, own in enumerate(found[i]):
            if (own[0], own[3]) != (usual[0], usual[3]):
                odd.add(v)
                found[i][v] = usual
        own_all = found[i]
        out.append(JointStates(usual[0], np.stack([o[1] for o in own_all]), np.array([o[2] for o in own_all]), usual[3]))
    return out, sorted(odd)


def _one(varied: Varied, joint: SoftJoint) -> tuple[tuple[int, ...], Array, float, Webs]:
    """Freedoms, stiffness, tie and webs of a joint."""
    follow = np.zeros_like(varied.mesh.follow[: joint.member + 1])
    soft: list[SoftEnd] = []
    energies = joint_parts(varied.mesh, joint, soft, follow)
    n = len(soft)
    stiffness = np.zeros((n + 2, n + 2))
    stiffness[range(n), range(n)] = [s.stiffness for s in soft]
    for e in energies:
        at = [*e.soft, *(n + i for i in e.extras)]
        stiffness[np.ix_(at, at)] += e.stiffness
    given: Webs = "both" if joint.kind in ("through", "wrapped") else "met"
    webs = joint.meeting.webs if joint.meeting else given
    return tuple(s.direction for s in soft), stiffness, float(follow[joint.member, joint.end, 6, 0]), webs


def moved_points(varied: Varied, states: list[Chassis], part: int) -> Array:
    """(v, members + 1, 3) true points of a crossmember's or outrigger's member ends in all states."""
    p = varied.mesh.parts[part]
    joints = {}
    for k, j in enumerate(varied.mesh.joints):
        if p.first <= j.member < p.last:
            joints[k] = j.meeting
    meetings = tuple(joints.values())
    refine = varied.refine
    return np.array([member_points(c, p.name, meetings, refine) for c in states])
