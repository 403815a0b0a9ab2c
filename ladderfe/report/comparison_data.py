"""Several chassis side by side as one JSON document."""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from typing import Any

from ladderfe import __version__
from ladderfe.checks.comparison import Comparison, ComparisonRow, ranked
from ladderfe.condition import Found
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.document import place, rounded
from ladderfe.report.found_data import readings_json

__all__ = ["comparison_json"]


def comparison_json(
    comparison: Comparison, sources: Sequence[str], states: Sequence[Found] = (), rustless: Collection[int] = ()
) -> str:  # fmt: skip
    """Everything compared; values in the order of `files`, null where a chassis has no such part or case.

    rustless: numbers of those that never rusted beside others that did; they have no rank.

    "change" is in percent of the first file's value, null where there is none.
    """
    c = comparison
    document: dict[str, Any] = {
        "program": "ladderfe",
        "version": __version__,
        "files": [
            {
                "file": source,
                "chassis": f.chassis.title,
                "condition weighed": f.chassis.condition,
                "over a limit": f.exceeded,
                "not checked": not_checked(f),
                "proofs": {"hold": sum(p.holds for p in f.proofs), "of": len(f.proofs)},
            }
            for source, f in zip(sources, c.findings, strict=True)
        ],
        "ranked by greatest utilisation": [sources[k] for k in ranked(c, rustless)],
        "frame": [_row(r) for r in c.frame],
        "greatest utilisation by case": [
            {**_row(r), "governing": [None if u is None else place(u) for u in found]}
            for r, found in zip(c.cases, c.governing, strict=True)
        ],
        "greatest utilisation by part": [_row(r) for r in c.parts],
        "greatest utilisation of thin walls": [_row(r) for r in c.thin],
        "sag of the rails between the axles": [_row(r) for r in c.sag],
        "spring forces": [_row(r) for r in c.springs],
        "cautions": list(CAUTIONS),
    }
    if states:
        document["as found"] = [readings_json(found) for found in states]
    return json.dumps(document, indent=1, allow_nan=False)


def _row(row: ComparisonRow) -> dict[str, Any]:
    changes = [row.change(k) for k in range(len(row.values))]
    out: dict[str, Any] = {"name": row.name}
    if row.case and row.case != row.name:
        out["case"] = row.case
    return {
        **out,
        "unit": row.unit or "of limit",
        "values": [None if v is None else rounded(v) for v in row.values],
        "change": [None if x is None else rounded(100 * x) for x in changes],
    }
