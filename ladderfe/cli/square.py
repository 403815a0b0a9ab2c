"""`ladderfe square`: is the frame straight, before cutting, tacked, after welding; what moved."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import click

from ladderfe.advice.tolerances import TOLERANCES, chosen
from ladderfe.chassis import Chassis
from ladderfe.cli.main import EXCEEDED
from ladderfe.cli.shared import chassis_argument, files_read, finite, read
from ladderfe.condition.rail_points import FACES

__all__ = ["command"]

ERROR = click.FloatRange(min=0.05, max=20)
LIMIT = click.FloatRange(min=0.1, max=100)


@click.command("square", short_help="Is the frame straight: what to measure, what is off, what moved.")
@chassis_argument
@click.option(
    "--measured",
    type=click.Path(path_type=Path),
    multiple=True,
    metavar="FILE.csv",
    help="Distances and heights as measured; once for each round, earliest first.",
)
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE.csv", help="Table to fill in, readings empty.")
@click.option(
    "--face", type=click.Choice(FACES), help="Points of that table on this face of the rails, not the middle."
)
@click.option(
    "--tolerance",
    type=click.Choice(list(TOLERANCES)),
    default="body-over-frame",
    show_default=True,
    help="Published figures to judge readings by.",
)
@click.option("--points", type=LIMIT, callback=finite, metavar="MM", help="Own figure for readings against expected.")
@click.option("--diagonals", type=LIMIT, callback=finite, metavar="MM", help="Own figure for two diagonals.")
@click.option(
    "--tape",
    type=ERROR,
    default=1.0,
    show_default=True,
    callback=finite,
    metavar="MM",
    help="Error of a distance, standard deviation.",
)
@click.option(
    "--level",
    type=ERROR,
    default=1.0,
    show_default=True,
    callback=finite,
    metavar="MM",
    help="Error of a height, standard deviation.",
)
@click.option("--overwrite", is_flag=True, help="Replace an earlier table of the same name.")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
def command(
    file: Path, measured: tuple[Path, ...], out: Path | None, face: str | None, tolerance: str, points: float | None,
    diagonals: float | None, tape: float, level: float, overwrite: bool, as_json: bool,
) -> int:  # fmt: skip
    r"""Tell which distances, diagonals and heights of CHASSIS.toml to measure, and with `--measured` what they say.

    Sag, bow, diamond, twist and sides short come out of all readings at once, and a reading that does not fit the
    others is named.  The exit status is 1 where the last round has a reading outside the tolerance.

    \b
    Examples:
      ladderfe square models/short-4x4.toml
      ladderfe square my-chassis.toml --out before.csv
      ladderfe square my-chassis.toml --measured before.csv
      ladderfe square my-chassis.toml --measured before.csv \
          --measured after.csv
    """
    if measured and (out is not None or face is not None):
        raise click.UsageError("--out and --face make the table to fill in and do not go with --measured.")
    chassis = read(file)
    if not measured:
        return _table(chassis, file, out, face or "", overwrite, as_json)
    from ladderfe.advice.straightness import Errors, straightness, what_moved
    from ladderfe.condition.alignment_file import read_alignment

    limits, errors = chosen(tolerance, points, diagonals), Errors(tape, level)
    rounds = [straightness(chassis, a, limits, errors) for a in [read_alignment(m, chassis) for m in measured]]
    moved = [what_moved(chassis, a, b) for a, b in pairwise(rounds)]
    if as_json:
        from ladderfe.report.alignment_data import square_json

        click.echo(square_json(chassis, str(file), rounds, moved))
    else:
        from ladderfe.report.alignment_text import square_text

        click.echo(square_text(chassis, str(file), rounds, moved))
    return EXCEEDED if rounds[-1].exceeded else 0


def _table(chassis: Chassis, file: Path, out: Path | None, face: str, overwrite: bool, as_json: bool) -> int:
    """What to measure, printed and, if asked for, as a table to fill in."""
    from ladderfe.advice.what_to_measure import to_measure
    from ladderfe.report.alignment_text import CSV_MARK, square_csv, to_measure_text
    from ladderfe.report.files import write_whole

    rows = to_measure(chassis, face)
    if out is not None:
        _may_write(out, file, overwrite)
        write_whole(out, square_csv(chassis, rows), overwrite, CSV_MARK)
    if as_json:
        from ladderfe.report.alignment_data import to_measure_json

        click.echo(to_measure_json(chassis, str(file), rows))
    else:
        click.echo(to_measure_text(chassis, str(file), rows))
        if out is not None:
            click.echo(f"\n{out}: {len(rows)} rows to fill in")
    return 0


def _may_write(out: Path, file: Path, overwrite: bool) -> None:
    """Refuse a name that is none of a table, and a table that holds readings."""
    from ladderfe.condition.alignment_file import ALIGNMENT_COLUMNS, NEEDED
    from ladderfe.condition.columns import columns_of
    from ladderfe.condition.csv_table import read_table
    from ladderfe.report.alignment_text import CSV_MARK
    from ladderfe.report.files import OutputError, may_write

    if out.suffix.lower() != ".csv":
        raise OutputError(str(out), f"ends in {out.suffix or 'nothing'}", f"Name it {out.stem}.csv")
    may_write(out, overwrite, CSV_MARK, files_read(file))
    if not out.is_file():
        return
    table = read_table(out.read_text(encoding="utf-8", errors="replace"), ALIGNMENT_COLUMNS)
    columns = columns_of(table, str(out), ALIGNMENT_COLUMNS, NEEDED)[0] if table else None
    if table and columns and ("reading" not in columns.at or any(columns.cells(r)["reading"] for r in table.rows)):
        raise OutputError(str(out), "holds readings, and they would be lost", "Choose another name")
