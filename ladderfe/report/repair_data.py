"""A repair plan as data for machines."""

from __future__ import annotations

from typing import Any

from ladderfe.advice.repair_fatigue import RepairFatigue
from ladderfe.advice.splice import Splice
from ladderfe.checks.repair import RepairFindings
from ladderfe.checks.repair_uses import PlaceUse
from ladderfe.checks.repair_welds import metres_by_kind
from ladderfe.checks.utilisation import Utilisation
from ladderfe.report.cautions import not_checked
from ladderfe.report.document import Table, begun, document_json, proof_table
from ladderfe.report.found_data import readings_json
from ladderfe.report.plan_changes import change_words
from ladderfe.report.repair_fatigue import fatigue_json, fatigue_table
from ladderfe.report.repair_words import KNM_PER_DEG, REPAIR_CAUTIONS, need_words, next_words
from ladderfe.report.splice_data import price_json
from ladderfe.sections.stock import STOCK_STATUS, stock_name

__all__ = ["repair_json"]

STATES = ("as built", "as found", "as repaired")


def repair_json(
    f: RepairFindings, source: str, splices: Splice | None = None, fatigue: RepairFatigue | None = None
) -> str:
    """Everything found of a plan; only the self-check where a proof falls short."""
    document: dict[str, Any] = {**begun(f.repaired.chassis, source), "base": f.states.plan.base, "proven": f.proven}
    if not f.proven:
        short = next(s for s in (f.built, f.found, f.repaired) if not s.proven)
        return document_json(document, {"self-check": proof_table(short.proofs)})
    document |= _whole(f)
    document["next"] = next_words(f)
    document["not checked"] = not_checked(f.repaired)
    document["cautions"] = list(REPAIR_CAUTIONS)
    if f.states.readings is not None:
        document["as found"] = readings_json(f.states.found)
    if splices is not None:
        document["splices"] = [price_json(p, splices.cycles.names) for p in splices.prices]
    tables = _tables(f)
    if fatigue is not None:
        document["fatigue"] = fatigue_json(fatigue)
        tables["details in fatigue"] = fatigue_table(fatigue)
    return document_json(document, tables)


def _whole(f: RepairFindings) -> dict[str, Any]:
    three = (f.built, f.found, f.repaired)
    return {
        "over a limit": f.exceeded,
        "changes": change_words(f.states),
        "greatest utilisation": {s: x.utilisations[0].ratio for s, x in zip(STATES, three, strict=True)},
        "cases over a limit": {s: [n for n, _ in x.cases_over()] for s, x in zip(STATES, three, strict=True)},
        "torsional stiffness kN m/deg": {
            s: None if t is None else t * KNM_PER_DEG for s, t in zip(STATES, f.twist, strict=True)
        },
        "frame mass kg": {s: 1000 * m for s, m in zip(STATES, f.mass, strict=True)},
        "weld m": metres_by_kind(f.welds),
        "support while welding": {
            "case": f.staged.support or "unloaded",
            "stated": f.states.plan.support_given,
            "not known for": f.staged.why,
            "greatest utilisation": _ratio(f.staged.worst),
            "greatest utilisation while walls are cut out": _ratio(f.staged.bare),
        },
        "rules not kept": [str(a) for a in f.broken],
        "remarks": list(f.remarks),
        "what rusted walls need": [need_words(n) for n in f.needs],
        "sizes": STOCK_STATUS,
    }


def _ratio(u: Utilisation | None) -> float | None:
    return None if u is None else u.ratio


def _use(u: PlaceUse) -> tuple[Any, ...]:
    r = u.repaired
    place = ("", "", "") if r is None else (r.part, r.wall, r.case)
    return (u.name, *map(_ratio, (u.built, u.found, r)), *place, u.what)


def _tables(f: RepairFindings) -> dict[str, Table]:
    head = ("name", "utilisation as built", "utilisation as found", "utilisation as repaired", "part", "wall", "case",
            "what is there")  # fmt: skip
    out: dict[str, Table] = {
        name: (head, [_use(u) for u in own])
        for name, own in (("cases", f.cases), ("parts", f.parts), ("stretches", f.stretches), ("worse", f.worse))
    }
    staged_head = ("piece", "as found", "old metal as stated", "new metal as stated", "old metal unloaded",
                   "new metal unloaded")  # fmt: skip
    out["old and new metal"] = (
        staged_head,
        [
            (p.piece, *map(_ratio, (p.found, p.old_stated, p.new_stated, p.old_unloaded, p.new_unloaded)))
            for p in f.staged.pieces
        ],
    )
    out["steps"] = (
        ("piece", "station mm", "EI over that beyond", "GJ over that beyond"),
        [(s.piece, s.station, s.EI, s.GJ) for s in f.steps],
    )
    out["welds"] = ("piece", "kind", "length mm"), [(w.piece, w.kind, w.length) for w in f.welds]
    out["rules"] = ("piece", "rule", "found", "bound", "limit", "unit", "kept", "where", "source", "status", "line"), [
        (a.about, a.rule.name, a.found, a.rule.bound, a.rule.limit, a.rule.unit, a.kept, a.where, a.rule.source,
         a.rule.status, a.line) for a in f.answers
    ]  # fmt: skip
    out["sizes instead"] = (
        ("crossmember", "size mm", "I over", "J over", "mass over"),
        [(p.member, stock_name(p.shape), p.I, p.J, p.mass) for p in f.proposals],
    )
    return out
