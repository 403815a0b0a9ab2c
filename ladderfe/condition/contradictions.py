"""Rows of a table of readings that cannot both be true."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.condition.rails import SAME
from ladderfe.condition.rows import AnyRow
from ladderfe.condition.types import Hole, Reading
from ladderfe.errors import Problem

__all__ = ["contradictions"]


def contradictions(rows: Sequence[AnyRow], file: str) -> list[Problem]:
    """Holes that overlap on one wall, and readings inside a hole."""
    out: list[Problem] = []
    holes = [r for r in rows if isinstance(r, Hole)]
    for k, h in enumerate(holes):
        for other in holes[:k]:
            if _same_wall(h, other) and h.start < other.end and other.start < h.end:
                rule = f"overlaps the hole in line {other.line}, from {other.start:g} to {other.end:g} mm"
                out.append(_problem(file, h.line, "station", f"{h.start:g} to {h.end:g}", rule, "Write one hole"))
                break
    for r in rows:
        if not isinstance(r, Reading):
            continue
        inside = next((h for h in holes if _same_wall(h, r) and h.start + SAME < r.station < h.end - SAME), None)
        if inside is not None:
            where = f"inside the hole in line {inside.line}, from {inside.start:g} to {inside.end:g} mm"
            rule, hint = f"puts a reading of {r.value:g} mm {where}", "Shorten the hole, or take the row out"
            out.append(_problem(file, r.line, "station", f"{r.station:g}", rule, hint))
    return out


def _same_wall(a: AnyRow, b: AnyRow) -> bool:
    return (a.side, a.wall) == (b.side, b.wall)


def _problem(file: str, line: int, key: str, value: str, rule: str, suggestion: str) -> Problem:
    return Problem(file=file, line=line, key=key, value=value, rule=rule, suggestion=suggestion)
