"""Load cases as asked for in the chassis file -> what they apply (`LoadCase`): the vertical ones here, the others in
cases/road.py and cases/pulls.py."""

from __future__ import annotations

from dataclasses import replace

from ladderfe.cases import pulls, road
from ladderfe.cases.types import LoadCase
from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.errors import ModelError

__all__ = ["load_cases"]


def load_cases(chassis: Chassis) -> tuple[LoadCase, ...]:
    """The chassis' cases in its own order; raises ModelError for a kind that is not known and for a combination of
    cases that are not there."""
    out = tuple(_case(chassis, spec) for spec in chassis.cases)
    names = [c.name for c in out]
    for case in out:
        for name, _ in case.of:
            if name not in names:
                raise ModelError(f"case {case.name}", f"adds up {name}, which is no case", "Name cases of the file")
    return out


def _case(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    make = _KINDS.get(spec.kind)
    if make is None:
        raise ModelError(f"case {spec.name}", f"kind {spec.kind} is not known", "Use " + ", ".join(_KINDS))
    made = make(chassis, spec)
    if not spec.forces:
        return made
    too = "as stated" if made.times == 1 else f"times {made.times:g} too"
    about = f"{made.about}; forces at mounts {too}"
    if made.scale is None:
        return replace(made, pulls=(*made.pulls, *spec.forces), about=about)
    forces = tuple((name, (f[0] / made.scale, f[1] / made.scale, f[2] / made.scale)) for name, f in spec.forces)
    return replace(made, pulls=forces, about=about, scale=None, gravity=1.0, times=made.scale)


def _static(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    source = "as weighed, plus the masses not aboard then"
    about = "laden, standing, 1 g" + ("" if spec.factor == 1 else f", all times {spec.factor:g}")
    return LoadCase(name=spec.name, kind=spec.kind, about=about, source=source, times=spec.factor)


def _amplified(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    about = f"all static loads and reactions times {spec.factor:g}"
    return LoadCase(name=spec.name, kind=spec.kind, about=about, source=FACTOR, gravity=spec.factor, scale=spec.factor)


def _bounce(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    names = [a.name for a in chassis.axles]
    front, rear = names
    hit = {"front": (front,), "rear": (rear,), "both": (front, rear)}[spec.axle]
    damped = tuple(a.name for a in chassis.axles if a.damper is not None and a.name in hit)
    return LoadCase(
        name=spec.name,
        kind=spec.kind,
        about=f"{spec.axle} axle springs push {spec.factor:g} times their static force, balanced by inertia",
        source=FACTOR,
        static_factors=tuple((n, spec.factor if n in hit else 1.0) for n in names),
        dampers=damped,
    )


def _limit_twist(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    return LoadCase(
        name=spec.name,
        kind=spec.kind,
        about=f"{_times(spec)} alone, {_wheel(spec)} pushed up, no weight",
        source=COUPLE,
        gravity=0.0,
        static_factors=tuple((a.name, 0.0) for a in chassis.axles),
        couple=spec.factor,
        lifted=_wheel(spec),
    )


def _one_wheel_bump(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    return LoadCase(
        name=spec.name,
        kind=spec.kind,
        about=f"laden at 1 g and {_times(spec)}, {_wheel(spec)} pushed up",
        source=COUPLE,
        static_factors=tuple((a.name, 1.0) for a in chassis.axles),
        couple=spec.factor,
        lifted=_wheel(spec),
    )


def _raised(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    wheels = " and ".join(spec.wheels)
    return LoadCase(
        name=spec.name,
        kind=spec.kind,
        about=f"{wheels} raised by {spec.height:g} mm; wheels push only",
        source="height as stated; springs and frame in series",
        heights=tuple((f"{w} wheel", spec.height) for w in spec.wheels),
    )


def _combination(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    of = " + ".join(name if f == 1 else f"{f:g} x {name}" for name, f in spec.of)
    source = "results added up; supports that only push are not looked at again"
    return LoadCase(name=spec.name, kind=spec.kind, about=of, source=source, gravity=0.0, of=spec.of)


def _wheel(spec: CaseSpec) -> str:
    return spec.wheels[0] if spec.wheels else "front left"


def _times(spec: CaseSpec) -> str:
    return "the limit couple" if spec.factor == 1 else f"{spec.factor:g} times the limit couple"


FACTOR = "factor: see assumptions or the chassis file"
COUPLE = (
    "ground load of the lighter axle x track/2, opposite at the other axle; "
    "Motor Vehicle Structures: Concepts and Fundamentals (2002), load cases"
)
_KINDS = {
    "static": _static,
    "amplified": _amplified,
    "bounce": _bounce,
    "limit twist": _limit_twist,
    "one wheel bump": _one_wheel_bump,
    "raised": _raised,
    "cross-axle": _raised,
    "combination": _combination,
    **road.KINDS,
    **pulls.KINDS,
}
