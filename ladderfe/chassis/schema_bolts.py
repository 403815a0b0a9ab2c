"""Bolts and rivets in the chassis file: patterns by which crossmembers and outriggers hold on the rails."""

from typing import Annotated, Literal

from ladderfe.chassis.readers import (
    Name,
    Number,
    Offset,
    Radius,
    Size,
    Station,
    Table,
    Text,
    Wall,
    given,
    required,
    spare,
)
from ladderfe.units import LENGTH

__all__ = ["GRADES", "BoltPlaceTable", "BoltsTable"]

#: Strength classes of ISO 898-1 that EN 1993-1-8 Table 3.1 lists (from memory).
GRADES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "10.9")
Grade = Annotated[Literal["4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "10.9"], spare("8.8")]
Shank = Annotated[float, Number(LENGTH, least=4, most=30)]
Bore = Annotated[float, Number(LENGTH, least=4, most=40)]
Pitch = Annotated[float, Number(LENGTH, least=0.3, most=6)]
Count = Annotated[float, Number(least=1, most=20)]
Planes = Annotated[float, Number(least=1, most=2)]


class BoltPlaceTable(Table):
    """The middle of one bolt or rivet on the rail's upright wall."""

    station: Station = required("its station")
    height: Offset = required("its height")


class BoltsTable(Table):
    """Bolts or rivets that hold one end of a crossmember, or an outrigger, on the upright wall of the rail.  They do
    not change the frame: how stiff such a joint is stands under its joint."""

    name: Name = required("its name")
    member: Text = required("name of the crossmember or outrigger that they hold")
    end: Annotated[Literal["left", "right", "both"], spare("both")] | None = given(
        "which end of a crossmember; both when left out"
    )
    fastener: Annotated[Literal["bolts", "rivets"], spare("bolts")] | None = given("what holds; bolts when left out")
    diameter: Shank = required("of the bolt; of a rivet as driven, which fills its hole")
    grade: Grade | None = given("strength class of bolts; 8.8 when left out")
    thread_pitch: Pitch | None = given("of bolts; the coarse one when left out")
    thread_in_shear: Annotated[bool, spare(True)] | None = given(
        "whether thread lies in the shear plane; true when left out"
    )
    hole: Bore | None = given(
        "diameter of the hole; 1 mm more than bolts up to 14 mm and 2 mm more than those above when left out"
    )
    planes: Planes | None = given("shear planes, 1 or 2; 1 when left out")
    columns: Count | None = given("how many stand behind each other along the rail; 1 when left out")
    rows: Count | None = given("how many stand above each other; 1 when left out")
    spacing: Size | None = given("from column to column")
    rise: Size | None = given("from row to row")
    station: Station | None = given("station of the middle of columns and rows; that of the part when left out")
    height: Offset | None = given("height of the middle of columns and rows; that of the part's end when left out")
    places: Annotated[list[BoltPlaceTable], spare([])] | None = given("each bolt's middle, instead of columns and rows")
    plate: Wall | None = given("thickness of the bracket's plate on the rail; not reckoned when left out")
    edge: Radius | None = given("least distance from a hole's middle to an edge of that plate")
    head: Size | None = given("diameter that bears under head, nut or washer; 1.6 diameters when left out")
