"""How single values of a chassis file are read: numbers with or without a unit, words, lists; with their JSON Schema.

Every reader lets SPARED through and gives a neutral value for it (nan, "", an empty list, None), so that a file with
faults can be read once more around them and everything else in it still be checked.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, nan
from typing import Annotated, Any, Final, Literal

from pydantic_core import core_schema

from ladderfe.chassis.tables import Table, given, required
from ladderfe.units import (
    ACCELERATION,
    ANGLE,
    DENSITY,
    FORCE,
    LENGTH,
    MASS,
    RATE,
    STRESS,
    STRETCHING,
    TURNING,
    Kind,
    UnitError,
    parse,
)

__all__ = [
    "Acceleration",
    "Also",
    "Angle",
    "AxleLoad",
    "BarStiffness",
    "Bridle",
    "CentreHeight",
    "Density",
    "Factor",
    "FactorOfPart",
    "Force",
    "Height",
    "Length",
    "LineForce",
    "Load",
    "Lowered",
    "Margin",
    "Litres",
    "Modulus",
    "MountRate",
    "Name",
    "Names",
    "Number",
    "Offset",
    "Part",
    "People",
    "Pull",
    "Radius",
    "Rate",
    "Ratio",
    "Reading",
    "SPARED",
    "Size",
    "Spacing",
    "Station",
    "Stiffening",
    "Stress",
    "Stretching",
    "Table",
    "Text",
    "Thickness",
    "Track",
    "Travel",
    "Turning",
    "TyreRadius",
    "TyreRate",
    "Wall",
    "Wheelbase",
    "Wheels",
    "Yield",
    "given",
    "required",
    "spare",
]

Handler = Callable[[Any], Any]
SPARED: Final = object()


@dataclass(frozen=True, slots=True, eq=False)
class Read:
    """A value that is read by `reader`, which may hand it on to the usual reading."""

    reader: Callable[[Any, Handler], Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: Handler) -> core_schema.CoreSchema:
        return core_schema.no_info_wrap_validator_function(self.reader, handler(source))


def spare(neutral: Any) -> Read:
    """Lets SPARED through as `neutral`; anything else is read as usual."""
    return Read(lambda value, handler: neutral if value is SPARED else handler(value))


@dataclass(frozen=True, slots=True)
class Number:
    """A number of a kind within bounds (`above` and `below` excluded, `least` and `most` included); `words` are read
    as the numbers they stand for."""

    kind: Kind | None = None
    above: float = -inf
    least: float = -inf
    below: float = inf
    most: float = inf
    words: tuple[tuple[str, float], ...] = ()

    def read(self, value: Any, handler: Handler) -> float:
        if value is SPARED:
            return nan
        if isinstance(value, str):
            if value in (words := dict(self.words)):
                return words[value]
            value = self._text(value)
        number = float(handler(value))
        if broken := self._broken(number):
            raise UnitError(f"must be {broken}{self._unit}", self._hint(number))
        return number

    def _text(self, value: str) -> float:
        if self.kind is None:
            raise UnitError("must be a plain number", "Write it without quotes and without a unit")
        return parse(self.kind, value)

    def _broken(self, number: float) -> str:
        """The bound that the number breaks, in words; empty when none is."""
        rules = (
            (number <= self.above, f"more than {self.above:g}"),
            (number < self.least, f"at least {self.least:g}"),
            (number >= self.below, f"less than {self.below:g}"),
            (number > self.most, f"at most {self.most:g}"),
        )
        return next((words for broken, words in rules if broken), "")

    @property
    def _unit(self) -> str:
        return f" {self.kind.unit}" if self.kind else ""

    def _hint(self, number: float) -> str:
        if (self.least, self.most) == (0, 1) and 1 < number <= 100:
            return f"Write {number / 100:g}: a part, 0 to 1"
        if self.kind is None:
            return "Check the number"
        return f"A number without a unit is in {self.kind.unit}; another unit goes in quotes, as in {self.kind.example}"

    def __get_pydantic_core_schema__(self, source: Any, handler: Handler) -> core_schema.CoreSchema:
        return core_schema.no_info_wrap_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: Handler) -> dict[str, Any]:
        bounds = {
            "exclusiveMinimum": self.above,
            "minimum": self.least,
            "exclusiveMaximum": self.below,
            "maximum": self.most,
        }
        number = {"type": "number"} | {name: bound for name, bound in bounds.items() if abs(bound) < inf}
        if self.kind is None:
            return number
        text: dict[str, Any] = {"type": "string", "examples": [self.kind.example.strip('"')]}
        words = [{"enum": [word for word, _ in self.words]}] if self.words else []
        return {"anyOf": [number | {"description": f"in {self.kind.unit}"}, text, *words]}


@dataclass(frozen=True, slots=True, eq=False)
class ByName:
    """A table whose keys are names that the file gives, with values of what it is put on."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Handler) -> core_schema.CoreSchema:
        return core_schema.dict_schema(core_schema.str_schema(), handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: Handler) -> dict[str, Any]:
        return {"type": "object", "additionalProperties": handler(schema)}


