"""Where forces beside those of the springs enter the frame: links, eyes, track bars, dampers, stops, pulls at mounts.

An axle is a rigid body: what the ground and its own inertia do to it in plan leaves it through its links,

    fore-aft   X  left and right, at the eye, arm or pivots, height z_l
    side       Y  at the track bar's bracket, or at eyes or pivots of both sides, height z_s (the roll centre)
    wind-up    C  couple about y of ground forces and inertia about the height z_l

    yaw        N  couple about z of an independent wheel's forces about its pivots
    roll       M  couple about x of its side forces about the height z_s

and C reaches the frame as a couple of forces: between the two eyes of a leaf spring, or between the pivot of an arm and
the axle itself, whose spring then carries less or more (the lever of the arm); pivots of independent wheels take it as
a couple.  Equilibrium alone; springs and arms of both sides share C of a beam axle equally.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np

from ladderfe.cases.suspension import Seat
from ladderfe.cases.types import LoadCase
from ladderfe.chassis import Axle, Chassis, Links, Rail

__all__ = ["WAYS", "axle_entries", "links_of", "pull_entries", "pull_name"]

SIDES = (("left", -1), ("right", 1))
#: Directions of the vehicle by letter.
WAYS = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
Wrench = tuple[float, ...]


def links_of(axle: Axle, rails: Sequence[Rail]) -> Links:
    """The axle's links; where none are given, eyes, seats or pivots at the height of the rail's axis."""
    if axle.links is not None:
        return axle.links
    station = axle.seats[0][0]
    height = _height(rails[0], station)
    kind = "eyes" if axle.kind == "beam" else "pivots"
    return Links(kind=kind, station=station, spacing=axle.spring_base, height=height, side_height=height)  # type: ignore[arg-type]


def _height(rail: Rail, station: float) -> float:
    return float(np.interp(station, [p.station for p in rail.path], [p.height for p in rail.path]))


def axle_entries(chassis: Chassis) -> tuple[Seat, ...]:
    """Entries of both axles, each for a unit force (N) or couple (N mm) on the frame."""
    return tuple(e for axle in chassis.axles for e in _of_axle(axle, chassis.rails))


@lru_cache(maxsize=64)
def _of_axle(axle: Axle, rails: tuple[Rail, ...]) -> list[Seat]:
    links = links_of(axle, rails)
    out = [Seat(name=f"{axle.name} fore-aft {side}", places=_fore_aft(axle, links, rails, side)) for side, _ in SIDES]
    if links.side_station is not None:
        out.append(Seat(name=f"{axle.name} side", places=((axle.track_bar_name, (0.0, 1.0, 0.0, 0.0, 0.0, 0.0)),)))
    else:
        out += [Seat(name=f"{axle.name} side {side}", places=_sideways(axle, links, rails, side)) for side, _ in SIDES]
    out += [Seat(name=f"{axle.name} wind-up {side}", places=_wind_up(axle, links, side)) for side, _ in SIDES]
    if axle.kind == "independent":
        out += [Seat(name=f"{axle.name} yaw {s}", places=_couple(axle, s, (0.0, 0.0, 1.0))) for s, _ in SIDES]
        out += [Seat(name=f"{axle.name} roll {s}", places=_couple(axle, s, (1.0, 0.0, 0.0))) for s, _ in SIDES]
    out += [Seat(name=f"{axle.name} stop {side}", places=_stop(axle, side, sign)) for side, sign in SIDES]
    if axle.damper is not None:
        out += [Seat(name=f"{axle.name} damper {side}", places=_damper(axle, side, sign)) for side, sign in SIDES]
    return out


def _couple(axle: Axle, side: str, about: tuple[float, float, float]) -> tuple[tuple[str, Wrench], ...]:
    """A couple (per unit force or of 1) of an independent wheel's arm on its pivots."""
    if axle.links is not None:
        return ((axle.arm_name(side), (0.0, 0.0, 0.0, *about)),)
    parts = ((k, tuple(share * v for v in about)) for k, (_, share) in enumerate(axle.seats))
    return tuple((axle.seat_name(side, k), (0.0, 0.0, 0.0, *couple)) for k, couple in parts)


