"""What a rusted wall needs by its section alone: a piece let in, or how thick and how long a lapped plate would be.

The lapped plate is as wide as the wall's flat and on the outside, as thick as brings the rail's second moment of area
and the weaker of its vertical section moduli back to those as built; steps of 0.5 mm.  The frame is not solved again:
check the plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from ladderfe.checks.repair_places import Rusted, depth_at, mounted, rusted
from ladderfe.checks.repair_rules import INSERT, lap_on_sound
from ladderfe.condition.plan_rows import plain_wall
from ladderfe.condition.rails import SAME, SIDES, Zone, rail_of, shape_in, span_at, zones_of
from ladderfe.condition.repaired import Repaired
from ladderfe.errors import ModelError
from ladderfe.sections import Plate, Shape, plated, properties, wall_thickness

__all__ = ["Need", "needs"]

STEP: Final = 0.5
MOST: Final = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """A rusted stretch of one wall: the part left of it, the piece to let in (thickness, from, to), and the thickness
    of a lapped plate that would do by the section, with its from and to; None where a plate cannot (a hole, or no
    thickness up to 12 mm does).  Stretches and pieces end at steps of the section; steps: those that the plate would
    reach across, mm."""

    side: str
    spot: Rusted
    insert: float
    insert_reach: tuple[float, float]
    plate: float | None
    plate_reach: tuple[float, float]
    hangers: tuple[str, ...]
    steps: tuple[float, ...] = ()


def needs(states: Repaired) -> tuple[Need, ...]:
    """All rusted stretches of both rails, from front to rear, left rail first."""
    out = []
    for side in ("left", "right"):
        names = dict.fromkeys(w.wall for s in states.found.stretches_of(side) for w in s.walls)
        rail = rail_of(states.found.built, side)
        for spot in rusted(states.found, side, rail.start, rail.end, tuple(names)):
            out += [_need(states, side, part, zone) for part, zone in _cut(states, side, spot)]
    return tuple(sorted(out, key=lambda n: (n.side, n.spot.start)))


def _cut(states: Repaired, side: str, spot: Rusted) -> Iterator[tuple[Rusted, Zone]]:
    """A rusted stretch cut at steps of the section, each part with the zone of its wall."""
    for zone in zones_of(rail_of(states.found.built, side), spot.wall):
        a, b = max(spot.start, zone.start), min(spot.end, zone.end)
        if b - a > SAME:
            own = [s.wall(spot.wall) for s in states.found.stretches_of(side) if s.start < b - 1 and s.end > a + 1]
            yield Rusted(spot.wall, a, b, min(w.mean / w.nominal for w in own)), zone


def _need(states: Repaired, side: str, spot: Rusted, zone: Zone) -> Need:
    built, now = _thinnest(states, side, spot)
    nominal = wall_thickness(built, SIDES[side])[spot.wall]
    plate = None if spot.left == 0 else _plate(now, built, spot.wall, side)
    lap = lap_on_sound(plate or nominal).limit
    start, end, names = spot.start - lap, spot.end + lap, list[str]()
    for f in mounted(states, side, "hanger"):
        twice = 2 * depth_at(states, side, f.station)
        if start - twice < f.station < end + twice:
            start, end = min(start, f.station - twice), max(end, f.station + twice)
            names.append(f"{f.name} at {f.station:g} mm")
    rail = rail_of(states.found.built, side)
    start, end = max(start, rail.start), min(end, rail.end)
    return Need(
        side=side, spot=spot, insert=nominal, insert_reach=_piece(spot, zone), plate=plate, plate_reach=(start, end),
        hangers=tuple(names), steps=tuple(x for x in (zone.start, zone.end) if start + SAME < x < end - SAME),
    )  # fmt: skip


def _piece(spot: Rusted, zone: Zone) -> tuple[float, float]:
    """From where to where a piece is let in: about the middle of the rust, moved off the ends of the zone."""
    length = max(spot.end - spot.start, INSERT.limit)
    start = max(min((spot.start + spot.end - length) / 2, zone.end - length), zone.start)
    return start, min(start + length, zone.end)


def _thinnest(states: Repaired, side: str, spot: Rusted) -> tuple[Shape, Shape]:
    """The shapes at the thinnest place of a stretch as built and as found (of strength)."""
    own = [s for s in states.found.stretches_of(side) if s.start < spot.end - 1 and s.end > spot.start + 1]
    s = min(own, key=lambda s: s.wall(spot.wall).least / s.wall(spot.wall).nominal)
    at = (s.start + s.end) / 2
    built, now = (span_at(rail_of(c, side), at) for c in (states.found.built, states.found.chassis))
    return shape_in(built, at), now.least or shape_in(now, at)


def _plate(now: Shape, built: Shape, wall: str, side: str) -> float | None:
    """Thickness of a lapped plate that restores the section, mm."""
    wanted = _bending(built)
    t = STEP
    while t <= MOST:
        try:
            own = plated(now, [Plate(wall=plain_wall(wall, side), thickness=t)])
        except ModelError:
            return None
        if all(a >= b * (1 - 1e-9) for a, b in zip(_bending(own), wanted, strict=True)):
            return t
        t += STEP
    return None


def _bending(shape: Shape) -> tuple[float, float]:
    """I about the horizontal axis and the weaker vertical section modulus, by the outer faces of the walls."""
    section = shape.section()
    q = properties(section)
    faces = [abs(z + s * w.thickness / 2 - q.zc) for w in section.walls for z in (w.start[1], w.end[1])
             for s in ((1, -1) if abs(w.end[0] - w.start[0]) > abs(w.end[1] - w.start[1]) else (0,))]  # fmt: skip
    return float(q.Iyy), float(q.Iyy / max(faces))
