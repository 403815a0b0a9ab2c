"""Brackets of spring hangers in the chassis file: where and how they are welded to the rails."""

from typing import Annotated, Literal

from ladderfe.chassis.readers import Name, Number, Offset, Size, Station, Table, Wall, given, required, spare
from ladderfe.units import LENGTH

__all__ = ["HangersTable"]

Leg = Annotated[float, Number(LENGTH, least=1, most=30)]
Throat = Annotated[float, Number(LENGTH, least=0.7, most=30)]


class HangersTable(Table):
    """The bracket of a spring's eye, or of a coil's seat, welded to the rail.  It changes nothing in the frame: a
    hanger is moved by its eye, eyes under [[axles]], which moves what each eye carries."""

    name: Name = required("its name")
    axle: Annotated[Literal["front", "rear"], spare("")] = required("front or rear, the axle whose spring it carries")
    rail: Annotated[Literal["left", "right", "both"], spare("both")] | None = given("which rail; both when left out")
    eye: Annotated[Literal["front", "rear"], spare("front")] | None = given(
        "which eye of a leaf spring; left out for a coil"
    )
    on: Annotated[Literal["outer", "inner", "bottom"], spare("outer")] | None = given(
        "the rail's upright wall away from or toward the middle of the vehicle, or its bottom; outer when left out"
    )
    length: Size = required("of its outline along the rail")
    depth: Size = required("of its outline up the wall, or across the bottom")
    thickness: Wall = required("of its plate")
    station: Station | None = given("of the outline's middle; that of the eye when left out")
    height: Offset | None = given("of the outline's middle on an upright wall; the rail's middle when left out")
    welds: Annotated[Literal["all round", "lengthwise", "across"], spare("all round")] | None = given(
        "lengthwise: the two along the rail; across: the two others; all round when left out"
    )
    leg: Leg | None = given("leg of its fillets; the thinner of plate and wall when left out")
    throat: Throat | None = given("their throat, instead of leg")
