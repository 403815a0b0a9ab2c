"""`ladderfe COMMAND`: commands load when they are asked for; errors become one sentence and an exit status."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from importlib import import_module
from io import TextIOWrapper
from shutil import get_terminal_size

import click

from ladderfe import __version__
from ladderfe.cli.completion import VARIABLE
from ladderfe.errors import InputError, LadderFEError, ModelError
from ladderfe.report.table import WIDTH, page_width

__all__ = ["EXCEEDED", "SHORT", "UNUSABLE", "main"]

#: pydantic would look through all installed packages for plugins, each time a command starts.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

EXCEEDED, UNUSABLE, SHORT = 1, 2, 3
#: As shells count: 128 and the number of the signal, here that of Ctrl-C and of a pipe whose reader went away.
STOPPED, UNREAD = 130, 141
#: Python looks for garbage in circles after this many new objects; at its own 700 that takes 4 % of a check.
GARBAGE = 200_000

#: Command -> module under ladderfe.cli.
COMMANDS = {
    "bolts": "bolts",
    "check": "check",
    "compare": "compare",
    "completion": "completion",
    "hand": "hand",
    "margin": "margin",
    "measure": "measure",
    "picture": "picture",
    "repair": "repair",
    "report": "report",
    "scatter": "scatter",
    "schema": "schema",
    "splice": "splice",
    "square": "square",
    "stands": "stands",
    "start": "start",
    "tow": "tow",
    "twist": "twist",
    "vibration": "vibration",
    "weld": "weld",
}


class _Commands(click.Group):
    """Loads a command's module only when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"ladderfe.cli.{COMMANDS[cmd_name]}").command
        command.help = (command.help or "").replace("\\b", "\b")  # docstrings are raw; click wants the character
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0], COMMANDS, n=1, cutoff=0.5)
            hint = f" Did you mean {near[0]}?" if near else f" Commands are {', '.join(COMMANDS)}."
            raise click.UsageError(f"There is no command {args[0]!r}.{hint}", ctx)
        name, command, rest = super().resolve_command(ctx, args)
        if command is not None and not ctx.resilient_parsing:
            _refuse_repeated(command, click.Context(command, ctx, name), rest)
        return name, command, rest


def _refuse_repeated(command: click.Command, ctx: click.Context, args: list[str]) -> None:
    """UsageError for an option of one value that is given more than once: click would drop all but the last."""
    try:
        given = command.make_parser(ctx).parse_args(list(args))[2]
    except click.UsageError:
        return  # told when the command itself reads its arguments
    if any(p.is_eager for p in given):  # such as --help
        return
    for p in dict.fromkeys(given):
        if isinstance(p, click.Option) and not (p.multiple or p.is_flag or p.count) and given.count(p) > 1:
            raise click.UsageError(f"{p.opts[0]} is given {given.count(p)} times; it takes one value.", ctx)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="ladderfe")
def _group() -> None:
    """Finite-element check of a ladder chassis: both rails and all crossmembers in 3D.

    Exit status: 0 all within limits, 1 something exceeds a limit, 2 the input cannot be used or the output cannot be
    written, 3 the self-check fell short, 130 stopped by Ctrl-C.
    """


def main(args: Sequence[str] | None = None) -> None:
    """Run a command and exit with its status."""
    gc.set_threshold(GARBAGE)
    for stream in (sys.stdout, sys.stderr):  # a sign that the terminal does not know is no reason to lose the rest
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    status = run(args)
    gc.freeze()  # what is left goes with the process: Python need not look through all of it for circles once more
    sys.exit(status)


def run(args: Sequence[str] | None = None) -> int:
    """Run a command; returns the exit status, prints errors to stderr."""
    try:
        with page_width(_columns()):
            status = _called(list(sys.argv[1:] if args is None else args))
        if sys.stdout is not None:
            sys.stdout.flush()
        return status
    except click.ClickException as error:
        _tell(error.show)
    except InputError as error:
        count = len(error.problems)
        more = f"\n{count} problems; nothing was calculated." if count > 1 else ""
        _complain(f"{error}{more}")
    except LadderFEError as error:
        _complain(str(error))
    except (click.Abort, KeyboardInterrupt):
        _complain("Stopped.")
        return STOPPED
    except BrokenPipeError:
        _drop_output()
        return UNREAD
    except OSError as error:
        what = f"{error.filename}: cannot be used" if error.filename else "The output could not be written"
        _complain(f"{what} ({error.strerror or type(error).__name__}).")
        _drop_output()
    return UNUSABLE


def _called(args: list[str]) -> int:
    """Run the command that the arguments name; its status.  Click's own `main` is not asked: it makes status 1 of a
    reader that went away."""
    if asked := os.environ.get(VARIABLE):  # by the script that `ladderfe completion` prints
        from click.shell_completion import shell_complete

        return shell_complete(_group, {}, "ladderfe", VARIABLE, asked)
    try:
        with _group.make_context("ladderfe", args) as context:
            return _invoked(context)
    except click.exceptions.Exit as done:  # after --help and --version
        return done.exit_code


def _invoked(context: click.Context) -> int:
    try:
        return int(_group.invoke(context) or 0)
    except ModelError as error:
        from ladderfe.cli.shared import look_unusual, placed

        _complain("\n".join(filter(None, (str(placed(error, context.obj)), look_unusual(context.obj)))))
        return UNUSABLE


def _columns() -> int:
    """Columns of the page: COLUMNS where it is set, else those of the terminal, else the full page."""
    told = os.environ.get("COLUMNS", "")
    if told.isdigit() and int(told):
        return int(told)
    on_screen = sys.stdout is not None and sys.stdout.isatty()
    return get_terminal_size((WIDTH, 24)).columns if on_screen else WIDTH


def _complain(words: str) -> None:
    _tell(lambda: click.echo(words, err=True))


def _tell(say: Callable[[], None]) -> None:
    """Say something on stderr, unless nothing can be written there."""
    with suppress(OSError):
        say()


def _drop_output() -> None:
    """Let what was printed and could not be written go nowhere, so that Python does not trip over it at its end."""
    with suppress(OSError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
