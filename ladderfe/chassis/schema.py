"""The whole chassis file, and its JSON Schema for editors."""

from typing import Annotated, Any, Literal

from ladderfe.chassis.readers import (
    CentreHeight,
    Density,
    Force,
    Litres,
    Load,
    Modulus,
    MountRate,
    Name,
    Names,
    Number,
    Offset,
    Part,
    People,
    Reading,
    Station,
    Stiffening,
    Stress,
    Table,
    Text,
    Wheelbase,
    Yield,
    given,
    required,
    spare,
)
from ladderfe.chassis.schema_axles import AxleTable
from ladderfe.chassis.schema_bolts import BoltsTable
from ladderfe.chassis.schema_cases import CASE_NEEDS, KINDS, CaseTable, TowingTable, WorkshopTable
from ladderfe.chassis.schema_frame import CrossmemberTable, DiaphragmTable, OutriggerTable, RailsTable
from ladderfe.chassis.schema_gussets import GussetsTable
from ladderfe.chassis.schema_hangers import HangersTable
from ladderfe.chassis.sizes import NEEDS
from ladderfe.chassis.tables import json_schema_of

__all__ = [
    "AtTable",
    "BenchTable",
    "BodyTable",
    "ChassisFile",
    "CriteriaTable",
    "CycleTable",
    "JointsTable",
    "MassTable",
    "MaterialTable",
    "MountTable",
    "SpreadTable",
    "file_schema",
]


BenchRail = Annotated[Literal["left", "right"], spare("")]


Fluid = Literal["petrol", "diesel", "water"]
#: Keys of a mass of which exactly one is given, and those that have a meaning only beside another.
MASS_ONE_OF = (("mass", "people", "litres"), ("on", "spread"))
MASS_BESIDE = {"litres": "fluid", "fluid": "litres", "fill": "litres", "empty": "litres"}
MOUNT_BESIDE = {"rate_along": "rate", "rate_sideways": "rate"}


class MountTable(Table):
    """A place on the frame that carries something."""

    name: Name = required("its name")
    on: Name = required('"left rail", "right rail", "both rails", or the name of a crossmember or outrigger')
    station: Station | None = given("its station; the crossmember's or outrigger's own when left out")
    y: Offset | None = given("distance from the centre line, negative on the left")
    offset: Offset | None = given("distance outward from the rail's middle, instead of y")
    height: Offset | None = given("its height; the part's own when left out")
    rate: MountRate | None = given(
        "upright rate of its rubber; mounts of one mass have it all or none; they share as if alike when left out"
    )
    rate_along: MountRate | None = given("its rate along the vehicle")
    rate_sideways: MountRate | None = given("its rate across the vehicle; as along when left out")


class AtTable(Table):
    """Where a mass has its centre."""

    station: Station | None = given("station; the middle of its mounts when left out")
    y: Offset | None = given("distance from the centre line; the middle of its mounts when left out")
    height: Offset | None = given("height; that of its mounts when left out")


class SpreadTable(Table):
    """The stretch of both rails on which a mass lies evenly, more at one end or side where its centre is nearer."""

    start: Station = required("station where it begins", alias="from")
    end: Station = required("station where it ends", alias="to")
    offset: Offset | None = given("how far outward from the rails' middle it acts; 0 when left out")


class MassTable(Table):
    """Something that is carried."""

    name: Name = required("its name")
    mass: Load | None = given("its mass; people or litres tell it when left out")
    people: People | None = given("how many persons instead of a mass, at 75 kg (ASSUMED) each")
    litres: Litres | None = given("what a tank holds when full, instead of a mass")
    fluid: Annotated[Fluid, spare("")] | None = given("what is in the tank, beside litres")
    fill: Part | None = given("how much of the tank is full, beside litres; 1 when left out")
    empty: Load | None = given("mass of the tank itself, beside litres; not counted when left out")
    at: Annotated[AtTable | None, spare(None)] = given("its centre of gravity")
    on: Names | None = given("the mounts that carry it; spread tells it when left out")
    spread: Annotated[SpreadTable | None, spare(None)] = given("where it lies along both rails, instead of on")
    aboard: Annotated[bool, spare(False)] = required("whether it was aboard when the axles were weighed")


class BodyTable(Table):
    """Where along the rails the rest of the weight lies."""

    start: Station | None = given("station where it begins; the rails' front end when left out", alias="from")
    end: Station | None = given("station where it ends; the rails' rear end when left out", alias="to")
    split: Station | None = given("station between its front and rear half; the middle when left out")
    offset: Offset | None = given("how far outward from the rails' middle it acts")
    distribution: Annotated[Literal["two halves", "linear"], spare("two halves")] | None = given(
        "two even loads, or one that varies evenly; two halves when left out"
    )
    stiffening: Stiffening | None = given(
        "torsional stiffness of the frame with the body on it over that without; 1 when left out"
    )


class MaterialTable(Table):
    """Steel of the frame."""

    name: Name | None = given("its name; steel when left out")
    youngs_modulus: Modulus | None = given("modulus of elasticity")
    poissons_ratio: Annotated[float, Number(above=0, below=0.5)] | None = given("Poisson's ratio; 0.3 when left out")
    density: Density | None = given("mass by volume; 7850 when left out")
    yield_stress: Yield | None = given("yield stress, where it is known")


class CriteriaTable(Table):
    """What the stresses are compared with."""

    bending: Stress | None = given("permissible bending stress")
    shear: Stress | None = given("permissible average shear stress of the webs")
    von_mises: Stress | None = given("permissible von Mises stress; yield over 1.5 when left out")
    yield_stress: Yield | None = given("yield stress, where it is known; may stand under [material] instead")
    source: Text | None = given("where the values come from")


