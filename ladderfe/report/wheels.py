"""Wheel loads of the cases that say something about the ground."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.checks import Findings

__all__ = ["WheelLoads", "loads_under_wheels"]


@dataclass(frozen=True, slots=True)
class WheelLoads:
    """Of one case, by its index: wheels ("front left"), their loads in N, and which are off the ground."""

    case: int
    wheels: tuple[str, ...]
    loads: tuple[float, ...]
    lifted: tuple[str, ...]


def loads_under_wheels(findings: Findings) -> list[WheelLoads]:
    """Wheel loads of cases that stand, and of those with the limit couple under the vehicle's weight.

    Factors on spring forces and bounces state what reaches the frame and say nothing about the ground.
    """
    s = findings.solution
    names = tuple(spring.name.removesuffix(" spring") for spring in s.springs)
    return [
        WheelLoads(k, names, tuple(s.ground[:, 2, k].tolist()), tuple(w.removesuffix(" wheel") for w in lifted))
        for k, (case, lifted) in enumerate(zip(s.cases, s.lifted, strict=True))
        if case.on_ground or (case.couple and case.gravity)
    ]
