"""What was built: the frozen types of a ladder chassis, and reading them from a chassis file."""

from ladderfe.chassis.assumed import Guess
from ladderfe.chassis.reading import chassis_from_text, json_schema, read_chassis, with_assumption
from ladderfe.chassis.taken import suspension_guess
from ladderfe.chassis.types import (
    Assumption,
    Axle,
    BenchPoint,
    BenchTest,
    Body,
    CaseSpec,
    Chassis,
    Criteria,
    Crossmember,
    Diaphragm,
    Joint,
    Mass,
    Material,
    Mount,
    Outrigger,
    PathPoint,
    Rail,
    Side,
    Span,
)

__all__ = [
    "Assumption",
    "Axle",
    "BenchPoint",
    "BenchTest",
    "Body",
    "CaseSpec",
    "Chassis",
    "Criteria",
    "Crossmember",
    "Diaphragm",
    "Guess",
    "Joint",
    "Mass",
    "Material",
    "Mount",
    "Outrigger",
    "PathPoint",
    "Rail",
    "Side",
    "Span",
    "chassis_from_text",
    "json_schema",
    "read_chassis",
    "suspension_guess",
    "with_assumption",
]
