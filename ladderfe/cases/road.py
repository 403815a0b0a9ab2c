"""What the road asks: turning, braking, driving off, a step under one wheel, a kerb from the side, a bounce that whips
the overhang."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

from ladderfe.cases.types import GRAVITY, LoadCase, Push
from ladderfe.chassis import Axle, CaseSpec, Chassis

__all__ = ["KINDS", "rise"]

TURN = "m a at the centre of gravity, balanced by the tyres; load transfer from springs, bars, roll centres and frame"
STOP = "m a at the centre of gravity, balanced by the tyres in proportion to their loads"


def _cornering(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    sense = -1.0 if spec.side == "left" else 1.0
    about = f"turning {spec.side} at {spec.acceleration:g} g or until it tips over"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=about, source=TURN,
        acceleration=(0.0, sense * spec.acceleration * GRAVITY),
    )  # fmt: skip


def _braking(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    about = f"slowing down by {spec.acceleration:g} g on both axles"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=about, source=STOP, acceleration=(spec.acceleration * GRAVITY, 0.0)
    )


def _drive_off(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    driven = ("front", "rear") if spec.axle == "both" else (spec.axle,)
    about = f"speeding up by {spec.acceleration:g} g, {' and '.join(driven)} wheels driven"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=about, source=STOP, acceleration=(-spec.acceleration * GRAVITY, 0.0),
        holds=driven,
    )  # fmt: skip


def _axle(chassis: Chassis, name: str) -> Axle:
    return next(a for a in chassis.axles if a.name == name)


def rise(step: float, radius: float) -> float:
    """Upward over rearward force of an edge on a wheel of that radius (mm): it acts through the wheel's centre; a step
    higher than that is met by its upright face, straight from ahead."""
    if step >= radius:
        return 0.0
    return (radius - step) / sqrt(radius**2 - (radius - step) ** 2)


def _pothole(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    wheel = spec.wheels[0]
    up = rise(spec.height, _axle(chassis, wheel.split()[0]).tyre_radius)
    back = spec.factor
    how = f"{back:g} times its load rearward, {back * up:.3g} upward"
    about = f"{wheel} wheel against a step of {spec.height:g} mm: {how}"
    source = "through the wheel's centre, balanced by inertia; factor: course text on loads on vehicle structures"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=about, source=source, static_factors=(("front", 1.0), ("rear", 1.0)),
        pushes=(Push(wheel=wheel, of=wheel, x=back, z=back * up, hub=True),),
    )  # fmt: skip


def _kerb(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    """The wheels of one side stand against a kerb: they carry their axles' whole load, and a side force of
    factor x load x track / (2 h) each axle, h the height of the laden vehicle's centre of gravity."""
    hit = [a for a in chassis.axles if spec.axle in ("both", a.name)]
    inward = 1.0 if spec.side == "left" else -1.0
    other = "right" if spec.side == "left" else "left"
    pushes = []
    for a in hit:
        near, far = f"{a.name} {spec.side}", f"{a.name} {other}"
        pushes += [
            Push(wheel=near, of=a.name, tip=inward * spec.factor),
            Push(wheel=near, of=far, z=1.0),
            Push(wheel=far, of=far, z=-1.0),
        ]
    wheels = f"{' and '.join(a.name for a in hit)} {spec.side}"
    about = f"{wheels} against a kerb: {spec.factor:g} times the side force that tips it over, balanced by inertia"
    source = "load x track / 2h on the wheels that hit; factor: course text on loads on vehicle structures"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=about, source=source, static_factors=(("front", 1.0), ("rear", 1.0)),
        pushes=tuple(pushes),
    )  # fmt: skip


def _whip(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    """The rear axle strikes its stops: what comes beside the static force enters above the axle, not at the eyes.  The
    static force is that of the laden vehicle with the nose weight."""
    hung = ((spec.at[0], spec.mass),) if spec.at and spec.mass else ()
    load = f" with {spec.mass * 1000:g} kg at {spec.at[0]}" if hung else ""
    return LoadCase(
        name=spec.name,
        kind=spec.kind,
        about=f"rear axle on its stops at {spec.factor:g} times its static force{load}, balanced by inertia",
        source="factor assumed, no published one",
        static_factors=(("front", 1.0), ("rear", 1.0)),
        stop_factors=(("rear", spec.factor - 1.0),),
        hung=hung,
    )


KINDS: dict[str, Callable[[Chassis, CaseSpec], LoadCase]] = {
    "cornering": _cornering,
    "braking": _braking,
    "drive-off": _drive_off,
    "pothole": _pothole,
    "kerb strike": _kerb,
    "rear overhang whip": _whip,
}
