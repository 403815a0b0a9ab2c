"""The members of a frame that vary, in many states: stacked, states first, so that kernels take them all at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import PLACES, Beams, Members, OpenBeams, RackingBeams
from ladderfe.mesh import OPEN, RACKING
from ladderfe.mesh.builder import member_axes
from ladderfe.mesh.varied import Varied
from ladderfe.mesh.varied_follow import Walls, box_follows, end_follows, own_follows, place_follows
from ladderfe.sections import Box, Channel
from ladderfe.solve.frame import WARPING, rigid_arm
from ladderfe.solve.variant_joints import JointStates, Met, joint_states, moved_points
from ladderfe.solve.variant_sections import Sections, SectionStates

__all__ = ["States", "by_end"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class States:
    """v states of a varied mesh: thickness (v, k) of its stretches; m members that vary.

    met: the chassis as joints and diaphragms see it.  odd: states whose joints have other freedoms than the mesh as
    laid out; theirs stand there as laid out.
    """

    varied: Varied
    sections: SectionStates
    met: Met
    joints: list[JointStates]
    odd: list[int]

    @staticmethod
    def of(varied: Varied, sections: Sections, thickness: Array) -> States:
        """All that varies, in these states."""
        varied.possible(thickness)
        met = Met(varied, thickness)
        joints, odd = joint_states(met)
        return States(varied, sections.states(thickness), met, joints, odd)

    @property
    def count(self) -> int:
        return self.sections.count

    @cached_property
    def _points(self) -> dict[int, Array]:
        """(v, members + 1, 3) true ends of the members of every part that moves."""
        return {p: moved_points(self.met, p) for p in self.varied.moved_parts}

    @cached_property
    def nodes(self) -> Array:
        """(v, n, 3) all nodes of the mesh."""
        mesh = self.varied.mesh
        out = np.repeat(mesh.nodes[None], self.count, axis=0)
        for p, points in self._points.items():
            own = mesh.parts[p]
            met = {int(mesh.ends[j.member, j.end]) for j in mesh.joints if own.first <= j.member < own.last}
            for i, m in enumerate(own.members):
                for end in (0, 1):
                    node = int(mesh.ends[m, end])
                    if node not in met:
                        out[:, node] = points[:, i + end]
        return out

    @cached_property
    def true_ends(self) -> Array:
        """(v, m, 2, 3)."""
        mesh, own = self.varied.mesh, self.varied.members
        out = np.repeat((mesh.nodes[mesh.ends] + mesh.arms)[None, own], self.count, axis=0)
        number = {int(m): i for i, m in enumerate(own)}
        for p, points in self._points.items():
            for i, m in enumerate(mesh.parts[p].members):
                out[:, number[m]] = points[:, i : i + 2]
        return out

    @cached_property
    def arms(self) -> Array:
        """(v, m, 2, 3)."""
        out: Array = self.true_ends - self.nodes[:, self.varied.mesh.ends[self.varied.members]]
        return out

    @cached_property
    def axes(self) -> Array:
        """(v, m, 3, 3)."""
        ends = self.true_ends
        return member_axes(ends[:, :, 0].reshape(-1, 3), ends[:, :, 1].reshape(-1, 3)).reshape(*ends.shape[:2], 3, 3)

    @cached_property
    def lengths(self) -> Array:
        """(v, m)."""
        return np.asarray(np.linalg.norm(self.true_ends[:, :, 1] - self.true_ends[:, :, 0], axis=2))

    @cached_property
    def along(self) -> Array:
        """(v, m, 2) stations on rails, y on others."""
        mesh, own = self.varied.mesh, self.varied.members
        out = np.repeat(mesh.along[None, own], self.count, axis=0)
        moved = np.isin(mesh.part_of()[own], self.varied.moved_parts)
        out[:, moved] = self.true_ends[..., 1][:, moved]
        return out

    @cached_property
    def section_of(self) -> IntArray:
        """(v x m,) row of every member's section in `sections.rows`."""
        return self.sections.stacked(self.varied.mesh.section_of[self.varied.members]).ravel()

    @cached_property
    def origin(self) -> Array:
        """(v, m, 3)."""
        v, mesh, own = self.varied, self.varied.mesh, self.varied.members
        out = np.repeat(mesh.origin[None, own], self.count, axis=0)
        known: dict[tuple[int, int], Array] = {}
        for i, m in enumerate(own.tolist()):
            if m in v.beside or m in v.shared_origin:
                key = int(mesh.section_of[m]), int(mesh.section_of[v.beside[m]]) if m in v.beside else -1
                if key not in known and (v.vary[key[0]] or (key[1] >= 0 and v.vary[key[1]])):
                    known[key] = self.walls(key[0]).origin(self.walls(key[1]) if key[1] >= 0 else None)
                if key in known:
                    out[:, i] = known[key]
        return out

    def walls(self, section: int) -> Walls:
        """The walls of a section in all states."""
        if section not in self._known_walls:
            self._known_walls[section] = self.sections.walls(section)
        return self._known_walls[section]

    @cached_property
    def _known_walls(self) -> dict[int, Walls]:
        return {}

    @cached_property
    def kernels(self) -> Members:
        """(v x m) members."""
        mesh, own, rows, of = self.varied.mesh, self.varied.members, self.sections.rows, self.section_of
        beams = Beams(
            length=self.lengths.ravel(), EA=rows.EA[of], GJ=rows.GJ[of], bending=rows.bending[of],
            shear=rows.shear[of], centroid=rows.centroid[of], shear_centre=rows.shear_centre[of],
        )  # fmt: skip
        kind = np.tile(mesh.kind[own], self.count)
        opened, racking = np.flatnonzero(kind == OPEN), np.flatnonzero(kind == RACKING)
        o, r, b = of[opened], rows.box[of[racking]], rows.boxes
        open_beams = OpenBeams(beams.take(opened), rows.EIw[o], rows.warp_shear[o], rows.coupling[o],
                               self.origin.reshape(-1, 3)[opened])  # fmt: skip
        racks = RackingBeams(beams.take(racking), b.foundation.take(r), b.coupling[r], b.plane[r], b.pole[r], b.size[r])
        return Members(beams, opened, open_beams if len(opened) else OpenBeams.none(), racking,
                       racks if len(racking) else RackingBeams.none())  # fmt: skip

    @cached_property
    def follow(self) -> Array:
        """(v, m, 2, 8, 2) what a node's racking and warping do to the ends in their axes, ties of warping at joints
        included."""
        v, poles = self.varied, self._poles
        out = np.repeat(v.laid_follow[None], self.count, axis=0)
        (number, end, own, there), others = v.running_on[0].T, v.running_on[1]
        out[:, number, end] = box_follows(poles[:, there], poles[:, own])
        for i, e in others:
            out[:, i, e] = self._running_on(int(v.members[i]), int(v.mesh.ends[v.members[i], e]))
        at = {int(m): i for i, m in enumerate(v.members)}
        found = dict(zip(v.joints, self.joints, strict=True))
        for k, j in enumerate(v.mesh.joints):
            if j.member in at:
                out[:, at[j.member], j.end] = self._joint_follow(at[j.member], j.end, found.get(k))
        return out

    @cached_property
    def _poles(self) -> Array:
        """(v, sections, 2) poles of boxes, zero for others."""
        boxes = self.varied.boxes
        out = np.zeros((self.count, len(self.varied.mesh.sections), 2))
        out[:, boxes.number] = boxes.poles(self.sections.thickness)
        return out

    def _running_on(self, m: int, node: int) -> Array:
        v, mesh = self.varied, self.varied.mesh
        at_node = self.walls(int(mesh.section_of[v.node_member[node]]))
        own = self.walls(int(mesh.section_of[m]))
        box = (
            own
            if isinstance(own.shape, Box)
            else self.walls(int(mesh.section_of[v.beside[m]]))
            if m in v.beside
            else None
        )
        none = np.zeros((self.count, 2))
        pole = at_node.pole if isinstance(at_node.shape, Box) else none
        web = own.web_from(pole) if isinstance(own.shape, Channel) else (none[:, 0], False)
        poles = pole, pole if box is None else box.pole
        return own_follows(int(mesh.kind[m]), int(mesh.extras[node]), poles, web)

    def _joint_follow(self, i: int, end: int, found: JointStates | None) -> Array:
        """(v, 8, 2) of a member's end at a joint; None: the joint does not vary."""
        v, mesh = self.varied, self.varied.mesh
        member = int(v.members[i])
        node = int(mesh.ends[member, end])
        k, out = int(mesh.extras[node]), np.repeat(mesh.follow[None, member, end], self.count, axis=0)
        if found is not None and k:
            m = int(v.node_member[node])
            axes, section = mesh.axes[m], int(mesh.section_of[m])
            place = (self.arms[:, i, end] @ axes.T)[:, 1:]
            own = end_follows(self.walls(section), self._origin_of(m), int(mesh.kind[m]), place, found.webs)
            vehicle = np.concatenate([own[:, :, :3] @ axes, own[:, :, 3:] @ axes], axis=2)
            out[:, :6, :k] = vehicle.transpose(0, 2, 1)
        if found is not None:
            out[:, WARPING, 0] = found.tie
        axes = self.axes[:, i]
        out[:, :3], out[:, 3:6] = axes @ out[:, :3], axes @ out[:, 3:6]
        return out

    def _origin_of(self, m: int) -> Array:
        at = np.flatnonzero(self.varied.members == m)
        return self.origin[:, at[0]] if len(at) else np.repeat(self.varied.mesh.origin[None, m], self.count, axis=0)

    def place_map(self, node: int, point: Array) -> Array:
        """(v, 8, 6) loads on a node's unknowns per force and moment at a point, vehicle axes."""
        v, mesh = self.varied, self.varied.mesh
        arm = point - self.nodes[:, node]
        out = np.zeros((self.count, PLACES, 6))
        out[:, :6] = rigid_arm(arm).transpose(0, 2, 1)
        k = int(mesh.extras[node])
        if k:
            m = int(v.node_member[node])
            axes = mesh.axes[m]
            own = place_follows(self.walls(int(mesh.section_of[m])), self._origin_of(m), int(mesh.kind[m]),
                                (arm @ axes.T)[:, 1:])  # fmt: skip
            out[:, 6 : 6 + k] = np.concatenate([own[:, :, :3] @ axes, own[:, :, 3:] @ axes], axis=2)
        return out

    @cached_property
    def transform(self) -> Array:
        """(v, m, 2, 8, 8) node unknowns, eight places an end, to member axes, rigid arms included."""
        own = slice(None) if self.varied.moved_parts else slice(1)  # else all states stand alike
        axes, arms = self.axes[own], self.arms[own]
        turn = np.zeros((*axes.shape[:2], 1, 6, 6))
        turn[:, :, 0, :3, :3] = turn[:, :, 0, 3:, 3:] = axes
        out = np.zeros((*self.axes.shape[:2], 2, PLACES, PLACES))
        out[..., :6, :6] = turn @ rigid_arm(arms)
        out[..., 6:] = self.follow
        return out

    def end_columns(self, member: int) -> Array:
        """(v, 16, 16) the same of both ends of a member (its number)."""
        out = np.zeros((self.count, 2 * PLACES, 2 * PLACES))
        out[:, :PLACES, :PLACES], out[:, PLACES:, PLACES:] = self.transform[:, member].swapaxes(0, 1)
        return out

    @cached_property
    def natural(self) -> tuple[Array, Array]:
        """(v, m, 10, 16) natural deformations from the ends' movements in member axes, and (v, m, 10, 10) their
        stiffness."""
        b, d = self.kernels.natural()
        return b.reshape(self.count, -1, *b.shape[1:]), d.reshape(self.count, -1, *d.shape[1:])

    def stiffness_on(self, columns: Array, member: int) -> Array:
        """(v, k, k) stiffness of a member (its number) on unknowns that move its ends by columns (v, 16, k)."""
        b, d = (x[:, member] for x in self.natural)
        moved = b @ columns
        out: Array = moved.swapaxes(1, 2) @ (d @ moved)
        return out

    @cached_property
    def stiffness(self) -> Array:
        """(v, m, 16, 16) on the unknowns of the nodes, eight places an end."""
        b, d = self.natural
        moved = np.zeros_like(b)
        np.matmul(by_end(b, 3), self.transform, out=by_end(moved, 3))
        out: Array = moved.swapaxes(2, 3) @ (d @ moved)
        return out


def by_end(a: Array, axis: int) -> Array:
    """A view of (v, m, ...) with sixteen places along an axis (2 or 3), end by end: (v, m, 2, ...), eight places."""
    v, m, rows, columns = a.shape
    if axis == 2:
        return a.reshape(v, m, 2, PLACES, columns)
    return a.reshape(v, m, rows, 2, PLACES).swapaxes(2, 3)
