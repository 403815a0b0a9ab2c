"""JSON Schema of overlays for editors: the tables of a chassis file of which nothing but names must be there."""

from __future__ import annotations

from typing import Any

from ladderfe.chassis.removal import KINDS, PARTS
from ladderfe.chassis.schema import file_schema

__all__ = ["overlay_schema"]

_NAMES = {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}


def overlay_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of an overlay."""
    schema = file_schema()
    own = {
        "base": {"type": "string", "description": "the chassis file or overlay that this one starts from"},
        "remove": {
            "type": "array",
            "items": {"$ref": "#/$defs/RemoveTable"},
            "description": "what is taken out of the base",
        },
    }
    schema["properties"] = own | schema["properties"]
    schema["required"] = ["base"]
    schema["description"] = "What is otherwise than in another chassis file."
    for model in PARTS.values():
        table = schema["$defs"][model.__name__]
        table["required"] = ["name"]
        table.pop("allOf", None)  # sizes may stay in the base
    for table in ("WheelsTable", "TrackBarTable", "DamperTable"):
        schema["$defs"][table].pop("required")
    schema["$defs"]["RemoveTable"] = {
        "type": "object",
        "description": "Parts to take out by name, or one entry.",
        "properties": {
            **{kind: {**_NAMES, "description": f"name of the {kind}, or a list of names"} for kind in KINDS},
            "entry": {"type": "string", "description": "dotted name of one entry, of the part named beside it if any"},
        },
        "additionalProperties": False,
    }
    return schema
