"""How far each rail bends from the straight line between the axles, and where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.utilisation import first_greatest
from ladderfe.sections import properties
from ladderfe.solve import Solution

__all__ = ["Sag", "greatest_sags"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Places looked at inside a member lie at most this far apart, mm.
SPACING = 25.0


@dataclass(frozen=True, slots=True)
class Sag:
    """Greatest departure of a rail from the straight line through it at the axles, mm, downward positive, and its
    station."""

    rail: str
    case: str
    size: float
    station: float


def greatest_sags(chassis: Chassis, solution: Solution) -> list[Sag]:
    """Of both rails in every case, the condition on the scales left out; case by case, left rail first."""
    front, rear = (a.station for a in chassis.axles)
    found: list[list[Sag]] = []
    for rail in ("left rail", "right rail"):
        x, z = _deflection(solution, rail)
        ends = np.stack([[np.interp(at, x, own) for own in z.T] for at in (front, rear)])  # (2, c)
        share = ((x - front) / (rear - front))[:, None]
        gap = ((1 - share) * ends[0] + share * ends[1] - z)[(x >= front) & (x <= rear)]
        inside = x[(x >= front) & (x <= rear)]
        at = [first_greatest(np.abs(own)) for own in gap.T]
        found.append(
            [Sag(rail, c.name, float(gap[at[k], k]), float(inside[at[k]])) for k, c in enumerate(solution.cases) if k]
        )
    return [sag for pair in zip(*found, strict=True) for sag in pair]


def _deflection(solution: Solution, rail: str) -> tuple[Array, Array]:
    """Stations (k,) along a rail and its height (k, c) there, mm upward."""
    mesh, start = solution.mesh, solution.frame.start
    members = np.array(mesh.part(rail).members)
    length = mesh.lengths[members]
    count = np.maximum(3, np.ceil(length / SPACING).astype(np.int64) + 1)
    first = np.concatenate([[0], np.cumsum(count)[:-1]])
    own = np.repeat(np.arange(len(members)), count)  # (k,) which of the rail's members
    share = (np.arange(len(own)) - first[own]) / (count[own] - 1)
    one, two = (solution.movements[start[mesh.ends[members, end]] + 2][own] for end in (0, 1))
    bent = _bent(solution, members, own, share, first, first + count - 1) * mesh.axes[members[own], 2, 2][:, None]
    a, b = mesh.along[members[own]].T
    part = share[:, None]
    return a + (b - a) * share, (1 - part) * one + part * two + bent


def _bent(solution: Solution, members: IntArray, own: IntArray, share: Array, first: IntArray, last: IntArray) -> Array:
    """(k, c) mm along z' by which members depart from the straight line between their ends: w'' = M/EI and the shear
    strain, integrated from the resultants (any text on strength of materials; unsymmetric bending as in `stress`).

    Twist inside a member is taken as linear: where an eccentric load twists an open rail between two nodes, its
    reference line moves a little otherwise (0.5 % of the sag in the pick-up).
    """
    mesh, steel = solution.mesh, solution.mesh.material
    x = share * mesh.lengths[members[own]]
    r = solution.resultants(members[own], x)
    soft = np.zeros((len(members), 2, 2))
    for k, m in enumerate(members):
        q = properties(mesh.sections[int(mesh.section_of[m])])
        soft[k, 0] = np.linalg.inv(np.array([[q.Izz, q.Iyz], [q.Iyz, q.Iyy]]))[1] / steel.youngs_modulus
        soft[k, 1] = q.shear[1] / steel.shear_modulus
    curvature = np.einsum("kj,kjc->kc", soft[own, 0], np.stack([r[:, 5], -r[:, 4]], axis=1))
    strain = np.einsum("kj,kjc->kc", soft[own, 1], r[:, 1:3])
    step = np.maximum(np.diff(x, prepend=0.0), 0.0)[:, None]  # 0 where a member begins

    def summed(values: Array) -> Array:
        """The integral from each member's end 1 on, by the trapezium rule."""
        before = np.concatenate([values[:1], values[:-1]])
        whole = np.cumsum(step * (values + before) / 2, axis=0)
        out: Array = whole - whole[first][own]
        return out

    free = summed(summed(curvature) + strain)
    out: Array = free - share[:, None] * free[last][own]
    return out
