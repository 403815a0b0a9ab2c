"""`ladderfe bolts`: what the bolts and rivets of joints on the rails carry, and the walls round their holes."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.advice.bolt_uses import bolt_uses
from ladderfe.checks import check
from ladderfe.checks.bolt_demands import bolt_demands
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, plan_readings_options
from ladderfe.cli.shared import placed, progress
from ladderfe.cli.subject import subject_of
from ladderfe.condition.repaired import Repaired
from ladderfe.connections import STEELS, weld_steel
from ladderfe.errors import ModelError
from ladderfe.report.bolt_text import bolt_text

__all__ = ["command"]


@click.command("bolts", short_help="Bolts and rivets of joints: shear and pull of each, and the walls round them.")
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE.toml")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--steel", type=click.Choice(list(STEELS)), default="S235", show_default=True,
              help="Steel of the rail's wall and of the bracket's plate.")  # fmt: skip
@plan_readings_options
def command(file: Path, as_json: bool, steel: str, asked: Asked) -> int:
    r"""Work out the bolts and rivets that a chassis file or a repair plan describes: force in each from what the part
    brings to the rail, bearing and tear-out in the wall as thick as it was read, edge and pitch.

    \b
      [[bolts]]
      name = "gearbox"
      member = "gearbox"
      diameter = 10
      columns = 2
      rows = 2
      spacing = 40
      rise = 50

    \b
    Examples:
      ladderfe bolts my-chassis.toml
      ladderfe bolts my-chassis.toml --readings my-readings.csv
      ladderfe bolts my-plan.toml --json
    """
    subject = subject_of(file, asked)
    chassis = subject.work.chassis if isinstance(subject.work, Repaired) else subject.work
    try:
        findings = check(chassis, assumptions=False, progress=progress())
        groups = [bolt_uses(d, weld_steel(steel)) for d in bolt_demands(findings.solution, chassis)]
    except ModelError as error:
        raise placed(error, subject.over, str(file)) from error
    if as_json:
        from ladderfe.report.bolt_data import bolt_json

        click.echo(bolt_json(findings, groups, weld_steel(steel), str(file), subject.found))
    else:
        click.echo(bolt_text(findings, groups, weld_steel(steel), str(file), subject.found))
    if not findings.proven:
        return SHORT
    return EXCEEDED if any(g.exceeded for g in groups) else 0
