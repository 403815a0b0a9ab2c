"""What pages and data say of a frame's straightness, in words."""

from __future__ import annotations

from ladderfe.advice.alignment_modes import Mode, Modes
from ladderfe.advice.straightness import Straightness
from ladderfe.advice.tolerances import Tolerance
from ladderfe.advice.what_to_measure import pairs_of
from ladderfe.chassis import Chassis
from ladderfe.condition.height_slips import GROSS
from ladderfe.report.table import two_figures

__all__ = ["CANNOT_KNOW", "CAUTIONS_SQUARE", "HOW", "add_readings", "misfit_words", "mode_words", "next_steps",
           "reading_no", "signed", "tolerance_words"]  # fmt: skip

DOUBTFUL = "Until then modes and places of points are doubtful."
LEFT_OUT = "Modes and places of points are worked out without it."
#: How to measure (common practice, no source, but for the levels of the army manuals).
HOW = (
    "The frame lies unloaded on four stands, bare or as bare as it gets, and the rails are levelled first: army truck "
    "manuals ask for 3 to 8 mm (TM 9-2320-361-34, as quoted, source text not seen). Not on its wheels: springs and "
    "tyres lean.",
    "Measure from fixed holes, not from edges, and at the same places on both rails: two holes of the same use, the "
    'same face, the same side of the hole. Where your hole lies elsewhere, change the point in the table: "left 262" '
    'is the middle of the left rail at station 262, "left 262 bottom" the middle of its bottom face, likewise top, '
    "inner and outer. Expected values follow the name.",
    "Distances are straight ones with tape or trammel from point to point, up a kick-up too, and not the shadow on the "
    "floor. Where something is in the way leave the cell empty.",
    "Heights are over a level datum, by water level or a beam: any zero, the same for all. The floor's tilt is taken "
    f"out. No other reading tells of a slip in a height, so read heights twice; one {GROSS:g} mm or more from where "
    "the others put it, or that a moved comma brings there, is refused.",
    "The same table three times: before cutting, when all is tacked, after welding when it is cold.",
    "Rows may be added. Kind offset is the distance of a point from a string along the centre line, without a sign; "
    "three or more are needed.",
)
CANNOT_KNOW = (
    "Whether the vehicle was built as the chassis file says: expected values are as true as the file. Pairs of "
    "diagonals and twist of a frame built alike on both sides, and what moved between two rounds, do not need them.",
    "Sag of the frame under its own weight on the stands: it is not taken out, so compare rounds on the same stands at "
    "the same places.",
    "Bent brackets, worn or drawn holes, dents, crossmembers that are bent between the rails, and wheel positions: "
    "suspension geometry is measured on its own.",
    "Bends that are none of the modes, a kink in one rail say: they show as scatter and where the points lie.",
)
CAUTIONS_SQUARE = (
    "Figures and limits are not an opinion on whether a vehicle may be used. Where the maker gives a tolerance, that "
    "one counts; where the law asks for it, so does an authorised engineer or inspector.",
    "Never work under a vehicle held by a jack alone: rated stands, hard level ground, solid metal on them. A frame "
    "that is pulled can let go of a chain: nobody stands in line with it.",
    "Do not pull a cracked or rusted rail, and do not heat a rail to straighten it: bulk heating is no approved "
    "method, and high-strength rails lose strength where they are heated.",
)
WAYS = {
    "sag": ("the middle hangs below the ends", "the middle stands above the ends (hog)"),
    "twist": ("at the rear axle the right rail stands high, against the front axle",
              "at the rear axle the left rail stands high, against the front axle"),
    "bow": ("the middle lies to the right", "the middle lies to the left"),
    "diamond": ("the left rail lies ahead of the right", "the right rail lies ahead of the left"),
    "left side": ("longer than built, end to end", "shorter than built, end to end"),
    "right side": ("longer than built, end to end", "shorter than built, end to end"),
    "spread": ("rails further apart than built", "rails nearer together than built"),
}  # fmt: skip


def signed(value: float, places: int = 1) -> str:
    """A difference with its sign, 0 without one."""
    text = f"{value:+.{places}f}"
    return text[1:] if float(text) == 0 else text


