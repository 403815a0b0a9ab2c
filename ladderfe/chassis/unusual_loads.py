"""Unusual weights, springs, masses and shares of the whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from itertools import pairwise
from math import dist, hypot, inf

from ladderfe.chassis import usual
from ladderfe.chassis.types import Axle, Chassis, Crossmember, Mass, Mount, Rail, Span
from ladderfe.chassis.unusual_places import along, called, level_between_axles
from ladderfe.chassis.unusual_steel import CROSS_SIDES, SIDES
from ladderfe.chassis.uses import ACROSS, ALONG
from ladderfe.chassis.usual import Unusual
from ladderfe.sections import Shape
from ladderfe.units import G, kilograms

__all__ = ["unusual_loads"]

Found = Iterator[Unusual]


def unusual_loads(chassis: Chassis) -> Found:
    """Axles, listed masses, what they leave for the rest."""
    if min(a.load for a in chassis.axles) <= 0:  # made in Python, without weight: nothing to compare with
        return
    yield from _vehicle(chassis)
    assumed = {a.key for a in chassis.assumptions}
    for axle in chassis.axles:
        given = {f.name for f in fields(Axle) if f"axles.{axle.name}.{f.name}" not in assumed}
        given |= {"eyes"} - {k.rsplit(".", 1)[1] for k in assumed if k.startswith(f"axles.{axle.name}.")}
        given -= {"wheel_loads"} if "axles.left_share" in assumed else set()
        yield from _axle(axle, given)
        yield from _stops(axle, given)
    for mount in chassis.mounts:
        yield from _mount(mount)
    for mass in chassis.masses:
        yield from _mass(chassis, mass)
        yield from _contents(mass)
    yield from _shares(chassis)
    yield from _body(chassis)


def _vehicle(chassis: Chassis) -> Found:
    front, rear = chassis.axles
    base = rear.station - front.station
    yield from usual.WHEELBASE.look("wheelbase", base)
    first, last = min(r.start for r in chassis.rails), max(r.end for r in chassis.rails)
    yield from usual.FRONT_OVERHANG.of(base).look("rails ahead of the front axle", front.station - first)
    yield from usual.REAR_OVERHANG.of(base).look("rails behind the rear axle", last - rear.station)
    part = 100 * front.load / (front.load + rear.load)
    if all(_is_usual(usual.AXLE_LOAD, kilograms(a.load)) for a in chassis.axles):
        yield from usual.FRONT_PART.look("front axle, part of the whole weight", part)


def _is_usual(range_: usual.Usual, value: float) -> bool:
    return range_.low <= value <= range_.high


def _axle(axle: Axle, given: set[str]) -> Found:
    where = f"{axle.name} axle"
    yield from usual.AXLE_LOAD.look(f"{where}, load", kilograms(axle.load))
    yield from usual.TRACK.look(f"{where}, track", axle.track)
    if axle.wheel_loads and "wheel_loads" in given:
        left, right = axle.wheel_loads
        yield from usual.LEFT_PART.look(f"{where}, part on the left wheel", 100 * left / (left + right))
    if "unsprung" in given:
        by_itself = list(usual.UNSPRUNG.look(f"{where}, unsprung", kilograms(axle.unsprung)))
        part = 100 * axle.unsprung / axle.load
        yield from by_itself or usual.UNSPRUNG_PART.look(f"{where}, unsprung as a part of its load", part)
    if "spring_base" in given:
        yield from usual.SPRING_BASE.of(axle.track).look(f"{where}, spring_base", axle.spring_base)
    if len(axle.seats) == 2 and "eyes" in given:
        yield from usual.EYES.look(f"{where}, from eye to eye", axle.seats[1][0] - axle.seats[0][0])
    if "rate" in given:
        force = (axle.load - axle.unsprung) * G / 2
        range_ = usual.SINKING.of(force / axle.motion_ratio**2)
        yield from range_.look(f"{where}, rate (sinks {_sinks(axle, force):.3g} mm under its load)", axle.rate)


def _sinks(axle: Axle, force: float) -> float:
    return force / axle.rate / axle.motion_ratio**2


def _stops(axle: Axle, given: set[str]) -> Found:
    where = f"{axle.name} axle"
    for key, value, none, range_ in (
        ("motion_ratio", axle.motion_ratio, 1.0, usual.MOTION),
        ("anti_roll", axle.anti_roll / 1e6, 0.0, usual.ANTI_ROLL),
        ("bump_gap", axle.bump_gap, inf, usual.BUMP_GAP),
        ("bump_rate", axle.bump_rate, None, usual.BUMP_RATE),
        ("droop", axle.droop, inf, usual.DROOP),
        ("strap_rate", axle.strap_rate, None, usual.STRAP_RATE),
        ("tyre_rate", axle.tyre_rate, None, usual.TYRE_RATE),
    ):
        if key in given and value is not None and value not in (none, inf):
            yield from range_.look(f"{where}, {key}", value)


def _mass(chassis: Chassis, mass: Mass) -> Found:
    where, weighed = called("mass", mass.name), kilograms(sum(a.load for a in chassis.axles))
    range_ = usual.ABOARD if mass.aboard else usual.ADDED
    yield from replace(range_, high=range_.high * weighed).look(where, kilograms(mass.mass))
    station, y, height = mass.centre
    first, last = min(r.start for r in chassis.rails), max(r.end for r in chassis.rails)
    yield from usual.BEYOND.look(f"{where}, beyond the rails' end by", max(first - station, station - last))
    yield from usual.ASIDE.look(f"{where}, from the centre line", y)
    level = sum(along(r, station).height for r in chassis.rails) / 2
    yield from usual.ABOVE.look(f"{where}, above the rails' middle", height - level)
    if 0 < height < usual.HEIGHT.low:
        yield from usual.HEIGHT.look(f"{where}, height", height)


def _mount(mount: Mount) -> Found:
    if mount.rates is None:
        return
    where, (along, across, rate) = called("mount", mount.name), mount.rates
    yield from usual.MOUNT_RATE.look(f"{where}, rate", rate)
    for word, value in (("along", along), ("sideways", across)):
        yield from usual.LEVEL_RATE.of(rate).look(f"{where}, rate_{word}", value)


def _contents(mass: Mass) -> Found:
    where = called("mass", mass.name)
    if mass.people:
        yield from usual.PEOPLE.look(f"{where}, people", mass.people)
    if mass.litres:
        yield from usual.LITRES.look(f"{where}, litres in it", mass.litres)
    if mass.spread:
        start, end = mass.spread
        range_ = usual.OFF_MIDDLE.of(end - start)
        yield from range_.look(f"{where}, centre behind the middle of its spread", mass.centre[0] - (start + end) / 2)


def _shares(chassis: Chassis) -> Found:
    """The frame's own mass and the rest that is not listed, as parts of all that was weighed."""
    weighed = sum(a.load for a in chassis.axles)
    steel = [(volume * chassis.material.density, height) for volume, height in _steel(chassis)]
    frame = sum(mass for mass, _ in steel)
    if frame:
        yield from usual.FRAME_PART.look("frame itself, part of the whole weight", 100 * frame / weighed)
    rest = weighed - frame - sum(a.unsprung for a in chassis.axles) - sum(m.mass for m in chassis.masses if m.aboard)
    part = 100 * rest / weighed
    yield from usual.REST_PART.look("rest that is not listed, part of the whole weight", part)
    if _is_usual(usual.REST_PART, part) and _height_counts(chassis):
        where = "rest that is not listed, its centre above the rails' middle"
        known = [*steel, *((a.unsprung, a.tyre_radius + chassis.ground) for a in chassis.axles)]
        known += [(m.mass, m.centre[2]) for m in chassis.masses if m.aboard]
        moment = weighed * (chassis.centre_height + chassis.ground) - sum(mass * z for mass, z in known)
        yield from usual.REST_HEIGHT.look(where, moment / rest - level_between_axles(chassis))


