"""On stands, before and after a cut, as one JSON document."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from ladderfe.advice.stands import Stands
from ladderfe.checks.cut_faces import Faces
from ladderfe.checks.proofs import Proof
from ladderfe.checks.stands import Stage
from ladderfe.report.document import begun, place, rounded
from ladderfe.report.stands_words import BASIS, CAUTIONS_STANDS, answer, left_out, low_words, warnings

__all__ = ["stands_json"]

#: What a cut sets free, with its unit and that unit in N or N mm.
FREED = dict.fromkeys(("N", "Vy", "Vz"), ("kN", 1e3)) | dict.fromkeys(("T", "My", "Mz"), ("kN m", 1e6))
TURNS = ("about the rail", "about the level axis", "about the upright axis")


def stands_json(s: Stands, source: str) -> str:
    """One document with all that the page tells, and every prop and pair of stations that was tried; kN, kN m, mm and
    degrees.  Where a proof falls short only the self-check is given."""
    document: dict[str, Any] = {**begun(s.chassis, source), "proven": s.proven}
    if s.proven:
        document |= _answers(s)
    document |= {
        "not checked": list(left_out(s)),
        "cautions": list(CAUTIONS_STANDS),
        "self-check": [_proof(p) for p in s.proofs],
    }
    return json.dumps(document, indent=1, ensure_ascii=False)


def _answers(s: Stands) -> dict[str, Any]:
    free = s.free and {"comes free": s.free[0], "where low": s.free[1], "by mm": rounded(s.free[2])}
    return {
        "short answer": answer(s),
        "mind": warnings(s),
        "stands": [_stand(s, k) for k in range(len(s.ground))],
        "stands from": s.origin,
        "weight kN": rounded(s.weight / 1000),
        "whole": _stage(s.before),
        "cut open": None if s.after is None else _stage(s.after),
        "held by nothing": s.frames.detached or None,
        "one stand low": [{"stand": x.stand, "low mm": x.low, **_stage(x.stage)} for x in s.low],
        "first to come free": free or None,
        "first to come free, in words": low_words(s),
        "cuts": [_cut(s, k) for k in range(len(s.cuts))],
        "places for four stands": [
            {"stations mm": list(u.stations), "whole": _stage(u.before), "cut open": u.after and _stage(u.after)}
            for u in s.places
        ],
        "greatest utilisation": {
            name: None if u is None else {"ratio": rounded(u.ratio), **place(u)}
            for name, u in zip(("whole", "cut open"), s.work, strict=True)
        },
        "basis": list(BASIS),
    }


def _stand(s: Stands, k: int) -> dict[str, Any]:
    g = s.ground[k]
    web = g.web and {"wall": g.web.wall, "bears kN": rounded(g.web.limit / 1000), "rule": g.web.rule}
    return {"stand": g.name, "rail": g.side or None, "station mm": rounded(g.station), "web": web or None,
            "readings": list(g.metal), "mm from the cut": g.near and abs(g.station - g.near.station),
            "better stations mm": list(g.better) or None}  # fmt: skip


def _stage(stage: Stage) -> dict[str, Any]:
    return {
        "holds": stage.holds,
        "tips over": stage.tips or None,
        "loads kN": {name: rounded(force / 1000) for name, force in stage.forces} if stage.holds else None,
        "lifted": list(stage.lifted) if stage.holds else None,
    }


def _cut(s: Stands, k: int) -> dict[str, Any]:
    cut, freed = s.cuts[k], asdict(s.freed[k])
    after = s.after if s.after is not None and s.after.holds else None
    return {
        "rail": cut.side,
        "station mm": rounded(cut.station),
        "brace": {f"{n} {FREED[n][0]}": rounded(v / FREED[n][1]) for n, v in freed.items()},
        "free": None if after is None else _faces(after.faces[k]),
        "props": [
            {"before mm": p.offsets[0] or None, "behind mm": p.offsets[1] or None, **_stage(p.after),
             **_faces(p.after.faces[k])}
            for p in s.props[k]
        ],
    }  # fmt: skip


def _faces(f: Faces) -> dict[str, Any]:
    return {
        "gap mm": {name: _near(v) for name, v in f.gaps.items()},
        "step mm": {"up": _near(f.up), "right": _near(f.right)},
        "turn degrees": dict(zip(TURNS, map(_near, f.turn), strict=True)),
        "closes at": list(f.closing),
    }  # fmt: skip


def _near(value: float) -> float:
    """To a millionth: below that is rounding."""
    return round(value, 6) + 0.0


def _proof(p: Proof) -> dict[str, Any]:
    return {"holds": p.holds, "what": p.what, "apart by": float(f"{p.difference:.2g}"), "limit": p.limit, "why": p.why}
