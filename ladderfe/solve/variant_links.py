"""Links between frames, axles and ground in many states at once: movements under loads, forces on given sets, signs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Suspended, Suspension, weighed_link_forces
from ladderfe.solve.on_axles import gravity_field

if TYPE_CHECKING:
    from ladderfe.solve.variant_contact import Condensed

__all__ = ["SURE", "Links", "Solved"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
#: A force or opening within this part of the greatest of its limit is left to the plain way.
SURE = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Forces (v, n, c) N of the links, and how far each has opened (v, n, c), mm."""

    forces: Array
    opening: Array

    def between(self, other: Solved, share: Array) -> Solved:
        """A share (v,) of the way to others."""
        s = share[:, None, None]
        return Solved(
            self.forces + s * (other.forces - self.forces), self.opening + s * (other.opening - self.opening)
        )

    def take(self, columns: list[int]) -> Solved:
        """Some cases."""
        return Solved(self.forces[:, :, columns], self.opening[:, :, columns])


@dataclass(frozen=True, eq=False)
class Links:
    """n links of a system on frames that share their lever (r, 6)."""

    system: Suspended
    frame_lever: Array

    @cached_property
    def rows(self) -> Array:
        """(n, r) movements of the links per movement of the frame's rows."""
        return self.system.coupling[0]

    @cached_property
    def lever(self) -> Array:
        """(n, m) as in `SupportProblem`."""
        rows, bodies = self.system.coupling
        return np.concatenate([rows @ self.frame_lever, bodies], axis=1)

    @cached_property
    def lowest(self) -> Array:
        return np.array([x.lowest for x in self.system.links])

    @cached_property
    def opens(self) -> BoolArray:
        out: BoolArray = np.isfinite(self.lowest)
        return out

    def soft(self, flexibility: Array) -> Array:
        """(v, n, n) mm/N of frames (v, r, r) and links."""
        out: Array = self.rows @ flexibility @ self.rows.T
        for i, x in enumerate(self.system.links):
            out[:, i, i] += out[:, i, i] / (x.stiffens - 1) if x.stiffens > 1 else x.flexibility
        return out

    def pushed(self, of: Condensed, load: Array, gravity: Array) -> tuple[Array, Array]:
        """(v, n, c) movements of the links and (v, m, c) loads, under body fields (v, 12, c)."""
        weight = -np.outer(np.array(self.system.weight), gravity)
        resultant = of.resultants @ load
        return self.rows @ (of.moved @ load), np.concatenate(
            [resultant, np.repeat(weight[None], len(resultant), axis=0)], axis=1
        )

    def solve(self, soft: Array, down: BoolArray, wanted: tuple[Array, Array, Array]) -> Solved:
        """With these links down (n,): set-up, movements (v, n, c) and loads (v, m, c); others carry their lowest."""
        set_up, moved, resultant = wanted
        v, n, c = moved.shape
        m = self.lever.shape[1]
        forces = np.zeros((v, n, c))
        forces[:, ~down] = np.where(self.opens, self.lowest, 0.0)[~down, None]
        unit = soft[:, range(n), range(n)].max(axis=1)[:, None, None]
        scale = 1 / np.abs(self.lever).max(axis=0)
        a, d = self.lever[down] * scale, int(down.sum())
        matrix = np.zeros((v, d + m, d + m))
        matrix[:, :d, :d], matrix[:, :d, d:], matrix[:, d:, :d] = soft[:, down][:, :, down] / unit, a, a.T
        top = (set_up - moved - soft @ forces)[:, down] / unit
        x = np.linalg.solve(
            matrix, np.concatenate([top, -scale[:, None] * (resultant + self.lever.T @ forces)], axis=1)
        )
        forces[:, down] = x[:, :d]
        motion = x[:, d:] * scale[:, None] * unit
        return Solved(forces, soft @ forces + self.lever @ motion + moved - set_up)

    def wrong(self, soft: Array, down: BoolArray, found: Solved, *, but: int = -1, sure: float = SURE) -> BoolArray:
        """(v,) states in which a link that is down pulls, or an open one is entered, or nearly so; all `but` one."""
        forces, opening = found.forces, found.opening
        size = np.abs(forces).max(axis=1, keepdims=True)
        unit = soft[:, range(len(down)), range(len(down))].max(axis=1)[:, None, None]
        move = np.abs(opening).max(axis=1, keepdims=True) + unit * size
        closed, free = self.opens & down, self.opens & ~down
        if but >= 0:
            closed[but] = free[but] = False
        pulls = (forces[:, closed] - self.lowest[closed, None] < sure * size).any(axis=(1, 2))
        out: BoolArray = pulls | (opening[:, free] < sure * move).any(axis=(1, 2))
        return out

    def set_up(self, of: Condensed, soft: Array, suspensions: tuple[Suspension, ...], wrong: BoolArray) -> Array:
        """(v, n) as `OnWheels.of` sets the links up; states in which that is not sure are put down in wrong (v,)."""
        gap = np.array([x.gap for x in self.system.links])
        field = np.repeat(gravity_field(1.0, 0.0)[None], len(soft), axis=0)
        moved, resultant = self.pushed(of, field, np.ones(1))
        forces = weighed_link_forces(self.system, suspensions)
        if forces is not None:
            out = moved[:, :, 0] + soft @ forces - gap
            return np.asarray(out @ self._to_level.T)
        keep = ~np.array([x.engages for x in self.system.links], dtype=bool)
        found = self.solve(soft, keep, (0 * moved, moved, resultant))
        p, own = found.forces[:, :, 0], keep & self.opens
        wrong |= (p[:, own] - self.lowest[own] < SURE * np.abs(p).max(axis=1)[:, None]).any(axis=1)
        return np.where(keep, 0.0, found.opening[:, :, 0] - gap)

    @cached_property
    def _to_level(self) -> Array:
        """(n, n) as `on_axles` counts set-ups from wheels on level ground and springs free of set-up."""
        kinds = np.array([x.kind for x in self.system.links])
        wheels, level = kinds == "wheel", np.isin(kinds, ("spring", "hold"))
        n = len(kinds)
        axles, frame = np.zeros((2, n, n))
        axles[:, wheels] = self.lever[:, 6:] @ np.linalg.pinv(self.lever[wheels, 6:])
        scale = 1 / np.abs(self.lever[:, :6]).max(axis=0)
        frame[:, level] = (self.lever[:, :6] * scale) @ np.linalg.pinv(self.lever[level, :6] * scale)
        out: Array = (np.eye(n) - frame) @ (np.eye(n) - axles)
        return out
