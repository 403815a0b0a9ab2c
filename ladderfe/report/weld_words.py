"""Sentences of the page on welds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite, isinf, sqrt

from ladderfe.advice.weld_sizes import FULL, PERMITTED, RUN, ButtSize, FilletSize, WeldSizes
from ladderfe.connections import permissible_stress, stitch_warnings
from ladderfe.connections.fillets import GAMMA_M2
from ladderfe.connections.inputs import COMMON, MEMORY
from ladderfe.connections.weld_details import OPEN_ROOT_LOSS, SCOPE, THROAT
from ladderfe.report.cautions import USUAL
from ladderfe.report.weld_slots_words import slots_summary

__all__ = [
    "GUSSETED", "LEFT_OUT", "NO_ROOM", "WELD_CAUTIONS", "butt_words", "seam_words", "size_words", "strength_words",
    "summary",
]  # fmt: skip

LEG = sqrt(2)  # over the throat
#: What belongs to welds beside the usual cautions (common practice).
WELD_CAUTIONS = (
    "These are forces under the stated loads and wall thicknesses, and throats for sound welds. The quality of a weld "
    "is not seen here: lack of fusion, undercut, pores and a cold start carry less than any number on this page. They "
    "are no inspection, no certificate and no opinion on whether a vehicle may be used on a road.",
    *USUAL,
    "Heat: weld in short lengths from side to side and let it cool, keep off the corners of cold-formed sections, and "
    "ask what the maker allows on high-strength or heat-treated rails. Shrinkage pulls a rail out of line.",
    "Brake and fuel lines, looms, bushes and dampers near the weld: out of the way or shielded; the earth clamp on the "
    "piece that is welded, near the weld.",
    "Structural welding on a vehicle is licensed or certified work in many countries: ask before you begin.",
)
#: What helps where a joint's weld has no room (common practice, no source).
NO_ROOM = (
    "Where the leg does not fit no fillet on that wall carries the case: a plate on the wall round the joint, gussets, "
    f"or the part led through and welded to both walls share the force [{COMMON}]; state it as the joint and run again."
)
GUSSETED = (
    "How stiff gussets make a joint is not in the data: half of each leg counts as part of the crossmember's outline, "
    "between none and all of it. On the web they share one weld with the outline; on the crossmember each plate is a "
    "free body with a force that runs evenly along its leg: statics alone, no source."
)
#: Beside what throat the force alone asks for on walls below the standard's thickness.
THIN = (
    f"Throats told are those for the force alone. Walls below {SCOPE.limit:g} mm are under the range of EN 1993-1-8, "
    f"whose least throat of {THROAT.limit:g} mm [{MEMORY}] a leg as thick as such a wall cannot reach: practice fills "
    f"that leg, a throat of {FULL:g} of the thinner wall, however small the force [{COMMON}]."
)
LEFT_OUT = (
    "Fatigue of the weld's toe and root; most welds on frames crack by it and not by their throat. `ladderfe splice` "
    "has ranges of stress.",
    "A plate brings its force in right at a square end, all of it in the weld across where there is one, and with it "
    "the couple of a plate whose edges are not stressed alike, which loads the corners of that weld most; a jump of "
    "its force at a crossmember or a step of the section is spread over one rail depth; over tapered ends the force "
    "goes on as it grows where the plate is whole.",
    "Of joints: contact, gussets that the file tells under joint alone, the far web where a part goes through, welds "
    "to the flanges of a wrapped rail, the "
    "bimoment of open parts, and the bending of the rail's wall beside the weld, which gathers the force at the "
    "corners. Joints count all of every case, new ones too.",
    "Welds in compression, which a gap would close, count as those in tension. Plates inside a section whose "
    "edges no torch reaches; slots of sleeves when the walls are pulled apart.",
)


def strength_words(w: WeldSizes) -> list[str]:
    """What the sizes rest on, each with its status."""
    if w.method == "permissible":
        p = permissible_stress(PERMITTED)
        first = (f"Throat = size of the line force over a permissible stress of {p.stress:g} N/mm2 on the throat, "
                 f"{p.name} [{p.source}; {p.status}].")  # fmt: skip
    else:
        way = ("simplified method, 4.5.3.3: the same strength in every direction" if w.method == "simplified" else
               "directional method, 4.5.3.2: across counts less than along, the worse of both senses")  # fmt: skip
        first = (f"EN 1993-1-8, {way}; {w.steel.name}, fu {w.steel.fu:g} N/mm2, beta_w {w.steel.beta_w:g}, gamma_M2 "
                 f"{GAMMA_M2:g}: {w.strength:.1f} N/mm2 on the throat along the weld [{MEMORY}].")  # fmt: skip
    return [
        first,
        f"Leg = 1.41 throats, at most the thinner plate, walls as strength is judged, at their thinnest [{COMMON}]; "
        "where the plan states no throat 0.7 of the thinner plate is taken.",
        f"Below 4 mm the walls are outside of the scope of EN 1993-1-8 (4.1), and its least throat of 3 mm cannot be "
        f"kept on a wall of less than 4.3 mm; its formulas are carried on to them here [{MEMORY}].",
        f"Butt welds: all through, as strong as the weaker plate (4.7.1); from one side on an open root that nobody "
        f"saw {OPEN_ROOT_LOSS:g} mm less than the wall (after 4.7.3) [{MEMORY}].",
        "No partial factors on loads: the cases are as the chassis file has them.",
    ]


def size_words(f: FilletSize) -> str:
    """Whether the leg has its room, in a few words; "WALL first": it fits, and the wall beside it yields before."""
    if f.kind == "end" and not f.length:
        return "no weld"
    if not f.fits:
        return "NO ROOM"
    if not f.enough:
        return "plan SMALL"
    if f.larger:
        return "plan LARGE"
    return "WALL first" if f.force > f.wall else "fits"


def summary(w: WeldSizes) -> list[str]:
    """In short."""
    out = []
    edges = [f for f in w.plates if f.kind == "edge"]
    for name, own in (("Seams along plates", edges), ("Welds across the ends of plates", _kind(w, "end")),
                      ("Joints of crossmembers and outriggers", list(w.joints)),
                      ("Gussets", list(w.gussets)), ("Spring hangers", list(w.hangers))):  # fmt: skip
        own = [f for f in own if f.length]
        if own:
            f = max(own, key=lambda f: f.throat)
            out.append(
                f"{name}: most is {f.force:.1f} N/mm ({f.about}, {f.weld}, {f.case}); throat {f.throat:.2f} mm, "
                f"leg {f.leg:.2f} mm, of {f.limit:g} mm that the thinner wall allows: {size_words(f)}."
            )
    out += slots_summary(w.slots)
    if any(f.limit < SCOPE.limit and f.length for f in (*w.plates, *w.joints, *w.gussets, *w.hangers)):
        out.append(THIN)
    if w.butts:
        b = max(w.butts, key=lambda b: b.full)
        out.append(f"Butt welds: most is {100 * b.full:.0f} % of a weld all through ({b.piece}, {b.where}, {b.wall}, "
                   f"{b.case}).")  # fmt: skip
    runs = w.demands.runs
    if runs:
        out.append(f"Weld of the plan: {sum(r.length for r in runs) / 1000:.2f} m.")
    if open_ := dict.fromkeys((b.piece, b.where) for b in w.butts if b.use > 1):
        out.append(f"Butt welds that do not carry their force as the plan has them made: {len(open_)}.")
    small = [f for f in (*w.plates, *w.joints, *w.hangers, *w.gussets) if f.length and f.wrong]
    if few := [s for s in w.slots if not s.enough]:
        out.append(f"Walls of sleeves whose slots on a side of the joint do not hold what they must: {len(few)}.")
    if bare := [h.hanger.name for h in w.demands.hangers if h.why]:
        out.append(f"Spring hangers on a wall that a hole took away, with no weld to reckon: {', '.join(bare)}.")
    if large := [f for f in (*w.plates, *w.joints, *w.hangers, *w.gussets) if f.length and f.larger]:
        f = max(large, key=lambda f: (f.planned or 0.0) / f.limit)
        out.append(f"Legs planned larger than the thinner wall's edge takes: {len(large)}, as {f.about}, {f.weld}: "
                   f"{LEG * (f.planned or 0.0):.2f} mm of {f.limit:g} mm. No more than a throat of {f.made:.2f} mm "
                   f"counts there; a larger leg melts the edge away [{COMMON}].")  # fmt: skip
    told = f"Fillets that have not the room or the throat they ask for or are planned with: {len(small)}."
    out.append(told if small else "By force alone every fillet has the room it asks for.")
    return out


def _kind(w: WeldSizes, kind: str) -> list[FilletSize]:
    return [f for f in w.plates if f.kind == kind]


def seam_words(w: WeldSizes) -> Iterator[str]:
    """Seam or stitch, with numbers; nothing where there is no plate."""
    edges = [f for f in w.plates if f.kind == "edge"]
    if not edges:
        return
    f = max(edges, key=lambda f: f.continuous)
    if isfinite(f.pitch) and f.pitch >= RUN:
        full = f"{100 * f.continuous:.0f} % of a throat of {f.made:.2f} mm where continuous"
        yield (f"By force alone runs of {RUN:g} mm every {f.pitch:.0f} mm or less would carry the most loaded edge "
               f"({f.about}, {f.weld}: {full}).")  # fmt: skip
    elif isfinite(f.pitch):
        yield f"A stitched weld does not carry the most loaded edge ({f.about}, {f.weld}): {100 * f.continuous:.0f} %."
    for f in (f for f in edges if f.lap < 1):
        yield (f"{f.about}, {f.weld}: with no weld across its end the force comes in over a lap longer than 150 "
               f"throats, of whose strength {100 * f.lap:.0f} % count; its force here is over that (EN 1993-1-8 4.11, "
               "value from memory).")  # fmt: skip
    yield ("Weld all round, continuous, where the frame is inspected as structure and wherever water and salt reach "
           f"[{COMMON}]. Against stitches:")  # fmt: skip
    yield from stitch_warnings()


def butt_words(own: Sequence[ButtSize]) -> str:
    """What one butt weld deserves, from all its groups of walls."""
    worst = max(own, key=lambda b: b.full)
    need = max(b.needed for b in own)
    words = f"{worst.piece}, {worst.where}: {need:.2f} mm must be fused through for the force alone"
    if worst.full > 1:
        return f"{words}; MORE than the wall has: a butt weld alone does not carry it, plate the joint or move it."
    one = max(b.one_side for b in own)
    if isinf(one):
        why = f"from one side, root unseen, nothing of its thin walls ({min(b.thickness for b in own):g} mm) counts"
    else:
        why = f"from one side, root unseen, it works at {100 * one:.0f} %"
    if one <= 1:
        return f"{words}; {why}, which the force allows; full penetration still bears changing loads better."
    kept = " The plan has that." if worst.made != "one side" else " The plan has ONE SIDE."
    return f"{words}; {why}: it deserves full penetration (backing strip, root run or both sides).{kept}"