def _stop(axle: Axle, side: str, sign: int) -> tuple[tuple[str, Wrench], ...]:
    """A force above the spring; of an independent wheel with the couple that brings it there from the wheel."""
    out = sign * (axle.track - axle.spring_base) / 2 if axle.kind == "independent" else 0.0
    return ((axle.stop_name(side), (0.0, 0.0, 1.0, out, 0.0, 0.0)),)


def _damper(axle: Axle, side: str, sign: int) -> tuple[tuple[str, Wrench], ...]:
    """A force at the upper bracket; of an independent wheel with the couple that brings it there across the vehicle."""
    up = ((axle.damper_name(side), (0.0, 0.0, 1.0, 0.0, 0.0, 0.0)),)
    if axle.kind == "beam" or axle.damper is None:
        return up
    return (*up, *_couple(axle, side, (sign * (axle.track - axle.damper.spacing) / 2, 0.0, 0.0)))


def _seat(axle: Axle, rails: Sequence[Rail], side: str, k: int, force: tuple[float, float, float], height: float,
          y: float | None = None) -> tuple[str, Wrench]:  # fmt: skip
    """A force at the station of seat k at another height (and y), as a wrench at the seat."""
    sign = -1 if side == "left" else 1
    rail = next(r for r in rails if r.side == side)
    aside = 0.0 if y is None else y - sign * axle.spring_base / 2
    arm = np.array([0.0, aside, height - _height(rail, axle.seats[k][0])])
    return axle.seat_name(side, k), (*force, *(float(v) for v in np.cross(arm, force)))


def _fore_aft(axle: Axle, links: Links, rails: Sequence[Rail], side: str) -> tuple[tuple[str, Wrench], ...]:
    if axle.links is None or links.kind == "eyes":
        k = int(np.argmin([abs(s - links.station) for s, _ in axle.seats]))
        y = (-1 if side == "left" else 1) * links.spacing / 2
        return (_seat(axle, rails, side, k, (1.0, 0.0, 0.0), links.height, y),)
    return ((axle.arm_name(side), (1.0, 0.0, 0.0, 0.0, 0.0, 0.0)),)


def _sideways(axle: Axle, links: Links, rails: Sequence[Rail], side: str) -> tuple[tuple[str, Wrench], ...]:
    if axle.links is not None and links.kind == "pivots":
        return ((axle.arm_name(side), (0.0, 1.0, 0.0, links.height - links.side_height, 0.0, 0.0)),)
    return tuple(
        _seat(axle, rails, side, k, (0.0, share, 0.0), links.side_height) for k, (_, share) in enumerate(axle.seats)
    )


def _wind_up(axle: Axle, links: Links, side: str) -> tuple[tuple[str, Wrench], ...]:
    """What a unit couple about y on the axle does to the frame; of arms the pivot's part alone."""
    if axle.links is not None and links.kind == "arms":
        return ((axle.arm_name(side), (0.0, 0.0, 1 / (axle.station - links.station), 0.0, 0.0, 0.0)),)
    if axle.links is not None and links.kind == "pivots":
        return ((axle.arm_name(side), (0.0, 0.0, 0.0, 0.0, 1.0, 0.0)),)
    if len(axle.seats) > 1:
        lift = 1 / (axle.seats[1][0] - axle.seats[0][0])
        return tuple((axle.seat_name(side, k), (0.0, 0.0, f, 0.0, 0.0, 0.0)) for k, f in enumerate((lift, -lift)))
    return ((axle.seat_name(side, 0), (0.0, 0.0, 0.0, 0.0, 1.0, 0.0)),)


def pull_name(place: str, way: str) -> str:
    """Name of the entry of a pull at a mount."""
    return f"{place}, along {way}"


def pull_entries(cases: Iterable[LoadCase]) -> tuple[Seat, ...]:
    """Unit forces along x, y and z at every mount that some case pulls, presses or hangs something on."""
    used = dict.fromkeys(
        (place, way)
        for case in cases
        for place, force in case.at_mounts()
        for way, part in zip(WAYS, force, strict=True)
        if part
    )
    return tuple(Seat(name=pull_name(p, w), places=((p, (*WAYS[w], 0.0, 0.0, 0.0)),)) for p, w in used)
