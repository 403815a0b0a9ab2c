"""Crossmembers and outriggers of a chassis file: their places, sizes and joints, checked against the rails."""

from __future__ import annotations

from math import inf, isnan, nan
from typing import Any, Final

from ladderfe.chassis.drafts import RailDraft, Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.sizes import CROSS, check_sizes, shape_of, sizes_of
from ladderfe.chassis.types import Crossmember, Joint, Outrigger
from ladderfe.sections import Channel, Shape

__all__ = ["read_crossmembers", "read_outriggers"]

#: A crossmember may slant by this much along the frame for each mm across.
STEEPEST: Final = 1.5
#: A crossmember may be this far clear of the rail, on a packer, mm.
PACKER: Final = 50.0
TO_NEWTON: Final = (1e3, 1e3, 1e3, 1e6, 1e6, 1e6)  # kN/mm and kN m/rad to N/mm and N mm/rad
GUSSETED: Final = ("gusseted upright", "gusseted in plan")
JOINT_KEYS: Final = ("x", "y", "z", "rx", "ry", "rz")


def read_crossmembers(faults: Faults, tables: list[Any], rails: Rails, radius: float) -> list[Crossmember]:
    """All crossmembers that can be read; faults are noted."""
    if len(tables) < 2:
        faults.add(
            ("crossmembers",),
            "are fewer than two: such a frame cannot carry twist or stay square",
            "Add a [[crossmembers]] for each one",
            value=str(len(tables)),
        )
    out: list[Crossmember] = []
    for i, t in enumerate(tables):
        path: Path = ("crossmembers", i)
        stations = _stations(faults, path, t, rails)
        shape = _shape(faults, path, t, radius)
        heights = [_height(faults, path, t, rail, x, shape) for rail, x in zip(rails, stations, strict=True)]
        via = tuple((p.y, p.height) for p in t.via or ())
        _check_via(faults, path, via, rails, stations)
        joints = [_joint(faults, path, t, r, x) for r, x in zip(rails, stations, strict=True)]
        made = Crossmember(
            name=t.name or f"crossmember {i + 1}",
            station_left=stations[0],
            station_right=stations[1],
            height_left=heights[0],
            height_right=heights[1],
            shape=shape or _NONE,
            via=via,
            joint_left=joints[0],
            joint_right=joints[1],
        )
        _same_place(faults, path, made, out)
        out.append(made)
    return out


def read_outriggers(faults: Faults, tables: list[Any], rails: Rails, radius: float) -> list[Outrigger]:
    """All outriggers that can be read, "both" as two; faults are noted."""
    out: list[Outrigger] = []
    for i, t in enumerate(tables):
        path: Path = ("outriggers", i)
        name, shape = t.name or f"outrigger {i + 1}", _shape(faults, path, t, radius)
        sides = [r for r in rails if t.rail in (r.side, "both")]
        note_off_rails(faults, (*path, "station"), sides, t.station)
        for rail in sides:
            height = _height(faults, path, t, rail, t.station, shape)
            out.append(
                Outrigger(
                    name=f"{name} {rail.side}" if t.rail == "both" else name,
                    side=rail.side,
                    station=t.station,
                    length=t.length,
                    height=height,
                    shape=shape or _NONE,
                    joint=_joint(faults, path, t, rail, t.station),
                )
            )
    return out


_NONE: Any = (
    None  # stands for a shape that could not be made; a fault is noted then, so that it never leaves the reading
)


def _shape(faults: Faults, path: Path, table: Any, radius: float) -> Shape | None:
    sizes = sizes_of(table)
    return shape_of(sizes, CROSS, radius) if check_sizes(faults, path, sizes, CROSS) else None


def _stations(faults: Faults, path: Path, table: Any, rails: Rails) -> tuple[float, float]:
    """Stations at the left and right rail, nan where not given."""
    own = (table.station_left, table.station_right)
    if table.station is not None and own != (None, None):
        faults.add(
            (*path, "station"),
            "is given beside station_left or station_right",
            "Give station, or the other two where it slants",
        )
    elif table.station is None and None in own:
        key = "station" if own == (None, None) else "station_right" if own[1] is None else "station_left"
        faults.add((*path, key), "is missing", "Give station, or station_left and station_right where it slants")
    square = nan if table.station is None else table.station
    if own == (None, None):
        note_off_rails(faults, (*path, "station"), rails, square)
    for rail, x in zip(rails, own, strict=True):
        if x is not None:
            note_off_rails(faults, (*path, f"station_{rail.side}"), [rail], x)
    left, right = (square if x is None else x for x in own)
    if abs(left - right) > STEEPEST * (rails[0].half(left) + rails[1].half(right)):
        rule = f"is {abs(left - right):g} mm from the left one: the crossmember would run along the frame"
        faults.add((*path, "station_right"), rule, "Measure both stations from the same datum")
    return left, right


