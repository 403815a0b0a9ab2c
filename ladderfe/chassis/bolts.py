"""Bolts and rivets of a chassis file: which joint they hold, where they stand, checked against the rail."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import hypot, isnan, nan
from typing import Any, Final

from ladderfe.chassis.bolt_types import BoltPattern
from ladderfe.chassis.drafts import RailDraft
from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.chassis.mounts import Frame
from ladderfe.chassis.types import Crossmember, Outrigger

__all__ = ["COARSE", "read_bolts"]

#: Diameters of which the coarse pitch is known, mm (ISO 261, from memory).
COARSE: Final = (5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24)
#: Normal round holes are this much wider than bolts up to 14 mm, and above (EN 1090-2, from memory).
CLEAR, CLEAR_ABOVE, UP_TO = 1.0, 2.0, 14.0
#: What bears under a head or nut over the diameter: about the mean across flats and corners (ISO 4014, from memory).
HEAD: Final = 1.6
Part = Crossmember | Outrigger
GRID: Final = ("columns", "rows", "spacing", "rise", "station", "height")


def read_bolts(faults: Faults, tables: list[Any], frame: Frame) -> list[BoltPattern]:
    """All patterns that can be read, one for each joint; faults are noted."""
    out: list[BoltPattern] = []
    for i, t in enumerate(tables):
        path: Path = ("bolts", i)
        _check_fastener(faults, path, t)
        for side, part in _joints(faults, path, t, frame):
            rail = next(r for r in frame.rails if r.side == side)
            pattern = _pattern(faults, path, t, rail, part)
            if pattern.places:
                _check_places(faults, path, t, rail, pattern)
            _note_same(faults, path, pattern, out)
            out.append(pattern)
    return out


def _joints(faults: Faults, path: Path, t: Any, frame: Frame) -> Iterator[tuple[str, Part]]:
    """Rail and part of every joint that a table is for."""
    crossmember = frame.crossmembers.get(t.member)
    if crossmember is not None:
        for side in ("left", "right"):
            if (t.end or "both") in (side, "both"):
                yield side, crossmember
        return
    names = frame.pairs.get(t.member, (t.member,))
    own = [frame.outriggers[n] for n in names if n in frame.outriggers]
    if not own and t.member:
        known = [*frame.crossmembers, *frame.outriggers, *frame.pairs]
        rule = "no crossmember or outrigger has this name"
        faults.unknown((*path, "member"), t.member, ("crossmembers", "outriggers"), known, rule)
    if own and t.end is not None:
        faults.add((*path, "end"), "has no meaning for an outrigger, which meets one rail", "Leave it out")
    for o in own:
        yield o.side, o


def _end(part: Part, side: str) -> tuple[float, float]:
    if isinstance(part, Outrigger):
        return part.station, part.height
    return (part.station_left, part.height_left) if side == "left" else (part.station_right, part.height_right)


def _pattern(faults: Faults, path: Path, t: Any, rail: RailDraft, part: Part) -> BoltPattern:
    rivets = t.fastener == "rivets"
    clear = 0.0 if rivets else CLEAR if t.diameter <= UP_TO else CLEAR_ABOVE
    several = t.member != part.name if isinstance(part, Outrigger) else (t.end or "both") == "both"
    return BoltPattern(
        name=f"{t.name} {rail.side}" if several else t.name, member=part.name, side=rail.side,
        places=tuple(_places(faults, path, t, _end(part, rail.side))), diameter=t.diameter,
        grade="" if rivets else t.grade or "8.8", hole=t.diameter + clear if t.hole is None else t.hole,
        planes=int(t.planes or 1), thread_pitch=t.thread_pitch, thread_in_shear=t.thread_in_shear is not False,
        plate=t.plate, edge=t.edge, head=HEAD * t.diameter if t.head is None else t.head, line=faults.lines.of(path),
    )  # fmt: skip


def _places(faults: Faults, path: Path, t: Any, at: tuple[float, float]) -> Iterator[tuple[float, float]]:
    """As listed, or columns and rows about their middle, front to rear and bottom to top."""
    if t.places:
        for key in GRID:
            if getattr(t, key) is not None:
                faults.add((*path, key), "is given beside places", "Give places, or columns and rows")
        yield from ((p.station, p.height) for p in t.places)
        return
    columns, rows = int(t.columns or 1), int(t.rows or 1)
    for key, other, n in (("spacing", "columns", columns), ("rise", "rows", rows)):
        if n > 1 and getattr(t, key) is None:
            faults.add((*path, key), f"is missing: there are {n} {other}", f"Give the distance between {other} in mm")
        if n == 1 and getattr(t, key) is not None:
            faults.add((*path, key), f"has no meaning without {other}", f"Write {other} = 2, or leave it out")
    x = at[0] if t.station is None else t.station
    z = at[1] if t.height is None else t.height
    for k in range(columns):
        for j in range(rows):
            yield x + (k - (columns - 1) / 2) * (t.spacing or 0.0), z + (j - (rows - 1) / 2) * (t.rise or 0.0)


def _check_fastener(faults: Faults, path: Path, t: Any) -> None:
    """Note sizes that no bolt or rivet has."""
    rivets = t.fastener == "rivets"
    for key in ("grade", "thread_pitch", "thread_in_shear"):
        if rivets and getattr(t, key) is not None:
            faults.add((*path, key), "has no meaning for rivets", 'Leave it out, or write fastener = "bolts"')
    coarse = listed([f"{d:g}" for d in COARSE], "and")
    if not rivets and t.thread_pitch is None and t.diameter not in COARSE and not isnan(t.diameter):
        rule = f"has no coarse pitch that is known; those of {coarse} mm are"
        faults.add((*path, "diameter"), rule, "Give the pitch of its thread in mm: thread_pitch = 1.25")
    if t.thread_pitch is not None and t.thread_pitch > t.diameter / 3:
        hint = "Give the pitch in mm, not threads per inch"
        faults.add((*path, "thread_pitch"), f"is no thread on {t.diameter:g} mm", hint)
    if t.hole is not None and t.hole < t.diameter:
        faults.add((*path, "hole"), f"is less than the diameter, {t.diameter:g} mm", "Measure the hole")
    hole = t.diameter if t.hole is None else t.hole
    if t.edge is not None and t.edge <= hole / 2:
        hint = "Give the distance from the hole's middle to the edge of the plate"
        faults.add((*path, "edge"), f"leaves no metal beside a hole of {hole:g} mm", hint)
    if t.edge is not None and t.plate is None:
        faults.add((*path, "edge"), "has no meaning without plate", "Give the thickness of the bracket's plate in mm")
    for key in ("columns", "rows", "planes"):
        value = getattr(t, key)
        if value is not None and not isnan(value) and value != int(value):
            faults.add((*path, key), "must be a whole number", "Count them")


def _check_places(faults: Faults, path: Path, t: Any, rail: RailDraft, pattern: BoltPattern) -> None:
    """Note holes off the wall, and holes that run into each other."""
    for k, (x, z) in enumerate(pattern.places):
        place: Path = (*path, "places", k) if t.places else path
        on = f"the {rail.side} rail"
        if rail.misses(x):
            rule = f"has a hole at {x:g} mm, off {on}, which reaches from {rail.start:g} to {rail.end:g} mm"
            faults.add(place, rule, "Measure it from the same datum as the stations of the file", value=f"{x:g}")
            continue
        middle, half = rail.height(x), rail.outline(x)[1] / 2
        if abs(z - middle) + pattern.hole / 2 > half:
            rule = (f"has a hole of {pattern.hole:g} mm at height {z:g} mm, off the upright wall of {on}, which "
                    f"reaches from {middle - half:g} to {middle + half:g} mm there")  # fmt: skip
            faults.add(place, rule, "Give heights from the file's datum, and places within the wall", value=f"{z:g}")
    near = min((hypot(a[0] - b[0], a[1] - b[1]) for a, b in combinations(pattern.places, 2)), default=nan)
    if near <= pattern.hole:
        rule = f"has holes of {pattern.hole:g} mm that run into each other: {near:g} mm from middle to middle"
        faults.add(path, rule, "Give the distances between the holes' middles", value=f"{near:g}")


def _note_same(faults: Faults, path: Path, made: BoltPattern, others: list[BoltPattern]) -> None:
    for other in others:
        if (other.member, other.side) == (made.member, made.side):
            rule = f'hold the joint of {made.member} on the {made.side} rail, as "{other.name}" does'
            faults.add(path, rule, "Describe all bolts of a joint in one table, with places", value=f'"{made.name}"')
