"""Tables as classes: they answer as a model of pydantic does, the outside check here; and their JSON Schema."""

from math import inf, nan
from typing import Annotated, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, ValidationError, WrapValidator

from ladderfe.chassis.readers import Also, Read, Station
from ladderfe.chassis.tables import Table, given, json_schema_of, required


def halved(value, handler):
    return handler(value / 2 if isinstance(value, float) else value)


def one_or_more(value, handler):
    return handler([value] if isinstance(value, str) else value)


class Inner(Table):
    """A place."""

    station: Station = required("where")


class Outer(Table):
    """Much
    of everything."""

    name: str = required("its name")
    start: float | None = given("begin", alias="from")
    kind: Literal["a", "b"] | None = given("kind")
    on: Annotated[list[str], Also(one_or_more, {"type": "string"})] | None = given("on")
    half: Annotated[float, Read(halved)] | None = given("half")
    inner: Inner | None = given("inner")
    inners: list[Inner] | None = given("inners")
    flag: bool | None = given("flag")


class Child(Outer):
    """With one key more."""

    extra: float = required("extra", minimum=3)


class Model(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False)


class InnerModel(Model):
    """A place."""

    station: Station = Field(description="where")


class OuterModel(Model):
    """Much
    of everything."""

    name: str = Field(description="its name")
    start: float | None = Field(None, description="begin", alias="from")
    kind: Literal["a", "b"] | None = Field(None, description="kind")
    on: Annotated[list[str], WrapValidator(one_or_more)] | None = Field(None, description="on")
    half: Annotated[float, WrapValidator(halved)] | None = Field(None, description="half")
    inner: InnerModel | None = Field(None, description="inner")
    inners: list[InnerModel] | None = Field(None, description="inners")
    flag: bool | None = Field(None, description="flag")


VALUES = [
    {"name": "x"},
    {"name": "x", "from": 3, "kind": "b", "on": "one", "half": 5.0, "flag": True},
    {"name": "x", "on": ["one", "two"], "inner": {"station": "2 m"}, "inners": [{"station": 1}, {"station": 2.5}]},
    {},
    {"name": 3, "from": "3", "kind": "c", "on": 5, "half": True, "flag": 1},
    {"name": "x", "start": 3, "other": 1, "inner": [], "inners": {}},
    {"name": "x", "inners": [{"station": 1}, 5, {"station": "1 kg"}, {"stations": 3}]},
    {"name": "x", "from": nan, "half": inf, "inner": {"station": 1e9}},
    [],
]


def outcome(model, value):
    """The values by key and which keys were given; or each error's type, place and cause."""
    try:
        made = model.model_validate(value)
    except ValidationError as error:
        return [(e["type"], e["loc"], str(e.get("ctx", {}).get("error"))) for e in error.errors(include_url=False)]
    return {key: plain(getattr(made, key)) for key in model.model_fields}, made.model_fields_set


def plain(value):
    if isinstance(value, list):
        return [plain(v) for v in value]
    return value.station if isinstance(value, (Inner, InnerModel)) else value


@pytest.mark.parametrize("value", VALUES, ids=range(len(VALUES)))
def test_tables_read_as_models_of_pydantic_do(value):
    assert outcome(Outer, value) == outcome(OuterModel, value)


def test_only_what_is_written_is_a_key():
    assert not hasattr(Outer, "name")
    assert list(Child.model_fields) == [*Outer.model_fields, "extra"]
    assert [k for k, f in Child.model_fields.items() if f.is_required()] == ["name", "extra"]
    assert Child.model_fields["start"].alias == "from"


def test_json_schema():
    """Draft 2020-12: what a key holds, its description beside it; what must be there; nothing else."""
    schema = json_schema_of(Child)
    place = {"type": "object", "description": "A place.", "required": ["station"], "additionalProperties": False}
    (inner,) = schema.pop("$defs").items()
    assert inner[0] == "Inner"
    assert {k: v for k, v in inner[1].items() if k != "properties"} == place
    assert inner[1]["properties"]["station"]["description"] == "where"
    keys = schema.pop("properties")
    assert schema == {
        "type": "object",
        "description": "With one key more.",
        "required": ["name", "extra"],
        "additionalProperties": False,
    }
    assert keys == {
        "name": {"type": "string", "description": "its name"},
        "from": {"type": "number", "description": "begin"},
        "kind": {"type": "string", "enum": ["a", "b"], "description": "kind"},
        "on": {
            "anyOf": [{"type": "array", "items": {"type": "string"}}, {"type": "string"}],
            "description": "on",
        },
        "half": {"type": "number", "description": "half"},
        "inner": {"$ref": "#/$defs/Inner", "description": "inner"},
        "inners": {"type": "array", "items": {"$ref": "#/$defs/Inner"}, "description": "inners"},
        "flag": {"type": "boolean", "description": "flag"},
        "extra": {"type": "number", "description": "extra", "minimum": 3},
    }
    assert json_schema_of(Outer)["description"] == "Much\nof everything."
