"""From what the scales said to what the springs carry."""

from __future__ import annotations

from ladderfe.cases.types import GRAVITY, Spring
from ladderfe.chassis import Axle, Chassis

__all__ = ["springs", "sprung_loads"]


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
    """Force that a spring must carry for the weighed wheel loads, N: half the sprung load, shifted by the roll
    moment over the spring base (the axle's own weight sits at its middle)."""
    moment = roll_moment(axle)
    if moment is None:
        return None
    return GRAVITY * ((axle.load - axle.unsprung) / 2 + sign * moment / axle.spring_base)


def springs(chassis: Chassis) -> tuple[Spring, ...]:
    """The four springs: front left, front right, rear left, rear right."""
    return tuple(
        Spring(
            name=f"{axle.name} {side} spring",
            axle=axle.name,
            side=side,
            seats=tuple((axle.seat_name(side, k), share) for k, (_, share) in enumerate(axle.seats)),
            rate=axle.rate,
            weighed=_spring_force(axle, sign),
        )
        for axle in chassis.axles
        for side, sign in (("left", -1), ("right", 1))
    )
