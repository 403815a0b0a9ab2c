"""What is being done, told on stderr: line by line and as a bar on a terminal, else a plain line now and then."""

from __future__ import annotations

import sys
from collections.abc import Callable
from time import monotonic
from typing import Final

import click

__all__ = ["Progress"]

#: Where stderr is no terminal nothing is told of what takes less than this, and no line sooner after another, s.
EVERY: Final = 5.0
#: On a terminal bars that last less are not shown, s.
SOON: Final = 1.0
BAR: Final = 30
#: From so many seconds on what is left is told in minutes.
MINUTES: Final = 90.0


class Progress:
    """Is told what is being done, and how much of it is done where that is known.

    clock : seconds, for tests
    """

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._begun = self._told = clock()
        self._since: tuple[float, float] | None = None  # when the share was first told, and what it was
        self._width = 0  # of the bar's line that stands there

    def __call__(self, words: str, share: float | None = None) -> None:
        """Tell it; share: from 0 to 1."""
        left = self._left(share)
        if sys.stderr is not None and sys.stderr.isatty():
            self._on_terminal(words + left, share)
        elif self._clock() - self._told >= EVERY:
            self._told = self._clock()
            part = "" if share is None else f", {100 * share:.0f} % done{left}"
            click.echo(f"... {words}{part} ({self._told - self._begun:.0f} s)", err=True)

    def _left(self, share: float | None) -> str:
        """About how long the rest takes at the pace so far; "" while too little is known."""
        now = self._clock()
        if share is None or self._since is None or share < self._since[1]:
            self._since = None if share is None else (now, share)
            return ""
        begun, first = self._since
        if share <= first or share >= 1 or now - begun < EVERY:
            return ""
        seconds = (now - begun) * (1 - share) / (share - first)
        return f", about {seconds:.0f} s left" if seconds < MINUTES else f", about {seconds / 60:.0f} min left"

    def _on_terminal(self, words: str, share: float | None) -> None:
        if share is None:
            self._end()
            click.echo(f"... {words}", err=True)
            return
        if self._clock() - self._begun < SOON and not self._width:
            return
        line = f"... [{'#' * round(BAR * share):<{BAR}}] {100 * share:>3.0f} % {words}"
        click.echo(f"\r{line:<{self._width}}", nl=False, err=True)
        self._width = len(line)
        if share >= 1:
            self._end()

    def _end(self) -> None:
        if self._width:
            click.echo(err=True)
        self._width = 0
