"""A chassis as found against the same as built: both checked on one mesh, stretch by stretch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.along import both_sides
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.metres_over import RailOver, rails_over
from ladderfe.checks.twist_stiffness import twist_frame
from ladderfe.checks.utilisation import Utilisation, entry, tables
from ladderfe.condition import Feature, Found, Hole, Stretch, features, shapes_of
from ladderfe.condition.rails import SIDES
from ladderfe.errors import LadderFEError
from ladderfe.mesh import frame_mass
from ladderfe.sections import Properties, Shape, properties

__all__ = [
    "NEAR_MOUNT", "AsFound", "HoleBeside", "Left", "StretchUse", "bare_twist", "check_found", "hole_beside",
    "unread_metres",
]  # fmt: skip

Array = NDArray[np.float64]

#: Inspectors in several countries take damage this near to a mounting more seriously, mm; common practice, no source.
NEAR_MOUNT = 300.0


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a section, as a part of what was built: area, vertical second moment, the weaker of its two
    vertical section moduli (by the walls that strength is judged by), torsion constant."""

    A: float
    I: float
    Z: float
    J: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchUse:
    """A stretch of rail whose walls were read or are gone: what is left, and its greatest utilisation of all cases."""

    stretch: Stretch
    left: Left
    built: Utilisation
    found: Utilisation


@dataclass(frozen=True, slots=True)
class HoleBeside:
    """A hole with the nearest thing that is mounted or joined at its rail and how far that is from its edge, mm."""

    hole: Hole
    nearest: Feature | None
    distance: float

    @property
    def near_mount(self) -> bool:
        """Whether that is within `NEAR_MOUNT`."""
        return self.nearest is not None and self.distance <= NEAR_MOUNT


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AsFound:
    """The two states side by side.

    built: findings of the frame as built; cases: by name the governing utilisation as built and as found; uses: all
    stretches that were read or have a hole, the worst first; twist: torsional stiffness (N mm/rad) of the bare frame
    as built and as found, None where it falls apart; lost, centre: mass in t and where it was (station, y, height);
    over: of each rail how long it is above the levels `LEVELS`, as built and as found;
    shares: moment (N mm, sagging) and shear (N) of left and right rail at the governing station as built and as found,
    (2, 2, 2); station, case: of these; holes: with what is nearest.
    """

    readings: Found
    built: Findings
    cases: tuple[tuple[str, Utilisation, Utilisation], ...]
    uses: tuple[StretchUse, ...]
    twist: tuple[float | None, float | None]
    lost: float
    centre: tuple[float, float, float]
    shares: Array
    station: float
    case: str
    holes: tuple[HoleBeside, ...]
    over: tuple[tuple[RailOver, RailOver], ...]


def check_found(
    found: Found, *, assumptions: bool = True, progress: Callable[[str], None] = lambda _: None
) -> Findings:
    """Findings of the chassis as found, with how they differ from those as built in `as_found`.

    Raises what `check` does.
    """
    built = check(found.built, assumptions=False, progress=progress)
    now = check(found.chassis, assumptions=assumptions, progress=progress)
    before, after = built.first_of_cases(), now.first_of_cases()
    u = next((u for u in now.utilisations if u.kind == "rail"), now.utilisations[0])
    masses = [frame_mass(f.solution.mesh) for f in (built, now)]
    lost = masses[0].mass - masses[1].mass
    moments = [m.mass * np.array(m.centre) for m in masses]
    at = (moments[0] - moments[1]) / lost if lost > 0 else np.zeros(3)
    return replace(
        now,
        as_found=AsFound(
            readings=found,
            built=built,
            cases=tuple((name, before[name], after[name]) for name in after),
            uses=_uses(found, built, now),
            twist=(bare_twist(built), bare_twist(now)),
            lost=lost,
            centre=(float(at[0]), float(at[1]), float(at[2])),
            shares=np.array([_carried(f, u) for f in (built, now)]),
            station=u.along,
            case=u.case,
            holes=tuple(hole_beside(found, h) for h in found.holes),
            over=tuple(zip(rails_over(built), rails_over(now), strict=True)),
        ),
    )


