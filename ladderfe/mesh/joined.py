"""Joints that nobody described get the stiffness that their walls give them."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from ladderfe.chassis import Chassis, Crossmember, Joint, Outrigger, Rail
from ladderfe.errors import ModelError
from ladderfe.joints import JointEstimate, JointGeometry, estimate, from_shapes
from ladderfe.mesh.rails import rail_point, rail_shape
from ladderfe.sections import Shape

__all__ = ["joined"]

RIGID = (np.inf,) * 6


def joined(chassis: Chassis, level: float | None = None) -> Chassis:
    """The same chassis with every joint stated: as given, else estimated from the walls that meet.

    level : where in the estimate's range, -1 low, 0 middle, 1 high, inf rigid; the chassis' own if None.  Joints for
    which there is no estimate (rails that are neither boxes nor channels, crossmembers above or below the rail) stay
    rigid and say so among their warnings.
    """
    level = chassis.joint_level if level is None else level
    rails: dict[str, Rail] = {r.side: r for r in chassis.rails}
    return replace(
        chassis,
        crossmembers=tuple(_crossmember(chassis, c, rails, level) for c in chassis.crossmembers),
        outriggers=tuple(_outrigger(chassis, o, rails, level) for o in chassis.outriggers),
        joint_level=level,
    )


def _crossmember(chassis: Chassis, c: Crossmember, rails: dict[str, Rail], level: float) -> Crossmember:
    left = _joint(chassis, c.joint_left, rails["left"], c.shape, +1, (c.station_left, c.height_left), level)
    right = _joint(chassis, c.joint_right, rails["right"], c.shape, -1, (c.station_right, c.height_right), level)
    return replace(c, joint_left=left, joint_right=right)


def _outrigger(chassis: Chassis, o: Outrigger, rails: dict[str, Rail], level: float) -> Outrigger:
    rail = rails[o.side]
    return replace(o, joint=_joint(chassis, o.joint, rail, o.shape, rail.sign, (o.station, o.height), level))


def _joint(
    chassis: Chassis, joint: Joint, rail: Rail, shape: Shape, direction: int, place: tuple[float, float], level: float
) -> Joint:
    """`direction` is the side (+1: from +y) from which the member comes; place is its station and height."""
    if joint.given:
        return joint
    if np.isinf(level):
        return replace(joint, stiffness=RIGID)
    try:
        found = _estimate(chassis, joint, rail, shape, direction, place)
    except ModelError as error:
        return replace(joint, stiffness=RIGID, warnings=(f"taken as rigid: {error.problem}",))
    return replace(joint, kind=found.kind, stiffness=_at_level(found, level), warnings=found.warnings)


def _estimate(
    chassis: Chassis, joint: Joint, rail: Rail, shape: Shape, direction: int, place: tuple[float, float]
) -> JointEstimate:
    station, height = place
    above = height - float(rail_point(rail, station)[2])
    geometry = from_shapes(rail_shape(rail, station), shape, direction, above).changed(
        to_end=max(0.0, min(station - rail.start, rail.end - station)),
        through=joint.kind == "through",
        doubler=joint.doubler,
        margin=joint.margin,
        kind=joint.kind,
        youngs_modulus=chassis.material.youngs_modulus,
        poissons_ratio=chassis.material.poissons_ratio,
    )
    return _estimated(geometry)


@lru_cache(maxsize=1024)
def _estimated(geometry: JointGeometry) -> JointEstimate:
    return estimate(geometry)


def _at_level(found: JointEstimate, level: float) -> tuple[float, float, float, float, float, float]:
    """Between low (-1), middle (0) and high (1) along the logarithm of the stiffness; rigid stays rigid."""
    end = found.high if level > 0 else found.low
    soft = np.isfinite(found.stiffness) & (found.stiffness > 0) & np.isfinite(end)
    ratio = np.ones(6)
    ratio[soft] = (end[soft] / found.stiffness[soft]) ** abs(level)
    a, b, c, d, e, f = (float(v) for v in found.stiffness * ratio)
    return a, b, c, d, e, f
