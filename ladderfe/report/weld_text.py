"""Sizes of welds as a page for the terminal."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from math import isinf

from ladderfe.advice.weld_sizes import ButtSize, FilletSize, WeldSizes
from ladderfe.checks.repair_welds import metres_by_kind
from ladderfe.checks.weld_hangers import HangerDemand
from ladderfe.checks.weld_joints import JointDemand
from ladderfe.checks.weld_plates import EndDemand
from ladderfe.condition import Found
from ladderfe.report.cautions import cautions_text
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.readings_text import readings_text
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.weld_slots_words import SLOTTED, slot_advice, slot_words, slots_words, use_words
from ladderfe.report.weld_words import (
    GUSSETED,
    LEFT_OUT,
    NO_ROOM,
    WELD_CAUTIONS,
    butt_words,
    seam_words,
    size_words,
    strength_words,
    summary,
)

__all__ = ["weld_lines", "weld_text"]


def weld_text(w: WeldSizes, source: str, found: Found | None = None) -> str:
    """The whole page; `source` names the file, found: what was read."""
    f = w.demands.findings
    title = w.demands.states.plan.title if w.demands.states is not None else ""
    head = head_lines(replace(f.chassis, title=title or f.chassis.title), "what its welds must be", source)
    if not f.proven:
        return short_page(head, f.proofs, "sizes of welds")
    out = [*head, *weld_lines(w)]
    out += readings_text(found) if found is not None else []
    out += bullets("What this rests on", strength_words(w))
    out += bullets("Not checked", LEFT_OUT)
    return "\n".join([*out, *proof_lines(f.proofs), *cautions_text(WELD_CAUTIONS)])


def weld_lines(w: WeldSizes) -> list[str]:
    """What the welds must be, without the page's head, what was read, and the cautions."""
    return [
        *bullets("In short", summary(w)),
        *_plates(w),
        *_slots(w),
        *_butts(w),
        *_joints(w),
        *_gussets(w),
        *_hangers(w),
    ]


def _stage(w: WeldSizes) -> str:
    if not w.demands.support:
        return "The frame counts as unloaded while it is welded: the plan's welds feel the whole of every case."
    return (f"Welded while the frame stands as in the case \"{w.demands.support}\": the plan's welds feel each case "
            "less that one, what comes after welding.")  # fmt: skip


def _plates(w: WeldSizes) -> list[str]:
    if not w.demands.plates:
        return []
    out = [*heading("Plates of the plan: force along each and flow in its welds"), *paragraph(_stage(w))]
    for p, own in w.by_plate():
        out += ["", *paragraph(f"{p.plate.name}: {p.plate.thickness:g} mm, {p.width:.0f} mm wide; most in it "
                               f"{p.force / 1000:.2f} kN ({p.case}, {p.station:.0f} mm).")]  # fmt: skip
        out += table(HEAD, [_row(f.weld, f) for f in own], ALIGN)
        for e, f in zip(p.ends, [f for f in own if f.kind == "end"], strict=True):
            out += paragraph(_end_words(e, f), "  ", "- ")
        broken = dict.fromkeys(str(b) for f in own for b in f.broken)
        out += [line for b in broken for line in paragraph(f"not kept: {b}", "  ", "- ")]
    out += [*heading("Seam or stitch?"), *(x for words in seam_words(w) for x in paragraph(words, "  ", "- "))]
    return [*out, *_metres(w)]


def _metres(w: WeldSizes) -> list[str]:
    metres = ", ".join(f"{kind} {m:.2f} m" for kind, m in metres_by_kind(w.demands.runs).items() if m)
    return paragraph(f"Weld of the plan: {metres}.")