def _height(faults: Faults, path: Path, table: Any, rail: RailDraft, station: float, shape: Shape | None) -> float:
    """Height of the member's mid-depth at a rail: as given, else the rail's middle; notes one out of its reach."""
    key = f"height_{rail.side}"
    own = getattr(table, key, None)
    height = own if own is not None else table.height
    middle = rail.height(station)
    if height is None:
        return middle
    reach = (rail.outline(station)[1] + (shape.depth if shape else nan)) / 2
    place = (*path, key if own is not None else "height")
    if abs(height - middle) > reach + PACKER and not faults.noted(place):
        faults.add(
            place,
            f"does not reach the {rail.side} rail, whose middle is at {middle:.0f} mm there",
            "Give heights from one datum, or leave height out for the rail's middle",
        )
    return float(height)


def _check_via(
    faults: Faults, path: Path, via: tuple[tuple[float, float], ...], rails: Rails, stations: tuple[float, float]
) -> None:
    """Points between the ends must run from left to right between the rails."""
    left, right = -rails[0].half(stations[0]), rails[1].half(stations[1])
    if isnan(left + right):
        return
    before = left
    for k, (y, _) in enumerate(via):
        if y <= left or y >= right:
            faults.add(
                (*path, "via", k, "y"),
                f"does not lie between the rails, {left:.0f} to {right:.0f} mm",
                "Left of the centre line y is negative",
            )
        elif y <= before:
            faults.add(
                (*path, "via", k, "y"),
                f"must be more than the y before it, {before:g} mm",
                "List the points from left to right",
            )
        before = y if not isnan(y) else before


def _same_place(faults: Faults, path: Path, made: Crossmember, others: list[Crossmember]) -> None:
    for other in others:
        apart = (
            made.station_left - other.station_left,
            made.station_right - other.station_right,
            made.height_left - other.height_left,
            made.height_right - other.height_right,
        )
        if all(abs(a) < 1 for a in apart):
            faults.add(
                path,
                f'stands in the same place as crossmember "{other.name}"',
                "Take one of the two out, or correct its station",
                value=f"{made.station_left:g}",
            )


def _joint(faults: Faults, path: Path, table: Any, rail: RailDraft, station: float) -> Joint:
    """How a crossmember or outrigger meets a rail; where no stiffness is given it is to be estimated from the walls."""
    key = f"joint_{rail.side}"
    own = getattr(table, key, None)
    joint, place = (own, (*path, key)) if own is not None else (table.joint, (*path, "joint"))
    if joint is None:
        return Joint()
    values = [getattr(joint, k) for k in JOINT_KEYS]
    given = any(v is not None for v in values)
    if not faults.checked:
        _check_joint(faults, place, joint, rail, station, given=given)
    x, y, z, rx, ry, rz = (inf if v is None else v * f for v, f in zip(values, TO_NEWTON, strict=True))
    return Joint(
        kind=joint.kind or "butted",
        stiffness=(x, y, z, rx, ry, rz),
        given=given,
        doubler=joint.doubler or 0.0,
        margin=joint.margin or 0.0,
        gusset=joint.gusset or 0.0,
    )


def _check_joint(faults: Faults, path: Path, joint: Any, rail: RailDraft, station: float, *, given: bool) -> None:
    """Note what cannot be, or would be passed over in silence."""
    if joint.margin is not None and joint.doubler is None:
        hint = "Give the doubler's thickness in mm, or leave margin out"
        faults.add((*path, "margin"), "has no meaning without a doubler", hint)
    if joint.gusset is not None and joint.kind not in GUSSETED:
        hint = 'Write kind = "gusseted upright" or "gusseted in plan", or leave gusset out'
        faults.add((*path, "gusset"), "has no meaning in a joint of another kind", hint)
    if given:
        for key in ("doubler", "gusset"):
            if getattr(joint, key) is not None:
                hint = f"Leave it out, or leave the stiffness out so that it is estimated with the {key}"
                faults.add((*path, key), "has no meaning beside a stiffness that is given", hint)
        return
    if joint.kind in GUSSETED and joint.gusset is None:
        faults.add((*path, "kind"), "needs the size of the gussets", "Give their leg along the web in mm: gusset = 60")
    if joint.kind == "wrapped" and joint.doubler is not None:
        hint = "Leave it out: a crossmember that embraces the rail does not hang on its web"
        faults.add((*path, "doubler"), "has no meaning in a joint of that kind", hint)
    if joint.kind == "bolted":
        hint = 'Give its stiffness, for instance rx = 20, or write kind = "butted" to take it as welded to the web'
        faults.add((*path, "kind"), "cannot be estimated: brackets and bolts differ too much", hint)
    if joint.kind == "through" and isinstance(rail.shape(station), Channel):
        rule = f"cannot be estimated: the {rail.side} rail is a channel there and has no far web"
        faults.add((*path, "kind"), rule, 'Write kind = "butted", or give the stiffness of the joint')
