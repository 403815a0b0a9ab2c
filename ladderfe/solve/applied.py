"""What a case applies beside weight: inertia, forces in plan at the wheels, pulls at mounts, pushes at single wheels.

Forces along the vehicle, across it and their moment about z are balanced by the wheels:

    sum of X = -R_x        the axles that hold share it, by their loads where both do; left and right alike, but
                           all of it on the one wheel of an axle whose other is off the ground
    sum of Y = -R_y,  x_front Y_front + x_rear Y_rear - sum of y X = -R_mz        of both axles

with R the resultant of pulls and of the inertia of all masses, unsprung ones included.  Vertical loads follow from
contact (solve/contact.py), so load transfer needs no formula of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, pull_name, transmit, vertical
from ladderfe.cases.entries import WAYS
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis

__all__ = ["WHEELS", "Applied", "Rows", "applied", "centre_height", "hung_rows", "pushed"]

Array = NDArray[np.float64]
#: The four wheels in the order of all arrays over them.
WHEELS = ("front left", "front right", "rear left", "rear right")


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """The frame's rows by name, and the resultant (6,) about the datum of a unit force along each."""

    names: tuple[str, ...]
    lever: Array

    def force(self, parts: Sequence[tuple[str, float]]) -> Array:
        """(r,) forces along rows, from (name, N)."""
        out = np.zeros(len(self.names))
        for name, force in parts:
            out[self.names.index(name)] += force
        return out

    def at(self, place: str, force: Sequence[float]) -> Array:
        """(r,) a force x, y, z at a mount; ways that no case needs have no row."""
        return self.force([(pull_name(place, w), f) for w, f in zip(WAYS, force, strict=True) if f])


@dataclass(frozen=True, slots=True, eq=False)
class Applied:
    """field (6,): body field beside gravity, mm/s2; force (r,): along the frame's rows; axle (b,): along the axles'
    unknowns; ground (4, 3): on the wheels from the ground, N, upward ones only where they are given."""

    field: Array
    force: Array
    axle: Array
    ground: Array


def applied(chassis: Chassis, case: LoadCase, rows: Rows, inertia: Array, off: Sequence[str] = ()) -> Applied:
    """What a case on the ground applies; inertia (6, 6): resultant of the frame's masses per unit field; off: wheels
    off the ground, which hold nothing."""
    field = np.zeros(6)
    field[:2] = [-a for a in case.acceleration]
    force = sum((rows.at(place, f) for place, f in case.pulls), np.zeros(len(rows.names)))
    if not case.in_plan:
        return Applied(field, force, np.zeros(4), np.zeros((4, 3)))
    rest = inertia @ field + rows.lever.T @ force + _of_axles(chassis, field)
    ground, axle = np.zeros((4, 3)), np.zeros(4)
    ground[:, :2] = _held(chassis, case, rest, rest + _weight(chassis, case, inertia), off)
    for k, a in enumerate(chassis.axles):
        wheels = ground[2 * k : 2 * k + 2, :2]
        passed = transmit(chassis, a, wheels, (float(field[0]), float(field[1])), hub=case.dug_in)
        force = force + rows.force(passed.entries)
        axle[2 * k : 2 * k + 2] = passed.axle
    return Applied(field, force, axle, ground)


def _held(chassis: Chassis, case: LoadCase, rest: Array, whole: Array, off: Sequence[str]) -> Array:
    """(4, 2) N: what the ground does to the wheels in plan; rest (6,): what they balance; whole (6,): with weight."""
    out = np.zeros((4, 2))
    fore = -rest[0] * _shares(chassis, case, rest, whole)
    turn = rest[5]
    for k, a in enumerate(chassis.axles):
        out[2 * k : 2 * k + 2, 0] = fore[k] * _down(k, off, np.full(2, 0.5))
        turn += a.track / 2 * (out[2 * k, 0] - out[2 * k + 1, 0])
    front, rear = (a.station for a in chassis.axles)
    side_rear = -(turn - front * rest[1]) / (rear - front)
    side = np.array([-rest[1] - side_rear, side_rear])
    outer = _outer_share(chassis, case, side, whole)
    for k in range(2):
        out[2 * k : 2 * k + 2, 1] = side[k] * _down(k, off, outer)
    return out


def _down(k: int, off: Sequence[str], usual: Array) -> Array:
    """(2,) parts of an axle's force at its left and right wheel: the usual ones, or all of it at the one wheel that is
    on the ground."""
    down = np.array([w not in off for w in WHEELS[2 * k : 2 * k + 2]])
    return down.astype(float) if down.sum() == 1 else usual


