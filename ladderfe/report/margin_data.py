"""How thin walls may get and how long holes may be, as data for machines."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from math import isfinite
from types import MappingProxyType
from typing import Any

from ladderfe import __version__
from ladderfe.advice.hole_length import HoleCurve, HoleRow, HoleState
from ladderfe.advice.margin import Beside, Limit, Margin, Margins
from ladderfe.advice.margin_governs import Governs, PlaceGoverns
from ladderfe.advice.places import Place
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.found_data import readings_json

__all__ = ["margin_json"]


def margin_json(
    m: Margins, source: str, by_case: Sequence[tuple[Place, Sequence[Margin]]] = (),
    holes: Sequence[tuple[HoleCurve, Sequence[HoleRow]]] = (), by: Mapping[Place, PlaceGoverns] = MappingProxyType({}),
) -> str:  # fmt: skip
    """Everything of the page; utilisations as ratios, null where there is none."""
    c = m.found.chassis
    document = {
        "program": "ladderfe", "version": __version__, "chassis": c.title, "file": source,
        "condition weighed": c.condition, "cases": list(m.cases), "states solved": m.answers,
        "as found": readings_json(m.found) if m.found.source else None,
        "margins": [{**_margin(x), **_by(by.get(x.place))} for x in m.margins],
        "by case": [
            {**_place(p), "cases": [{"case": x.now[1], **_numbers(x)} for x in rows]} for p, rows in by_case
        ],
        "over as found": [{"place": n, "case": k, "utilisation": r} for n, k, r in m.worst],
        "holes": [_hole(curve, rows) for curve, rows in holes],
        "cautions": list(CAUTIONS),
    }  # fmt: skip
    return json.dumps(_short(document), indent=1, allow_nan=False)


def _place(p: Place) -> dict[str, Any]:
    return {
        "rail": p.side, "wall": p.wall, "station mm": p.station, "start mm": p.start, "end mm": p.end,
        "as built mm": p.nominal, "smallest mm": p.least, "n": p.n,
    }  # fmt: skip


def _margin(x: Margin) -> dict[str, Any]:
    return {**_place(x.place), **_numbers(x)}


def _by(g: PlaceGoverns | None) -> dict[str, Any]:
    return {} if g is None else {"governs now": _governs(g.now), "governs at the limit": g.limit and _governs(g.limit)}


def _governs(g: Governs) -> dict[str, Any]:
    return {"case": g.case, "wall": g.wall, "criterion": g.criterion, "at mm": g.station, "utilisation": g.ratio}


def _numbers(x: Margin) -> dict[str, Any]:
    first = None if x.first is None else {"thickness mm": x.first[1], **_beside(x.first[0])}
    return {
        "utilisation": x.now[0], "its case": x.now[1], "cases over": [{"case": c, "utilisation": r} for c, r in x.over],
        "limit": _limit(x.limit), "buckling onset": _limit(x.onset), "left mm": x.left,
        "elsewhere at the limit": x.elsewhere and _beside(x.elsewhere), "elsewhere first": first,
    }  # fmt: skip


def _limit(limit: Limit) -> dict[str, Any]:
    known = limit.how in ("found", "jumps", "gone")
    return {
        "how": limit.how, "thickness mm": limit.thickness if known else None, "case": limit.case or None,
        "ratio there": limit.ratio if limit.case else None,
    }  # fmt: skip


def _beside(b: Beside) -> dict[str, Any]:
    return {"place": b.name, "case": b.case, "as found": b.found, "utilisation": b.ratio}


def _hole(curve: HoleCurve, rows: Sequence[HoleRow]) -> dict[str, Any]:
    p, near = curve.place, curve.beside
    return {
        "rail": p.side, "wall": p.wall, "station mm": p.station, "looked at mm": list(p.region),
        "holes of the readings there mm": [list(h.reach) for h in p.listed],
        "nearest": near.nearest.name if near.nearest else None, "distance mm": near.distance,
        "near a mounting": near.near_mount, "lengths": [_hole_state(s) for s in curve.states],
        "length at its limit": curve.limit and _hole_state(curve.limit),
        "along the wall": [
            {
                "station mm": r.station, "without": r.without.ratio,
                "nearest": r.beside.nearest and r.beside.nearest.name, "distance mm": r.beside.distance,
                **_hole_state(r.hole),
            }
            for r in rows
        ],
    }  # fmt: skip


def _hole_state(s: HoleState) -> dict[str, Any]:
    return {
        "length mm": s.length, "utilisation": s.ratio, "case": s.case, "elsewhere": s.elsewhere,
        "opens the section": s.opened, "J left": s.J, "problem": s.problem or None,
    }  # fmt: skip


def _short(value: Any) -> Any:
    """Nine significant digits; what is infinite as null."""
    if isinstance(value, float):
        return float(f"{value:.9g}") if isfinite(value) else None
    if isinstance(value, dict):
        return {k: _short(v) for k, v in value.items()}
    return [_short(v) for v in value] if isinstance(value, list | tuple) else value
