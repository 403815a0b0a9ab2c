"""Three ways in which a frame vibrates: bare and free, laden and free, laden on its springs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.suspension import Seat
from ladderfe.mesh import Mesh
from ladderfe.solve.frame import Frame
from ladderfe.solve.mass import FrameMass, carried_mass, own_mass_of
from ladderfe.solve.modes import Vibrating
from ladderfe.solve.respond import Hanging
from ladderfe.solve.supports import HOLDS, support_rows

__all__ = ["HOLD_RATE", "bare", "laden", "on_springs"]

Array = NDArray[np.float64]

#: N/mm of the holds in plane: thousands of times what a frame gives there, and far from what costs digits.
HOLD_RATE = 1e7


def bare(mesh: Mesh, frame: Frame) -> Vibrating:
    """The frame alone, nothing on it and nothing that holds it."""
    return Vibrating.free(own_mass_of(mesh, frame))


def laden(mesh: Mesh, frame: Frame, hanging: Hanging) -> Vibrating:
    """The frame with everything it carries fixed to it, and nothing that holds it."""
    return Vibrating.free(carried_mass(mesh, frame, hanging.carried, hanging.mounts))


def on_springs(mass: FrameMass, hanging: Hanging) -> Vibrating:
    """The same on its springs and anti-roll bars, wheels and axles at rest, no stop or strap touching.

    In plane it is held along the same three directions as the standing frame (`HOLDS`), where nothing pulls at rest;
    here the holds carry inertia, so they take the mean of an axle's spring seats on both sides instead of a place on
    the left rail, on which all the mass would swing.
    """
    frame, system = mass.frame, hanging.suspended()
    seats = system.seats
    rows = support_rows(frame, hanging.places, seats)
    own = [k for k, link in enumerate(system.links) if link.kind in ("spring", "anti-roll bar")]
    springs = rows @ system.coupling[0][own].T
    rates = [1 / system.links[k].flexibility for k in own]
    holds = [_hold(frame, hanging, seats[0:2] if axle == "front" else seats[2:4], way) for axle, way, _ in HOLDS]
    both = np.concatenate([springs, np.stack(holds, axis=1)], axis=1)
    return Vibrating(frame, mass, both, np.array([*rates, *[HOLD_RATE] * len(HOLDS)]), np.zeros(0, dtype=np.int64))


def _hold(frame: Frame, hanging: Hanging, seats: tuple[Seat, ...], way: int) -> Array:
    """(unknowns,) mean movement of an axle's spring seats along x (0) or y (1), eyes by their shares."""
    row, direction = np.zeros(frame.unknowns), np.zeros(6)
    direction[way] = 1
    for seat in seats:
        for place, share in seat.places:
            p = hanging.places[place]
            follow = np.array(p.follow).T if p.follow else None
            unknown, coefficient = frame.row(p.node, np.array(p.arm), direction, follow)
            np.add.at(row, unknown, share[2] / len(seats) * coefficient)
    return row
