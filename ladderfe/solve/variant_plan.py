"""What is worked out once for many states of one frame: what varies, what stays, and where each stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.elements import PLACES, LineLoads
from ladderfe.elements.pieces import take_loads
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.mesh.varied import Stretch, Varied, thickened
from ladderfe.solve.analyse import Solution
from ladderfe.solve.chassis import hanging_of, solve_chassis
from ladderfe.solve.frame import Frame
from ladderfe.solve.members import frame_of
from ladderfe.solve.respond import Hanging
from ladderfe.solve.supports import footing_of, rigid_motions, support_rows
from ladderfe.solve.variant_band import Bands
from ladderfe.solve.variant_chains import Chains
from ladderfe.solve.variant_contact import Balance, Condensed
from ladderfe.solve.variant_loads import Patterns
from ladderfe.solve.variant_mass import Moments, still_moments
from ladderfe.solve.variant_sections import Sections, SectionStates
from ladderfe.solve.variant_still import Held, Still, held_places, still_part

__all__ = ["Laid"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Laid:
    """All that is worked out once for a chassis and its stretches."""

    varied: Varied
    frame: Frame
    hanging: Hanging
    sections: Sections

    @classmethod
    def of(
        cls, chassis: Chassis, stretches: Sequence[Stretch], *, refine: int = 1, taper_steps: int = TAPER_STEPS
    ) -> Self:
        """Lay out a chassis.  ModelError where a stretch is not one of its rails' walls or its loads contradict each
        other, MechanismError where it is not held together."""
        varied = Varied.of(chassis, stretches, refine=refine, taper_steps=taper_steps)
        return cls(varied, frame_of(varied.mesh), hanging_of(varied.chassis, varied.mesh), Sections.of(varied))

    def chassis(self, thickness: Sequence[float], least: Sequence[float] | None = None) -> Chassis:
        """The chassis in one state; least: as in `thickened`."""
        return thickened(self.varied.chassis, self.varied.stretches, thickness, least)

    def plain(self, thickness: Sequence[float], least: Sequence[float] | None = None) -> Solution:
        """One state by the plain way."""
        v = self.varied
        return solve_chassis(self.chassis(thickness, least), refine=v.refine, taper_steps=v.taper_steps)

    @cached_property
    def least(self) -> Sections:
        """The sections by which strength is judged."""
        return Sections.of(self.varied, least=True)

    def least_states(self, thickness: Array, least: Array) -> SectionStates | None:
        """Sections by which strength is judged in states (v, k); None where they are those of stiffness."""
        mesh = self.varied.mesh
        if mesh.least_sections is mesh.sections and np.array_equal(thickness, least):
            return None
        return self.least.states(least)

    @cached_property
    def patterns(self) -> tuple[Patterns, IntArray]:
        """Line masses by patterns, and those in use."""
        even = self.varied.chassis.body.distribution != "linear"
        found = Patterns.of(self.varied.mesh, self.hanging.carried.lines, even=even)
        height = None if self._level_lines else np.array([0.5])
        rng = np.random.default_rng(0)
        size = rng.uniform(0.5, 1.0, (1, len(self.hanging.carried.lines), 2))
        amounts = found.amounts(size, height)[0]
        return found, np.flatnonzero(np.abs(amounts).max(axis=1) > 0)

    @property
    def _level_lines(self) -> bool:
        return all(x.height is None for x in self.hanging.carried.lines)

    @cached_property
    def held(self) -> dict[str, Held]:
        """Places at which masses hang or supports hold."""
        return held_places(self.frame, self.hanging)

    @cached_property
    def fixed(self) -> IntArray:
        """Unknowns of the determinate footing."""
        return np.unique(footing_of(self.frame))

    @cached_property
    def _jointed(self) -> dict[int, list[int]]:
        """Of members that vary (by number among these) the joints at their ends."""
        number = {int(m): i for i, m in enumerate(self.varied.members)}
        out: dict[int, list[int]] = {}
        for k, j in enumerate(self.varied.mesh.joints):
            if j.member in number:
                out.setdefault(number[j.member], []).append(k)
        return out

    @cached_property
    def inside(self) -> set[int]:
        """Nodes between two members that vary, where nothing else is."""
        mesh, v = self.varied.mesh, self.varied
        plain = set(v.members.tolist()) - {int(v.members[i]) for i in self._jointed}
        seats = {h.node for h in self.held.values()} | {p.node for p in mesh.plates}
        seats |= {int(mesh.ends[j.member, j.end]) for j in mesh.joints} | {n for b in mesh.bridges for n in b.nodes}
        seats |= {int(np.searchsorted(self.frame.start, u, side="right")) - 1 for u in self.fixed}
        seats |= {self.hanging.places[s.places[0][0]].node for s in self.hanging.suspended().seats[:4]}
        out = set()
        for n in v.nodes.tolist():
            own = np.flatnonzero((mesh.ends == n).any(axis=1)).tolist()
            if len(own) == 2 and n not in seats and all(m in plain for m in own):
                out.add(n)
        return out

    @cached_property
    def chains(self) -> tuple[IntArray, Chains]:
        """Members (numbers among those that vary) without joints, and their runs."""
        mesh, v = self.varied.mesh, self.varied
        own = np.array([i for i in range(len(v.members)) if i not in self._jointed], dtype=np.int64)
        ends = mesh.ends[v.members[own]]
        runs: list[list[int]] = []
        for i, (a, _) in enumerate(ends.tolist()):
            if runs and a in self.inside and int(ends[runs[-1][-1], 1]) == a:
                runs[-1].append(i)
            else:
                runs.append([i])
        return own, Chains.of(ends, runs, self.frame.extras)

    @cached_property
    def outer(self) -> IntArray:
        """(b,) unknowns that are left when all runs are condensed."""
        start = self.frame.start
        out: list[int] = []
        for n in self.varied.nodes.tolist():
            if n not in self.inside:
                out += range(int(start[n]), int(start[n + 1]))
        for k in {*self.varied.joints, *(k for own in self._jointed.values() for k in own)}:
            out += self.joint_unknowns(k)
        return np.setdiff1d(np.array(out, dtype=np.int64), self.fixed)

    def joint_unknowns(self, joint: int) -> list[int]:
        """Unknowns of a joint's freedoms."""
        j, last = self.varied.mesh.joints[joint], int(self.frame.start[-1])
        return [last + k for k, s in enumerate(self.frame.soft) if (s.member, s.end) == (j.member, j.end)]

    @cached_property
    def position(self) -> IntArray:
        """(unknowns,) place among `outer`, b for others."""
        out = np.full(self.frame.unknowns, len(self.outer))
        out[self.outer] = np.arange(len(self.outer))
        return out

    def at_node(self, node: int) -> IntArray:
        """(8,) places of a node's unknowns among `outer`, b where there is none."""
        first, last = int(self.frame.start[node]), int(self.frame.start[node + 1])
        out = np.full(PLACES, len(self.outer))
        out[: last - first] = self.position[first:last]
        return out

    @cached_property
    def still(self) -> Still:
        """What stays, condensed."""
        start = self.frame.start
        left_out = [u for n in self.inside for u in range(int(start[n]), int(start[n + 1]))]
        parts = self.outer, np.array(left_out, dtype=np.int64), self.fixed
        return still_part(self.varied, self.frame, self.hanging, self.patterns, parts)

    @cached_property
    def lever(self) -> Array:
        """(r, 6) as in `Footing`."""
        rows = support_rows(self.frame, self.hanging.places, self.hanging.suspended().seats)
        out: Array = rows.T @ rigid_motions(self.frame)
        return out

    def balance(self, like: Condensed) -> Balance:
        """The cases, with the supports down that are down in the first state asked for."""
        if not self._balance:
            self._balance.append(Balance(self.hanging, like.one(0)))
        return self._balance[0]

    @cached_property
    def _balance(self) -> list[Balance]:
        return []

    def bands(self, meet: Sequence[IntArray]) -> Bands:
        """What is left when all runs are condensed as bands, blocks being added on these places among `outer`."""
        if not self._bands:
            self._bands.append(Bands.of(self.still.stiffness, meet))
        return self._bands[0]

    @cached_property
    def _bands(self) -> list[Bands]:
        return []

    @cached_property
    def own_moments(self) -> Moments:
        """Mass moments of the members that stay."""
        return still_moments(self.varied)

    @cached_property
    def varying_lines(self) -> tuple[IntArray, LineLoads]:
        """Pieces of line masses on members that vary: numbers among these, and the patterns in use."""
        found, used = self.patterns
        kept = np.flatnonzero(np.isin(found.lines.member, self.varied.members))
        line = take_loads(found.lines, kept)
        line = LineLoads(line.member, line.start, line.end, line.point, line.force[..., used])
        return np.searchsorted(self.varied.members, line.member), line
