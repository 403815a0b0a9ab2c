"""The steel in the chassis file: rails, crossmembers, outriggers, their sizes and their joints."""

from typing import Annotated, Any, Literal

from ladderfe.chassis.readers import (
    SPARED,
    Also,
    Length,
    Margin,
    Name,
    Offset,
    Radius,
    Size,
    Spacing,
    Station,
    Stretching,
    Table,
    Thickness,
    Turning,
    Wall,
    given,
    required,
    spare,
)
from ladderfe.units import UnitError

__all__ = [
    "CrossmemberTable",
    "DiaphragmTable",
    "JointTable",
    "OutriggerTable",
    "PointTable",
    "RailTable",
    "RailsTable",
    "SectionTable",
    "SizedTable",
]

ShapeName = Annotated[Literal["box", "channel", "tube", "top hat", "flat", "angle"], spare("")]
RailOpening = Annotated[Literal["inward", "outward", "up", "down"], spare("")]
CrossOpening = Annotated[Literal["forward", "rearward", "up", "down"], spare("")]
RailCorner = Annotated[Literal["bottom inner", "bottom outer", "top inner", "top outer"], spare("")]
JointKind = Literal["butted", "through", "wrapped", "gusseted upright", "gusseted in plan", "bolted"]
CrossCorner = Annotated[Literal["bottom front", "bottom rear", "top front", "top rear"], spare("")]


class SizedTable(Table):
    """Sizes of a shape, outside dimensions in mm."""

    shape: ShapeName = required("kind of section: box, channel, tube, top hat, flat or angle")
    depth: Size | None = given("upright size outside; box, channel, top hat, flat, angle")
    width: Size | None = given("sideways size outside; box, channel, top hat, angle")
    wall: Wall | None = given("thickness of all walls that are not given by name")
    top: Wall | None = given("thickness of a box's top, or of a channel's top flange")
    bottom: Wall | None = given("thickness of a box's bottom, or of a channel's bottom flange")
    web: Wall | None = given("thickness of a channel's web")
    flange: Wall | None = given("thickness of both flanges of a channel")
    diameter: Size | None = given("outside diameter of a tube")
    thickness: Thickness | None = given("sideways size of a flat; the larger of the two sizes lies or stands")
    brim: Size | None = given("how far each brim of a top hat stands out from its side")
    lip: Radius | None = given("outside height of a channel's inward lips")
    radius: Radius | None = given("outside corner radius; sharp corners when left out")


class SectionTable(SizedTable):
    """A length of rail and its section; every size may change evenly to its `.._end` (a taper)."""

    start: Station | None = given("station where it begins; where the one before ends when left out", alias="from")
    end: Station | None = given("station where it ends; where the next begins when left out", alias="to")
    inner: Wall | None = given("thickness of a box's wall toward the middle of the vehicle")
    outer: Wall | None = given("thickness of a box's wall away from the middle of the vehicle")
    opens: RailOpening | None = given("open side of a channel or top hat")
    corner: RailCorner | None = given("where an angle has its heel")
    depth_end: Size | None = given("depth at the end of a taper")
    width_end: Size | None = given("width at the end of a taper")
    wall_end: Wall | None = given("wall at the end of a taper")
    top_end: Wall | None = given("top at the end of a taper")
    bottom_end: Wall | None = given("bottom at the end of a taper")
    inner_end: Wall | None = given("inner wall at the end of a taper")
    outer_end: Wall | None = given("outer wall at the end of a taper")
    web_end: Wall | None = given("web at the end of a taper")
    flange_end: Wall | None = given("flanges at the end of a taper")
    diameter_end: Size | None = given("diameter at the end of a taper")
    thickness_end: Thickness | None = given("thickness at the end of a taper")
    brim_end: Size | None = given("brim at the end of a taper")


class PointTable(Table):
    """A point of a rail's path."""

    station: Station = required("distance rearward from the front datum")
    half_spacing: Spacing | None = given("distance from the vehicle's centre line; or give spacing")
    spacing: Spacing | None = given("distance from rail to rail; or give half_spacing")
    height: Offset | None = given("height above the datum; give it at every point, or at none of a level rail")


Path = Annotated[list[PointTable], spare([])]
Sections = Annotated[list[SectionTable], spare([])]


class RailTable(Table):
    """What differs on one rail."""

    path: Path | None = given("points from front to rear; needed here, or on the left and the right rail")
    sections: Sections | None = given("sections from front to rear; needed as the path is")


OneRail = Annotated[RailTable | None, spare(None)]


