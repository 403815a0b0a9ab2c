"""Thin walls as a block of the page: told only where a wall is slender, or a seat governs or cannot be looked at."""

from __future__ import annotations

from ladderfe.checks import Findings
from ladderfe.checks.buckling import Buckling
from ladderfe.checks.wall_losses import EffectiveUse, ThinWall
from ladderfe.checks.web_forces import SeatUse, ShearUse
from ladderfe.report.table import FAR, heading, paragraph, table, use_share

__all__ = ["buckling_text"]

#: At most so many slender walls are listed.
MOST = 8
#: Slender walls are told in a sentence where they bear less than this part of the governing utilisation, and more than
#: this part of their width is effective.
ASIDE, MOSTLY = 0.5, 0.75
#: A wall of which more than this is effective loses a little.
NEARLY = 0.9
#: Names of walls that need no "wall" behind them.
NOUNS = ("web", "flange", "plate", "lip", "wall")
RULES = {
    "patch": "EN 1993-1-5 section 6, from memory",
    "crippling": "EN 1993-1-3 6.1.7, from memory",
}


def buckling_text(findings: Findings) -> list[str]:
    """Lines of the block; none where all walls are stocky, no seat governs and all could be looked at."""
    b, governing = findings.buckling, findings.utilisations[0].ratio
    seat = next((u for u in b.seats[:1] if u.together > min(governing, 1)), None)
    if not (b.slender or b.tubes or b.webless or seat):
        return []
    out = heading("Thin walls: local buckling")
    if b.effective:
        aside = b.ratio <= 1 and b.ratio < ASIDE * governing and b.kept[0][2] > MOSTLY
        out += paragraph(_in_short(b)) if aside else [*paragraph(_effective(b.effective[0])), *_walls(b)]
    out += [line for u in b.shear[:1] for line in paragraph(_shear(b, u))]
    out += [line for u in (seat,) if u for line in paragraph(_seat(b, u))]
    if b.webless:
        places = "; ".join(f"{seat} ({part} at {along:.0f} mm)" for seat, part, along in b.webless)
        out += paragraph(
            f"NOT CHECKED: force at {places}: the rail has no upright web on a bottom flange there, and what the seat "
            "bears on is not known. Next: look what it bears on; where a wall is gone, put it back first."
        )
    for part, ratio, limit in b.tubes:
        out += paragraph(
            f"WARNING: tube {part} is {ratio:.0f} times as wide as thick, more than {limit:.0f}: it may buckle before "
            "it yields, which is not checked. Next: measure its wall, or take a thicker one."
        )
    return out


def _place(kind: str, along: float) -> str:
    return f"{along:.0f} mm" if kind == "rail" else f"y {along:+.0f} mm"


def _over(ratio: float) -> str:
    return use_share(ratio) + (", OVER" if ratio > 1 else "")


def _wall_of(b: Buckling, wall: str, part: str) -> str:
    """Words for a wall, such as "the inner wall of the left rail" or "the web of crossmember second"."""
    called = next((p.called for p in b.looked_at[0].mesh.parts if p.name == part), part)
    plain = wall if wall.endswith(NOUNS) else f"{wall} wall"
    return f"the {plain} of {'the ' if called.endswith(' rail') else ''}{called}"


def _effective(u: EffectiveUse) -> str:
    words = (
        f"Where thin walls lose width the greatest stress on what is left of them is {abs(u.stress):.1f} of "
        f"{u.limit:.0f} N/mm2, {_over(u.ratio)} (whole walls: {u.gross:.1f}): {u.part} at {_place(u.kind, u.along)}, "
        f"{u.point}, {u.case}; {100 * u.area:.1f} % of the section's area is effective there."
    )
    if u.ratio > 1:
        words += " Next: measure the walls there, plate or replace the thin one, or carry less."
    return words


