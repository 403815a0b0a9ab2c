"""The scatter of readings as data for machines."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from ladderfe.advice.scatter import Scatter, wilson
from ladderfe.report.document import Table, begun, document_json, proof_table
from ladderfe.report.found_data import readings_json
from ladderfe.report.scatter_text import NO_FAILURE, spread_words

__all__ = ["scatter_json"]


def scatter_json(s: Scatter, source: str) -> str:
    """One document, with the governing utilisation of every draw as a share of the limit."""
    laid, n = s.laid_out, len(s.ratio)
    walls = laid.walls.walls
    document: dict[str, Any] = {
        **begun(laid.found.chassis, source),
        "proven": laid.findings.proven,
        "readings": readings_json(laid.found),
        "assumed": asdict(s.spread) | {"words": spread_words(s.spread, walls)},
        "what it is not": NO_FAILURE,
        "utilisation by the means": laid.ratio,
        "mean": float(s.ratio.mean()),
        "5 %": s.quantile(0.05),
        "median": s.quantile(0.5),
        "95 %": s.quantile(0.95),
        "least": float(s.ratio.min()),
        "greatest": float(s.ratio.max()),
        "over a limit": {"draws": s.exceeded, "of": n, "share": s.exceeded / n, "wilson 95 %": wilson(s.exceeded, n)},
        "not solved": list(s.failed),
        "both ways apart": s.checked,
        "taper steps": {"draws": laid.taper_steps, "check": laid.findings.taper_steps, "apart": laid.apart},
        "as found in all states": [asdict(f) for f in laid.walls.fixed],
    }
    governs = dict(s.by_wall)
    tables: dict[str, Table] = {
        "governing": (
            ("draws", "part", "along mm", "wall", "criterion", "case", "mean utilisation"),
            [(o.count, o.where.part, o.where.along, o.where.wall, o.where.criterion, o.where.case, o.mean)
             for o in s.often],
        ),
        "walls": (
            ("rail", "wall", "start mm", "end mm", "n", "as built mm", "mean mm", "scale mm", "degrees of freedom",
             "governs"),
            [(w.side, w.wall, w.start, w.end, w.n, w.nominal, w.mean, s.spread.scale(w) if w.read else None,
              s.spread.freedoms(w) if w.read else None,
              governs.get(k, 0)) for k, w in enumerate(walls)],
        ),
        "cases left out": (("case", "greatest utilisation in the first draws"), list(s.low)),
        "draws": (("utilisation",), [(u,) for u in s.ratio.tolist()]),
        "self-check": proof_table(laid.findings.proofs),
    }  # fmt: skip
    return document_json(document, tables)