@dataclass(frozen=True, slots=True, eq=False)
class Also(Read):
    """A value that may be written in another way too; `schema` is the JSON Schema of that way."""

    schema: dict[str, Any]

    def __get_pydantic_json_schema__(self, schema: Any, handler: Handler) -> dict[str, Any]:
        return {"anyOf": [handler(schema), self.schema]}


def _text(value: Any, handler: Handler) -> str:
    """A name or title: one line of text that shows."""
    if value is SPARED:
        return ""
    text = " ".join(str(handler(value)).split())
    if not text or not text.isprintable() or len(text) > 200:
        raise UnitError("must be one line of text, not empty and of at most 200 characters", "Write a short name")
    return text


def _names(value: Any, handler: Handler) -> Any:
    """A list of names; one name alone stands for a list of one."""
    if value is SPARED:
        return []
    return handler([value] if isinstance(value, str) else value)


Text = Annotated[str, Read(_text)]
Name = Text
Names = Annotated[list[Text], Also(_names, {"type": "string"})]
_WheelName = Annotated[Literal["front left", "front right", "rear left", "rear right"], spare("")]
Wheels = Annotated[list[_WheelName], Also(_names, {"type": "string"})]

Station = Annotated[float, Number(LENGTH, least=-30_000, most=30_000)]
Offset = Annotated[float, Number(LENGTH, least=-5000, most=5000)]
Length = Annotated[float, Number(LENGTH, least=10, most=10_000)]
Spacing = Annotated[float, Number(LENGTH, least=50, most=4000)]
Track = Annotated[float, Number(LENGTH, least=300, most=4000)]
Wheelbase = Annotated[float, Number(LENGTH, least=500, most=15_000)]
Size = Annotated[float, Number(LENGTH, least=5, most=1000)]
Thickness = Annotated[float, Number(LENGTH, least=0.3, most=1000)]
Radius = Annotated[float, Number(LENGTH, least=0, most=500)]
Margin = Annotated[float, Number(LENGTH, least=0, most=500)]
Wall = Annotated[float, Number(LENGTH, least=0.3, most=50)]
Load = Annotated[float, Number(MASS, above=0, most=60_000)]
AxleLoad = Annotated[float, Number(MASS, least=50, most=60_000)]
Rate = Annotated[float, Number(RATE, above=0, most=10_000)]
MountRate = Annotated[float, Number(RATE, least=0.1, most=1e6)]
People = Annotated[float, Number(least=1, most=60)]
Litres = Annotated[float, Number(above=0, most=50_000)]
Part = Annotated[float, Number(least=0, most=1)]
Stress = Annotated[float, Number(STRESS, least=5, most=3000)]
Yield = Annotated[float, Number(STRESS, least=50, most=3000)]
Modulus = Annotated[float, Number(STRESS, least=1000, most=1e6)]
Density = Annotated[float, Number(DENSITY, least=0, most=30_000)]
Factor = Annotated[float, Number(above=0, most=20)]
Height = Annotated[float, Number(LENGTH, above=0, most=2000)]
Force = Annotated[float, Number(FORCE, least=-1000, most=1000)]
Reading = Annotated[float, Number(LENGTH, least=-500, most=500)]
Ratio = Annotated[float, Number(above=0, most=2)]
Travel = Annotated[float, Number(LENGTH, least=0, most=1000)]
TyreRate = Annotated[float, Number(RATE, above=0, most=10_000, words=(("rigid", inf),))]
Pull = Annotated[float, Number(FORCE, least=0, most=1000, words=(("held", inf), ("loose", 0.0)))]
TyreRadius = Annotated[float, Number(LENGTH, least=100, most=1000)]
CentreHeight = Annotated[float, Number(LENGTH, least=100, most=3000)]
Stiffening = Annotated[float, Number(least=1, most=50)]
Acceleration = Annotated[float, Number(ACCELERATION, above=0, most=3)]
Angle = Annotated[float, Number(ANGLE, least=-90, most=90)]
LineForce = Annotated[float, Number(FORCE, above=0, most=1000)]
Bridle = Annotated[float, Number(LENGTH, least=0, most=5000)]
FactorOfPart = Annotated[float, Number(least=-20, most=20)]
Lowered = Annotated[float, Number(LENGTH, least=0, most=500), ByName(), spare({})]
BarStiffness = Annotated[float, Number(TURNING, least=0, most=10_000)]
_ENDS = (("rigid", inf), ("free", 0.0))
Turning = Annotated[float, Number(TURNING, least=0, words=_ENDS)]
Stretching = Annotated[float, Number(STRETCHING, least=0, words=_ENDS)]
