"""Bolts and rivets of joints as a page for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from math import isinf

from ladderfe.advice.bolt_uses import BoltUse, BoltUses
from ladderfe.checks import Findings
from ladderfe.condition import Found
from ladderfe.connections import WeldSteel
from ladderfe.report.bolt_words import BOLT_CAUTIONS, LEFT_OUT, place_words, sources, summary
from ladderfe.report.cautions import cautions_text
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.readings_text import readings_text
from ladderfe.report.table import heading, paragraph, table, use_share

__all__ = ["bolt_text"]

NONE = "The file describes no bolts or rivets: add a [[bolts]] with the name of the part that they hold."


def bolt_text(
    f: Findings, groups: Sequence[BoltUses], steel: WeldSteel, source: str, found: Found | None = None
) -> str:
    """The whole page; `source` names the file, found: what was read."""
    head = head_lines(f.chassis, "what its bolts and rivets carry", source)
    if not f.proven:
        return short_page(head, f.proofs, "forces in bolts")
    if not groups:
        return "\n".join([*head, "", *paragraph(NONE)])
    out = [*head, *bullets("In short", summary(groups))]
    for g in sorted(groups, key=lambda g: -g.use):
        out += _group(g)
    out += readings_text(found) if found is not None else []
    out += [*bullets("What this rests on", sources(steel)), *bullets("Not checked", LEFT_OUT)]
    return "\n".join([*out, *proof_lines(f.proofs), *cautions_text(BOLT_CAUTIONS)])


def _group(g: BoltUses) -> list[str]:
    d, p = g.demand, g.demand.pattern
    planes = f", {p.planes} shear planes" if p.planes > 1 else ""
    words = (f"{len(p.places)} x {g.fastener.name} in holes of {p.hole:g} mm{planes}: {d.part} on the {d.rail}, "
             f"{d.wall} wall, {d.thickness:.2f} mm at its thinnest there.")  # fmt: skip
    out = [*heading(p.name), *paragraph(words)]
    if d.why:
        out += paragraph(f"Forces are NOT known: {d.why}. Give places that are not all on one line with the moment, or "
                         "count on the bracket's contact, which is not reckoned here.", "  ", "- ")  # fmt: skip
    else:
        out += table(["what", "use", "force kN", "of kN", "case", "where"], [_row(u) for u in g.uses], "lrrrll")
        out += [line for u in g.uses if u.shares for line in paragraph(_shares(u, u.shares))]
        s, t = g.shear, g.pull
        out += paragraph(f"Most shear in one {s.force / 1000:.2f} kN ({place_words(s.place)}, {s.case}), most pull "
                         f"{t.force / 1000:.2f} kN ({place_words(t.place)}, {t.case}).")  # fmt: skip
    return out + [line for b in g.broken for line in paragraph(f"not kept: {b}", "  ", "- ")]


def _shares(u: BoltUse, shares: tuple[float, float]) -> str:
    """What shear and pull each take of a fastener where they ask for most together."""
    return (
        f"The fastener's {use_share(u.use)} are of shear {100 * shares[0]:.1f} % and of pull {100 * shares[1]:.1f} %: "
        "shear and pull over 1.4 are added, and no less than pull alone counts."
    )


def _row(u: BoltUse) -> list[str]:
    if isinf(u.resistance):
        return [u.what, "-", "", "no edge near", "", ""]
    over, limit = " OVER" if u.use > 1 else "", f"{u.resistance / 1000:.2f}"
    return [u.what, f"{use_share(u.use)}{over}", f"{u.force / 1000:.2f}", limit, u.case, place_words(u.place)]
