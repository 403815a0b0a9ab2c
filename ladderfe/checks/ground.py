"""What stands on the ground and how: forces under the wheels, the grip that they ask for, stands, jacks and pads, and
how much of a case was taken before it would tip over."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, pull_name
from ladderfe.cases.types import GRAVITY
from ladderfe.solve import Solution

__all__ = [
    "GRIP", "MOST_TWIST", "WHEELS", "Held", "Tipped", "UnderWheels", "held_up", "tipped", "tipped_parts", "twisted",
    "under_wheels",
]  # fmt: skip

Array = NDArray[np.float64]

#: The four wheels in the order of arrays over them.
WHEELS = ("front left", "front right", "rear left", "rear right")
#: Horizontal force over load that tyres hold at most, about (common practice, no source).
GRIP = 1.0
#: A couple that needs more twist between the axles than this, degrees, cannot come about (judgement, no source: a
#: diagonal pair of wheels raised by 400 mm at a track of 1.5 m is as much, were the springs stiff as stone).
MOST_TWIST = 30.0
#: A force below this part of the greatest one is none: cases that tip over are taken just short of it.
NOTHING = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class UnderWheels:
    """Of one case, by its index: forces (4, 3) of the ground on the wheels, N, x rearward, y right, z up; which wheels
    are off the ground.  in_plan: forces act along or across.  grip: of front and rear axle the horizontal force over
    the load, inf where nothing presses the axle down; None where no tyre holds it (nothing to hold, kerbs, steps)."""

    case: int
    forces: Array
    lifted: tuple[str, ...]
    in_plan: bool
    grip: tuple[float | None, float | None]

    @property
    def most_grip(self) -> float:
        """The greater of both axles, 0 where none is asked for."""
        return max((g for g in self.grip if g is not None), default=0.0)


@dataclass(frozen=True, slots=True)
class Held:
    """Force (N, up) of a jack or a stand on the frame in one case; `jack` tells which of both it is."""

    case: int
    place: str
    force: float
    jack: bool

    @property
    def lifted(self) -> bool:
        """True where the frame has come off it."""
        return self.force <= 0


@dataclass(frozen=True, slots=True)
class Tipped:
    """A case, by its index and name, that would tip over, with the words how; the share of it that was taken, and what
    it states beside weight: an acceleration (g), a pull (N), or both (unit "")."""

    case: int
    name: str
    words: str
    share: float
    stated: float
    unit: str


def under_wheels(solution: Solution) -> list[UnderWheels]:
    """The cases that say something about the ground: those on their wheels, strikes from the road, and the limit couple
    under the vehicle's weight.

    Factors on spring forces and bounces state what reaches the frame and say nothing about the ground.
    """
    return [_under(solution, k) for k, case in enumerate(solution.cases) if _says_something(solution, case)]


def _says_something(solution: Solution, case: LoadCase) -> bool:
    if case.of:
        return all(_says_something(solution, solution.cases[solution.case(name)]) for name, _ in case.of)
    on_wheels = case.on_ground and not case.stands
    return on_wheels or bool(case.pushes) or bool(case.couple and case.gravity)


def _struck(solution: Solution, case: LoadCase) -> bool:
    """True where steps or kerbs push on wheels."""
    return bool(case.pushes) or any(_struck(solution, solution.cases[solution.case(name)]) for name, _ in case.of)


def _under(solution: Solution, k: int) -> UnderWheels:
    case, forces = solution.cases[k], solution.ground[:, :, k].copy()
    forces[np.abs(forces) < NOTHING * np.abs(forces).max()] = 0.0
    lifted = tuple(w for w, z in zip(WHEELS, forces[:, 2], strict=True) if z == 0)
    held = forces.any() and not _struck(solution, case)
    grip = [_grip(forces[i : i + 2]) if held else None for i in (0, 2)]
    return UnderWheels(k, forces, lifted, bool(forces[:, :2].any()), (grip[0], grip[1]))


def _grip(wheels: Array) -> float | None:
    """Horizontal force over load of one axle's wheels (2, 3)."""
    x, y, z = wheels.sum(axis=0)
    size = float(np.hypot(x, y))
    if not size:
        return None
    return size / float(z) if z > 0 else float("inf")


def held_up(solution: Solution) -> list[Held]:
    """Forces of jacks and stands in the cases that have them, case by case."""
    out = []
    for k, case in enumerate(solution.cases):
        names = [pull_name(case.jack, "z")] if case.jack else list(case.stands)
        places = [case.jack] if case.jack else list(case.stands)
        forces = [float(solution.support_forces[solution.supports.index(n), k]) for n in names]
        least = NOTHING * max(map(abs, forces), default=0.0)
        out += [Held(k, p, f if abs(f) > least else 0.0, bool(case.jack)) for p, f in zip(places, forces, strict=True)]
    return out


def tipped(solution: Solution) -> list[Tipped]:
    """The cases of which only a share could be taken."""
    return [
        Tipped(k, case.name, words, float(solution.share[k]), *_stated(case))
        for k, (case, words) in enumerate(zip(solution.cases, solution.tips, strict=True))
        if words and solution.share[k] < 1
    ]


def tipped_parts(solution: Solution) -> dict[int, list[Tipped]]:
    """Of cases that add up others, by their index, those parts of which only a share could be taken, at first hand or
    at second; of the others nothing."""
    share = {t.name: t for t in tipped(solution)}
    below = {c.name: [name for name, _ in c.of] for c in solution.cases if c.of}

    def parts(name: str) -> list[Tipped]:
        own = [share[n] for n in below.get(name, []) if n in share]
        return own + [t for n in below.get(name, []) for t in parts(n) if t not in own]

    found = {k: list({t.name: t for t in parts(c.name)}.values()) for k, c in enumerate(solution.cases) if c.of}
    return {k: own for k, own in found.items() if own}


def _stated(case: LoadCase) -> tuple[float, str]:
    """The one thing that a case states beside weight; nothing where there are several, where forces balance each other,
    or where a factor stands on all of it."""
    speed = float(np.hypot(*case.acceleration)) / GRAVITY
    forces = [f for _, f in case.pulls] + [(0.0, 0.0, -mass * GRAVITY) for _, mass in case.hung]
    pull = float(np.linalg.norm(np.sum(forces, axis=0))) if forces else 0.0
    largest = max((float(np.linalg.norm(f)) for f in forces), default=0.0)
    if (speed and largest) or case.times != 1 or pull < largest / 2:
        return 1.0, ""
    return (speed, "g") if speed else (pull, "N")


def twisted(solution: Solution) -> Array:
    """(c,) degrees by which the frame at the front axle's springs is turned against that at the rear ones."""
    moved = solution.footing.rows[:, :4].T @ solution.movements
    front, rear = ((moved[2 * k + 1] - moved[2 * k]) / s.arm for k, s in enumerate(solution.suspensions))
    return np.asarray(np.abs(np.degrees(front - rear)))
