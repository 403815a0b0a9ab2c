"""Thin walls as tables for machines."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ladderfe.checks import Findings

__all__ = ["BUCKLING_COLUMNS", "BUCKLING_MAKERS"]

Rows = list[tuple[Any, ...]]

#: Table -> names of its columns with their units.
BUCKLING_COLUMNS: dict[str, tuple[str, ...]] = {
    "thin-walls": (
        "part", "wall", "side", "along mm", "held", "width mm", "thickness mm", "case", "compression N/mm2",
        "stress ratio", "class", "slenderness", "reduction", "effective width", "least effective width in any case",
        "onset mm",
    ),
    "effective-walls": (
        "case", "part", "side", "along mm", "wall", "point", "stress N/mm2", "limit N/mm2", "utilisation",
        "on whole walls N/mm2", "compression N/mm2", "tension N/mm2", "effective area", "shift y mm", "shift z mm",
        "walls that lose width", "rounds", "settled",
    ),
    "slender-webs": (
        "case", "part", "side", "along mm", "wall", "height mm", "thickness mm", "slenderness", "reduction",
        "stress N/mm2", "limit N/mm2", "utilisation", "bending", "together",
    ),
    "spring-seats": (
        "seat", "part", "side", "along mm", "wall", "case", "force N", "share of wall", "rule", "bearing assumed mm",
        "resistance at yield N", "limit N", "utilisation", "bending", "together",
    ),
}  # fmt: skip


def _thin(f: Findings) -> Rows:
    least = {(part, wall): kept for part, wall, kept in f.buckling.kept}
    return [
        (w.part, w.wall, w.side, w.along, w.held, w.width, w.thickness, w.case, w.compression, w.psi, w.grade,
         w.slender, w.rho, w.kept, least.get((w.part, w.wall), w.kept), w.onset)
        for w in f.buckling.walls
    ]  # fmt: skip


def _effective(f: Findings) -> Rows:
    return [
        (u.case, u.part, u.side, u.along, u.wall, u.point, u.stress, u.limit, u.ratio, u.gross, u.compression,
         u.tension, u.area, *u.shift, ", ".join(f"{name} {kept:.3f}" for name, kept in u.lost), u.rounds, u.settled)
        for u in f.buckling.effective
    ]  # fmt: skip


def _webs(f: Findings) -> Rows:
    return [
        (u.case, u.part, u.side, u.along, u.wall, u.height, u.thickness, u.slender, u.chi, u.stress, u.limit, u.ratio,
         u.bending, u.together)
        for u in f.buckling.shear
    ]  # fmt: skip


def _seats(f: Findings) -> Rows:
    return [
        (u.seat, u.part, u.side, u.along, u.wall, u.case, u.force, u.share, u.rule, u.bearing, u.resistance, u.limit,
         u.ratio, u.bending, u.together)
        for u in f.buckling.seats
    ]  # fmt: skip


BUCKLING_MAKERS: dict[str, Callable[[Findings], Rows]] = {
    "thin-walls": _thin,
    "effective-walls": _effective,
    "slender-webs": _webs,
    "spring-seats": _seats,
}
