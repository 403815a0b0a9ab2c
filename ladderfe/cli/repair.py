"""`ladderfe repair`: a repair plan, as built, as found and as repaired side by side."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, plan_readings_options
from ladderfe.cli.shared import placed, progress
from ladderfe.errors import ModelError
from ladderfe.report.repair_text import repair_text

__all__ = ["command"]


@click.command("repair", short_help="A repair plan: as built, as found and as repaired side by side.")
@click.argument("file", type=click.Path(path_type=Path), metavar="PLAN.toml")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--every-case", is_flag=True, help="Show all cases, places and rules, not the first of them.")
@plan_readings_options
def command(file: Path, as_json: bool, every_case: bool, asked: Asked) -> int:
    r"""Work out the plan in PLAN.toml: a file that names a chassis file as its base, the readings it starts from, and
    what is let in, welded on, spliced or replaced.  --readings counts instead of the readings that the plan names.

    \b
      base = "my-chassis.toml"
      readings = "my-readings.csv"
      [[inserts]]
      rail = "left"
      wall = "bottom"
      from = 1040
      to = 1470

    \b
    Examples:
      ladderfe repair models/plans/short-4x4-let-in.toml
      ladderfe repair my-plan.toml --json > plan.json
      ladderfe repair my-plan.toml --readings read-later.csv
      ladderfe schema --repair > plan.schema.json
    """
    from ladderfe.cli.planned import worked_out
    from ladderfe.cli.subject import warn
    from ladderfe.condition.repaired import repaired

    read = asked.plan(file)
    try:
        states = repaired(read, asked.options)
    except ModelError as error:
        raise placed(error, read.over, str(file)) from error
    warn(states)
    found, splices, fatigue = worked_out(states, read.over, file, progress())
    if as_json:
        from ladderfe.report.repair_data import repair_json

        click.echo(repair_json(found, str(file), splices, fatigue))
    else:
        click.echo(repair_text(found, str(file), every_case, splices, fatigue))
    if not found.proven:
        return SHORT
    return EXCEEDED if found.exceeded else 0
