"""Brackets of spring hangers of a chassis file, checked against the springs that they carry and the rails."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan
from typing import Any, Final

from ladderfe.chassis.axle_types import Axle
from ladderfe.chassis.drafts import RailDraft, Rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.hanger_types import Hanger
from ladderfe.chassis.lines import Path

__all__ = ["read_hangers"]

#: A fillet's throat over its leg.
THROAT: Final = 0.7
#: An eye may stand out of its bracket's outline by this much along the rail, mm; judgement.
BEYOND: Final = 150.0
SEATS: Final = ("front", "rear")


def read_hangers(faults: Faults, tables: list[Any], rails: Rails, axles: Sequence[Axle]) -> list[Hanger]:
    """All brackets that can be read, those of both rails as two; faults are noted."""
    out: list[Hanger] = []
    for i, t in enumerate(tables):
        path: Path = ("hangers", i)
        axle = next((a for a in axles if a.name == t.axle), None)
        if t.leg is not None and t.throat is not None:
            faults.add((*path, "throat"), "is given beside leg", "Give one of the two")
        if t.on == "bottom" and t.height is not None:
            faults.add((*path, "height"), "has no meaning on the bottom", "Leave it out")
        seat = _seat(faults, path, t, axle) if axle is not None else None
        if axle is None or seat is None:
            continue
        for rail in rails:
            if (t.rail or "both") in (rail.side, "both"):
                made = _hanger(t, rail, axle, seat, faults.lines.of(path))
                _check(faults, path, made, rail, axle)
                _note_same(faults, path, made, out)
                out.append(made)
    return out


def _seat(faults: Faults, path: Path, t: Any, axle: Axle) -> int | None:
    """Number of the seat that a bracket carries; None where that cannot be told."""
    if len(axle.seats) == 1:
        if t.eye is not None:
            rule = f"has no meaning: the {axle.name} spring has one seat"
            faults.add((*path, "eye"), rule, "Leave it out, or give the eyes of a leaf spring under [[axles]]")
        return 0
    if t.eye is None:
        faults.add((*path, "eye"), f"is missing: the {axle.name} spring has two eyes", 'Write eye = "front" or "rear"')
        return None
    return SEATS.index(t.eye)


def _hanger(t: Any, rail: RailDraft, axle: Axle, seat: int, line: int) -> Hanger:
    station = axle.seats[seat][0] if t.station is None else t.station
    throat = t.throat if t.throat is not None else None if t.leg is None else THROAT * t.leg
    return Hanger(
        name=t.name if (t.rail or "both") != "both" else f"{t.name} {rail.side}", axle=axle.name, side=rail.side,
        seat=seat, on=t.on or "outer", station=station, height=rail.height(station) if t.height is None else t.height,
        length=t.length, depth=t.depth, thickness=t.thickness, welds=t.welds or "all round", throat=throat, line=line,
    )  # fmt: skip


def _check(faults: Faults, path: Path, h: Hanger, rail: RailDraft, axle: Axle) -> None:
    """Note a bracket that is not at its eye, or reaches beyond its wall."""
    eye = axle.seats[h.seat][0]
    if abs(h.station - eye) > h.length / 2 + BEYOND:
        rule = f"is {abs(h.station - eye):g} mm from the spring's place at {eye:g} mm, which it is to carry"
        hint = 'A moved hanger moves its eye: add [[axles]] with name and eyes = [front, rear], or correct the station'
        faults.add((*path, "station"), rule, hint, value=f"{h.station:g}")
        return
    for end in (h.station - h.length / 2, h.station + h.length / 2):
        if rail.misses(end):
            rule = f"reaches to {end:g} mm, off the {h.side} rail, which reaches from {rail.start:g} to {rail.end:g} mm"
            faults.add((*path, "length"), rule, "Correct its length or its station")
    width, depth = rail.outline(h.station)
    if h.on == "bottom" and h.depth > width:
        rule = f"is wider than the {h.side} rail, {width:g} mm"
        faults.add((*path, "depth"), rule, "Give the width of its outline across the bottom")
    middle = rail.height(h.station)
    if h.on != "bottom" and not isnan(depth) and abs(h.height - middle) + h.depth / 2 > depth / 2 + 1e-6:
        rule = (f"reaches beyond the upright wall of the {h.side} rail, {middle - depth / 2:g} to "
                f"{middle + depth / 2:g} mm")  # fmt: skip
        faults.add((*path, "depth"), rule, "Give the outline of what is welded, and height for its middle")


def _note_same(faults: Faults, path: Path, made: Hanger, others: list[Hanger]) -> None:
    for other in others:
        if (other.axle, other.side, other.seat) == (made.axle, made.side, made.seat):
            rule = f'carries the same place of the {made.axle} spring on the {made.side} rail as "{other.name}"'
            faults.add(path, rule, "Describe one bracket for each eye", value=f'"{made.name}"')
