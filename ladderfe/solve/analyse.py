"""Mesh and loads -> solution: one factorisation, all cases."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Carried, Spring, Suspended, Suspension
from ladderfe.mesh import Mesh
from ladderfe.solve.band import Factor
from ladderfe.solve.members import frame_of
from ladderfe.solve.on_axles import OnWheels
from ladderfe.solve.respond import Balance, Hanging, Responses, respond
from ladderfe.solve.supports import Footing, factorised

__all__ = ["Solution", "analyse"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution(Responses):
    """All cases of a frame, the first being the condition it was weighed in (which is no case of the user's).

    supports: names and forces (s, c) on the frame along its rows, N, those of `springs` first, then stands, a
    stiffening body (N mm) and all that cases apply, the three in-plane holds last.  ground (4, 3, c): on the wheels.
    share, tips: what a case bears without tipping over, and how it would.  lifted: per case the wheels off the ground;
    off_level: per case but sums whether a wheel is off the ground, a spring pulls or a stop has taken hold.  field
    (6, c): body field of each case (of what was not aboard when weighed: later_field); loads (unknowns, c): all nodal
    and equivalent loads without the supports.
    """

    carried: Carried
    springs: tuple[Spring, ...]
    suspensions: tuple[Suspension, ...]
    system: Suspended
    ground: Array
    share: Array
    tips: tuple[str, ...]
    lifted: tuple[tuple[str, ...], ...]
    off_level: tuple[bool, ...]
    footing: Footing
    supports: tuple[str, ...]
    support_forces: Array
    loads: Array
    field: Array
    later_field: Array

    def on_wheels(self) -> OnWheels:
        """The frame on its axles, set up as on the scales."""
        return OnWheels.of(self.footing, self.system, self.suspensions)

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
    mesh: Mesh, hanging: Hanging, *, factor: Factor | None = None, balance: Balance | None = None
) -> Solution:
    """Solve a frame for all cases.

    `factor` is that of an equal frame solved before, `balance` as for `respond`.
    Raises MechanismError where the frame is not held together.
    """
    factor = factorised(frame_of(mesh)) if factor is None else factor
    system = hanging.suspended()
    answers, (footing,), (found,) = respond(mesh, factor, [hanging], balance=balance)
    return Solution(
        mesh=mesh,
        frame=answers.frame,
        cases=answers.cases,
        movements=answers.movements,
        end_movements=answers.end_movements,
        end_forces=answers.end_forces,
        units=answers.units,
        fields=answers.fields,
        carried=hanging.carried,
        springs=hanging.springs,
        footing=footing,
        supports=(*(s.name for s in hanging.springs), *(s.name for s in system.seats[4:]), *system.held),
        system=system,
        ground=found.ground,
        share=found.share,
        tips=found.tips,
        suspensions=hanging.suspensions,
        lifted=found.lifted,
        off_level=found.off_level,
        support_forces=found.force,
        loads=footing.loads @ found.load,
        field=found.load[:6],
        later_field=found.load[6:],
    )
