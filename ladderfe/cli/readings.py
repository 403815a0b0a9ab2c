"""Options of commands that take thickness readings, and the state as found that they ask for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from ladderfe.chassis import Chassis
from ladderfe.cli.shared import finite

if TYPE_CHECKING:
    from ladderfe.condition import Found, Options, Readings
    from ladderfe.condition.plan_file import PlanRead

__all__ = ["Asked", "plan_readings_options", "readings_options"]

F = TypeVar("F", bound=Callable[..., Any])
#: Shorter reaches are none, as `condition.types` has it; longer ones are a slip of the pen, mm.
LEAST, MOST = 2.0, 5000.0
#: How far a place of readings speaks at most unless told otherwise, mm; as `condition.Options` has it.
REACH = 250.0
LACKING = "--reach, --pool, --unread-loss and --lower-bound go with --readings FILE.csv"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the options ask for; `file` is None where no readings were named.  The rest as in `condition.Options`, which
    is imported where readings are."""

    file: Path | None
    reach: float
    pool: float
    unread_loss: float
    lower_bound: bool

    @property
    def options(self) -> Options:
        """How readings become walls."""
        from ladderfe.condition import Options
        from ladderfe.condition.types import BOUND, SMALLEST

        strength = BOUND if self.lower_bound else SMALLEST
        return Options(reach=self.reach, pool=self.pool, strength=strength, unread_loss=self.unread_loss)

    @property
    def changed(self) -> bool:
        """True where some option is not as usual."""
        return (self.reach, self.pool, self.unread_loss, self.lower_bound) != (REACH, 0.0, 0.0, False)

    def found(self, chassis: Chassis) -> Found | None:
        """The chassis as found; None where no readings were named.  InputError with all problems of the file."""
        if self.file is None:
            return None
        from ladderfe.condition import as_found, read_readings

        return as_found(chassis, read_readings(self.file, chassis), self.options)

    def read(self, chassis: Chassis) -> Readings:
        """The readings; none where no file was named.  InputError with all problems of the file."""
        from ladderfe.condition import Readings, read_readings

        return Readings(source="") if self.file is None else read_readings(self.file, chassis)

    def plan(self, path: Path) -> PlanRead:
        """A repair plan with the readings that were named, else its own; InputError with all problems."""
        from ladderfe.condition.plan_file import read_plan

        read = read_plan(path, self.file)
        if context := click.get_current_context(silent=True):
            context.find_root().obj = read.over  # as `shared.read` keeps a chassis
        self.check(names=read.readings is not None)
        return read

    def check(self, *, names: bool = False) -> None:
        """Refuse options of readings where there are none; names: whether a plan names some."""
        if self.file is None and not names and self.changed:
            raise click.UsageError(f"{LACKING}, or with a plan that names its readings.")

    def files(self) -> Sequence[Path]:
        """What is read beside the chassis file: results must not be written on it."""
        return [] if self.file is None else [self.file]


def readings_options(command: F) -> F:
    """Give a command the options of readings; it gets them as one argument `asked`."""
    return _with_options(command, alone=False)


def plan_readings_options(command: F) -> F:
    """The same for commands that take plans, which may name readings themselves: the command asks `Asked.check`."""
    return _with_options(command, alone=True)


def _with_options(command: F, *, alone: bool) -> F:
    @wraps(command)
    def wrapped(
        *args: Any, readings: Path | None, reach: float, pool: float, unread_loss: float, lower_bound: bool, **more: Any
    ) -> Any:
        asked = Asked(readings, reach, pool, unread_loss / 100, lower_bound)
        if readings is None and asked.changed and not alone:
            raise click.UsageError(f"{LACKING}.")
        return command(*args, asked=asked, **more)

    for option in reversed(_OPTIONS):
        wrapped = option(wrapped)
    return wrapped  # type: ignore[return-value]


_OPTIONS = (
    click.option(
        "--readings", type=click.Path(path_type=Path), metavar="FILE.csv", help="Thickness readings: walls as found."
    ),
    click.option(
        "--reach", type=click.FloatRange(min=LEAST, max=MOST), default=REACH, show_default=True,
        callback=finite, metavar="MM", help="How far a place of readings speaks for its wall at most.",
    ),
    click.option(
        "--pool", type=click.FloatRange(min=0, max=MOST), default=0.0, callback=finite, metavar="MM",
        help="Take readings of one wall within this length as one place.",
    ),
    click.option(
        "--unread-loss", type=click.FloatRange(min=0, max=100, max_open=True), default=0.0, callback=finite,
        metavar="PERCENT", help="Thickness that walls which nobody read are assumed to have lost.",
    ),
    click.option(
        "--lower-bound", is_flag=True,
        help="Judge strength by mean - k s of three readings or more where it is below the smallest.",
    ),
)  # fmt: skip
