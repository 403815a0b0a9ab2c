"""`ladderfe schema`: JSON Schema of the chassis file, for editors that complete and check while typing."""

from __future__ import annotations

import json

import click

from ladderfe.chassis import json_schema

__all__ = ["command"]


@click.command("schema", short_help="JSON Schema of the chassis file, for editors.")
def command() -> int:
    r"""Print the JSON Schema of the chassis file.

    \b
    Example:
      ladderfe schema > chassis.schema.json
    """
    click.echo(json.dumps(json_schema(), indent=1))
    return 0
