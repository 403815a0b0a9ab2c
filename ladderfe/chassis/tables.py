"""Tables of a TOML file as classes: which keys they have, how they are read, and their JSON Schema.

A thin layer on pydantic_core, which reads.  A model of pydantic is the same with more to it, of which nothing is needed
here, and it makes every command start later: the chassis file's tables took 110 instead of 15 ms (measured).

    class PointTable(Table):
        "A point of a rail's path."

        station: Station = required("distance rearward from the front datum")

Annotations are plain objects, not text.  They may be str, float, bool, Literal, a Table, a list of one of these, any of
these or None, and Annotated with readers that have the two methods by which pydantic asks for schemas.
"""

import types
from dataclasses import dataclass, replace
from functools import cache
from inspect import cleandoc, get_annotations
from typing import Annotated, Any, ClassVar, Literal, Self, Union, get_args, get_origin

from pydantic_core import SchemaValidator

__all__ = ["Key", "Table", "given", "json_schema_of", "required"]

Schema = dict[str, Any]
CONFIG: Schema = {"strict": True, "extra_fields_behavior": "forbid", "allow_inf_nan": False}
PLAIN = {float: ("float", "number"), str: ("str", "string"), bool: ("bool", "boolean")}


@dataclass(frozen=True, slots=True, eq=False)
class Key:
    """A key of a table: what it means, whether it must be there, how it is written where that is a word of Python, more
    for its JSON Schema, and what it holds."""

    description: str
    needed: bool
    alias: str | None = None
    more: Schema | None = None
    annotation: Any = None

    def is_required(self) -> bool:
        return self.needed


def required(description: str, *, alias: str | None = None, **more: Any) -> Any:
    """A key that must be there; `more` goes into the JSON Schema."""
    return Key(description, True, alias, more)


def given(description: str, *, alias: str | None = None) -> Any:
    """A key that may be left out, and is None then."""
    return Key(description, False, alias)


class Table:
    """A table of the file: strict types, no unknown keys; read with `model_validate`, like a model of pydantic."""

    __slots__ = ("__dict__", "__pydantic_extra__", "__pydantic_fields_set__", "__pydantic_private__")
    __pydantic_fields_set__: set[str]
    model_fields: ClassVar[dict[str, Key]] = {}

    def __init_subclass__(cls) -> None:
        own = {}
        for name, annotation in get_annotations(cls).items():
            own[name] = replace(cls.__dict__[name], annotation=annotation)
            delattr(cls, name)
        cls.model_fields = {**cls.model_fields, **own}

    @property
    def model_fields_set(self) -> set[str]:
        """The keys that the file gives."""
        return self.__pydantic_fields_set__

    @classmethod
    def model_validate(cls, raw: Any) -> Self:
        """The table of plain TOML values; raises pydantic_core's ValidationError with all that is wrong with them."""
        table: Any = cls
        made: Self = _validator(table).validate_python(raw)
        return made


@cache
def _validator(table: Any) -> SchemaValidator:
    found: dict[type[Table], Schema] = {}
    reference = _core(table, found)
    whole: Any = {"type": "definitions", "schema": reference, "definitions": list(found.values())}
    return SchemaValidator(whole, CONFIG)  # type: ignore[arg-type]


def _core(annotation: Any, found: dict[type[Table], Schema]) -> Schema:
    """What pydantic_core is told of an annotation; tables are collected in `found` and referred to."""
    origin, args = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _annotated(_core(args[0], found), "__get_pydantic_core_schema__", args[1:])
    if origin in (Union, types.UnionType):
        return {"type": "nullable", "schema": _core(_not_none(args), found)}
    if origin is list:
        return {"type": "list", "items_schema": _core(args[0], found)}
    if origin is Literal:
        return {"type": "literal", "expected": list(args)}
    if annotation in PLAIN:
        return {"type": PLAIN[annotation][0]}
    if annotation not in found:
        found[annotation] = {}
        fields = {name: _core_key(key, found) for name, key in annotation.model_fields.items()}
        inner = {"type": "model-fields", "fields": fields, "model_name": annotation.__name__}
        made = {"type": "model", "cls": annotation, "schema": inner, "config": CONFIG, "ref": annotation.__name__}
        found[annotation] = made
    return {"type": "definition-ref", "schema_ref": annotation.__name__}


def _core_key(key: Key, found: dict[type[Table], Schema]) -> Schema:
    schema = _core(key.annotation, found)
    if not key.needed:
        schema = {"type": "default", "schema": schema, "default": None}
    return {"type": "model-field", "schema": schema, **({"validation_alias": key.alias} if key.alias else {})}


def _annotated(schema: Schema, method: str, readers: tuple[Any, ...]) -> Schema:
    """A schema with that of each reader laid around it, the first one innermost."""
    for reader in readers:
        if wrap := getattr(reader, method, None):
            schema = wrap(None, lambda _, inner=schema: inner)
    return schema


def _not_none(args: tuple[Any, ...]) -> Any:
    return next(a for a in args if a is not types.NoneType)


def json_schema_of(table: type[Table]) -> Schema:
    """The JSON Schema of a table, those of the tables in it under $defs."""
    found: dict[str, Schema] = {}
    _json(table, found)
    own = found.pop(table.__name__)
    return {"$defs": found, **own}


def _json(annotation: Any, found: dict[str, Schema]) -> Schema:
    origin, args = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _annotated(_json(args[0], found), "__get_pydantic_json_schema__", args[1:])
    if origin in (Union, types.UnionType):
        return _json(_not_none(args), found)
    if origin is list:
        return {"type": "array", "items": _json(args[0], found)}
    if origin is Literal:
        return {"type": "string", "enum": list(args)}
    if annotation in PLAIN:
        return {"type": PLAIN[annotation][1]}
    name = annotation.__name__
    if name not in found:
        found[name] = {}
        keys = {key.alias or word: key for word, key in annotation.model_fields.items()}
        needed = [word for word, key in keys.items() if key.needed]
        found[name] = {
            "type": "object",
            "description": cleandoc(annotation.__doc__),
            "properties": {word: _json_key(key, found) for word, key in keys.items()},
            **({"required": needed} if needed else {}),
            "additionalProperties": False,
        }
    return {"$ref": f"#/$defs/{name}"}


def _json_key(key: Key, found: dict[str, Schema]) -> Schema:
    return {**_json(key.annotation, found), "description": key.description, **(key.more or {})}
