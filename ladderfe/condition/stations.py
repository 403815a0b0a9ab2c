"""Stations of a rail at which something is, with the words for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from ladderfe.chassis import Chassis, Rail

__all__ = ["Feature", "features", "snapped"]

#: Kinds at which a rail is loaded or held, beside which damage counts for more.
HELD: Final = ("hanger", "mount", "crossmember", "outrigger")


@dataclass(frozen=True, slots=True)
class Feature:
    """Something at a station of a rail: its kind and its name."""

    station: float
    kind: str
    name: str

    @property
    def held(self) -> bool:
        """Whether something is mounted or joined there."""
        return self.kind in HELD


def features(chassis: Chassis, rail: Rail) -> list[Feature]:
    """All that is at a rail, from front to rear: crossmembers, outriggers, mounts, spring hangers, axles' brackets,
    diaphragms, bends of its path, steps of its section and its ends."""
    side = rail.side
    found = [
        Feature(c.station_left if side == "left" else c.station_right, "crossmember", c.name)
        for c in chassis.crossmembers
    ]
    found += [Feature(o.station, "outrigger", o.name) for o in chassis.outriggers if o.side == side]
    found += [Feature(m.station, "mount", m.name) for m in chassis.mounts if m.part == rail.name and not m.spread]
    for axle in chassis.axles:
        found += [Feature(station, "hanger", axle.seat_words(k)) for k, (station, _) in enumerate(axle.seats)]
        found += [Feature(place[0], "mount", name) for name, of, place in axle.brackets() if of == side]
        found.append(Feature(axle.station, "axle", axle.name))
    found += [Feature(d.station, "diaphragm", d.name) for d in chassis.diaphragms if d.side == side]
    found += [Feature(p.station, "bend", "") for p in rail.path[1:-1]]
    found += [Feature(s.start, "step", "") for s in rail.spans[1:]]
    found += [Feature(rail.start, "end", "front"), Feature(rail.end, "end", "rear")]
    inside = [f for f in found if rail.start - 1 <= f.station <= rail.end + 1]
    return sorted(inside, key=lambda f: f.station)


def snapped(stations: Iterable[float], fixed: Iterable[float], near: float) -> list[float]:
    """The stations, sorted, without those that are `near` mm or less from a fixed one or from the one before."""
    out: list[float] = []
    known = sorted(fixed)
    for s in sorted(stations):
        if all(abs(s - f) > near for f in known) and (not out or s - out[-1] > near):
            out.append(s)
    return out
