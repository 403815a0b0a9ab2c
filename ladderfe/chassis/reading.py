"""Reading a chassis file: text -> tables -> a checked Chassis, or all that is wrong with it at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from ladderfe.chassis.assumed import Assumed
from ladderfe.chassis.types import Chassis
from ladderfe.errors import InputError, ModelError, Problem

if TYPE_CHECKING:
    from ladderfe.chassis.faults import Faults
    from ladderfe.chassis.lines import Lines
    from ladderfe.chassis.schema import ChassisFile

__all__ = [
    "carried_on", "chassis_from_tables", "chassis_from_text", "json_schema", "opened", "place_of_case",
    "places_of_loads", "read_chassis", "with_assumption",
]  # fmt: skip

LAID: Final = ("base", "remove")  # keys of a file that is laid over another one
LARGEST: Final = 2_000_000  # bytes; a chassis file has some thousands


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """What a Chassis was made from, kept so that it can be made again with an assumption moved; `then`: what was done
    to it since."""

    name: str
    raw: Mapping[str, Any]
    lines: Lines
    tables: ChassisFile
    assumed: Assumed
    then: Callable[[Chassis], Chassis] | None = None


def read_chassis(path: str | Path) -> Chassis:
    """The chassis that a TOML file describes, be it whole or an overlay on another file; raises InputError with every
    fault of the file."""
    return chassis_from_text(_text_of(Path(path)), str(path))


def chassis_from_text(text: str, file: str = "chassis file") -> Chassis:
    """The chassis that TOML text describes; `file` is its name in messages.  Raises InputError with every fault."""
    return chassis_from_tables(_parsed(text, file), text, file)


def chassis_from_tables(
    raw: dict[str, Any], text: str, file: str, boxed: tuple[tuple[str, float, float], ...] = ()
) -> Chassis:  # fmt: skip
    """The chassis that some tables of TOML text describe; the text tells on which lines they stand.  boxed: side, from
    and to of stretches of its rails that are to be boxed."""
    from ladderfe.chassis.file_kinds import CATALOGUE, CHASSIS, PLAN, kind_of_tables, other_kind
    from ladderfe.chassis.words import read_tables

    if not raw:
        raise _whole(file, "has nothing in it", "Start from an example in models")
    if (kind := kind_of_tables(raw)) in (PLAN, CATALOGUE):
        raise other_kind(file, kind, CHASSIS)
    faults = _laid(file, text, raw)
    tables = read_tables(faults)
    if tables is None:
        faults.finish()
        raise _whole(file, "is not a chassis file", "Start from an example in models")
    return _assemble(faults, tables, Assumed(), boxed)


def _laid(file: str, text: str, raw: dict[str, Any]) -> Faults:
    """The tables of a file ready to be read: its own, or what comes of laying it over its base."""
    if any(key in raw for key in LAID):
        from ladderfe.chassis.overlay import lay

        return lay(file, text, raw, opened)
    from ladderfe.chassis.faults import Faults
    from ladderfe.chassis.lines import scan

    return Faults(file, raw, scan(text))


def with_assumption(chassis: Chassis, key: str, value: float) -> Chassis:
    """The same chassis with one of its listed assumptions set to another value, in the unit of that Assumption.

    It is made again from what was read, without touching the file; of changes made to the Chassis since then only those
    of `carried_on` are kept.  Raises ModelError where the key is not among its assumptions, InputError where the value
    cannot be.
    """
    from ladderfe.chassis.faults import Faults, closest

    known = [a.key for a in chassis.assumptions]
    if key not in known or not isinstance(chassis.source, Source):
        meant = closest(key, known)
        hint = (
            f'Did you mean "{meant}"? Otherwise see the list of assumptions' if meant else "See the list of assumptions"
        )
        raise ModelError(f'assumption "{key}"', "is not one that this chassis was read with", hint)
    source = chassis.source
    faults = Faults(source.name, source.raw, source.lines, checked=True)
    made = _assemble(faults, source.tables, source.assumed.with_moved(key, value))
    return made if source.then is None else source.then(made)


def carried_on(chassis: Chassis, then: Callable[[Chassis], Chassis], **changes: Any) -> Chassis:
    """The chassis with some of its fields changed; `then` makes the same of it when an assumption of it was moved."""
    source = chassis.source
    return replace(chassis, source=replace(source, then=then) if isinstance(source, Source) else source, **changes)


def place_of_case(chassis: Chassis, name: str) -> str:
    """File and line ("frame.toml:81") of the case of this name, "" where no file states it, as of usual cases."""
    source = chassis.source
    return _place(source, "cases", source.tables.cases or [], name) if isinstance(source, Source) else ""


def places_of_loads(chassis: Chassis) -> str:
    """File and line of what both axles weigh, as in "frame.toml:81 (front axle), frame.toml:86 (rear axle)", after the
    chassis file itself where they stand in others; "" where no file states it."""
    source = chassis.source
    if not isinstance(source, Source):
        return ""
    at = [(a.name, _place(source, "axles", source.tables.axles or [], a.name, "load")) for a in chassis.axles]
    places = ", ".join(f"{place} ({name} axle)" for name, place in at if place)
    elsewhere = places and not any(place.startswith(f"{source.name}:") for _, place in at)
    return f"{source.name}: {places}" if elsewhere else places


def _place(source: Source, table: str, rows: Iterable[Any], name: str, *key: str) -> str:
    for i, row in enumerate(rows):
        if row.name == name:
            path: tuple[str | int, ...] = (table, i, *key)
            return f"{source.lines.file(path, source.name)}:{source.lines.of(path)}"
    return ""


def json_schema(*, overlay: bool = False) -> dict[str, Any]:
    """JSON Schema of the chassis file, or of overlays on one, for editors."""
    if overlay:
        from ladderfe.chassis.schema_overlay import overlay_schema

        return overlay_schema()
    from ladderfe.chassis.schema import file_schema

    return file_schema()


def _whole(file: str, rule: str, suggestion: str) -> InputError:
    return InputError([Problem(file=file, line=0, key="file", value="", rule=rule, suggestion=suggestion)])


def _text_of(path: Path) -> str:
    """The file's text, or the InputError that says in a sentence why there is none."""
    name = str(path)
    try:
        if path.is_dir():
            raise _whole(name, "is a folder", "Give the chassis file in it")
        if not path.exists():
            raise _whole(name, "does not exist", _neighbour(path))
        if not path.is_file() or path.stat().st_size > LARGEST:
            raise _whole(
                name, "is not a chassis file: it is no plain file, or larger than 2 MB", "Give a TOML text file"
            )
        data = path.read_bytes()
    except OSError as error:
        raise _whole(
            name,
            f"cannot be opened: {(error.strerror or 'no reason given').lower()}",
            "Check its name and who may read it",
        ) from None
    return _decoded(data, name)


