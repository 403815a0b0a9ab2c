"""Repair plates to scale on their walls: sizes, shape of the ends, stations, weld marks, holes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import hypot

from ladderfe.report.sheets.dimensions import Label, Stations, chain, labels_beside, labels_height, upright_dimension
from ladderfe.report.sheets.letters import UP
from ladderfe.report.sheets.pen import NARROW, TICK, UPRIGHT, Format, Pen, Point
from ladderfe.report.sheets.plates import PlateDrawing, PlateWeld
from ladderfe.report.sheets.weld_marks import mark_width, runs_of, weld_mark
from ladderfe.report.sheets.words import mm

__all__ = ["plate_sheet"]

At = Callable[[float, float], Point]

ABOUT = (
    "Plates seen square to their walls, each to a scale of its own, front to the left. Sizes in mm, stations from the "
    "datum. Welds: a throat, s depth; number x run (gap) where stitched; marks after ISO 2553."
)
#: Of the wall that is drawn beyond each end of a plate, as a part of its length.
BEYOND = 0.07


def plate_sheet(plates: Sequence[PlateDrawing], title: str, *, narrow: bool = False) -> str:
    """All plates under one another, as an SVG document; `narrow`: for a page 360 px wide."""
    pen = Pen(NARROW if narrow else UPRIGHT, title, ABOUT)
    y = pen.head([ABOUT])
    for plate in plates:
        y = _plate(pen, plate, y + pen.format.size)
    return pen.svg(y + pen.format.margin)


def _plate(pen: Pen, p: PlateDrawing, top: float) -> float:
    f = pen.format
    y = top + UP * f.size
    pen.write(p.name, (f.margin, y), bold=True, what="name")
    size = f"{mm(p.length)} x {mm(p.width)} x {mm(p.thickness)}, {p.ends} ends"
    size += f", each {mm(p.taper)} long" if p.taper else ""
    where = f"{p.rail} rail, {p.wall} wall, {p.face}; stations {mm(p.start)} to {mm(p.end)}"
    y = pen.notes([size, where], y, "text")
    x_of, high = _stretch(f, p)
    scale = (x_of.right - x_of.left) / (x_of.end - x_of.start)
    above = [w for w in p.welds if w.edge in ("upper", "all round", "slots")]
    ends = [w for w in p.welds if w.edge.endswith("end")]
    below = [w for w in p.welds if w.edge == "lower"]
    row = 3.4 * f.size
    worded = 1.2 * f.size if any(w.words for w in above) else 0.0  # they stand under their mark
    upper = y + (row * 2 if above and ends else row if above or ends else 0) + 0.6 * f.size + worded
    middle = upper + high / 2

    def at(station: float, z: float) -> Point:
        return x_of(station), middle - z * scale

    _wall(pen, p, x_of, at)
    _welds(pen, p, at)
    for w, level in ((w, upper - 0.4 * row - (row if above and ends else 0)) for w in ends):
        _end_mark(pen, p, at, w, level)
    for w in above:
        _long_mark(pen, p, at, w, upper - 0.4 * row - worded, 1)
    under = upper + high + (row if below else 0.5 * f.size)
    for w in below:
        _long_mark(pen, p, at, w, upper + high + 0.55 * row, -1)
    return _sizes(pen, p, x_of, at, under)


def _stretch(f: Format, p: PlateDrawing) -> tuple[Stations, float]:
    """Stations that are drawn and the height of the wall on the sheet; long plates fill the width, short ones less."""
    beyond = BEYOND * p.length
    left, right = f.margin + 3.4 * f.size, f.width - f.margin - 1.5 * f.size
    scale = min((right - left) / (p.length + 2 * beyond), (150.0 if f is NARROW else 230.0) / p.wall_width)
    width = scale * (p.length + 2 * beyond)
    return Stations(p.start - beyond, p.end + beyond, left, left + width), scale * p.wall_width


def _wall(pen: Pen, p: PlateDrawing, x_of: Stations, at: At) -> None:
    """The wall's edges and middle line, the plate and its holes."""
    half = p.wall_width / 2
    for z in (half, -half):
        pen.line("thin", at(x_of.start, z), at(x_of.end, z))
    pen.line("centre", at(x_of.start, 0), at(x_of.end, 0))
    pen.area("plate", [at(x, z) for x, z in p.outline()])
    scale = (x_of.right - x_of.left) / (x_of.end - x_of.start)
    for h in p.holes:
        x, y = at(h.station, p.centre + h.above)
        r, half = h.diameter / 2 * scale, h.half * scale
        if h.length > h.diameter:
            pen.area("hole", [at(s, p.centre + z) for s, z in h.outline()])
        else:
            pen.circle("hole", (x, y), r)
        pen.lines("centre", [[(x - half - 4, y), (x + half + 4, y)], [(x, y - r - 4), (x, y + r + 4)]])


