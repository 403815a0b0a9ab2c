"""`ladderfe compare`: several chassis or variants of one, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import click

from ladderfe.chassis import Chassis
from ladderfe.checks import Findings, check
from ladderfe.checks.comparison import compare
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import placed, progress, read, seldom
from ladderfe.condition import Found
from ladderfe.condition.repaired import Repaired
from ladderfe.errors import InputError, ModelError, Problem
from ladderfe.report.comparison_text import comparison_text
from ladderfe.report.findings_text import findings_text

__all__ = ["command"]

#: Candidates of a catalogue are some minutes' work up to here.
MOST = 1000
#: What a state is called that never rusted beside others that did: beside the same as found, and without that.
BUILT = ", as built"
RUSTLESS = f"{BUILT}, nothing rusted"


@click.command("compare", short_help="Chassis files or variants side by side, changes in percent.")
@click.argument("files", type=click.Path(path_type=Path), nargs=-1, metavar="FIRST.toml OTHER.toml [OTHER.toml ...]")
@click.option(
    "--catalogue", type=click.Path(path_type=Path), metavar="FILE.toml",
    help="Instead of files: search what FILE.toml offers for the least repair that meets its target.",
)
@click.option(
    "--most", type=click.IntRange(min=1), default=MOST, show_default=True, metavar="NUMBER",
    help="Refuse a catalogue with more candidates.",
)
@click.option("--every-candidate", is_flag=True, help="Solve and show all candidates of the catalogue.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of the page.")
@readings_options
def command(
    files: tuple[Path, ...], catalogue: Path | None, most: int, every_candidate: bool, as_json: bool, asked: Asked
) -> int:
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
      ladderfe compare my-chassis.toml my-plan.toml other-plan.toml

    Repair plans count as repaired; --readings counts for them too, instead of what they name.  A catalogue names a
    chassis file, readings, a target, and at each place the pieces that may be let in or welded on there; all
    combinations are candidates, the least weld that meets the target wins, then the least mass:

    \b
      ladderfe compare --catalogue models/plans/short-4x4-catalogue.toml
    """
    if catalogue is not None:
        if files or asked.file is not None:
            raise click.UsageError("--catalogue goes without other files: it names its own chassis file and readings.")
        return _least(catalogue, most, every_candidate, as_json)
    if len(files) < 2 and (asked.file is None or not files):
        raise click.UsageError(
            "Name two files or more: the first is what the others are compared with. With --readings one is enough."
        )
    tell = progress()
    found: list[Findings] = []
    names, states, welds, rustless = list[str](), [], [], list[int]()
    for name, chassis, state, weld in _states(files, _read_all(files, asked), asked):
        rustless += [len(names)] if name.endswith((BUILT, RUSTLESS)) else []
        tell(f"checking {name}")
        found.append(_checked(name, chassis))
        names.append(name)
        states += [state] if state is not None else []
        welds.append(weld)
    short = [(name, f) for name, f in zip(names, found, strict=True) if not f.proven]
    for name, f in short:
        click.echo(findings_text(f, name))
    if short:
        return SHORT
    if as_json:
        from ladderfe.report.comparison_data import comparison_json

        click.echo(comparison_json(compare(found, welds), names, states, rustless))
    else:
        click.echo(comparison_text(compare(found, welds), names, states, rustless))
    return EXCEEDED if any(f.exceeded for f in found) else 0


def _least(file: Path, most: int, every: bool, as_json: bool) -> int:
    """The search of a catalogue."""
    from ladderfe.advice.least_repair import least_repair
    from ladderfe.condition.catalogue import read_catalogue
    from ladderfe.report.least_text import least_json, least_text

    read, tell = read_catalogue(file), progress()
    if read.count > most:
        raise click.UsageError(
            f"{file} makes {read.count} candidates from {len(read.choices)} choices, more than {most}. Offer less in "
            f"it, or allow more with --most {read.count}."
        )
    tell(f"{read.count} candidates from {len(read.choices)} choices")
    found = least_repair(read, every=every, progress=seldom(tell))
    click.echo(least_json(found, str(file)) if as_json else least_text(found, str(file), every))
    if found.now is not None and not found.now.proven:
        return SHORT
    return 0 if found.least is not None else EXCEEDED


def _states(
    files: tuple[Path, ...], chassis: list[Chassis | Repaired], asked: Asked
) -> Iterator[tuple[str, Chassis, Found | None, float | None]]:
    """Name and chassis of every state to compare: each file, or each as built and as found, with the latter what was
    read; plans as repaired, with what was read and the metres of weld."""
    rusted = _rusted(files)
    for file, c in zip(files, chassis, strict=True):
        if not isinstance(c, Chassis):
            from ladderfe.checks.repair_welds import metres_by_kind, weld_runs

            weld = sum(metres_by_kind(weld_runs(c)).values())
            called = replace(c.chassis, title=c.plan.title or c.chassis.title)
            yield f"{file}, as repaired", called, c.found if c.readings is not None else None, weld
            continue
        found = asked.found(c)
        if found is None:
            yield f"{file}{RUSTLESS if file.resolve() in rusted else ''}", c, None, None
        else:
            yield f"{file}{BUILT}", found.built, None, None
            yield f"{file}, as found by {asked.file}", found.chassis, found, None


def _rusted(files: tuple[Path, ...]) -> set[Path]:
    """The chassis files of those plans among some files that bring readings."""
    from ladderfe.chassis.reading import opened
    from ladderfe.condition.plan_file import is_plan

    plans = [(file, raw) for file in files if is_plan(raw := opened(file)[1]) and "readings" in raw]
    return {(file.parent / str(raw.get("base", ""))).resolve() for file, raw in plans}


def _read_one(file: Path, asked: Asked) -> Chassis | Repaired:
    """The chassis of a file, or the states of a repair plan, with the readings that were named, else its own."""
    if file.is_file():
        from ladderfe.chassis.reading import opened
        from ladderfe.cli.subject import warn
        from ladderfe.condition.plan_file import is_plan
        from ladderfe.condition.repaired import repaired

        if is_plan(opened(file)[1]):
            states = repaired(asked.plan(file), asked.options)
            warn(states)
            return states
    return read(file)


def _read_all(files: tuple[Path, ...], asked: Asked) -> list[Chassis | Repaired]:
    """The chassis of all files; InputError with the faults of all of them, each told once."""
    chassis: list[Chassis | Repaired] = []
    problems: list[Problem] = []
    for file in files:
        try:
            chassis.append(_read_one(file, asked))
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