def _height_counts(chassis: Chassis) -> bool:
    """Whether the height of the centre of gravity was stated and some case has a use for it."""
    stated = all(a.key != "centre_of_gravity" for a in chassis.assumptions)
    level = any(c.kind in ALONG | ACROSS or any(x or y for _, (x, y, _) in c.forces) for c in chassis.cases)
    return stated and level


def _steel(chassis: Chassis) -> list[tuple[float, float]]:
    """Volumes of the frame's steel, mm3, and the heights of their middles; crossmembers from rail face to rail face."""
    parts = [piece for rail in chassis.rails for span in rail.spans for piece in _span(rail, span)]
    parts += [(_crossmember(chassis, c), (c.height_left + c.height_right) / 2) for c in chassis.crossmembers]
    return parts + [(o.length * _metal(o.shape, CROSS_SIDES), o.height) for o in chassis.outriggers]


def _span(rail: Rail, span: Span) -> list[tuple[float, float]]:
    """Volumes and heights between the points of the rail's path; a taper by the mean of its ends."""
    stations = {span.start, span.end, *(p.station for p in rail.path if span.start < p.station < span.end)}
    points = [(p.station, p.half_spacing, p.height) for p in (along(rail, x) for x in sorted(stations))]
    area = sum(_metal(shape, SIDES[rail.side]) for shape in (span.shape, span.shape_end or span.shape)) / 2
    return [(area * dist(a, b), (a[2] + b[2]) / 2) for a, b in pairwise(points)]


def _crossmember(chassis: Chassis, c: Crossmember) -> float:
    """Volume, mm3."""
    left, right = chassis.rails
    ends = (-along(left, c.station_left).half_spacing, along(right, c.station_right).half_spacing)
    line = [(ends[0], c.height_left), *c.via, (ends[1], c.height_right)]
    across = sum(dist(a, b) for a, b in pairwise(line))
    slant = hypot(1.0, (c.station_right - c.station_left) / (ends[1] - ends[0]))
    return _metal(c.shape, CROSS_SIDES) * max(across * slant - right.spans[0].shape.width, 0.0)


def _metal(shape: Shape, sides: tuple[str, str]) -> float:
    """Area of a section's steel, mm2, as mid-lines times thickness."""
    return sum(dist(w.start, w.end) * w.thickness for w in shape.section(sides).walls)


def _body(chassis: Chassis) -> Found:
    body, rail = chassis.body, chassis.rails[0]
    part = 100 * (body.end - body.start) / (rail.end - rail.start)
    yield from usual.BODY_PART.look("body, part of the rails' length", part)
    yield from usual.BODY_OFFSET.look("body, offset", body.y)
