"""Words of splices, for the page and the data."""

from __future__ import annotations

from ladderfe.advice.fatigue_ratio import PITTED_BELOW, SUSPECT_REACH
from ladderfe.advice.splice_cuts import CutUse
from ladderfe.advice.splice_price import CODE, Price
from ladderfe.advice.splice_windows import PLATE, STAGGER, PlaceUse
from ladderfe.advice.splice_zones import BEND, KEEP_OFF
from ladderfe.connections.fatigue import BAND_ON_STRESS
from ladderfe.report.cautions import NO_INSPECTION, USUAL
from ladderfe.report.table import number, two_figures, use_share

__all__ = [
    "CAUTIONS_SPLICE", "LEFT_OUT", "PRACTICE", "cut_words", "damage_words", "of_limit", "percent", "place_remarks",
    "price_words",
]  # fmt: skip

#: What zones and windows rest on, each with its status.
PRACTICE = (
    f"Joints keep one rail depth H or {KEEP_OFF:g} mm, whichever is more, off hangers, mounts, crossmembers, "
    f"outriggers, bends of {BEND:g} degrees or more, steps of the section, plates inside the rail and its ends (common "
    "practice, no source; the least bend is own judgement). Crossmembers and outriggers count as wide as they are, "
    "with the plates of their joints. Welds that the chassis file does not know ask for the same distance: look for "
    "them.",
    f"Off holes with their rims and places that ring dull joints keep {SUSPECT_REACH:g} mm (own judgement, no source).",
    "Within 30 cm of mountings of brakes, steering, suspension or seat belts, damage and welds count for more in the "
    "inspections of several countries: check the local code. Such places are marked, not forbidden; every mount "
    "counts, since the file does not say what hangs on it.",
    "Windows rank by the greatest utilisation of all cases within 2 H of their best place, which is the one with the "
    "least among those with full room for plates, or among all where none has it. The best pair is looked for among "
    "places with full room first. Sections are looked at every 10 mm and wherever a moment or stress turns.",
    f"The two rails' joints are staggered by {STAGGER:g} H at least (common practice, no source).",
    f"Plates past the joint need {PLATE:g} H on each side ({CODE}; value from memory, text not seen): the room that "
    "there is stands with each place.",
)
LEFT_OUT = (
    "The heat-affected zone of welds: not modelled. Mild steel as welded is commonly credited with its full strength; "
    "rails of heat-treated or high-strength steel lose strength beside a weld, and how much is not known here (common "
    "knowledge of the trade, no source).",
    "The plates themselves, their ends and welds, and how a joint is braced, fitted and welded.",
    "A butt weld all through the wall, from both sides or on a backing strip, is as strong as the wall (EN 1993-1-8 "
    "4.7.1, from memory, text not seen), whatever its angle: a full-strength square joint loses nothing. Its notch "
    "counts in fatigue alone.",
    "Stress at weld toes, holes and brackets; forces of bodies, beds and brackets that the chassis file does not know.",
)
CAUTIONS_SPLICE = (
    "These are places where the frame works least under the stated loads. They do not say that a rail may be cut at "
    "all: in some countries a spliced rail needs an engineer's approval, and some makers forbid it. " + NO_INSPECTION,
    *USUAL,
)


def percent(ratio: float) -> str:
    """As a share of the limit, with the mark of what is over it."""
    return use_share(ratio) + (" OVER" if ratio > 1 else "")


def of_limit(ratio: float) -> str:
    """In a sentence."""
    return f"{percent(ratio).removesuffix(' OVER')} of a limit{' (OVER)' if ratio > 1 else ''}"


def place_remarks(p: PlaceUse) -> str:
    """What governs within reach of the plates, what room lacks, and what else is to be known of a place."""
    g = p.governing
    size = f"{abs(g.stress):.1f} of {g.limit:.0f} N/mm2"
    words = [f"governs: {g.criterion} {size} at {g.along:.0f} mm, {g.wall}, {g.case}"]
    for side, room, what in zip(("front", "rear"), p.room, p.beside, strict=True):
        if room < p.plate:
            words.append(f"plates lack room: {room:.0f} of {p.plate:.0f} mm on the {side} side, up to {what}")
    if p.marked:
        words.append(f"+ within 30 cm of {', '.join(p.marked)}")
    if p.assumed:
        words.append(f"ASSUMED, not read: {', '.join(p.assumed)}")
    if p.pitted:
        below = f"smallest reading below {100 * PITTED_BELOW:g} % of as built, or dull"
        words.append(f"pitted ({below}): no fatigue category")
    return "; ".join(words)


