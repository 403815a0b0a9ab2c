"""`ladderfe check`: the main job."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.checks import Findings, check
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, files_read, progress, read
from ladderfe.report.findings_text import findings_text

__all__ = ["command"]


@click.command("check", short_help="Stresses of the whole frame under all cases, with a self-check.")
@chassis_argument
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--out", type=click.Path(path_type=Path), help="Folder for results: pages, JSON, CSV, VTU, pictures.")
@click.option("--overwrite", is_flag=True, help="Replace earlier results of the same names.")
@click.option("--picture", type=click.Path(path_type=Path), help="Also draw the governing case into this PNG file.")
@click.option("--every-case", is_flag=True, help="Show all cases in tables that otherwise show what is greatest.")
@click.option("--quick", is_flag=True, help="List the assumptions without moving them to their low and high values.")
@readings_options
def command(
    file: Path,
    as_json: bool,
    out: Path | None,
    overwrite: bool,
    picture: Path | None,
    quick: bool,
    every_case: bool,
    asked: Asked,
) -> int:
    r"""Solve the frame of CHASSIS.toml for all its cases and compare every stress with its limit.

    \b
    Examples:
      ladderfe check models/short-4x4.toml
      ladderfe check my-chassis.toml --out results
      ladderfe check my-chassis.toml --json > findings.json
      ladderfe check models/short-4x4.toml \
          --readings models/short-4x4-readings.csv
    """
    chassis = read(file)
    found = asked.found(chassis)
    _may_write([*files_read(file), *asked.files()], out, picture, overwrite)
    tell = progress()
    if found is None:
        findings = check(chassis, assumptions=not quick, progress=tell)
    else:
        from ladderfe.checks.found import check_found

        findings = check_found(found, assumptions=not quick, progress=tell)
    if as_json:
        from ladderfe.checks.beside import beside
        from ladderfe.report.data import findings_json

        rows = beside(findings.chassis, findings.solution)[1] if findings.proven else ()
        click.echo(findings_json(findings, str(file), rows))
    else:
        click.echo(findings_text(findings, str(file), every_case))
    if findings.proven:
        _write(findings, file, out, picture, overwrite, quiet=as_json)
    return _status(findings)


def _status(findings: Findings) -> int:
    if not findings.proven:
        return SHORT
    return EXCEEDED if findings.exceeded else 0


def _may_write(inputs: list[Path], out: Path | None, picture: Path | None, overwrite: bool) -> None:
    """Refuse, before anything is calculated, what could not be written afterwards."""
    if out is None and picture is None:
        return
    from ladderfe.report.results import may_write_picture, may_write_results

    if out is not None:
        may_write_results(out, overwrite=overwrite, inputs=inputs)
    if picture is not None:
        may_write_picture(picture, overwrite=overwrite, inputs=inputs)


def _write(
    findings: Findings, file: Path, out: Path | None, picture: Path | None, overwrite: bool, *, quiet: bool
) -> None:
    lines: list[str] = []
    if out is not None:
        from ladderfe.report.results import write_results

        progress()("writing result files and pictures")
        lines += write_results(findings, str(file), out, overwrite=overwrite)
    if picture is not None:
        from ladderfe.report.results import write_picture

        lines += write_picture(findings, findings.utilisations[0].case, "utilisation", picture, overwrite=overwrite)
    for line in lines:
        click.echo(line, err=quiet)
