"""What several commands share: reading the file, where results may go, progress, the chassis argument, numbers."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Callable
from math import isfinite
from pathlib import Path
from time import monotonic

import click

from ladderfe.chassis import Chassis, chassis_from_text, place_of_case, places_of_loads, read_chassis
from ladderfe.cli.progress import Progress
from ladderfe.errors import ModelError

__all__ = ["chassis_argument", "files_read", "finite", "look_unusual", "placed", "progress", "read", "seldom"]

chassis_argument = click.argument("file", type=click.Path(path_type=Path), metavar="CHASSIS.toml")
#: The name that stands for standard input.
STDIN = Path("-")
#: So many values that look unusual are told beside an error.
UNUSUAL = 6


def read(file: Path) -> Chassis:
    """The chassis of a file, "-" being standard input; InputError with all its problems.

    The command's context keeps it, to say where in the file something stands that cannot be solved.
    """
    chassis = _read(file)
    if context := click.get_current_context(silent=True):
        context.find_root().obj = chassis
    return chassis


def placed(error: ModelError, chassis: object, file: str = "") -> ModelError:
    """The error with file and line of the case or the axles' loads that it is about, else with `file` where given."""
    noun, _, name = error.where.partition(" ")
    place = ""
    if isinstance(chassis, Chassis):
        place = place_of_case(chassis, name) if noun == "case" else ""
        place = places_of_loads(chassis) if error.where.startswith("body line load") else place
    before = place or file
    return ModelError(f"{before}: {error.where}", error.problem, error.hint) if before else error


def look_unusual(chassis: object) -> str:
    """What looks unusual in a chassis that could not be solved, a line for each: what is wrong may be there."""
    if not isinstance(chassis, Chassis):
        return ""
    from ladderfe.chassis.unusual import unusual

    found, name = unusual(chassis), getattr(chassis.source, "name", "") or chassis.title
    lines = [f"  {u.where}: {u.shown}, usual {u.usual}; {u.hint}" for u in found[:UNUSUAL]]
    lines += [f"  and {len(found) - UNUSUAL} more"] if len(found) > UNUSUAL else []
    return "\n".join([f"Looks unusual in {name}:", *lines]) if found else ""


def _read(file: Path) -> Chassis:
    if file != STDIN:
        return read_chassis(file)
    if sys.stdin is None or sys.stdin.isatty():
        raise click.UsageError('"-" reads the chassis from standard input, and nothing is piped into it: name a file.')
    try:
        return chassis_from_text(sys.stdin.read(), "standard input")
    except UnicodeDecodeError:
        raise click.UsageError("Standard input is not UTF-8 text.") from None


def files_read(file: Path) -> list[Path]:
    """The file and those that it is laid over: results must not be written on them."""
    found: list[Path] = []
    while file.is_file() and file not in found:
        found.append(file)
        try:
            base = tomllib.loads(file.read_text(encoding="utf-8-sig")).get("base")
        except (OSError, ValueError):
            break
        file = file.parent / base if isinstance(base, str) and base else file
    return found


def finite(_: click.Context, option: click.Parameter, value: float | None) -> float | None:
    """Ranges let "nan" and "inf" through: a usage error for them."""
    if value is not None and not isfinite(value):
        raise click.BadParameter(f"{value} is no number to reckon with.", param=option)
    return value


def progress() -> Progress:
    """Tells what is being done on stderr; one for a command."""
    return Progress()


def seldom(tell: Callable[[str], None], seconds: float = 1.0) -> Callable[[str], None]:
    """Tells no more often than every so many seconds."""
    last = [monotonic()]

    def told(words: str) -> None:
        if monotonic() - last[0] >= seconds:
            tell(words)
            last[0] = monotonic()

    return told
