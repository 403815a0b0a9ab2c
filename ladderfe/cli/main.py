"""`ladderfe COMMAND`: commands load when they are asked for; errors become one sentence and an exit status."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module

import click

from ladderfe import __version__
from ladderfe.errors import InputError, LadderFEError

__all__ = ["EXCEEDED", "SHORT", "UNUSABLE", "main"]

EXCEEDED, UNUSABLE, SHORT = 1, 2, 3

#: Command -> module under ladderfe.cli.
COMMANDS = {
    "check": "check",
    "compare": "compare",
    "hand": "hand",
    "picture": "picture",
    "schema": "schema",
    "start": "start",
}


class _Commands(click.Group):
    """Loads a command's module only when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"ladderfe.cli.{COMMANDS[cmd_name]}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0], COMMANDS, n=1, cutoff=0.5)
            hint = f" Did you mean {near[0]}?" if near else f" Commands are {', '.join(COMMANDS)}."
            raise click.UsageError(f"There is no command {args[0]!r}.{hint}", ctx)
        return super().resolve_command(ctx, args)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="ladderfe")
def _group() -> None:
    """Finite-element check of a ladder chassis: both rails and all crossmembers in 3D.

    Exit status: 0 all within limits, 1 something exceeds a limit, 2 the input cannot be used, 3 the self-check fell
    short.
    """


def main(args: Sequence[str] | None = None) -> None:
    """Run a command and exit with its status."""
    sys.exit(run(args))


def run(args: Sequence[str] | None = None) -> int:
    """Run a command; returns the exit status, prints errors to stderr."""
    try:
        status = _group.main(args=None if args is None else list(args), prog_name="ladderfe", standalone_mode=False)
        sys.stdout.flush()
        return int(status or 0)
    except click.ClickException as error:
        error.show()
    except InputError as error:
        count = len(error.problems)
        click.echo(str(error), err=True)
        if count > 1:
            click.echo(f"{count} problems; nothing was calculated.", err=True)
    except LadderFEError as error:
        click.echo(str(error), err=True)
    except click.Abort:
        click.echo("Stopped.", err=True)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return UNUSABLE
