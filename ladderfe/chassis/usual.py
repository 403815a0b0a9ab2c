"""Usual ranges of what a chassis file states, and the slips of the pen that would explain a value outside of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf
from typing import Final

from ladderfe.chassis.assumed import COMMON, MEMORY

__all__ = ["Unusual", "Usual"]

Slips = tuple[tuple[float, str], ...]
#: Slips: what the value would be multiplied by, and the question.
POINT: Final[Slips] = ((0.1, "a decimal point?"), (0.01, "a decimal point?"), (10.0, "a decimal point?"))
METRES: Final[Slips] = ((1000.0, "metres?"),)
INCHES: Final[Slips] = ((25.4, "inches?"),)
TONNES: Final[Slips] = ((1000.0, "tonnes?"),)
KSI: Final[Slips] = ((6.894757, "ksi?"),)
NEWTONS: Final[Slips] = ((0.001, "newtons?"),)
RADIANS: Final[Slips] = ((57.29578, "radians?"),)
DIAMETER: Final[Slips] = ((0.5, "the diameter?"),)
DOUBLED: Final[Slips] = ((0.5, "half of it?"),)
HALVED: Final[Slips] = ((2.0, "from one side to the other?"),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unusual:
    """A value that is outside of its usual range: nothing but a reason to read it again.

    `where` in words; `value`, `low` and `high` in `unit`, the last two infinite where there is no bound; `hint` is a
    question.
    """

    where: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    hint: str

    @property
    def shown(self) -> str:
        """The value with its unit."""
        return _with_unit(f"{self.value:.4g}", self.unit)

    @property
    def usual(self) -> str:
        """The usual range in words."""
        if self.high == inf:
            return _with_unit(f"{self.low:.4g}", self.unit) + " or more"
        if self.low == -inf:
            return "up to " + _with_unit(f"{self.high:.4g}", self.unit)
        return _with_unit(f"{self.low:.4g} to {self.high:.4g}", self.unit)


def _with_unit(number: str, unit: str) -> str:
    return f"{number} {unit}".rstrip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """A usual range, the slips that are looked for outside of it, and the question where none of them explains it."""

    low: float = -inf
    high: float = inf
    unit: str = "mm"
    slips: Slips = ()
    otherwise: str = "read it again"
    source: str = MEMORY

    def of(self, size: float) -> Usual:
        """The same range times a size that it is a part of."""
        return replace(self, low=self.low * size, high=self.high * size)

    def look(self, where: str, value: float) -> Iterator[Unusual]:
        """The value where it is unusual, else nothing."""
        if not self.low <= value <= self.high:
            yield Unusual(
                where=where, value=value, low=self.low, high=self.high, unit=self.unit, source=self.source,
                hint=self._hint(value),
            )  # fmt: skip

    def _hint(self, value: float) -> str:
        for factor, question in self.slips:
            if self.low <= value * factor <= self.high:
                return f"{question} {_with_unit(f'{value * factor:.4g}', self.unit)} would be usual"
        return self.otherwise


# --- steel; sizes of rails as in small four-wheel drives, pick-ups and light lorries ---
WALL: Final = Usual(low=1.5, high=8, slips=POINT[:2], otherwise="measured so, or rusted to it?")
WALL_PART: Final = Usual(low=1 / 200, high=1 / 6, otherwise="wall or outside size?", source=COMMON)  # of the outline
RAIL_DEPTH: Final = Usual(low=70, high=300, slips=(*INCHES, *POINT))
RAIL_WIDTH: Final = Usual(low=35, high=150, slips=(*INCHES, *POINT))
WIDTH_OF_DEPTH: Final = Usual(high=1, otherwise="depth and width swapped? Depth is upright", source=COMMON)
MEMBER_SIZE: Final = Usual(low=20, high=300, slips=(*INCHES, *POINT))
RAIL_LENGTH: Final = Usual(low=1800, high=9000, slips=(*METRES, *INCHES, *POINT))
SPACING: Final = Usual(
    low=0.4, high=0.8, otherwise="from the centre line, or from rail to rail?",
    slips=((0.5, "half of the spacing?"), (2.0, "the whole spacing?"), *POINT),
)  # of the track
KINK_IN_PLAN: Final = Usual(high=20, unit="degrees", otherwise="this point, or one beside it?")
KINK_IN_HEIGHT: Final = Usual(high=40, unit="degrees", otherwise="this point, or one beside it?")
APART: Final = Usual(low=5, otherwise="one place, measured twice?", source=COMMON)
FROM_END: Final = Usual(low=5, otherwise="its middle line, or its face?", source=COMMON)
STATION: Final = Usual(low=10, slips=METRES, otherwise="metres?", source=COMMON)
HEIGHT: Final = Usual(low=3, slips=METRES, otherwise="metres?", source=COMMON)
SLANT: Final = Usual(low=-400, high=400, otherwise="both stations from one datum?")
OUTRIGGER: Final = Usual(low=30, high=600, slips=POINT, otherwise="from the rail's outer face?")
DROP: Final = Usual(low=-400, high=400, slips=POINT[:2], otherwise="a height from the rails' datum?")
DOUBLER: Final = Usual(low=1.5, high=12, slips=POINT)
DIAPHRAGM: Final = Usual(low=1, high=12, slips=POINT)
MARGIN: Final = Usual(high=150, slips=POINT[:2])
GUSSET: Final = Usual(low=20, high=250, slips=POINT[:2])

# --- steel and what it may bear ---
MODULUS: Final = Usual(low=190_000, high=215_000, unit="N/mm2", slips=POINT, otherwise="another metal than steel?")
POISSON: Final = Usual(low=0.25, high=0.35, unit="", slips=POINT)
DENSITY: Final = Usual(low=7600, high=8100, unit="kg/m3", slips=POINT, otherwise="another metal than steel?")
YIELD: Final = Usual(low=180, high=800, unit="N/mm2", slips=(*KSI, *POINT))
BENDING: Final = Usual(low=80, high=550, unit="N/mm2", slips=(*KSI, *POINT))
SHEAR: Final = Usual(low=40, high=330, unit="N/mm2", slips=(*KSI, *POINT))
VON_MISES: Final = Usual(low=80, high=550, unit="N/mm2", slips=(*KSI, *POINT))
OF_YIELD: Final = Usual(high=1, unit="N/mm2", otherwise="above the yield stress?", source="yield stress in the file")
OF_SHEAR_YIELD: Final = Usual(
    high=3**-0.5, unit="N/mm2", otherwise="above yield in shear?", source="yield stress in the file over root 3"
)

# --- weights and springs; kg, N/mm ---
AXLE_LOAD: Final = Usual(low=200, high=6000, unit="kg", slips=(*TONNES, *POINT))
FRONT_PART: Final = Usual(low=20, high=80, unit="%", otherwise="both axles weighed alike, in kg?")
LEFT_PART: Final = Usual(low=40, high=60, unit="%", otherwise="on level ground?")
WHEELBASE: Final = Usual(low=1800, high=5000, slips=(*INCHES, *POINT))
TRACK: Final = Usual(low=1100, high=2200, slips=(*INCHES, *DOUBLED, *HALVED, *POINT))
FRONT_OVERHANG: Final = Usual(low=0.03, high=0.55, otherwise="stations from the rails' front end?")  # of the wheelbase
REAR_OVERHANG: Final = Usual(low=0.03, high=0.75, otherwise="wheelbase, or the rails' length?")  # of the wheelbase
SPRING_BASE: Final = Usual(low=0.4, high=0.9, slips=(*DOUBLED, *HALVED, *POINT))  # of the track
EYES: Final = Usual(low=500, high=2000, slips=POINT, otherwise="stations of both eyes?")
UNSPRUNG: Final = Usual(low=50, high=700, unit="kg", slips=(*TONNES, *POINT))
UNSPRUNG_PART: Final = Usual(low=5, high=45, unit="%", otherwise="only what is below the springs?")
SINKING: Final = Usual(low=1 / 350, high=1 / 15, unit="N/mm", slips=POINT)  # of its force, by mm
MOTION: Final = Usual(low=0.3, high=1.2, unit="", slips=POINT)
ANTI_ROLL: Final = Usual(low=1, high=300, unit="kN m/rad", otherwise="kN m/rad, or N m/deg?")
BUMP_GAP: Final = Usual(low=10, high=250, slips=POINT)
DROOP: Final = Usual(low=10, high=350, slips=POINT)
BUMP_RATE: Final = Usual(low=100, high=4000, unit="N/mm", slips=POINT)
STRAP_RATE: Final = Usual(low=50, high=10_000, unit="N/mm", slips=POINT)
TYRE_RATE: Final = Usual(low=100, high=1500, unit="N/mm", slips=POINT)

# --- what is carried ---
ABOARD: Final = Usual(low=1, high=0.4, unit="kg", slips=(*TONNES, *POINT))  # high: of all that was weighed
ADDED: Final = Usual(low=1, high=1, unit="kg", slips=(*TONNES, *POINT))  # high: of all that was weighed
BEYOND: Final = Usual(high=600, otherwise="stations from the same datum?")
ASIDE: Final = Usual(low=-1100, high=1100, slips=POINT[:2], otherwise="from the centre line?")
ABOVE: Final = Usual(low=-400, high=1800, slips=POINT[:2], otherwise="from the rails' datum?")
MOUNT_RATE: Final = Usual(low=20, high=5000, unit="N/mm", slips=POINT, otherwise="of one mount, upright?")
LEVEL_RATE: Final = Usual(low=0.1, high=5, unit="N/mm", slips=POINT)  # of the upright rate
PEOPLE: Final = Usual(high=9, unit="persons", otherwise="persons, or their mass in kg?")
LITRES: Final = Usual(low=5, high=1000, unit="l", slips=POINT, otherwise="litres?")
OFF_MIDDLE: Final = Usual(  # of the stretch: beyond a third of it one end would be lifted
    low=-1 / 6, high=1 / 6, otherwise="the centre of what is spread? one end would be pulled up", source="statics"
)
FRAME_PART: Final = Usual(low=2, high=15, unit="%", otherwise="walls, or the axle loads?")
REST_PART: Final = Usual(low=2, high=92, unit="%", otherwise="something listed twice, or not weighed?")
REST_HEIGHT: Final = Usual(
    low=0, high=1500, otherwise="centre_of_gravity, or the heights of listed masses?", source=COMMON
)
BODY_PART: Final = Usual(low=40, unit="%", otherwise="from and to in stations?", source=COMMON)
BODY_OFFSET: Final = Usual(low=-300, high=400, slips=POINT[:2], otherwise="outward from the rail's middle?")

# --- cases ---
FACTOR: Final = Usual(low=1, high=5, unit="", slips=POINT)
TWIST_FACTOR: Final = Usual(low=1, high=2.5, unit="", slips=POINT)
RAISED: Final = Usual(low=20, high=700, slips=(*METRES, *INCHES, *POINT))
CORNERING: Final = Usual(low=0.4, high=1.2, unit="g", slips=POINT)
BRAKING: Final = Usual(low=0.4, high=2, unit="g", slips=POINT)
DRIVING_OFF: Final = Usual(low=0.2, high=1.2, unit="g", slips=POINT)
DRAWBAR: Final = Usual(low=0.5, high=60, unit="kN", slips=POINT, otherwise="kN?")
RECOVERY: Final = Usual(low=2, high=300, unit="kN", slips=POINT, otherwise="kN?")
ANGLE: Final = Usual(low=2, high=75, unit="degrees", slips=RADIANS, otherwise="measured from straight on?")
UP: Final = Usual(low=2, high=75, unit="degrees", slips=RADIANS, otherwise="measured from level?")
BRIDLE: Final = Usual(low=150, high=3000, slips=(*METRES, *INCHES, *POINT))
LOW: Final = Usual(low=1, high=60, slips=POINT, otherwise="lower than the other stands, in mm?")
TIMES: Final = Usual(low=0.1, high=5, unit="", slips=POINT)
POINT_FORCE: Final = Usual(low=0.05, high=200, unit="kN", slips=NEWTONS, otherwise="kN?")

# --- how it stands, what leads its axles, what it tows ---
GROUND: Final = Usual(low=300, high=1100, slips=(*INCHES, *POINT), otherwise="of what the file's heights count from?")
CENTRE: Final = Usual(low=450, high=1500, slips=(*INCHES, *POINT))
TYRE_RADIUS: Final = Usual(low=250, high=560, slips=(*DIAMETER, *INCHES, *POINT))
LINK_HEIGHT: Final = Usual(low=-450, high=150, slips=POINT[:2], otherwise="from the rails' datum?")
ARMS: Final = Usual(low=250, high=1600, slips=POINT, otherwise="a station, or a length?")
SIDE_HEIGHT: Final = Usual(low=-100, high=900, slips=POINT[:2], otherwise="above the ground, or from the datum?")
DAMPER: Final = Usual(low=0.3, high=25, unit="kN", slips=(*NEWTONS, *POINT))
STIFFENING: Final = Usual(low=1, high=5, unit="", slips=POINT)
TRAILER: Final = Usual(low=100, high=8000, unit="kg", slips=(*TONNES, *POINT))
NOSE: Final = Usual(low=15, high=500, unit="kg", slips=(*TONNES, *POINT))
NOSE_PART: Final = Usual(low=2, high=15, unit="%", otherwise="what the drawbar weighs, in kg?")
LINE_PULL: Final = Usual(low=5, high=160, unit="kN", slips=POINT, otherwise="kN?")
COUPLING: Final = Usual(low=0, high=2500, otherwise="stations from the same datum?")
COUPLING_HEIGHT: Final = Usual(low=250, high=1200, otherwise="a height from the rails' datum?")
