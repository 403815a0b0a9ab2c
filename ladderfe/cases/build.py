"""Load cases as asked for in the chassis file -> factors on gravity and on the springs."""

from __future__ import annotations

from ladderfe.cases.types import LoadCase
from ladderfe.chassis import CaseSpec, Chassis
from ladderfe.errors import ModelError

__all__ = ["load_cases"]


def load_cases(chassis: Chassis) -> tuple[LoadCase, ...]:
    """The chassis' cases in its own order; raises ModelError for a kind that is not known."""
    return tuple(_case(chassis, spec) for spec in chassis.cases)


def _case(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    if spec.kind == "static":
        return LoadCase(
            name=spec.name,
            kind=spec.kind,
            about="laden, standing, 1 g",
            source="as weighed, plus the masses not aboard then",
        )
    if spec.kind == "amplified":
        return LoadCase(
            name=spec.name,
            kind=spec.kind,
            about=f"all static loads and reactions times {spec.factor:g}",
            source="factor: see assumptions or the chassis file",
            gravity=spec.factor,
        )
    if spec.kind == "bounce":
        return _bounce(chassis, spec)
    raise ModelError(f"case {spec.name}", f"kind {spec.kind} is not known", "Use static, amplified or bounce")


def _bounce(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    names = [a.name for a in chassis.axles]
    front, rear = names
    hit = {"front": (front,), "rear": (rear,), "both": (front, rear)}[spec.axle]
    return LoadCase(
        name=spec.name,
        kind=spec.kind,
        about=f"{spec.axle} axle springs push {spec.factor:g} times their static force, balanced by inertia",
        source="factor: see assumptions or the chassis file",
        spring_factors=tuple((n, spec.factor if n in hit else 1.0) for n in names),
    )