def damage_words(p: Price) -> str:
    """Damage of a chosen place against the best one, in a sentence."""
    if p.fatigue is None or p.best is None:
        return ""
    if p.fatigue.worst is None:
        return f"Damage: no ratio. {' '.join(p.fatigue.notes)}"
    w = p.fatigue.worst
    return (
        f"Damage there over that at {p.best.station:.0f} mm, alike details: {two_figures(float(w.ratio))} (cube of the "
        "stress ranges, at the point of the section that suffers most), band "
        f"{two_figures(float(w.low))} to {two_figures(float(w.high))}: a factor {BAND_ON_STRESS:g} on stress either "
        "way (common practice, no source). A ratio whose band holds 1 tells "
        "nothing of which is the worse."
    )


def price_words(p: Price, names: tuple[str, ...]) -> list[str]:
    """The price of a place in sentences."""
    here, out = p.place, []
    if p.best is None:
        out.append("This rail has no window to compare with.")
    else:
        times = number(here.around / p.best.around) if p.best.around > 0 else "infinitely many"
        out.append(
            f"Within reach of the plates (2 H = {here.plate:.0f} mm each side) the rail reaches "
            f"{of_limit(here.around)}; in the best window, at {p.best.station:.0f} mm, {of_limit(p.best.around)}: "
            f"{times} times."
        )
    own, at = max(here.groups), p.best
    beside = f"; at {at.station:.0f} mm {of_limit(max(at.groups))}" if at is not None else ""
    out.append(f"At the joint itself it reaches {of_limit(own)}{beside}. {_upper(place_remarks(here))}.")
    for name, mine, k in zip(names, here.worst.tolist(), range(len(names)), strict=True):
        if p.range_ratio is not None and p.best is not None:
            ratio = float(p.range_ratio[k])
            words = "no ratio, as it has none" if ratio != ratio else f"{number(ratio)} times"
            out.append(f"Stress range, {name}: {mine:.1f} N/mm2 against {p.best.worst[k]:.1f}: {words}.")
    return [*out, damage_words(p)] if damage_words(p) else out


def cut_words(cuts: tuple[CutUse, ...], steel: str) -> list[str]:
    """What the table of cuts tells, in sentences."""
    square, least = cuts[0], min(cuts, key=lambda u: u.full)
    gain = 1 - least.full / square.full if square.full else 0.0
    best = (
        f"Least use: {least.cut.name}, {100 * gain:.0f} % below the square cut's."
        if gain > 0.005
        else "No cut works its welds less than the square one."
    )
    return [
        f"{best} In a wall that is only pulled with a stress s, a weld at the angle a to the rail is longer by 1/sin a "
        "and feels s sin2 a across and s sin a cos a along it: at 45 degrees half of s each, and an equivalent stress "
        "of s again; at 60 degrees 1.06 s. A cut that is angled in side view crosses the flanges square, only at two "
        "stations; what it gains or loses comes from there. Full-strength butt welds lose nothing square.",
        "+-: how far the cut reaches along the rail. Weld: mm in all. Across, along and combined (equivalent): N/mm2 "
        "on the weld with the greatest equivalent stress of all cases, in the wall named beside them. Uses, each the "
        "greatest of all welds of the cut, of butt welds by the directional method of EN 1993-1-8 "
        "4.5.3 (from memory, text not seen) without further factors on loads, "
        f"steel {steel}. All through: from both sides, on a backing strip or with a root run. One side: an open root "
        "that nobody saw counts 2 mm less than the wall, 'none' where that leaves nothing. Damage: by the "
        "ranges of the stress across the weld that suffers most, in the wall named beside it, which may be another "
        "one, over that of the square cut; - where nothing is damaged. The heat-affected zone is not modelled.",
    ]


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
