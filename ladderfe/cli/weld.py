"""`ladderfe weld`: what the welds of a repair plan, and the joints of a chassis, must be."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.advice.weld_sizes import METHODS, Method, weld_sizes
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, plan_readings_options
from ladderfe.cli.shared import placed, progress
from ladderfe.cli.subject import subject_of
from ladderfe.connections import STEELS, weld_steel
from ladderfe.errors import ModelError
from ladderfe.report.weld_text import weld_text

__all__ = ["command"]


@click.command("weld", short_help="Welds of a repair plan and of joints: force, throat and leg, seam or stitch.")
@click.argument("file", type=click.Path(path_type=Path), metavar="PLAN.toml")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--steel", type=click.Choice(list(STEELS)), default="S235", show_default=True, help="Steel of the weaker "
              "part joined; filler metal at least as strong.")  # fmt: skip
@click.option("--method", type=click.Choice(METHODS), default="simplified", show_default=True,
              help="How a throat is judged: both of EN 1993-1-8, or a permissible stress.")  # fmt: skip
@plan_readings_options
def command(file: Path, as_json: bool, steel: str, method: Method, asked: Asked) -> int:
    r"""Work out the welds of the plan in PLAN.toml: flow along its plates, their ends, butt joints, and the joints of
    crossmembers and outriggers on the rails.  Of a chassis file the joints alone.

    \b
    Examples:
      ladderfe weld models/plans/short-4x4-cheek-plates.toml
      ladderfe weld models/short-4x4.toml --method directional
      ladderfe weld my-chassis.toml --readings my-readings.csv
    """
    from ladderfe.checks.weld_demands import weld_demands

    subject = subject_of(file, asked)
    try:
        demands = weld_demands(subject.work, bare=subject.bare, progress=progress())
    except ModelError as error:
        raise placed(error, subject.over, str(file)) from error
    w = weld_sizes(demands, weld_steel(steel), method)
    if as_json:
        from ladderfe.report.weld_data import weld_json

        click.echo(weld_json(w, str(file), subject.found))
    else:
        click.echo(weld_text(w, str(file), subject.found))
    if not demands.findings.proven:
        return SHORT
    return EXCEEDED if w.exceeded else 0
