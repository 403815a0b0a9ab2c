"""What the road can ask of a frame in twist and what its springs let through: limit couple, series, raised wheels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import Suspension, wheel_loads
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis
from ladderfe.errors import ModelError
from ladderfe.solve import Solution
from ladderfe.solve.lift_path import Change

__all__ = [
    "DIAGONALS",
    "HIGHEST",
    "WHEELS",
    "GroundLoad",
    "Lift",
    "Series",
    "balance_gap",
    "ground_loads",
    "raise_wheels",
    "series_of",
]

Array = NDArray[np.float64]

WHEELS = ("front left", "front right", "rear left", "rear right")
DIAGONALS = (("front left", "rear right"), ("front right", "rear left"))
#: A raised wheel is followed up to this height at least, mm.
HIGHEST = 600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundLoad:
    """What an axle brings to the ground, N, standing laden, its own weight (`unsprung`) included; track in mm."""

    axle: str
    load: float
    unsprung: float
    track: float

    @property
    def couple(self) -> float:
        """N mm at which one of its wheels is off the ground: the other carries all, at half the track."""
        return self.load * self.track / 2

    @property
    def couple_without_unsprung(self) -> float:
        """The same with the axle's own weight left out, which is wrong: that weight holds the wheel down too."""
        return (self.load - self.unsprung) * self.track / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Springs and frame in series, N mm/rad: roll stiffness of both axles (tyres in series where they are not rigid),
    torsional stiffness of the frame with its body; both tracks in mm."""

    front: float
    rear: float
    frame: float
    tracks: tuple[float, float]

    @property
    def total(self) -> float:
        return 1 / (1 / self.front + 1 / self.rear + 1 / self.frame)

    def couple(self, wheels: tuple[str, ...], height: float) -> float:
        """N mm while every spring and wheel holds; positive where it pushes front left up.  An angle is a height over
        a track."""
        angle = 0.0
        for wheel in wheels:
            axle, side = wheel.split()
            up = (1 if axle == "front" else -1) * (1 if side == "left" else -1)
            angle += up * height / self.tracks[0 if axle == "front" else 1]
        return self.total * angle


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lift:
    """Wheels raised together, step by step; between the heights all is linear.

    height (j,) mm; supports: names of all links, forces (n, j) N in them; wheel_forces (4, j) and spring_forces (4, j),
    all that acts on the frame at a spring, N, front left, front right, rear left, rear right; couple (j,) N mm that is
    added to the frame since standing, positive where it pushes front left up; changes: what lifts or takes hold on the
    way; tipping: in words, empty if it stands up to the last height.
    """

    wheels: tuple[str, ...]
    height: Array
    supports: tuple[str, ...]
    forces: Array
    spring_forces: Array
    couple: Array
    rear_couple: Array
    changes: tuple[Change, ...]
    tipping: str

    @property
    def name(self) -> str:
        return " and ".join(self.wheels)

    @property
    def wheel_forces(self) -> Array:
        return self.forces[[self.supports.index(f"{w} wheel") for w in WHEELS]]

    @property
    def lifting(self) -> tuple[Change, ...]:
        """Wheels that come off the ground."""
        return tuple(c for c in self.changes if c.lifts and c.support.endswith(" wheel"))

    def at(self, height: float) -> dict[str, float]:
        """Force in N of every link at a height; nan above the last one, where it has tipped over."""
        if height > self.height[-1] * (1 + 1e-9):
            return dict.fromkeys(self.supports, float("nan"))
        return {n: float(np.interp(height, self.height, f)) for n, f in zip(self.supports, self.forces, strict=True)}

    def couple_at(self, height: float) -> float:
        """N mm; nan above the last height."""
        if height > self.height[-1] * (1 + 1e-9):
            return float("nan")
        return float(np.interp(height, self.height, self.couple))


def ground_loads(suspensions: tuple[Suspension, ...], static: Array) -> tuple[GroundLoad, ...]:
    """Both axles on the ground; static (r,) N: standing forces along the support rows, two springs per axle first."""
    return tuple(
        GroundLoad(
            axle=s.axle.name,
            load=float(static[2 * k : 2 * k + 2].sum()) + s.axle.unsprung * GRAVITY,
            unsprung=s.axle.unsprung * GRAVITY,
            track=s.axle.track,
        )
        for k, s in enumerate(suspensions)
    )


def series_of(suspensions: tuple[Suspension, ...], frame: float) -> Series:
    """Both axles and a frame of that torsional stiffness (N mm/rad) in series."""
    front, rear = suspensions
    return Series(front=_roll(front), rear=_roll(rear), frame=frame, tracks=(front.axle.track, rear.axle.track))


def _roll(s: Suspension) -> float:
    """N mm/rad of the frame against the ground while all holds: springs and bar, in series with the tyres."""
    tyres = s.taken("tyre_rate") * s.axle.track**2 / 2
    return 1 / (1 / s.roll_stiffness + 1 / tyres)


def raise_wheels(chassis: Chassis, solution: Solution, up_to: float) -> tuple[Lift, ...]:
    """Each wheel alone, then both diagonal pairs, raised from standing laden up to a height in mm.

    Raises ModelError where it tips over before it is raised at all.
    """
    standing = solution.on_wheels()
    carry = standing.system.coupling[0]
    out = []
    for wheels in [*((w,) for w in WHEELS), *DIAGONALS]:
        path = standing.raise_wheels(wheels, up_to)
        if not len(path.height):
            words = path.tipping.words if path.tipping is not None else "does not stand"
            raise ModelError(f"{' and '.join(wheels)} raised", words, "Look at where its masses and axles are")
        springs = (carry.T @ path.forces)[: len(solution.springs)]
        front, rear = (
            (springs[2 * k] - springs[2 * k + 1]) * s.arm / 2 for k, s in enumerate(solution.suspensions)
        )  # fmt: skip
        out.append(
            Lift(
                wheels=wheels,
                height=path.height,
                supports=tuple(link.name for link in standing.system.links),
                forces=path.forces,
                spring_forces=springs,
                couple=front - front[:1],
                rear_couple=rear - rear[:1],
                changes=path.changes,
                tipping=path.tipping.words if path.tipping is not None else "",
            )
        )
    return tuple(out)


def balance_gap(chassis: Chassis, lift: Lift) -> float:
    """Greatest difference of wheel forces and those that balance each axle with its springs, against the greatest."""
    by_balance = np.array(wheel_loads(chassis, lift.spring_forces))
    return float(np.abs(by_balance - lift.wheel_forces).max() / np.abs(lift.wheel_forces).max())
