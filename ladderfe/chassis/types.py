"""What was built: the frozen types of a ladder chassis.  mm, N, t, MPa; vehicle axes x rearward, y right, z up."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import inf
from typing import Literal

from ladderfe.chassis.axle_types import Axle, Damper, Links
from ladderfe.chassis.bolt_types import BoltPattern
from ladderfe.chassis.gusset_types import Gusset
from ladderfe.chassis.hanger_types import Hanger
from ladderfe.sections import Shape

__all__ = [
    "Assumption",
    "Axle",
    "BenchPoint",
    "BenchTest",
    "Body",
    "BoltPattern",
    "CaseSpec",
    "CycleSpec",
    "Chassis",
    "Criteria",
    "Crossmember",
    "Damper",
    "Diaphragm",
    "Gusset",
    "Hanger",
    "Joint",
    "Links",
    "Mass",
    "Material",
    "Mount",
    "Outrigger",
    "PathPoint",
    "Rail",
    "Side",
    "Span",
    "Towing",
]

Side = Literal["left", "right"]
JointModel = Literal["walls", "springs"]
RIGID = (inf,) * 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Steel of the frame.  density in t/mm3; yield_stress in MPa, None where unknown."""

    name: str = "steel"
    youngs_modulus: float = 205_000.0
    poissons_ratio: float = 0.3
    density: float = 7.85e-9
    yield_stress: float | None = None

    @property
    def shear_modulus(self) -> float:
        return self.youngs_modulus / 2 / (1 + self.poissons_ratio)


@dataclass(frozen=True, slots=True)
class PathPoint:
    """A point of a rail's reference line (middle of its outline): station, distance from the centre line, height."""

    station: float
    half_spacing: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of rail from station `start` to `end`; `shape_end` differs from `shape` where the rail tapers.

    `shape` is what stiffness, mass and joints go by.  `least`, and in tapers `least_end`, is the one that strength is
    judged by where walls lost metal unevenly, of the same kind and outline; None: the same.
    """

    start: float
    end: float
    shape: Shape
    shape_end: Shape | None = None
    least: Shape | None = None
    least_end: Shape | None = None

    def mirrored(self) -> Span:
        """The span of the other rail of a symmetric frame."""
        end, least, least_end = (s and s.mirrored() for s in (self.shape_end, self.least, self.least_end))
        return replace(self, shape=self.shape.mirrored(), shape_end=end, least=least, least_end=least_end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """A rail: a path and its sections, spans joined end to end from the first to the last path point."""

    side: Side
    path: tuple[PathPoint, ...]
    spans: tuple[Span, ...]

    @property
    def name(self) -> str:
        return f"{self.side} rail"

    @property
    def sign(self) -> int:
        """-1 left, +1 right: the sign of y."""
        return -1 if self.side == "left" else 1

    @property
    def start(self) -> float:
        return self.path[0].station

    @property
    def end(self) -> float:
        return self.path[-1].station


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """How a crossmember or outrigger meets a rail.

    `stiffness`: along and about the vehicle's x, y, z at the meeting point, N/mm and N mm/rad; inf is rigid, 0 is
    released.  `given` tells whether the user stated it; otherwise it is estimated from the walls before the frame is
    meshed.  kind: "butted" on the web, "through" to the far web, "wrapped" round the rail or welded to its flanges too,
    "gusseted upright" or "gusseted in plan" by three-cornered plates with a leg `gusset` (mm) along the web, "bolted"
    with a stiffness that is given; a plate on the web is a doubler of that thickness (mm) that reaches `margin` beyond
    the crossmember.  `warnings` come with an estimate.
    """

    kind: str = "butted"
    stiffness: tuple[float, float, float, float, float, float] = RIGID
    given: bool = False
    doubler: float = 0.0
    margin: float = 0.0
    gusset: float = 0.0
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossmember:
    """A member between the rails.  Stations differ where it slants; `via` are points (y, height) between its ends
    where it is cranked or dropped; `height_left` and `height_right` are its mid-depth at the rails."""

    name: str
    station_left: float
    station_right: float
    height_left: float
    height_right: float
    shape: Shape
    via: tuple[tuple[float, float], ...] = ()
    joint_left: Joint = field(default_factory=Joint)
    joint_right: Joint = field(default_factory=Joint)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outrigger:
    """A bracket from a rail outward; `length` from the rail's outer face to its tip."""

    name: str
    side: Side
    station: float
    length: float
    height: float
    shape: Shape
    joint: Joint = field(default_factory=Joint)


