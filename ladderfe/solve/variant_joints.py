"""Joints of a varied mesh in many states: their freedoms and stiffness, and where channel rails put members' ends."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.joints.many import Meetings, meetings
from ladderfe.joints.meeting import ABOUT_Z, Webs
from ladderfe.mesh import OPEN, RACKING, SoftJoint
from ladderfe.mesh.build import member_points
from ladderfe.mesh.joined import joint_ends, joints_of, rails_of
from ladderfe.mesh.varied import Varied
from ladderfe.solve.frame import WARPING, SoftEnd
from ladderfe.solve.members import joint_parts

__all__ = ["JointStates", "Met", "joint_states", "moved_points"]

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


@dataclass(frozen=True, eq=False)
class Met:
    """A varied mesh in states of its stretches' thickness (v, k)."""

    varied: Varied
    thickness: Array

    @cached_property
    def chassis(self) -> list[Chassis]:
        """As joints and diaphragms see it, worked out where what they need is not known for all states at once."""
        return [self.varied.where_met(t) for t in self.thickness.tolist()]


def joint_states(met: Met) -> tuple[list[JointStates], list[int]]:
    """All joints that vary, and the states in which one of them has other freedoms than as laid out."""
    odd: set[int] = set()
    return [_states(met, k, odd) for k in met.varied.joints], sorted(odd)


def _states(met: Met, k: int, odd: set[int]) -> JointStates:
    varied, thickness = met.varied, met.thickness
    end, level = joint_ends(varied.chassis)[k], varied.chassis.joint_level
    rails = rails_of(varied.chassis, end, varied.joint_walls(k, thickness), level)
    found = meetings(rails) if rails is not None and bool(rails.possible().all()) else None
    usual = _one(varied, varied.mesh.joints[k])
    if found is not None:
        out = _together(varied, varied.mesh.joints[k], found)
        if (out.directions, out.webs) == (usual[0], usual[3]):
            return out
    own = []
    for v, chassis in enumerate(met.chassis):
        rail = next(r for r in chassis.rails if r.name == end.rail.name)
        joint, meeting, warping = joints_of(chassis, end._replace(rail=rail), level)
        soft = replace(
            varied.mesh.joints[k], stiffness=joint.stiffness, meeting=meeting, warping=warping[0], link=warping[1]
        )
        one = _one(varied, soft)
        if (one[0], one[3]) != (usual[0], usual[3]):
            odd.add(v)
            one = usual
        own.append(one)
    return JointStates(usual[0], np.stack([o[1] for o in own]), np.array([o[2] for o in own]), usual[3])


def _together(varied: Varied, joint: SoftJoint, found: Meetings) -> JointStates:
    """Freedoms and stiffness of a usual joint in all states, as `frame_of` makes them."""
    extras = int(varied.mesh.extras[varied.mesh.ends[joint.member, joint.end]])
    opened = varied.mesh.kind[joint.member] == OPEN
    spring = opened and not np.isinf(found.warping).any()
    k = len(found.directions)
    n = k + spring
    S = np.zeros((len(found.plan), n + 2, n + 2))
    S[:, :k, :k] = found.stiffness[:, :k, :k]
    if extras == RACKING:
        S[:, :k, n] = S[:, n, :k] = found.stiffness[:, :k, k]
        S[:, n, n], S[:, n + 1, n + 1] = found.stiffness[:, k, k], found.held
        if ABOUT_Z in found.directions:
            z = found.directions.index(ABOUT_Z)
            S[:, z, n + 1] = S[:, n + 1, z] = found.plan
    shared = extras == OPEN and found.link != 0
    if spring:
        S[:, k, k] = found.warping
        if shared:
            S[:, k, n] = S[:, n, k] = -found.link * found.warping
            S[:, n, n] = found.warping
    tie = found.link if opened and not spring and shared else 0
    directions = (*found.directions, *((WARPING,) if spring else ()))
    return JointStates(directions, S, np.full(len(found.plan), float(tie)), found.webs)


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


def moved_points(met: Met, part: int) -> Array:
    """(v, members + 1, 3) true points of a crossmember's or outrigger's member ends in all states."""
    varied = met.varied
    p = varied.mesh.parts[part]
    joints = {}
    for k, j in enumerate(varied.mesh.joints):
        if p.first <= j.member < p.last:
            joints[k] = j.meeting
    meetings = tuple(joints.values())
    refine = varied.refine
    return np.array([member_points(c, p.name, meetings, refine) for c in met.chassis])
