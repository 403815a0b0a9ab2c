"""What several commands share: reading the file, progress, the chassis argument."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import click

from ladderfe.chassis import Chassis, read_chassis

__all__ = ["chassis_argument", "progress", "read"]

chassis_argument = click.argument("file", type=click.Path(path_type=Path), metavar="CHASSIS.toml")


def read(file: Path) -> Chassis:
    """The chassis of a file; InputError with all its problems."""
    return read_chassis(file)


def progress() -> Callable[[str], None]:
    """Tells what is being done on a terminal's stderr; silent when that is no terminal."""
    if not sys.stderr.isatty():
        return lambda _: None
    return lambda words: click.echo(f"... {words}", err=True)
