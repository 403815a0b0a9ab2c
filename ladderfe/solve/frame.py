"""The frame as the solver sees it: nodes, members with rigid arms at their true ends, freedoms of soft joints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import PLACES, Beams, Members
from ladderfe.solve.layout import Layout, layout_of

__all__ = ["MOTIONS", "WARPING", "Frame", "Group", "JointEnergy", "SoftEnd", "rigid_arm"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

MOTIONS = (
    "move along x",
    "move sideways (y)",
    "move up and down (z)",
    "rotate about x",
    "rotate about y",
    "rotate about z",
    "change its shape (warp or rack)",
)
#: Direction of a joint freedom that is the warping rate of a member's own end.
WARPING = 6


@dataclass(frozen=True, slots=True)
class SoftEnd:
    """A joint freedom: end (0 or 1) of `member` moves against its node along or about vehicle axis `direction`
    (0 to 5: x y z, about x y z) with `stiffness` in N/mm or N mm/rad; 0 is a release.  Direction 6 (`WARPING`) is the
    warping rate of the end of a member of open section, by itself, N mm3."""

    member: int
    end: int
    direction: int
    stiffness: float


@dataclass(frozen=True, slots=True, eq=False)
class JointEnergy:
    """Stiffness (k, k), symmetric, between joint freedoms (numbers in `Frame.soft`) and then `extras` (0 or 1) of the
    racking and warping unknowns of a node, and of an `other` one where there is one: half of d S d is the energy.
    `member` (-1: none) is the one it is counted to."""

    member: int
    soft: tuple[int, ...]
    node: int
    extras: tuple[int, ...]
    stiffness: Array
    other: int = -1


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Members with equally many unknowns: transform (g, 16, m) from the unknowns `dofs` (g, m) to their axes."""

    members: IntArray
    transform: Array
    dofs: IntArray


def rigid_arm(arm: Array) -> Array:
    """(..., 6, 6): movement of a point `arm` (..., 3) away from a node, from the node's ux uy uz rx ry rz."""
    out = np.zeros((*arm.shape[:-1], 6, 6))
    out[..., range(6), range(6)] = 1
    x, y, z = arm[..., 0], arm[..., 1], arm[..., 2]
    out[..., 0, 4], out[..., 0, 5] = z, -y
    out[..., 1, 3], out[..., 1, 5] = -z, x
    out[..., 2, 3], out[..., 2, 4] = y, -x
    return out


