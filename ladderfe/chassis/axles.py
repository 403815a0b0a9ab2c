"""Axles of a chassis file: what was weighed, where the springs stand, and what is assumed where the file is silent."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import nan
from typing import Any, Final, Literal

from ladderfe.chassis.assumed import COMMON, MEMORY, Assumed, Guess
from ladderfe.chassis.drafts import Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.links import Around, LinkReader
from ladderfe.chassis.suspension import read_suspension
from ladderfe.chassis.types import Axle
from ladderfe.units import tonnes

__all__ = ["read_axles"]

#: Wheel loads may miss the axle load by this part of it, or by so many kg: scales show steps of 5 or 10 kg.
ROUNDING: Final = (0.01, 5.0)
Seats = tuple[tuple[float, float], ...]
EVEN: Final = 0.5  # share of the left wheels where nothing is known of it
LIGHT: Final = (0.2, 0.3, 0.4)  # parts of the load of a light axle that its unsprung mass is taken as at most
UNSPRUNG: Final = {"beam": (120.0, 170.0, 220.0), "independent": (80.0, 100.0, 120.0)}  # kg
RATES: Final = {"front": (20.0, 30.0, 40.0), "rear": (25.0, 40.0, 60.0)}  # N/mm
EYES: Final = (900.0, 1100.0, 1300.0)  # mm
SIDE_SHARE: Final = Guess(
    "share of axle loads, less listed masses, under the left wheels: taken as half", 0.47, EVEN, 0.53, "", MEMORY
)


def read_axles(faults: Faults, file: Any, rails: Rails, around: Around, assumed: Assumed) -> list[Axle]:
    """The two axles, front first; faults are noted."""
    tables = list(file.axles)
    if len(tables) > 2:
        faults.add(
            ("axles", 2),
            "is one axle too many: what a third axle carries cannot be told from scales and levers alone",
            "Describe a vehicle with two axles; the share of a third depends on how its springs are linked",
            value="",
        )
    elif len(tables) < 2:
        faults.add(
            ("axles",),
            "are fewer than two",
            "Add an [[axles]] for the front and one for the rear axle",
            value=str(len(tables)),
        )
    if len(tables) != 2:
        return []
    stations = _stations(faults, file)
    around = replace(around, stations=(min(stations), max(stations)))
    order = (1, 0) if stations[1] < stations[0] else (0, 1)
    share = EVEN
    if len(alone := [i for i in order if tables[i].wheel_loads is None]) == 1:
        rule = "is missing: the other axle's two sides were weighed"
        faults.add(("axles", alone[0], "wheel_loads"), rule, "Give wheel_loads for both axles or for neither")
    if all(t.wheel_loads is None for t in tables):
        share = assumed.take("axles.left_share", None, SIDE_SHARE)
    for i, where, other in zip(order, ("front", "rear"), ("rear", "front"), strict=True):
        name = (tables[i].name or "").casefold()
        if other in name and where not in name:
            faults.add(("axles", i, "name"), f"is the {where} axle by its station", "Correct its name or its station")
    return [
        _Axle(faults, ("axles", i), tables[i], stations[i], where, rails, around, assumed).read(share)
        for i, where in zip(order, ("front", "rear"), strict=True)
    ]


def _stations(faults: Faults, file: Any) -> tuple[float, float]:
    """Stations of the axles in the order of the file, nan where unknown."""
    first, second = (t.station for t in file.axles)
    base = file.wheelbase
    if (first is None and second is None) or (base is None and None in (first, second)):
        missing = 0 if first is None else 1
        faults.add(
            ("axles", missing, "station"),
            "is missing",
            "Give the axle's station, or wheelbase at the top of the file and one of the two",
        )
        return (nan if first is None else first), (nan if second is None else second)
    if first is None:
        return second - base, second
    if second is None:
        return first, first + base
    if base is not None and abs(abs(second - first) - base) > 1:
        faults.add(
            ("wheelbase",),
            f"differs from the distance between the axles' stations, {abs(second - first):g} mm",
            "Correct one of them, or give the wheelbase and one station only",
        )
    if abs(second - first) < 300:
        faults.add(
            ("axles", 1, "station"),
            f"is less than 300 mm from the other axle, which is at {first:g} mm",
            "Measure both axles from the same datum",
        )
    return first, second


@dataclass(frozen=True, slots=True)
class _Axle:
    """An axle's table and what is needed to read it; `where` is front or rear."""

    faults: Faults
    path: Path
    table: Any
    station: float
    where: str
    rails: Rails
    around: Around
    assumed: Assumed

    def read(self, share: float) -> Axle:
        """The axle; `share` is that of the left wheels where no wheel was weighed on its own."""
        note_off_rails(self.faults, (*self.path, "station"), self.rails, self.station)
        table = self.table
        wheels = self._wheel_loads()
        if wheels is None and share != EVEN:
            wheels = (share * table.load, (1 - share) * table.load)
        kind: Literal["beam", "independent"] = table.suspension or "beam"
        seats = self._seats()
        leaf, spring_base = len(seats) > 1, self._spring_base()
        links = LinkReader(
            self.faults, self.path, table, self.where, self.station, self.rails, self.around, self.assumed
        )
        return Axle(
            name=self.where,
            station=self.station,
            load=tonnes(table.load),
            unsprung=tonnes(self._unsprung(kind)),
            track=table.track,
            spring_base=spring_base,
            rate=self._take("rate", table.rate, f"rate of one {self.where} spring", RATES[self.where], "N/mm"),
            seats=seats,
            kind=kind,
            wheel_loads=(tonnes(wheels[0]), tonnes(wheels[1])) if wheels else None,
            **read_suspension(
                self.faults, self.path, table, self.where, self.assumed, kind=kind, leaf=leaf,
                hangs=self.around.uses.hangs,
            ),
            **links.read(seats, spring_base),
        )

    def _take(
        self, key: str, stated: float | None, meaning: str, values: tuple[float, float, float], unit: str = "mm"
    ) -> float:
        return self.assumed.take(f"axles.{self.where}.{key}", stated, Guess(meaning, *values, unit, MEMORY))

    def _unsprung(self, kind: str) -> float:
        """Unsprung mass, kg; of a light axle a part of its load is assumed at most."""
        table = self.table
        low, used, high = (min(v, part * table.load) for v, part in zip(UNSPRUNG[kind], LIGHT, strict=True))
        what = "axle, wheels, brakes" if kind == "beam" else "wheels, hubs, brakes"
        meaning = f"mass below the {self.where} springs: {what}"
        mass = self._take("unsprung", table.unsprung, meaning, (low, used, high), "kg")
        if table.load <= mass:
            rule = f"must be more than the axle's own unsprung mass, {mass:g} kg"
            self.faults.add((*self.path, "load"), rule, "Give the whole weight under both wheels of the axle, in kg")
        return mass

    def _spring_base(self) -> float:
        """Distance between the springs, mm; that of the arms' pivots where torsion bars turn them, else assumed under
        the rails, at most a rail's width outside of them."""
        stated, track, pivots = self.table.spring_base, self.table.track, self.table.pivots
        if stated is None and self.table.torsion_bar is not None and pivots is not None and pivots.spacing is not None:
            return float(min(pivots.spacing, 0.95 * track))  # a bar has no seat: the force is on the arm's pivots
        spacing = sum(rail.half(self.station) for rail in self.rails)
        width = self.rails[0].outline(self.station)[0]
        used = min(spacing, 0.95 * track)
        low, high = min(used, spacing - width), max(used, min(spacing + 2 * width, 0.98 * track))
        meaning = f"distance between the {self.where} springs: taken as under the middle of the rails"
        if stated is not None and stated >= track:
            rule = f"must be less than the track, {track:g} mm"
            self.faults.add((*self.path, "spring_base"), rule, "Measure between the middles of the two springs")
        guess = Guess(meaning, low, used, high, "mm", f"{COMMON}: the rails' spacing")
        return self.assumed.take(f"axles.{self.where}.spring_base", stated, guess)

    def _seats(self) -> Seats:
        """The places on each rail where the spring presses."""
        if self.table.eyes is not None:
            return self._eyes()
        span = 0.0
        if self.table.spring == "leaf":
            span = self._take("eyes", None, f"distance between the eyes of the {self.where} leaf springs", EYES)
        elif self.table.spring is None:
            meaning = f"distance between the eyes of the {self.where} springs: taken as 0, a coil at the axle"
            span = self._take("eyes", None, meaning, (0.0, 0.0, EYES[1]))
        front = max(self.station - span / 2, *(r.start for r in self.rails))
        rear = min(self.station + span / 2, *(r.end for r in self.rails))
        return _shared(self.station, front, rear)

    def _eyes(self) -> Seats:
        place, eyes, station = (*self.path, "eyes"), self.table.eyes, self.station
        if self.table.spring == "coil" and not self.faults.is_spared((*self.path, "spring")):
            rule = "belongs to a leaf spring, not to a coil"
            self.faults.add(place, rule, 'Write spring = "leaf", or leave eyes out')
        if len(eyes) != 2:
            rule = "needs two stations, those of the front and of the rear eye"
            self.faults.add(place, rule, "Write eyes = [500, 1500]")
            return ((station, 1.0),)
        if eyes[0] >= station or eyes[1] <= station:
            rule = f"must lie before and behind the axle at {station:g} mm"
            self.faults.add(place, rule, "Write the front eye's station first, then the rear eye's")
        for k, eye in enumerate(eyes):
            note_off_rails(self.faults, (*place, k), self.rails, eye)
        return _shared(station, eyes[0], eyes[1])

    def _wheel_loads(self) -> tuple[float, float] | None:
        """What left and right wheel weighed, kg, brought to the axle load within the scale's rounding."""
        table = self.table
        if table.wheel_loads is None:
            return None
        left, right = table.wheel_loads.left, table.wheel_loads.right
        both = left + right
        if abs(both - table.load) > max(ROUNDING[0] * table.load, ROUNDING[1]):
            rule = f"add up to {both:g} kg, not to the axle load of {table.load:g} kg"
            self.faults.add((*self.path, "wheel_loads"), rule, "Weigh again, or correct the slip")
        return (left * table.load / both, right * table.load / both)


def _shared(station: float, front: float, rear: float) -> tuple[tuple[float, float], ...]:
    """What each eye carries by the lever."""
    if not rear > front:
        return ((station, 1.0),)
    return (front, (rear - station) / (rear - front)), (rear, (station - front) / (rear - front))
