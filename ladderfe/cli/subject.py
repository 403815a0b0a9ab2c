"""What commands work on that take a chassis file or a repair plan: the frame as built, as found or as repaired."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from ladderfe.chassis import Chassis
from ladderfe.cli.readings import Asked
from ladderfe.cli.shared import placed, read
from ladderfe.condition import Found
from ladderfe.condition.left_open import bare_brackets, left_open
from ladderfe.condition.repaired import Repaired
from ladderfe.errors import ModelError

__all__ = ["Subject", "subject_of", "warn"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """over: the chassis that the file comes to, as built; states: of a plan, None of a chassis file; found: what was
    read, None where nothing was."""

    over: Chassis
    states: Repaired | None
    found: Found | None

    @property
    def work(self) -> Chassis | Repaired:
        """The states of a plan, else the chassis as found, else as built."""
        return self.states or (self.over if self.found is None else self.found.chassis)

    @property
    def bare(self) -> tuple[str, ...]:
        """Of a chassis as found: brackets of springs on a wall that a hole took away."""
        if self.found is None or self.states is not None:
            return ()
        return tuple(h.name for h in bare_brackets(self.over.hangers, self.found.built, self.found.holes))


def subject_of(file: Path, asked: Asked) -> Subject:
    """What a file is, with the readings that go with it.  InputError with all problems, ModelError with the file."""
    from ladderfe.chassis.reading import opened
    from ladderfe.condition.plan_file import is_plan
    from ladderfe.condition.repaired import repaired

    if not file.is_file() or not is_plan(opened(file)[1]):
        asked.check()
        chassis = read(file)
        return Subject(over=chassis, states=None, found=asked.found(chassis))
    plan = asked.plan(file)
    try:
        states = repaired(plan, asked.options)
    except ModelError as error:
        raise placed(error, plan.over, str(file)) from error
    warn(states)
    return Subject(over=plan.over, states=states, found=states.found if plan.readings is not None else None)


def warn(states: Repaired) -> None:
    """Tell on stderr of holes that a plan leaves open under hangers and joints."""
    source = states.readings.source if states.readings is not None else ""
    for o in left_open(states):
        click.echo(f"{source}:{o.hole.line}: warning: {o}: the plan lets nothing in there.", err=True)
