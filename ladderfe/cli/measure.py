"""`ladderfe measure`: where to read wall thicknesses, as a page, a table to fill in and a sheet to print; with readings
where to measure next."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from ladderfe.checks import Utilisation, check
from ladderfe.checks.grid import LIGHT, SPACING, hardest_of, reading_grid
from ladderfe.cli.main import SHORT
from ladderfe.cli.progress import Progress
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, files_read, finite, progress, read
from ladderfe.condition import Found

__all__ = ["command"]

#: What an earlier table to fill in has at its head.
CSV_MARK = b"# Thickness readings of "
TEXT_MARK = b": where to read wall thicknesses"


@click.command("measure", short_help="Where to read wall thicknesses: a table to fill in, a sheet to print.")
@chassis_argument
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE.csv", help="Table to fill in, readings empty.")
@click.option("--sheet", type=click.Path(path_type=Path), help="Sheet to print: FILE.html, or FILE.txt as plain text.")
@click.option(
    "--spacing", type=click.FloatRange(min=25, max=1000), default=SPACING, show_default=True, callback=finite,
    metavar="MM", help="How far apart stations are at most; 150 to 250 is common.",
)
@click.option(
    "--light", type=click.FloatRange(min=0, max=100), default=100 * LIGHT, show_default=True, callback=finite,
    metavar="PERCENT", help="Where walls work at less of their limits, few readings will do.",
)
@click.option(
    "--most", type=click.IntRange(min=1), metavar="N", help="Only the N stations where readings tell most."
)
@click.option("--overwrite", is_flag=True, help="Replace earlier files of the same names.")
@click.option(
    "--gauge", type=click.FloatRange(min=0, max=2), callback=finite, metavar="MM",
    help="With readings: accuracy of the gauge, 0.1 unless given.",
)
@click.option(
    "--unread", type=click.FloatRange(min=0, max=80), callback=finite, metavar="PERCENT",
    help="With readings: thickness that walls may have lost which nobody read, 20 unless given.",
)
@click.option(
    "--target", type=click.FloatRange(min=0.3, max=100), callback=finite, metavar="MM",
    help="With readings: how many it takes until mean - k s reaches this.",
)
@click.option("--json", "as_json", is_flag=True, help="With readings: everything as one JSON document.")
@readings_options
def command(
    file: Path, out: Path | None, sheet: Path | None, spacing: float, light: float, most: int | None,
    overwrite: bool, asked: Asked,
    **next_options: Any,
) -> int:  # fmt: skip
    r"""Show where on the rails of CHASSIS.toml to read how thick their walls are, how often, and where few readings do.

    The table that is filled in is what `--readings` of the other commands takes.  With `--readings` here: how much the
    answer changes with each of them, and where to measure next.

    \b
    Examples:
      ladderfe measure models/short-4x4.toml
      ladderfe measure my-chassis.toml --most 12
      ladderfe measure my-chassis.toml --out my-readings.csv \
          --sheet my-readings.html
      ladderfe check my-chassis.toml --readings my-readings.csv
      ladderfe measure my-chassis.toml --readings my-readings.csv
    """  # fmt: skip
    _go_together(asked)
    chassis = read(file)
    if (found := asked.found(chassis)) is not None:
        return _next(file, found, **next_options)
    _may_write(file, out, sheet, overwrite)
    findings = check(chassis, assumptions=False, progress=progress())
    if not findings.proven:
        from ladderfe.report.findings_text import findings_text

        click.echo(findings_text(findings, str(file)))
        return SHORT
    from ladderfe.report.files import write_whole
    from ladderfe.report.grid_text import grid_csv, grid_text

    grid = reading_grid(findings, spacing, light / 100)
    grid = grid if most is None else hardest_of(grid, most)
    click.echo(grid_text(grid, chassis.title))
    if out is not None:
        write_whole(out, grid_csv(grid, chassis.title), overwrite, CSV_MARK)
        click.echo(f"\n{out}: {grid.readings} rows to fill in")
    if sheet is not None:
        from ladderfe.report.grid_sheet import SHEET_MARK, grid_sheet

        text, mark = (
            (grid_text(grid, chassis.title) + "\n", TEXT_MARK)
            if sheet.suffix.lower() == ".txt"
            else (grid_sheet(grid, chassis.title), SHEET_MARK)
        )
        write_whole(sheet, text, overwrite, mark)
        click.echo(f"{sheet}: sheet to print")
    return 0


def _go_together(asked: Asked) -> None:
    """UsageError for options of the grid with readings, and the other way round."""
    context, alone = click.get_current_context(), asked.file is None
    grid = ("out", "sheet", "spacing", "light", "most", "overwrite")
    wrong = ("gauge", "unread", "target", "as_json") if alone else grid
    for name in wrong:
        if context.get_parameter_source(name) is not ParameterSource.DEFAULT:
            way = "goes with --readings FILE.csv" if alone else "does not go with --readings"
            raise click.UsageError(f"--{name.removeprefix('as_')} {way}.")


def _next(
    file: Path, found: Found, *, gauge: float | None, unread: float | None, target: float | None, as_json: bool
) -> int:
    """Where to measure next."""
    from ladderfe.advice.governing import laid_out
    from ladderfe.advice.next_reading import UNREAD, Doubt, next_reading
    from ladderfe.advice.walls import GAUGE

    tell = progress()
    laid = laid_out(found, progress=tell)
    if not laid.findings.proven:
        from ladderfe.report.findings_text import findings_text

        click.echo(findings_text(laid.findings, str(file)))
        return SHORT
    doubt = Doubt(gauge=GAUGE if gauge is None else gauge, unread=UNREAD if unread is None else unread / 100)
    result = next_reading(laid, doubt, progress=tell)
    checked = _checked(found, tell)
    if as_json:
        from ladderfe.report.next_data import next_json

        click.echo(next_json(result, str(file), target, checked))
    else:
        from ladderfe.report.next_text import next_text

        click.echo(next_text(result, str(file), target, checked))
    return 0


def _checked(found: Found, tell: Progress) -> Utilisation | None:
    """What governs by the check, where walls have another thickness for stiffness than for strength."""
    if not any(span.least or span.least_end for rail in found.chassis.rails for span in rail.spans):
        return None
    return check(found.chassis, assumptions=False, progress=tell).utilisations[0]


def _may_write(file: Path, out: Path | None, sheet: Path | None, overwrite: bool) -> None:
    """Refuse, before anything is calculated, what could not be written afterwards."""
    if out is None and sheet is None:
        return
    from ladderfe.report.files import OutputError, may_write
    from ladderfe.report.grid_sheet import SHEET_MARK

    for path, kinds in ((out, (".csv",)), (sheet, (".html", ".htm", ".txt"))):
        if path is not None and path.suffix.lower() not in kinds:
            raise OutputError(str(path), f"ends in {path.suffix or 'nothing'}", f"Name it {path.stem}{kinds[0]}")
    if out is not None:
        may_write(out, overwrite, CSV_MARK, files_read(file))
        if out.is_file() and _is_filled_in(out):
            raise OutputError(str(out), "holds readings, and they would be lost", "Choose another name")
    if sheet is not None:
        mark = TEXT_MARK if sheet.suffix.lower() == ".txt" else SHEET_MARK
        may_write(sheet, overwrite, mark, files_read(file))


def _is_filled_in(table: Path) -> bool:
    """Whether a table has anything in its column of readings, or a column that may be one under another name."""
    from ladderfe.condition.columns import COLUMNS, columns_of
    from ladderfe.condition.csv_table import read_table

    found = read_table(table.read_text(encoding="utf-8", errors="replace"), COLUMNS)
    if found is None:
        return False
    columns, _ = columns_of(found, str(table))
    if "reading" not in columns.at:
        return bool(found.rows)
    return any(columns.cells(row)["reading"] for row in found.rows)