def opened(path: Path) -> tuple[str, dict[str, Any]]:
    """Text and tables of a TOML file, such as one that another is laid over; InputError where there is none."""
    text = _text_of(path)
    return text, _parsed(text, str(path))


def _decoded(data: bytes, name: str) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _whole(name, "is stored as UTF-16 text", "Store it as UTF-8")
    if b"\0" in data:
        raise _whole(name, "is not text", "Give a TOML text file")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        byte = f"byte {data[error.start]:#04x}"
        raise InputError(
            [
                Problem(
                    file=name,
                    line=line,
                    key="file",
                    value=byte,
                    rule="is not UTF-8 text here",
                    suggestion="Store it as UTF-8, or write this line without special letters",
                )
            ]
        ) from None


def _neighbour(path: Path) -> str:
    """The name of a file beside it that looks like the one asked for."""
    from ladderfe.chassis.beside import file_meant

    meant = file_meant(path)
    hint = f'Did you mean "{path.parent / meant}"? Otherwise check' if meant else "Check"
    return f"{hint} its name and folder"


def _parsed(text: str, file: str) -> dict[str, Any]:
    import tomllib

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        from ladderfe.chassis.file_kinds import CHASSIS, kind_of_text, other_kind

        if kind := kind_of_text(text):
            raise other_kind(file, kind, CHASSIS) from None
        from ladderfe.chassis.syntax import syntax_problem

        raise InputError([syntax_problem(error, text.replace("\r\n", "\n"), file)]) from None
    except (RecursionError, ValueError):  # brackets without end; dates and numbers that TOML allows and Python does not
        raise _whole(file, "cannot be read as TOML", "Start from an example in models") from None


def _assemble(
    faults: Any, tables: ChassisFile, assumed: Assumed, boxed: tuple[tuple[str, float, float], ...] = ()
) -> Chassis:  # fmt: skip
    """Check the tables against each other and make the Chassis."""
    from ladderfe.chassis.assemble import assemble

    source = Source(faults.file, faults.raw, faults.lines, tables, assumed)
    return assemble(faults, tables, assumed, source, boxed)
