"""Axles as the frame knows them: what was weighed, springs, links, dampers, and the names of their places."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

__all__ = ["Axle", "Damper", "Links"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Links:
    """Where fore-aft and side forces of an axle reach the frame, below the rails as a rule.

    kind: "eyes" (leaf springs: the fixed eye at `station` takes fore-aft forces, both eyes carry the wind-up couple),
    "arms" (radius or trailing arms fixed to a beam axle, with pivots at `station`), "pivots" (arms of independent
    wheels, their pivots at `station`).  Places are +-`spacing`/2 from the centre line at `height`.  side_height: where
    side forces act, which is the roll centre's height; a track bar's bracket is at (side_station, side_y); where that
    is None the eyes or pivots of both sides share them.
    """

    kind: Literal["eyes", "arms", "pivots"]
    station: float
    spacing: float
    height: float
    side_height: float
    side_station: float | None = None
    side_y: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Damper:
    """Upper brackets of an axle's dampers, at +-`spacing`/2, and the force of one on the frame (N, upward) as the
    axle is thrown up; of an independent wheel it counts in full at the wheel, no lever."""

    station: float
    spacing: float
    height: float
    force: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Axle:
    """An axle as weighed.  load and unsprung in t; seats are (station, share) of the spring places on each rail, at
    +-spring_base/2 from the centre line; rate in N/mm of one spring; wheel_loads (left, right) in t or None.

    motion_ratio: spring movement over wheel movement (independent).  anti_roll: N mm/rad.  bump_gap and droop: travel
    in mm up and down from standing as weighed until stop or strap takes hold, inf where there is none; bump_rate and
    strap_rate in N/mm.  pull: N that one spring can pull before it comes loose.  tyre_rate: N/mm, inf is rigid.
    None: not known.  tyre_radius: height of the wheel's centre above the ground.  links: None stands for eyes, arms
    or pivots at the rail's height under the spring seats.  torsion_bar: crossmember that anchors the torsion bars of
    independent wheels.
    """

    name: str
    station: float
    load: float
    unsprung: float
    track: float
    spring_base: float
    rate: float
    seats: tuple[tuple[float, float], ...]
    kind: Literal["beam", "independent"] = "beam"
    wheel_loads: tuple[float, float] | None = None
    motion_ratio: float = 1.0
    anti_roll: float = 0.0
    bump_gap: float = inf
    bump_rate: float | None = None
    droop: float = inf
    strap_rate: float | None = None
    pull: float | None = None
    tyre_rate: float | None = None
    tyre_radius: float = 370.0
    links: Links | None = None
    damper: Damper | None = None
    torsion_bar: str | None = None

    def seat_name(self, side: str, index: int) -> str:
        """Name of the place where this axle's spring seat `index` sits on a rail."""
        return f"{self.name} axle, {side} spring, seat {index + 1}"

    def seat_words(self, index: int) -> str:
        """What pages call this axle's spring seat `index`, on either side: of a spring in two eyes its hangers."""
        if len(self.seats) != 2:
            return f"{self.name} spring seat"
        others = [station for k, (station, _) in enumerate(self.seats) if k != index]
        return f"{self.name} spring {'front' if self.seats[index][0] <= min(others) else 'rear'} hanger"

    def arm_name(self, side: str) -> str:
        """Name of the place where this axle's arm or inner pivots of one side sit on a rail."""
        return f"{self.name} axle, {side} arm"

    def damper_name(self, side: str) -> str:
        """Name of the place of a damper's upper bracket."""
        return f"{self.name} axle, {side} damper"

    def stop_name(self, side: str) -> str:
        """Name of the place on a rail above the axle's spring or bump stop."""
        return f"{self.name} axle, {side} stop"

    def anchor_name(self, side: str) -> str:
        """Name of the place on a crossmember that anchors a torsion bar."""
        return f"{self.name} axle, {side} torsion bar"

    def arm_couple_name(self, side: str) -> str:
        """Name of the couple about x that a wheel's arm brings to the rail instead of to its torsion bar's anchor."""
        return f"{self.name} arm couple {side}"

    @property
    def track_bar_name(self) -> str:
        """Name of the place of the track bar's bracket."""
        return f"{self.name} axle, track bar"

    def brackets(self) -> tuple[tuple[str, str, tuple[float, float, float]], ...]:
        """Places on the rails beside spring seats and stops: name, side of the rail, station, y, height."""
        out: list[tuple[str, str, tuple[float, float, float]]] = []
        n, d = self.links, self.damper
        for side, sign in (("left", -1), ("right", 1)):
            if n is not None and n.kind != "eyes":
                out.append((self.arm_name(side), side, (n.station, sign * n.spacing / 2, n.height)))
            if d is not None:
                out.append((self.damper_name(side), side, (d.station, sign * d.spacing / 2, d.height)))
        if n is not None and n.side_station is not None and n.side_y is not None:
            side = "left" if n.side_y < 0 else "right"
            out.append((self.track_bar_name, side, (n.side_station, n.side_y, n.side_height)))
        return tuple(out)
