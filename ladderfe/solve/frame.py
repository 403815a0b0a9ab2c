"""The frame as the solver sees it: nodes, members with rigid arms at their true ends, freedoms of soft joints."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import Beams, stiffness

__all__ = ["MOTIONS", "Frame", "Group", "SoftEnd", "rigid_arm"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

MOTIONS = (
    "move along x",
    "move sideways (y)",
    "move up and down (z)",
    "rotate about x",
    "rotate about y",
    "rotate about z",
)


@dataclass(frozen=True, slots=True)
class SoftEnd:
    """A joint freedom: end (0 or 1) of `member` moves against its node along or about vehicle axis `direction`
    (0 to 5: x y z, about x y z) with `stiffness` in N/mm or N mm/rad; 0 is a release."""

    member: int
    end: int
    direction: int
    stiffness: float


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Members with equally many unknowns: transform (g, 12, m) from the unknowns `dofs` (g, m) to their axes."""

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
    the member axes; beams: section and length of every member; soft: joint freedoms.  `node_names`, `member_names` and
    `end_names` (what the ends of soft members are called) serve messages.  Unknowns: those of node i are `start[i]` to
    `start[i + 1]` (six today; kernels that carry warping or racking add theirs), the relative movements of soft joints
    follow.
    """

    nodes: Array
    ends: IntArray
    arms: Array
    axes: Array
    beams: Beams
    soft: tuple[SoftEnd, ...] = ()
    node_names: tuple[str, ...] = ()
    member_names: tuple[str, ...] = ()
    end_names: tuple[str, str] = ("first", "second")
    extra_unknowns: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    @cached_property
    def start(self) -> IntArray:
        """(n + 1,) first unknown of every node."""
        size = np.full(len(self.nodes), 6, dtype=np.int64)
        if len(self.extra_unknowns):
            size += self.extra_unknowns
        return np.concatenate([[0], np.cumsum(size)])

    @property
    def unknowns(self) -> int:
        return int(self.start[-1]) + len(self.soft)

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """All members by number of unknowns."""
        base = self._plain_transform()
        dofs = (self.start[self.ends][:, :, None] + np.arange(6)).reshape(len(self.ends), 12)
        soft_members = sorted({s.member for s in self.soft})
        plain = np.setdiff1d(np.arange(len(self.ends)), soft_members)
        groups = [Group(plain, base[plain], dofs[plain])] if len(plain) else []
        widened = [self._widen(m, base[m], dofs[m]) for m in soft_members]
        for width in sorted({t.shape[1] for t, _ in widened}):
            index = [i for i, (t, _) in enumerate(widened) if t.shape[1] == width]
            groups.append(
                Group(
                    np.array([soft_members[i] for i in index]),
                    np.stack([widened[i][0] for i in index]),
                    np.stack([widened[i][1] for i in index]),
                )
            )
        return tuple(groups)

    def _plain_transform(self) -> Array:
        """(m, 12, 12) node unknowns -> member axes, rigid arms included."""
        turn = np.zeros((len(self.ends), 1, 6, 6))
        turn[:, 0, :3, :3] = turn[:, 0, 3:, 3:] = self.axes
        ends = turn @ rigid_arm(self.arms)
        out = np.zeros((len(self.ends), 12, 12))
        out[:, :6, :6], out[:, 6:, 6:] = ends[:, 0], ends[:, 1]
        return out

    def _widen(self, member: int, base: Array, dofs: IntArray) -> tuple[Array, IntArray]:
        """Add a column for every joint freedom of a member."""
        columns, numbers = [base], list(dofs)
        for k, s in enumerate(self.soft):
            if s.member == member:
                column = np.zeros((12, 1))
                block, row = divmod(s.direction, 3)
                first = 6 * s.end + 3 * block
                column[first : first + 3, 0] = self.axes[member][:, row]
                columns.append(column)
                numbers.append(int(self.start[-1]) + k)
        return np.concatenate(columns, axis=1), np.array(numbers)

    @cached_property
    def member_stiffness(self) -> Array:
        """(m, 12, 12) in member axes."""
        return stiffness(self.beams)

    @cached_property
    def blocks(self) -> tuple[tuple[Array, IntArray], ...]:
        """(k (g, m, m), dofs (g, m)) in the frame's unknowns, joint springs last."""
        out = [
            (g.transform.transpose(0, 2, 1) @ self.member_stiffness[g.members] @ g.transform, g.dofs)
            for g in self.groups
        ]
        if self.soft:
            k = np.array([s.stiffness for s in self.soft])[:, None, None]
            out.append((k, int(self.start[-1]) + np.arange(len(self.soft))[:, None]))
        return tuple(out)

    def multiply(self, u: Array) -> Array:
        """K u, (unknowns, c)."""
        out = np.zeros_like(u)
        for k, dofs in self.blocks:
            np.add.at(out, dofs, k @ u[dofs])
        return out

    def gather(self, end_loads: Array) -> Array:
        """(unknowns, c) loads on the unknowns from end loads (m, 12, c) in member axes."""
        out = np.zeros((self.unknowns, end_loads.shape[2]))
        for g in self.groups:
            np.add.at(out, g.dofs, g.transform.transpose(0, 2, 1) @ end_loads[g.members])
        return out

    def member_movements(self, u: Array) -> Array:
        """(m, 12, c) movements of the member ends in member axes."""
        out = np.zeros((len(self.ends), 12, u.shape[1]))
        for g in self.groups:
            out[g.members] = g.transform @ u[g.dofs]
        return out

    def end_forces(self, u: Array, end_loads: Array) -> Array:
        """(m, 12, c) forces on the member ends in member axes; `end_loads` are the equivalent loads taken off."""
        return self.member_stiffness @ self.member_movements(u) - end_loads

    def row(self, node: int, arm: Array, direction: Array) -> tuple[IntArray, Array]:
        """Unknowns and coefficients of the movement along `direction` (6,) of a point `arm` away from a node."""
        return np.arange(self.start[node], self.start[node] + 6), np.asarray(direction, float) @ rigid_arm(
            np.asarray(arm, float)
        )