def _in_short(b: Buckling) -> str:
    """Slender walls that are far from governing, in a sentence."""
    u, (part, wall, least) = b.effective[0], b.kept[0]
    walls = f"{len(b.kept)} walls lose" if len(b.kept) > 1 else "One wall loses"
    some = "a little" if least > NEARLY else "some"
    onset = next(w.onset for w in b.walls if (w.part, w.wall) == (part, wall))
    return (
        f"{walls} {some} of the width where pressed most, {_wall_of(b, wall, part)} most: {100 * least:.0f} % of that "
        f"wall is effective, all of it from {onset:.2f} mm thickness on. Other places govern: the greatest stress on "
        f"what is left here is {use_share(u.ratio)} of its limit ({u.part}, {u.case})."
    )


def _walls(b: Buckling) -> list[str]:
    """The walls that lose width: how much, and from which thickness on they would not."""
    kept = {(part, wall): least for part, wall, least in b.kept}
    slender = [w for w in b.walls if w.onset > w.thickness]
    out = ["", *table(["part", "wall", "kind", "mm wide", "mm thick", "whole from mm", "effective"],
                      [_row(w, kept.get((w.part, w.wall), w.kept)) for w in slender[:MOST]], "lllrrrr")]  # fmt: skip
    if len(slender) > MOST:
        out += paragraph(f"And {len(slender) - MOST} more: see the table of thin walls.")
    out += paragraph(
        "Whole from: the thickness at which nothing of the wall is lost in its worst case, the other walls and the "
        "forces unchanged. Effective: the least of its width in any case. Stiffness counts whole walls."
    )
    for part, wall, least in b.below_half:
        out += paragraph(
            f"WARNING: less than half of {_wall_of(b, wall, part)} is effective ({100 * least:.0f} %). Next: "
            "measure it again, then plate or replace it; numbers for such a wall are rough."
        )
    return out


def _row(w: ThinWall, least: float) -> list[str]:
    return [w.part, w.wall, w.held, f"{w.width:.0f}", f"{w.thickness:.2f}", f"{w.onset:.2f}", f"{100 * least:.0f} %"]


def _shear(b: Buckling, u: ShearUse) -> str:
    words = (
        f"Slender in shear ({u.height / u.thickness:.0f} times as high as thick): {_wall_of(b, u.wall, u.part)} at "
        f"{_place(u.kind, u.along)} carries {u.stress:.1f} of {u.limit:.1f} N/mm2, {_over(u.ratio)} ({u.case})"
    )
    if u.together > 1 or u.ratio > 0.5:
        words += f"; with bending {_over(u.together)}"
    return words + "." + (" Next: thicken the web or stiffen it across." if u.together > 1 else "")


def _seat(b: Buckling, u: SeatUse) -> str:
    """The seat that asks most; what it bears on is assumed."""
    words = (
        f"Force on a web: {u.seat} pushes {u.force / 1000:.2f} kN up in {u.case}, {u.share * u.force / 1000:.2f} kN of "
        f"these into {_wall_of(b, u.wall, u.part)}, whose limit is {u.limit / 1000:.2f} kN: {_over(u.ratio)}"
    )
    words += f"; with bending {_over(u.together)}. ASSUMED: it bears on the bottom flange along {u.bearing:.0f} mm"
    return f"{words}; {RULES[u.rule]}. {_seat_next(u) if u.together > 1 else 'Next: look what it bears on.'}"


def _seat_next(u: SeatUse) -> str:
    """Which of force and bending asks more at a seat over its limit, and what helps against that one."""
    force, bending = u.shares
    spread = "spread the force by a plate or a bracket on the web"
    if not bending:
        return f"The force alone governs. Next: {spread}."
    told = f" ({100 * force:.1f} % of these by the force, {100 * bending:.1f} % by bending)"
    told = "" if u.together > FAR else told
    if force >= bending:
        return f"The force governs{told}. Next: {spread}."
    least = "alone is over: spreading the force does not suffice" if bending > 1 else "governs"
    return f"Bending {least}{told}. Next: take a stronger section there or carry less" + (
        "." if bending > 1 else f", or {spread}."
    )
