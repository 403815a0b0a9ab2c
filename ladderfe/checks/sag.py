"""How far each rail bends from the straight line between the axles, and where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.by_wall import first_greatest
from ladderfe.elements import inside
from ladderfe.solve import Solution

__all__ = ["Sag", "greatest_sags"]

Array = NDArray[np.float64]

#: Places looked at inside a member lie at most this far apart, mm; between them a parabola tells the greatest sag.
SPACING = 100.0


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
        x, ends, z = _deflection(solution, rail, np.array([front, rear]))
        share = ((x - front) / (rear - front))[:, :, None]
        gap = (1 - share) * ends[0] + share * ends[1] - z
        own = [_peak(x, gap[:, :, k]) for k in range(len(solution.cases))]
        found.append([Sag(rail, c.name, *own[k]) for k, c in enumerate(solution.cases) if k])
    return [sag for pair in zip(*found, strict=True) for sag in pair]


def _deflection(solution: Solution, rail: str, axles: Array) -> tuple[Array, Array, Array]:
    """Of a rail's reference line: stations (k, 3) between the axles, every three in one member, and the heights at the
    axles (2, c) and at the stations (k, 3, c), mm upward; exact, line loads inside members included."""
    mesh = solution.mesh
    first, last = mesh.along[mesh.part(rail).members].T
    parts = [(np.clip(a, *axles), np.clip(b, *axles)) for a, b in zip(first, last, strict=True)]
    cuts = [np.linspace(a, b, 1 + 2 * int(np.ceil((b - a) / (2 * SPACING)))) for a, b in parts if b > a]
    x = np.concatenate([np.stack([c[:-2:2], c[1::2], c[2::2]], axis=1) for c in cuts])
    ends = np.clip(np.searchsorted(first, axles, side="right") - 1, 0, None)
    inner = np.clip(np.searchsorted(first, x[:, 1], side="right") - 1, 0, None)
    own = np.concatenate([ends, np.repeat(inner, 3)])
    share = (np.concatenate([axles, x.ravel()]) - first[own]) / (last - first)[own]
    member = np.array(mesh.part(rail).members)[own]
    kernels, moved = solution.frame.kernels, solution.frame.member_movements(solution.movements)
    at = inside(kernels, moved, solution.lines, member, np.clip(share, 0, 1) * mesh.lengths[member])
    z = np.einsum("ki,kic->kc", mesh.axes[member, :, 2], at[:, :3])
    return x, z[:2], z[2:].reshape(*x.shape, -1)


def _peak(x: Array, gap: Array) -> tuple[float, float]:
    """Greatest size of a gap known at x (k, 3), and where: the greatest of these places and of the tops of the
    parabolas through every three."""
    step, even, odd = (x[:, 2] - x[:, 0]) / 2, gap[:, 2] + gap[:, 0] - 2 * gap[:, 1], gap[:, 2] - gap[:, 0]
    inner = np.abs(odd) < 2 * np.abs(even)  # the top lies between the three
    top = np.divide(-odd, 2 * even, out=np.zeros_like(odd), where=inner)
    places = np.column_stack([x[:, 0], x[:, 1] + step * top, x[:, 2]]).ravel()
    sizes = np.column_stack([gap[:, 0], gap[:, 1] + top * (odd + top * even) / 2, gap[:, 2]]).ravel()
    k = first_greatest(np.abs(sizes))
    return float(sizes[k]), float(places[k])
