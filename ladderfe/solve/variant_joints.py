"""Joints of a varied mesh in many states: their freedoms and stiffness, and where channel rails put members' ends."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.joints import JointGeometry
from ladderfe.joints.many import Joints, Meetings, Rails, kind_of, meetings
from ladderfe.joints.meeting import ABOUT_Z, Webs
from ladderfe.mesh import OPEN, RACKING, SoftJoint
from ladderfe.mesh.build import member_points
from ladderfe.mesh.joined import End, joint_ends, joints_of, seen_walls, usual_joint
from ladderfe.mesh.varied import Varied
from ladderfe.solve.frame import WARPING, SoftEnd
from ladderfe.solve.members import joint_parts

__all__ = ["JointStates", "Met", "joint_states", "moved_points"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


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


class _Laid(NamedTuple):
    """A joint as laid out: its number and end, `_one` of it, and where it is a usual one its geometry, the stretches
    (4,) that give the walls it sees (-1: none) and their thickness (4,)."""

    number: int
    end: End
    one: tuple[tuple[int, ...], Array, float, Webs]
    geometry: JointGeometry | None
    stretch: IntArray
    fixed: Array


@lru_cache(maxsize=4)
def _laid(varied: Varied) -> tuple[tuple[_Laid, ...], tuple[tuple[int, ...], ...]]:
    """Joints that vary, and those of them (their places) that are worked out together."""
    found, alike = [], {}  # type: list[_Laid], dict[object, list[int]]
    for place, k in enumerate(varied.joints):
        end = joint_ends(varied.chassis)[k]
        geometry, walls = usual_joint(varied.chassis, end), varied.joint_walls(k)
        stretch, fixed = np.full(4, -1), np.zeros(4)
        if geometry is not None:
            alike.setdefault(kind_of(geometry), []).append(place)
            for i, name in enumerate(seen_walls(geometry, end.direction)):
                stretch[i], fixed[i] = walls[name]
        found.append(_Laid(k, end, _one(varied, varied.mesh.joints[k]), geometry, stretch, fixed))
    return tuple(found), tuple(tuple(own) for own in alike.values())


def joint_states(met: Met) -> tuple[list[JointStates], list[int]]:
    """All joints that vary, and the states in which one of them has other freedoms than as laid out."""
    odd: set[int] = set()
    joints, alike = _laid(met.varied)
    found: dict[int, JointStates] = {}
    for together in alike:
        if not _usual(met, together, found):
            for place in together:
                _usual(met, (place,), found)
    each = [found[i] if i in found else _each(met, laid, odd) for i, laid in enumerate(joints)]
    return each, sorted(odd)


def _usual(met: Met, places: tuple[int, ...], found: dict[int, JointStates]) -> bool:
    """Put usual joints into what is found; False where they are not of one kind in all states."""
    v, own = len(met.thickness), [_laid(met.varied)[0][i] for i in places]
    stretch, fixed = np.array([x.stretch for x in own]), np.array([x.fixed for x in own])
    walls = np.where(stretch >= 0, met.thickness[:, stretch], fixed).transpose(2, 1, 0).reshape(4, -1)
    rails = Rails(Joints.of([x.geometry for x in own if x.geometry], v), *walls)
    together = meetings(rails) if bool(rails.possible().all()) else None
    if together is None:
        return False
    for i, (place, x) in enumerate(zip(places, own, strict=True)):
        out = _together(met.varied, met.varied.mesh.joints[x.number], together.take(slice(i * v, i * v + v)))
        if (out.directions, out.webs) == (x.one[0], x.one[3]):
            found[place] = out
    return True


def _each(met: Met, laid: _Laid, odd: set[int]) -> JointStates:
    """A joint state by state."""
    varied, usual, own = met.varied, laid.one, []
    for v, chassis in enumerate(met.chassis):
        rail = next(r for r in chassis.rails if r.name == laid.end.rail.name)
        joint, meeting, warping = joints_of(chassis, laid.end._replace(rail=rail), varied.chassis.joint_level)
        soft = replace(
            varied.mesh.joints[laid.number], stiffness=joint.stiffness, meeting=meeting, warping=warping[0],
            link=warping[1],
        )  # fmt: skip
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
