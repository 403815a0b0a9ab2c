"""Places for splices as data for machines: one JSON document."""

from __future__ import annotations

from typing import Any

from ladderfe.advice import Splice
from ladderfe.advice.splice_price import Price
from ladderfe.advice.splice_windows import PlaceUse
from ladderfe.advice.splice_zones import Zone
from ladderfe.checks.wall_groups import GROUPS
from ladderfe.condition import Found
from ladderfe.connections.fatigue import DamageRatio
from ladderfe.report.document import Table, begun, document_json, place, proof_table
from ladderfe.report.readings_text import count_words, unread_words
from ladderfe.report.splice_words import CAUTIONS_SPLICE, LEFT_OUT, PRACTICE, cut_words, price_words

__all__ = ["splice_json"]


def splice_json(s: Splice, source: str) -> str:
    """One document; stations in mm from the datum of the chassis file.  Where a proof falls short only the self-check
    is given."""
    document: dict[str, Any] = {**begun(s.findings.chassis, source), "proven": s.findings.proven}
    tables: dict[str, Table] = {"self-check": proof_table(s.findings.proofs)}
    if s.findings.proven:
        cycles = [{"name": n, "share": c.share} for n, c in zip(s.cycles.names, s.cycles.cycles, strict=True)]
        document |= {
            "as found": None if s.found is None else _found(s.found),
            "cycles": cycles,
            "best pair": None if s.pair is None else [_place(p) for p in s.pair],
            "windows": [
                {"rail": w.side, "start mm": w.start, "end mm": w.end, "best": _place(w.best),
                 "middle": _place(w.middle)}
                for w in s.windows
            ],
            "prices": [price_json(p, s.cycles.names) for p in s.prices],
            "rests on": [*PRACTICE, *s.cycles.notes],
        }  # fmt: skip
        tables |= {
            "forbidden": _zones(s, forbidden=True),
            "marked": _zones(s, forbidden=False),
            "contraflexure": (("rail", "case", "stations mm", "greatest moment N mm"),
                              [(c.side, c.case, list(c.stations), c.greatest) for c in s.contraflexure]),
            "envelope": _envelope(s),
        }  # fmt: skip
    document |= {"not checked": LEFT_OUT, "cautions": CAUTIONS_SPLICE}
    return document_json(document, tables)


def _found(found: Found) -> dict[str, Any]:
    return {"file": found.source, "read": count_words(found), "assumed": unread_words(found)}


def _place(p: PlaceUse) -> dict[str, Any]:
    return {
        "rail": p.side,
        "station mm": p.station,
        "rail depth mm": p.depth,
        "utilisation in reach of plates": p.around,
        "governing": {"case": p.governing.case, **place(p.governing)},
        "utilisation at the joint": dict(zip(GROUPS, p.groups, strict=True)),
        "stress ranges N/mm2": {g: p.ranges[:, k].tolist() for k, g in enumerate(GROUPS)},
        "ranges of average web shear N/mm2": p.shear_range.tolist(),
        "ranges at the worst point N/mm2": p.worst.tolist(),
        "room mm": list(p.room),
        "room asked mm": p.plate,
        "beside": list(p.beside),
        "within 30 cm of": list(p.marked),
        "assumed walls": list(p.assumed),
        "pitted": p.pitted,
    }


def price_json(p: Price, names: tuple[str, ...]) -> dict[str, Any]:
    worst = None if p.fatigue is None else p.fatigue.worst
    return {
        "place": _place(p.place),
        "best": None if p.best is None else _place(p.best),
        "not kept": [
            {"what": b.rule.name, "found": b.found, "bound": b.rule.bound, "limit": b.rule.limit, "unit": b.rule.unit,
             "source": b.rule.source, "status": b.rule.status}
            for b in p.broken
        ],
        "range ratios": None if p.range_ratio is None else p.range_ratio.tolist(),
        "damage ratio": None if worst is None else _damage(worst),
        "damage notes": [] if p.fatigue is None else list(p.fatigue.notes),
        "keep the other rail's joint out of mm": list(p.other),
        "weld steel": p.steel,
        "cuts": [
            {"cut": u.cut.name, "start mm": u.start, "end mm": u.end, "length of welds mm": u.length,
             "across N/mm2": u.across, "along N/mm2": abs(u.along), "equivalent N/mm2": u.equivalent, "wall": u.wall,
             "case": u.case, "use all through": u.full, "use one side": u.one_side, "damage over square": u.damage,
             "wall of the damage": u.damage_wall}
            for u in p.cuts
        ],
        "in words": [*price_words(p, names), *cut_words(p.cuts, p.steel)],
    }  # fmt: skip


def _damage(w: DamageRatio) -> dict[str, float]:
    return {"ratio": float(w.ratio), "low": float(w.low), "high": float(w.high)}


def _zones(s: Splice, *, forbidden: bool) -> Table:
    rows: list[tuple[Any, ...]] = []
    for view in s.rails:
        own: tuple[Zone, ...] = view.zones if forbidden else view.marks
        rows += [(view.side, z.start, z.end, z.kind, z.what, z.begins, z.ends, z.off) for z in own]
    return ("rail", "start mm", "end mm", "kind", "what", "begins mm", "ends mm", "distance asked mm"), rows


def _envelope(s: Splice) -> Table:
    """Every section of both rails."""
    n = len(s.cycles.names)
    head = ("rail", "station mm", *(f"utilisation of {g}" for g in GROUPS), "case", *(
        f"range of {g} N/mm2, cycle {k + 1}" for k in range(n) for g in GROUPS))  # fmt: skip
    rows: list[tuple[Any, ...]] = []
    for view in s.rails:
        e = view.sections
        names = [e.findings.solution.cases[c].name for c in e.case.tolist()]
        spans = e.ranges.transpose(1, 0, 2).reshape(len(names), -1).tolist()
        for x, use, name, own in zip(e.station.tolist(), e.use.tolist(), names, spans, strict=True):
            rows.append((view.side, x, *use, name, *own))
    return head, rows
