"""Twist as data for machines: one JSON document with all that the page tells, and what the diagrams draw."""

from __future__ import annotations

import math
from typing import Any

from ladderfe.checks.twist import TwistFindings
from ladderfe.checks.twist_lifts import WHEELS
from ladderfe.condition import Found
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.document import DIGITS, Rows, Table, begun, document_json, proof_table
from ladderfe.report.found_data import readings_json
from ladderfe.report.twist_road import case_groups
from ladderfe.report.twist_words import BARE, bay_ends, frame_words, knm_per_deg, left_out, nm_per_deg, rigid_words

__all__ = ["twist_json", "twist_tables"]

MOTIONS = ("x N/mm", "y N/mm", "z N/mm", "rx N mm/rad", "ry N mm/rad", "rz N mm/rad")


def twist_json(t: TwistFindings, source: str, found: Found | None = None) -> str:
    """One document; tables are {"columns": [...], "rows": [[...], ...]}, a line per row.  Numbers that are none are
    null, what is rigid is "infinite".  Where a proof falls short only the self-check is given."""
    front, rear = (a.station for a in t.chassis.axles)
    document: dict[str, Any] = {
        **begun(t.chassis, source),
        "proven": t.proven,
        "over a limit": t.exceeded if t.proven else None,
        "greatest utilisation": t.findings.utilisations[0].ratio if t.proven else None,
        "not checked": left_out(t),
        "cautions": list(CAUTIONS),
    }
    if found is not None:
        document["as found"] = readings_json(found)
    if t.proven:
        document |= {
            "joints used": t.used,
            "torsional stiffness N m/deg": {name: nm_per_deg(level.stiffness) for name, level in t.twisted.items()},
            "defined as": BARE.format(front=front, rear=rear),
            "rigid joints stiffer by": t.rigid_error,
            "rigid joints": rigid_words(t),
            "limit couple N m": t.couple / 1000,
            "limited by axle": t.lighter,
            "raised by mm": t.height,
            "couples beyond reach, twist needed deg": t.beyond_reach,
        }
    return document_json(document, twist_tables(t) if t.proven else {"self-check": proof_table(t.all_proofs)})


def twist_tables(t: TwistFindings) -> dict[str, Table]:
    """Name -> (column names with units, rows)."""
    return {
        "twist along the frame": _along(t),
        "bays": _bays(t),
        "strain energy": _energy(t),
        "crossmembers": _crossmembers(t),
        "limit couple": _limit(t),
        "springs and frame in series": _series(t),
        "wheels raised": _lifts(t),
        "on the way up": _changes(t),
        "cases": _cases(t),
        "joints": _joints(t),
        "bench tests": _bench(t),
        "self-check": proof_table(t.all_proofs),
    }


def _along(t: TwistFindings) -> Table:
    rows: Rows = []
    for name, level in t.twisted.items():
        rear = t.chassis.axles[1].station
        zero = float(level.angle_at(rear))
        for x, a in zip(level.stations, level.angle, strict=True):
            rows.append((name, x, round(math.degrees((a - zero) * 1e6), DIGITS)))
    return ("joints", "station mm", "angle against the rear axle deg per kN m"), rows


def _bays(t: TwistFindings) -> Table:
    names, rows = bay_ends(t), Rows()
    for level, own in t.twisted.items():
        for k, b in enumerate(own.bays):
            angle = math.degrees(b.twist * 1e6)
            rows.append((level, names[k], names[k + 1], b.start, b.end, angle, b.twist * own.stiffness))
    return ("joints", "from", "to", "from mm", "to mm", "twist deg per kN m", "share"), rows


def _energy(t: TwistFindings) -> Table:
    rows = Rows()
    for level, own in t.twisted.items():
        for s in own.energy:
            shares = (round(v, DIGITS) for v in (s.bending, s.torsion, s.joints, s.total))
            rows.append((level, s.part, s.start, s.end, *shares))
    return ("joints", "part", "from mm", "to mm", "in bending", "in torsion", "in joints", "all"), rows


