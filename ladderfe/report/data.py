"""Findings as data for machines: one JSON document, or CSV tables."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict
from functools import partial
from typing import Any

import numpy as np

from ladderfe.checks import Findings
from ladderfe.checks.beside import BesideRow
from ladderfe.report.buckling_data import BUCKLING_COLUMNS, BUCKLING_MAKERS
from ladderfe.report.cases_data import CASE_COLUMNS, CASE_MAKERS, is_couple
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.document import Rows, begun, proof_table, rounded
from ladderfe.report.found_data import found_json, found_tables
from ladderfe.report.joints_text import JOINT_COLUMNS, joint_rows
from ladderfe.report.masses_text import MOUNT_COLUMNS, mount_rows
from ladderfe.report.unusual_text import as_stated, unusual_data, unusual_readings_data

__all__ = ["COLUMNS", "csv_tables", "findings_json", "findings_tables"]

#: What is smaller than this part of the greatest value in columns of its unit is rounding and written as 0.
NOTHING = 1e-9
#: Columns that say where: compared with themselves only.
PLACES = ("along mm", "x mm", "y mm", "z mm", "start mm", "end mm", "station mm", "sagging at mm", "hogging at mm",
          "shear at mm")  # fmt: skip

#: Table -> names of its columns with their units.
COLUMNS: dict[str, tuple[str, ...]] = {
    "utilisations": (
        "case", "part", "side", "along mm", "wall", "point", "criterion", "stress N/mm2", "limit N/mm2", "utilisation",
    ),
    "resultants": (
        "case", "part", "along mm", "member", "turning point", "N N", "Vy N", "Vz N", "T N mm", "My N mm", "Mz N mm",
        "B N mm2", "Tw or R N mm", "racking rad",
    ),
    "stresses": (
        "case", "part", "along mm", "wall", "point", "normal N/mm2", "shear N/mm2", "across N/mm2", "von Mises N/mm2",
    ),
    "movements": ("case", "node", "x mm", "y mm", "z mm", "ux mm", "uy mm", "uz mm", "rx rad", "ry rad", "rz rad"),
    "reactions": ("case", "support", "force N"),
    "line-loads": ("name", "rail", "start mm", "end mm", "at start kg/m", "at end kg/m", "outward mm"),
    "mounts": MOUNT_COLUMNS,
    "joints": JOINT_COLUMNS,
    **BUCKLING_COLUMNS,
    **CASE_COLUMNS,
    "self-check": ("proof", "holds", "difference", "limit", "unit", "why this limit"),
    "assumptions": (
        "key", "meaning", "low", "used", "high", "unit", "source", "utilisation at low", "utilisation at high",
    ),
}  # fmt: skip


def findings_tables(findings: Findings) -> dict[str, tuple[tuple[str, ...], Rows]]:
    """Name -> (column names with units, rows) of everything found."""
    tables = {name: (COLUMNS[name], make(findings)) for name, make in _MAKERS.items()}
    return tables | (found_tables(findings.as_found) if findings.as_found is not None else {})


def _plain_numbers(table: str, rows: Rows) -> Rows:
    """Numbers rounded to nine digits, and 0 where they are nothing beside the greatest in columns of their unit (or
    beside 1 in columns without one); None where there is no number, a word where it is infinite."""
    columns = list(zip(*rows, strict=True))
    groups: dict[str, list[int]] = {}
    for k, (name, column) in enumerate(zip(COLUMNS[table], columns, strict=False)):
        if any(isinstance(v, float) for v in column):
            groups.setdefault(name if name in PLACES else name.rpartition(" ")[2], []).append(k)
    for group in groups.values():
        most = max((abs(v) for k in group for v in columns[k] if math.isfinite(v)), default=0.0)
        least = NOTHING * (most if " " in COLUMNS[table][group[0]] else min(most, 1.0))
        for k in group:
            columns[k] = tuple(_plain_number(float(v), least) for v in columns[k])
    return list(zip(*columns, strict=True))


def _plain_number(value: float, least: float) -> float | str | None:
    if math.isfinite(value):
        return rounded(value) if abs(value) > least else 0.0
    return None if math.isnan(value) else "infinite" if value > 0 else "-infinite"


def _utilisations(f: Findings) -> Rows:
    rows: Rows = [
        (u.case, u.part, u.side, u.along, u.wall, u.point, u.criterion, u.stress, u.limit, u.ratio)
        for u in f.utilisations
    ]
    return _plain_numbers("utilisations", rows)


def _places(f: Findings) -> list[tuple[str, float]]:
    mesh = f.solution.mesh
    part = mesh.part_of()
    return [(mesh.parts[int(part[m])].name, float(a)) for m, a in zip(f.rows.member, f.rows.along, strict=True)]


def _resultants(f: Findings) -> Rows:
    rows = []
    for c, case in enumerate(f.solution.cases):
        for k, (part, along) in enumerate(_places(f)):
            r = f.rows.resultants[k, :, c].tolist()
            rows.append((case.name, part, along, int(f.rows.member[k]), bool(f.rows.turning[k]), *r))
    return _plain_numbers("resultants", rows)


def _stresses(f: Findings) -> Rows:
    rows, st = [], f.stresses
    values = np.stack([st.normal, st.shear, st.across, st.von_mises], axis=2)  # (r, p, 4, c)
    for c, case in enumerate(f.solution.cases):
        for k, (part, along) in enumerate(_places(f)):
            s = int(st.section[k])
            for p, (wall, label) in enumerate(zip(st.table.walls[s], st.table.labels[s], strict=True)):
                rows.append((case.name, part, along, wall, label, *values[k, p, :, c].tolist()))
    return _plain_numbers("stresses", rows)


def _movements(f: Findings) -> Rows:
    s = f.solution
    rows = []
    for c, case in enumerate(s.cases):
        for n, name in enumerate(s.mesh.node_names):
            u = s.movements[s.frame.start[n] : s.frame.start[n] + 6, c]
            rows.append((case.name, name, *s.mesh.nodes[n].tolist(), *u.tolist()))
    return _plain_numbers("movements", rows)


def _reactions(f: Findings) -> Rows:
    s = f.solution
    rows = [
        (case.name, name, float(s.support_forces[k, c]))
        for c, case in enumerate(s.cases)
        for k, name in enumerate(s.supports)
        if not is_couple(name)
    ]
    return _plain_numbers("reactions", rows)


def _lines(f: Findings) -> Rows:
    return [
        (x.name, x.side, x.start, x.end, rounded(1e6 * x.at_start), rounded(1e6 * x.at_end), x.outward)
        for x in f.solution.carried.lines
    ]


def _mounts(f: Findings) -> Rows:
    return [tuple(rounded(v) if isinstance(v, float) else v for v in row) for row in mount_rows(f.chassis)]


def _joints(f: Findings) -> Rows:
    return [tuple(rounded(v) if isinstance(v, float) else v for v in row) for row in joint_rows(f.chassis)]


def _proofs(f: Findings) -> Rows:
    return proof_table(f.proofs)[1]


def _assumptions(f: Findings) -> Rows:
    """All assumptions with what they move, or as they were made where they were not moved."""
    moved = [(i.assumption, i.at_low, i.at_high) for i in f.influences]
    rows: Rows = []
    for a, at_low, at_high in moved or [(a, None, None) for a in f.chassis.assumptions]:
        ends = [None if v is None else rounded(v) for v in (at_low, at_high)]
        values = ["infinite" if math.isinf(v) else v for v in (a.low, a.used, a.high)]
        rows.append((a.key, a.meaning, *values, a.unit, a.source, *ends))
    return rows


def _made_plain(name: str, make: Callable[[Findings], Rows], f: Findings) -> Rows:
    return _plain_numbers(name, make(f))


_MAKERS: dict[str, Callable[[Findings], Rows]] = {
    "utilisations": _utilisations,
    "resultants": _resultants,
    "stresses": _stresses,
    "movements": _movements,
    "reactions": _reactions,
    "line-loads": _lines,
    "mounts": _mounts,
    "joints": _joints,
    **{name: partial(_made_plain, name, make) for name, make in BUCKLING_MAKERS.items()},
    **{name: partial(_made_plain, name, make) if plain else make for name, (make, plain) in CASE_MAKERS.items()},
    "self-check": _proofs,
    "assumptions": _assumptions,
}


def findings_json(findings: Findings, source: str, beside: Sequence[BesideRow] = ()) -> str:
    """Everything found as one JSON document; tables are {"columns": [...], "rows": [[...], ...]}, a line per row.

    Where a proof falls short only the self-check is given.
    """
    f = findings
    document: dict[str, Any] = {
        **begun(f.chassis, source),
        "criteria": asdict(f.chassis.criteria),
        "cases": [{"name": c.name, "kind": c.kind, "about": c.about, "source": c.source} for c in f.solution.cases],
        "proven": f.proven,
        "over a limit": f.exceeded if f.proven else None,
        "greatest utilisation": rounded(f.utilisations[0].ratio) if f.proven else None,
        "cases over a limit": [name for name, _ in f.cases_over()] if f.proven else None,
        "greatest utilisation of thin walls": rounded(f.buckling.ratio) if f.proven else None,
        "greatest utilisation at spring seats, jacks and stands": rounded(f.buckling.seat_ratio) if f.proven else None,
        "looks unusual": unusual_data(as_stated(f)),
        "not checked": not_checked(f),
        "cautions": list(CAUTIONS),
    }
    if f.as_found is not None:
        document["as found"] = found_json(f.as_found)
        document["readings that look unusual"] = unusual_readings_data(f.as_found.readings)
    if f.proven:
        document["beside the hand calculation"] = [
            {k: None if v != v else v for k, v in asdict(r).items()} for r in beside
        ]
    encode = json.JSONEncoder(default=_plain, allow_nan=False).encode
    parts = [f"{encode(name)}: {encode(value)}" for name, value in document.items()]
    tables = findings_tables(f) if f.proven else {"self-check": (COLUMNS["self-check"], _proofs(f))}
    for name, (head, rows) in tables.items():
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
