"""Joints that nobody described get the stiffness that their walls give them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from ladderfe.chassis import Chassis, Crossmember, Joint, Material, Outrigger, Rail
from ladderfe.errors import ModelError
from ladderfe.joints import JointEstimate, JointGeometry, Meeting, estimate, from_shapes, meeting
from ladderfe.mesh.rails import rail_point, rail_shape
from ladderfe.sections import Angle, Plated, Shape, faces
from ladderfe.sections.kept import lately

__all__ = [
    "JointUse", "joined", "joint_meetings", "joint_ends", "joint_uses", "joint_warpings", "joints_of",
    "seen_walls", "usual_joint",
]  # fmt: skip

RIGID = (np.inf,) * 6
#: A diaphragm this near to a crossmember's outline holds the web that it meets, mm (seen in solids: beyond it a few %).
BESIDE = 60.0
HELD = "a diaphragm close by holds the web, taken without that: far too soft (0.4 of the stiffness in one study)"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointUse:
    """A joint as it is used: the part, which `rail` it meets, the joint, and its estimate (None where the user gave
    the joint or where there is none)."""

    part: str
    rail: str
    joint: Joint
    estimate: JointEstimate | None


class End(NamedTuple):
    """An end that meets a rail: direction +1 where it comes from +y, place its station and height."""

    part: str
    rail: Rail
    joint: Joint
    shape: Shape
    direction: int
    place: tuple[float, float]


def joint_uses(chassis: Chassis) -> tuple[JointUse, ...]:
    """All joints as `joined` takes them, those of crossmembers (left end, right end) first."""
    return tuple(
        JointUse(part=own.part, rail=own.rail.name, joint=used.joint, estimate=_known(chassis, own))
        for own, used in zip(_ends(chassis), _ends(joined(chassis)), strict=True)
    )


def _ends(chassis: Chassis) -> list[End]:
    left, right = sorted(chassis.rails, key=lambda r: r.sign)
    out = []
    for c in chassis.crossmembers:
        out.append(End(c.name, left, c.joint_left, c.shape, +1, (c.station_left, c.height_left)))
        out.append(End(c.name, right, c.joint_right, c.shape, -1, (c.station_right, c.height_right)))
    for o in chassis.outriggers:
        rail = left if o.side == "left" else right
        out.append(End(o.name, rail, o.joint, o.shape, rail.sign, (o.station, o.height)))
    return out


def joint_ends(chassis: Chassis) -> list[End]:
    """All ends that meet a rail, in the order of a mesh's joints."""
    return _ends(chassis)


def usual_joint(chassis: Chassis, end: End) -> JointGeometry | None:
    """A usual joint as laid out; None where it is given, is no usual one or has no estimate."""
    if end.joint.given or chassis.joint_model != "walls":
        return None
    from ladderfe.joints.many import usual  # only many states of a frame have a use for it

    try:
        geometry = _geometry(chassis, end.joint, end.rail, end.shape, end.direction, end.place)
    except ModelError:
        return None
    return geometry if usual(geometry, chassis.joint_level) else None


def seen_walls(joint: JointGeometry, direction: int) -> tuple[str, ...]:
    """Names of the rail's top, bottom, met and far wall that a joint sees whose member comes from that side; a channel
    has no far one."""
    if joint.rail == "channel":
        return "top", "bottom", "web"
    return ("top", "bottom", "plus", "minus") if direction > 0 else ("top", "bottom", "minus", "plus")


def joints_of(
    chassis: Chassis, end: End, level: float
) -> tuple[Joint, Meeting | None, tuple[float, int]]:
    """The joint of an end as `joined`, with how the walls hold it and its warping as `joint_meetings` and
    `joint_warpings` tell it, for one end alone; `chassis` and `end` as built, level where in the range."""
    used = replace(chassis, joint_level=level)
    found = _as_walls(used, end)
    springs = used.joint_model != "walls"
    joint = _joint(chassis, end.joint, end.rail, end.shape, end.direction, end.place, level) if springs else end.joint
    warping = (found.warping, found.link) if found else (0.0, 0)
    return joint, None if springs or end.joint.given else found, warping


def joint_meetings(chassis: Chassis, part: str) -> tuple[Meeting | None, ...]:
    """How the walls hold the ends of a crossmember (left, right) or outrigger; None where the user gave the joint,
    where it cannot be estimated, or where all joints are springs."""
    found = tuple(None if own.joint.given else held for own, held in _held(chassis) if own.part == part)
    return found if chassis.joint_model == "walls" else (None,) * len(found)


def joint_warpings(chassis: Chassis, part: str) -> tuple[tuple[float, int], ...]:
    """Spring and link of the warping of both ends (see `Meeting`), also where joints are springs or given: nobody
    states these, so the walls tell.  Tied where a joint is given as rigid all round, free where nothing is known."""
    found = (held for own, held in _held(chassis) if own.part == part)
    return tuple((m.warping, m.link) if m else (0.0, 0) for m in found)


@lately
def _held(chassis: Chassis) -> tuple[tuple[End, Meeting | None], ...]:
    """All ends, and how the walls hold them, whatever was given."""
    return tuple((own, _as_walls(chassis, own)) for own in _ends(chassis))


def _as_walls(chassis: Chassis, end: End) -> Meeting | None:
    """How the walls hold an end, whatever was given for it; None where it cannot be estimated."""
    rigid = end.joint.given and bool(np.isinf(end.joint.stiffness).all())
    try:
        geometry = _geometry(chassis, end.joint, end.rail, end.shape, end.direction, end.place)
        return meeting(geometry, np.inf if rigid else chassis.joint_level)
    except ModelError:
        return None


