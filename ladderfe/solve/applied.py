"""What a case applies beside weight: inertia, forces in plan at the wheels, pulls at mounts, pushes at single wheels.

Forces along the vehicle, across it and their moment about z are balanced by the wheels:

    sum of X = -R_x        the axles that hold share it, by their loads where both do; left and right alike, but
                           all of it on the one wheel of an axle whose other is off the ground
    sum of Y = -R_y,  x_front Y_front + x_rear Y_rear - sum of y X = -R_mz        of both axles

with R the resultant of pulls and of the inertia of all masses, unsprung ones included.  Vertical loads follow from
contact (solve/contact.py), so load transfer needs no formula of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, pull_name, transmit, vertical
from ladderfe.cases.entries import WAYS
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis

__all__ = [
    "WHEELS", "Applied", "Rows", "applied", "applied_in_states", "applied_together", "centre_height", "hung_rows",
    "pushed",
]  # fmt: skip

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
#: The four wheels in the order of all arrays over them.
WHEELS = ("front left", "front right", "rear left", "rear right")


@dataclass(frozen=True, eq=False)
class Rows:
    """The frame's rows by name, and the resultant (6,) about the datum of a unit force along each."""

    names: tuple[str, ...]
    lever: Array

    @cached_property
    def number(self) -> dict[str, int]:
        """Row of every name."""
        return {name: i for i, name in enumerate(self.names)}

    def force(self, parts: Sequence[tuple[str, Any]], cases: tuple[int, ...] = ()) -> Array:
        """(r, *cases) forces along rows, from (name, N of every case)."""
        out = np.zeros((len(self.names), *cases))
        for name, force in parts:
            out[self.number[name]] += force
        return out

    def at(self, place: str, force: Sequence[float]) -> Array:
        """(r,) a force x, y, z at a mount; ways that no case needs have no row."""
        return self.force([(pull_name(place, w), f) for w, f in zip(WAYS, force, strict=True) if f])

    def pulls(self, cases: Sequence[LoadCase]) -> Array:
        """(r, k) the pulls at mounts of k cases."""
        out = np.zeros((len(self.names), len(cases)))
        for k, case in enumerate(cases):
            for place, force in case.pulls:
                out[:, k] += self.at(place, force)
        return out


@dataclass(frozen=True, slots=True, eq=False)
class Applied:
    """field (6,): body field beside gravity, mm/s2; force (r,): along the frame's rows; axle (b,): along the axles'
    unknowns; ground (4, 3): on the wheels from the ground, N, upward ones only where they are given.  One more axis for
    k cases where there are several, and before it one for v states of the frame where these are."""

    field: Array
    force: Array
    axle: Array
    ground: Array

    @staticmethod
    def join(each: Sequence[Applied]) -> Applied:
        """Several single cases."""
        names = ("field", "force", "axle", "ground")
        return Applied(*(np.stack([getattr(a, n) for a in each], axis=-1) for n in names))

    def take(self, cases: Sequence[int]) -> Applied:
        """Some of several cases."""
        own = list(cases)
        return Applied(self.field[..., own], self.force[..., own], self.axle[..., own], self.ground[..., own])

    def one(self, case: int) -> Applied:
        """That case of several."""
        return Applied(self.field[..., case], self.force[..., case], self.axle[..., case], self.ground[..., case])


def applied(chassis: Chassis, case: LoadCase, rows: Rows, inertia: Array, off: Sequence[str] = ()) -> Applied:
    """What a case on the ground applies; inertia (6, 6): resultant of the frame's masses per unit field; off: wheels
    off the ground, which hold nothing."""
    return applied_together(chassis, [case], rows, inertia, [off]).one(0)


def applied_together(
    chassis: Chassis, cases: Sequence[LoadCase], rows: Rows, inertia: Array, off: Sequence[Collection[str]]
) -> Applied:
    """The same of k cases, each with its wheels off the ground."""
    each = applied_in_states(chassis, cases, rows, inertia[None], off)
    return Applied(each.field[:, 0], each.force[:, 0], each.axle[:, 0], each.ground[:, :, 0])


