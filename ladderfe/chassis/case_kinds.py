"""Kinds of load case: the keys that each takes, and what is assumed of it where a file gives none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from ladderfe.chassis.assumed import COMMON, MEMORY, Guess

__all__ = ["COUNTS", "DEFAULTS", "KEYS", "NOTHING", "PULLS", "TAKES", "Asked"]

COURSE: Final = "course text on loads on vehicle structures, factor table"
BOOK: Final = "Motor Vehicle Structures: Concepts and Fundamentals (2002), load cases"
GUIDES: Final = "recovery guides: a strap breaks at 2 to 3 times the laden mass of the lighter vehicle"
PULLS: Final = ("drawbar pull", "winch", "recovery")
#: What holds against a pull, beside a mount; and what does where a pull names nothing.
HELD_BY: Final = ("wheels", "dug in", "inertia")
USUALLY_HELD_BY: Final = {"drawbar pull": "wheels", "winch": "dug in", "recovery": "inertia"}
_PULL: Final = ("at", "force", "angle", "up", "against")
#: What each kind of case may have beside its name and further forces.
TAKES: Final[dict[str, tuple[str, ...]]] = {
    "static": (),
    "amplified": ("factor",),
    "bounce": ("factor", "axle"),
    "limit twist": ("factor", "wheels"),
    "one wheel bump": ("factor", "wheels"),
    "raised": ("wheels", "height"),
    "cross-axle": ("wheels", "height"),
    "cornering": ("side", "acceleration"),
    "braking": ("acceleration",),
    "drive-off": ("acceleration", "axle"),
    "pothole": ("factor", "wheels", "height"),
    "kerb strike": ("factor", "axle", "side"),
    "nose weight": ("factor", "at", "mass"),
    "drawbar pull": _PULL,
    "winch": (*_PULL, "bridle"),
    "recovery": (*_PULL, "bridle"),
    "jack": ("factor", "at", "wheels"),
    "two-post lift": ("factor", "at"),
    "stands": ("at", "low"),
    "rear overhang whip": ("factor", "at", "mass"),
    "combination": ("of",),
    "usual": (),
}
#: Every key that only some kinds take.
KEYS: Final = (
    "factor", "axle", "wheels", "height", "side", "acceleration", "at", "force", "mass", "angle", "up", "against",
    "bridle", "low", "of",
)  # fmt: skip
#: Values that say nothing in a kind of case that does not take them.
NOTHING: Final[dict[str, tuple[Any, ...]]] = {"factor": (None, 1.0), "axle": (None, "both"), "wheels": (None,)}
#: How many mounts a kind of case is at: least, most, in words.
COUNTS: Final[dict[str, tuple[int, int, str]]] = {
    "nose weight": (1, 1, "one mount, that of the coupling"),
    "rear overhang whip": (1, 1, "one mount, that of the coupling"),
    "drawbar pull": (1, 1, "one mount, that of the coupling"),
    "winch": (1, 2, "one mount, or the two of a bridle"),
    "recovery": (1, 2, "one mount, or the two of a bridle"),
    "jack": (1, 1, "one mount, the one that the jack lifts"),
    "two-post lift": (4, 4, "four mounts, those on the pads"),
    "stands": (3, 99, "three or more mounts"),
}
#: What is assumed where a case does not say it, by kind and key.
DEFAULTS: Final[dict[tuple[str, str], Guess]] = {
    ("amplified", "factor"): Guess("factor on all static loads", 2.0, 2.0, 3.0, "", f"{COURSE}: 2 to 3 on roads"),
    ("bounce", "factor"): Guess(
        "factor on the springs of the axle that bounces", 2.0, 2.5, 3.0, "", f"{COURSE}: 2 to 3 on roads"
    ),
    ("one wheel bump", "factor"): Guess(
        "factor on the limit couple of one wheel on a bump", 1.3, 1.3, 1.8, "",
        f"{COURSE}: 1.3 on roads, to 1.8 on rough ground",
    ),
    ("cross-axle", "height"): Guess("height of two wheels on a diagonal", 100.0, 200.0, 400.0, "mm", COMMON),
    ("cornering", "acceleration"): Guess(
        "sideways acceleration in a bend, at most that of tipping over", 0.8, 1.0, 1.0, "g",
        f"grip of tyres on a dry road; {COURSE}; 0.8 to 1 g {MEMORY}",
    ),
    ("braking", "acceleration"): Guess(
        "deceleration of braking", 0.75, 1.1, 1.84, "g", f"published by author and class of vehicle; {BOOK}; {COURSE}"
    ),
    ("drive-off", "acceleration"): Guess("acceleration of driving off", 0.5, 0.5, 1.0, "g", BOOK),
    ("pothole", "factor"): Guess(
        "rearward force of a pothole over the static load of the wheel", 3.0, 4.5, 4.5, "", COURSE
    ),
    ("pothole", "height"): Guess("step of a pothole over the tyre's radius", 0.3, 0.5, 0.7, "x radius", COMMON),
    ("kerb strike", "factor"): Guess(
        "factor on the force that tips the vehicle over a kerb", 1.4, 1.4, 1.75, "", COURSE
    ),
    ("nose weight", "factor"): Guess("factor on the nose weight of a trailer", 2.0, 2.5, 3.0, "", MEMORY),
    ("recovery", "force"): Guess("pull of a recovery over the vehicle's weight", 2.0, 2.0, 3.0, "x weight", GUIDES),
    ("jack", "factor"): Guess("factor on the weight of a vehicle on a jack", 1.0, 1.1, 1.1, "", COMMON),
    ("two-post lift", "factor"): Guess("factor on the weight of a vehicle on a lift", 1.0, 1.1, 1.1, "", COMMON),
    ("rear overhang whip", "factor"): Guess(
        "factor on the rear springs as the rear overhang whips", 3.0, 3.5, 4.0, "", "no published factor, assumed"
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """A case that no table asks for, with the keys of one."""

    name: str
    kind: str
    factor: float | None = None
    axle: str | None = None
    wheels: tuple[str, ...] | None = None
    height: float | None = None
    side: str | None = None
    acceleration: float | None = None
    at: tuple[str, ...] | None = None
    force: float | None = None
    mass: float | None = None
    angle: float | None = None
    up: float | None = None
    against: str | None = None
    bridle: float | None = None
    low: tuple[tuple[str, float], ...] = ()
    of: tuple[Any, ...] = ()
    forces: tuple[Any, ...] = ()
