"""Mounts of a chassis file: where things hang on the frame."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import isnan, nan
from typing import Any, Final

from ladderfe.chassis.assumed import MEMORY, Assumed, Guess
from ladderfe.chassis.drafts import RailDraft, Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.schema import MOUNT_BESIDE
from ladderfe.chassis.types import Crossmember, Mount, Outrigger

__all__ = ["Frame", "read_mounts"]

#: A mount this far from the part that carries it is a slip, mm.
FAR: Final = 400.0
#: Rates of a mount in the level plane over its upright one.
LEVEL: Final = Guess(
    "rates of mounts along and across the vehicle over their upright rate: taken as the upright one",
    0.2, 1.0, 2.0, "", f"rubber bonded flat is softer in shear, cones and bushes are about alike, {MEMORY}",
)  # fmt: skip
RAILS: Final = ("left rail", "right rail", "both rails")


@dataclass(frozen=True, slots=True)
class Frame:
    """The parts that can carry a mount; `pairs` are outriggers given for both rails by the name they share."""

    rails: Rails
    crossmembers: Mapping[str, Crossmember]
    outriggers: Mapping[str, Outrigger]
    pairs: Mapping[str, tuple[str, str]]

    @classmethod
    def of(
        cls, rails: Rails, crossmembers: Iterable[Crossmember], outriggers: Iterable[Outrigger], tables: list[Any]
    ) -> Frame:
        both = [t.name or f"outrigger {i + 1}" for i, t in enumerate(tables) if t.rail == "both"]
        return cls(
            rails,
            {c.name: c for c in crossmembers},
            {o.name: o for o in outriggers},
            {name: (f"{name} left", f"{name} right") for name in both},
        )

    @property
    def names(self) -> list[str]:
        return [*RAILS, *self.crossmembers, *self.outriggers, *self.pairs]


def read_mounts(faults: Faults, tables: list[Any], frame: Frame, assumed: Assumed) -> list[Mount]:
    """All mounts that can be read, those on both sides as two; faults are noted."""
    out: list[Mount] = []
    for i, t in enumerate(tables):
        path: Path = ("mounts", i)
        rates = _rates(faults, path, t, assumed)
        out += [replace(m, rates=rates) for m in _placed(faults, path, t, frame)]
    return out


def _placed(faults: Faults, path: Path, table: Any, frame: Frame) -> list[Mount]:
    """The one or two mounts of a table at their places; none where the part that carries them is not known."""
    on = table.on
    if on in RAILS:
        return _on_rails(faults, path, table, frame)
    if on in frame.crossmembers:
        return [_on_crossmember(faults, path, table, frame, frame.crossmembers[on])]
    if on in frame.outriggers:
        return [_on_outrigger(faults, path, table, frame, frame.outriggers[on], table.name)]
    if on in frame.pairs:
        return [
            _on_outrigger(faults, path, table, frame, frame.outriggers[name], f"{table.name} {side}")
            for name, side in zip(frame.pairs[on], ("left", "right"), strict=True)
        ]
    if on:
        rule = "no rail, crossmember or outrigger has this name"
        faults.unknown((*path, "on"), on, ("crossmembers", "outriggers"), frame.names, rule)
    return []


def _rates(faults: Faults, path: Path, table: Any, assumed: Assumed) -> tuple[float, float, float] | None:
    """Rates along, across and upright, N/mm; None where none is given.  Of those in the level plane one stands for the
    other, and the upright rate for both."""
    if table.rate is None:
        for key in MOUNT_BESIDE:
            if getattr(table, key) is not None and not faults.is_spared((*path, "rate")):
                hint = f"Give rate, the upright one, or leave {key} out"
                faults.add((*path, key), "has no meaning without rate", hint)
        return None
    along, across = table.rate_along, table.rate_sideways
    if along is None and across is None:
        along = table.rate * assumed.take("mounts.rate_along", None, LEVEL)
    along = across if along is None else along
    return along, along if across is None else across, table.rate


def _on_rails(faults: Faults, path: Path, table: Any, frame: Frame) -> list[Mount]:
    """Mounts on one rail or both."""
    if table.station is None:
        faults.add((*path, "station"), "is missing", "A mount on a rail needs its station")
    if table.y is not None and table.offset is not None:
        faults.add((*path, "offset"), "is given beside y", "Give one of the two")
    station = nan if table.station is None else table.station
    out = []
    sides = [r for r in frame.rails if table.on in (f"{r.side} rail", "both rails")]
    note_off_rails(faults, (*path, "station"), sides, station)
    for rail in sides:
        name = f"{table.name} {rail.side}" if table.on == "both rails" else table.name
        height = rail.height(station) if table.height is None else table.height
        out.append(
            Mount(
                name=name,
                part=f"{rail.side} rail",
                station=station,
                y=_y_on_rail(faults, path, table, rail, station),
                height=height,
            )
        )
    return out


def _y_on_rail(faults: Faults, path: Path, table: Any, rail: RailDraft, station: float) -> float:
    """Y of a mount on a rail; for both rails y is mirrored."""
    half = rail.half(station)
    if table.y is None:
        return rail.sign * (half + (table.offset or 0.0))
    if table.on == "both rails":
        y = rail.sign * table.y
        if table.y < 0:
            faults.add(
                (*path, "y"),
                "must not be negative on both rails",
                "Give y of the right one, or offset outward from the rail's middle",
            )
            return nan
    else:
        y = table.y
    if rail.sign * y < 0:
        faults.add(
            (*path, "y"),
            f"is on the other side of the vehicle than the {rail.side} rail",
            "Left of the centre line y is negative, right of it positive",
        )
    elif abs(abs(y) - half) > FAR:
        faults.add(
            (*path, "y"),
            f"is more than {FAR:g} mm from the {rail.side} rail, whose middle is at {rail.sign * half:.0f} mm there",
            "Measure y from the centre line of the vehicle, or give offset from the rail's middle",
        )
    return float(y)


def _no_offset(faults: Faults, path: Path, table: Any) -> None:
    if table.offset is not None:
        faults.add((*path, "offset"), "is for mounts on rails", "Give y, from the centre line of the vehicle")


def _near(faults: Faults, path: Path, table: Any, station: float, part: str) -> float:
    """Station of a mount on a part that stands at `station`."""
    if table.station is None:
        return station
    if abs(table.station - station) > FAR:
        faults.add(
            (*path, "station"),
            f"is more than {FAR:g} mm from {part}, which is at {station:g} mm there",
            "Leave station out for the part's own",
        )
    return float(table.station)


def _on_crossmember(faults: Faults, path: Path, table: Any, frame: Frame, c: Crossmember) -> Mount:
    _no_offset(faults, path, table)
    left, right = -frame.rails[0].half(c.station_left), frame.rails[1].half(c.station_right)
    y = 0.0 if table.y is None else table.y
    if not isnan(left + right) and (y < left or y > right):
        faults.add(
            (*path, "y"),
            f'does not lie on crossmember "{c.name}", which reaches from {left:.0f} to {right:.0f} mm',
            "Measure y from the centre line of the vehicle, negative on the left",
        )
    s = (y - left) / (right - left) if right > left else nan
    points = [(left, c.height_left), *c.via, (right, c.height_right)]
    height = table.height if table.height is not None else _between(y, points)
    station = _near(
        faults, path, table, c.station_left + s * (c.station_right - c.station_left), f'crossmember "{c.name}"'
    )
    return Mount(name=table.name, part=c.name, station=station, y=y, height=height)


def _between(y: float, points: list[tuple[float, float]]) -> float:
    for (a, p), (b, q) in pairwise(points):
        if a <= y <= b and b > a:
            return p + (y - a) / (b - a) * (q - p)
    return nan


def _on_outrigger(faults: Faults, path: Path, table: Any, frame: Frame, o: Outrigger, name: str) -> Mount:
    _no_offset(faults, path, table)
    rail = frame.rails[0 if o.side == "left" else 1]
    half, (width, _) = rail.half(o.station), rail.outline(o.station)
    tip = half + width / 2 + o.length
    out = tip
    if table.y is not None:
        out = abs(table.y) if name != table.name else rail.sign * table.y
        if out < half or out > tip + 50:
            faults.add(
                (*path, "y"),
                f'does not lie on outrigger "{o.name}", which reaches to {rail.sign * tip:.0f} mm',
                "Left of the centre line y is negative; leave y out for the tip",
            )
    station = _near(faults, path, table, o.station, f'outrigger "{o.name}"')
    return Mount(
        name=name,
        part=o.name,
        station=station,
        y=rail.sign * out,
        height=o.height if table.height is None else table.height,
    )
