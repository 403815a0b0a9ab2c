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
from ladderfe.cli.shared import STDIN, chassis_argument, files_read, finite, placed, progress
from ladderfe.cli.subject import Subject, subject_of
from ladderfe.errors import ModelError
from ladderfe.report.frame_scene import VALUES, frame_scene
from ladderfe.report.results import may_write_picture, write_picture
from ladderfe.report.unrolled_files import SHOWS

__all__ = ["command"]

USUAL = "utilisation"
#: Under the picture of a plan.
WHOLE = (
    "Drawn as repaired, all metal as if it had been there before the load came; what was loaded when it was welded "
    "works harder than this: see `ladderfe repair`."
)


@click.command("picture", short_help="The frame's walls coloured by stress or utilisation; of a plan as repaired.")
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
    r"""Draw the frame of CHASSIS.toml into PICTURE.png (beside the chassis file if no name is given); of a repair plan
    the frame as repaired.

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
    target = _target(file, png)
    if not window:
        may_write_picture(target, overwrite=overwrite, inputs=_inputs(subject, file, asked))
    findings = _findings(subject, file)
    if not findings.proven:
        return _short(findings, file)
    chosen = _case(findings, case)
    if window:
        from ladderfe.report.window import show as show_window

        show_window(frame_scene(findings, chosen, colour, magnify))
        return 0
    for line in write_picture(findings, chosen, colour, target, magnify=magnify, overwrite=overwrite):
        click.echo(line)
    if subject.found is not None:
        from ladderfe.report.readings_text import readings_text

        click.echo("\n".join(readings_text(subject.found)))
    if subject.states is not None:
        click.echo(WHOLE)
    return 0


def _findings(subject: Subject, file: Path) -> Findings:
    """What the drawn frame does; of a plan ModelError with its file."""
    try:
        return check(_drawn(subject), assumptions=False, progress=progress())
    except ModelError as error:
        raise (error if subject.states is None else placed(error, subject.over, str(file))) from None


def _case(findings: Findings, case: str | None) -> str:
    """The case of that name, the governing one where none is asked for; UsageError where there is none of that name."""
    names = [c.name for c in findings.solution.cases]
    chosen = findings.utilisations[0].case if case is None else case
    if chosen not in names:
        near = closest(chosen, names)
        hint = f"Did you mean {near!r}?" if near else f"Cases are: {', '.join(map(repr, names))}."
        raise click.UsageError(f"There is no case {chosen!r}. {hint}")
    return chosen


def _drawn(subject: Subject) -> Chassis:
    """The frame that is drawn, its state in its title: of a plan as repaired, with readings as found, else as built."""
    if subject.states is not None:
        c = subject.states.chassis
        return replace(c, title=f"{subject.states.plan.title or c.title}, as repaired")
    c = subject.over if subject.found is None else subject.found.chassis
    return c if subject.found is None else replace(c, title=f"{c.title}, as found")


def _inputs(subject: Subject, file: Path, asked: Asked) -> list[Path]:
    """What is read: results must not be written on it."""
    own = [*files_read(file), *asked.files()]
    states = subject.states
    return [*own, file.parent / states.plan.readings] if states is not None and states.plan.readings else own


def _unrolled(file: Path, path: Path | None, overwrite: bool, show: str, asked: Asked) -> int:
    """Draw unrolled rails; solve the frame only where utilisation is to be shown."""
    from ladderfe.report.readings_text import readings_text
    from ladderfe.report.unrolled_files import may_write_unrolled, write_unrolled

    subject = subject_of(file, asked)
    if subject.states is not None:
        hint = "give the chassis file with --readings, or draw the repair with `ladderfe report`"
        raise click.UsageError(f"--unrolled draws what was read, not what a plan puts back: {hint}.")
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
