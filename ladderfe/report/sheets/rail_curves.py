"""What the diagrams of a rail show: its loads, shear, moment and torsion in one case, turning points, contraflexure.

Loads are what the rail's own resultants leave at its nodes and what lies along its members, so that the rail is in
balance with them; vertical components.  V = -Vz, M = -My (sagging positive), T right-handed about the rearward axis, as
in all diagrams of the house.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Along, Findings
from ladderfe.checks.along import both_sides
from ladderfe.checks.contraflexure import Contraflexure, contraflexure
from ladderfe.checks.ground import held_up
from ladderfe.checks.rows import Rows
from ladderfe.report.sheets.words import without_side
from ladderfe.sections.kept import lately

__all__ = [
    "Curve", "LineLoad", "PointLoad", "RailCurves", "level_values", "rail_curves", "turning_values",
]  # fmt: skip

Array = NDArray[np.float64]

#: Stations nearer than this, mm, are one place.
SAME = 1.0
#: Vertical forces below this part of the greatest, and line loads that differ by less than this part, do not count.
SMALL, ALIKE = 1e-6, 1e-6
#: Between sections that are drawn, mm.
SPACING = 25.0


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A vertical force on the rail at a station, N, upward positive, what brings it, whether it is a support, and
    whether it is one of many that stand for a mass spread along the rails."""

    station: float
    force: float
    words: str
    support: bool
    spread: bool = False


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A load along the rail, N per mm of station, downward positive, linear from start to end."""

    start: float
    end: float
    at_start: float
    at_end: float


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A diagram: station (k,) both sides of nodes, value (k,) N or N mm; `at` and `known`: the sections that the
    findings looked at, turning points of the moment among them, and its values there."""

    station: Array
    value: Array
    at: Array
    known: Array

    @property
    def most(self) -> float:
        """The greatest size."""
        return float(np.abs(self.known).max(initial=0.0))


@dataclass(frozen=True, slots=True, eq=False)
class RailCurves:
    """All diagrams of one rail in one case."""

    side: str
    case: str
    points: tuple[PointLoad, ...]
    lines: tuple[LineLoad, ...]
    shear: Curve
    moment: Curve
    torsion: Curve
    contraflexure: tuple[float, ...]


def rail_curves(findings: Findings, side: str, case: str) -> RailCurves:
    """The diagrams of a rail in a case; KeyError if there is no case of that name."""
    s = findings.solution
    c = s.case(case)
    along, rows, changed = _looked(findings)[side]
    drawn, known = along.resultants[:, :, c], rows.resultants[:, :, c]
    shear, moment, torsion = (
        Curve(along.station, sign * drawn[:, k], rows.along, sign * known[:, k])
        for k, sign in ((2, -1.0), (4, -1.0), (3, 1.0))
    )
    changes = next(v.stations for v in changed if v.case == case)
    points = _point_loads(findings, side, rows, c)
    return RailCurves(side, case, points, _line_loads(findings, side, c), shear, moment, torsion, changes)


@lately
def _looked(findings: Findings) -> dict[str, tuple[Along, Rows, tuple[Contraflexure, ...]]]:
    """By side what is drawn, the sections that the findings looked at, and contraflexure, of all cases at once."""
    s, out = findings.solution, {}
    for side, along in zip(("left", "right"), both_sides(s, SPACING), strict=True):
        rows = _rows(findings, side)
        out[side] = along, rows, contraflexure(s, rows, side)
    return out


def _rows(findings: Findings, side: str) -> Rows:
    """The sections that the findings looked at on one rail, front to rear."""
    rows, part = findings.rows, findings.solution.mesh.part(f"{side} rail")
    own = (rows.member >= part.first) & (rows.member < part.last)
    return Rows(rows.member[own], rows.x[own], rows.along[own], rows.turning[own], rows.resultants[own])


