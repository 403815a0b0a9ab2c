"""A repair plan as a page for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.repair_fatigue import RepairFatigue
from ladderfe.advice.splice import Splice
from ladderfe.checks.equal_section import Proposal
from ladderfe.checks.repair import RepairFindings
from ladderfe.checks.repair_rules import RUSTED, Answer
from ladderfe.checks.repair_uses import PlaceUse
from ladderfe.checks.repair_welds import metres_by_kind
from ladderfe.checks.utilisation import Utilisation
from ladderfe.condition.rails import SAME
from ladderfe.report.cautions import NO_WELDS, READ, RUST, cautions_text, not_checked
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.page import bullets, short_page
from ladderfe.report.readings_text import readings_text
from ladderfe.report.repair_fatigue import fatigue_lines
from ladderfe.report.repair_words import (
    REPAIR_CAUTIONS,
    long_lists,
    need_words,
    next_words,
    summary_words,
)
from ladderfe.report.splice_text import price_lines
from ladderfe.report.table import heading, paragraph, table
from ladderfe.sections.stock import STOCK_STATUS, stock_name

__all__ = ["repair_lines", "repair_text"]

CASES, PLACES, PARTS = 8, 12, 8


def repair_text(
    f: RepairFindings, source: str, every: bool = False, splices: Splice | None = None,
    fatigue: RepairFatigue | None = None,
) -> str:  # fmt: skip
    """The whole page; `every` shows all rows and all answers; splices: prices of the plan's joints of whole rails."""
    plan = f.states.plan
    head = [
        *paragraph(f"{plan.title or f.repaired.chassis.title}: repair plan"),
        *paragraph(f"{source} on {plan.base}"),
    ]
    for findings in (f.built, f.found, f.repaired):
        if not findings.proven:
            return short_page(head, findings.proofs, "findings of the plan")
    out = [*head, *repair_lines(f, every, splices, fatigue)]
    out += readings_text(f.states.found) if f.states.readings is not None else []
    out += [*bullets("What next", next_words(f)), *bullets("Not checked", [*NOT_CHECKED, *_left_out(f)])]
    return "\n".join([*out, *cautions_text(REPAIR_CAUTIONS)])


def repair_lines(
    f: RepairFindings, every: bool = False, splices: Splice | None = None, fatigue: RepairFatigue | None = None
) -> list[str]:
    """What is found of a plan, without the page's head, what was read, and the cautions."""
    out = bullets("In short", summary_words(f))
    out += _uses(
        "Greatest utilisation of each case, worst as repaired first", f.cases, long_lists(every, CASES), "case"
    )
    out += _uses("Each part, all cases", f.parts, long_lists(every, PARTS), "part")
    out += _uses("Along the rails, worst as repaired first", f.stretches, long_lists(every, PLACES), "where")
    out += _worse(f, every)
    out += [*_staged(f), *_steps(f), *_welds(f), *_rules(f, every)]
    out += bullets("Rust and welding", f.remarks) if f.remarks else []
    out += _needs(f)
    out += _proposals(f.proposals)
    out += fatigue_lines(fatigue, every) if fatigue is not None else []
    return out + _splices(splices)


NOT_CHECKED = (
    "Tapered ends count as up to four steps, each as wide as the plate is in its middle; ends of boxing plates and "
    "sleeves count where they are whole. A plate brings its force in right at its end: over a length of about its "
    "width from there it does less than is told.",
    "The welds themselves, heat, shrinkage and what is left of it in the metal; joints of crossmembers at plates on "
    "the rail are estimated from the walls that meet.",
)
NARROW = (
    "A plate narrower than its web counts in racking with its area spread over the whole web: sideways stress beside a "
    "cheek plate on one web comes out too large (in one comparison with solid elements 14 % of the bending stress, "
    "where solids gave 5 %)."
)


def _left_out(f: RepairFindings) -> list[str]:
    """What the check of the repaired frame leaves out."""
    rust = READ if f.states.readings is not None else RUST
    other = {RUST: rust, NO_WELDS: "Bolts, crash behaviour; fatigue but as ratios on the rails."}
    narrow = [NARROW] if any(p.kind in ("cheek", "boxing") for p in f.states.plan.plates) else []
    return [*narrow, *(other.get(words, words) for words in not_checked(f.repaired))]


