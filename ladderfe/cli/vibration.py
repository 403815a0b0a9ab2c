"""`ladderfe vibration`: natural frequencies of the frame, bare, laden and on its springs."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.checks.vibration import BARE, LADEN, SPRUNG, VibrationFindings, check_vibration
from ladderfe.cli.main import SHORT
from ladderfe.cli.shared import chassis_argument, files_read, progress, read
from ladderfe.report.vibration_text import vibration_text

__all__ = ["command"]

#: What --state names -> the state.
STATES = {"bare": BARE, "laden": LADEN, "on-springs": SPRUNG}


@click.command("vibration", short_help="Natural frequencies: bare, laden, on its springs; pictures of the modes.")
@chassis_argument
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--out", type=click.Path(path_type=Path), help="Folder for results: page, JSON, pictures of the modes.")
@click.option("--overwrite", is_flag=True, help="Replace earlier results of the same names.")
@click.option("--picture", type=click.Path(path_type=Path), help="Also draw three modes into this PNG file.")
@click.option(
    "--state",
    type=click.Choice(list(STATES)),
    default="laden",
    show_default=True,
    help="The state that --picture draws.",
)
def command(file: Path, as_json: bool, out: Path | None, overwrite: bool, picture: Path | None, state: str) -> int:
    r"""Find the natural frequencies of the frame of CHASSIS.toml: first twist, first bending and the modes beside them.

    \b
    Examples:
      ladderfe vibration models/short-4x4.toml
      ladderfe vibration my-chassis.toml --picture modes.png --state bare
      ladderfe vibration my-chassis.toml --out results
    """  # fmt: skip
    chassis = read(file)
    _may_write(file, out, picture, overwrite)
    if picture is not None and STATES[state] == BARE and chassis.material.density == 0:
        words = "The file gives the steel no weight, so the bare frame has no modes: draw another --state."
        raise click.UsageError(words)
    v = check_vibration(chassis, progress=progress())
    if as_json:
        from ladderfe.report.vibration_data import vibration_json

        click.echo(vibration_json(v, str(file)))
    else:
        click.echo(vibration_text(v, str(file)))
    if not v.proven:
        return SHORT
    for line in _written(v, file, out, overwrite, (picture, STATES[state])):
        click.echo(line, err=as_json)
    return 0


def _may_write(file: Path, out: Path | None, picture: Path | None, overwrite: bool) -> None:
    """Refuse, before anything is calculated, what could not be written afterwards."""
    if out is None and picture is None:
        return
    from ladderfe.report.results import may_write_picture
    from ladderfe.report.vibration_results import may_write_vibration

    inputs = files_read(file)
    if out is not None:
        may_write_vibration(out, overwrite=overwrite, inputs=inputs)
    if picture is not None:
        may_write_picture(picture, overwrite=overwrite, inputs=inputs)


def _written(
    v: VibrationFindings, file: Path, out: Path | None, overwrite: bool, drawn: tuple[Path | None, str]
) -> list[str]:
    """Write what was asked for; lines that say what."""
    picture, state = drawn
    if out is None and picture is None:
        return []
    from ladderfe.report.vibration_results import write_modes, write_vibration

    lines: list[str] = []
    progress()("writing result files and pictures")
    if out is not None:
        lines += write_vibration(v, str(file), out, overwrite=overwrite)
    if picture is not None:
        lines += write_modes(v, state, picture, overwrite=overwrite)
    return lines
