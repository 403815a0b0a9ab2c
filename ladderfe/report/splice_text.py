"""Where the rails may be cut and spliced, and what other places cost, as a page."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ladderfe.advice import Splice
from ladderfe.advice.splice_cuts import CutUse
from ladderfe.advice.splice_price import Price
from ladderfe.advice.splice_windows import STAGGER, PlaceUse, RailView, Window
from ladderfe.advice.splice_zones import Zone, merged
from ladderfe.report.cautions import cautions_text
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.readings_text import assumed_lines, count_words
from ladderfe.report.splice_strip import LEGEND, strip_lines
from ladderfe.report.splice_words import (
    CAUTIONS_SPLICE,
    LEFT_OUT,
    PRACTICE,
    cut_words,
    of_limit,
    percent,
    place_remarks,
    price_words,
)
from ladderfe.report.table import heading, paragraph, table, use_share

__all__ = ["price_lines", "splice_text"]


def splice_text(s: Splice, source: str, every_case: bool = False) -> str:
    """The whole page; `source` names the chassis file."""
    out = head_lines(s.findings.chassis, "where the rails may be cut and spliced", source)
    if not s.findings.proven:
        return short_page(out, s.findings.proofs, "windows")
    out += ["", *_short(s)]
    for p in s.prices:
        out += price_lines(s, p)
    out += _strips(s)
    for side in ("left", "right"):
        out += _windows(side, s.of(side), s.cycles.names)
    for view in s.rails:
        out += _zones(view)
    out += _contraflexure(s, every_case)
    out += bullets("What this rests on", (*PRACTICE, *_cycles(s)))
    out += bullets("Not checked", LEFT_OUT)
    return "\n".join([*out, *proof_lines(s.findings.proofs), *cautions_text(CAUTIONS_SPLICE)])


def _short(s: Splice) -> list[str]:
    """The answer first."""
    out = []
    if s.pair is not None:
        left, right = s.pair
        short = [p.side for p in s.pair if not p.roomy]
        room = ("with full room for plates", f"the {short[0]} rail's lacks full room for plates" if short else "",
                "none has full room for plates")[len(short)]  # fmt: skip
        out += paragraph(
            f"Best pair of joints ({room}), staggered by {abs(left.station - right.station):.0f} mm: left rail at "
            f"{left.station:.0f} mm, right rail at {right.station:.0f} mm. As far as their plates reach (2 H each "
            f"side) the rails reach {of_limit(left.around)} and {of_limit(right.around)} in the worst of all "
            f"{len(s.findings.solution.cases) - 1} cases."
        )
        for p in s.pair:
            out += paragraph(f"{p.side} rail: {place_remarks(p)}.", "  ", "- ")
    else:
        out += paragraph(_no_pair(s))
    if s.found is not None:
        out += paragraph(f"The rails are as found. {count_words(s.found)}")
        out += assumed_lines(s.found)
    else:
        out += paragraph("ASSUMED: no wall was read; all walls count as the chassis file has them.")
    starts = {v.side: v.rail.start for v in s.rails}
    datum = "" if not any(starts.values()) else (
        f" The left rail's front end is at {starts['left']:g} mm, the right one's at {starts['right']:g} mm."
    )  # fmt: skip
    return out + paragraph(f"Stations are mm rearward from the front end datum of the chassis file.{datum}")


def _no_pair(s: Splice) -> str:
    none = [side for side in ("left", "right") if not s.of(side)]
    if none:
        return f"No pair of joints: the {' and the '.join(none)} rail has no free window of 20 mm or more."
    return f"No pair of joints: no two places of the windows are {STAGGER:g} H apart along the frame."


def _strips(s: Splice) -> list[str]:
    out = heading("Along the rails")
    best = {side: [w.best.station for w in s.of(side)] for side in ("left", "right")}
    for p in s.pair or ():
        best[p.side].append(p.station)
    for view in s.rails:
        out += [*strip_lines(view, best[view.side]), ""]
    read = "; read: A all walls ASSUMED, a some of them, . all read" if s.found is not None else ""
    return out + paragraph(f"{LEGEND}{read}.")


def _windows(side: str, own: Sequence[Window], cycles: Sequence[str]) -> list[str]:
    out = heading(f"{side.capitalize()} rail: {len(own)} window{'' if len(own) == 1 else 's'}, the best first")
    if not own:
        return out + paragraph("Everywhere something is nearer than a joint should be.")
    words = [name.split(",")[0] for name in cycles]
    head = ["from", "to", "cut", "in reach", "flanges", "webs", "corners", *(f"range, {n}" for n in words), "room"]
    rows = [_window_row(w) for w in own]
    below = [f"{place_remarks(w.best)}; in the middle, at {w.middle.station:.0f} mm: {percent(w.middle.around)}."
             for w in own]  # fmt: skip
    out += table(head, rows, "r" * len(head), below=below)
    return out + paragraph(
        "Cut: the best place of the window, mm. In reach: the greatest utilisation of all cases within 2 H of it; "
        "flanges, webs, corners: at the cut itself. Ranges in N/mm2; room: mm for plates in front and behind."
    )


def _window_row(w: Window) -> list[str]:
    p = w.best
    room = "+".join(f"{v:.0f}" for v in p.room)
    return [f"{w.start:.0f}", f"{w.end:.0f}", f"{p.station:.0f}", percent(p.around), *map(_whole, p.groups),
            *(f"{v:.1f}" for v in p.worst.tolist()), room]  # fmt: skip


def _zones(view: RailView) -> list[str]:
    out = heading(f"{view.side.capitalize()} rail: where no joint should lie, and why")
    rows = []
    for start, end in merged(view.zones):
        own = [z for z in view.zones if start <= z.start and z.end <= end]
        at = max(start, view.rail.start), min(end, view.rail.end)
        rows.append([f"{at[0]:.0f}", f"{at[1]:.0f}", "; ".join(map(_cause, own))])
    return out + table(["from", "to", "what is there, at mm, and its distance"], rows, "rrw")


def _cause(z: Zone) -> str:
    at = f"{z.begins:.0f}" if z.begins == z.ends else f"{z.begins:.0f} to {z.ends:.0f}"
    return f"{z.what} at {at}" + (f" +- {z.off:.0f}" if z.off else "")


def _contraflexure(s: Splice, every: bool) -> list[str]:
    """Stations where the moment changes sign: all cases where asked for, else the static one and those that govern."""
    governing = {p.governing.case for w in s.windows for p in (w.best,)} | {p.place.governing.case for p in s.prices}
    wanted = {c.name for c in s.findings.solution.cases[1:] if every or c.kind == "static" or c.name in governing}
    sides = {side: {c.case: c for c in s.contraflexure if c.side == side} for side in ("left", "right")}
    rows = [
        [name, *(", ".join(f"{x:.0f}" for x in own[name].stations) or "none" for own in sides.values())]
        for name in sides["left"] if name in wanted
    ]  # fmt: skip
    among = len(sides["left"])
    less = "" if len(rows) == among else (
        f"Of {among} cases the static one and those that govern at windows and places (--every-case shows all)."
    )  # fmt: skip
    return [
        *heading("Contraflexure: stations where the moment changes sign, mm"),
        *table(["case", "left rail", "right rail"], rows, "www"),
        *paragraph(
            f"{less} A joint at such a station has little bending in that case alone; in another case the station is "
            "elsewhere, and shear and twist stay."
        ),
    ]


def _cycles(s: Splice) -> tuple[str, ...]:
    named = "; ".join(f"{n} ({100 * c.share:.3g} %)" for n, c in zip(s.cycles.names, s.cycles.cycles, strict=True))
    first = f"Ranges are of the nominal stress along the rail at the point that suffers most. Cycles: {named}."
    return first, *s.cycles.notes


def price_lines(s: Splice, p: Price) -> list[str]:
    """What a joint at one place costs, and the ways to cut there."""
    here = p.place
    out = heading(f"The price of {here.side} {here.station:g} mm")
    for words in price_words(p, s.cycles.names):
        out += paragraph(words)
    if p.broken:
        out += ["", *paragraph(f"What is not kept there, {len(p.broken)}:")]
        for b in p.broken:
            out += paragraph(f"{b}", "  ", "- ")
    else:
        out += paragraph("All distances are kept there, and plates have their room.")
    out += paragraph(_opposite(s, p))
    out += ["", *_cuts(p.cuts)]
    for words in cut_words(p.cuts, p.steel):
        out += paragraph(words)
    return out


def _opposite(s: Splice, p: Price) -> str:
    other = "right" if p.place.side == "left" else "left"
    free = [w for w in s.of(other) if not p.other[0] < w.best.station < p.other[1]]
    goes: PlaceUse | None = free[0].best if free else None
    words = f"The {other} rail's joint should not lie from {p.other[0]:.0f} to {p.other[1]:.0f} mm"
    return words + (f"; its best place beyond that is {goes.station:.0f} mm." if goes else ", as its best places do.")


def _cuts(cuts: Sequence[CutUse]) -> list[str]:
    head = ["cut", "+- mm", "weld", "across", "along", "combined", "in", "all through", "one side", "damage in"]
    rows = [
        [u.cut.name, f"{(u.end - u.start) / 2:.0f}", f"{u.length:.0f}", f"{abs(u.across):.1f}", f"{abs(u.along):.1f}",
         f"{u.equivalent:.1f}", u.wall, _whole(u.full), "none" if math.isinf(u.one_side) else _whole(u.one_side),
         "-" if math.isnan(u.damage) else f"{u.damage:.2f} {u.damage_wall}"]
        for u in cuts
    ]  # fmt: skip
    return table(head, rows, "lrrrrrlrrl")


def _whole(ratio: float) -> str:
    """In columns where a word for what is over would not fit."""
    return use_share(ratio, 0)
