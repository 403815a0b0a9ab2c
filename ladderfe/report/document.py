"""Documents for machines: JSON with tables, numbers rounded to what is the same on every machine."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

from ladderfe import __version__
from ladderfe.chassis import Chassis
from ladderfe.checks import Proof, Utilisation

__all__ = ["DIGITS", "Rows", "Table", "begun", "document_json", "place", "proof_table", "rounded"]

Rows = list[tuple[Any, ...]]
Table = tuple[tuple[str, ...], Rows]
#: Significant digits: more than any input holds, and the same on every machine.
DIGITS = 9


def rounded(value: float) -> float:
    """To `DIGITS` significant digits."""
    return float(f"{value:.{DIGITS}g}")


def begun(chassis: Chassis, source: str) -> dict[str, Any]:
    """What every document begins with; `source` names the chassis file."""
    return {
        "program": "ladderfe",
        "version": __version__,
        "chassis": chassis.title,
        "file": source,
        "condition weighed": chassis.condition,
    }


def document_json(document: Mapping[str, Any], tables: Mapping[str, Table]) -> str:
    """One document; tables are {"columns": [...], "rows": [[...], ...]}, a line per row."""
    parts = [f"{_encode(name)}: {_encode(value)}" for name, value in document.items()]
    for name, (head, rows) in tables.items():
        lines = ",\n".join(_encode(row) for row in rows)
        parts.append(f'{_encode(name)}: {{"columns": {_encode(head)}, "rows": [\n{lines}\n]}}')
    return "{" + ",\n".join(parts) + "}"


def proof_table(proofs: Sequence[Proof]) -> Table:
    """The self-check."""
    rows: Rows = [(p.what, p.holds, float(f"{p.difference:.2g}"), p.limit, p.unit or "relative", p.why) for p in proofs]
    return ("proof", "holds", "difference", "limit", "unit", "why this limit"), rows


def place(u: Utilisation) -> dict[str, Any]:
    """Where a utilisation is, and its stress and limit."""
    return {
        "part": u.part,
        "along mm": rounded(u.along),
        "wall": u.wall,
        "point": u.point,
        "criterion": u.criterion,
        "stress N/mm2": rounded(u.stress),
        "limit N/mm2": u.limit,
    }


def _encode(value: Any) -> str:
    return json.dumps(_plain(value), allow_nan=False)


def _plain(value: Any) -> Any:
    """Numbers rounded, not a number as null, infinite in words."""
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    if isinstance(value, (bool, str, int)) or value is None:
        return value
    number = float(value)
    if math.isnan(number):
        return None
    return "infinite" if math.isinf(number) else rounded(number) + 0.0