def _percent(u: Utilisation | None) -> str:
    return "none" if u is None else percent(u.ratio)


def _uses(title: str, uses: Sequence[PlaceUse], most: int | None, what: str) -> list[str]:
    shown = uses if most is None else uses[:most]
    rows = []
    for u in shown:
        r = u.repaired
        place = "" if r is None else f"{r.part} {place_words(r)}, {r.wall}"
        note = u.what if what == "where" else place
        rows.append([u.name, _percent(u.built), _percent(u.found), _percent(r), note, "" if what == "case" or r is None
                     else r.case])  # fmt: skip
    head = [what, "as built", "as found", "as repaired", "what is there" if what == "where" else "where", "case"]
    if what == "case":
        head, rows = head[:-1], [r[:-1] for r in rows]
    out = [*heading(title), *table(head, rows, "lrrrw" + "w" * (len(head) - 5))]
    left = len(uses) - len(shown)
    return out + ([f"{left} more: --every-case or --json."] if left else [])


def _worse(f: RepairFindings, every: bool) -> list[str]:
    if not f.worse:
        return [*heading("Where it got worse"), "Nowhere by more than 1 % of the limit."]
    most = long_lists(every, PARTS)
    out = _uses("Where it got worse than as found: load moves", f.worse[:most], None, "where")
    return out + paragraph("New metal draws load: what is beside it, or under it, may have to carry more than before.")


def _staged(f: RepairFindings) -> list[str]:
    s = f.staged
    if not s.pieces:
        return []
    unloaded = "welded unloaded, as the plan states" if f.states.plan.support_given else (
        "assumed unloaded, as the plan states nothing"
    )  # fmt: skip
    stated = f"welded as it stands ({s.support})" if s.support else unloaded
    if not s.support:
        rows = [[p.piece, *map(_percent, (p.found, p.old_unloaded, p.new_unloaded))] for p in s.pieces]
        head = ["piece", "as found", "old metal", "new metal"]
        out = [*heading(f"Old and new metal, {stated}"), *table(head, rows, "wrrr")]
        return out + paragraph("State [repair] support, the name of a case, to see what metal that was loaded keeps.")
    rows = [[p.piece, *map(_percent, (p.found, p.old_stated, p.new_stated, p.old_unloaded, p.new_unloaded))]
            for p in s.pieces]  # fmt: skip
    head = ["piece", "as found", "old, standing", "new, standing", "old, unloaded", "new, unloaded"]
    out = [*heading(f"Old and new metal, {stated}, and unloaded"), *table(head, rows, "wrrrrr")]
    if s.why:
        words = f"Standing: not known, for {s.why}; the plan changes parts of the frame."
        return out + paragraph(f"{words} Unloaded, all metal carries all.")
    words = (
        f'Metal that was loaded when the plate came on keeps that stress, so that only what comes after "{s.support}" '
        "is shared; unloaded, all is. What a workshop does, which takes off part of the load, lies between the two "
        "case by case."
    )
    if f.states.parts_changed:
        words += " Parts that the plan takes out count as gone before that, so that the rest carried what they did."
    if s.bare is not None:
        words += " The walls that pieces are let in for count as cut out before that, all of them at once"
        words += f"; until these are welded in, the frame is at {percent(s.bare.ratio)} so ({s.bare.part} at "
        words += f"{place_words(s.bare)}, {s.bare.wall})."
    given = "" if f.states.plan.support_given else " The case is ASSUMED: state [repair] support."
    return out + paragraph(words + given)


def _steps(f: RepairFindings) -> list[str]:
    if not f.steps:
        return []
    rows = [[s.piece, f"{s.station:g}", f"{s.EI:.3g}", f"{s.GJ:.3g}"] for s in f.steps]
    out = [*heading("Steps of stiffness at the ends"), *table(["piece", "at mm", "EI", "GJ"], rows, "wrrr")]
    return out + paragraph("EI (vertical) and GJ of the rail where the piece is whole, over those beyond its end.")