def _body(chassis: Chassis, k: int, field: Array) -> tuple[Array, Array]:
    """Place and force of an axle's own mass in a field."""
    a = chassis.axles[k]
    return np.array([a.station, 0.0, chassis.ground + a.tyre_radius]), a.unsprung * field[:3]


def _wrench(place: Array, force: Array) -> Array:
    (x, y, z), (fx, fy, fz) = place, force
    return np.array([fx, fy, fz, y * fz - z * fy, z * fx - x * fz, x * fy - y * fx])


def _of_axles(chassis: Chassis, field: Array) -> Array:
    """(6,) of both axles' own masses in a field."""
    return sum((_wrench(*_body(chassis, k, field)) for k in range(2)), np.zeros(6))


def _weight(chassis: Chassis, case: LoadCase, inertia: Array) -> Array:
    """(6,) of the whole vehicle's weight in a case, all that it carries included."""
    field = np.array([0, 0, -GRAVITY * case.gravity, 0, 0, 0])
    out: Array = inertia @ field + _of_axles(chassis, field)
    return out


def centre_height(chassis: Chassis, inertia: Array) -> float:
    """Centre of gravity of the whole vehicle with all that it carries, mm above the ground: from the moment about y of
    a unit field along x."""
    along = inertia[:, 0] + _of_axles(chassis, np.eye(6)[0])
    return float(along[4] / along[0] - chassis.ground)


def _feet(chassis: Chassis, case: LoadCase) -> list[float]:
    """Heights at which the ground holds front and rear wheels in plan, mm."""
    return [chassis.ground + (a.tyre_radius if case.dug_in else 0.0) for a in chassis.axles]


def _shares(chassis: Chassis, case: LoadCase, rest: Array, whole: Array) -> Array:
    """(2,) parts of the fore-aft force that front and rear axle hold: one of them, or both by their loads as the
    forces shift them (pitch about the ground, a rigid vehicle), none of them below nothing."""
    names = [a.name for a in chassis.axles]
    if len(case.holds) == 1:
        return np.array([float(n == case.holds[0]) for n in names])
    front, rear = chassis.axles
    z = _feet(chassis, case)
    # about y: sum of z X - sum of x Z + M = 0 with X = -rest_x share, Z = -whole_z share
    up, moment = -whole[2], whole[4] - rest[0] * z[0] - front.station * -whole[2]
    share = float(np.clip(moment / (rest[0] * (z[1] - z[0]) + (rear.station - front.station) * up), 0.0, 1.0))
    return np.array([1 - share, share])


def _outer_share(chassis: Chassis, case: LoadCase, side: Array, whole: Array) -> Array:
    """(2,) parts of an axle's side force at its left and right wheel: by the loads as all forces shift them, a rigid
    vehicle with what it carries (roll about the ground).  What it passes on depends on it for independent wheels only.

    About x: track/2 (Z_right - Z_left) = -(M_x - sum of z Y).
    """
    track = sum(a.track for a in chassis.axles) / 2
    if whole[2] >= 0:
        return np.full(2, 0.5)
    lean = -(whole[3] - side @ np.array(_feet(chassis, case))) / (track * -whole[2])
    right = float(np.clip(0.5 + lean, 0.0, 1.0))
    return np.array([1 - right, right])


def pushed(chassis: Chassis, case: LoadCase, rows: Rows, static: Array, height: float) -> Applied:
    """Pushes at wheels, from the standing wheel loads `static` (4,) N and the height (mm above the ground) of that
    vehicle's centre of gravity; springs carry what links do not (rows 0 to 3).

    The axles' own inertia is left out: what hits a wheel reaches the frame whole.
    """
    ground = np.zeros((4, 3))
    force = np.zeros(len(rows.names))
    for hub in (False, True):
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
    force += sum((rows.at(place, f) for place, f in case.pulls), np.zeros(len(rows.names)))
    return Applied(np.zeros(6), force, np.zeros(4), ground)


def _load_under(chassis: Chassis, of: str, static: Array) -> float:
    if of in WHEELS:
        return float(static[WHEELS.index(of)])
    k = [a.name for a in chassis.axles].index(of)
    return float(static[2 * k : 2 * k + 2].sum())


def hung_rows(case: LoadCase, rows: Rows) -> list[tuple[float, list[int]]]:
    """Masses (t) that hang on mounts, and the three rows of each."""
    return [(mass, [rows.names.index(pull_name(place, w)) for w in WAYS]) for place, mass in case.hung]