def _crossmembers(t: TwistFindings) -> Table:
    rows = Rows()
    for level, own in t.levels.items():
        for name, values in own.effects.items():
            changes = (v / own.twisted.stiffness - 1 for v in values)
            rows.append((level, name, *(knm_per_deg(v) for v in values), *changes))
    head = tuple(f"{what} kN m/deg" for what in ("removed", "halved", "doubled"))
    return ("joints", "crossmember", *head, "removed change", "halved change", "doubled change"), rows


def _limit(t: TwistFindings) -> Table:
    head = ("axle", "on the ground N", "of that unsprung N", "track mm", "couple N m",
            "without unsprung, not used, N m")  # fmt: skip
    return head, [
        (g.axle, g.load, g.unsprung, g.track, g.couple / 1000, g.couple_without_unsprung / 1000) for g in t.ground
    ]


def _series(t: TwistFindings) -> Table:
    s = t.series
    parts = (("front axle", s.front), ("rear axle", s.rear), (frame_words(t), s.frame), ("all", s.total))
    return ("in twist", "N m/deg", "share of the give"), [(n, nm_per_deg(k), s.total / k) for n, k in parts]


def _lifts(t: TwistFindings) -> Table:
    """Corners of every path, and the height asked for between them."""
    rows = Rows()
    for level, own in t.levels.items():
        series = t.series_at(level)
        for lift in own.lifts:
            for h in sorted({*map(float, lift.height), t.height}):
                at = lift.at(h)
                couples = lift.couple_at(h) / 1000, series.couple(lift.wheels, h) / 1000
                rows.append((level, lift.name, h, *couples, *(at[f"{w} wheel"] for w in WHEELS)))
    head = ("joints", "raised", "height mm", "couple N m", "couple by series N m", *(f"{w} wheel N" for w in WHEELS))
    return head, rows


def _changes(t: TwistFindings) -> Table:
    rows = Rows()
    for level, own in t.levels.items():
        for lift in own.lifts:
            for c in lift.changes:
                rows.append((level, lift.name, c.height, c.support, "opens" if c.lifts else "closes"))
            if lift.tipping:
                rows.append((level, lift.name, float(lift.height[-1]), lift.tipping, "tips over"))
    return ("joints", "raised", "height mm", "support", "what it does"), rows


def _cases(t: TwistFindings) -> Table:
    levels = list(t.ratios)
    governing = {
        name: next(u for u in t.findings.utilisations if u.case == name) for _, ns in case_groups(t) for name in ns
    }
    about = {c.name: c for c in t.findings.solution.cases}
    rows: Rows = []
    for name, u in governing.items():
        place = (u.part, u.side, u.along, u.wall, u.point, u.criterion, u.stress, u.limit)
        rows.append((name, about[name].about, *(t.ratios[level][name] for level in levels), *place))
    head = ("case", "about", *(f"utilisation, joints {level}" for level in levels), "part", "side", "along mm", "wall",
            "point", "criterion", "stress N/mm2", "limit N/mm2")  # fmt: skip
    return head, rows


def _joints(t: TwistFindings) -> Table:
    rows: Rows = []
    for u in t.joints:
        e = u.estimate
        ends = [None] * 12 if e is None else [*map(float, e.low), *map(float, e.high)]
        kind = "as given" if u.joint.given else "rigid, no estimate" if e is None else e.kind
        rows.append((u.part, u.rail, kind, *u.joint.stiffness, *ends, "; ".join(u.joint.warnings)))
    head = (
        "part",
        "rail",
        "kind",
        *MOTIONS,
        *(f"low {m}" for m in MOTIONS),
        *(f"high {m}" for m in MOTIONS),
        "warnings",
    )
    return head, rows


def _bench(t: TwistFindings) -> Table:
    rows: Rows = []
    for fit, stiffness in zip(t.bench, t.fitted, strict=True):
        for p, *values in zip(fit.test.gauges, fit.read, fit.estimated, fit.rigid, fit.fitted, strict=True):
            rows.append((fit.test.name, p.side, p.station, *values, fit.factor, fit.bounded, fit.flat, fit.left_over,
                         nm_per_deg(stiffness)))  # fmt: skip
    head = ("test", "rail", "station mm", "read mm", "estimated mm", "rigid mm", "fitted mm", "factor on joints",
            "at the end of its range", "nothing to fit", "left over mm", "fitted stiffness N m/deg")  # fmt: skip
    return head, rows
