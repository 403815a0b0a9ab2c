"""Unusual heights above the ground, links of axles, what tows, and load cases."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import Final

from ladderfe.chassis import usual
from ladderfe.chassis.types import Axle, CaseSpec, Chassis, Towing
from ladderfe.chassis.unusual_places import along, level_between_axles
from ladderfe.chassis.usual import Unusual
from ladderfe.units import kilograms, kilonewtons

__all__ = ["unusual_cases", "unusual_links"]

Found = Iterator[Unusual]
ACCELERATIONS: Final = {"cornering": usual.CORNERING, "braking": usual.BRAKING, "drive-off": usual.DRIVING_OFF}
PULLS: Final = {"drawbar pull": usual.DRAWBAR, "winch": usual.LINE_PULL, "recovery": usual.RECOVERY}


def unusual_links(chassis: Chassis) -> Found:
    """How high the vehicle stands, what leads its axles, the body's stiffening and what it tows."""
    above = level_between_axles(chassis) - chassis.ground
    yield from usual.GROUND.look("rails' middle between the axles, above the ground", above)
    yield from usual.CENTRE.look("centre_of_gravity", chassis.centre_height)
    for axle in chassis.axles:
        yield from _axle(chassis, axle)
    yield from usual.STIFFENING.look("body, stiffening", chassis.body.stiffening)
    yield from _towing(chassis)


def _axle(chassis: Chassis, axle: Axle) -> Found:
    where = f"{axle.name} axle"
    yield from usual.TYRE_RADIUS.look(f"{where}, tyre_radius", axle.tyre_radius)
    if links := axle.links:
        level = sum(along(r, links.station).height for r in chassis.rails) / 2
        yield from usual.LINK_HEIGHT.look(f"{where}, {links.kind} above the rails' middle", links.height - level)
        if links.kind == "arms":
            yield from usual.ARMS.look(f"{where}, from the axle to its arms", abs(links.station - axle.station))
        side = links.side_height - chassis.ground
        yield from usual.SIDE_HEIGHT.look(f"{where}, side forces above the ground", side)
    if axle.damper:
        yield from usual.DAMPER.look(f"{where}, damper, force", kilonewtons(axle.damper.force))


def _towing(chassis: Chassis) -> Found:
    towing, mounts = chassis.towing, {m.name: m for m in chassis.mounts}
    if mount := mounts.get(towing.coupling):
        rear = chassis.axles[1].station
        yield from usual.COUPLING.look("towing, coupling behind the rear axle", mount.station - rear)
        above = mount.height - chassis.ground
        yield from usual.COUPLING_HEIGHT.look("towing, coupling above the ground", above)
    if towing.trailer:
        yield from usual.TRAILER.look("towing, trailer", kilograms(towing.trailer))
    if towing.nose:
        by_itself = list(usual.NOSE.look("towing, nose_weight", kilograms(towing.nose)))
        yield from by_itself or _nose_part(towing)
    if towing.line_pull:
        yield from usual.LINE_PULL.look("towing, line_pull", kilonewtons(towing.line_pull))


def _nose_part(towing: Towing) -> Found:
    if towing.trailer:
        part = 100 * towing.nose / towing.trailer
        yield from usual.NOSE_PART.look("towing, nose_weight as a part of the trailer", part)


def unusual_cases(chassis: Chassis) -> Found:
    """Case by case."""
    for case in chassis.cases:
        yield from _case(case)


def _case(case: CaseSpec) -> Found:
    where = f"case {case.name}"
    range_ = usual.TWIST_FACTOR if case.kind in ("limit twist", "one wheel bump") else usual.FACTOR
    yield from range_.look(f"{where}, factor", case.factor)
    if case.height:
        yield from usual.RAISED.look(f"{where}, height", case.height)
    if case.acceleration and case.kind in ACCELERATIONS:
        yield from ACCELERATIONS[case.kind].look(f"{where}, acceleration", case.acceleration)
    if case.force and case.kind in PULLS:
        yield from PULLS[case.kind].look(f"{where}, force", kilonewtons(case.force))
    for key, angle, range_ in (("angle", case.angle, usual.ANGLE), ("up", case.up, usual.UP)):
        if angle:
            yield from range_.look(f"{where}, {key}", abs(angle))
    if case.bridle:
        yield from usual.BRIDLE.look(f"{where}, bridle", case.bridle)
    if case.mass:
        yield from usual.NOSE.look(f"{where}, mass", kilograms(case.mass))
    for mount, height in case.heights:
        if height:
            yield from usual.LOW.look(f"{where}, low, {mount}", -height)
    for name, times in case.of:
        yield from usual.TIMES.look(f"{where}, times {name}", abs(times))
    for mount, force in case.forces:
        yield from usual.POINT_FORCE.look(f"{where}, force at {mount}", kilonewtons(hypot(*force)))
