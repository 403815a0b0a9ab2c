"""The residual: what was weighed and is not listed, as line loads on the rails that reproduce the scales."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.types import Carried, LineMass
from ladderfe.cases.weighed import roll_moment, sprung_loads
from ladderfe.chassis import Chassis, Mass, Side
from ladderfe.errors import ModelError

__all__ = ["carried_masses"]

Array = NDArray[np.float64]
#: Part of the mean line load by which one may come out below nothing: rounding of the weights, not a light end.
ROUNDING = 1e-9
#: Name, start, end, size at the start, size at the end of a unit shape.
_Part = tuple[str, float, float, float, float]

# two Gauss points, both of weight 1: exact for linear mass x linear y x linear lever, which is of degree 3
_GAUSS = np.array([-1, 1]) / np.sqrt(3)


class _Line(NamedTuple):
    """What a pattern needs of a rail: path of stations and half spacings, mm."""

    side: Side
    sign: int
    path: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class _Pattern:
    """A line mass of unit size: linear from `start` to `end`, with its part on the front and rear axle by the lever
    rule, and the same times y."""

    line: LineMass
    effect: Array  # front, rear, front x y, rear x y


def carried_masses(
    chassis: Chassis, frame_mass: float, frame_centre: tuple[float, float, float], frame_product: float | None = None
) -> Carried:
    """Residual line masses and listed masses.

    Residual = weighed axle loads - unsprung - listed masses that were aboard - the frame's own mass (t, centre in
    mm, sum of mass x station x y; as if in one point if None).  Sum and moment give two unknowns: uniform line masses
    in front of and behind the split (default) or one varying linearly.  With wheel loads weighed left and right differ
    so that the roll moment of each axle is met too; otherwise both rails carry the same.

    Raises
    ------
    ModelError where a line mass comes out negative: the light end and the masses responsible are named; and where the
    wheels of one axle only were weighed.
    """
    x, y, _ = frame_centre
    wanted = _wanted(chassis, frame_mass, frame_centre, frame_mass * x * y if frame_product is None else frame_product)
    sided = _sided(chassis)
    stations = _axle_stations(chassis)
    lines = [_Line(r.side, r.sign, tuple((p.station, p.half_spacing) for p in r.path)) for r in chassis.rails]
    patterns = [[_pattern(r, part, chassis.body.y, stations) for r in lines] for part in _parts(chassis)]
    if sided:
        flat = [p for pair in patterns for p in pair]
        size = np.linalg.solve(np.stack([p.effect for p in flat], axis=1), wanted)
    else:
        both = np.stack([sum(p.effect[:2] for p in pair) for pair in patterns], axis=1)
        flat = [p for pair in patterns for p in pair]
        size = np.repeat(np.linalg.solve(both, wanted[:2]), 2)
    found = _collect(chassis, [(p.line, float(q)) for p, q in zip(flat, size, strict=True)])
    _refuse_negative(chassis, found, frame_mass)
    height = _height(chassis, sum(line.mass for line in found), frame_mass * frame_centre[2])
    return Carried(lines=tuple(replace(line, height=height) for line in found), masses=chassis.masses)


def _height(chassis: Chassis, residual: float, frame_moment: float) -> float:
    """Height of the residual's centre so that the whole vehicle, as weighed, has the centre of gravity it is said to
    have; mm.  residual in t, frame_moment in t mm."""
    whole = sum(a.load for a in chassis.axles) * (chassis.centre_height + chassis.ground)
    known = frame_moment + sum(m.mass * m.centre[2] for m in chassis.masses if m.aboard)
    known += sum(a.unsprung * (a.tyre_radius + chassis.ground) for a in chassis.axles)
    return (whole - known) / residual if residual > 0 else 0.0


def _sided(chassis: Chassis) -> bool:
    """True where wheel loads were weighed; ModelError where those of one axle only."""
    weighed = [a for a in chassis.axles if a.wheel_loads is not None]
    if len(weighed) == 1:
        other = next(a for a in chassis.axles if a.wheel_loads is None)
        raise ModelError(
            f"{other.name} axle",
            f"its two sides were not weighed, those of the {weighed[0].name} axle were",
            "Give wheel_loads for both axles or for neither",
        )
    return bool(weighed)


def _axle_stations(chassis: Chassis) -> tuple[float, float]:
    front, rear = chassis.axles
    return front.station, rear.station


def _lever(axles: tuple[float, float], x: Any) -> tuple[Any, Any]:
    """Shares of a mass at station x (a number or an array) that the front and rear axle at two stations carry."""
    a, b = axles
    return (b - x) / (b - a), (x - a) / (b - a)


def _wanted(
    chassis: Chassis, frame_mass: float, centre: tuple[float, float, float], frame_product: float
) -> Array:
    """Front and rear sprung mass, t, and their roll moments, t mm, that the residual must bring."""
    out = np.array([*sprung_loads(chassis), *(roll_moment(a) or 0.0 for a in chassis.axles)])
    known = [(m.mass, m.centre, m.mass * m.centre[0] * m.centre[1]) for m in chassis.masses if m.aboard]
    a, b = stations = _axle_stations(chassis)
    for mass, (x, y, _), product in [*known, (frame_mass, centre, frame_product)]:
        front, rear = _lever(stations, x)
        lean = np.array([b * mass * y - product, product - a * mass * y]) / (b - a)  # sum of mass x lever x y
        out -= np.array([mass * front, mass * rear, *lean])
    return out


def _parts(chassis: Chassis) -> list[_Part]:
    """The two unit shapes."""
    b = chassis.body
    if b.distribution == "linear":
        return [("body, front end", b.start, b.end, 1.0, 0.0), ("body, rear end", b.start, b.end, 0.0, 1.0)]
    return [("body, front part", b.start, b.split, 1.0, 1.0), ("body, rear part", b.split, b.end, 1.0, 1.0)]


@lru_cache(maxsize=256)
def _pattern(rail: _Line, part: _Part, outward: float, axles: tuple[float, float]) -> _Pattern:
    """A unit shape on a rail, kept for the next chassis that differs elsewhere."""
    name, start, end, p, q = part
    line = LineMass(name=name, side=rail.side, start=start, end=end, at_start=p, at_end=q, outward=outward)
    knots = sorted({start, end, *(s for s, _ in rail.path if start < s < end)})
    effect = np.zeros(4)
    for a, b in itertools.pairwise(knots):
        x = (a + b) / 2 + _GAUSS * (b - a) / 2
        mass = (b - a) / 2 * (p + (q - p) * (x - start) / (end - start))
        station, y = _acts_at(rail, a, b, x, outward)
        front, rear = _lever(axles, station)
        effect += np.stack([front, rear, front * y, rear * y]) @ mass
    effect.setflags(write=False)
    return _Pattern(line, effect)


def _acts_at(rail: _Line, a: float, b: float, x: Array, outward: float) -> tuple[Array, Array]:
    """Station and y of what belongs to the stations x between the knots a and b and acts `outward`, square to it."""
    path = [x for x, _ in rail.path], [half for _, half in rail.path]
    spread = float(np.diff(np.interp([a, b], *path))[0]) / (b - a)
    size = np.hypot(1.0, spread)
    return x - outward * spread / size, rail.sign * (np.interp(x, *path) + outward / size)


def _collect(chassis: Chassis, scaled: list[tuple[LineMass, float]]) -> tuple[LineMass, ...]:
    """Unit shapes times their sizes; the two halves of a linear load become one line."""
    if chassis.body.distribution != "linear":
        return tuple(_scaled(line, line.name, q * line.at_start, q * line.at_end) for line, q in scaled)
    out = []
    for side in ("left", "right"):
        (a, p), (_, q) = [s for s in scaled if s[0].side == side]
        out.append(_scaled(a, "body", p, q))
    return tuple(out)


def _scaled(line: LineMass, name: str, at_start: float, at_end: float) -> LineMass:
    return LineMass(
        name=name,
        side=line.side,
        start=line.start,
        end=line.end,
        at_start=at_start,
        at_end=at_end,
        outward=line.outward,
    )


def _refuse_negative(chassis: Chassis, lines: tuple[LineMass, ...], frame_mass: float) -> None:
    ends = [(line.at_start, line.start, line) for line in lines] + [(line.at_end, line.end, line) for line in lines]
    worst, station, line = min(ends, key=lambda e: e[0])
    mean = sum(line.mass for line in lines) / sum(line.end - line.start for line in lines)
    if worst >= -ROUNDING * abs(mean):
        return
    middle = sum(a.station for a in chassis.axles) / 2
    end = (
        "front"
        if (line.start + line.end) / 2 < middle or (chassis.body.distribution == "linear" and station < middle)
        else "rear"
    )
    blamed = _responsible(chassis, end, middle)
    listed = ", ".join(f"{m.name} {m.mass * 1000:.0f} kg" for m in blamed) or "none listed there"
    weighed = " and ".join(f"{a.name} {a.load * 1000:g} kg" for a in chassis.axles)
    raise ModelError(
        f"body line load, {line.side} rail",
        f"comes out negative ({worst * 1e6:.0f} kg/m) at the {end}: that end was weighed too light for the masses "
        f"listed there ({listed}), its unsprung mass and the frame itself ({frame_mass * 1000:.0f} kg in all), or the "
        "other end too heavy",
        f"Check the weighed loads of both axles ({weighed}), which masses were aboard, their places and the "
        "unsprung mass",
    )


def _responsible(chassis: Chassis, end: str, middle: float) -> list[Mass]:
    """Listed masses aboard at the light end, heaviest first."""
    there = [m for m in chassis.masses if m.aboard and (m.centre[0] < middle) == (end == "front")]
    return sorted(there, key=lambda m: -m.mass)[:4]
