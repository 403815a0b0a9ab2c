"""What the welds of gussets at crossmembers' joints carry, and what they spare the bare crossmember.

On the web: one elastic group of fillets, the crossmember's outline and both fillets of each gusset's leg, the attached
part being stiff.  On the crossmember: each plate is a free body, so its other leg takes what the first one gives to the
web: along it the pull off the web, square to it the shear, with the moment that closes the triangle, running evenly.
Statics alone, no source; a plate that buckles or bends out of its plane is not seen.

The bare crossmember begins at the toe: its moment there beside that at the web tells what the gussets spare it.  The
frame has the crossmember bare up to the web, which is on the high side between web and toe.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Gusset
from ladderfe.checks.weld_joints import JointDemand
from ladderfe.mesh import Mesh
from ladderfe.solve import Responses

__all__ = ["GussetDemand", "gusset_demands"]

Array = NDArray[np.float64]
MY, MZ = 4, 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GussetDemand:
    """One pair of gussets.  on_web (c, 4, 2, 3) N/mm along, across, normal of the fillets of both plates on the web,
    on_member likewise on the crossmember; at_web, at_toe (c,) N mm: size of the crossmember's moment in the plates'
    plane."""

    gusset: Gusset
    joint: JointDemand
    on_web: Array
    on_member: Array
    at_web: Array
    at_toe: Array
    cases: tuple[str, ...]


def gusset_demands(
    solution: Responses, chassis: Chassis, joints: tuple[JointDemand, ...]
) -> tuple[GussetDemand, ...]:
    """Of all gussets that are there."""
    own = [g for g in chassis.gussets if g.thickness]
    found = {(j.part, j.rail): j for j in joints}
    called = {p.name: p.called for p in solution.mesh.parts}
    return tuple(_demand(solution, g, found[called[g.member], f"{g.side} rail"]) for g in own)


def _demand(solution: Responses, g: Gusset, joint: JointDemand) -> GussetDemand:
    web = np.zeros((len(solution.cases), 4, 2, 3)) if joint.gusset_lines is None else joint.gusset_lines
    at_web, at_toe = (_moment(solution, g, x) for x in (0.0, g.reach))
    return GussetDemand(gusset=g, joint=joint, on_web=web, on_member=other_leg(web, g), at_web=at_web, at_toe=at_toe,
                        cases=tuple(c.name for c in solution.cases))  # fmt: skip


def other_leg(web: Array, g: Gusset) -> Array:
    """(c, 4, 2, 3) N/mm that the crossmember gives to the second legs, at the corner and at the toe, from what the
    first ones give to the web: of every fillet along (to the right of the vehicle), across the plate, and normal
    (outward from the crossmember)."""
    leg, reach, away = g.web_leg, g.reach, 1.0 if g.side == "left" else -1.0
    first, last = web[..., 0, :], web[..., 1, :]
    force = leg * (first + last) / 2
    moment = leg**2 * (first + 2 * last) / 6  # of line forces about the corner
    pull, shear, aside = force[..., 2], force[..., 0], force[..., 1]
    even = shear / reach
    tilt = 6 * (-away * moment[..., 2] - shear * reach / 2) / reach**2
    ends = [np.stack([pull / reach, aside / reach, even + way * tilt], axis=-1) for way in (-1, 1)]
    return np.stack(ends, axis=-2)


def _moment(solution: Responses, g: Gusset, away: float) -> Array:
    """(c,) size of the crossmember's moment in the plates' plane at a distance from the rail."""
    mesh = solution.mesh
    member, x = _place(mesh, g, away)
    found = solution.resultants(np.array([member]), np.array([x]))[0, MY if g.way == "upright" else MZ]
    out: Array = np.abs(found)
    return out


def _place(mesh: Mesh, g: Gusset, away: float) -> tuple[int, float]:
    """Member of the crossmember and place on it at a distance from its end on the gusset's rail."""
    part = mesh.part(g.member)
    order = list(part.members) if g.side == "left" else list(reversed(part.members))
    for m in order:
        length = float(mesh.lengths[m])
        if away <= length:
            return m, away if g.side == "left" else length - away
        away -= length
    return order[-1], 0.0 if g.side == "right" else float(mesh.lengths[order[-1]])
