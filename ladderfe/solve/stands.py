"""A case on given stands, and what to do where these do not hold the vehicle."""

from __future__ import annotations

from collections.abc import Callable

from ladderfe.cases import LoadCase
from ladderfe.errors import MechanismError, ModelError
from ladderfe.solve.contact import Standing
from ladderfe.solve.tipping import listed

__all__ = ["on_its_stands"]


def on_its_stands(case: LoadCase, standing: Callable[[], Standing]) -> Standing:
    """How it stands on the stands of a case; ModelError where they do not hold it, which names the case."""
    where, stands = f"case {case.name}", listed(case.stands)
    try:
        found = standing()
    except MechanismError:
        words = f"{stands} cannot hold the vehicle: it takes three stands that are not in one line"
        raise MechanismError(where, words, "Name more mounts in `at`, on both sides, or leave the case out") from None
    except ModelError as error:
        raise ModelError(where, error.problem, error.hint) from None
    tip = found.tipping[0]
    if tip is not None and tip.drops:
        hint = "Give `droop` of that axle, its travel down until dampers or straps hold it, or leave the case out"
        raise ModelError(where, tip.words, hint)
    if tip is not None and tip.over:
        hint = "Choose mounts in `at` that have the centre of gravity between them, or leave the case out"
        raise ModelError(where, f"on {stands} the vehicle {tip.words}", hint)
    return found