class RailsTable(RailTable):
    """Both rails, alike unless [rails.left] or [rails.right] says otherwise."""

    spacing_to: Annotated[Literal["middle", "outside", "inside"], spare("middle")] | None = given(
        "which face of the rail the spacings were measured to"
    )
    height_to: Annotated[Literal["middle", "top", "bottom"], spare("middle")] | None = given(
        "which face of the rail the heights were measured to; middle when left out"
    )
    left: OneRail = given("what differs on the left rail")
    right: OneRail = given("what differs on the right rail")


class JointTable(Table):
    """How a joint is made, from which its stiffness is estimated; or its stiffness along and about the vehicle's x
    (rearward), y (right), z (up), rigid where left out beside another one."""

    kind: Annotated[JointKind, spare("")] | None = given(
        "butted on the web that it meets, through it to the far web, wrapped round the rail or welded to its flanges "
        "too, with gussets, or bolted with a stiffness that you give; butted when left out"
    )
    doubler: Wall | None = given("thickness of an extra plate on the web that it meets")
    margin: Margin | None = given("how far the doubler reaches beyond the crossmember all round")
    gusset: Size | None = given(
        "leg along the web of the gussets on both sides of the crossmember: upright above and below, in plan before "
        "and behind"
    )
    x: Stretching | None = given("along x")
    y: Stretching | None = given("along y")
    z: Stretching | None = given("along z")
    rx: Turning | None = given("about x: bending of the crossmember on the rail's side")
    ry: Turning | None = given("about y: twisting of the crossmember")
    rz: Turning | None = given("about z: bending of the crossmember in plan")


def _joint(value: Any, handler: Any) -> Any:
    if value is SPARED:
        return None
    if value == "rigid":
        return handler(dict.fromkeys(("x", "y", "z", "rx", "ry", "rz"), "rigid"))
    if isinstance(value, str):
        raise UnitError(
            'must be "rigid" or a table', 'Write { kind = "through" }, or { rx = 20 } for 20 kN m/rad about the x axis'
        )
    return handler(value)


JointOr = Annotated[JointTable | None, Also(_joint, {"const": "rigid"})]


class ViaTable(Table):
    """A point between the ends of a crossmember that drops or cranks."""

    y: Offset = required("distance from the centre line, negative on the left")
    height: Offset = required("height of the crossmember's mid-depth there")


class CrossSizedTable(SizedTable):
    """Sizes of a crossmember or outrigger."""

    front: Wall | None = given(
        "thickness of a box's front wall, or of the front flange of a channel that opens up or down"
    )
    rear: Wall | None = given(
        "thickness of a box's rear wall, or of the rear flange of a channel that opens up or down"
    )
    opens: CrossOpening | None = given("open side of a channel or top hat")
    corner: CrossCorner | None = given("where an angle has its heel")


class CrossmemberTable(CrossSizedTable):
    """A member from rail to rail."""

    name: Name | None = given("its name; numbered when left out")
    station: Station | None = given("station of its middle line, where it runs square across")
    station_left: Station | None = given("station at the left rail, where it slants")
    station_right: Station | None = given("station at the right rail, where it slants")
    height: Offset | None = given("height of its mid-depth at the rails; the rails' middle when left out")
    height_left: Offset | None = given("height at the left rail")
    height_right: Offset | None = given("height at the right rail")
    via: Annotated[list[ViaTable], spare([])] | None = given(
        "points between its ends, from left to right, where it drops or cranks"
    )
    joint: JointOr = given("how both ends meet the rails; estimated from the walls when left out")
    joint_left: JointOr = given("how its left end meets the rail")
    joint_right: JointOr = given("how its right end meets the rail")


class OutriggerTable(CrossSizedTable):
    """A bracket from a rail outward."""

    name: Name | None = given("its name; numbered when left out")
    rail: Annotated[Literal["left", "right", "both"], spare("")] = required("the rail that carries it, or both")
    station: Station = required("station of its middle line")
    length: Length = required("from the rail's outer face to its tip")
    height: Offset | None = given("height of its mid-depth; the rail's middle when left out")
    joint: JointOr = given("how it meets the rail; estimated from the walls when left out")


class DiaphragmTable(Table):
    """A plate across the inside of a box rail that keeps its shape, welded to all four walls: an end plate, bulkhead or
    inner gusset.  Its own weight is not counted: list it under masses where it matters."""

    name: Name | None = given("its name; numbered when left out")
    rail: Annotated[Literal["left", "right", "both"], spare("")] = required("the rail that holds it, or both")
    station: Station = required("its station")
    thickness: Wall = required("its thickness")
