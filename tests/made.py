"""Plain chassis for the tests, made from the frozen types: two rails, crossmembers, two axles, and whatever is added.

Reached through the fixture `made` (tests/conftest.py).  mm, t, MPa.
"""

from __future__ import annotations

from dataclasses import replace

from ladderfe.chassis import (
    Axle,
    Body,
    CaseSpec,
    Chassis,
    Criteria,
    Crossmember,
    Joint,
    Mass,
    Material,
    Mount,
    Outrigger,
    PathPoint,
    Rail,
    Span,
)
from ladderfe.sections import Box, Channel, Flat, Tube

STEEL = Material()
WEIGHTLESS = replace(STEEL, density=0.0)
LENGTH, HALF = 4000.0, 400.0
FRONT, REAR = 700.0, 3300.0

STATIC = CaseSpec(name="static", kind="static")
TWICE = CaseSpec(name="twice", kind="amplified", factor=2.0)


def box(depth: float, width: float, wall: float, **walls: float) -> Box:
    """A box; single walls by name."""
    return Box(**{"depth": depth, "width": width} | dict.fromkeys(("top", "bottom", "minus", "plus"), wall) | walls)


RAIL = box(150, 75, 2)
CROSS = box(80, 60, 2)


def channel(depth: float, width: float, wall: float, opens: str) -> Channel:
    return Channel(depth=depth, width=width, web=wall, top=wall, bottom=wall, opens=opens)


def rail(side: str, shape=RAIL, *, path=None, spans=None) -> Rail:
    """A rail; straight and level with one shape unless told otherwise.  Path: (station, half spacing, height)."""
    points = tuple(PathPoint(*p) for p in path or ((0, HALF, 0), (LENGTH, HALF, 0)))
    spans = spans or (Span(start=points[0].station, end=points[-1].station, shape=shape),)
    if side == "left":
        spans = tuple(s.mirrored() for s in spans)
    return Rail(side=side, path=points, spans=spans)


def rails(shape=RAIL, **more) -> tuple[Rail, Rail]:
    return rail("left", shape, **more), rail("right", shape, **more)


def sprung(**stiffness: float) -> Joint:
    """A joint as given by the user: these stiffnesses, rigid otherwise."""
    return Joint(stiffness=tuple(stiffness.get(m, float("inf")) for m in ("x", "y", "z", "rx", "ry", "rz")), given=True)


RIGID = sprung()


def cross(name: str, station: float, shape=CROSS, *, height=0.0, right=None, height_right=None, **more) -> Crossmember:
    """A crossmember with rigid joints unless told otherwise."""
    return Crossmember(
        name=name,
        station_left=station,
        station_right=station if right is None else right,
        height_left=height,
        height_right=height if height_right is None else height_right,
        shape=shape,
        **({"joint_left": RIGID, "joint_right": RIGID} | more),
    )


def outrigger(name: str, side: str, station: float, length: float, height: float = 0.0, shape=CROSS) -> Outrigger:
    """A rigidly joined outrigger."""
    return Outrigger(name=name, side=side, station=station, length=length, height=height, shape=shape, joint=RIGID)


LADDER = tuple(cross(name, x) for name, x in (("front", 100.0), ("middle", 1900.0), ("rear", 3900.0)))


def axle(name: str, station: float, load: float = 0.9, **more) -> Axle:
    usual = {"unsprung": 0.15, "track": 1480.0, "spring_base": 2 * HALF, "rate": 30.0, "seats": ((station, 1.0),)}
    return Axle(name=name, station=station, load=load, **(usual | more))


AXLES = (axle("front", FRONT), axle("rear", REAR))


def mount(name: str, part: str, station: float, y: float, height: float = 0.0) -> Mount:
    return Mount(name=name, part=part, station=station, y=y, height=height)


def mass(name: str, size: float, centre, mounts, aboard: bool = True) -> Mass:
    return Mass(name=name, mass=size, centre=tuple(map(float, centre)), mounts=tuple(mounts), aboard=aboard)


