"""The tables of a repair plan: pieces let in, plates, splices and drilled holes beside what an overlay may hold."""

from typing import Annotated, Any, Literal

from ladderfe.chassis.readers import (
    Length,
    Names,
    Number,
    Offset,
    Radius,
    Size,
    Station,
    Table,
    Text,
    Wall,
    Yield,
    given,
    required,
    spare,
)
from ladderfe.chassis.schema_overlay import overlay_schema
from ladderfe.chassis.tables import json_schema_of
from ladderfe.units import ANGLE, LENGTH

__all__ = ["HoleTable", "InsertTable", "PlanFile", "PlateTable", "RepairTable", "SlotTable", "SpliceTable",
           "WeldTable", "plan_schema"]  # fmt: skip

PlanRail = Annotated[Literal["left", "right", "both"], spare("")]
PlateKind = Annotated[Literal["doubler", "cheek", "flange", "boxing", "sleeve"], spare("")]
Ends = Annotated[Literal["square", "tapered", "spear"], spare("square")]
Butt = Annotated[Literal["both sides", "backing strip", "root run", "one side"], spare("one side")]
Face = Annotated[Literal["outside", "inside"], spare("outside")]
#: A plate of no thickness is a plate that is not there.
PlateThickness = Annotated[float, Number(LENGTH, least=0, most=50)]
CutAngle = Annotated[float, Number(ANGLE, least=20, most=90)]
Walls = Names


class WeldTable(Table):
    """The welds along the edges of a plate."""

    leg: Annotated[float, Number(LENGTH, least=1, most=30)] | None = given(
        "leg of the fillet; the thinner of plate and wall when left out"
    )
    throat: Annotated[float, Number(LENGTH, least=0.7, most=30)] | None = given("its throat, instead of leg")
    seam: Annotated[Literal["continuous", "stitch"], spare("continuous")] | None = given(
        "continuous when left out; stitch needs run and pitch"
    )
    run: Size | None = given("length of each run of a stitched seam")
    pitch: Size | None = given("from the middle of one run to the middle of the next")


class SlotTable(Table):
    """Slots through the rail's walls that hold a sleeve: one row along the middle of each wall."""

    length: Size | None = given("length of each over all; 3 widths when left out, a round hole is as long as wide")
    width: Size | None = given(
        "its width; 3 times the thickest of its walls, and at least that wall and 8 mm, when left out"
    )
    pitch: Size | None = given("from the middle of one to the middle of the next; 2 lengths when left out")
    wall: Walls | None = given("the walls that have slots; all for all, as when left out")
    filled: Annotated[bool, spare(True)] | None = given(
        "true: filled, a plug weld, as when left out; false: a fillet round its edge, by the plate's weld"
    )


class InsertTable(Table):
    """A piece of plate let in for one wall or more, butt-welded all round and flush with them."""

    rail: PlanRail = required("left, right or both")
    wall: Walls = required("the wall, or a list of walls; all for all walls")
    start: Station = required("station where it begins", alias="from")
    end: Station = required("station where it ends", alias="to")
    thickness: Wall | None = given("thickness; that of the wall as built when left out")
    made: Butt | None = given("how its butt welds are made; one side, root unseen, when left out")


class PlateTable(Table):
    """A plate welded on."""

    kind: PlateKind = required("doubler, cheek (on an upright wall), flange (on a lying wall), boxing or sleeve")
    rail: PlanRail = required("left, right or both")
    wall: Text | None = given("the wall it lies on; not of boxing plates and sleeves")
    start: Station = required("station where it begins", alias="from")
    end: Station = required("station where it ends", alias="to")
    thickness: PlateThickness = required("thickness")
    width: Size | None = given("across the rail; the whole flat of the wall when left out")
    offset: Offset | None = given("how far its middle lies above, or outward of, the middle of the wall")
    face: Face | None = given(
        "outside or inside of the wall, outside when left out; of boxing plates inside, between the flanges, when left "
        "out, and outside: over the flanges' edges"
    )
    ends: Ends | None = given("square, tapered (to a third of its width) or spear (to a point); square when left out")
    taper: Length | None = given("length of each tapered end; at 45 degrees to either edge when left out")
    weld: Annotated[WeldTable | None, spare(None)] = given("welds along its edges")
    end_weld: Annotated[bool, spare(True)] | None = given("whether its ends are welded too; true when left out")
    slots: Annotated[SlotTable | None, spare(None)] = given("of sleeves: slots through the rail's walls that hold it")


class SpliceTable(Table):
    """A joint of a whole rail, cut and butt-welded."""

    rail: PlanRail = required("left, right or both")
    station: Station = required("station of the middle of the cut")
    cut: Annotated[Literal["square", "angled", "stepped"], spare("square")] = required("square, angled or stepped")
    angle: CutAngle | None = given("angle between an angled cut and the rail; 45 degrees when left out")
    step: Length | None = given("length of the step of a stepped cut; a rail depth when left out")
    made: Butt | None = given("how its butt welds are made; one side, root unseen, when left out")


class HoleTable(Table):
    """A hole to be drilled in a rail."""

    rail: PlanRail = required("left, right or both")
    wall: Text = required("the wall")
    station: Station = required("station of its middle")
    diameter: Annotated[float, Number(LENGTH, above=0, most=200)] = required("diameter")
    to_flange: Radius | None = given("metal between its edge and the inside of the nearer flange")
    to_hole: Radius | None = given("metal between its edge and that of the next hole; none near when left out")
    in_row: Annotated[float, Number(least=1, most=20)] | None = given("how many holes stand above each other there")


class RepairTable(Table):
    """What holds for the whole repair."""

    title: Text | None = given("what this plan is; the title of the chassis when left out")
    support: Text | None = given(
        'name of the case in which the frame stands while it is welded, or "unloaded"; the case "stands" when left '
        "out, or unloaded where there is none"
    )
    steel: Text | None = given("what the plates are made of")
    yield_stress: Yield | None = given("yield stress of the plates")


class PlanFile(Table):
    """A repair plan: a chassis file, what was read on it, and what is to be done."""

    base: Text = required("the chassis file or overlay that the plan is for")
    readings: Text | None = given("table of thickness readings: the state the repair starts from")
    repair: Annotated[RepairTable | None, spare(None)] = given("what holds for the whole repair")
    inserts: Annotated[list[InsertTable], spare([])] | None = given("pieces let in")
    plates: Annotated[list[PlateTable], spare([])] | None = given("plates welded on")
    splices: Annotated[list[SpliceTable], spare([])] | None = given("joints of a whole rail")
    holes: Annotated[list[HoleTable], spare([])] | None = given("holes to be drilled")


def plan_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a plan: that of an overlay with the tables of the repair."""
    schema, own = overlay_schema(), json_schema_of(PlanFile)
    schema["$defs"] |= own["$defs"]
    base = schema["properties"].pop("base")
    schema["properties"] = own["properties"] | {"base": base} | schema["properties"]
    schema["description"] = "What is to be repaired on a chassis, and how."
    return schema
