"""The load cases in the chassis file, and what tows, winches and lifts the vehicle."""

from typing import Annotated, Final, Literal

from ladderfe.chassis.readers import (
    Acceleration,
    Angle,
    Bridle,
    Factor,
    FactorOfPart,
    Force,
    Height,
    LineForce,
    Load,
    Lowered,
    Name,
    Names,
    Table,
    Text,
    Wheels,
    given,
    required,
    spare,
)

__all__ = ["CASE_NEEDS", "KINDS", "CaseTable", "OfTable", "PointForceTable", "TowingTable", "WorkshopTable"]

CaseKind = Literal[
    "static", "amplified", "bounce", "limit twist", "one wheel bump", "raised", "cross-axle", "cornering", "braking",
    "drive-off", "pothole", "kerb strike", "nose weight", "drawbar pull", "winch", "recovery", "jack", "two-post lift",
    "stands", "rear overhang whip", "combination", "usual",
]  # fmt: skip
KINDS: Final[tuple[str, ...]] = CaseKind.__args__  # type: ignore[attr-defined]
#: What a kind of case must have beside its name.
CASE_NEEDS: Final[dict[str, tuple[str, ...]]] = {
    "bounce": ("axle",),
    "raised": ("height", "wheels"),
    "kerb strike": ("axle",),
    "jack": ("at",),
    "combination": ("of",),
}


class OfTable(Table):
    """A case that is a part of a combination."""

    case: Name = required("name of another case")
    times: FactorOfPart | None = given("factor on it; 1 when left out")


class PointForceTable(Table):
    """A force of its own at a mount."""

    at: Name = required("the mount that it acts at")
    x: Force | None = given("force rearward; 0 when left out")
    y: Force | None = given("force to the right; 0 when left out")
    z: Force | None = given("force upward; 0 when left out")


class CaseTable(Table):
    """A load case."""

    name: Name | None = given("its name, which all but the kind usual must have")
    kind: Annotated[CaseKind, spare("")] = required(
        "what happens to the vehicle; usual stands for the usual set of cases"
    )
    factor: Factor | None = given("factor on the weight, the couple, the springs or the force; 1 where none is assumed")
    axle: Annotated[Literal["front", "rear", "both"], spare("")] | None = given(
        "the axle that bounces, strikes the kerb or drives; rear when left out of a drive-off"
    )
    wheels: Wheels | None = given(
        "the wheel that is pushed up or hits (front left when left out), the one or two on a diagonal that stand "
        "higher, or the one that a jack lifts"
    )
    height: Height | None = given("how much higher the wheels stand than the others, or a pothole's step")
    side: Annotated[Literal["left", "right"], spare("left")] | None = given(
        "the side that the vehicle turns to, or that strikes the kerb; left when left out"
    )
    acceleration: Acceleration | None = given("acceleration of cornering or drive-off, deceleration of braking")
    at: Names | None = given(
        "mounts of the coupling, pull, jack, pads or stands; those under [towing] or [workshop] when left out"
    )
    force: LineForce | None = given("the pull; that of [towing] when left out")
    mass: Load | None = given("nose weight; that of [towing] when left out")
    angle: Angle | None = given("direction of the pull to the right of straight on; 0 when left out")
    up: Angle | None = given("direction of the pull upward of level; 0 when left out")
    against: Text | None = given(
        'what holds against the pull: "wheels" on the ground, wheels "dug in" and held at their centres, "inertia" or '
        "a mount; dug in when left out of a winch, inertia when left out of a recovery, otherwise wheels"
    )
    bridle: Bridle | None = given(
        "from the line between two mounts to where the legs of the bridle meet; two parallel pulls when left out"
    )
    low: Lowered | None = given("how much lower stands are than the others, by the names of their mounts")
    of: Annotated[list[OfTable], spare([])] | None = given("the cases that are added up")
    forces: Annotated[list[PointForceTable], spare([])] | None = given("further forces, in any kind of case")


class TowingTable(Table):
    """What pulls the vehicle and what it pulls."""

    coupling: Name | None = given("the mount of the coupling")
    trailer: Load | None = given("mass of the laden trailer")
    nose_weight: Load | None = given("what the trailer's drawbar weighs on the coupling")
    winch: Name | None = given("the mount of the winch, on both rails where a plate carries it there")
    line_pull: LineForce | None = given("rated pull of the winch, as on its plate")
    recovery: Names | None = given("the mounts of one or two recovery points")


class WorkshopTable(Table):
    """Where the vehicle is lifted and supported."""

    jack: Names | None = given("mounts where a jack lifts, one at a time")
    pads: Names | None = given("the four mounts on the pads of a two-post lift")
    stands: Names | None = given("the three or more mounts that stand on axle stands together")
