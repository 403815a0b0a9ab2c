"""Bolts and rivets of joints as data for machines."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any

from ladderfe.advice.bolt_uses import BoltUse, BoltUses
from ladderfe.checks import Findings
from ladderfe.condition import Found
from ladderfe.connections import WeldSteel
from ladderfe.report.bolt_words import BOLT_CAUTIONS, LEFT_OUT, sources, summary
from ladderfe.report.document import Table, begun, document_json, proof_table
from ladderfe.report.found_data import readings_json

__all__ = ["bolt_json"]


def bolt_json(
    f: Findings, groups: Sequence[BoltUses], steel: WeldSteel, source: str, found: Found | None = None
) -> str:
    """Everything; only the self-check where a proof falls short."""
    document: dict[str, Any] = {**begun(f.chassis, source), "proven": f.proven}
    proofs = {"self-check": proof_table(f.proofs)}
    if not f.proven:
        return document_json(document, proofs)
    document |= {
        "steel": {"name": steel.name, "fu N/mm2": steel.fu, "source": steel.source, "status": steel.status},
        "over a resistance": any(g.use > 1 for g in groups),
        "not known": {g.demand.pattern.name: g.demand.why for g in groups if g.demand.why},
        "in short": summary(groups) if groups else [],
        "sources": sources(steel),
        "not checked": list(LEFT_OUT),
        "cautions": list(BOLT_CAUTIONS),
    }
    if found is not None:
        document["as found"] = readings_json(found)
    return document_json(document, {**_tables(groups), **proofs})


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _use(g: BoltUses, u: BoltUse) -> tuple[Any, ...]:
    return (g.demand.pattern.name, u.what, _finite(u.use), u.force, _finite(u.resistance), u.case, *u.place,
            *(u.shares or (None, None)))  # fmt: skip


def _tables(groups: Sequence[BoltUses]) -> dict[str, Table]:
    patterns = [
        (d.pattern.name, d.part, d.rail, d.wall, d.thickness, g.fastener.name, len(d.pattern.places), d.pattern.hole,
         d.pattern.planes, _finite(g.use), d.why)
        for g in groups for d in (g.demand,)
    ]  # fmt: skip
    each = [
        (d.pattern.name, case, x, z, *d.shear[c, n].tolist(), float(d.pull[c, n]))
        for g in groups for d in (g.demand,) if not d.why
        for c, case in enumerate(d.cases) if c for n, (x, z) in enumerate(d.pattern.places)
    ]  # fmt: skip
    rules = [
        (g.demand.pattern.name, b.rule.name, b.found, b.rule.bound, b.rule.limit, b.rule.unit, b.rule.source,
         b.rule.status)
        for g in groups for b in g.broken
    ]  # fmt: skip
    return {
        "patterns": (
            ("name", "part", "rail", "wall", "wall mm", "fastener", "fasteners", "hole mm", "shear planes", "use",
             "forces not known because"), patterns,
        ),
        "uses": (("name", "what", "use", "force N", "resistance N", "case", "station mm", "height mm", "of shear alone",
                  "of pull alone"),
                 [_use(g, u) for g in groups for u in g.uses]),
        "fasteners": (
            ("name", "case", "station mm", "height mm", "shear rearward N", "shear upward N", "pull N"), each
        ),
        "rules not kept": (("name", "rule", "found", "bound", "limit", "unit", "source", "status"), rules),
    }  # fmt: skip