def _welds(f: RepairFindings) -> list[str]:
    kinds = {k: v for k, v in metres_by_kind(f.welds).items() if v}
    a, b, c = (1000 * m for m in f.mass)
    words = f"Frame {a:.1f} kg as built, {b:.1f} as found, {c:.1f} as repaired: {c - b:+.1f} kg by the plan."
    out = [*heading("Weld and mass"), *paragraph(words)]
    if kinds:
        told = ", ".join(f"{v:.2f} m {k}" for k, v in kinds.items())
        out += paragraph(f"Weld: {sum(kinds.values()):.2f} m, of it {told}.")
    rows = [[r.piece, r.kind, f"{r.length / 1000:.2f}"] for r in f.welds] + _uncounted(f)
    return [*out, "", *table(["piece", "weld", "m"], rows, "wlr")] if rows else out


def _uncounted(f: RepairFindings) -> list[list[str]]:
    """Rows of pieces that have no metres of their own, with why."""
    plan, known = f.states.plan, {r.piece for r in f.welds}
    rows = []
    for i in (i for i in plan.inserts if i.name not in known):
        met = any(s.side == i.side and min(abs(s.station - x) for x in (i.start, i.end)) <= SAME for s in plan.splices)
        rows.append([i.name, "butt", "0, at the splice" if met else "0, at the rail's ends"])
    bare = [p for p in plan.plates if p.kind == "sleeve" and p.thickness and p.name not in known]
    return rows + [[p.name, "slot", "0, no slot fits beside the joint"] for p in bare]


def _rules(f: RepairFindings, every: bool) -> list[str]:
    if not f.answers:
        return []
    title = f"Rules of the trade: {len(f.broken)} of {len(f.answers)} not kept"
    out = bullets(title, _both(f.broken)) if f.broken else [*heading(title), "All are kept."]
    kept = [a for a in f.answers if a.kept]
    if every and kept:
        return out + bullets("Rules that are kept", _both(kept))
    return out + (paragraph(f"Kept: {len(kept)}; they are shown with --every-case.") if kept else [])


def _both(answers: Sequence[Answer]) -> list[str]:
    """Sentences; what both rails answer alike is told once."""
    found = [str(a) for a in answers]
    out: list[str] = []
    for words in found:
        twin = words.replace("left rail", "right rail")
        if twin != words and twin in found:
            out.append(words.replace("left rail", "left and right rail"))
        elif words.replace("right rail", "left rail") not in found or "right rail" not in words:
            out.append(words)
    return out


def _needs(f: RepairFindings) -> list[str]:
    if not f.needs:
        return []
    out = bullets("What rusted walls need, by the section alone", map(need_words, f.needs))
    return out + paragraph(
        "Walls with less than 80 % left by the mean of a place, as far as it speaks (`ladderfe check` tells what is "
        "left by the smallest reading); a lapped plate as wide as the flat that brings I and Z back to those as built. "
        "It is told for its size alone, beside the piece: laid over walls as they are it does not keep to the rule of "
        f"the trade that {RUSTED:g} be left under a plate, for plating over rust festers. Cut out and let in; check "
        "that as a plan."
    )


def _proposals(found: Sequence[Proposal]) -> list[str]:
    if not found:
        return []
    rows = [[p.member, stock_name(p.shape), f"{p.I:.2f}", f"{p.J:.2f}", f"{p.mass:.2f}"] for p in found]
    out = [*heading("Sizes about as stiff as the crossmembers taken out"),
           *table(["instead of", "size mm", "I", "J", "mass"], rows, "llrrr")]  # fmt: skip
    return out + paragraph(f"Over those as built: I in vertical bending, J in torsion ({STOCK_STATUS}). Its joints "
                           "count as much: weld it to both webs, or wrap it.")  # fmt: skip


def _splices(s: Splice | None) -> list[str]:
    return [] if s is None else [line for p in s.prices for line in price_lines(s, p)]
