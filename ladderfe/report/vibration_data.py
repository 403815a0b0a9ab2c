"""Natural frequencies as data for machines: one JSON document with all that the page tells."""

from __future__ import annotations

from typing import Any

from ladderfe.checks.mode_kinds import ELASTIC, RIGID
from ladderfe.checks.vibration import FIRSTS, State, VibrationFindings
from ladderfe.report.document import Rows, Table, begun, document_json, proof_table
from ladderfe.report.vibration_words import CAUTIONS_VIBRATION, left_out, rates_words

__all__ = ["vibration_json", "vibration_tables"]


def vibration_json(v: VibrationFindings, source: str) -> str:
    """One document; tables are {"columns": [...], "rows": [[...], ...]}, a line per row.  Where a proof falls short
    only the self-check is given."""
    document: dict[str, Any] = {
        **begun(v.chassis, source),
        "proven": v.proven,
        "not in the model": left_out(v),
        "cautions": list(CAUTIONS_VIBRATION),
    }
    if v.proven:
        document |= {
            "note": rates_words(v.chassis),
            "steel without weight": v.weightless,
            "members divided in": v.refine,
            "mass kg": {name: 1000 * s.mass for name, s in v.states.items()},
            "named modes Hz": {name: _firsts(v, name) for name in v.states},
            "shared modes Hz": {name: _shared(state) for name, state in v.states.items()},
        }
    return document_json(document, vibration_tables(v) if v.proven else {"self-check": proof_table(v.proofs)})


def vibration_tables(v: VibrationFindings) -> dict[str, Table]:
    """Name -> (column names with units, rows)."""
    return {"modes": _modes(v), "kinetic energy": _energy(v), "self-check": proof_table(v.proofs)}


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