def _known(chassis: Chassis, end: End) -> JointEstimate | None:
    """The estimate of a joint, None where it was given or cannot be estimated."""
    try:
        return None if end.joint.given else _estimate(chassis, end.joint, end.rail, end.shape, end.direction, end.place)
    except ModelError:
        return None


def joined(chassis: Chassis, level: float | None = None) -> Chassis:
    """The same chassis with every joint stated: as given, else estimated from the walls that meet.

    level : where in the estimate's range, -1 low, 0 middle, 1 high, inf rigid; the chassis' own if None.  Joints for
    which there is no estimate (rails that are neither boxes nor channels, crossmembers above or below the rail) stay
    rigid and say so among their warnings.  Done twice it changes nothing more.
    Raises ModelError where the wall of an angle rail that a member would meet is not there.
    """
    for end in _ends(chassis):
        _meets(end)
    level = chassis.joint_level if level is None else level
    rails: dict[str, Rail] = {r.side: r for r in chassis.rails}
    return replace(
        chassis,
        crossmembers=tuple(_crossmember(chassis, c, rails, level) for c in chassis.crossmembers),
        outriggers=tuple(_outrigger(chassis, o, rails, level) for o in chassis.outriggers),
        joint_level=level,
    )


def _meets(end: End) -> None:
    """Only angles are looked at: what comes to the open side of a channel lies between its flanges on the web."""
    (station, height), rail = end.place, end.rail
    shape = rail_shape(rail, station)
    beside = abs(height - float(rail_point(rail, station)[2])) < (shape.depth + end.shape.depth) / 2 - 1e-6
    bare = shape.base if isinstance(shape, Plated) else shape
    if isinstance(bare, Angle) and beside and not faces(shape, end.direction):
        raise ModelError(
            f"{end.part} at the {rail.name}", f"the rail's wall that it meets at {station:.0f} mm is gone",
            "Close the opening there, or take the member out",
        )  # fmt: skip


def _crossmember(chassis: Chassis, c: Crossmember, rails: dict[str, Rail], level: float) -> Crossmember:
    left = _joint(chassis, c.joint_left, rails["left"], c.shape, +1, (c.station_left, c.height_left), level)
    right = _joint(chassis, c.joint_right, rails["right"], c.shape, -1, (c.station_right, c.height_right), level)
    return replace(c, joint_left=left, joint_right=right)


def _outrigger(chassis: Chassis, o: Outrigger, rails: dict[str, Rail], level: float) -> Outrigger:
    rail = rails[o.side]
    return replace(o, joint=_joint(chassis, o.joint, rail, o.shape, rail.sign, (o.station, o.height), level))


def _joint(
    chassis: Chassis, joint: Joint, rail: Rail, shape: Shape, direction: int, place: tuple[float, float], level: float
) -> Joint:
    """`direction` is the side (+1: from +y) from which the member comes; place is its station and height."""
    if joint.given:
        return joint
    if np.isinf(level):
        return replace(joint, stiffness=RIGID)
    try:
        found = _estimate(chassis, joint, rail, shape, direction, place)
    except ModelError as error:
        return replace(joint, stiffness=RIGID, warnings=(f"taken as rigid: {error.problem}",))
    return replace(joint, stiffness=_at_level(found, level), warnings=found.warnings)


def _estimate(
    chassis: Chassis, joint: Joint, rail: Rail, shape: Shape, direction: int, place: tuple[float, float]
) -> JointEstimate:
    return _estimated(_geometry(chassis, joint, rail, shape, direction, place))


def _geometry(
    chassis: Chassis, joint: Joint, rail: Rail, shape: Shape, direction: int, place: tuple[float, float]
) -> JointGeometry:
    station, height = place
    above = height - float(rail_point(rail, station)[2])
    to_end = max(0.0, min(station - rail.start, rail.end - station))
    parts = (joint.kind, joint.doubler, joint.margin, joint.gusset)
    found = _of_shapes(rail_shape(rail, station), shape, direction, above, to_end, parts, chassis.material)
    reach = shape.width / 2 + BESIDE
    if any(d.side == rail.side and abs(d.station - station) < reach for d in chassis.diaphragms):
        found = found.changed(notes=(*found.notes, HELD))
    return found


@lru_cache(maxsize=1024)
def _of_shapes(
    rail: Shape, shape: Shape, direction: int, above: float, to_end: float, parts: tuple[str, float, float, float],
    material: Material,
) -> JointGeometry:  # fmt: skip
    """parts: a joint's kind, doubler, its margin, and gusset."""
    kind, doubler, margin, gusset = parts
    found = from_shapes(rail, shape, direction, above)
    if found.doubler:  # a plate on the web that runs on along the rail
        margin = min(found.margin, margin) if doubler else found.margin
        doubler = 0.0 if kind == "wrapped" else doubler + found.doubler
    return found.changed(
        to_end=to_end,
        through=kind == "through",
        doubler=doubler,
        margin=margin,
        gusset=gusset,
        kind=kind,
        youngs_modulus=material.youngs_modulus,
        poissons_ratio=material.poissons_ratio,
    )


@lru_cache(maxsize=1024)
def _estimated(geometry: JointGeometry) -> JointEstimate:
    return estimate(geometry)


def _at_level(found: JointEstimate, level: float) -> tuple[float, float, float, float, float, float]:
    """Between low (-1), middle (0) and high (1) along the logarithm of the stiffness; rigid stays rigid."""
    end = found.high if level > 0 else found.low
    soft = np.isfinite(found.stiffness) & (found.stiffness > 0) & np.isfinite(end)
    ratio = np.ones(6)
    ratio[soft] = (end[soft] / found.stiffness[soft]) ** abs(level)
    a, b, c, d, e, f = (float(v) for v in found.stiffness * ratio)
    return a, b, c, d, e, f