def _slots(w: WeldSizes) -> list[str]:
    """Slots of sleeves, wall by wall on each side of the joint."""
    if not w.slots:
        return []
    out = [*heading("Slots of sleeves: what they must bring in on each side of the joint"), *paragraph(_stage(w))]
    for name, group in groupby(w.slots, key=lambda s: s.demand.plate.name):
        own = list(group)
        out += ["", *paragraph(f"{name}: {slots_words(own)}")]
        rows = [[s.demand.wall, s.demand.end, f"{s.demand.force / 1000:.2f}", s.demand.case, f"{s.each / 1000:.2f}",
                 "WALL" if s.wall < s.weld else "weld", str(s.planned), str(s.asks(s.use)), use_words(s.use),
                 slot_words(s)] for s in own]  # fmt: skip
        head = ["wall", "side", "kN", "case", "carries kN", "by", "planned", "asked", "use", ""]
        out += table(head, rows, "llrlrlrrrl")
        out += [x for words in slot_advice(own) for x in paragraph(words, "  ", "- ")]
        broken = dict.fromkeys(str(b) for s in own for b in s.broken)
        out += [line for b in broken for line in paragraph(f"not kept: {b}", "  ", "- ")]
    out += paragraph(SLOTTED)
    return out if w.demands.plates else [*out, *_metres(w)]


#: A couple at a plate's end that is told, N mm.
LEAST_COUPLE = 500.0
HEAD = ("weld", "N/mm", "case", "where", "throat", "leg", "leg allowed", "plan's throat", "")
ALIGN = "lrllrrrrl"


def _row(name: str, f: FilletSize) -> list[str]:
    planned = "" if f.planned is None else f"{f.planned:.2f}"
    return [name, f"{f.force:.1f}", f.case, f.place, f"{f.throat:.2f}", f"{f.leg:.2f}", f"{f.limit:.2f}", planned,
            size_words(f)]  # fmt: skip


def _end_words(e: EndDemand, f: FilletSize) -> str:
    """How an end's force and couple come in."""
    turning = f" and {abs(e.couple) / 1e6:.3f} kN m" if abs(e.couple) >= LEAST_COUPLE else ""
    words = (f"{f.weld}: {abs(e.force) / 1000:.2f} kN{turning} {'end' if turning else 'ends'} there; both edges with a "
             f"throat of {f.made:.2f} mm bring it in over {f.anchor:.0f} mm")  # fmt: skip
    if e.zone:
        return f"{words}, and have {e.zone:.0f} mm of zone for what no weld across takes."
    return f"{words}; here the weld across takes all."


def _butts(w: WeldSizes) -> list[str]:
    if not w.butts:
        return []
    out = [*heading("Butt welds: how hard the rail works there"), *paragraph(_stage(w))]
    rows = [[f"{b.piece}, {b.where}" if first else "", b.group, b.wall, f"{b.thickness:.2f}", f"{100 * b.full:.1f} %",
             "none counts" if isinf(b.one_side) else f"{100 * b.one_side:.1f} %", f"{b.needed:.2f}", b.case]
            for own in _welds(w) for first, b in zip([True] + [False] * len(own), own, strict=False)]  # fmt: skip
    out += table(["weld", "part", "wall", "mm", "all through", "one side", "fused mm", "case"], rows, "lllrrrrl")
    return out + [x for own in _welds(w) for x in paragraph(butt_words(own), "  ", "- ")]


def _welds(w: WeldSizes) -> list[list[ButtSize]]:
    return [list(own) for _, own in groupby(w.butts, key=lambda b: (b.piece, b.where))]


def _joints(w: WeldSizes) -> list[str]:
    """Joints of crossmembers and outriggers, those with the most force first."""
    out = heading("Joints on the rails: one fillet all round the part's outline")
    sizes = {(f.about, f.weld): f for f in w.joints}
    rows = [_joint_row(j, sizes[j.part, j.rail]) for j in sorted(w.demands.joints, key=lambda j: -j.flow) if not j.why]
    head = ["joint", "side", "N/mm", "case", "at", "throat", "leg", "leg allowed", "weld mm", ""]
    out += table(head, rows, "llrllrrrrl") if rows else ["None."]
    if any(not f.fits for f in w.joints):
        out += paragraph(NO_ROOM)
    walls = {f"{j.rail}, {j.wall} at {j.at[0]:.0f} mm: {j.thickness:g} mm (part {j.own:g} mm)"
             for j in w.demands.joints if j.thickness < j.own and not j.why}  # fmt: skip
    if walls:
        out += paragraph("The rail's wall is the thinner one here: " + "; ".join(sorted(walls)) + ".")
    for j in (j for j in w.demands.joints if j.why):
        force, moment = (float((v[1:] ** 2).sum(axis=1).max() ** 0.5) for v in (j.force, j.moment))
        out += paragraph(f"{j.part} at the {j.rail}: {j.why}; it brings up to {force / 1000:.2f} kN and "
                         f"{moment / 1e6:.3f} kN m.", "  ", "- ")  # fmt: skip
    return out + paragraph("N/mm: the greatest of all cases and places of the weld; sizes in mm. NO ROOM: the leg it "
                           "asks for is more than the thinner wall. WALL first: it fits, but the thinner wall beside "
                           "it reaches yield in shear (t fy/1.73, no factor) before.")


