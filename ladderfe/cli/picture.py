"""`ladderfe picture`: the frame's walls, coloured."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

import click

from ladderfe.checks import check
from ladderfe.cli.main import SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import STDIN, chassis_argument, files_read, progress, read
from ladderfe.report.frame_scene import VALUES, frame_scene
from ladderfe.report.results import may_write_picture, write_picture

__all__ = ["command"]


@click.command("picture", short_help="The frame's walls coloured by stress or utilisation.")
@chassis_argument
@click.argument("png", type=click.Path(path_type=Path), required=False, metavar="[PICTURE.png]")
@click.option("--case", help="Load case by its name; the governing one if not given.")
@click.option(
    "--colour",
    type=click.Choice(list(VALUES)),
    default="utilisation",
    show_default=True,
    metavar="WHAT",
    help=f"What the colours show: {', '.join(list(VALUES)[:-1])} or {list(VALUES)[-1]}.",
)
@click.option("--magnify", type=click.FloatRange(min=0), metavar="TIMES", help="How much larger movements are drawn.")
@click.option("--overwrite", is_flag=True, help="Replace an earlier picture of that name.")
@click.option("--window", is_flag=True, help="Open a window to turn the frame in, instead of writing a file.")
@readings_options
def command(
    file: Path,
    png: Path | None,
    case: str | None,
    colour: str,
    magnify: float | None,
    overwrite: bool,
    window: bool,
    asked: Asked,
) -> int:
    r"""Draw the frame of CHASSIS.toml into PICTURE.png (beside the chassis file if no name is given).

    \b
    Examples:
      ladderfe picture models/short-4x4.toml frame.png
      ladderfe picture my-chassis.toml --case "rear axle bounce" --colour bending
      ladderfe picture my-chassis.toml --window
    """
    chassis = read(file)
    if (found := asked.found(chassis)) is not None:
        chassis = found.chassis
    target = _target(file, png)
    if not window:
        may_write_picture(target, overwrite=overwrite, inputs=[*files_read(file), *asked.files()])
    findings = check(chassis, assumptions=False, progress=progress())
    if not findings.proven:
        from ladderfe.report.findings_text import findings_text

        click.echo(findings_text(findings, str(file)), err=True)
        return SHORT
    names = [c.name for c in findings.solution.cases]
    chosen = findings.utilisations[0].case if case is None else case
    if chosen not in names:
        near = get_close_matches(chosen, names, n=1)
        hint = f"Did you mean {near[0]!r}?" if near else f"Cases are: {', '.join(names)}."
        raise click.UsageError(f"There is no case {chosen!r}. {hint}")
    if window:
        from ladderfe.report.window import show

        show(frame_scene(findings, chosen, colour, magnify))
        return 0
    for line in write_picture(findings, chosen, colour, target, magnify=magnify, overwrite=overwrite):
        click.echo(line)
    if found is not None:
        from ladderfe.report.readings_text import readings_text

        click.echo("\n".join(readings_text(found)))
    return 0


def _target(file: Path, png: Path | None) -> Path:
    if png is None and file == STDIN:
        return Path("frame.png")
    return file.with_suffix(".png") if png is None else png
