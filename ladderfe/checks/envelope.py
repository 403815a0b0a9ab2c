"""The greatest utilisation of all cases at every place of the frame: by wall, along rails band by band."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.by_wall import NEAR, by_wall
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.checks.utilisation import Utilisation, entry, tables
from ladderfe.mesh import Mesh
from ladderfe.mesh.types import Part
from ladderfe.solve import Solution

__all__ = ["EnvelopeRow", "envelope", "rail_bands"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Bands are no shorter than this, mm, but for want of a place to end; longer bays than `LONG` are split into bands of
#: about `USUAL`.
SHORT, USUAL, LONG = 200.0, 500.0, 750.0
#: Stations this near, mm, are one.
SAME = 0.5


@dataclass(frozen=True, slots=True)
class EnvelopeRow:
    """What governs one wall of a part between `start` and `end` (stations on rails, y on crossmembers and outriggers,
    mm) among all cases and criteria."""

    start: float
    end: float
    use: Utilisation


def rail_bands(mesh: Mesh, chassis: Chassis, part: Part) -> Array:
    """(b + 1,) stations, mm, where the bands of a rail begin and end.

    They end at crossmembers; longer bays are split as evenly as the ends of members allow, at stations that both rails
    have.  No member lies in two bands, so that the greatest stress of a band is known as well as that of the rail.
    """
    edges = _ends(mesh, part)
    both = [x for x in edges if all(np.abs(_ends(mesh, p) - x).min() < SAME for p in mesh.parts if p.kind == "rail")]
    left = part.side == "left"
    meets = sorted(c.station_left if left else c.station_right for c in chassis.crossmembers)
    cuts = [float(edges[0])]
    for wanted in meets:
        at = _nearest(edges, wanted)
        if at - cuts[-1] >= SHORT and edges[-1] - at >= SHORT:
            cuts.append(at)
    cuts.append(float(edges[-1]))
    out = cuts[:1]
    for a, b in pairwise(cuts):
        count = max(1, round((b - a) / USUAL)) if b - a > LONG else 1
        for wanted in np.linspace(a, b, count + 1)[1:-1]:
            at = _nearest(np.array(both), float(wanted))
            if at - out[-1] >= SHORT and b - at >= SHORT:
                out.append(at)
        out.append(b)
    return np.array(out)


def _ends(mesh: Mesh, part: Part) -> Array:
    """Stations of the ends of a rail's members."""
    return np.append(mesh.along[part.first : part.last, 0], mesh.along[part.last - 1, 1])


def _nearest(edges: Array, wanted: float) -> float:
    return float(edges[np.argmin(np.abs(edges - wanted))])


def envelope(chassis: Chassis, solution: Solution, rows: Rows, s: Stresses) -> tuple[EnvelopeRow, ...]:
    """Every part, band and wall, in the order of the parts and along them.

    Among cases that are alike within rounding the first counts, among criteria and places too.
    """
    bands, owner = _bands(solution.mesh, chassis, rows)
    found: dict[tuple[int, str], tuple[float, Utilisation]] = {}
    for criterion, stress, walls, limit in tables(s, chassis.criteria):
        groups = by_wall(s.section, walls, owner)
        sizes = groups.sizes(stress[:, :, 1:])
        first = groups.first_greatest(sizes)
        size = np.take_along_axis(sizes, first, axis=0)  # (g, c)
        near = size >= size.max(axis=1, keepdims=True) * (1 - NEAR)
        for g, c in enumerate(near.argmax(axis=1).tolist()):
            key, ratio = (int(groups.owner[g]), groups.wall[g]), float(size[g, c]) / limit
            if key not in found or ratio > found[key][0] * (1 + NEAR):
                n = int(first[g, c])
                at = (int(groups.row[n]), int(groups.point[n]), c + 1)
                found[key] = ratio, entry(solution, rows, s, at, criterion, stress, limit)
    inner = sorted(found.items(), key=lambda item: item[0][0])  # walls stay in the order in which they appear
    return tuple(EnvelopeRow(*bands[key[0]], use) for key, (_, use) in inner)


def _bands(mesh: Mesh, chassis: Chassis, rows: Rows) -> tuple[list[tuple[float, float]], IntArray]:
    """Start and end of every band of every part, and (r,) the band of each row."""
    bands: list[tuple[float, float]] = []
    of_member = np.zeros(len(mesh.lengths), dtype=np.int64)
    for part in mesh.parts:
        along = mesh.along[part.first : part.last]
        cuts = rail_bands(mesh, chassis, part) if part.kind == "rail" else np.array([along.min(), along.max()])
        own = np.clip(np.searchsorted(cuts, along.mean(axis=1)) - 1, 0, len(cuts) - 2)
        of_member[part.first : part.last] = len(bands) + own
        bands += pairwise(cuts.tolist())
    return bands, of_member[rows.member]
