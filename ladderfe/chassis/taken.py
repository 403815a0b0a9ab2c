"""What is taken of an axle's springs, stops, straps and tyres where nothing is known of them: one table for reading
chassis files and for the links that are made of axles."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Final

from ladderfe.chassis.assumed import COMMON, MEMORY, Guess

__all__ = ["suspension_guess"]

_TAKEN: Final = {
    "motion_ratio": Guess(
        "spring movement over wheel movement at the {} axle: taken as 1, the rate as measured at the wheel",
        0.5, 1.0, 1.0, "", MEMORY,
    ),
    "tyre_rate": Guess("rate of one {} tyre: taken as rigid", 150.0, inf, inf, "N/mm", MEMORY),
    "bump_rate": Guess("rate of one {} bump stop", 300.0, 1000.0, 2000.0, "N/mm", MEMORY),
    "droop": Guess("travel down of the {} axle until its dampers are fully out", 80.0, 120.0, 200.0, "mm", COMMON),
    "strap_rate": Guess("rate of one {} droop strap", 500.0, 1000.0, 5000.0, "N/mm", COMMON),
    "leaf pull": Guess("what one {} leaf spring can pull: taken as held at both ends", 0.0, inf, inf, "kN", COMMON),
    "coil pull": Guess("what one {} coil spring can pull: taken as loose on its seat", 0.0, 0.0, inf, "kN", COMMON),
}  # fmt: skip


def suspension_guess(field: str, axle: str, *, leaf: bool) -> Guess:
    """What is taken for a field of the Axle with this name, in the units of the chassis file; a spring with two eyes
    is a leaf."""
    guess = _TAKEN[("leaf pull" if leaf else "coil pull") if field == "pull" else field]
    return replace(guess, meaning=guess.meaning.format(axle))