def _gussets(w: WeldSizes) -> list[str]:
    """Fillets of gussets, and what the bare crossmember is spared."""
    if not w.gussets:
        return []
    out = heading("Gussets: each fillet of a plate, one on each side of both legs")
    rows = [[f.about, f.weld, f"{f.force:.1f}", f.case, f.place, f"{f.throat:.2f}", f"{f.leg:.2f}", f"{f.limit:.2f}",
             size_words(f)] for f in w.gussets]  # fmt: skip
    out += table(["gussets", "leg", "N/mm", "case", "plate", "throat", "leg", "leg allowed", ""], rows, "llrllrrrl")
    for g in w.demands.gussets:
        c = 1 + int(g.at_web[1:].argmax())
        out += paragraph(f"{g.gusset.name}: moment of the bare {g.joint.part} in the plates' plane "
                         f"{g.at_web[c] / 1e6:.3f} kN m at the web, "
                         f"{g.at_toe[c] / 1e6:.3f} kN m at their toe, where it is bare again "
                         f"({g.cases[c]}).", "  ", "- ")  # fmt: skip
    out += [line for b in dict.fromkeys(str(b) for f in w.gussets for b in f.broken)
            for line in paragraph(f"not kept: {b}", "  ", "- ")]  # fmt: skip
    return out + paragraph(GUSSETED)


def _hangers(w: WeldSizes) -> list[str]:
    """Brackets of springs, those with the most force first."""
    if not w.demands.hangers:
        return []
    out = heading("Spring hangers on the rails: fillets on the bracket's outline")
    own = [h for h in w.demands.hangers if not h.why]
    pairs = sorted(zip(own, w.hangers, strict=True), key=lambda p: -p[1].force)
    rows = [[f.about, f"{f.force:.1f}", f.case, f.place, f"{f.throat:.2f}", f"{f.leg:.2f}", f"{f.limit:.2f}",
             "" if f.planned is None else f"{f.planned:.2f}", size_words(f)] for _, f in pairs]  # fmt: skip
    out += table(["hanger", *HEAD[1:]], rows, ALIGN) if rows else []
    for h in (h for h in w.demands.hangers if h.why):
        where = f"{h.hanger.name} on the {h.wall} wall, {h.hanger.side} rail at {h.hanger.station:g} mm"
        out += paragraph(f"{where}: {h.why}; it brings up to {_size(h) / 1000:.2f} kN.", "  ", "- ")  # fmt: skip
    for h, f in pairs:
        out += paragraph(f"{f.about}: bracket {h.hanger.thickness:g} mm on the {h.wall} wall of {h.thickness:.2f} mm, "
                         f"{f.length:.0f} mm of weld; up to {_size(h) / 1000:.2f} kN at {h.at[0]:.0f} mm.", "  ",
                         "- ")  # fmt: skip
        out += [line for b in f.broken for line in paragraph(f"not kept: {b}", "  ", "- ")]
    return out


def _size(h: HangerDemand) -> float:
    """The greatest force that reaches the frame through a bracket, N."""
    return float((h.force[1:] ** 2).sum(axis=1).max() ** 0.5)


def _joint_row(j: JointDemand, f: FilletSize) -> list[str]:
    return [j.part, j.rail.removesuffix(" rail"), f"{f.force:.1f}", f.case, f.place, f"{f.throat:.2f}", f"{f.leg:.2f}",
            f"{f.limit:.2f}", f"{f.length:.0f}", size_words(f)]  # fmt: skip