def _point_loads(findings: Findings, side: str, rows: Rows, case: int) -> tuple[PointLoad, ...]:
    """What acts at nodes: the force on the face ahead less that on the face behind, turned to the vertical."""
    mesh = findings.solution.mesh
    members = list(mesh.part(f"{side} rail").members)
    up = np.einsum("rij,ri->rj", mesh.axes[rows.member], rows.resultants[:, :3, case])[:, 2]
    first = {int(m): int(np.flatnonzero(rows.member == m)[0]) for m in members}
    last = {int(m): int(np.flatnonzero(rows.member == m)[-1]) for m in members}
    at = [(float(rows.along[first[members[0]]]), -float(up[first[members[0]]]))]
    at += [(float(rows.along[first[b]]), float(up[last[a]] - up[first[b]])) for a, b in pairwise(members)]
    at.append((float(rows.along[last[members[-1]]]), float(up[last[members[-1]]])))
    gathered: list[tuple[float, float]] = []
    for station, force in at:
        if gathered and station - gathered[-1][0] <= SAME:
            gathered[-1] = (gathered[-1][0], gathered[-1][1] + force)
        else:
            gathered.append((station, force))
    least = SMALL * max(abs(f) for _, f in gathered)
    held, what = _supports(findings, side, case), _names(findings, side, case)
    spread = _spread(findings, side)
    out = []
    for x, f in gathered:
        names, many = _near(what, x), _near(spread, x)
        support = any(abs(x - h) <= SAME for h in held)
        if abs(f) > least:
            out.append(PointLoad(x, f, ", ".join([*names, *many]), support, bool(many) and not names))
    return tuple(out)


def _spread(findings: Findings, side: str) -> list[tuple[float, str]]:
    """Stations at which masses that are spread along the rails act, with the names of these."""
    of = {m: mass.name for mass in findings.solution.carried.masses for m in mass.mounts}
    mounts = findings.chassis.mounts
    return [(m.station, of[m.name]) for m in mounts if m.spread and m.part == f"{side} rail" and m.name in of]


def _supports(findings: Findings, side: str, case: int) -> list[float]:
    """Stations of springs that bring a force and of stands and jacks that hold, on one rail."""
    s, out = findings.solution, []
    for k, spring in enumerate(s.springs):
        if spring.side == side and s.support_forces[k, case]:
            axle = next(a for a in findings.chassis.axles if a.name == spring.axle)
            out += [station for station, _ in axle.seats]
    held = {h.place for h in held_up(s) if h.case == case and not h.lifted}
    out += [m.station for m in findings.chassis.mounts if m.name in held and m.part == f"{side} rail"]
    return out


def _names(findings: Findings, side: str, case: int) -> list[tuple[float, str]]:
    """What may bring a force to a rail in a case: mounts that carry or are pulled, springs, brackets, stops,
    crossmembers and outriggers by their stations."""
    chassis, asked = findings.chassis, findings.solution.cases[case]
    used = {m for mass in findings.solution.carried.masses for m in mass.mounts}
    used |= {asked.jack, *asked.stands, *(m for m, _ in asked.pulls), *(m for m, _ in asked.hung)}
    own = [m for m in chassis.mounts if m.part == f"{side} rail" and m.name in used and not m.spread]
    out = [(m.station, without_side(m.name)) for m in own]
    eye = {1: "spring", 2: "spring eye"}
    out += [(s, f"{a.name} {eye.get(len(a.seats), 'spring seat')}") for a in chassis.axles for s, _ in a.seats]
    out += [
        (at[0], name.replace(", left", "").replace(", right", ""))
        for a in chassis.axles for name, of, at in a.brackets() if of == side
    ]  # fmt: skip
    out += [(a.station, f"{a.name} bump stop") for a in chassis.axles if np.isfinite(a.bump_gap)]
    out += [(c.station_left if side == "left" else c.station_right, _cross(c.name)) for c in chassis.crossmembers]
    return out + [(o.station, without_side(o.name)) for o in chassis.outriggers if o.side == side]


