"""Which nodes of a mesh carry racking and warping, and how member ends and named places follow them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.open_beam import common_origin
from ladderfe.joints.meeting import Webs
from ladderfe.mesh import walls
from ladderfe.mesh.types import SoftJoint
from ladderfe.mesh.walls import OPEN, PLAIN, RACKING
from ladderfe.sections import Section, Shape, cell_of, open_channel, properties, sectorial

__all__ = ["Shaped"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False, kw_only=True)
class Shaped:
    """The members of a mesh by the shapes of their sections.

    axes (m, 3, 3); ends (m, 2); shapes, sections (m) of every member; rails, others: runs of members of each part;
    joints: (member, end) of those that meet a rail; racks: box rails carry racking; nodes: their number.
    """

    axes: Array
    ends: IntArray
    shapes: Sequence[Shape]
    sections: Sequence[Section]
    rails: Sequence[range]
    others: Sequence[range]
    joints: set[tuple[int, int]]
    racks: bool
    nodes: int

    @cached_property
    def kind(self) -> IntArray:
        """(m,) kernel of every member."""
        out = np.zeros(len(self.ends), dtype=np.int64)
        for runs, is_rail in ((self.rails, True), (self.others, False)):
            for m in (m for run in runs for m in run):
                out[m] = walls.kind_of(self.shapes[m], self.sections[m], is_rail, self.racks)
        return out

    @cached_property
    def _through(self) -> dict[int, list[int]]:
        """The members that run on through every node, in order; those that only meet it left out."""
        out: dict[int, list[int]] = {n: [] for n in range(self.nodes)}
        for m, ends in enumerate(self.ends.tolist()):
            for end, node in enumerate(ends):
                if (m, end) not in self.joints:
                    out[node].append(m)
        return out

    @cached_property
    def extras(self) -> IntArray:
        """(n,) unknowns of every node beside the six."""
        return np.array([self._at_node(own) for own in self._through.values()], dtype=np.int64)

    def _at_node(self, own: list[int]) -> int:
        kinds = {int(self.kind[m]) for m in own}
        if PLAIN in kinds or not own or self._kinked(own):
            return PLAIN
        beside = [self._beside(m) is not None for m in own if self.kind[m] == OPEN]
        if (RACKING in kinds or any(beside)) and not all(beside):
            return PLAIN
        return max(kinds)

    def _kinked(self, own: list[int]) -> bool:
        return len(own) == 2 and bool(self.axes[own[0], 0] @ self.axes[own[1], 0] < np.cos(np.radians(walls.SHARP)))

    def _run(self, member: int) -> range:
        return next(r for runs in (self.rails, self.others) for r in runs if member in r)

    def _beside(self, member: int) -> Shape | None:
        """The box of the same part from whose pole a channel counts its sectorial coordinates, the first of them; None
        where there is none or it does not fit."""
        boxes = self._boxes(member) if open_channel(self.shapes[member]) else []
        return boxes[0] if boxes else None

    def _boxes(self, member: int) -> list[Shape]:
        """The boxes that rack of a member's part."""
        return [self.shapes[m] for m in self._run(member) if self.kind[m] == RACKING]

    def _way(self, member: int) -> int:
        """Sign of a channel's warping rate against a box's warping f beside it: -1 where its web lies."""
        channel = open_channel(self.shapes[member])
        return -1 if self._beside(member) is not None and channel and walls.lies(channel) else 1

    @cached_property
    def origin(self) -> Array:
        """(m, 3) origin of the sectorial coordinates of open members: one for all that follow each other."""
        out = np.zeros((len(self.ends), 3))
        for run in (*self.rails, *self.others):
            own = [m for m in run if self.kind[m] == OPEN]
            several = len({id(self.sections[m]) for m in own}) > 1
            for m in own:
                channel, box = open_channel(self.shapes[m]), self._beside(m)
                if box is not None and channel:
                    out[m] = walls.origin_beside(channel, self.sections[m], box)
                elif several:
                    out[m] = self._shared(m)
        return out

    def _shared(self, member: int) -> Array:
        """Origin that counts from the web at the reference line's level (of other shapes: from their first wall)."""
        channel, section = open_channel(self.shapes[member]), self.sections[member]
        q, first = properties(section), section.walls[0]
        place = (np.array(first.start) + np.array(first.end)) / 2
        if channel:
            place = walls.web_middle(channel) * ((0, 1) if walls.lies(channel) else (1, 0))
        out: Array = common_origin(np.array([[q.ys, q.zs]]), np.asarray(place)[None], sectorial(section, [place]))[0]
        return out

    def follow(self, arms: Array, joints: Sequence[SoftJoint]) -> Array:
        """(m, 2, 8, 2) what a unit of the nodes' racking and warping does to the member ends, vehicle axes."""
        out, extras = np.zeros((len(self.ends), 2, 8, 2)), self.extras.tolist()
        for m, ends in enumerate(self.ends.tolist()):
            for end, node in enumerate(ends):
                if (m, end) not in self.joints and extras[node]:
                    out[m, end] = self._own_follow(m, node)
        back = self.axes.transpose(0, 2, 1)[:, None]
        out[:, :, :3], out[:, :, 3:6] = back @ out[:, :, :3], back @ out[:, :, 3:6]
        for j in joints:
            node = int(self.ends[j.member, j.end])
            if extras[node]:
                out[j.member, j.end, :6, : extras[node]] = self._at_joint(node, arms[j.member, j.end], j).T
        return out

    def _own_follow(self, member: int, node: int) -> Array:
        """(8, 2) for the end of a member that runs on through a node, member axes."""
        shape, stands = self.shapes[member], self._section_at(node)
        own = shape if cell_of(shape) else self._beside(member)
        out = _running_on(shape, self.shapes[stands], own, int(self.kind[member]), int(self.extras[node]))
        return out * (self._way(member) * self._way(stands)) if self.extras[node] == OPEN else out

    def _at_joint(self, node: int, arm: Array, joint: SoftJoint) -> Array:
        """(k, 6) for the end of a crossmember at a node of a rail, vehicle axes."""
        rail = self._section_at(node)
        given: Webs = "both" if joint.kind in ("through", "wrapped") else "met"
        webs = joint.meeting.webs if joint.meeting else given
        place = (self.axes[rail] @ arm)[1:]
        own = walls.end_follow(
            self.shapes[rail], self.sections[rail], self.origin[rail], int(self.kind[rail]), place, webs
        )
        return np.concatenate([own[:, :3] @ self.axes[rail], own[:, 3:] @ self.axes[rail]], axis=1)

    def _section_at(self, node: int) -> int:
        """The member whose section stands for a node: the last that carries all the node's unknowns."""
        return next(m for m in reversed(self._through[node]) if self.kind[m] == self.extras[node])


@lru_cache(maxsize=4096)
def _running_on(shape: Shape, at_node: Shape, own: Shape | None, kind: int, extras: int) -> Array:
    """`walls.own_follow` of a member of this shape and kind; own: the box from whose pole its section counts."""
    pole, channel = walls.pole_of(at_node)[0], open_channel(shape)
    web = walls.web_from(channel, pole) if channel else (0.0, False)
    own_pole = pole if own is None else walls.pole_of(own)[0]
    out = walls.own_follow(kind, extras, pole, own_pole, web)
    out.setflags(write=False)
    return out
