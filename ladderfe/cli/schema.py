"""`ladderfe schema`: JSON Schema of the chassis file, for editors that complete and check while typing."""

from __future__ import annotations

import json

import click

from ladderfe.chassis import json_schema

__all__ = ["command"]


@click.command("schema", short_help="JSON Schema of the chassis file, for editors.")
@click.option("--overlay", is_flag=True, help="The schema of overlays, which name a base and say what is otherwise.")
@click.option("--repair", is_flag=True, help="The schema of repair plans, which are overlays with more tables.")
@click.option("--catalogue", is_flag=True, help="The schema of catalogues, which `ladderfe compare` searches.")
def command(overlay: bool, repair: bool, catalogue: bool) -> int:
    r"""Print the JSON Schema of the chassis file.

    \b
    Examples:
      ladderfe schema > chassis.schema.json
      ladderfe schema --overlay > overlay.schema.json
      ladderfe schema --repair > plan.schema.json
    """
    if overlay + repair + catalogue > 1:
        raise click.UsageError("Give one of --overlay, --repair and --catalogue.")
    if catalogue:
        from ladderfe.condition.catalogue_schema import catalogue_schema

        click.echo(json.dumps(catalogue_schema(), indent=1))
        return 0
    if repair:
        from ladderfe.condition.plan_schema import plan_schema

        click.echo(json.dumps(plan_schema(), indent=1))
        return 0
    click.echo(json.dumps(json_schema(overlay=overlay), indent=1))
    return 0
