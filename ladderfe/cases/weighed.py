"""From what the scales said to what the springs carry."""

from __future__ import annotations

from typing import Any

from ladderfe.cases.types import GRAVITY, Spring
from ladderfe.chassis import Axle, Chassis

__all__ = ["springs", "sprung_loads", "wheel_loads"]


def sprung_loads(chassis: Chassis) -> tuple[float, float]:
    """Weighed axle loads less unsprung masses, front and rear, t."""
    front, rear = chassis.axles
    return front.load - front.unsprung, rear.load - rear.unsprung


def roll_moment(axle: Axle) -> float | None:
    """Moment of the weighed wheel loads about the centre line, t mm, positive heavier on the right."""
    if axle.wheel_loads is None:
        return None
    left, right = axle.wheel_loads
    return (right - left) * axle.track / 2


def _spring_force(axle: Axle, sign: int) -> float | None:
    """Force on the frame at a spring for the weighed wheel loads, N: of a beam axle half the sprung load, shifted by
    the roll moment over the spring base (its own weight sits at its middle); of an independent wheel its load less
    its own weight."""
    moment = roll_moment(axle)
    if moment is None:
        return None
    arm = axle.spring_base if axle.kind == "beam" else axle.track
    return GRAVITY * ((axle.load - axle.unsprung) / 2 + sign * moment / arm)


def springs(chassis: Chassis) -> tuple[Spring, ...]:
    """The four places where suspension meets frame: front left, front right, rear left, rear right."""
    return tuple(
        Spring(
            name=f"{axle.name} {side} spring",
            axle=axle.name,
            side=side,
            y=sign * (axle.spring_base if axle.kind == "beam" else axle.track) / 2,
            seats=tuple((axle.seat_name(side, k), share) for k, (_, share) in enumerate(axle.seats)),
            rate=axle.rate * axle.motion_ratio**2,
            weighed=_spring_force(axle, sign),
        )
        for axle in chassis.axles
        for side, sign in (("left", -1), ("right", 1))
    )


def wheel_loads(chassis: Chassis, spring_forces: Any) -> Any:
    """(4, ...) N under the wheels front left, front right, rear left, rear right, from the forces (4, ...) at the
    springs: balance of each axle with its own weight."""
    out = []
    for k, axle in enumerate(chassis.axles):
        left, right = spring_forces[2 * k], spring_forces[2 * k + 1]
        total = left + right + axle.unsprung * GRAVITY
        arm = axle.spring_base if axle.kind == "beam" else axle.track
        lean = (right - left) * arm / axle.track
        out += [(total - lean) / 2, (total + lean) / 2]
    return out
