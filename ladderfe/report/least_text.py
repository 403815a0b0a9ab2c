"""The least repair of a catalogue as a page and as data."""

from __future__ import annotations

from typing import Any

from ladderfe.advice.least_repair import Candidate, LeastRepair
from ladderfe.checks.utilisation import Utilisation
from ladderfe.condition.catalogue import Row
from ladderfe.report.cautions import cautions_text, not_checked
from ladderfe.report.document import Table, begun, document_json
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.page import bullets, short_page
from ladderfe.report.repair_words import REPAIR_CAUTIONS
from ladderfe.report.table import heading, paragraph, table

__all__ = ["least_json", "least_text", "plan_text"]

SHOWN = 20
ORDER = (
    "Candidates are solved from the least weld on, then by mass, and the first that meets the target is the least: "
    "all that are less were solved before it. More metal counts as no better by itself, for load moves to it."
)
LEFT_OUT = (
    "Rules of the trade, old and new metal apart, and fatigue of a candidate: save its plan and run `ladderfe repair`.",
    "Anything that the catalogue does not offer; prices and hours: least means metres of weld, then the frame's mass.",
)


def least_text(f: LeastRepair, source: str, every: bool = False) -> str:
    """The whole page."""
    c = f.catalogue
    head = [*paragraph(f"{f.found.chassis.title}: the least repair of a catalogue"),
            *paragraph(f"{source} on {c.read.plan.base}")]  # fmt: skip
    if f.now is not None and not f.now.proven:
        return short_page(head, f.now.proofs, "candidates")
    out = [*head, *bullets("In short", _summary(f)), *_ranked(f, every)]
    if f.shown is not None and f.shown.words:
        title = "Plan of the least" if f.least is not None else "Plan of the lowest utilisation"
        out += [*heading(title), *plan_text(f, f.shown).splitlines()]
    out += bullets("Not checked", [*LEFT_OUT, *not_checked(f.found)])
    return "\n".join([*out, *cautions_text(REPAIR_CAUTIONS)])


def _summary(f: LeastRepair) -> list[str]:
    c, count = f.catalogue, len(f.candidates)
    cannot = sum(bool(x.problem) for x in f.candidates)
    lines = [
        f"{count} candidates from {len(c.choices)} choices, {f.solved} solved"
        f"{f', {cannot} that cannot be' if cannot else ''}; target {100 * c.target:g} % of the limit.",
        f"As found {_governs(f.found.utilisations[0])}.",
    ]
    if f.least is not None:
        lines.append(f"The least that meets the target: {_pieces(f.least)}: {_numbers(f.least)}, then "
                     f"{_governs(f.least.worst)}.")  # fmt: skip
    else:
        lines.append("None meets the target.")
        if f.best is not None:
            lines.append(f"Lowest: {_pieces(f.best)}: {_numbers(f.best)}, then {_governs(f.best.worst)}.")
    return [*lines, ORDER]


def _governs(u: Utilisation | None) -> str:
    return "none" if u is None else f"{percent(u.ratio)} ({u.part} at {place_words(u)}, {u.wall}, {u.case})"


def _numbers(c: Candidate) -> str:
    return f"{c.weld:.2f} m of weld, frame {1000 * c.mass:.1f} kg"


def _pieces(c: Candidate) -> str:
    return " + ".join(c.words) or "nothing is done"


def _ranked(f: LeastRepair, every: bool) -> list[str]:
    """Candidates in the order of the search; the least is always among those shown."""
    at = next((k for k, c in enumerate(f.candidates) if c is f.shown), 0)
    shown = [k for k in range(len(f.candidates)) if every or k < SHOWN or abs(k - at) <= 2]
    rows = []
    for k in shown:
        c = f.candidates[k]
        use = percent(c.worst.ratio) if c.worst is not None else "cannot be" if c.problem else "not solved"
        where = f"{c.worst.part} {place_words(c.worst)}, {c.worst.case}" if c.worst is not None else c.problem
        mark = "least" if c is f.least else ""
        rows.append([mark, f"{c.weld:.2f}", f"{1000 * c.mass:.1f}", use, _pieces(c), where])
    out = [*heading("Candidates, the least weld first, then the least mass"),
           *table(["", "weld m", "kg", "utilisation", "pieces", "governs"], rows, "lrrrww")]  # fmt: skip
    left = len(f.candidates) - len(shown)
    return out + ([f"{left} more: --every-candidate or --json."] if left else [])


def plan_text(f: LeastRepair, c: Candidate) -> str:
    """A candidate as a repair plan, beside the catalogue's own file."""
    plan = f.catalogue.read.plan
    lines = [f"base = {_toml(plan.base)}"] + ([f"readings = {_toml(plan.readings)}"] if plan.readings else [])
    for key, row in (r for o in c.options for r in o.rows):
        lines += ["", f"[[{key}]]", *(f"{k} = {_toml(v)}" for k, v in row.items())]
    return "\n".join(lines)


def _toml(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return f"{value:.10g}"


def least_json(f: LeastRepair, source: str) -> str:
    """Everything; candidates in the order of the search."""
    c = f.catalogue
    document: dict[str, Any] = {
        **begun(f.found.chassis, source),
        "base": c.read.plan.base,
        "proven": f.now is None or f.now.proven,
        "target": c.target,
        "choices": len(c.choices),
        "count": len(f.candidates),
        "solved": f.solved,
        "as found": f.found.utilisations[0].ratio,
        "order": ORDER,
        "least": None if f.least is None else _one(f, f.least),
        "lowest": None if f.best is None else _one(f, f.best),
        "not checked": [*LEFT_OUT, *not_checked(f.found)],
        "cautions": list(REPAIR_CAUTIONS),
    }
    return document_json(document, {"candidates": _table(f)})


def _one(f: LeastRepair, c: Candidate) -> dict[str, Any]:
    rows: list[Row] = [r for o in c.options for r in o.rows]
    return {"number": c.number, "pieces": list(c.words), "weld m": c.weld, "frame mass kg": 1000 * c.mass,
            "utilisation": c.worst.ratio if c.worst else None, "rows": [[k, r] for k, r in rows],
            "plan": plan_text(f, c)}  # fmt: skip


def _table(f: LeastRepair) -> Table:
    head = ("number", "pieces", "weld m", "frame mass kg", "utilisation", "part", "wall", "case", "cannot be for")
    rows = []
    for c in f.candidates:
        u = c.worst
        where = ("", "", "") if u is None else (u.part, u.wall, u.case)
        rows.append((c.number, " + ".join(c.words), c.weld, 1000 * c.mass, u.ratio if u else None, *where, c.problem))
    return head, rows
