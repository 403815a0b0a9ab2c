"""Axles between the wheels and the frame, as links that the contact solver can close and open.

Two rigid unknowns per axle join the frame's six: heave h (mm, up) and roll r (rad about x, right side up) of a beam
axle, or the heights of the left and right wheel where they are independent.  Every link i has a force p_i (N, pushing
positive) and a movement d_i (mm, opening positive) of its upper against its lower end:

    wheel         beam: d = h + y r, y = -+track/2                       independent: d = wheel
    spring        beam: d = z - h - y r, y = -+spring base/2             independent: d = m (z - wheel)
    bump stop     d = z - h - y r                                        independent: d = z - wheel
    droop strap   the same with the sign turned round: it "pushes" the axle up and the frame down
    anti-roll bar d = (z right - z left) - b r, b = spring base          independent: - (right wheel - left), b = track
    stand, hold   d = movement of the frame
    body          d = twist of the frame between the axles' springs, held both ways

z is the movement of the frame at the seat: shared between the eyes of a leaf; of an independent wheel, carried out to
the wheel by a rigid arm, so that spring and arm pivots together bring the wheel force and its couple to the rail.  Of
a torsion bar that couple goes to its anchor; stops, straps and anti-roll bar have theirs on the rail all the same.
m is the motion ratio, spring movement over wheel movement: wheel force = m x spring force, wheel rate = m^2 x rate.

The law of every link is  w = d + p c - d0,  with w = 0 where it holds both ways, and w >= 0, p >= lowest,
w (p - lowest) = 0 where it can open.  c is its flexibility (mm/N; b^2 over the roll stiffness for an anti-roll bar,
whose p is the force of its couple at the arm b) and d0 its set-up: how far its foot was raised.  `lowest` is 0 for
wheels, stands, bump stops and straps, and minus the pull a spring can carry for springs.

Equilibrium of an axle is the lines of heave and roll of  load + L^T p = 0:
wheels - springs = own weight,  track/2 (right - left wheel) = spring base/2 (right - left spring) + bar couple,
so a wheel load change dR makes a spring force change dR track/base, and the axle's own weight, at its middle, never
reaches the frame while its wheels stand on something; a hanging axle pulls on springs and straps.
Small rotations: an angle is a height over a track.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, isfinite
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Assumption, Axle, Guess, suspension_guess
from ladderfe.errors import ModelError

__all__ = ["Kind", "Laws", "Link", "Seat", "Stand", "Suspended", "Suspension"]

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Kind = Literal["wheel", "spring", "anti-roll bar", "bump stop", "droop strap", "stand", "hold", "body"]

#: N in the unit of an Assumption.
_NEWTON = {"pull": 1e3}


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspension:
    """What an axle has between its wheels and the frame, beside what the chassis file's axle already tells.

    motion_ratio: spring movement over wheel movement (1 on a beam axle).  anti_roll: N mm/rad of axle (or wheels)
    against the frame.  bump_gap, droop: travel in mm up and down from standing as weighed until the stop or the strap
    takes hold, inf where there is none; their rates in N/mm; on a beam axle at the spring, else at the wheel.
    pull: N that one spring can pull before it comes loose.  tyre_rate: N/mm, inf is rigid.
    None: not known; `taken` is used and `assumed` lists it.
    """

    axle: Axle
    motion_ratio: float = 1.0
    anti_roll: float = 0.0
    bump_gap: float = inf
    bump_rate: float | None = None
    droop: float = inf
    strap_rate: float | None = None
    pull: float | None = None
    tyre_rate: float | None = None

    def __post_init__(self) -> None:
        where = f"{self.axle.name} axle"
        if self.axle.kind == "beam" and self.motion_ratio != 1:
            problem = f"motion ratio {self.motion_ratio:g} on a beam axle"
            raise ModelError(where, problem, "Leave it out: its springs stand on the axle")
        for name in ("motion_ratio", "bump_rate", "strap_rate"):
            if not 0 < self.taken(name) < inf:
                problem = f"{name} {self.taken(name):g} is not a finite number above 0"
                raise ModelError(where, problem, "Give what was measured")
        for name in ("bump_gap", "droop", "pull"):
            if not self.taken(name) >= 0:
                raise ModelError(where, f"{name} {self.taken(name):g} is less than 0", "Give 0 or more")
        if not 0 <= self.anti_roll < inf:
            raise ModelError(where, f"anti_roll {self.anti_roll:g} is out of range", "Give N mm/rad, 0 for no bar")
        if not self.taken("tyre_rate") > 0:
            problem = f"tyre rate {self.taken('tyre_rate'):g} N/mm is not above 0"
            raise ModelError(where, problem, "Give N/mm, or leave it out for rigid tyres")

    def taken(self, name: str) -> float:
        """The value given for a field, else the one assumed."""
        value = getattr(self, name)
        return float(self._guess(name).used * _NEWTON.get(name, 1.0) if value is None else value)

    def assumed(self) -> tuple[Assumption, ...]:
        """What was not given and matters here."""
        names = ["pull", "tyre_rate"]
        names += ["bump_rate"] if isfinite(self.bump_gap) else []
        names += ["strap_rate"] if isfinite(self.droop) else []
        missing = {n: self._guess(n) for n in names if getattr(self, n) is None}
        return tuple(guess.noted(f"axles.{self.axle.name}.{n}", guess.used) for n, guess in missing.items())

    def _guess(self, name: str) -> Guess:
        return suspension_guess(name, self.axle.name, leaf=len(self.axle.seats) > 1)

    @property
    def arm(self) -> float:
        """Distance in mm between the two places where springs (beam) or wheels (independent) work."""
        return self.axle.spring_base if self.axle.kind == "beam" else self.axle.track

    def reach(self, sign: int) -> float:
        """How far (y in mm) an independent wheel on the left (-1) or right (1) is from its spring's place."""
        return sign * (self.axle.track - self.axle.spring_base) / 2

    @property
    def roll_stiffness(self) -> float:
        """N mm/rad of the frame against axle or wheels while all hold: motion ratio^2 rate arm^2/2 + anti-roll bar."""
        return self.axle.rate * self.motion_ratio**2 * self.arm**2 / 2 + self.anti_roll


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A stand or pad under the place `place` of the mesh; rate in N/mm, inf is rigid."""

    name: str
    place: str
    rate: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A movement of the frame: coefficients (6,) of ux uy uz rx ry rz at places of the mesh, added up."""

    name: str
    places: tuple[tuple[str, tuple[float, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link of the module docstring: parts of frame rows and axle unknowns (number, coefficient) in its movement d.

    `lowest` in N: -inf holds both ways.  `engages`: open while standing, takes hold after `gap` mm.  stiffens: a body
    that makes the frame so many times stiffer along the link; its flexibility follows from the frame's.
    """

    name: str
    kind: Kind
    axle: str = ""
    side: str = ""
    rows: tuple[tuple[int, float], ...] = ()
    bodies: tuple[tuple[int, float], ...] = ()
    flexibility: float = 0.0
    lowest: float = -inf
    engages: bool = False
    gap: float = 0.0
    stiffens: float = 1.0


class Laws(NamedTuple):
    """Names, flexibility, stiffens, lowest, engages and gap (n,) of n links as in `Link`; ground (n,): wheels and
    stands."""

    names: tuple[str, ...]
    flexibility: Array
    stiffens: Array
    lowest: Array
    engages: BoolArray
    gap: Array
    ground: BoolArray


@dataclass(frozen=True, kw_only=True)
class Suspended:
    """A frame on its axles, stands and holds.

    seats: the frame rows that links use, in this order: spring seats, stands; then rows for `held`, which the solver
    knows.  bodies: for every axle unknown the name of what moves.  weight: N at 1 g that pulls each axle unknown down.
    """

    seats: tuple[Seat, ...]
    held: tuple[str, ...]
    links: tuple[Link, ...]
    bodies: tuple[str, ...]
    weight: tuple[float, ...]

    @cached_property
    def coupling(self) -> tuple[Array, Array]:
        """(n, rows) parts of the frame rows and (n, bodies) parts of the axle unknowns in the movement of links."""
        rows = np.zeros((len(self.links), len(self.seats) + len(self.held)))
        bodies = np.zeros((len(self.links), len(self.bodies)))
        for i, link in enumerate(self.links):
            for k, part in link.rows:
                rows[i, k] += part
            for k, part in link.bodies:
                bodies[i, k] += part
        rows.setflags(write=False)
        bodies.setflags(write=False)
        return rows, bodies

    @cached_property
    def laws(self) -> Laws:
        """The links' laws as arrays."""
        every = self.links
        return Laws(
            names=tuple(x.name for x in every),
            flexibility=np.array([x.flexibility for x in every]),
            stiffens=np.array([x.stiffens for x in every]),
            lowest=np.array([x.lowest for x in every]),
            engages=np.array([x.engages for x in every], dtype=bool),
            gap=np.array([x.gap for x in every]),
            ground=np.array([x.kind in ("wheel", "stand") for x in every], dtype=bool),
        )

    @cached_property
    def _parts(self) -> dict[tuple[str, ...], Suspended]:
        return {}

    def only(self, names: Iterable[str]) -> Suspended:
        """The same with those links alone that are named, kept for the next time."""
        key = tuple(names)
        if key not in self._parts:
            self._parts[key] = replace(self, links=tuple(x for x in self.links if x.name in key))
        return self._parts[key]

    @cached_property
    def _numbers(self) -> dict[str, int]:
        return {name: i for i, name in enumerate(self.laws.names)}

    def index(self, name: str) -> int:
        """Number of the link with this name; ModelError if there is none."""
        if name in self._numbers:
            return self._numbers[name]
        raise ModelError("supports", f"there is no {name}", f"Known are: {', '.join(link.name for link in self.links)}")