def chassis(**changes) -> Chassis:
    """The plain ladder with some of its fields changed."""
    usual = {
        "title": "plain ladder", "rails": rails(), "crossmembers": LADDER, "outriggers": (), "mounts": (),
        "axles": AXLES, "masses": (), "body": Body(start=0.0, end=LENGTH, split=LENGTH / 2), "material": STEEL,
        "cases": (STATIC, TWICE), "criteria": Criteria(),
    }  # fmt: skip
    return Chassis(**(usual | changes))


def free(*motions: str) -> Joint:
    """A joint that is released in some of x y z rx ry rz and rigid in the others."""
    return sprung(**dict.fromkeys(motions, 0.0))


def worked_chassis(*cases: CaseSpec, **changes) -> Chassis:
    """The plain ladder with a coupling, a winch, four pads and straps, for cases of the road and the workshop."""
    pads = tuple(
        mount(f"{end} {side} pad", f"{side} rail", x, sign * HALF, -75.0)
        for end, x in (("front", 900.0), ("rear", 3000.0))
        for side, sign in (("left", -1), ("right", 1))
    )
    places = (*pads, mount("ball", "rear", 3900.0, 0.0), mount("winch", "front", 100.0, 0.0))
    strapped = tuple(replace(a, droop=110.0) for a in AXLES)
    return chassis(cases=cases or every_case(), **({"mounts": places, "axles": strapped} | changes))


PADS = tuple(f"{end} {side} pad" for end in ("front", "rear") for side in ("left", "right"))


def every_case() -> tuple[CaseSpec, ...]:
    """One case of every kind and some more, as a file for a vehicle that tows and winches has them."""
    def c(name: str, kind: str, **more) -> CaseSpec:
        return CaseSpec(name=name, kind=kind, **more)

    return (
        STATIC,
        c("amplified", "amplified", factor=2.0),
        c("front axle bounce", "bounce", axle="front", factor=2.5),
        c("rear axle bounce", "bounce", axle="rear", factor=2.5),
        c("one wheel bump, front left", "one wheel bump", wheels=("front left",), factor=1.3),
        c("one wheel bump, front right", "one wheel bump", wheels=("front right",), factor=1.3),
        c("cross-axle, front left up", "cross-axle", wheels=("front left", "rear right"), height=200.0),
        c("cornering left", "cornering", side="left", acceleration=3.0),
        c("cornering right", "cornering", side="right", acceleration=0.5),
        c("braking", "braking", acceleration=1.1),
        c("drive-off", "drive-off", acceleration=0.5, axle="rear"),
        c("pothole", "pothole", factor=4.5, wheels=("front left",), height=185.0),
        c("kerb strike", "kerb strike", factor=1.4, axle="front", side="right"),
        c("nose weight", "nose weight", at=("ball",), mass=0.08, factor=2.5),
        c("drawbar pull", "drawbar pull", at=("ball",), force=9000.0),
        c("winch, straight", "winch", at=("winch",), force=36_000.0),
        c("winch, 30 degrees right", "winch", at=("winch",), force=36_000.0, angle=30.0, against="dug in"),
        c("recovery", "recovery", at=("winch",), force=36_000.0, angle=15.0, against="inertia"),
        c("jack", "jack", at=(PADS[0],), factor=1.1),
        c("two-post lift", "two-post lift", at=PADS, factor=1.1),
        c("stands, one low", "stands", at=PADS, heights=((PADS[0], -40.0),)),
        c("rear overhang whip", "rear overhang whip", factor=3.5, at=("ball",), mass=0.08),
        c("braking in a bend", "combination", of=(("braking", 0.5), ("cornering right", 1.0))),
    )


__all__ = [
    "AXLES", "CROSS", "FRONT", "HALF", "LADDER", "LENGTH", "PADS", "RAIL", "REAR", "STATIC", "STEEL", "TWICE",
    "WEIGHTLESS", "Body", "CaseSpec", "Criteria", "Flat", "Span", "Tube", "axle", "box", "channel", "chassis", "cross",
    "every_case", "free", "mass", "mount", "outrigger", "rail", "rails", "sprung", "worked_chassis",
]  # fmt: skip
