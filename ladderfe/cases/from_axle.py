"""From the chassis file's axle to its suspension."""

from __future__ import annotations

from ladderfe.cases.suspension import Suspension
from ladderfe.chassis import Axle, Chassis

__all__ = ["suspension_of", "suspensions"]


def suspension_of(axle: Axle) -> Suspension:
    """What an axle has between its wheels and the frame."""
    return Suspension(
        axle=axle,
        motion_ratio=axle.motion_ratio,
        anti_roll=axle.anti_roll,
        bump_gap=axle.bump_gap,
        bump_rate=axle.bump_rate,
        droop=axle.droop,
        strap_rate=axle.strap_rate,
        pull=axle.pull,
        tyre_rate=axle.tyre_rate,
    )


def suspensions(chassis: Chassis) -> tuple[Suspension, ...]:
    """Front and rear suspension."""
    return tuple(suspension_of(a) for a in chassis.axles)
