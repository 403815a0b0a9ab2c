"""Fatigue of a repair plan in words, as a table, and as data."""

from __future__ import annotations

from math import isfinite
from typing import Any

from ladderfe.advice.fatigue_ratio import PITTED_BELOW, FatigueRatio
from ladderfe.advice.repair_fatigue import RepairFatigue
from ladderfe.connections.fatigue import DamageRatio
from ladderfe.report.document import Table
from ladderfe.report.table import heading, paragraph, table, two_figures

__all__ = ["fatigue_json", "fatigue_lines", "fatigue_table"]

PLACES = 12
BAND = ("Band: a factor 2 on stress either way, 8 on damage (common practice, no source). A ratio whose band holds 1 "
        "tells nothing of which is the worse; none is a life.")  # fmt: skip
STATUS = ("Categories of EN 1993-1-9:2005, MPa at two million cycles, slope 3: from memory, text not seen; for clean "
          "metal, ordinary new work, protected from rust. What rails had before is judgement: seams of boxes or plain "
          "walls, attachments across where crossmembers, outriggers and hangers meet them.")  # fmt: skip
PITTED = (f"On pitted metal (smallest reading below {100 * PITTED_BELOW:.0f} % of the wall, ringing dull, or "
          "beside a hole) no category holds and no damage is told: it is in no ranking here and may suffer "
          "most.")  # fmt: skip
WORST = ("Worst place: of all places of the rails that have a category, what the plan makes among them, the one with "
         "the most damage.")  # fmt: skip


def fatigue_lines(f: RepairFatigue, every: bool) -> list[str]:
    """The part of the page."""
    out = heading("Fatigue beside the frame as it was: ratios of damage, never a life")
    if f.cycles is None:
        return out + paragraph(f"Not told: {f.why}.")
    named = "; ".join(f"{n} ({100 * c.share:.3g} %)" for n, c in zip(f.cycles.names, f.cycles.cycles, strict=True))
    out += paragraph(f"Cycles: {named}. {' '.join(f.cycles.notes)}")
    three = (f.rust, f.to_built, f.to_found)
    places = dict.fromkeys(p for r in three if r is not None and r.worst is not None for p in r.worst_places)
    for words, ratio in zip(("As found over as built", "As repaired over as built", "As repaired over as found"), three,
                            strict=True):  # fmt: skip
        out += paragraph(_worst_words(words, ratio, len(places) > 1), "  ", "- ")
    same = f" It is the same one each time: {next(iter(places))}." if len(places) == 1 else ""
    out += paragraph(f"{WORST}{same}")
    out += _details(f, every)
    return out + paragraph(f"{BAND} {STATUS} {PITTED} Crossmembers and their own welds are not looked at here.")


def _worst_words(words: str, r: FatigueRatio | None, placed: bool) -> str:
    if r is None or r.worst is None:
        return f"{words}, worst place of each: no ratio, for a state has no place with a category."
    if not placed:
        return f"{words}, worst place of each: {_band(r.worst)}."
    a, b = r.worst_places
    return f"{words}, worst place of each: {_band(r.worst)}; {a if a == b else f'{a}; then {b}'}."


def _band(r: DamageRatio) -> str:
    return f"{two_figures(float(r.ratio))} ({two_figures(float(r.low))} to {two_figures(float(r.high))})"


def _each(r: FatigueRatio | None, k: int) -> str:
    if r is None or r.same is None:
        return "none"
    value = float(r.same.ratio[k])
    return two_figures(value) if isfinite(value) else "none"


def _details(f: RepairFatigue, every: bool) -> list[str]:
    if not f.details:
        return []
    order = sorted(range(len(f.details)), key=lambda k: -_sort(f, k))
    shown = order if every else order[:PLACES]
    rows = _elsewhere(f)
    for k in shown:
        d, now = f.details[k], f.same[2]
        spans = " / ".join(f"{v:.0f}" for v in now.ranges[:, k])
        rows.append([d.name, f"{d.category.stress_range:g}", spans, "pitted" if now.pitted[k] else _each(f.to_built, k),
                     "pitted" if now.pitted[k] or f.same[1].pitted[k] else _each(f.to_found, k)])  # fmt: skip
    head = ["detail of the plan, most damage first", "category", "ranges N/mm2", "over as built", "over as found"]
    out = ["", *table(head, rows, "wrrrr")]
    left = len(order) - len(shown)
    return out + ([f"{left} more: --every-case or --json."] if left else [])


def _elsewhere(f: RepairFatigue) -> list[list[str]]:
    """The worst place of the frame as repaired as the first row of the table, where it is no detail of the plan."""
    name = f.to_built.worst_places[1] if f.to_built is not None else ""
    if f.all_now is None or not name or name in f.same[2].places:
        return []
    k = f.all_now.places.index(name)
    spans = " / ".join(f"{v:.0f}" for v in f.all_now.ranges[:, k])
    return [[f"worst place, not of the plan: {name}", f"{f.all_now.detail_of[k].stress_range:g}", spans, "-", "-"]]


def _sort(f: RepairFatigue, k: int) -> float:
    value = float(f.same[2].damage[k])
    return value if isfinite(value) else -1.0


def fatigue_json(f: RepairFatigue) -> dict[str, Any]:
    """Cycles, worst places and where everything comes from."""
    if f.cycles is None:
        return {"not told for": f.why}
    return {
        "cycles": [
            {"name": n, "first": c.first, "second": c.second, "share": c.share}
            for n, c in zip(f.cycles.names, f.cycles.cycles, strict=True)
        ],
        "notes": [*f.cycles.notes, BAND, STATUS, PITTED],
        "worst place over worst place": {
            words: _worst_json(r)
            for words, r in (("as found over as built", f.rust), ("as repaired over as built", f.to_built),
                             ("as repaired over as found", f.to_found))
        },
    }  # fmt: skip


def _worst_json(r: FatigueRatio | None) -> dict[str, Any] | None:
    if r is None or r.worst is None:
        return None
    w = r.worst
    return {"ratio": float(w.ratio), "low": float(w.low), "high": float(w.high), "places": list(r.worst_places),
            "pitted": list(r.pitted)}  # fmt: skip


def fatigue_table(f: RepairFatigue) -> Table:
    """Details of the plan: their categories, ranges of each cycle and ratios; None on pitted metal."""
    head = ("piece", "detail", "rail", "station mm", "category", "category MPa", "status", "share of stress",
            "ranges MPa as repaired", "ranges MPa as built", "over as built", "over as found", "pitted")  # fmt: skip
    rows: list[tuple[Any, ...]] = []
    for k, d in enumerate(f.details if f.cycles else ()):
        spans = [" / ".join(f"{v:.6g}" for v in f.same[n].ranges[:, k]) for n in (2, 0)]
        over = [_value(r, k) for r in (f.to_built, f.to_found)]
        rows.append((d.piece, d.what, d.side, d.station, d.category.name, d.category.stress_range, d.category.status,
                     d.share, *spans, *over, bool(f.same[2].pitted[k])))  # fmt: skip
    return head, rows


def _value(r: FatigueRatio | None, k: int) -> float | None:
    value = float(r.same.ratio[k]) if r is not None and r.same is not None else float("nan")
    return value if isfinite(value) else None
