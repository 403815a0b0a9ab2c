"""Straightness as data for machines: one JSON document with all that the page tells."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ladderfe.advice.alignment_modes import Mode
from ladderfe.advice.straightness import Moved, Straightness
from ladderfe.advice.what_to_measure import ToMeasure
from ladderfe.chassis import Chassis
from ladderfe.report.alignment_words import (
    CANNOT_KNOW,
    CAUTIONS_SQUARE,
    add_readings,
    misfit_words,
    mode_words,
    next_steps,
    reading_no,
    tolerance_words,
)
from ladderfe.report.document import begun, document_json
from ladderfe.report.moved_words import moved_words

__all__ = ["square_json", "to_measure_json"]


def to_measure_json(chassis: Chassis, source: str, rows: Sequence[ToMeasure]) -> str:
    """What to measure."""
    body = [(r.kind, r.first.name, r.second.name if r.second else None, r.expected, r.what) for r in rows]
    return document_json(begun(chassis, source), {"to measure": (("kind", "from", "to", "expected mm", "where"), body)})


def square_json(chassis: Chassis, source: str, rounds: Sequence[Straightness], moved: Sequence[Moved]) -> str:
    """All rounds, and what moved between each and the next."""
    document = begun(chassis, source) | {
        "tolerance": rounds[-1].tolerance.name,
        "tolerance figures": tolerance_words(rounds[-1].tolerance),
        "tape mm": rounds[-1].errors.tape,
        "level mm": rounds[-1].errors.level,
        "rounds": [_round(chassis, s) for s in rounds],
        "moved": [_moved(m, rounds[k : k + 2]) for k, m in enumerate(moved)],
        "cannot know": list(CANNOT_KNOW),
        "cautions": list(CAUTIONS_SQUARE),
    }
    return document_json(document, {})


def _mode(m: Mode) -> dict[str, Any]:
    unit = "deg" if m.name == "twist" else "mm"
    return {"mode": m.name, "unit": unit, "size": m.size, "standard deviation": m.sigma, "stands out": m.seen}


def _round(chassis: Chassis, s: Straightness) -> dict[str, Any]:
    a, o = s.adjusted, s.observations
    return {
        "file": s.alignment.source,
        "rows left empty": s.alignment.unread,
        "readings": [
            {
                "line": c.reading.line,
                "kind": c.reading.kind,
                "from": c.reading.first.name,
                "to": c.reading.second.name if c.reading.second else None,
                "expected mm": c.expected,
                "reading mm": c.reading.value,
                "difference mm": c.difference,
                "limit mm": c.limit,
                "exceeded": c.exceeded,
                "residual mm": a.residual[k],
                "redundancy": a.redundancy[k],
                "normalised residual": a.normalised[k],
                "left by the modes mm": s.modes.left[k],
                "note": c.reading.note,
            }
            for k, c in enumerate(s.compared)
        ],
        "diagonals": [
            {
                "one": d.first.name,
                "other": d.second.name,
                "as built mm": d.as_built,
                "differ mm": d.difference,
                "limit mm": d.limit,
                "exceeded": d.exceeded,
            }
            for d in s.diagonals
        ],
        "modes": [_mode(m) | {"which way": mode_words(m)} for m in s.modes.modes],
        "scatter about the modes": s.modes.scatter,
        "readings to add": add_readings(chassis, s.modes),
        "points": [
            {"point": p.point.name, "rearward mm": p.move[0], "to the right mm": p.move[1], "up mm": p.move[2],
             "largest standard deviation mm": p.sigma}
            for p in s.points
        ],
        "points not fixed in plan": [p.name for p, fixed in zip(o.points, a.fixed, strict=True) if not fixed],
        "spare readings": a.spare,
        "does not fit": [
            {"reading": reading_no(s, m.reading), "off mm": m.off, "normalised residual": m.normalised,
             "instead": [reading_no(s, k) for k in m.instead]}
            for m in s.misfits
        ],
        "fit": misfit_words(s),
        "outside the tolerance": next_steps(s),
    }  # fmt: skip


def _moved(m: Moved, rounds: Sequence[Straightness]) -> dict[str, Any]:
    return {
        "in short": moved_words(m, rounds),
        "before": m.before,
        "after": m.after,
        "in one file only": m.alone,
        "readings": [
            {"kind": r.after.kind, "points": r.after.name, "before mm": r.before.value, "after mm": r.after.value,
             "change mm": r.change, "standard deviation mm": r.sigma}
            for r in m.readings
        ],
        "modes": [_mode(x) for x in m.modes],
    }  # fmt: skip