def unread_metres(found: Found) -> dict[tuple[str, str], float]:
    """(side, wall) -> metres of it that nobody read, where there are any."""
    out: dict[tuple[str, str], float] = {}
    for s in found.stretches:
        for w in s.walls:
            if w.basis == "assumed":
                out[s.side, w.wall] = out.get((s.side, w.wall), 0.0) + s.length / 1000
    return out


def _uses(found: Found, built: Findings, now: Findings) -> tuple[StretchUse, ...]:
    own = [k for k, s in enumerate(found.stretches) if any(w.basis != "assumed" for w in s.walls)]
    before, after = _by_stretch(built, found), _by_stretch(now, found)
    uses = [
        StretchUse(stretch=s, left=_left(found, s), built=before[k], found=after[k])
        for k, s in ((k, found.stretches[k]) for k in own)
    ]
    return tuple(sorted(uses, key=lambda u: -float(f"{u.found.ratio:.9g}")))


def _by_stretch(f: Findings, found: Found) -> list[Utilisation]:
    """The greatest utilisation of every stretch, all cases and criteria."""
    mesh, rows, s = f.solution.mesh, f.rows, f.stresses
    all_tables = tables(s, f.chassis.criteria)
    ratios = [np.abs(stress[:, :, 1:]).max(axis=(1, 2)) / limit for _, stress, _, limit in all_tables]
    middle = mesh.along.mean(axis=1)[rows.member]
    side = np.array([p.side if p.kind == "rail" else "" for p in mesh.parts])[mesh.part_of()[rows.member]]
    out = []
    for stretch in found.stretches:
        own = np.flatnonzero((side == stretch.side) & (middle > stretch.start) & (middle < stretch.end))
        best = [r[own].max() for r in ratios]
        k = int(np.argmax(best))
        criterion, stress, _, limit = all_tables[k]
        row = int(own[np.argmax(ratios[k][own])])
        point, case = np.unravel_index(np.abs(stress[row, :, 1:]).argmax(), stress[row, :, 1:].shape)
        out.append(entry(f.solution, rows, s, (row, int(point), int(case) + 1), criterion, stress, limit))
    return out


def _left(found: Found, stretch: Stretch) -> Left:
    """At the front end of the stretch."""
    built, mean, least = shapes_of(found, stretch)
    side = stretch.side
    p, q = (_properties(shape, side) for shape in (built, mean))
    return Left(q.A / p.A, q.Iyy / p.Iyy, _modulus(least, side) / _modulus(built, side), q.J / p.J)


def _properties(shape: Shape, side: str) -> Properties:
    return properties(shape.section(SIDES[side]))


def _modulus(shape: Shape, side: str) -> float:
    """The weaker of the vertical section moduli, mm3."""
    p = _properties(shape, side)
    return float(p.Iyy / (shape.depth / 2 + abs(p.zc)))


def bare_twist(f: Findings) -> float | None:
    """Torsional stiffness of the bare frame, N mm/rad; None where it falls apart in twist."""
    try:
        return twist_frame(f.chassis, f.solution.mesh, f.solution.footing.factor).stiffness
    except LadderFEError:
        return None


def _carried(f: Findings, u: Utilisation) -> Array:
    """(2, 2) moment and shear of left and right rail at a station in a case; of a step in shear the side before it."""
    case = f.solution.case(u.case)
    out = []
    for rail in both_sides(f.solution):
        k = int(np.argmin(np.abs(rail.station - u.along)))
        out.append([rail.moment(case)[k], rail.shear(case)[k]])
    return np.array(out)


def hole_beside(found: Found, hole: Hole) -> HoleBeside:
    """What is mounted or joined nearest to a hole."""
    rail = next(r for r in found.chassis.rails if r.side == hole.side)
    held = [f for f in features(found.chassis, rail) if f.held]

    def gap(f: Feature) -> float:
        return max(hole.start - f.station, f.station - hole.end, 0.0)

    nearest = min(held, key=gap, default=None)
    return HoleBeside(hole, nearest, gap(nearest) if nearest else float("inf"))
