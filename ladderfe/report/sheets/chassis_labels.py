"""What a chassis drawing names, with stations from the datum: parts of the frame, and what hangs on it."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.chassis import Chassis
from ladderfe.condition.rails import rail_of, shape_at
from ladderfe.mesh.rails import rail_point
from ladderfe.report.sheets.words import mm, section_words, without_side

__all__ = ["Named", "bends", "hung_parts", "over_rails", "parts"]

#: Stations nearer than this, mm, are named together.
SAME = 1.0
#: Letters of names that stand in one row.
LONG = 36


@dataclass(frozen=True, slots=True)
class Named:
    """Words for a station, how far to the right of the centre line (mm) what they name reaches, and whether they weigh
    more."""

    station: float
    words: str
    reach: float
    heavy: bool = False


def over_rails(chassis: Chassis, station: float) -> float:
    """Distance over the outer faces of both rails at a station, mm."""
    return sum(
        abs(float(rail_point(r, min(max(station, r.start), r.end))[1])) + shape_at(r, station).width / 2
        for r in chassis.rails
    )


def parts(chassis: Chassis, *, short: bool) -> list[Named]:
    """The datum, both ends, crossmembers, outriggers and axles; `short`: by their names alone, without sizes."""
    rail = rail_of(chassis, "left")
    found: list[tuple[float, str, float, bool]] = []
    for station, name in ((rail.start, "front end"), (rail.end, "rear end")):
        datum = ", datum" if station == 0 else ""
        found.append((station, name + datum, _outer(chassis, station), True))
    for c in chassis.crossmembers:
        size = "" if short else f", {section_words(c.shape)}"
        name = c.name if short or "crossmember" in c.name else f"crossmember {c.name}"
        slant = f" (right {mm(c.station_right)})" if mm(c.station_right) != mm(c.station_left) else ""
        found.append((c.station_left, f"{name}{slant}{size}", _outer(chassis, c.station_left), False))
    for o in chassis.outriggers:
        size = "" if short else f", {section_words(o.shape)}"
        found.append((o.station, f"{without_side(o.name)}{size}", _outer(chassis, o.station) + o.length, False))
    for a in chassis.axles:
        track = "" if short else f", track {mm(a.track)}"
        found.append((a.station, f"{a.name} axle{track}", a.track / 2 + 40, True))
    return _together(found)


def hung_parts(chassis: Chassis) -> list[Named]:
    """Mounts, spring eyes or seats, and brackets of axles; those alike on both sides once."""
    found: list[tuple[float, str, float, bool]] = []
    for m in chassis.mounts:
        if not m.spread:
            found.append((m.station, without_side(m.name), m.y, False))
    for a in chassis.axles:
        words = f"{a.name} spring eye" if len(a.seats) > 1 else f"{a.name} spring seat"
        found += [(s, words, _outer(chassis, s), False) for s, _ in a.seats]
        found += [(at[0], name.replace(", left", "").replace(", right", ""), at[1], False)
                  for name, _, at in a.brackets()]  # fmt: skip
    for d in chassis.diaphragms:
        words = f"diaphragm {without_side(d.name)} {mm(d.thickness)}"
        found.append((d.station, words, _outer(chassis, d.station), False))
    return _together(found)


def bends(chassis: Chassis, *, short: bool) -> list[Named]:
    """Where the left rail bends and ends: station, its height and how far it is over both rails there."""
    out = []
    for p in rail_of(chassis, "left").path:
        wide = mm(over_rails(chassis, p.station))
        words = f"{mm(p.height)} / {wide}" if short else f"height {mm(p.height)}, {wide} over rails"
        out.append(Named(p.station, f"{mm(p.station)}: {words}", 0.0))
    return out


def _outer(chassis: Chassis, station: float) -> float:
    return over_rails(chassis, station) / 2


def _together(found: list[tuple[float, str, float, bool]]) -> list[Named]:
    """For each station an entry, or more where its names, each once, are long."""
    out: list[tuple[float, dict[str, None], float, bool]] = []
    for station, name, reach, heavy in sorted(found, key=lambda f: (f[0], not f[3])):
        if out and station - out[-1][0] <= SAME:
            at, names, far, weight = out[-1]
            out[-1] = (at, {**names, name: None}, max(far, reach), weight or heavy)
        else:
            out.append((station, {name: None}, reach, heavy))
    return [Named(at, f"{mm(at)} {row}", far, heavy) for at, names, far, heavy in out for row in _rows(list(names))]


def _rows(names: list[str]) -> list[str]:
    """Names after each other, in more than one row where they would get long."""
    rows: list[str] = []
    for name in names:
        if rows and len(rows[-1]) + len(name) + 2 <= LONG:
            rows[-1] += f", {name}"
        else:
            rows.append(name)
    return rows
