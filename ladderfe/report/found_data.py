"""As found against as built as data for machines."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from ladderfe.checks.found import NEAR_MOUNT, AsFound, unread_metres
from ladderfe.checks.metres_over import LEVELS
from ladderfe.condition import Found
from ladderfe.report.openings_text import is_near, opening_words
from ladderfe.report.readings_text import unread_words

__all__ = ["FOUND_COLUMNS", "found_json", "found_tables", "readings_json"]

Rows = list[tuple[Any, ...]]
FOUND_COLUMNS: dict[str, tuple[str, ...]] = {
    "as-found-cases": (
        "case", "utilisation as built", "utilisation as found", "part", "along mm", "wall", "criterion",
        "near a hole",
    ),
    "as-found-stretches": (
        "rail", "start mm", "end mm", "utilisation as built", "utilisation as found", "wall", "case", "A left",
        "I left", "Z left", "J left", "near a hole",
    ),
    "as-found-walls": ("rail", "start mm", "end mm", "wall", "as built mm", "mean mm", "least mm", "basis", "place"),
    "readings-places": (
        "place", "rail", "wall", "station mm", "start mm", "end mm", "n", "as built mm", "mean mm", "smallest mm",
        "mean - k s mm", "used mm", "doubts", "notes",
    ),
    "readings-holes": (
        "rail", "wall", "start mm", "end mm", "rim mm", "rim given", "nearest", "distance mm", "near a mounting",
        "note",
    ),
}  # fmt: skip


def readings_json(found: Found) -> dict[str, Any]:
    """What was read and what is assumed."""
    return {
        "file": found.source,
        "options": asdict(found.options),
        "readings": sum(len(p.values) for p in found.places),
        "assumed": unread_words(found),
        "walls not read m": [
            {"rail": side, "wall": wall, "metres": _short(m)} for (side, wall), m in unread_metres(found).items()
        ],
        "beside holes": opening_words(found),
        "listed and not read": [asdict(u) for u in found.unread],
        "suspects": [asdict(s) for s in found.suspects],
        "holes": [asdict(h) for h in found.holes],
    }


def found_json(f: AsFound) -> dict[str, Any]:
    """The same and how the frame differs as a whole."""
    (a, b), shares = f.twist, f.shares.tolist()
    return readings_json(f.readings) | {
        "torsional stiffness N mm/rad": {"as built": a and _short(a), "as found": b and _short(b)},
        "rails above a limit m": [
            {"rail": a.side, "length": _short(a.length / 1000), "above": level, "as built": _short(a.over[k] / 1000),
             "as found": _short(b.over[k] / 1000)}
            for a, b in f.over for k, level in enumerate(LEVELS)
        ],
        "mass lost kg": _short(1000 * f.lost),
        "its centre mm": [_short(v) for v in f.centre] if f.lost > 0 else None,
        "rails at the worst station": {
            "station mm": _short(f.station),
            "case": f.case,
            **{
                state: {
                    rail: {"moment N mm": _short(m), "shear N": _short(v)}
                    for rail, (m, v) in zip(("left", "right"), own, strict=True)
                }
                for state, own in zip(("as built", "as found"), shares, strict=True)
            },
        },
        "near a mounting mm": NEAR_MOUNT,
    }


def found_tables(f: AsFound) -> dict[str, tuple[tuple[str, ...], Rows]]:
    """Name -> (column names with units, rows)."""
    rows: dict[str, Rows] = {
        "as-found-cases": [
            (n, a.ratio, b.ratio, b.part, b.along, b.wall, b.criterion, is_near(f.readings, b)) for n, a, b in f.cases
        ],
        "as-found-stretches": [
            (u.stretch.side, u.stretch.start, u.stretch.end, u.built.ratio, u.found.ratio, u.found.wall, u.found.case,
             u.left.A, u.left.I, u.left.Z, u.left.J, is_near(f.readings, u.found))
            for u in f.uses
        ],
        "as-found-walls": [
            (s.side, s.start, s.end, w.wall, w.nominal, w.mean, w.least, w.basis,
             "" if w.place is None else w.place + 1)
            for s in f.readings.stretches
            for w in s.walls
        ],
        "readings-places": [
            (k, p.side, p.wall, p.station, p.start, p.end, len(p.values), p.nominal, p.mean, p.least,
             "" if p.bound is None else p.bound, p.used, "; ".join(p.doubts), "; ".join(p.notes))
            for k, p in enumerate(f.readings.places, start=1)
        ],
        "readings-holes": [
            (h.hole.side, h.hole.wall, h.hole.start, h.hole.end, h.hole.rim, h.hole.rim_given,
             h.nearest.name if h.nearest else "", h.distance if h.nearest else "", h.near_mount, h.hole.note)
            for h in f.holes
        ],
    }  # fmt: skip
    return {name: (FOUND_COLUMNS[name], [tuple(map(_short, r)) for r in own]) for name, own in rows.items()}


def _short(value: Any) -> Any:
    """Nine significant digits of a number; anything else as it is."""
    return float(f"{value:.9g}") if isinstance(value, float) else value