@dataclass(frozen=True, slots=True, kw_only=True)
class Diaphragm:
    """A plate across the inside of a box rail, joined to all four walls: an end plate, bulkhead or inner gusset.

    It keeps the section's shape.  Its own weight is not counted: it is in what was weighed, as all that is not listed.
    """

    name: str
    side: Side
    station: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mount:
    """A place where something is carried: `part` is "left rail", "right rail", or the name of a crossmember or
    outrigger.  On rails and outriggers it sits at `station`; y and height are its true place.

    rates: N/mm along, sideways and upright of what lies between frame and mass; None: alike at all mounts of a mass.
    spread: one of the many places at which a mass spread along the rails is carried.
    """

    name: str
    part: str
    station: float
    y: float
    height: float
    rates: tuple[float, float, float] | None = None
    spread: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """A listed mass in t with its own centre (station, y, height), the names of the mounts that carry it, and
    whether it was aboard when the axles were weighed.

    `people` and `litres` of `fluid` tell what it is made of, 0 where neither was counted; `spread` are the stations
    between which it lies along both rails.
    """

    name: str
    mass: float
    centre: tuple[float, float, float]
    mounts: tuple[str, ...]
    aboard: bool
    people: int = 0
    litres: float = 0.0
    fluid: str = ""
    spread: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """Where the residual (what was weighed and is not listed) lies: along both rails from `start` to `end`,
    split at `split`, at `y` from each rail's reference line (positive outward).

    stiffening: torsional stiffness of the frame with the body over that without; 1 leaves the body out."""

    start: float
    end: float
    split: float
    y: float = 0.0
    distribution: Literal["two halves", "linear"] = "two halves"
    stiffening: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Towing:
    """What pulls or is pulled: mounts of the coupling ("" where there is none), of the winch (two where a plate carries
    it on both rails) and the recovery points; masses of trailer and nose weight in t, rated line pull in N (0 where
    not given)."""

    coupling: str = ""
    trailer: float = 0.0
    nose: float = 0.0
    winch: tuple[str, ...] = ()
    line_pull: float = 0.0
    recovery: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleSpec:
    """A stress cycle as stated: the names of two cases, and how often it comes beside the others (parts of 1)."""

    first: str
    second: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseSpec:
    """A load case as asked for: its kind and what that kind takes.

    "static" (factor: on all that comes of it, further forces too), "amplified" (factor); "bounce" (axle: both, front,
    rear; factor); "limit twist" (the couple alone) and "one wheel bump" (standing, with the couple times the factor),
    the wheel in `wheels` being pushed up; "raised" and "cross-axle": the wheels in `wheels` stand `height` mm higher.
    "cornering" (side: the turn; acceleration in g at most), "braking" (acceleration: the deceleration in g),
    "drive-off" (acceleration; axle: driven).
    "pothole" (wheels: one; factor: rearward force over its static load; height: of the step), "kerb strike" (axle;
    side that hits; factor on the tip-over force).
    "nose weight" (at: coupling; mass; factor), "drawbar pull", "winch", "recovery" (at: one or two mounts; force in N;
    angle in degrees to the right of straight on, away from the frame; up in degrees; against: "wheels", "dug in"
    (wheels held at their centres), "inertia" or a mount; bridle: mm from the line between two mounts to where their
    legs meet, 0 for parallel pulls).
    "jack" (at: one mount; wheels: the one that clears; factor), "two-post lift" (at: four mounts; factor), "stands"
    (at: three or more mounts; heights of those that are not level).
    "rear overhang whip" (factor on the rear springs; at and mass: nose weight).
    "combination" (of: names of other cases and their factors).
    Wheels are named "front left" and so on.  forces: further forces (N; x rearward, y right, z up) at mounts.
    """

    name: str
    kind: str
    factor: float = 1.0
    axle: str = "both"
    wheels: tuple[str, ...] = ()
    height: float = 0.0
    side: Side = "left"
    acceleration: float = 0.0
    at: tuple[str, ...] = ()
    force: float = 0.0
    mass: float = 0.0
    angle: float = 0.0
    up: float = 0.0
    against: str = "wheels"
    bridle: float = 0.0
    heights: tuple[tuple[str, float], ...] = ()
    of: tuple[tuple[str, float], ...] = ()
    forces: tuple[tuple[str, tuple[float, float, float]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Criteria:
    """Permissible stresses in MPa, each with the words that say where it comes from."""

    bending: float = 165.0
    shear: float = 100.0
    von_mises: float = 235.0 / 1.5
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A value the file left out: dotted key, what it is, low, used and high value, unit and where it comes from."""

    key: str
    meaning: str
    low: float
    used: float
    high: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class BenchPoint:
    """A point of a rail's middle at a station (mm) in a bench test, and its value: N upward for loads, mm upward for
    dial readings, 0 for points held."""

    side: Side
    station: float
    value: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchTest:
    """A twist test on the bare frame: held at three points, loaded by levers, read by dial gauges."""

    name: str
    held: tuple[BenchPoint, ...]
    loads: tuple[BenchPoint, ...]
    gauges: tuple[BenchPoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chassis:
    """A ladder chassis as built, with all it carries and what it is to be checked for.

    joint_level: where in its range the estimate of joints that nobody described is taken, -1 low, 0 middle, 1 high,
    inf rigid.  joint_model: with "walls" box rails rack and estimated joints act on the web that they meet; with
    "springs" rails keep the shape of their section and every joint is six springs, for comparison.  bench_tests: twist
    tests on the bare frame.  bolts, hangers: of joints and springs, which they do not change; gussets: their joints
    have their kind already.  cycles: what goes to and fro, where the file states it.  `source` is what the reader made
    it from; it serves to make it again with an assumption moved.
    """

    title: str
    rails: tuple[Rail, Rail]
    crossmembers: tuple[Crossmember, ...]
    outriggers: tuple[Outrigger, ...]
    mounts: tuple[Mount, ...]
    axles: tuple[Axle, Axle]
    masses: tuple[Mass, ...]
    body: Body
    material: Material
    cases: tuple[CaseSpec, ...]
    criteria: Criteria
    condition: str = ""
    assumptions: tuple[Assumption, ...] = ()
    joint_level: float = 0.0
    joint_model: JointModel = "walls"
    diaphragms: tuple[Diaphragm, ...] = ()
    bench_tests: tuple[BenchTest, ...] = ()
    bolts: tuple[BoltPattern, ...] = ()
    hangers: tuple[Hanger, ...] = ()
    gussets: tuple[Gusset, ...] = ()
    ground: float = -550.0
    centre_height: float = 700.0
    towing: Towing = field(default_factory=Towing)
    cycles: tuple[CycleSpec, ...] = ()
    source: object = field(default=None, repr=False, compare=False)
