"""Limits of towing as data for machines: one JSON document with all that the page tells."""

from __future__ import annotations

import json
from typing import Any

from ladderfe.cases.types import GRAVITY
from ladderfe.checks.proofs import Proof
from ladderfe.checks.tow_ground import Ground
from ladderfe.checks.tow_loads import Load
from ladderfe.checks.towing import Limit, TowFindings
from ladderfe.report.document import begun, place, rounded
from ladderfe.report.tow_words import (
    CAUTIONS_TOWING,
    beside_limit,
    how_words,
    in_unit,
    left_out,
    over_without,
    stated,
    turned,
    unit_of,
)

__all__ = ["tow_json"]


def tow_json(t: TowFindings, source: str) -> str:
    """One document; magnitudes in kg or kN as "unit" says, null where there is none.  Limits are not rounded down.
    Where a proof falls short only the self-check is given."""
    document: dict[str, Any] = {
        **begun(t.chassis, source),
        "proven": t.proven,
    }
    if t.proven:
        document |= {
            "vehicle kg": rounded(1000 * t.weight / GRAVITY),
            "factor on nose weight": {"value": t.nose_factor[0], "source": t.nose_factor[1]},
            "factor behind the rear axle": {"value": t.rear_factor[0], "source": t.rear_factor[1]},
            "grip": t.grip,
            "permissible stresses": t.chassis.criteria.source,
            "limits": [_limit(t, x) for x in t.limits],
            "notes": [x for x in (over_without(t), *t.missing, *stated(t), *how_words(t), turned(t)) if x],
            "thin walls over a limit": t.findings.buckling.exceeded,
        }
    document |= {
        "not checked": left_out(t),
        "cautions": list(CAUTIONS_TOWING),
        "self-check": [_proof(p) for p in t.all_proofs],
    }
    return json.dumps(document, indent=1, allow_nan=False)


def _limit(t: TowFindings, x: Limit) -> dict[str, Any]:
    r, load = x.reach, x.load
    out: dict[str, Any] = {
        "load": load.name,
        "at": list(load.case.at),
        "unit": unit_of(load),
        "greatest": _in_unit(load, x.greatest),
        "found": r.how,
        "looked at up to": _in_unit(load, r.magnitude),
        "utilisation without": rounded(r.without),
        "utilisation with it": rounded(r.ratio if x.governing is None else x.governing.ratio),
        "governing": None if x.governing is None else place(x.governing),
        "beside it": {what: rounded(ratio) for what, ratio in beside_limit(t, x).items()},
        "on the ground": None if x.ground is None else _ground(load, x.ground),
    }
    if load.station is not None:
        axle = t.chassis.axles[1].station
        out |= {
            "station mm": load.station,
            "behind the axle mm": rounded(load.station - axle),
            "rail moment at the rearmost spring seat kN m": None if x.moment is None else rounded(x.moment / 1e6),
        }
    return out


def _ground(load: Load, g: Ground) -> dict[str, Any]:
    return {
        "first wheel lifts": _near(load, g.lifts),
        "wheel": g.wheel,
        "tips over": _near(load, g.tips),
        "how": g.words,
        "slides": _near(load, g.slides),
        "axle that slides": g.axle,
    }


def _in_unit(load: Load, newtons: float | None) -> float | None:
    return None if newtons is None else rounded(in_unit(load, newtons))


def _near(load: Load, newtons: float | None) -> float | None:
    """Six digits: contact is looked for no closer."""
    return None if newtons is None else float(f"{in_unit(load, newtons):.6g}")


def _proof(p: Proof) -> dict[str, Any]:
    return {"holds": p.holds, "what": p.what, "apart by": float(f"{p.difference:.2g}"), "limit": p.limit, "why": p.why}