class JointsTable(Table):
    """Joints that no crossmember and no outrigger describes, and what joints do to rails."""

    estimate: Annotated[Literal["low", "middle", "high", "rigid"], spare("middle")] | None = given(
        "where in its spread their estimated stiffness is taken; middle when left out"
    )
    model: Annotated[Literal["walls", "springs"], spare("walls")] | None = given(
        "walls: box rails rack and a joint acts on the web that it meets; springs: rails keep the shape of their "
        "section and every joint is six springs, for comparison; walls when left out"
    )


class HeldTable(Table):
    """A place where the frame is held in a bench test."""

    rail: BenchRail = required("left or right")
    station: Station = required("its station")


class LoadTable(HeldTable):
    """A lever or weight in a bench test."""

    force: Force = required("force on the rail, upward positive")


class GaugeTable(HeldTable):
    """A dial gauge in a bench test."""

    reading: Reading = required("movement of the rail under the load, upward positive")


class BenchTable(Table):
    """A twist test on the bare frame: held at three points, loaded by levers, read by dial gauges."""

    name: Name = required("its name")
    held: Annotated[list[HeldTable], spare([])] = required("three points, not all on one rail", minItems=3, maxItems=3)
    loads: Annotated[list[LoadTable], spare([])] = required("levers and weights", minItems=1)
    gauges: Annotated[list[GaugeTable], spare([])] = required("dial gauges", minItems=1)


class CycleTable(Table):
    """A stress cycle for ratios of fatigue: the frame goes from one case to another and back."""

    first: Name = required("name of a case")
    second: Name = required("name of another case")
    share: Annotated[float, Number(above=0, most=1e12)] = required(
        "how often, beside the other cycles: a count or a part; all together count as the whole"
    )


Mounts = Annotated[list[MountTable], spare([])]
Masses = Annotated[list[MassTable], spare([])]


class ChassisFile(Table):
    """A ladder chassis: what a tape measure and a weighbridge tell of it."""

    title: Text | None = given("what this chassis is; Ladder chassis when left out")
    condition: Text | None = given("how it was weighed")
    wheelbase: Wheelbase | None = given("from axle to axle, instead of the rear axle's station")
    height_above_ground: Offset | None = given("height above the ground of what the file's heights count from")
    centre_of_gravity: CentreHeight | None = given("height of the whole vehicle's centre of gravity above the ground")
    rails: Annotated[RailsTable | None, spare(None)] = required("the two rails")
    crossmembers: Annotated[list[CrossmemberTable], spare([])] = required("crossmembers, two or more")
    outriggers: Annotated[list[OutriggerTable], spare([])] | None = given("outriggers")
    diaphragms: Annotated[list[DiaphragmTable], spare([])] | None = given("plates inside box rails")
    mounts: Mounts | None = given("mounts")
    masses: Masses | None = given("masses")
    axles: Annotated[list[AxleTable], spare([])] = required("the two axles")
    body: Annotated[BodyTable | None, spare(None)] = given("where the rest of the weight lies")
    material: Annotated[MaterialTable | None, spare(None)] = given("steel")
    criteria: Annotated[CriteriaTable | None, spare(None)] = given("permissible stresses")
    cases: Annotated[list[CaseTable], spare([])] | None = given("load cases; the usual set when left out")
    cycles: Annotated[list[CycleTable], spare([])] | None = given(
        "stress cycles for ratios of fatigue; bounce and twist when left out"
    )
    towing: Annotated[TowingTable | None, spare(None)] = given("what pulls the vehicle and what it pulls")
    workshop: Annotated[WorkshopTable | None, spare(None)] = given("where the vehicle is lifted and supported")
    joints: Annotated[JointsTable | None, spare(None)] = given("joints that are described nowhere")
    bolts: Annotated[list[BoltsTable], spare([])] | None = given("bolts and rivets of joints on the rails")
    gussets: Annotated[list[GussetsTable], spare([])] | None = given("gussets at the ends of crossmembers")
    hangers: Annotated[list[HangersTable], spare([])] | None = given("brackets of spring hangers")
    bench_tests: Annotated[list[BenchTable], spare([])] | None = given("twist tests on the bare frame")


def file_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the file."""
    schema: dict[str, Any] = json_schema_of(ChassisFile)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    for table in ("SectionTable", "CrossmemberTable", "OutriggerTable"):
        schema["$defs"][table]["allOf"] = [_sized(shape, needed) for shape, (needed, _, _) in NEEDS.items()]
    schema["$defs"]["CaseTable"]["allOf"] = [
        _of_kind(kind, ("name", *CASE_NEEDS.get(kind, ()))) for kind in KINDS if kind != "usual"
    ]
    schema["$defs"]["MassTable"]["allOf"] = [*map(_one_of, MASS_ONE_OF), *_beside(MASS_BESIDE)]
    schema["$defs"]["MountTable"]["allOf"] = _beside(MOUNT_BESIDE)
    return schema


def _of_kind(kind: str, needed: tuple[str, ...]) -> dict[str, Any]:
    """The rule that a kind of case must have its keys."""
    return {"if": {"properties": {"kind": {"const": kind}}}, "then": {"required": list(needed)}}


def _one_of(keys: tuple[str, ...]) -> dict[str, Any]:
    """The rule that exactly one of some keys is there."""
    return {"oneOf": [{"required": [key]} for key in keys]}


def _beside(pairs: dict[str, str]) -> list[dict[str, Any]]:
    """The rules that a key stands beside another one only."""
    return [{"if": {"required": [key]}, "then": {"required": [other]}} for key, other in pairs.items()]


def _sized(shape: str, needed: tuple[str, ...]) -> dict[str, Any]:
    """The rule that a shape must have its sizes."""
    return {"if": {"properties": {"shape": {"const": shape}}}, "then": {"required": list(needed)}}
