"""The tables of a catalogue: what may be chosen at which places for a repair, and what it must come to."""

from typing import Annotated, Any, Literal

from ladderfe.chassis.readers import Names, Number, Station, Table, Text, Wall, given, required, spare
from ladderfe.chassis.tables import json_schema_of
from ladderfe.condition.plan_schema import Butt, Ends, PlanRail

__all__ = ["CatalogueFile", "ChoiceTable", "catalogue_schema"]

Kind = Annotated[Literal["insert", "doubler", "cheek", "flange", "boxing", "sleeve", "splice"], spare("")]
Stations = Annotated[list[Station], spare([])]
Walls = Annotated[list[Wall], spare([])]
Reach = Annotated[list[Station], spare([])]


class ChoiceTable(Table):
    """A place of the frame and all that may be done there: one piece of these, or nothing."""

    kind: Kind = required("insert, doubler, cheek, flange, boxing, sleeve or splice")
    rail: PlanRail = required("left, right or both")
    wall: Names | None = given(
        'walls it may be on; of inserts also several at once, "bottom and outer"; not of boxing, sleeves and splices'
    )
    thickness: Walls | None = given("thicknesses it may have; of inserts that of the wall as built when left out")
    start: Stations | None = given("stations at which it may begin; those of the readings when left out", alias="from")
    end: Stations | None = given("stations at which it may end; those of the readings when left out", alias="to")
    between: Reach | None = given("two stations: where from and to are left out only ends of readings' reaches between")
    station: Stations | None = given("of splices: stations of the cut")
    renewed: Annotated[Literal["front", "rear"], spare("rear")] | None = given(
        "of splices: the end of the rail that is renewed from the cut on; rear when left out"
    )
    made: Butt | None = given("how butt welds are made; one side, root unseen, when left out")
    ends: Ends | None = given("ends of plates: square, tapered or spear; square when left out")
    always: Annotated[bool, spare(False)] | None = given("whether one of them must be done; false when left out")


class CatalogueFile(Table):
    """What may be chosen for a repair of a chassis, and the utilisation that it must come to."""

    base: Text = required("the chassis file or overlay that the repair is for")
    readings: Text | None = given("table of thickness readings: the state the repair starts from")
    target: Annotated[float, Number(above=0, most=100)] | None = given(
        "greatest utilisation of the frame as repaired; 1 when left out"
    )
    choices: Annotated[list[ChoiceTable], spare([])] = required("places, and what may be done at each", minItems=1)


def catalogue_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a catalogue."""
    schema = json_schema_of(CatalogueFile)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return schema