def _welds(pen: Pen, p: PlateDrawing, at: At) -> None:
    """A line with strokes along every welded edge, which runs clockwise, with gaps where it is stitched."""
    corners = list(p.outline())
    closed = [*corners, corners[0]]
    for a, b in pairwise(closed):
        weld = next((w for w in p.welds if w.edge in ("all round", _edge(p, a, b))), None)
        if weld is None:
            continue
        (xa, ya), (xb, yb) = at(*a), at(*b)
        size, true = hypot(xb - xa, yb - ya), hypot(b[0] - a[0], b[1] - a[1])
        way, out = ((xb - xa) / size, (yb - ya) / size), ((yb - ya) / size, -(xb - xa) / size)
        runs, ends = [], []
        for start, end in ((u * size / true, v * size / true) for u, v in runs_of(weld, true)):
            foot, top = ([(xa + s * way[0] + h * out[0], ya + s * way[1] + h * out[1]) for s in (start, end)]
                         for h in (1.0, TICK / 2))  # fmt: skip
            ends.append(foot)
            runs.append(top)
        pen.lines("strokes", runs)
        pen.lines("weld", ends)


def _edge(p: PlateDrawing, a: Point, b: Point) -> str:
    """Which edge a side of the outline belongs to: slanting ones to the ends."""
    if a[1] == b[1] and a[0] != b[0]:
        return "upper" if a[1] > p.centre else "lower"
    return "front end" if (a[0] + b[0]) / 2 < (p.start + p.end) / 2 else "rear end"


def _long_mark(pen: Pen, p: PlateDrawing, at: At, weld: PlateWeld, level: float, up: int) -> None:
    x = p.start + 0.42 * p.length
    place = at(x, p.centre + up * p.width / 2)
    if weld.edge == "slots":  # the arrow points at the edge of a slot
        h = min(p.holes, key=lambda h: abs(h.station - x))
        place = at(h.station, p.centre + h.above + h.diameter / 2)
    length = p.length - 2 * p.taper
    elbow = min(place[0] + 14, pen.format.width - pen.format.margin - mark_width(pen, weld, length)), level
    weld_mark(pen, place, elbow, weld, length)


def _end_mark(pen: Pen, p: PlateDrawing, at: At, weld: PlateWeld, level: float) -> None:
    """The mark of an end's weld; the arrow points to the middle of its upper half."""
    front = weld.edge == "front end"
    corners = [c for c in p.outline() if c[1] >= p.centre - 1e-9]
    own = sorted(corners, key=lambda c: c[0] if front else -c[0])[:2]
    if not p.taper:
        own = [own[0], (own[0][0], p.centre + p.width / 4)]
    x, z = (sum(c[k] for c in own) / len(own) for k in (0, 1))
    place = at(x, z)
    length = p.width if not p.taper else 2 * hypot(p.taper, p.width / 2)
    wide = mark_width(pen, weld, length)
    right = pen.format.width - pen.format.margin - wide
    left = max(pen.format.margin, place[0] - 30 if front else place[0] - wide / 2)
    weld_mark(pen, place, (min(left, right), level), weld, length)


def _sizes(pen: Pen, p: PlateDrawing, x_of: Stations, at: At, top: float) -> float:
    """Dimensions below and beside the view; returns the height below them."""
    f = pen.format
    row = 1.9 * f.size
    y = top + row
    holes = sorted({h.station for h in p.holes})
    if p.taper:
        chain(pen, x_of, (p.start, p.start + p.taper, p.end - p.taper, p.end), y, top, "ends")
        y += row
    if holes:
        chain(pen, x_of, (p.start, *holes, p.end), y, y - 0.6 * row, "holes")
        y += row
    chain(pen, x_of, (p.start, p.end), y, y - 0.6 * row, "length")
    ends = at(0, p.centre + p.width / 2)[1], at(0, p.centre - p.width / 2)[1]
    reach = x_of(p.start + p.taper) - 4
    upright_dimension(pen, x_of.left - 4, ends, mm(p.width), (reach, reach), "width")
    wall = at(0, p.wall_width / 2)[1], at(0, -p.wall_width / 2)[1]
    edge = x_of.left
    if p.width < p.wall_width:
        upright_dimension(pen, x_of.left - 8 - 1.5 * f.size, wall, mm(p.wall_width), (edge, edge), "wall")
    labels = [Label(x, mm(x), y + 4) for x in (p.start, p.end)]
    labels_beside(pen, x_of, labels, y + 8, 99, up=False, what="station")
    y += 8 + labels_height(pen, labels, 99)
    holes_told = [
        f"hole of {mm(h.diameter)} at {mm(h.station)}, {mm(abs(h.above))} "
        f"{'above' if h.above >= 0 else 'below'} the plate's middle"
        for h in p.holes if not h.length
    ]  # fmt: skip
    if slots := [h for h in p.holes if h.length]:
        size = f"{mm(slots[0].length)} x {mm(slots[0].diameter)}"
        stations = ", ".join(mm(h.station) for h in slots)
        holes_told.append(f"Slots of {size} through the rail's wall at {stations}, along its middle")
    return pen.notes([f"Above: {p.edges[0]}; below: {p.edges[1]}.", *holes_told], y)
