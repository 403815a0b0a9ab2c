"""Sizes of welds as data for machines."""

from __future__ import annotations

from typing import Any

from ladderfe.advice.slot_sizes import SlotSize
from ladderfe.advice.weld_sizes import FilletSize, WeldSizes
from ladderfe.checks.repair_welds import metres_by_kind
from ladderfe.condition import Found
from ladderfe.report.document import Table, begun, document_json, proof_table
from ladderfe.report.found_data import readings_json
from ladderfe.report.weld_slots_words import slot_words
from ladderfe.report.weld_words import (
    LEFT_OUT,
    WELD_CAUTIONS,
    butt_words,
    seam_words,
    size_words,
    strength_words,
    summary,
)

__all__ = ["weld_json"]


def weld_json(w: WeldSizes, source: str, found: Found | None = None) -> str:
    """Everything; only the self-check where a proof falls short."""
    f = w.demands.findings
    document: dict[str, Any] = {**begun(f.chassis, source), "proven": f.proven}
    proofs = {"self-check": proof_table(f.proofs)}
    if not f.proven:
        return document_json(document, proofs)
    document |= {
        "method": w.method,
        "steel": {"name": w.steel.name, "fu N/mm2": w.steel.fu, "beta_w": w.steel.beta_w, "source": w.steel.source,
                  "status": w.steel.status},
        "strength N/mm2": w.strength,
        "support while welding": w.demands.support or "unloaded",
        "beyond what fits": w.exceeded,
        "weld m": metres_by_kind(w.demands.runs),
        "in short": summary(w),
        "seam or stitch": list(seam_words(w)),
        "butt welds in words": [butt_words([b for b in w.butts if (b.piece, b.where) == key])
                                for key in dict.fromkeys((b.piece, b.where) for b in w.butts)],
        "sources": strength_words(w),
        "not checked": list(LEFT_OUT),
        "cautions": list(WELD_CAUTIONS),
    }  # fmt: skip
    if found is not None:
        document["as found"] = readings_json(found)
    return document_json(document, {**_tables(w), **proofs})


def _fillet(f: FilletSize) -> tuple[Any, ...]:
    return (f.about, f.weld, f.kind, f.force, f.case, f.place, f.throat, f.leg, f.limit, f.planned, f.wall, f.length,
            f.anchor, f.fits and not f.larger, size_words(f), "; ".join(map(str, f.broken)))  # fmt: skip


def _slot(s: SlotSize) -> tuple[Any, ...]:
    d = s.demand
    return (d.plate.name, d.wall, d.end, d.joint, d.until, d.joined, d.force, d.case, d.slots.length, d.slots.width,
            d.slots.pitch, d.slots.filled, ", ".join(d.slots.assumed), s.area, s.girth, s.throat, s.weld, s.wall,
            s.planned, s.asks(s.use), s.use, d.alone, d.alone_case, s.use_alone, ", ".join(d.left), s.enough,
            slot_words(s), "; ".join(map(str, s.broken)))  # fmt: skip


def _tables(w: WeldSizes) -> dict[str, Table]:
    head = ("about", "weld", "kind", "force N/mm", "case", "where", "throat mm", "leg mm", "leg allowed mm",
            "planned throat mm", "wall alone N/mm", "length mm", "anchorage mm", "fits", "words",
            "not kept")  # fmt: skip
    plates = [(p.plate.name, p.plate.thickness, p.width, p.thinner, p.force, p.case, p.station)
              for p in w.demands.plates]  # fmt: skip
    ends = [(p.plate.name, e.station, e.force, e.couple, e.case, e.across, e.flow if e.length else None, e.length,
             e.zone) for p in w.demands.plates for e in p.ends]  # fmt: skip
    return {
        "plates": (("plate", "thickness mm", "width mm", "thinner mm", "force N", "case", "station mm"), plates),
        "plate ends": (("plate", "station mm", "force N", "couple N mm", "case", "across N", "most across N/mm",
                        "weld across mm", "zone mm"), ends),
        "plate welds": (head, [_fillet(f) for f in w.plates]),
        "slot welds": (
            ("sleeve", "wall", "side of the joint", "joint mm", "to joint mm", "joint in the plan", "force on one N",
             "case", "length mm", "width mm", "pitch mm", "filled", "assumed", "area mm2", "edge mm", "throat mm",
             "weld carries N", "wall carries N", "planned", "asked", "use", "force without the butt weld N",
             "its case", "use without", "left to contact", "enough", "words", "not kept"),
            [_slot(s) for s in w.slots],
        ),
        "butt welds": (
            ("piece", "where", "part", "wall", "thickness mm", "use all through", "use one side", "fused mm needed",
             "made", "case"),
            [(b.piece, b.where, b.group, b.wall, b.thickness, b.full, b.one_side, b.needed, b.made, b.case)
             for b in w.butts],
        ),
        "joint welds": (head, [_fillet(f) for f in w.joints]),
        "hanger welds": (head, [_fillet(f) for f in w.hangers]),
        "gusset welds": (head, [_fillet(f) for f in w.gussets]),
        "gussets": (
            ("gussets", "part", "rail", "case", "moment at the web N mm", "moment at the toe N mm"),
            [(g.gusset.name, g.joint.part, g.joint.rail, name, float(g.at_web[c]), float(g.at_toe[c]))
             for g in w.demands.gussets for c, name in enumerate(g.cases) if c],
        ),
        "hangers": (
            ("hanger", "case", "x N", "y N", "z N", "about x N mm", "about y N mm", "about z N mm", "station mm",
             "y mm", "height mm", "wall", "wall mm", "no weld because"),
            [(h.hanger.name, case.name, *h.force[c].tolist(), *h.moment[c].tolist(), *h.at.tolist(), h.wall,
              h.thickness, h.why) for h in w.demands.hangers
             for c, case in enumerate(w.demands.findings.solution.cases) if c],
        ),
        "joints": (
            ("part", "rail", "kind", "station mm", "wall", "wall mm", "part's wall mm", "no weld because"),
            [(j.part, j.rail, j.kind, float(j.at[0]), j.wall, j.thickness, j.own, j.why) for j in w.demands.joints],
        ),
    }  # fmt: skip
