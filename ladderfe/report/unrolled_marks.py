"""What is drawn on the strips of unrolled rails: readings, what is assumed, holes with their rims, signs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from ladderfe.condition import Hole
from ladderfe.report.colours import ACCENT, BANDS, INK, LEFT, PAPER, SOFT, band_left, letters_on
from ladderfe.report.labels import Box
from ladderfe.report.table import FAR
from ladderfe.report.unrolled_strips import Cell, Peak, Run, Strip, doubtful
from ladderfe.report.vector import Area, Item, Segments, Words, width_of

__all__ = [
    "HATCH", "Lane", "assumed", "corner", "hatched", "hole", "over_line", "over_sign", "read", "rim", "suspect",
    "unread", "used",
]  # fmt: skip

XOf = Callable[[float], float]

HATCH: Final = "#9aa7ae"  # lines of what is assumed
STEP: Final = 7.0  # between these, pixels
LEAST: Final = 3.0  # a hole is never drawn narrower, pixels, and a rim half of that
TOOTH: Final = 4.0  # ragged edge of a hole


@dataclass(frozen=True, slots=True)
class Lane:
    """Where a strip lies on the sheet: its upper and lower edge, and where stations are."""

    top: float
    bottom: float
    x_of: XOf

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2

    def box(self, start: float, end: float) -> Box:
        """A stretch of it."""
        return Box(self.x_of(start), self.top, self.x_of(end), self.bottom)


def hatched(box: Box, colour: str, kind: str, step: float = STEP, width: float = 0.9) -> list[Item]:
    """Rising lines within a box, as if one pattern lay under the whole sheet."""
    ends = []
    first = int((box.left + box.top) // step) + 1
    for k in range(first, int((box.right + box.bottom) / step) + 1):
        total = k * step  # x + y along the line
        left, right = max(box.left, total - box.bottom), min(box.right, total - box.top)
        if right > left:
            ends.append(((left, total - left), (right, total - right)))
    return [Segments(tuple(ends), colour, width, kind)] if ends else []


def assumed(cell: Cell, lane: Lane) -> list[Item]:
    """A stretch that nobody read."""
    box = lane.box(cell.start, cell.end)
    return [Area.of(box, PAPER, kind="assumed"), *hatched(box, HATCH, "hatch"), Area.of(box, "none", SOFT, 0.8)]


def read(cell: Cell, lane: Lane) -> list[Item]:
    """A place over its reach in the colour of what is left, with a tick at its station; doubtful ones with a sign."""
    box = lane.box(cell.start, cell.end)
    fill = LEFT[band_left(cell.share)]
    out: list[Item] = [Area.of(box, fill, PAPER, 1.0, "place")]
    place = cell.place
    if place is not None and cell.start <= place.station <= cell.end:
        x = lane.x_of(place.station)
        out.append(Segments((((x, box.top), (x, box.top + 5)),), letters_on(fill), 1.4, "read at"))
    if place is not None and doubtful(place):
        out.append(corner(box))
    return out


def corner(box: Box) -> Area:
    """The filled upper right corner of a place with a doubtful reading."""
    size = min(9.0, box.right - box.left)
    points = ((box.right - size, box.top), (box.right, box.top), (box.right, box.top + size))
    return Area(points, ACCENT, PAPER, 0.8, "doubtful")


def used(run: Run, lane: Lane) -> list[Item]:
    """A stretch in the colour of its utilisation; over the limit between heavy lines."""
    box = lane.box(run.start, run.end)
    out: list[Item] = [Area.of(box, BANDS[run.band], kind="utilisation")]
    return [*out, *over_line(box)] if run.band >= 4 else out


def over_line(box: Box) -> list[Item]:
    """Heavy lines along both edges."""
    edges = tuple(((box.left, y), (box.right, y)) for y in (box.top + 1.2, box.bottom - 1.2))
    return [Segments(edges, "#000000", 2.4, "over")]


def over_sign(at: tuple[float, float], size: float = 9.0) -> Area:
    """An upright filled triangle, as in the other pictures."""
    x, y = at
    points = ((x, y - 0.55 * size), (x + 0.5 * size, y + 0.4 * size), (x - 0.5 * size, y + 0.4 * size))
    return Area(points, INK, PAPER, 0.8, "over sign")


def rim(box: Box, given: bool = True) -> list[Item]:
    """Thinned metal beside a hole, which counts as gone: closely hatched, a measured one in a full line."""
    edge = [Area.of(box, "none", INK, 1.2)] if given else []
    return [Area.of(box, PAPER, kind="rim"), *hatched(box, INK, "rim hatch", 3.5, 1.0), *edge]


def hole(h: Hole, lane: Lane, ends: tuple[float, float]) -> list[Item]:
    """A hole: paper with ragged ends, its rims on both sides.  `ends`: of the rail."""
    a, b = (min(max(v, ends[0]), ends[1]) for v in (h.start, h.end))
    first, last = (min(max(v, ends[0]), ends[1]) for v in h.reach)
    left, right = lane.x_of(a), lane.x_of(b)
    if right - left < LEAST:
        left, right = (left + right - LEAST) / 2, (left + right + LEAST) / 2
    out: list[Item] = []
    for x, y in ((min(lane.x_of(first), left - LEAST / 2), left), (right, max(lane.x_of(last), right + LEAST / 2))):
        out += rim(Box(x, lane.top, y, lane.bottom), h.rim_given) if h.rim > 0 else []
    return [*out, ragged(Box(left, lane.top, right, lane.bottom))]


def ragged(box: Box) -> Area:
    """The hole itself: its ends broken, not cut."""
    steps = 6
    tooth = min(TOOTH, 0.35 * (box.right - box.left))
    ys = [box.top + k / steps * box.high for k in range(steps + 1)]
    right = [(box.right - (tooth if k % 2 else 0.0), y) for k, y in enumerate(ys)]
    left = [(box.left + (0.0 if k % 2 else tooth), y) for k, y in reversed(list(enumerate(ys)))]
    return Area((*right, *left), PAPER, INK, 2.0, "hole")


def suspect(at: tuple[float, float], size: float = 10.0) -> list[Item]:
    """A lozenge with an exclamation mark: no thickness, but something is wrong there."""
    x, y = at
    points = ((x, y - size), (x + size, y), (x, y + size), (x - size, y))
    bar = Area(((x - 1.2, y - 5.5), (x + 1.2, y - 5.5), (x + 0.8, y + 1.5), (x - 0.8, y + 1.5)), PAPER, kind="")
    dot = Area.of(Box(x - 1.2, y + 3.0, x + 1.2, y + 5.4), PAPER)
    return [Area(points, ACCENT, PAPER, 1.4, "suspect"), bar, dot]


def unread(at: tuple[float, float], size: float = 3.0) -> list[Item]:
    """A small cross on paper: the place was listed, and nothing was read."""
    x, y = at
    patch = Box(x - size - 1.5, y - size - 1.5, x + size + 1.5, y + size + 1.5)
    strokes = (((x - size, y - size), (x + size, y + size)), ((x - size, y + size), (x + size, y - size)))
    return [Area.of(patch, PAPER, kind="unread"), Segments(strokes, INK, 1.3)]


def peak_words(peak: Peak) -> tuple[str, bool]:
    """A utilisation in per cent, rounded away from the limit so that none over it looks as if it were not."""
    value = 100 * peak.ratio
    over = peak.ratio > 1
    if peak.ratio > FAR:
        return f">{100 * FAR:.0f}", over
    text = f"{value:.0f}" if not over or value >= 100.5 else f"{value:.1f}" if value >= 100.05 else ">100"
    return text, over


def strip_title(strip: Strip) -> tuple[str, str]:
    """The wall and what it was built of."""
    low, high = strip.nominal
    built = f"{low:.1f}" if high - low < 0.05 else f"{low:.1f} to {high:.1f}"
    return strip.wall, f"built {built} mm"


def note_box(words: str, size: float, x: float, y: float) -> tuple[Box, Words]:
    """Words centred on a place, and the box around them with some air."""
    half = width_of(words, size) / 2 + 3
    return Box(x - half, y - 0.62 * size, x + half, y + 0.62 * size), Words(
        words, (x, y + 0.36 * size), size, SOFT, across="center", kind="label"
    )
