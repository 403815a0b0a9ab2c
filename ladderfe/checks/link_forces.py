"""What reaches the frame at the links of its axles, by their names: eyes, arms, pivots, track bars, stops, dampers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ladderfe.cases.entries import links_of
from ladderfe.chassis import Axle, Chassis, Links
from ladderfe.solve import Solution

__all__ = ["LinkForce", "link_forces"]

SIDES = ("left", "right")
FORE_AFT, SIDEWAYS, UP, WIND_UP = "fore-aft", "sideways", "up", "wind-up couple"
LEANING, YAWING = "couple about x", "couple about z"
#: Ways in which couples act -> the axis.
COUPLES = {WIND_UP: "y", LEANING: "x", YAWING: "z"}


@dataclass(frozen=True, slots=True)
class LinkForce:
    """Of one case, by its index, what an axle brings to the frame at `place` ("fixed eye", "track bar") on a side (""
    in the middle): N rearward, to the right or up, or N mm about `about` (x, y or z), right-handed, where it is a
    couple.  order: counts the places and ways."""

    case: int
    order: int
    axle: str
    side: str
    place: str
    way: str
    size: float

    @property
    def couple(self) -> bool:
        """True where `size` is in N mm."""
        return self.way in COUPLES

    @property
    def about(self) -> str:
        """The axis of a couple, "" of a force."""
        return COUPLES.get(self.way, "")


def link_forces(chassis: Chassis, solution: Solution) -> list[LinkForce]:
    """Every case, axle, place and way; none where no case has forces through links.

    The wind-up couple of an arm is told as the force up at its pivot.
    """
    rows = {name: k for k, name in enumerate(solution.supports)}
    found = [
        (axle.name, side, place, way, scale * solution.support_forces[rows[name]])
        for axle in chassis.axles
        for name, side, place, way, scale in _entries(axle, links_of(axle, chassis.rails))
        if name in rows
    ]
    return [
        LinkForce(k, order, axle, side, place, way, float(sizes[k]))
        for k in range(len(solution.cases))
        for order, (axle, side, place, way, sizes) in enumerate(found)
    ]


def _entries(axle: Axle, links: Links) -> Iterator[tuple[str, str, str, str, float]]:
    """Row of the frame, side, place, way, and the factor from the row's force to what is told."""
    n, eyes = axle.name, len(axle.seats) > 1
    seats = "eyes" if eyes else "spring seat"
    fore, side, couple = {
        "eyes": ("fixed eye" if eyes else seats, seats, seats),
        "arms": ("arm pivot", seats, "arm pivot"),
        "pivots": ("arm pivots",) * 3,
    }[links.kind]
    lever = 1 / (axle.station - links.station) if links.kind == "arms" else 1.0
    for s in SIDES:
        yield f"{n} fore-aft {s}", s, fore, FORE_AFT, 1.0
    if links.side_station is not None:
        yield f"{n} side", "", "track bar", SIDEWAYS, 1.0
    else:
        for s in SIDES:
            yield f"{n} side {s}", s, side, SIDEWAYS, 1.0
    for s in SIDES:
        yield f"{n} wind-up {s}", s, couple, UP if links.kind == "arms" else WIND_UP, lever
    for s in SIDES if axle.kind == "independent" else ():
        yield f"{n} roll {s}", s, couple, LEANING, 1.0
        yield f"{n} yaw {s}", s, couple, YAWING, 1.0
    for s in SIDES:
        yield f"{n} stop {s}", s, "bump stop", UP, 1.0
    for s in SIDES:
        yield f"{n} damper {s}", s, "damper bracket", UP, 1.0
