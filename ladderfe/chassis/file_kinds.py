"""What a file looks like that was given where another kind is expected, and which command or option takes it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from ladderfe.errors import InputError, Problem

__all__ = ["CATALOGUE", "CHASSIS", "PLAN", "READINGS", "SURVEY", "kind_of_tables", "kind_of_text", "other_kind"]

READINGS: Final = "a table of thickness readings"
SURVEY: Final = "a table of lengths and heights that were measured"
PLAN: Final = "a repair plan"
CATALOGUE: Final = "a catalogue of repairs"
CHASSIS: Final = "a chassis file"
#: Kind -> what takes it.
TAKEN: Final = {
    READINGS: "Name the chassis file first and this one behind --readings, as in `ladderfe check my-chassis.toml "
    "--readings {file}`",
    SURVEY: "Name the chassis file first and this one behind --measured, as in `ladderfe square my-chassis.toml "
    "--measured {file}`",
    PLAN: "Give it to `ladderfe repair`, `report`, `picture`, `weld`, `bolts` or `compare`; all other commands take "
    "the chassis file that it names as its base",
    CATALOGUE: "Give it to `ladderfe compare`",
    CHASSIS: "It stands first, as in `ladderfe check {file}`, and a repair plan names it as its base",
}
#: Columns that tell tables apart.
HEADS: Final = ((READINGS, {"side", "station", "wall"}), (SURVEY, {"kind", "from", "to"}))
#: Keys of a plan that no chassis file has, and those that only chassis files have.
PLANNED: Final = ("readings", "repair", "inserts", "plates", "splices", "holes")
BUILT: Final = ("wheelbase", "rails", "axles")


def kind_of_tables(raw: Mapping[str, Any]) -> str:
    """What the tables of a TOML file are; "" where that cannot be told.  A whole chassis file with a plan's key in it
    stays one: the key is what is wrong."""
    if "choices" in raw:
        return CATALOGUE
    whole = "base" not in raw and any(key in raw for key in BUILT)
    if any(key in raw for key in PLANNED) and not whole:
        return PLAN
    return CHASSIS if any(key in raw for key in (*BUILT, "base")) else ""


def kind_of_text(text: str) -> str:
    """What a text is by its first line that is no comment: a table by its columns, else TOML by its tables; "" where
    that cannot be told."""
    lines = (line.strip() for line in text.removeprefix("\ufeff").splitlines())
    first = next((s for s in lines if s and not s.startswith("#") and not s.casefold().startswith("sep=")), "")
    cells = {c.strip(' "').casefold() for c in re.split(r"[;,\t]", first)}
    for kind, head in HEADS:
        if head <= cells:
            return kind
    import tomllib

    try:
        return kind_of_tables(tomllib.loads(text))
    except (ValueError, RecursionError):
        return ""


def other_kind(file: str, kind: str, wanted: str) -> InputError:
    """The error that says what a file looks like, what is wanted, and what takes it."""
    rule, hint = f"looks like {kind}, and {wanted} is expected here", TAKEN[kind].format(file=file)
    return InputError([Problem(file=file, line=0, key="file", value="", rule=rule, suggestion=hint)])