@dataclass(frozen=True, eq=False)
class Frame:
    """Members between nodes, ready to assemble; vehicle axes, mm.

    nodes (n, 3); ends (m, 2) node numbers; arms (m, 2, 3) from the node to the member's end; axes (m, 3, 3) rows are
    the member axes; members: sections and lengths (`Beams` alone stand for plain members); soft: joint freedoms;
    energies: joints that couple several of them, or hold a node's section.  `node_names`, `member_names` and
    `end_names` (what the ends of soft members are called) serve messages.

    Unknowns: those of node i are `start[i]` to `start[i + 1]`, six and `extra_unknowns` (n,) more: 1 the warping rate f
    of open walls, 2 racking g and warping f of box walls.  follow (m, 2, 8, 2): what a unit of each of these does to
    the member's end (first six rows in vehicle axes) and to its own warping and racking.  Joint freedoms come last.
    """

    nodes: Array
    ends: IntArray
    arms: Array
    axes: Array
    members: Members | Beams
    soft: tuple[SoftEnd, ...] = ()
    node_names: tuple[str, ...] = ()
    member_names: Sequence[str] = ()
    end_names: tuple[str, str] = ("first", "second")
    extra_unknowns: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    follow: Array | None = None
    energies: tuple[JointEnergy, ...] = ()

    @cached_property
    def kernels(self) -> Members:
        """The members with their kernels."""
        return Members.of(self.members) if isinstance(self.members, Beams) else self.members

    @property
    def beams(self) -> Beams:
        """The plain part of all members."""
        return self.kernels.beams

    @cached_property
    def extras(self) -> IntArray:
        """(n,) racking and warping unknowns of every node."""
        return self.extra_unknowns if len(self.extra_unknowns) else np.zeros(len(self.nodes), dtype=np.int64)

    @cached_property
    def layout(self) -> Layout:
        """How it hangs together."""
        return layout_of(
            Layout(
                np.asarray(self.extras, dtype=np.int64).tobytes(),
                np.asarray(self.ends, dtype=np.int64).tobytes(),
                tuple((s.member, s.end) for s in self.soft),
                tuple((e.soft, (e.node,) if e.other < 0 else (e.node, e.other), e.extras) for e in self.energies),
            )
        )

    @property
    def start(self) -> IntArray:
        """(n + 1,) first unknown of every node."""
        return self.layout.start

    @property
    def unknowns(self) -> int:
        return self.layout.unknowns

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """All members by number of unknowns."""
        joints, whole = self.joint_columns, np.zeros((len(self.ends), 2 * PLACES, 2 * PLACES))
        whole[:, :PLACES, :PLACES], whole[:, PLACES:, PLACES:] = self.end_transform[:, 0], self.end_transform[:, 1]
        out = []
        for g in self.layout.groups:
            transform = whole[g.members][:, :, g.columns]
            if g.soft.shape[1]:
                transform = np.concatenate([transform, joints[g.soft].transpose(0, 2, 1)], axis=2)
            out.append(Group(g.members, transform, g.dofs))
        return tuple(out)

    @cached_property
    def end_transform(self) -> Array:
        """(m, 2, 8, 8) node unknowns -> both ends in member axes, rigid arms included."""
        turn = np.zeros((len(self.ends), 1, PLACES, PLACES))
        turn[:, 0, :3, :3] = turn[:, 0, 3:6, 3:6] = self.axes
        turn[:, 0, 6, 6] = turn[:, 0, 7, 7] = 1
        local = np.zeros((len(self.ends), 2, PLACES, PLACES))
        local[:, :, :6, :6] = rigid_arm(self.arms)
        if self.follow is not None:
            local[:, :, :, 6:] = self.follow
        out: Array = turn @ local
        return out

    @cached_property
    def joint_columns(self) -> Array:
        """(joint freedoms, 16) movement of members' ends in their axes by each."""
        out = np.zeros((len(self.soft), 2 * PLACES))
        if not self.soft:
            return out
        member, first, direction = np.array([(s.member, PLACES * s.end, s.direction) for s in self.soft]).T
        warps = direction == WARPING
        own, (block, row) = np.flatnonzero(~warps), np.divmod(direction[~warps], 3)
        out[own[:, None], (first[own] + 3 * block)[:, None] + np.arange(3)] = self.axes[member[own], :, row]
        out[warps, first[warps] + WARPING] = 1
        return out

    @cached_property
    def member_stiffness(self) -> Array:
        """(m, 16, 16) in member axes."""
        return self.kernels.stiffness()

    @cached_property
    def blocks(self) -> tuple[tuple[Array, IntArray], ...]:
        """(k (g, m, m), dofs (g, m)) in the frame's unknowns, joint springs last."""
        stiffness = [
            g.transform.transpose(0, 2, 1) @ self.member_stiffness[g.members] @ g.transform for g in self.groups
        ]
        if self.soft:
            stiffness.append(np.array([s.stiffness for s in self.soft])[:, None, None])
        stiffness += [e.stiffness[None] for e in self.energies]
        return tuple(zip(stiffness, self.layout.blocks, strict=True))

    def multiply(self, u: Array) -> Array:
        """K u, (unknowns, c)."""
        out = np.zeros_like(u)
        for k, dofs in self.blocks:
            np.add.at(out, dofs, k @ u[dofs])
        return out

    def gather(self, end_loads: Array) -> Array:
        """(unknowns, c) loads on the unknowns from end loads (m, 16, c) in member axes."""
        m, _, c = end_loads.shape
        nodal = self.end_transform.swapaxes(2, 3) @ end_loads.reshape(m, 2, PLACES, c)
        out: Array = self.layout.gathering @ nodal.reshape(-1, c)
        if self.soft:
            own = end_loads[[s.member for s in self.soft]]
            out[self.unknowns - len(self.soft) :] += (self.joint_columns[:, None] @ own)[:, 0]
        return out

    def member_movements(self, u: Array) -> Array:
        """(m, 16, c) movements of the member ends in member axes."""
        out = np.zeros((len(self.ends), 2 * PLACES, u.shape[1]))
        for g in self.groups:
            out[g.members] = g.transform @ u[g.dofs]
        return out

    def end_forces(self, movements: Array, end_loads: Array) -> Array:
        """(m, 16, c) forces on the member ends in member axes, from their movements (m, 16, c); `end_loads` are the
        equivalent loads taken off."""
        out: Array = self.member_stiffness @ movements
        out -= end_loads
        return out

    def row(self, node: int, arm: Array, direction: Array, follow: Array | None = None) -> tuple[IntArray, Array]:
        """Unknowns and coefficients of the movement along `direction` (6,) of a point `arm` away from a node; follow
        (6, k) is what the node's k racking and warping unknowns do to the point."""
        (x, y, z), (fx, fy, fz, mx, my, mz) = np.asarray(arm).tolist(), np.asarray(direction).tolist()
        row = np.array([fx, fy, fz, mx + y * fz - z * fy, my + z * fx - x * fz, mz + x * fy - y * fx])
        if follow is not None:
            row = np.concatenate([row, direction @ follow])
        first = int(self.start[node])
        return np.arange(first, first + len(row)), row
