"""Natural frequencies as data for machines: one JSON document with all that the page tells."""

from __future__ import annotations

import json
from typing import Any

from ladderfe import __version__
from ladderfe.checks.mode_kinds import ELASTIC, RIGID
from ladderfe.checks.vibration import FIRSTS, State, VibrationFindings
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.vibration_words import left_out

__all__ = ["vibration_json", "vibration_tables"]

Rows = list[tuple[Any, ...]]
Table = tuple[tuple[str, ...], Rows]
DIGITS = 9


def vibration_json(v: VibrationFindings, source: str) -> str:
    """One document; tables are {"columns": [...], "rows": [[...], ...]}, a line per row.  Where a proof falls short
    only the self-check is given."""
    document: dict[str, Any] = {
        "program": "ladderfe",
        "version": __version__,
        "chassis": v.chassis.title,
        "file": source,
        "condition weighed": v.chassis.condition,
        "proven": v.proven,
        "not in the model": left_out(v),
        "cautions": list(CAUTIONS),
    }
    if v.proven:
        document |= {
            "steel without weight": v.weightless,
            "members divided in": v.refine,
            "mass kg": {name: 1000 * s.mass for name, s in v.states.items()},
            "named modes Hz": {name: _firsts(v, name) for name in v.states},
            "shared modes Hz": {name: _shared(state) for name, state in v.states.items()},
        }
    parts = [f"{_encode(name)}: {_encode(value)}" for name, value in document.items()]
    tables = vibration_tables(v)
    for name, (head, rows) in (tables if v.proven else {"self-check": tables["self-check"]}).items():
        lines = ",\n".join(_encode(row) for row in rows)
        parts.append(f'{_encode(name)}: {{"columns": {_encode(head)}, "rows": [\n{lines}\n]}}')
    return "{" + ",\n".join(parts) + "}"


def vibration_tables(v: VibrationFindings) -> dict[str, Table]:
    """Name -> (column names with units, rows)."""
    return {"modes": _modes(v), "kinetic energy": _energy(v), "self-check": _proofs(v)}


def _firsts(v: VibrationFindings, name: str) -> dict[str, float | None]:
    state = v.states[name]
    found = {first: state.first(first) for first in FIRSTS}
    return {first: None if k is None else state.modes[k].frequency for first, k in found.items()}


def _shared(state: State) -> dict[str, list[float]]:
    """Firsts that no mode has to itself: the modes that share it."""
    own = {first: [state.modes[k].frequency for k in state.sharing(first)] for first in FIRSTS}
    return {first: found for first, found in own.items() if found}


def _modes(v: VibrationFindings) -> Table:
    head = ("state", "frequency Hz", "mode", "kind", "beside", "change when members were halved",
            "rails against all mass")  # fmt: skip
    rows: Rows = []
    for name, state in v.states.items():
        for mode, apart in zip(state.modes, state.apart, strict=True):
            shares = (mode.shares[part] for part in (*RIGID, *ELASTIC))
            words = (mode.name, mode.kind, mode.beside)
            rows.append((name, mode.frequency, *words, float(f"{apart:.2g}"), mode.rails, *shares))
    return (*head, *RIGID, *ELASTIC), rows


def _energy(v: VibrationFindings) -> Table:
    rows: Rows = []
    for name, state in v.states.items():
        for mode in state.modes:
            rows += [(name, mode.frequency, part, share) for part, share in mode.moving.items()]
    return ("state", "frequency Hz", "part or mass", "share of kinetic energy"), rows


def _proofs(v: VibrationFindings) -> Table:
    rows: Rows = [
        (p.what, p.holds, float(f"{p.difference:.2g}"), p.limit, p.unit or "relative", p.why) for p in v.proofs
    ]
    return ("proof", "holds", "difference", "limit", "unit", "why this limit"), rows


def _encode(value: Any) -> str:
    return json.dumps(_plain(value), allow_nan=False)


def _plain(value: Any) -> Any:
    """Numbers to nine significant digits."""
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    if isinstance(value, (bool, str, int)) or value is None:
        return value
    return float(f"{float(value):.{DIGITS}g}") + 0.0
