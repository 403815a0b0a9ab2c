"""Where to measure next as data for machines."""

from __future__ import annotations

from dataclasses import asdict
from math import isinf
from typing import Any

from ladderfe.advice.next_reading import Next, Row, readings_needed
from ladderfe.checks import Utilisation
from ladderfe.report.document import Rows, Table, begun, document_json, place, proof_table
from ladderfe.report.found_data import readings_json
from ladderfe.report.next_text import checked_words, doubt_words

__all__ = ["next_json"]

HEAD = (
    "rail", "wall", "start mm", "end mm", "station mm", "n", "as built mm", "mean mm", "used mm", "s mm",
    "change per mm thinner", "change per mm thicker", "may be off mm", "that moves", "mm per percent point",
    "mm to 100 %", "0.1 mm thinner", "elsewhere", "0.3 mm thinner", "elsewhere then", "readings for target",
)  # fmt: skip


def next_json(found: Next, source: str, target: float | None = None, checked: Utilisation | None = None) -> str:
    """One document; every wall, in the order of what its uncertainty moves.  Utilisations as shares of the limit.

    checked: what governs where stiffness goes by the mean, as in the check, None where that is the same.
    """
    laid = found.laid_out
    document: dict[str, Any] = {
        **begun(laid.found.chassis, source),
        "proven": laid.findings.proven,
        "readings": readings_json(laid.found),
        "utilisation": laid.ratio,
        "governing": place(laid.findings.utilisations[0]) | {"case": laid.findings.utilisations[0].case},
        "utilisation by the check": laid.ratio if checked is None else checked.ratio,
        "why the check differs": checked_words(found, checked),
        "places that tie": len(found.ties),
        "derivatives": found.exact,
        "why not": found.why,
        "steps apart 1/mm": found.apart,
        "both ways apart": found.checked,
        "assumed": asdict(found.doubt) | {"words": doubt_words(found.doubt, laid.walls.walls)},
        "target mm": target,
        "as found in all states": [asdict(f) for f in laid.walls.fixed],
    }
    rows: Rows = [_row(found, r, target) for r in found.by_doubt]
    tables: dict[str, Table] = {"walls": (HEAD, rows), "self-check": proof_table(laid.findings.proofs)}
    return document_json(document, tables)


def _row(found: Next, r: Row, target: float | None) -> tuple[Any, ...]:
    w, states = r.wall, {t.by: t for t in r.states}
    s = None if w.read is None else w.scatter(found.doubt.scatter)
    needed = None if s is None or target is None else readings_needed(w.mean, s, target)
    whole = [
        v for by in (0.1, 0.3) for v in ((states[by].ratio, states[by].elsewhere) if by in states else (None, None))
    ]
    return (
        w.side, w.wall, w.start, w.end, w.station, w.n, w.nominal, w.mean, w.used, s, r.thinner, r.thicker, r.half,
        r.moved, None if isinf(r.matters) else r.matters, r.to_limit, *whole, needed,
    )  # fmt: skip
