"""Both rails unrolled: their walls as strips along the stations, left above right, with what was read on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

import numpy as np

from ladderfe.chassis import Chassis, Rail
from ladderfe.checks import Findings
from ladderfe.condition import Found
from ladderfe.condition.types import BOUND
from ladderfe.report.colours import FAINT, INK, LEFT, PAPER, SOFT, band_left, letters_on
from ladderfe.report.labels import Box, Clutter
from ladderfe.report.readings_text import count_words
from ladderfe.report.unrolled_key import draw_key
from ladderfe.report.unrolled_marks import (
    HATCH,
    Lane,
    assumed,
    hatched,
    hole,
    note_box,
    over_sign,
    peak_words,
    read,
    strip_title,
    suspect,
    used,
)
from ladderfe.report.unrolled_names import header_height, held_at, names_beside, ruler, through
from ladderfe.report.unrolled_strips import Strip, number_of, strips_of, used_strips
from ladderfe.report.vector import Area, Drawing, Item, Segments, Words, fitted, width_of

__all__ = ["Shows", "unrolled"]

Shows = Literal["readings", "utilisation"]

WIDTH: Final = 1600
SIDE, BEYOND = 130.0, 110.0  # left of the rails (names of the walls), right of them (slanting names)
HIGH, GAP, BASIS = 34.0, 22.0, 8.0  # of a strip, between strips, of the band that tells what was read
HEAD, MIDDLE = 96.0, 62.0  # title block, stations between the rails
LABEL: Final = 10.5  # size of type
SIZES: Final = ((12.5, 0.0), (10.5, 0.0), (10.5, 90.0))  # of numbers in their places, and degrees by which they rise
NEARBY: Final = 60.0  # what a number beside its place may cost: close by, clear of strips and other lines
NEAR: Final = 40.0  # beside a peak smaller ones are not told, pixels
AGAIN: Final = 420.0  # ASSUMED is written again after so many pixels


@dataclass(slots=True)
class _Sheet:
    """What is on the sheet so far, and the boxes that words must keep clear of."""

    found: Found
    shows: Shows
    x: tuple[float, float]  # stations of the two ends
    items: list[Item] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    lanes: list[tuple[Strip, Lane]] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)

    def x_of(self, station: float) -> float:
        """Pixels from the left edge."""
        low, high = self.x
        return SIDE + (station - low) / (high - low) * (WIDTH - SIDE - BEYOND)

    def free(self, box: Box, gap: float = 2.0) -> bool:
        """Whether no words or signs lie there."""
        return not any(box.meets(b, gap) for b in self.boxes)


def unrolled(found: Found, findings: Findings | None = None) -> Drawing:
    """The drawing of readings or, with the findings of the chassis as found, of the greatest utilisation of all cases
    along every wall."""
    shows: Shows = "readings" if findings is None else "utilisation"
    strips = strips_of(found) if findings is None else used_strips(found, findings)
    rails = found.built.rails if found.built.rails[0].side == "left" else found.built.rails[::-1]
    ends = min(r.start for r in rails), max(r.end for r in rails)
    sheet = _Sheet(found, shows, ends)
    y = _title(sheet, found, findings)
    for rail in rails:
        y = _rail(sheet, found.built, rail, [s for s in strips if s.side == rail.side], y)
    _words(sheet, int(y))
    y = draw_key(sheet.items, (24.0, y + 14), WIDTH - 48.0, shows, found)
    if sheet.left_out:
        words = f"There was no room for {len(sheet.left_out)} numbers; the file of readings holds them all."
        sheet.items.append(Words(words, (24, y + 16), 11.5, INK, kind="key"))
        y += 24
    title = f"{found.built.title}: {shows} on the unrolled rails"
    return Drawing(title, WIDTH, int(y + 16), tuple(sheet.items))


def _title(sheet: _Sheet, found: Found, findings: Findings | None) -> float:
    if findings is None:
        what = "Wall thickness as found, rails unrolled"
        least = "lower bound of the readings (smallest of fewer than three)"
        number = least if found.options.strength == BOUND else "smallest reading"
        below = f"number: {number} of a place, mm; colour: what is left of the wall as built; tick: where it was read"
    else:
        what = "Greatest utilisation of all cases, as found, rails unrolled"
        cases = len(findings.solution.cases) - 1
        below = f"number: peaks along each wall in %, of {cases} cases and all criteria; foot of a strip: what was read"
    room = WIDTH - 48.0
    sheet.items += [
        Words(fitted(found.built.title, 19, room, True), (24, 34), 19, bold=True, kind="title"),
        Words(fitted(f"{what}. {count_words(found)}", 13, room), (24, 58), 13, kind="title"),
        Words(fitted(f"{below}. Stations and lengths in mm.", 12, room), (24, 78), 12, SOFT, kind="title"),
    ]
    return HEAD


def _rail(sheet: _Sheet, chassis: Chassis, rail: Rail, strips: Sequence[Strip], y: float) -> float:
    """One rail with its names; the left one has them above and the stations below it, the right one below."""
    held, left = held_at(chassis, rail), rail.side == "left"
    top = y + header_height(held) if left else y
    bottom = top + len(strips) * (HIGH + GAP) - GAP
    edge = top - 4 if left else bottom + (4 if sheet.shows == "readings" else 18)  # words stand below the last strip
    ends = SIDE - 30, WIDTH - BEYOND + 20
    sheet.items += through(held, sheet.x_of, min(edge, top - 4), max(edge, bottom + 4))
    for k, strip in enumerate(strips):
        lane = Lane(top + k * (HIGH + GAP), top + k * (HIGH + GAP) + HIGH, sheet.x_of)
        sheet.lanes.append((strip, lane))
        _strip(sheet, strip, lane, (rail.start, rail.end))
    sheet.items.append(Words(f"{rail.side} rail", (24, top - 11), 14, bold=True, kind="side"))
    sheet.items += names_beside(held, sheet.x_of, edge, 1 if left else -1, ends)
    if not left:
        return edge + header_height(held)
    sheet.items += ruler(sheet.x_of, rail.start, rail.end, bottom + 22)
    sheet.items.append(Words("station, mm", (24, bottom + 26), 11, SOFT, kind="station"))
    return bottom + MIDDLE


def _strip(sheet: _Sheet, strip: Strip, lane: Lane, ends: tuple[float, float]) -> None:
    wall, built = strip_title(strip)
    sheet.items += [
        Words(wall, (24, lane.middle - 1), 13, bold=True, kind="wall"),
        Words(built, (24, lane.middle + 13), 10.5, SOFT, kind="wall"),
    ]
    colour = lane if sheet.shows == "readings" else Lane(lane.top, lane.bottom - BASIS, lane.x_of)
    for run in strip.runs:
        sheet.items += used(run, colour)
    for cell in strip.cells:
        if sheet.shows == "utilisation":
            box = lane.box(cell.start, cell.end)
            foot = Box(box.left, colour.bottom, box.right, box.bottom)
            sheet.items.append(Area.of(foot, PAPER if cell.place is None else LEFT[band_left(cell.share)]))
            sheet.items += hatched(foot, HATCH, "hatch", 5.0) if cell.place is None else []
        else:
            sheet.items += assumed(cell, lane) if cell.place is None else read(cell, lane)
    for a, b in strip.there:
        sheet.items.append(Area.of(lane.box(a, b), "none", SOFT, 1.0, "strip"))
        if sheet.shows == "utilisation":
            sheet.items.append(Segments((((lane.x_of(a), colour.bottom), (lane.x_of(b), colour.bottom)),), SOFT, 0.8))
    for h in strip.holes:
        marks = hole(h, lane, ends)
        sheet.items += marks
        sheet.boxes += [m.box for m in marks if isinstance(m, Area)]
    for s in strip.suspects:
        at = lane.x_of(s.station), lane.middle
        sheet.items += suspect(at)
        sheet.boxes.append(Box(at[0] - 10, at[1] - 10, at[0] + 10, at[1] + 10))


def _words(sheet: _Sheet, bottom: int) -> None:
    """Numbers and labels, the most important first, each clear of those before it."""
    crowded: list[tuple[tuple[float, float], str]] = []
    for strip, lane in sheet.lanes:
        crowded += _numbers(sheet, strip, lane) if sheet.shows == "readings" else _percents(sheet, strip, lane)
    clutter = _clutter(sheet, bottom)
    for at, words in _told(sheet):
        _call_out(sheet, clutter, at, words, 4 * NEARBY)
    sheet.left_out = [words for at, words in crowded if not _call_out(sheet, clutter, at, words, NEARBY)]
    sheet.boxes = clutter.boxes
    for strip, lane in sheet.lanes:
        for cell in strip.cells:
            if cell.place is None:
                _assumed_words(sheet, lane, (cell.start, cell.end), cell.thickness)


def _numbers(sheet: _Sheet, strip: Strip, lane: Lane) -> list[tuple[tuple[float, float], str]]:
    """The numbers of places that have room for them; returns the others with where they belong."""
    left_over = []
    for cell in strip.cells:
        if cell.place is None:
            continue
        words = number_of(cell.place, sheet.found.options.strength)
        box = lane.box(cell.start, cell.end)
        at = lane.x_of(cell.place.station)
        placed = _in_place(sheet, words, box, at)
        if placed is None:
            left_over.append(((min(max(at, box.left), box.right), lane.middle), words))
        else:
            colour = letters_on(LEFT[band_left(cell.share)])
            sheet.items.append(replace(placed[0], colour=colour))
            sheet.boxes.append(placed[1])
    return left_over


def _in_place(sheet: _Sheet, words: str, box: Box, at: float) -> tuple[Words, Box] | None:
    """A number inside the box of its place, as near as can be to where it was read: level, in smaller type or upright,
    whichever first has room; None where none has."""
    for size, turn in SIZES:
        wide, high = width_of(words, size, True), size
        half = (high if turn else wide) / 2 + 1.0
        air = half + min(5.0, max(0.0, (box.right - box.left) / 2 - half))
        low, most = box.left + air, box.right - air
        wanted = min(max(at, low), most)
        tries = sorted(np.arange(low, most + 0.1, 4.0).tolist(), key=lambda x: abs(x - wanted))
        for x in [wanted, *tries] if box.right - box.left >= 2 * half else []:
            y = (box.top + box.bottom) / 2 + 2
            tall = wide / 2 if turn else high * 0.6
            own = Box(x - half, y - tall, x + half, y + tall)
            if sheet.free(own, 0.0):
                place = (x + 0.36 * size, y + wide / 2) if turn else (x - wide / 2, y + 0.36 * size)
                return Words(words, place, size, bold=True, turn=turn, kind="reading"), own
    return None


def _percents(sheet: _Sheet, strip: Strip, lane: Lane) -> list[tuple[tuple[float, float], str]]:
    """The greatest utilisation of every bay, but for those beside a greater one, on paper so that it is read on every
    colour; over the limit with a second sign.  Returns those over the limit that found no room."""
    left_over, told = [], list[float]()
    y = (lane.top + lane.bottom - BASIS) / 2
    for peak in sorted(strip.peaks, key=lambda p: -p.ratio):
        words, over = peak_words(peak)
        sign = 12.0 if over else 0.0
        wide = width_of(words, 11, over) + 6 + sign
        at = lane.x_of(peak.station)
        if any(abs(at - other) < NEAR for other in told):
            continue
        told.append(at)
        shifts = sorted(np.arange(-48, 49, 6).tolist(), key=abs)
        lefts = [min(max(at + v - wide / 2, SIDE), WIDTH - BEYOND - wide) for v in shifts]
        box = next((b for v in lefts if sheet.free(b := Box(v, y - 8, v + wide, y + 8))), None)
        if box is None:
            left_over += [((at, lane.middle), f"{words} % OVER")] if over else []
            continue
        sheet.items.append(Area.of(box, PAPER, INK if over else SOFT, 1.2 if over else 0.6, "number"))
        sheet.items += [over_sign((box.left + 8.5, y + 0.5), 10)] if over else []
        place = box.left + 3 + sign, y + 4
        sheet.items.append(Words(words, place, 11, INK, over, kind="utilisation"))
        sheet.boxes.append(box)
    return left_over


def _told(sheet: _Sheet) -> list[tuple[tuple[float, float], str]]:
    """Words for holes and suspect places, with where they belong."""
    out = []
    for strip, lane in sheet.lanes:
        for h in strip.holes:
            rims = f"rims {h.rim:g}" + ("" if h.rim_given else " ASSUMED")
            out.append(((lane.x_of((h.start + h.end) / 2), lane.middle), f"hole {h.end - h.start:g}, {rims}"))
        out += [((lane.x_of(s.station), lane.middle), "suspect") for s in strip.suspects]
    return out


def _clutter(sheet: _Sheet, bottom: int) -> Clutter:
    """The sheet with its strips, between which there is room for words."""
    covered = np.zeros((bottom, WIDTH))
    for _, lane in sheet.lanes:
        covered[int(lane.top) : int(lane.bottom) + 1, int(SIDE) : int(WIDTH - BEYOND) + 1] = 1.0
    first, last = sheet.lanes[0][1], sheet.lanes[-1][1]
    clutter = Clutter.of(Box(SIDE, first.top, WIDTH - 24.0, last.bottom), covered, [])
    sides = [s for s, _ in sheet.lanes]
    turn = next((k for k in range(1, len(sides)) if sides[k].side != sides[k - 1].side), 0)
    if turn:  # stations stand between the rails
        between = Box(0, sheet.lanes[turn - 1][1].bottom + 14, WIDTH, sheet.lanes[turn][1].top - 12)
        sheet.boxes.append(between)
    clutter.boxes.extend(sheet.boxes)
    return clutter


def _call_out(sheet: _Sheet, clutter: Clutter, at: tuple[float, float], words: str, most: float) -> bool:
    """Words near a place, on paper, with a line to it; whether there was room at no more than that cost."""
    wide = width_of(words, LABEL) + 6
    box = clutter.place(np.array(at), wide, LABEL + 3.0, most=most)
    if box is None:
        return False
    near = box.nearest(np.array(at))
    sheet.items.append(Segments(((at, (float(near[0]), float(near[1]))),), INK, 0.8, "leader"))
    sheet.items.append(Area.of(box, PAPER, FAINT, 0.5, "label"))
    place = box.left + 3, (box.top + box.bottom) / 2 + 0.36 * LABEL
    sheet.items.append(Words(words, place, LABEL, INK, kind="label"))
    return True


def _assumed_words(sheet: _Sheet, lane: Lane, ends: tuple[float, float], thickness: float) -> None:
    """ASSUMED on hatched stretches that have room for it, in the gap below them where the strip shows something
    else."""
    left, right = lane.x_of(ends[0]), lane.x_of(ends[1])
    inside = sheet.shows == "readings"
    y = lane.middle if inside else lane.bottom + 8
    count = max(1, round((right - left) / AGAIN))
    for k in range(count):
        at = left + (k + 0.5) / count * (right - left)
        for words in (f"ASSUMED {thickness:.1f}", "ASSUMED") if inside else ("ASSUMED",):
            box, text = note_box(words, LABEL if inside else 9.0, at, y)
            if box.left >= left and box.right <= right and sheet.free(box):
                sheet.items += [Area.of(box, PAPER, kind="label"), text]
                sheet.boxes.append(box)
                break
