"""`ladderfe tow`: the greatest loads at coupling, winch and recovery points and behind the rear axle."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.checks.towing import GRIP, check_towing
from ladderfe.cli.main import SHORT
from ladderfe.cli.shared import chassis_argument, finite, progress, read
from ladderfe.report.tow_text import tow_text

__all__ = ["command"]

#: Beyond these a factor or a grip is a slip of the pen.
MOST_FACTOR, MOST_GRIP = 10.0, 3.0


@click.command("tow", short_help="Greatest nose weight, pulls and loads behind the rear axle, and what governs.")
@chassis_argument
@click.option(
    "--bounce",
    type=click.FloatRange(min=1, max=MOST_FACTOR),
    callback=finite,
    metavar="F",
    help="Factor on the nose weight [default: that of the chassis' own case, else 2.5].",
)
@click.option(
    "--factor",
    type=click.FloatRange(min=1, max=MOST_FACTOR),
    callback=finite,
    metavar="F",
    help="Factor on vehicle and load behind the rear axle [default: that of the chassis' amplified case].",
)
@click.option(
    "--grip",
    type=click.FloatRange(min=0, max=MOST_GRIP, min_open=True),
    default=GRIP,
    show_default=True,
    callback=finite,
    metavar="G",
    help="Grip of the tyres, force along the ground over load.",
)
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
def command(file: Path, bounce: float | None, factor: float | None, grip: float, as_json: bool) -> int:
    r"""Find the loads at which the frame of CHASSIS.toml just reaches its limit, and where it does.

    Coupling, winch and recovery points are those named under [towing].  The exit status is 0 whatever the limits are.

    \b
    Examples:
      ladderfe tow models/short-4x4.toml
      ladderfe tow my-chassis.toml --bounce 3 --factor 2.5
      ladderfe tow my-chassis.toml --json > limits.json
    """
    t = check_towing(read(file), nose=bounce, behind=factor, grip=grip, progress=progress())
    if as_json:
        from ladderfe.report.tow_data import tow_json

        click.echo(tow_json(t, str(file)))
    else:
        click.echo(tow_text(t, str(file)))
    return 0 if t.proven else SHORT