def mode_words(mode: Mode) -> str:
    """Which way a mode goes, or that it does not stand out of the error of measuring."""
    if not mode.known:
        return "not fixed by these readings"
    return WAYS[mode.name][0 if mode.size > 0 else 1] if mode.seen else "below the error of measuring"


def add_readings(chassis: Chassis, modes: Modes) -> list[str]:
    """Which readings would fix the modes that are open."""
    pairs = pairs_of(chassis)
    front, middle, rear = pairs[0], pairs[len(pairs) // 2], pairs[-1]
    ends = f"{front.left.name}, {front.right.name}, {rear.left.name} and {rear.right.name}"
    need = {
        "sag": f"heights at {ends}, and at {middle.left.name} and {middle.right.name}",
        "twist": f"heights at {ends}",
        "bow": f"offsets of one rail from the centre line at {front.left.name}, {middle.left.name} and "
               f"{rear.left.name}, or both diagonals and all sides of every bay",
        "diamond": f"both diagonals {front.left.name} to {rear.right.name} and {front.right.name} to {rear.left.name}",
        "left side": f"the distance {front.left.name} to {rear.left.name}",
        "right side": f"the distance {front.right.name} to {rear.right.name}",
        "spread": f"distances across, {middle.left.name} to {middle.right.name} and at both ends",
    }  # fmt: skip
    return [f"For {m.name}: {need[m.name]}." for m in modes.modes if not m.known]


def reading_no(s: Straightness, number: int) -> str:
    """A reading by its line of the file and its points."""
    r = s.alignment.readings[number]
    return f"line {r.line} ({r.kind} {r.name})" if r.line else f"{r.kind} {r.name}"


def misfit_words(s: Straightness) -> list[str]:
    """Whether all readings fit each other, and which one does not."""
    a = s.adjusted
    if a.spare < 1 or not (a.normalised != 0).any():
        return ["No reading is borne out by others, so a slip in one cannot be seen: diagonals and both sides of every "
                "bay, and long diagonals besides, would tell."]  # fmt: skip
    bare = len(a.normalised) - int((a.normalised != 0).sum())
    out = []
    for m in s.misfits:
        also = [reading_no(s, k) for k in m.instead]
        words = f"{reading_no(s, m.reading)} does not fit the others by {abs(m.off):.0f} mm"
        words += f": it reads too {'long' if m.off > 0 else 'short'}, or its points are others. Measure it again"
        words += f"; so do {', '.join(also)}, which cannot be told from it" if also else ""
        out.append(words[0].upper() + words[1:] + ". " + (DOUBTFUL if also else LEFT_OUT))
    if not out:
        out.append("All readings that others bear out fit them within the error of measuring.")
    if bare:
        words = f"{bare} of {len(a.normalised)} readings are borne out by no other, heights mostly: a slip in one of "
        out.append(words + "them shows nowhere. Read them twice.")
    return out


def tolerance_words(t: Tolerance) -> list[str]:
    """The figures and where they come from."""
    out = []
    if t.points is None:
        out.append(f"{t.name} has no figure for single readings.")
    else:
        out.append(f"+-{t.points:g} mm against expected: {t.points_source}.")
    if t.diagonals is not None:
        out.append(f"{t.diagonals:g} mm between two diagonals: {t.diagonals_source}.")
    return out


def next_steps(s: Straightness) -> list[str]:
    """What is outside, by how much, and what to do about it."""
    out = []
    for c in s.compared:
        if c.exceeded and c.difference is not None and c.limit is not None:
            out.append(f"{c.reading.kind} {c.reading.name}: {signed(c.difference)} mm, limit +-{c.limit:g} mm"
                       + _near(abs(c.difference) - c.limit, s))  # fmt: skip
    for d in s.diagonals:
        if d.exceeded and d.limit is not None:
            out.append(f"diagonals {d.first.name} and {d.second.name}: {signed(d.difference)} mm, limit {d.limit:g} mm"
                       + _near(abs(d.difference) - d.limit, s))  # fmt: skip
    return [line[0].upper() + line[1:] + "." for line in out]


def _near(over: float, s: Straightness) -> str:
    """That a reading is over by no more than twice the error of measuring."""
    error = 2 * s.errors.tape
    return f" (over by {two_figures(over)} mm, less than twice the tape's error)" if over < error else ""
