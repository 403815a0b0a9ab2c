"""`ladderfe compare`: several chassis or variants of one, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from ladderfe.chassis import Chassis
from ladderfe.checks import Findings, check
from ladderfe.checks.comparison import compare
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import placed, progress, read
from ladderfe.condition import Found
from ladderfe.errors import InputError, ModelError, Problem
from ladderfe.report.comparison_text import comparison_text
from ladderfe.report.findings_text import findings_text

__all__ = ["command"]


@click.command("compare", short_help="Chassis files or variants side by side, changes in percent.")
@click.argument("files", type=click.Path(path_type=Path), nargs=-1, metavar="FIRST.toml OTHER.toml [OTHER.toml ...]")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of the page.")
@readings_options
def command(files: tuple[Path, ...], as_json: bool, asked: Asked) -> int:
    r"""Check every file and put the findings side by side; changes are in percent of the first.

    A variant is best written as an overlay, a file that names another as its base and says only what is otherwise:

    \b
      base = "my-chassis.toml"
      [[crossmembers]]
      name = "gearbox"
      shape = "tube"
      diameter = 60
      wall = 3

    \b
    Examples:
      ladderfe compare models/short-4x4.toml \
          models/short-4x4-tube-crossmember.toml
      ladderfe compare my-chassis.toml stronger.toml lighter.toml --json
      ladderfe compare my-chassis.toml --readings my-readings.csv
    """
    if len(files) < 2 and (asked.file is None or not files):
        raise click.UsageError(
            "Name two files or more: the first is what the others are compared with. With --readings one is enough."
        )
    tell = progress()
    found: list[Findings] = []
    names, states = [], []
    for name, chassis, state in _states(files, _read_all(files), asked):
        tell(f"checking {name}")
        found.append(_checked(name, chassis))
        names.append(name)
        states += [state] if state is not None else []
    short = [(name, f) for name, f in zip(names, found, strict=True) if not f.proven]
    for name, f in short:
        click.echo(findings_text(f, name))
    if short:
        return SHORT
    if as_json:
        from ladderfe.report.comparison_data import comparison_json

        click.echo(comparison_json(compare(found), names, states))
    else:
        click.echo(comparison_text(compare(found), names, states))
    return EXCEEDED if any(f.exceeded for f in found) else 0


def _states(
    files: tuple[Path, ...], chassis: list[Chassis], asked: Asked
) -> Iterator[tuple[str, Chassis, Found | None]]:
    """Name and chassis of every state to compare: each file, or each as built and as found; with the latter what was
    read."""
    for file, c in zip(files, chassis, strict=True):
        found = asked.found(c)
        if found is None:
            yield str(file), c, None
        else:
            yield f"{file}, as built", found.built, None
            yield f"{file}, as found by {asked.file}", found.chassis, found


def _read_all(files: tuple[Path, ...]) -> list[Chassis]:
    """The chassis of all files; InputError with the faults of all of them, each told once."""
    chassis: list[Chassis] = []
    problems: list[Problem] = []
    for file in files:
        try:
            chassis.append(read(file))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(dict.fromkeys(problems))
    return chassis


def _checked(file: str, chassis: Chassis) -> Findings:
    """Findings of a file's chassis; an error names the file."""
    try:
        return check(chassis, assumptions=False)
    except ModelError as error:
        raise placed(error, chassis, str(file)) from error
