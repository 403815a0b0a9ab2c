"""Mesh and loads -> solution: one factorisation, all cases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Carried, LoadCase, Spring
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Mount
from ladderfe.elements import LineLoads, resultants
from ladderfe.mesh import Mesh
from ladderfe.solve.band import Factor
from ladderfe.solve.body_forces import BodyForces, body_forces
from ladderfe.solve.frame import Frame
from ladderfe.solve.members import frame_of
from ladderfe.solve.supports import Footing, factorised, support_rows

__all__ = ["Solution", "analyse"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

AS_WEIGHED = "as weighed"


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """All cases of a frame, the first being the condition it was weighed in (which is no case of the user's).

    movements (unknowns, c) mm and rad; end_forces (m, 12, c) on the member ends, member axes; lines: line loads of
    all cases; supports: names and forces (s, c) on the frame, N, upward or along the hold; field (6, c): body field
    of each case; loads (unknowns, c): all nodal and equivalent loads without the supports.
    """

    mesh: Mesh
    carried: Carried
    springs: tuple[Spring, ...]
    frame: Frame
    footing: Footing
    cases: tuple[LoadCase, ...]
    supports: tuple[str, ...]
    support_forces: Array
    movements: Array
    end_forces: Array
    lines: LineLoads
    loads: Array
    field: Array
    later_field: Array

    def resultants(self, member: IntArray, x: Array) -> Array:
        """(rows, 6, c) N, Vy, Vz, T, My, Mz at distances x from end 1 of members; N and N mm."""
        return resultants(self.frame.beams, self.end_forces[:, :6], self.lines, member, x)

    @property
    def all_loads(self) -> Array:
        """(unknowns, c) loads and support forces together."""
        return self.loads + self.footing.rows @ self.support_forces

    def axle_forces(self, axle: str) -> Array:
        """(c,) N: what the springs of an axle carry together."""
        own = [k for k, s in enumerate(self.springs) if s.axle == axle]
        out: Array = self.support_forces[own].sum(axis=0)
        return out

    def case(self, name: str) -> int:
        """Index of a case by name; KeyError if there is none."""
        for k, c in enumerate(self.cases):
            if c.name == name:
                return k
        raise KeyError(name)


def analyse(
    mesh: Mesh,
    carried: Carried,
    cases: Sequence[LoadCase],
    springs: Sequence[Spring],
    mounts: Sequence[Mount],
    *,
    factor: Factor | None = None,
) -> Solution:
    """Solve a frame for all cases.

    The springs stand on level ground; where wheel loads were weighed they are set up so that what was weighed comes
    out exactly.  Cases with given spring forces are balanced by the inertia of all masses.  `factor` is that of an
    equal frame solved before (see `same_frame`).
    Raises MechanismError where the frame is not held together.
    """
    factor = factorised(frame_of(mesh)) if factor is None else factor
    frame = factor.frame
    aboard = body_forces(mesh, frame, carried.lines, [m for m in carried.masses if m.aboard], mounts, own=True)
    later = body_forces(mesh, frame, (), [m for m in carried.masses if not m.aboard], mounts, own=False)
    footing = Footing(factor, support_rows(mesh, frame, springs), np.concatenate([aboard.total, later.total], axis=1))
    weighed = LoadCase(
        name=AS_WEIGHED, kind="static", about="as on the scales", source="axle loads of the chassis file"
    )
    every = (weighed, *cases)
    load, force, rigid = _equilibrium(footing, every, springs)
    u = footing.movements(load, force, rigid)
    ends = aboard.end_loads @ load[:6] + later.end_loads @ load[6:]
    return Solution(
        mesh=mesh,
        carried=carried,
        springs=tuple(springs),
        frame=frame,
        footing=footing,
        cases=every,
        supports=tuple(s.name for s in footing.supports),
        support_forces=force,
        movements=u,
        end_forces=frame.end_forces(u, ends),
        lines=_case_lines(aboard, load[:6]),
        loads=footing.loads @ load,
        field=load[:6],
        later_field=load[6:],
    )


def _case_lines(forces: BodyForces, field: Array) -> LineLoads:
    """The line loads of all cases: unit fields times each case's field."""
    f = forces.lines
    return LineLoads(f.member, f.start, f.end, f.point, f.force @ field)


def _equilibrium(footing: Footing, cases: Sequence[LoadCase], springs: Sequence[Spring]) -> tuple[Array, Array, Array]:
    """Fields (12, c), support forces (s, c) and rigid motions (6, c) of every case."""
    n, s = len(cases), len(footing.supports)
    load, force, rigid = np.zeros((12, n)), np.zeros((s, n)), np.zeros((6, n))
    gravity = np.array([c.gravity for c in cases])
    load[2] = load[8] = -GRAVITY * gravity
    load[8, 0] = 0  # what was not aboard was not weighed
    set_up = _set_up(footing, springs, load[:, 0])
    standing = np.array([c.spring_factors is None for c in cases])
    force[:, standing], rigid[:, standing] = footing.carry(load[:, standing], set_up[:, None] * gravity[standing])
    static_load = load[:, :1].copy()
    static_load[8] = -GRAVITY
    static, _ = footing.carry(static_load, set_up[:, None])
    for k in (int(i) for i in np.nonzero(~standing)[0]):
        force[:, k] = _given_forces(cases[k], springs, static[:, 0])
        load[:, k] += _inertia(footing, load[:, k], force[:, k])
        rigid[:, k] = footing.settle(load[:, k : k + 1], force[:, k : k + 1])[:, 0]
    return load, force, rigid


def _set_up(footing: Footing, springs: Sequence[Spring], weighed: Array) -> Array:
    """(s,) mm by which the springs are set up: none, or what makes the weighed wheel loads come out."""
    if any(s.weighed is None for s in springs):
        return np.zeros(len(footing.supports))
    holds = [0.0] * (len(footing.supports) - len(springs))
    return footing.set_up_for(weighed, np.array([*(s.weighed or 0.0 for s in springs), *holds]))


def _given_forces(case: LoadCase, springs: Sequence[Spring], static: Array) -> Array:
    """(s,) support forces of a case with given spring forces; the holds carry nothing."""
    factor = dict(case.spring_factors or ())
    out = np.zeros(len(static))
    for k, s in enumerate(springs):
        out[k] = factor[s.axle] * static[k]
    return out


def _inertia(footing: Footing, load: Array, force: Array) -> Array:
    """(12,) body field of the acceleration that balances loads and support forces; all masses share it."""
    both = footing.motions.T @ (footing.loads[:, :6] + footing.loads[:, 6:])  # (6, 6): the mass matrix of a rigid body
    missing = footing.motions.T @ (footing.loads @ load + footing.rows @ force)
    field = np.linalg.solve(both, -missing)
    return np.concatenate([field, field])
