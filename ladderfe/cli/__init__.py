"""The command line: one file per command; the only room that prints and exits."""

from ladderfe.cli.main import main

__all__ = ["main"]
