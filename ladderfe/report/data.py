"""Findings as data for machines: one JSON document, or CSV tables."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

import numpy as np

from ladderfe import __version__
from ladderfe.checks import BesideRow, Findings
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.unusual_text import unusual_data

__all__ = ["csv_tables", "findings_json", "findings_tables"]

Table = tuple[tuple[str, ...], list[tuple[Any, ...]]]
DIGITS = 9


def _round(value: float) -> float:
    """Nine significant digits: more than any input holds, and the same on every machine."""
    return float(f"{value:.{DIGITS}g}")


def findings_tables(findings: Findings) -> dict[str, Table]:
    """Name -> (column names with units, rows) of everything found."""
    return {
        "utilisations": _utilisations(findings),
        "resultants": _resultants(findings),
        "stresses": _stresses(findings),
        "movements": _movements(findings),
        "reactions": _reactions(findings),
        "line-loads": _lines(findings),
        "self-check": _proofs(findings),
        "assumptions": _assumptions(findings),
    }


def _utilisations(f: Findings) -> Table:
    head = (
        "case",
        "part",
        "side",
        "along mm",
        "wall",
        "point",
        "criterion",
        "stress N/mm2",
        "limit N/mm2",
        "utilisation",
        "twist stress checked",
    )
    return head, [
        (
            u.case,
            u.part,
            u.side,
            _round(u.along),
            u.wall,
            u.point,
            u.criterion,
            _round(u.stress),
            u.limit,
            _round(u.ratio),
            u.twist_checked,
        )
        for u in f.utilisations
    ]


def _places(f: Findings) -> list[tuple[str, float]]:
    mesh = f.solution.mesh
    part = mesh.part_of()
    return [(mesh.parts[int(part[m])].name, _round(float(a))) for m, a in zip(f.rows.member, f.rows.along, strict=True)]


def _resultants(f: Findings) -> Table:
    head = (
        "case",
        "part",
        "along mm",
        "member",
        "turning point",
        "N N",
        "Vy N",
        "Vz N",
        "T N mm",
        "My N mm",
        "Mz N mm",
    )
    rows = []
    for c, case in enumerate(f.solution.cases):
        for k, (part, along) in enumerate(_places(f)):
            r = [_round(float(v)) for v in f.rows.resultants[k, :, c]]
            rows.append((case.name, part, along, int(f.rows.member[k]), bool(f.rows.turning[k]), *r))
    return head, rows


def _stresses(f: Findings) -> Table:
    head = ("case", "part", "along mm", "wall", "point", "normal N/mm2", "shear N/mm2", "von Mises N/mm2")
    rows, st = [], f.stresses
    for c, case in enumerate(f.solution.cases):
        for k, (part, along) in enumerate(_places(f)):
            s = int(st.section[k])
            for p, (wall, label) in enumerate(zip(st.table.walls[s], st.table.labels[s], strict=True)):
                values = (st.normal[k, p, c], st.shear[k, p, c], st.von_mises[k, p, c])
                rows.append((case.name, part, along, wall, label, *(_round(float(v)) for v in values)))
    return head, rows


def _movements(f: Findings) -> Table:
    s = f.solution
    head = ("case", "node", "x mm", "y mm", "z mm", "ux mm", "uy mm", "uz mm", "rx rad", "ry rad", "rz rad")
    rows = []
    for c, case in enumerate(s.cases):
        for n, name in enumerate(s.mesh.node_names):
            u = s.movements[s.frame.start[n] : s.frame.start[n] + 6, c]
            rows.append((case.name, name, *(_round(float(v)) for v in (*s.mesh.nodes[n], *u))))
    return head, rows


def _reactions(f: Findings) -> Table:
    s = f.solution
    rows = [
        (case.name, name, _round(float(s.support_forces[k, c])))
        for c, case in enumerate(s.cases)
        for k, name in enumerate(s.supports)
    ]
    return ("case", "support", "force N"), rows


def _lines(f: Findings) -> Table:
    head = ("name", "rail", "start mm", "end mm", "at start kg/m", "at end kg/m", "outward mm")
    return head, [
        (x.name, x.side, x.start, x.end, _round(1e6 * x.at_start), _round(1e6 * x.at_end), x.outward)
        for x in f.solution.carried.lines
    ]


def _proofs(f: Findings) -> Table:
    rows: list[tuple[Any, ...]] = [
        (p.what, p.holds, float(f"{p.difference:.2g}"), p.limit, p.unit or "relative", p.why) for p in f.proofs
    ]
    return ("proof", "holds", "difference", "limit", "unit", "why this limit"), rows


def _assumptions(f: Findings) -> Table:
    head = ("key", "meaning", "low", "used", "high", "unit", "source", "utilisation at low", "utilisation at high")
    rows: list[tuple[Any, ...]] = []
    for i in f.influences:
        a = i.assumption
        ends = [None if v is None else _round(v) for v in (i.at_low, i.at_high)]
        values = ["infinite" if math.isinf(v) else v for v in (a.low, a.used, a.high)]
        rows.append((a.key, a.meaning, *values, a.unit, a.source, *ends))
    return head, rows


def findings_json(findings: Findings, source: str, beside: Sequence[BesideRow] = ()) -> str:
    """Everything found as one JSON document; tables are {"columns": [...], "rows": [[...], ...]}, a line per row.

    Where a proof falls short only the self-check is given.
    """
    f = findings
    document: dict[str, Any] = {
        "program": "ladderfe",
        "version": __version__,
        "chassis": f.chassis.title,
        "file": source,
        "condition weighed": f.chassis.condition,
        "criteria": asdict(f.chassis.criteria),
        "cases": [{"name": c.name, "kind": c.kind, "about": c.about, "source": c.source} for c in f.solution.cases],
        "proven": f.proven,
        "over a limit": f.exceeded if f.proven else None,
        "greatest utilisation": _round(f.utilisations[0].ratio) if f.proven else None,
        "looks unusual": unusual_data(f.chassis),
        "not checked": not_checked(f),
        "cautions": list(CAUTIONS),
    }
    if f.proven:
        document["beside the hand calculation"] = [
            {k: None if v != v else v for k, v in asdict(r).items()} for r in beside
        ]
    encode = json.JSONEncoder(default=_plain, allow_nan=False).encode
    parts = [f"{encode(name)}: {encode(value)}" for name, value in document.items()]
    for name, (head, rows) in (findings_tables(f) if f.proven else {"self-check": _proofs(f)}).items():
        lines = ",\n".join(encode(row) for row in rows)
        parts.append(f'{encode(name)}: {{"columns": {encode(head)}, "rows": [\n{lines}\n]}}')
    return "{" + ",\n".join(parts) + "}"


def _plain(value: object) -> object:
    if isinstance(value, np.generic):
        return value.item()
    raise TypeError(type(value).__name__)


def csv_tables(findings: Findings) -> Iterable[tuple[str, str]]:
    """(file name, contents) of every table as CSV with a header line."""
    for name, (head, rows) in findings_tables(findings).items():
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(rows)
        yield f"{name}.csv", text.getvalue()
