"""`ladderfe picture`: the frame's walls, coloured; with readings also unrolled."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from ladderfe.chassis import Chassis
from ladderfe.chassis.faults import closest
from ladderfe.checks import Findings, check
from ladderfe.cli.main import SHORT
from ladderfe.cli.readings import Asked, plan_readings_options
from ladderfe.cli.shared import STDIN, chassis_argument, files_read, finite, progress
from ladderfe.cli.subject import Subject, subject_of
from ladderfe.report.frame_scene import VALUES, frame_scene
from ladderfe.report.results import may_write_picture, write_picture
from ladderfe.report.unrolled_files import SHOWS

__all__ = ["command"]

USUAL = "utilisation"


@click.command("picture", short_help="The frame's walls coloured by stress or utilisation.")
@chassis_argument
@click.argument("png", type=click.Path(path_type=Path), required=False, metavar="[PICTURE.png]")
@click.option("--case", help="Load case by its name; the governing one if not given.")
@click.option(
    "--colour",
    type=click.Choice(list(VALUES)),
    metavar="WHAT",
    help=f"What the colours show: {', '.join(list(VALUES)[:-1])} or {list(VALUES)[-1]}; {USUAL} if not given.",
)
@click.option(
    "--magnify", type=click.FloatRange(min=0), callback=finite, metavar="TIMES",
    help="How much larger movements are drawn.",
)
@click.option("--overwrite", is_flag=True, help="Replace an earlier picture of that name.")
@click.option("--window", is_flag=True, help="Open a window to turn the frame in, instead of writing a file.")
@click.option("--unrolled", is_flag=True, help="Draw the rails' walls flat, with the readings on them; PNG or SVG.")
@click.option(
    "--show",
    type=click.Choice(list(SHOWS)),
    metavar="WHAT",
    help=f"What unrolled rails show: {SHOWS[0]} (if not given) or {SHOWS[1]} over all cases.",
)
@plan_readings_options
def command(
    file: Path,
    png: Path | None,
    case: str | None,
    colour: str | None,
    magnify: float | None,
    overwrite: bool,
    window: bool,
    unrolled: bool,
    show: str | None,
    asked: Asked,
) -> int:
    r"""Draw the frame of CHASSIS.toml, or of a repair plan as repaired, into PICTURE.png (beside that file if no name
    is given).

    \b
    Examples:
      ladderfe picture models/short-4x4.toml frame.png
      ladderfe picture my-chassis.toml --case "rear axle bounce" --colour bending
      ladderfe picture my-chassis.toml --window
      ladderfe picture my-plan.toml repaired.png
      ladderfe picture models/short-4x4.toml unrolled.png --unrolled \
          --readings models/short-4x4-readings.csv
    """
    if unrolled:
        if window or (case, colour, magnify) != (None, None, None):
            raise click.UsageError("--case, --colour, --magnify and --window do not go with --unrolled.")
        return _unrolled(file, png, overwrite, show or SHOWS[0], asked)
    if show is not None:
        raise click.UsageError("--show goes with --unrolled.")
    colour = colour or USUAL
    subject = subject_of(file, asked)
    chassis, found = _drawn(subject), subject.found
    target = _target(file, png)
    if not window:
        may_write_picture(target, overwrite=overwrite, inputs=_inputs(file, subject, asked))
    findings = check(chassis, assumptions=False, progress=progress())
    if not findings.proven:
        return _short(findings, file)
    names = [c.name for c in findings.solution.cases]
    chosen = findings.utilisations[0].case if case is None else case
    if chosen not in names:
        near = closest(chosen, names)
        hint = f"Did you mean {near!r}?" if near else f"Cases are: {', '.join(map(repr, names))}."
        raise click.UsageError(f"There is no case {chosen!r}. {hint}")
    if window:
        from ladderfe.report.window import show as show_window

        show_window(frame_scene(findings, chosen, colour, magnify))
        return 0
    for line in write_picture(findings, chosen, colour, target, magnify=magnify, overwrite=overwrite):
        click.echo(line)
    if subject.states is not None and subject.states.plan.support:
        click.echo("Stresses are those of a frame that was welded unloaded; `ladderfe repair` tells them as it stood.")
    if found is not None:
        from ladderfe.report.readings_text import readings_text

        click.echo("\n".join(readings_text(found)))
    return 0


def _drawn(subject: Subject) -> Chassis:
    """As repaired, as found or as built; its title says which, unless it is as built."""
    if subject.states is not None:
        return replace(subject.states.chassis, title=f"{subject.states.plan.title or subject.over.title}, as repaired")
    if subject.found is not None:
        return replace(subject.found.chassis, title=f"{subject.found.chassis.title}, as found")
    return subject.over


def _inputs(file: Path, subject: Subject, asked: Asked) -> list[Path]:
    """All files that the drawing rests on: none of them may be written over."""
    read = subject.states.readings if subject.states is not None else None
    return [*files_read(file), *asked.files(), *([Path(read.source)] if read is not None and read.source else [])]


def _unrolled(file: Path, path: Path | None, overwrite: bool, show: str, asked: Asked) -> int:
    """Draw unrolled rails; solve the frame only where utilisation is to be shown."""
    from ladderfe.report.readings_text import readings_text
    from ladderfe.report.unrolled_files import may_write_unrolled, write_unrolled

    if (subject := subject_of(file, asked)).states is not None:
        raise click.UsageError("--unrolled draws readings: name the chassis file of the plan, and its readings.")
    if (found := subject.found) is None:
        raise click.UsageError("--unrolled goes with --readings FILE.csv.")
    target = path or (Path("unrolled.png") if file == STDIN else file.with_name(f"{file.stem}-unrolled.png"))
    may_write_unrolled(target, overwrite=overwrite, inputs=[*files_read(file), *asked.files()])
    findings = None
    if show == "utilisation":
        findings = check(found.chassis, assumptions=False, progress=progress())
        if not findings.proven:
            return _short(findings, file)
    click.echo(write_unrolled(found, findings, target, overwrite=overwrite))
    click.echo("\n".join(readings_text(found)))
    return 0


def _short(findings: Findings, file: Path) -> int:
    from ladderfe.report.findings_text import findings_text

    click.echo(findings_text(findings, str(file)), err=True)
    return SHORT


def _target(file: Path, png: Path | None) -> Path:
    if png is None and file == STDIN:
        return Path("frame.png")
    return file.with_suffix(".png") if png is None else png
