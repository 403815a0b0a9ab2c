"""What was built: the frozen types of a ladder chassis, and reading them from a chassis file."""

from ladderfe.chassis.reading import chassis_from_text, json_schema, read_chassis, with_assumption
from ladderfe.chassis.types import (
    Assumption,
    Axle,
    Body,
    CaseSpec,
    Chassis,
    Criteria,
    Crossmember,
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
    "Body",
    "CaseSpec",
    "Chassis",
    "Criteria",
    "Crossmember",
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
    "with_assumption",
]
