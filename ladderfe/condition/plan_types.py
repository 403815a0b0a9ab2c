"""What a repair plan asks for: frozen types.  Stations and sizes in mm, stresses in MPa."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from ladderfe.chassis import Side
from ladderfe.chassis.faults import listed
from ladderfe.condition.rails import SAME

__all__ = ["STEPS", "Butt", "Drilled", "Edge", "Ends", "Insert", "Piece", "Plan", "PlanPlate", "PlateKind", "Slots",
           "Splice"]  # fmt: skip

PlateKind = Literal["doubler", "cheek", "flange", "boxing", "sleeve"]
Ends = Literal["square", "tapered", "spear"]
Butt = Literal["both sides", "backing strip", "root run", "one side"]
#: Ways to make a butt weld, each worse than those before it.
WORSE: Final[tuple[Butt, ...]] = ("both sides", "root run", "backing strip", "one side")
#: A tapered end counts as so many steps, each as wide as the plate is at its middle.
STEPS: Final = 4
#: None of them shorter than this, mm: members of a few mm between long ones cost the solution digits.
LEAST_STEP: Final = 10.0
#: What is left of the width at the tip of each kind of end.
TIP: Final[dict[str, float]] = {"square": 1.0, "tapered": 1 / 3, "spear": 0.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """Welds along a plate's edges: throat (None: 0.7 of the thinner of plate and wall), run and pitch of a stitched
    seam (0 both: continuous)."""

    throat: float | None = None
    run: float = 0.0
    pitch: float = 0.0

    @property
    def share(self) -> float:
        """Weld over length, as it is laid."""
        return self.run / self.pitch if self.pitch else 1.0

    def full_share(self, throat: float) -> float:
        """Weld of a full throat (mm) over length: the ends of a run have none over a throat each (EN 1993-1-8 4.5.1,
        from memory)."""
        return max(self.run - 2 * throat, 0.0) / self.pitch if self.pitch else 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """Slots through a rail's walls that hold a sleeve, mm: length over all and width (alike: round holes), pitch from
    middle to middle, in one row along the middle of each wall; filled, or with a fillet round their edge.

    assumed: the sizes that the plan does not state.
    """

    length: float
    width: float
    pitch: float
    walls: tuple[str, ...]
    filled: bool = True
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What lies on or in one rail from `start` to `end`; `line` and `key` are those of its row in the file."""

    side: Side
    start: float
    end: float
    line: int = 0
    key: str = ""

    @property
    def length(self) -> float:
        return self.end - self.start

    def covers(self, station: float) -> bool:
        """Whether it reaches over a station."""
        return self.start <= station <= self.end


