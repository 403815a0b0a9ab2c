"""What leads an axle along and across in a chassis file: eyes, arms, pivots, track bar, dampers, torsion bars."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

from ladderfe.chassis.assumed import COMMON, MEMORY, Assumed, Guess
from ladderfe.chassis.drafts import Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import Damper, Links
from ladderfe.chassis.uses import Uses

__all__ = ["Around", "LinkReader"]

LinkKind = Literal["eyes", "arms", "pivots"]
RADIUS: Final = (300.0, 370.0, 420.0)  # mm
BELOW: Final = (120.0, 60.0, 20.0)  # mm from the rails' lower edge down to the eyes or pivots
REACH: Final = (500.0, 700.0, 900.0)  # mm from a beam axle to the pivots of its arms
MOST_REACH: Final = 0.45  # of the wheelbase
ROLL_CENTRE: Final = (0.0, 50.0, 150.0)  # mm above the ground
#: Arms have a length: pivots nearer to their axle than this are a slip, mm.
SHORTEST: Final = 50.0
#: A bracket this far from its rail is a slip, mm.
FAR: Final = 400.0
SPACING: Final = "Measure from the left to the right one"
#: Keys that only some axles have: what these are, and where the keys would stand otherwise.
ONLY: Final[dict[str, tuple[LinkKind, ...]]] = {
    "fixed_eye": ("eyes",),
    "eye_height": ("eyes",),
    "arms": ("arms",),
    "pivots": ("pivots",),
    "track_bar": ("eyes", "arms"),
    "torsion_bar": ("pivots",),
}
AXLES: Final[dict[LinkKind, tuple[str, str]]] = {
    "eyes": ("a beam axle on leaf springs", 'spring = "leaf"'),
    "arms": ("a beam axle on coil springs", 'spring = "coil"'),
    "pivots": ("independent wheels", 'suspension = "independent"'),
}
BEAM: Final = ("a beam axle", 'suspension = "beam"')


@dataclass(frozen=True, slots=True)
class Around:
    """What an axle's links are read beside: the height of the ground, what the cases use, names of crossmembers, and
    the stations of both axles."""

    ground: float
    uses: Uses
    crossmembers: tuple[str, ...]
    stations: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class LinkReader:
    """Reads the links of one axle; `axle` is front or rear."""

    faults: Faults
    path: Path
    table: Any
    axle: str
    station: float
    rails: Rails
    around: Around
    assumed: Assumed

    def read(self, seats: tuple[tuple[float, float], ...], spring_base: float) -> dict[str, Any]:
        """Fields of an Axle, with the values taken where the file gives none; faults are noted."""
        kind: LinkKind = "arms"
        if self.table.suspension == "independent":
            kind = "pivots"
        elif self.table.spring == "leaf" or self.table.eyes is not None:
            kind = "eyes"
        if not self.faults.checked:
            self._check(kind)
        radius = Guess(f"height of the {self.axle} wheels' centres above the ground", *RADIUS, "mm", MEMORY)
        readers = {"eyes": lambda: self._eyes(seats, spring_base), "arms": self._arms, "pivots": self._pivots}
        return {
            "tyre_radius": self._take("tyre_radius", self.table.tyre_radius, radius),
            "links": readers[kind](),
            "damper": self._damper(spring_base),
            "torsion_bar": self.table.torsion_bar,
        }

    def _take(self, key: str, stated: float | None, guess: Guess, *, across: bool = False) -> float:
        """The stated value, else what is taken; said where cases have forces that need it."""
        uses = self.around.uses
        used = uses.across if across else uses.level
        return self.assumed.take_if(used, f"axles.{self.axle}.{key}", stated, guess)

    def _eyes(self, seats: tuple[tuple[float, float], ...], spring_base: float) -> Links:
        """The fixed eye of leaf springs, where the springs are."""
        fixed, _ = seats[-1] if self.table.fixed_eye == "rear" else seats[0]
        what = f"height of the eyes of the {self.axle} leaf springs"
        height = self._height("eye_height", self.table.eye_height, what, fixed)
        return self._links("eyes", fixed, spring_base, height)

    def _arms(self) -> Links:
        """Pivots of the arms that lead a beam axle on coils."""
        table = self.table.arms
        station = self._arm_station(getattr(table, "station", None))
        what = f"height of the pivots of the {self.axle} axle's arms"
        height = self._height("arms.height", getattr(table, "height", None), what, station)
        return self._links("arms", station, getattr(table, "spacing", None), height)

    def _arm_station(self, stated: float | None) -> float:
        front, rear = self.around.stations
        inward = 1.0 if self.station == front else -1.0
        first, last = max(r.start for r in self.rails), min(r.end for r in self.rails)
        most = MOST_REACH * abs(rear - front)
        places = sorted(min(max(self.station + inward * min(reach, most), first), last) for reach in REACH)
        meaning = f"station of the pivots of the {self.axle} axle's arms: {REACH[1]:g} mm inward of the axle"
        return self._take("arms.station", stated, Guess(meaning, places[0], places[1], places[2], "mm", COMMON))

    def _pivots(self) -> Links:
        """Inner pivots of the arms of independent wheels."""
        table = self.table.pivots
        what = f"height of the pivots of the {self.axle} wheels' arms"
        height = self._height("pivots.height", getattr(table, "height", None), what, self.station)
        return self._links("pivots", self.station, getattr(table, "spacing", None), height)

    def _height(self, key: str, stated: float | None, what: str, station: float) -> float:
        """A height that is taken as somewhat below the rails where it is not stated."""
        edge = sum(r.height(station) - r.outline(station)[1] / 2 for r in self.rails) / 2
        low, used, high = (edge - below for below in BELOW)
        meaning = f"{what}: {BELOW[1]:g} mm below the rails"
        return self._take(key, stated, Guess(meaning, low, used, high, "mm", COMMON))

    def _links(self, kind: LinkKind, station: float, spacing: float | None, height: float) -> Links:
        if spacing is None:
            spacing = sum(r.half(station) for r in self.rails)
        bar = self.table.track_bar
        if bar is not None:
            at = self.station if bar.station is None else bar.station
            return Links(
                kind=kind, station=station, spacing=spacing, height=height,
                side_height=bar.height, side_station=at, side_y=bar.y,
            )  # fmt: skip
        side = self._side_height(kind, height)
        return Links(kind=kind, station=station, spacing=spacing, height=height, side_height=side)

    def _side_height(self, kind: LinkKind, height: float) -> float:
        stated = self.table.roll_centre
        if stated is None and kind != "pivots":
            return height
        meaning = f"height above the ground where side forces of the {self.axle} wheels reach the frame"
        guess = Guess(meaning, *ROLL_CENTRE, "mm", MEMORY)
        return self.around.ground + self._take("roll_centre", stated, guess, across=True)

    def _damper(self, spring_base: float) -> Damper | None:
        table = self.table.damper
        if table is None:
            return None
        station = self.station if table.station is None else table.station
        level = sum(r.height(station) for r in self.rails) / 2
        return Damper(
            station=station,
            spacing=spring_base if table.spacing is None else table.spacing,
            height=level if table.height is None else table.height,
            force=table.force * 1e3,
        )

    def _check(self, kind: LinkKind) -> None:
        """Note what does not belong to such an axle, and brackets that are not at the rails."""
        for key, kinds in ONLY.items():
            if getattr(self.table, key) is not None and kind not in kinds:
                whose, written = AXLES[kinds[0]] if len(kinds) == 1 else BEAM
                rule, hint = f"belongs to {whose}, not to {AXLES[kind][0]}", f"Leave {key} out, or write {written}"
                self.faults.add((*self.path, key), rule, hint)
        if self.table.track_bar is not None and self.table.roll_centre is not None:
            rule = "has no meaning beside track_bar, whose bracket takes the side forces"
            self.faults.add((*self.path, "roll_centre"), rule, "Give one of the two")
        if kind == "pivots":
            self._check_torsion_bar()
        if kind == "arms":
            self._check_arms()
        for key, ys in self._brackets():
            self._check_bracket(key, ys)

    def _check_torsion_bar(self) -> None:
        name, known = self.table.torsion_bar, list(self.around.crossmembers)
        if name and name not in known:
            path = (*self.path, "torsion_bar")
            self.faults.unknown(path, name, ("crossmembers",), known, "no crossmember has this name")

    def _check_arms(self) -> None:
        station = getattr(self.table.arms, "station", None)
        if station is not None and abs(station - self.station) < SHORTEST:
            rule = f"is less than {SHORTEST:g} mm from the axle, which is at {self.station:g} mm"
            self.faults.add((*self.path, "arms", "station"), rule, "Give the station of the arms' pivots on the frame")

    def _brackets(self) -> list[tuple[str, tuple[float | None, ...]]]:
        """Keys of tables that state places, each with the y of what it states."""
        found: list[tuple[str, tuple[float | None, ...]]] = []
        for key in ("arms", "pivots", "damper"):
            if table := getattr(self.table, key):
                half = None if table.spacing is None else table.spacing / 2
                found.append((key, () if half is None else (-half, half)))
        if self.table.track_bar is not None:
            found.append(("track_bar", (self.table.track_bar.y,)))
        return found

    def _check_bracket(self, key: str, ys: tuple[float | None, ...]) -> None:
        stated = getattr(getattr(self.table, key), "station", None)
        station = self.station if stated is None else stated
        if stated is not None:
            note_off_rails(self.faults, (*self.path, key, "station"), self.rails, station)
        for y in ys:
            if y is None:
                continue
            rail = self.rails[0 if y < 0 else 1]
            if abs(abs(y) - rail.half(station)) > FAR:
                word, hint = ("y", "Measure y from the centre line") if len(ys) == 1 else ("spacing", SPACING)
                rule = f"puts a bracket more than {FAR:g} mm from the {rail.side} rail"
                self.faults.add((*self.path, key, word), rule, hint)
                return