def applied_in_states(
    chassis: Chassis, cases: Sequence[LoadCase], rows: Rows, inertia: Array, off: Sequence[Collection[str]]
) -> Applied:
    """The same in v states of the frame, which differ by inertia (v, 6, 6)."""
    n, v = len(cases), len(inertia)
    field, pulls = np.zeros((6, n)), rows.pulls(cases)
    field[:2] = [[-c.acceleration[way] for c in cases] for way in (0, 1)]
    alike = (field, pulls, np.zeros((4, n)), np.zeros((4, 3, n)))
    out = Applied(*(np.repeat(a[..., None, :], v, axis=-2) for a in alike))
    plan = [j for j, c in enumerate(cases) if c.in_plan]
    if not plan:
        return out
    own = [cases[j] for j in plan]
    whole = inertia + _of_axles(chassis)
    rest = (whole @ field[:, plan] + rows.lever.T @ pulls[:, plan]).swapaxes(0, 1)
    weight = whole[:, :, 2].T[:, :, None] * [-GRAVITY * c.gravity for c in own]
    down = np.array([[w not in off[j] for j in plan] for w in WHEELS])[:, None]
    held = _held(chassis, own, rest, rest + weight, down)
    out.ground[:, :2, :, plan] = held
    dug_in = np.array([c.dug_in for c in own])
    for k, a in enumerate(chassis.axles):
        passed = transmit(chassis, a, held[2 * k : 2 * k + 2], field[:2, None, plan], hub=dug_in)
        out.force[:, :, plan] += rows.force(passed.entries, (v, len(plan)))
        out.axle[2 * k : 2 * k + 2, :, plan] = passed.axle
    return out


def _held(chassis: Chassis, cases: Sequence[LoadCase], rest: Array, whole: Array, down: BoolArray) -> Array:
    """(4, 2, v, k) N: what the ground does to the wheels in plan; rest (6, v, k): what they balance; whole (6, v, k):
    with weight; down (4, 1, k): wheels on the ground."""
    out = np.zeros((4, 2, *rest.shape[1:]))
    feet = np.array([[[chassis.ground + (a.tyre_radius if c.dug_in else 0.0) for c in cases]] for a in chassis.axles])
    fore = -rest[0] * _shares(chassis, cases, rest, whole, feet)
    turn = rest[5]
    for k, a in enumerate(chassis.axles):
        out[2 * k : 2 * k + 2, 0] = fore[k] * _on_those(down[2 * k : 2 * k + 2], 0.5)
        turn = turn + a.track / 2 * (out[2 * k, 0] - out[2 * k + 1, 0])
    front, rear = (a.station for a in chassis.axles)
    side_rear = -(turn - front * rest[1]) / (rear - front)
    side = np.stack([-rest[1] - side_rear, side_rear])
    outer = _outer_share(chassis, side, whole, feet)
    for k in range(2):
        out[2 * k : 2 * k + 2, 1] = side[k] * _on_those(down[2 * k : 2 * k + 2], outer)
    return out


def _on_those(down: BoolArray, usual: float | Array) -> Array:
    """(2, v, k) parts of an axle's force at its left and right wheel: the usual ones, or all of it at the one wheel
    that is on the ground; down (2, 1, k)."""
    return np.where(down.sum(axis=0) == 1, down, usual)


def _of_axles(chassis: Chassis) -> Array:
    """(6, 6) resultant of both axles' own masses per unit field along x, y, z; turning ones are left out."""
    out = np.zeros((6, 6))
    for a in chassis.axles:
        x, z = a.station, chassis.ground + a.tyre_radius
        out[:3, :3] += a.unsprung * np.eye(3)
        out[3:, :3] += a.unsprung * np.array([[0.0, -z, 0.0], [z, 0.0, -x], [0.0, x, 0.0]])
    return out