@dataclass(frozen=True, slots=True, kw_only=True)
class Insert(Piece):
    """A piece let in for walls of a rail; thickness None: that of each wall as built."""

    walls: tuple[str, ...]
    thickness: float | None = None
    made: Butt = "one side"

    @property
    def name(self) -> str:
        return f"insert, {self.side} rail, {listed(self.walls, 'and')}, {self.start:g} to {self.end:g} mm"


    def butt_at(self, others: Sequence[Insert], station: float) -> Insert | None:
        """The piece as far as a butt across it at a station is its own, made as the worse of the pieces that share it;
        None where all of it is that of pieces before it, which meet there in one cut."""
        there = [j for j in others if j is not self and j.side == self.side and set(j.walls) & set(self.walls)
                 and min(abs(station - j.start), abs(station - j.end)) <= SAME]  # fmt: skip
        known = {w for j in others[: others.index(self)] if j in there for w in j.walls}
        walls = tuple(w for w in self.walls if w not in known)
        made = max((self.made, *(j.made for j in there)), key=WORSE.index)
        return replace(self, walls=walls, made=made) if walls else None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPlate(Piece):
    """A plate welded on one rail.

    wall: "" of boxing plates and sleeves.  width None: the whole flat of its wall.  centre: of the plate from the
    middle of its wall, toward +y on walls that lie and +z on upright ones.  taper: mm of each tapered end.  slots: of
    sleeves, how they are held (None where the rail is not known).
    """

    kind: PlateKind
    wall: str
    thickness: float
    width: float | None = None
    centre: float | None = None
    face: Literal["outside", "inside"] = "outside"
    ends: Ends = "square"
    taper: float = 0.0
    weld: Edge = field(default_factory=Edge)
    end_weld: bool = True
    slots: Slots | None = None

    @property
    def name(self) -> str:
        on = f", {self.wall}" if self.wall else ""
        word = {"boxing": "boxing plate", "cheek": "cheek plate", "flange": "flange plate"}.get(self.kind, self.kind)
        return f"{word}, {self.side} rail{on}, {self.start:g} to {self.end:g} mm"

    @property
    def lapped(self) -> bool:
        """Whether it lies on one wall."""
        return self.kind not in ("boxing", "sleeve")

    def steps(self) -> tuple[tuple[float, float, float], ...]:
        """From where to where it counts with which part of its width.

        A plate on one wall counts over a tapered end in `STEPS` steps, fewer where they would be shorter than
        `LEAST_STEP`, each as wide as it is in its middle; plates that close or line the whole section count where they
        are whole only.
        """
        if self.ends == "square":
            return ((self.start, self.end, 1.0),)
        a, b = self.start + self.taper, self.end - self.taper
        if not self.lapped:
            return ((a, b, 1.0),)
        many = min(max(int(self.taper / LEAST_STEP + 1e-9), 1), STEPS)
        tip, step = TIP[self.ends], self.taper / many
        parts = [tip + (1 - tip) * (k + 0.5) / many for k in range(many)]
        front = [(self.start + k * step, self.start + (k + 1) * step, p) for k, p in enumerate(parts)]
        rear = [(self.end - (k + 1) * step, self.end - k * step, p) for k, p in enumerate(parts)]
        return (*front, (a, b, 1.0), *reversed(rear))

    @property
    def whole(self) -> tuple[float, float]:
        """From where to where it has its whole width."""
        return self.start + self.taper, self.end - self.taper

    @property
    def welded(self) -> tuple[float, float]:
        """From where to where its edges lie on the rail: over its tapered ends one that closes a channel runs free of
        the flanges."""
        return (self.start, self.end) if self.lapped else self.whole

    @property
    def across(self) -> float:
        """Part of its width over which a weld runs across the rail at each end; 0 where there is none: not asked for, a
        point, the end of a sleeve, or that of a boxing plate, which lies on nothing between a channel's flanges."""
        return TIP[self.ends] if self.lapped and self.end_weld else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """A joint of a whole rail.  angle: degrees between the cut and the rail, 90 square; step: mm along the rail."""

    side: Side
    station: float
    cut: Literal["square", "angled", "stepped"]
    angle: float = 90.0
    step: float = 0.0
    made: Butt = "one side"
    line: int = 0

    @property
    def name(self) -> str:
        return f"{self.cut} splice, {self.side} rail, {self.station:g} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilled:
    """A hole to be drilled; to_flange and to_hole None: not given."""

    side: Side
    wall: str
    station: float
    diameter: float
    to_flange: float | None = None
    to_hole: float | None = None
    in_row: int = 1
    line: int = 0

    @property
    def name(self) -> str:
        return f"hole of {self.diameter:g} mm, {self.side} rail, {self.wall}, {self.station:g} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A repair plan.

    source: its file; base and readings: the files it names, readings "" where there are none.  support: name of the
    case in which the frame stands while it is welded, "" for unloaded; support_given: whether the plan states it.
    """

    source: str
    title: str
    base: str
    readings: str = ""
    support: str = ""
    support_given: bool = False
    steel: str = ""
    yield_stress: float | None = None
    inserts: tuple[Insert, ...] = ()
    plates: tuple[PlanPlate, ...] = ()
    splices: tuple[Splice, ...] = ()
    holes: tuple[Drilled, ...] = ()