def _cross(name: str) -> str:
    return name if "crossmember" in name else f"crossmember {name}"


def _near(names: Iterable[tuple[float, str]], station: float) -> list[str]:
    return list(dict.fromkeys(words for x, words in names if abs(x - station) <= SAME))


def _line_loads(findings: Findings, side: str, case: int) -> tuple[LineLoad, ...]:
    """All that lies along the rail, its own weight among it, added up between all stations where something begins."""
    s = findings.solution
    mesh, units, part = s.mesh, s.units, s.mesh.part(f"{side} rail")
    own = np.flatnonzero((units.member >= part.first) & (units.member < part.last))
    member, start, end = units.member[own], units.start[own], units.end[own]
    force = units.force[own] @ s.fields[:, case]  # (k, 3, 3)
    axes = mesh.axes[member]
    slope = axes[:, 0, 0]  # mm of station per mm of member
    ends = []
    for along in (np.zeros(len(own)), end - start):
        here = force[:, 0] + along[:, None] * force[:, 1] + along[:, None] ** 2 * force[:, 2]
        ends.append(-np.einsum("ki,ki->k", here, axes[:, :, 2]) / slope)
    origin = mesh.along[member, 0]
    a, b = origin + start * slope, origin + end * slope
    edges = np.unique(np.round(np.concatenate([a, b]), 3))
    out: list[LineLoad] = []
    for lo, hi in pairwise(edges.tolist()):
        on = (a <= lo + 1e-2) & (b >= hi - 1e-2)
        if not on.any() or hi - lo < 1e-2:
            continue
        q = [float((ends[0] + (ends[1] - ends[0]) * (x - a) / (b - a))[on].sum()) for x in (lo, hi)]
        out.append(LineLoad(lo, hi, q[0], q[1]))
    return _joined(out)


def _joined(lines: list[LineLoad]) -> tuple[LineLoad, ...]:
    """Neighbours of one even load as one."""
    out: list[LineLoad] = []
    for line in lines:
        b = out[-1] if out else None
        if b is not None and abs(b.end - line.start) < 1e-2:
            values = (b.at_start, b.at_end, line.at_start, line.at_end)
            if max(values) - min(values) <= ALIKE * max(abs(v) for v in values):
                out[-1] = LineLoad(b.start, line.end, b.at_start, line.at_end)
                continue
        out.append(line)
    return tuple(out)


def turning_values(curve: Curve, least: float) -> tuple[tuple[float, float], ...]:
    """(station, value) where a diagram turns, as the findings have it: highs and lows that stand out by at least
    `least`, and both ends where they are no less."""
    x, v = curve.at, curve.known
    out: list[tuple[float, float]] = []
    high = low = 0
    rising: bool | None = None
    for k in range(1, len(v)):
        if v[k] > v[high]:
            high = k
        if v[k] < v[low]:
            low = k
        if rising is not False and v[high] - v[k] > least:
            out.append((float(x[high]), float(v[high])))
            rising, high, low = False, k, k
        elif rising is not True and v[k] - v[low] > least:
            out.append((float(x[low]), float(v[low])))
            rising, high, low = True, k, k
    if len(v):
        k = high if rising else low
        out.append((float(x[k]), float(v[k])))
    return tuple(p for p in out if abs(p[1]) >= least)


def level_values(curve: Curve, longest: float) -> tuple[tuple[float, float], ...]:
    """(station, value) in the middle of stretches at least so long over which a diagram stays as it is."""
    x, v, same = curve.at, curve.known, 1e-6 * curve.most
    out, first = [], 0
    for k in range(1, len(v) + 1):
        if k == len(v) or abs(v[k] - v[first]) > same:
            if x[k - 1] - x[first] >= longest:
                out.append((float(x[first] + x[k - 1]) / 2, float(v[first])))
            first = k
    return tuple(out)
