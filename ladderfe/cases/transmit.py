"""What an axle passes on to the frame of the forces at its wheels; see cases/entries.py for the words and signs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.entries import links_of
from ladderfe.chassis import Axle, Chassis, Links

__all__ = ["Transmitted", "damped", "transmit", "vertical"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
SIDES = (("left", -1), ("right", 1))


@dataclass(frozen=True, slots=True)
class Transmitted:
    """entries: name of an entry and its force on the frame (N; N mm of wind-up); axle (2,): load along the axle's two
    unknowns: heave (N, up) and roll (N mm), or the heights of the left and right wheel (N, up).  One more axis for k
    cases where there are several, and before it one for v states of the frame where these are."""

    entries: tuple[tuple[str, Any], ...]
    axle: Array


def transmit(
    chassis: Chassis, axle: Axle, wheels: Array, field: Sequence[float] | Array, *, hub: bool | BoolArray = False
) -> Transmitted:
    """Forces in plan at the wheels (2, 2: left and right, x and y; N) and the axle's own inertia (field (2,), mm/s2);
    all with one more axis for k cases where there are several, hub (k,) then, and before it one for v states of the
    frame where these are.

    Forces act at the ground, or with `hub` through the wheels' centres.  Vertical forces of the wheels are left to the
    springs (`vertical`, or the contact of cases/suspension.py).

    Roll about the height z_s: M = Y_ground (z_s - z_ground) + m b_y (z_s - z_wheel).
    Wind-up about the height z_l: C = X_ground (z_ground - z_l) + m b_x (z_wheel - z_l).
    Of independent wheels springs feel the sum of M as +-M/track at the wheels (the roll centre); the frame feels each
    wheel's own: arms bring that part of its force which the spring does not, and M as a couple at its pivots.
    Yaw: (X_right - X_left) spacing/2 = sum of y X_ground + (x_s - x_axle) Y; of an independent wheel a couple at its
    pivots, N = (x_axle - x_pivot) Y - (y_wheel - y_pivot) X.
    """
    links = links_of(axle, chassis.rails)
    centre = chassis.ground + axle.tyre_radius
    foot = np.where(hub, centre, chassis.ground)
    own = axle.unsprung * np.asarray(field, dtype=float) / 2  # of one side
    fore, side = wheels[:, 0] + own[0], wheels[:, 1] + own[1]
    roll = wheels[:, 1] * (links.side_height - foot) + own[1] * (links.side_height - centre)
    couple = wheels[:, 0] * (foot - links.height) + own[0] * (centre - links.height)
    if axle.kind == "beam":
        x_side = axle.station if links.side_station is None else links.side_station
        yaw = axle.track / 2 * (wheels[1, 0] - wheels[0, 0]) + (x_side - axle.station) * side.sum(axis=0)
        fore = fore.sum(axis=0) / 2 + np.stack([-yaw, yaw]) / links.spacing
        side, couple = (np.stack([whole / 2, whole / 2]) for whole in (side.sum(axis=0), couple.sum(axis=0)))
    entries: list[tuple[str, Any]] = [(f"{axle.name} fore-aft {s}", f) for (s, _), f in zip(SIDES, fore, strict=True)]
    if links.side_station is not None:
        entries.append((f"{axle.name} side", side.sum(axis=0)))
    else:
        entries += [(f"{axle.name} side {s}", f) for (s, _), f in zip(SIDES, side, strict=True)]
    entries += [(f"{axle.name} wind-up {s}", c) for (s, _), c in zip(SIDES, couple, strict=True)]
    if axle.kind == "independent":
        about = _pivots(axle, links)
        for k, (s, sign) in enumerate(SIDES):
            aside = sign * (axle.track - links.spacing) / 2
            entries.append((f"{axle.name} yaw {s}", (axle.station - about) * side[k] - aside * fore[k]))
        turn = roll.sum(axis=0) / axle.track
        load = np.stack([-turn, turn])
        for k, (s, sign) in enumerate(SIDES):
            entries += [(f"{axle.name} roll {s}", roll[k]), (f"{axle.name} {s} seat", -load[k])]
            if axle.torsion_bar is not None:
                arm = sign * (axle.track - axle.spring_base) / 2
                entries.append((axle.arm_couple_name(s), -load[k] * arm))
        return Transmitted(tuple(entries), load)
    arms = axle.links is not None and links.kind == "arms"
    whole = roll.sum(axis=0)
    lift = -couple.sum(axis=0) / (axle.station - links.station) if arms else np.zeros_like(whole)
    return Transmitted(tuple(entries), np.stack([lift, whole]))


def _pivots(axle: Axle, links: Links) -> float:
    """Station where side forces of independent wheels act: their pivots, or the middle of the seats."""
    return links.station if axle.links is not None else axle.station


def damped(axle: Axle, side: str) -> Transmitted:
    """What the force of a damper on the frame takes off the spring of its side: the axle is in balance without both.

    Its lever about the axle is taken by the links as wind-up, by the pivot and the spring where there are arms; axle
    (1,): the change of the spring's force, N.
    """
    damper, links = axle.damper, axle.links
    if damper is None:
        return Transmitted((), np.zeros(1))
    couple = (damper.station - axle.station) * damper.force
    arms = axle.kind == "beam" and links is not None and links.kind == "arms"
    lift = -couple / (axle.station - links.station) if arms and links is not None else 0.0
    entries = ((f"{axle.name} damper {side}", damper.force), (f"{axle.name} wind-up {side}", couple))
    return Transmitted(entries, np.array([lift - damper.force]))


def vertical(axle: Axle, wheels: Array, load: Array) -> Array:
    """(2,) N: forces at the springs (at the wheels of independent suspensions) that carry vertical wheel forces (2,)
    and the axle loads (2,) of `transmit`; the axle's own weight is left out."""
    if axle.kind == "independent":
        return wheels + load
    half = (wheels.sum() + load[0]) / 2
    lean = ((wheels[1] - wheels[0]) * axle.track / 2 + load[1]) / axle.spring_base
    return np.array([half - lean, half + lean])
