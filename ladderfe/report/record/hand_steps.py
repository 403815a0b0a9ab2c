"""The hand calculation as a part of the record: every step in symbols and numbers."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from ladderfe.hand.calculation import HandCalculation
from ladderfe.hand.steps import Step
from ladderfe.report.blocks import Table
from ladderfe.report.hand_page import (
    STATION_COLUMNS,
    beside_scale,
    limits_words,
    outcome_rows,
    station_key,
    station_rows,
    written,
)

__all__ = ["hand_steps"]


def hand_steps(calc: HandCalculation) -> dict[str, Any]:
    """What the template of the hand calculation needs."""
    number, groups = 0, []
    for part, steps in groupby(calc.steps, key=lambda step: step.part):
        told = []
        for step in steps:
            number += 1
            told.append(_step(number, step))
        groups.append({"part": part, "steps": told})
    rows = tuple(tuple(cells) for cells in station_rows(calc))
    return {
        "outcome": outcome_rows(calc),
        "groups": groups,
        "stations": Table(STATION_COLUMNS, rows, "lll" + "r" * (len(STATION_COLUMNS) - 3)),
        "key": station_key(calc),
        "notes": [*calc.notes, f"Permissible stresses: {limits_words(calc)}."],
    }


def _step(number: int, step: Step) -> dict[str, Any]:
    other, unit = beside_scale(step.result)
    return {
        "number": number,
        "title": step.title,
        "symbol": step.result.symbol,
        "symbols": step.symbols,
        "numbers": step.numbers(written) if step.formula else "",
        "equation": step.equation,
        "value": written(step.result),
        "unit": step.result.unit,
        "other": f"{other} {unit}".strip(),
        "remark": step.remark,
    }
