"""The loading of a rail: line loads as blocks with arrows, point loads as arrows with their kN, supports marked."""

from __future__ import annotations

import numpy as np

from ladderfe.report.sheets.dimensions import Label, Stations, arrow, labels_beside, labels_height
from ladderfe.report.sheets.letters import DOWN, width_of
from ladderfe.report.sheets.pen import NARROW, Pen, Point
from ladderfe.report.sheets.rail_curves import LineLoad, PointLoad, RailCurves

__all__ = ["draw_loading"]

#: Forces below this part of the greatest are drawn without words.
TOLD = 0.01
#: A line load that differs from the one told last by this part is told again.
OTHER = 0.05
#: Heights of the greatest line load, and of arrows from nothing to the greatest force, pixels.
BLOCK, SHORT, LONG = 30.0, 12.0, 46.0


def draw_loading(pen: Pen, x_of: Stations, c: RailCurves, top: float, most: tuple[float, float]) -> float:
    """Draw the loads; most: the greatest line load and force, to which all is scaled.  Returns the height below."""
    f = pen.format
    room = 150.0 if f is NARROW else 270.0
    y = top + f.size
    pen.write("Loading, kN and kN/m", (f.margin, y), bold=True, what="panel")
    large = [p for p in c.points if abs(p.force) >= TOLD * most[1]]
    told = [p for p in large if not p.spread]
    down, up = [p for p in told if p.force < 0], [p for p in told if p.force > 0]
    edge = y + 10 + labels_height(pen, [_label(p, 0.0) for p in down], room)
    block = BLOCK * (0.75 if f is NARROW else 1.0)
    axis = edge + 6 + LONG + block + 4
    _blocks(pen, x_of, c.lines, axis, block, most[0])
    pen.line("axis", (x_of(x_of.start) - 6, axis), (x_of(x_of.end) + 6, axis))
    for p in c.points:
        _force(pen, (x_of(p.station), axis), p, most[1], block)
    over = [_label(p, axis - block - 4 - _length(p, most[1])) for p in down]
    labels_beside(pen, x_of, over, edge, room, up=True, what="force")
    foot = axis + LONG + 16
    under = [_label(p, foot - 4 if p.support else axis + _length(p, most[1])) for p in up]
    labels_beside(pen, x_of, under, foot, room, up=False, what="force")
    y = foot + labels_height(pen, under, room)
    words = "Shaded: its own weight and what lies along it. Crossmembers, outriggers: what they bring to the rail."
    for name in dict.fromkeys(p.words for p in c.points if p.spread):
        whole = -sum(p.force for p in c.points if p.spread and p.words == name) / 1000
        words += f" Arrows without words: {name}, {whole:.2f} kN of it."
    if len(large) < len(c.points):
        words += f" Forces under {TOLD * most[1] / 1000:.2g} kN are without words."
    return pen.notes([words], y)


def _length(p: PointLoad, most: float) -> float:
    """Of an arrow, pixels."""
    return SHORT + (LONG - SHORT) * abs(p.force) / most


def _label(p: PointLoad, start: float) -> Label:
    return Label(p.station, f"{abs(p.force) / 1000:.2f} {p.words}".strip(), start, p.support)


def _force(pen: Pen, at: Point, p: PointLoad, most: float, block: float) -> None:
    """An arrow: loads end above what lies along the rail, supports push from below."""
    length = _length(p, most)
    x, y = at
    if p.force > 0:
        s = 4.5
        pen.line("load", (x, y + 2), (x, y + length))
        arrow(pen, (x, y + 1), (0, -1), "loadtip", 8)
        if p.support:
            foot = y + LONG + 10
            pen.area("mark", [(x, foot - 8), (x - s, foot), (x + s, foot)])
    else:
        tip = y - block - 4
        pen.line("load", (x, tip - length), (x, tip - 2))
        arrow(pen, (x, tip), (0, 1), "loadtip", 8)


def _blocks(pen: Pen, x_of: Stations, lines: tuple[LineLoad, ...], axis: float, high: float, most: float) -> None:
    """Line loads as blocks on the rail, arrows inside, kN/m where they begin to differ."""
    if not most:
        return
    f, last = pen.format, None
    for q in lines:
        ends = [(x_of(x), axis - v / most * high) for x, v in ((q.start, q.at_start), (q.end, q.at_end))]
        pen.area("area", [(ends[0][0], axis), *ends, (ends[1][0], axis)])
    step = 13.0
    for x in np.arange(x_of(x_of.start) + step / 2, x_of(x_of.end), step).tolist():
        own = next((q for q in lines if x_of(q.start) <= x <= x_of(q.end)), None)
        if own is not None:
            share = (x - x_of(own.start)) / max(x_of(own.end) - x_of(own.start), 1e-9)
            tall = (own.at_start + share * (own.at_end - own.at_start)) / most * high
            if abs(tall) > 9:
                pen.line("load", (x, axis - tall), (x, axis - 1))
                arrow(pen, (x, axis if tall > 0 else axis - tall), (0, 1), "loadtip", 5)
    taken = -1e9
    for q in lines:
        here = q.at_start
        if last is not None and abs(here - last) <= OTHER * max(abs(here), abs(last), 1e-12):
            continue
        words, x = f"{here:.2f}", max(x_of(q.start) + 1, taken)
        wide = width_of(words, f.small)
        if x + wide < x_of(x_of.end) + 12 and x < x_of(q.end) + wide:
            y = axis + f.small + 1
            pen.write(words, (x, y - DOWN), "value", size=f.small, what="line")
            taken, last = x + wide + 6, here
