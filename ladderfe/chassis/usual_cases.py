"""The usual set of load cases, which counts where a file names none or asks for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ladderfe.chassis.case_kinds import Asked
from ladderfe.chassis.towing import Workshop
from ladderfe.chassis.types import Towing

__all__ = ["usual_cases"]

WINCH_ANGLE: Final = 30.0  # degrees to either side
LOW: Final = 10.0  # mm by which one stand is lower than the others


def usual_cases(towing: Towing, workshop: Workshop) -> Iterator[Asked]:
    """The road and the ground first, then what tows, then the workshop."""
    yield from _on_the_road()
    yield from _towed(towing)
    yield from _lifted(workshop)


def _on_the_road() -> Iterator[Asked]:
    yield Asked("static", "static")
    yield Asked("amplified", "amplified")
    for axle in ("front", "rear"):
        yield Asked(f"{axle} axle bounce", "bounce", axle=axle)
    for wheel in ("front left", "front right"):
        yield Asked(f"one wheel bump, {wheel}", "one wheel bump", wheels=(wheel,))
    for wheels in (("front left", "rear right"), ("front right", "rear left")):
        yield Asked(f"cross-axle, {wheels[0]} up", "cross-axle", wheels=wheels)
    for side in ("left", "right"):
        yield Asked(f"cornering {side}", "cornering", side=side)
    yield Asked("braking", "braking")
    yield Asked("drive-off", "drive-off")


def _towed(towing: Towing) -> Iterator[Asked]:
    if towing.coupling:
        if towing.nose:
            yield Asked("nose weight", "nose weight")
        if towing.trailer:
            yield Asked("drawbar pull", "drawbar pull")
        yield Asked("rear overhang whip", "rear overhang whip")
    if towing.winch:
        yield Asked("winch, straight", "winch")
        for side, sign in (("left", -1), ("right", 1)):
            yield Asked(f"winch, {WINCH_ANGLE:g} degrees {side}", "winch", angle=sign * WINCH_ANGLE)
    for mount in towing.recovery:
        yield Asked(f"recovery, {mount}", "recovery", at=(mount,))


def _lifted(workshop: Workshop) -> Iterator[Asked]:
    for mount in workshop.jack:
        yield Asked(f"jack at {mount}", "jack", at=(mount,))
    if workshop.pads:
        yield Asked("two-post lift", "two-post lift")
    if workshop.stands:
        yield Asked("stands", "stands")
        yield Asked(f"stands, one {LOW:g} mm low", "stands", low=((workshop.stands[0], LOW),))
