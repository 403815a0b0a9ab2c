"""From weighed axles back to what lies along the rail: two equations, two unknowns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from ladderfe.errors import ModelError
from ladderfe.hand.loads import LineLoad, PointLoad, resultant
from ladderfe.units import kgf_from_newtons

__all__ = ["Distribution", "Spread", "centre_of_gravity", "line_loads_from_reactions"]

Distribution = Literal["two halves", "linear"]
ROUNDING = 1e-9  # of the mean line load: less than this below nothing is rounding of the weights, not a light end


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Where the unlisted weight lies: from `start` to `end` (mm), split at `split` (the middle if None)."""

    start: float
    end: float
    split: float | None = None
    distribution: Distribution = "two halves"

    def __post_init__(self) -> None:
        if not self.start < self.middle < self.end:
            raise ModelError(
                "line loads", f"a body from {self.start:g} to {self.end:g} mm cannot be split at {self.middle:g} mm",
                "Give start, split and end in this order, in mm",
            )

    @property
    def middle(self) -> float:
        """The station of the split, mm."""
        return (self.start + self.end) / 2 if self.split is None else self.split

    @property
    def length(self) -> float:
        return self.end - self.start


def centre_of_gravity(reactions: Sequence[float], supports: Sequence[float]) -> tuple[float, float]:
    """The whole weight and the station of its centre from two support reactions (moments about the front one)."""
    weight = reactions[0] + reactions[1]
    if not weight > 0:
        raise ModelError("axle weights", f"together they are {weight:g}", "Give the weights that the scales showed")
    return weight, supports[0] + reactions[1] * (supports[1] - supports[0]) / weight


def line_loads_from_reactions(
    reactions: tuple[float, float],
    supports: tuple[float, float],
    spread: Spread,
    known: Sequence[LineLoad | PointLoad] = (),
) -> tuple[LineLoad, ...]:
    """Line loads that, with the known loads, give the two support reactions back.

    What is left of the reactions (N, upward) after the known loads is spread over the body by the law of the lever:
    two uniform loads, or one that varies linearly, q = S/l (1 -+ 6 e/l) at its ends with e the distance of the
    remaining weight's centre behind the middle.  Source: statics, derived here.

    Raises
    ------
    ModelError
        Where an end would have to be negative: it names the light end and the known loads that make it so.
    """
    force, moment = resultant(known, supports[0])
    left = reactions[0] + reactions[1] - force
    arm = reactions[1] * (supports[1] - supports[0]) - moment
    if not left > 0:
        names = ", ".join(_named(load) for load in known) or "none"
        raise ModelError(
            "line loads", f"the listed loads ({names}) weigh more than the axles carry by {_kg(-left)}",
            "Check the axle loads, the unsprung masses and which masses were aboard when weighed",
        )
    ends, centre = _ends(spread), supports[0] + arm / left
    for end in ends:
        if left * end.share(centre) < -ROUNDING * left / spread.length:
            raise _light_end(end, left, centre, known)
    q = [left * end.share(centre) for end in ends]
    if spread.distribution == "linear":
        return (LineLoad(spread.start, spread.end, q[0], q[1], "body"),)
    return (
        LineLoad(spread.start, spread.middle, q[0], q[0], "front part"),
        LineLoad(spread.middle, spread.end, q[1], q[1], "rear part"),
    )


@dataclass(frozen=True, slots=True)
class _End:
    """An end of the body: its name, and its line load (1/mm) per unit of weight with its centre at a station."""

    name: str
    share: Callable[[float], float]


def _ends(spread: Spread) -> tuple[_End, _End]:
    length, split = spread.length, spread.middle
    if spread.distribution == "linear":
        middle = (spread.start + spread.end) / 2
        return (
            _End("front end", lambda x: (1 - 6 * (x - middle) / length) / length),
            _End("rear end", lambda x: (1 + 6 * (x - middle) / length) / length),
        )
    front, rear = (spread.start + split) / 2, (split + spread.end) / 2
    return (
        _End("front part", lambda x: (rear - x) / (rear - front) / (split - spread.start)),
        _End("rear part", lambda x: (x - front) / (rear - front) / (spread.end - split)),
    )


def _light_end(end: _End, left: float, centre: float, known: Sequence[LineLoad | PointLoad]) -> ModelError:
    """The error for an end that would pull upward, with the loads that take most from it."""
    taken = [(load.force * end.share(load.moment(0.0) / load.force), load) for load in known if load.force]
    guilty = [load for amount, load in sorted(taken, key=lambda t: -t[0]) if amount > 0]
    cause = f"; taken from it by {', '.join(map(_named, guilty))}" if guilty else "; no listed load takes from it"
    rest = kgf_from_newtons(left * end.share(centre) * 1000)
    return ModelError(
        "line loads",
        f"the {end.name} is light: {rest:.1f} kg/m would be left on it "
        f"(the unlisted {_kg(left)} have their centre at {centre:.0f} mm){cause}",
        "Check the axle loads, the unsprung masses, where the body begins and ends, "
        "and which masses were aboard when weighed",
    )


def _named(load: LineLoad | PointLoad) -> str:
    if isinstance(load, PointLoad):
        place = f"{load.station + load.arm:.0f} mm"
    else:
        place = f"{load.start:.0f} to {load.end:.0f} mm"
    return f"{load.name or 'load'} ({_kg(load.force)} at {place})"


def _kg(force: float) -> str:
    return f"{kgf_from_newtons(force):.1f} kg"
