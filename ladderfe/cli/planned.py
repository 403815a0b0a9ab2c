"""A repair plan worked out for commands: its findings, the prices of its splices, fatigue."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ladderfe.advice.repair_fatigue import RepairFatigue, repair_fatigue
from ladderfe.advice.splice import Splice, splice
from ladderfe.chassis import Chassis
from ladderfe.checks.repair import RepairFindings, check_repair
from ladderfe.cli.shared import placed
from ladderfe.condition.left_open import let_in_found
from ladderfe.condition.repaired import Repaired
from ladderfe.errors import ModelError

__all__ = ["worked_out"]


def worked_out(
    states: Repaired, over: Chassis, file: Path, tell: Callable[[str], None]
) -> tuple[RepairFindings, Splice | None, RepairFatigue | None]:
    """Findings of a plan (`over`: the chassis that its file comes to), prices of its joints of whole rails, fatigue;
    the latter two None where a self-check falls short.  ModelError with the file."""
    try:
        found = check_repair(states, progress=tell)
    except ModelError as error:
        raise placed(error, over, str(file)) from error
    if not found.proven:
        return found, None, None
    splices = None
    if states.plan.splices:
        tell("pricing the splices")
        at = [(s.side, s.station) for s in states.plan.splices]
        state = let_in_found(states) if states.readings is not None else None
        splices = splice(over, found.repaired, found=state, at=at)
    return found, splices, repair_fatigue(found)
