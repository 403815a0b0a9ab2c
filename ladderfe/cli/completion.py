"""`ladderfe completion`: lets a shell complete commands, options and file names."""

from __future__ import annotations

import click

__all__ = ["VARIABLE", "command"]

#: The variable by which a shell's script asks for completions.
VARIABLE = "_LADDERFE_COMPLETE"
#: Where each shell reads such a script from.
HOMES = {
    "bash": "~/.local/share/bash-completion/completions/ladderfe",
    "zsh": "a folder of your $fpath, as _ladderfe",
    "fish": "~/.config/fish/completions/ladderfe.fish",
}


@click.command("completion", short_help="A script by which a shell completes commands, options and files.")
@click.argument("shell", type=click.Choice(list(HOMES)))
def command(shell: str) -> int:
    r"""Print the script for a shell; the shell reads it when it starts.

    \b
    Examples:
      ladderfe completion bash > ladderfe-completion
      ladderfe completion fish > ~/.config/fish/completions/ladderfe.fish
      source <(ladderfe completion zsh)
    """
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    if kind is None:  # click knows all three
        raise click.UsageError(f"Nothing is known of the shell {shell!r}.")
    context = click.get_current_context()
    maker = kind(context.find_root().command, {}, "ladderfe", VARIABLE)
    click.echo(f"# Kept in {HOMES[shell]}")
    click.echo(maker.source())
    return 0