def centre_height(chassis: Chassis, inertia: Array) -> float:
    """Centre of gravity of the whole vehicle with all that it carries, mm above the ground: from the moment about y of
    a unit field along x."""
    along = inertia[:, 0] + _of_axles(chassis)[:, 0]
    return float(along[4] / along[0] - chassis.ground)


def _shares(chassis: Chassis, cases: Sequence[LoadCase], rest: Array, whole: Array, feet: Array) -> Array:
    """(2, v, k) parts of the fore-aft force that front and rear axle hold: one of them, or both by their loads as the
    forces shift them (pitch about the ground, a rigid vehicle), none of them below nothing.  feet (2, 1, k): heights
    at which the ground holds front and rear wheels in plan, mm."""
    front, rear = chassis.axles
    # about y: sum of z X - sum of x Z + M = 0 with X = -rest_x share, Z = -whole_z share
    up = -whole[2]
    moment = whole[4] - rest[0] * feet[0] - front.station * up
    share = np.clip(moment / (rest[0] * (feet[1] - feet[0]) + (rear.station - front.station) * up), 0.0, 1.0)
    for k, c in enumerate(cases):
        if len(c.holds) == 1:
            share[:, k] = float(c.holds[0] == rear.name)
    return np.stack([1 - share, share])


def _outer_share(chassis: Chassis, side: Array, whole: Array, feet: Array) -> Array:
    """(2, v, k) parts of an axle's side force (2, v, k) at its left and right wheel: by the loads as all forces shift
    them, a rigid vehicle with what it carries (roll about the ground).  What it passes on depends on it for independent
    wheels only.

    About x: track/2 (Z_right - Z_left) = -(M_x - sum of z Y).
    """
    track = sum(a.track for a in chassis.axles) / 2
    down = -whole[2]
    lean = -(whole[3] - (side * feet).sum(axis=0)) / (track * np.where(down > 0, down, 1.0))
    right = np.where(down > 0, np.clip(0.5 + lean, 0.0, 1.0), 0.5)
    return np.stack([1 - right, right])


def pushed(chassis: Chassis, case: LoadCase, rows: Rows, static: Array, height: float) -> Applied:
    """Pushes at wheels, from the standing wheel loads `static` (4,) N and the height (mm above the ground) of that
    vehicle's centre of gravity; springs carry what links do not (rows 0 to 3).

    The axles' own inertia is left out: what hits a wheel reaches the frame whole.
    """
    ground = np.zeros((4, 3))
    force = rows.pulls([case])[:, 0]
    for hub in (False, True) if case.pushes else ():
        wheels = np.zeros((4, 3))
        for p in case.pushes:
            if p.hub == hub:
                axle = next(a for a in chassis.axles if a.name == p.wheel.split()[0])
                part = np.array([p.x, p.tip * axle.track / 2 / height, p.z])
                wheels[WHEELS.index(p.wheel)] += part * _load_under(chassis, p.of, static)
        ground += wheels
        for k, axle in enumerate(chassis.axles):
            own = wheels[2 * k : 2 * k + 2]
            if not own.any():
                continue
            passed = transmit(chassis, axle, own[:, :2], (0.0, 0.0), hub=hub)
            force += rows.force(passed.entries)
            force[2 * k : 2 * k + 2] += vertical(axle, own[:, 2], passed.axle)
    return Applied(np.zeros(6), force, np.zeros(4), ground)


def _load_under(chassis: Chassis, of: str, static: Array) -> float:
    if of in WHEELS:
        return float(static[WHEELS.index(of)])
    k = [a.name for a in chassis.axles].index(of)
    return float(static[2 * k : 2 * k + 2].sum())


def hung_rows(case: LoadCase, rows: Rows) -> list[tuple[float, list[int]]]:
    """Masses (t) that hang on mounts, and the three rows of each."""
    return [(mass, [rows.number[pull_name(place, w)] for w in WAYS]) for place, mass in case.hung]
