"""`ladderfe scatter`: what the scatter of thickness readings does to the governing utilisation."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.advice.governing import laid_out
from ladderfe.advice.next_reading import UNREAD
from ladderfe.advice.scatter import DRAWS, Spread, scatter
from ladderfe.advice.walls import GAUGE, SCATTER
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, finite, progress, read
from ladderfe.condition.types import SMALLEST

__all__ = ["command"]


@click.command("scatter", short_help="How far the answer spreads by the scatter of readings and by unread walls.")
@chassis_argument
@click.option(
    "--draws", type=click.IntRange(min=50, max=100_000), default=DRAWS, show_default=True, metavar="N",
    help="How many random states of the walls are solved.",
)
@click.option(
    "--seed", type=click.IntRange(min=0), default=1, show_default=True, metavar="N",
    help="Start of the random numbers: the same seed gives the same result.",
)
@click.option(
    "--gauge", type=click.FloatRange(min=0, max=2), default=GAUGE, show_default=True, callback=finite, metavar="MM",
    help="Accuracy of the gauge, as +-2 standard deviations.",
)
@click.option(
    "--deviation", type=click.FloatRange(min=0, max=2), default=SCATTER, show_default=True, callback=finite,
    metavar="MM", help="Standard deviation of readings at places of fewer than three.",
)
@click.option(
    "--unread", type=click.FloatRange(min=0, max=80), default=100 * UNREAD, show_default=True, callback=finite,
    metavar="PERCENT", help="Thickness that walls may have lost which nobody read.",
)
@click.option("--together", is_flag=True, help="All walls that nobody read have lost the same share.")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@readings_options
def command(
    file: Path, draws: int, seed: int, gauge: float, deviation: float, unread: float, together: bool, as_json: bool,
    asked: Asked,
) -> int:  # fmt: skip
    r"""Draw all walls of the rails of CHASSIS.toml at random, as readings scatter, and solve the frame in every state.

    \b
    Examples:
      ladderfe scatter models/short-4x4.toml \
          --readings models/short-4x4-readings.csv
      ladderfe scatter my-chassis.toml --readings my-readings.csv \
          --draws 500 --unread 30 --together
    """  # fmt: skip
    if asked.options.unread_loss or asked.options.strength != SMALLEST:
        raise click.UsageError(
            "--unread-loss and --lower-bound do not go with scatter, which draws every wall: use --unread PERCENT."
        )
    found = asked.found(read(file))
    if found is None:
        raise click.UsageError("Name the readings: --readings FILE.csv.")
    tell = progress()
    laid = laid_out(found, by_mean=True, progress=tell)
    if not laid.findings.proven:
        from ladderfe.report.findings_text import findings_text

        click.echo(findings_text(laid.findings, str(file)))
        return SHORT
    spread = Spread(
        draws=draws, seed=seed, gauge=gauge, scatter=deviation, unread=unread / 100, together=together
    )
    result = scatter(laid, spread, progress=tell)
    if as_json:
        from ladderfe.report.scatter_data import scatter_json

        click.echo(scatter_json(result, str(file)))
    else:
        from ladderfe.report.scatter_text import scatter_text

        click.echo(scatter_text(result, str(file)))
    return EXCEEDED if result.exceeded else 0
