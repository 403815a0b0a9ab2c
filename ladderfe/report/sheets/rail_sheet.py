"""Diagrams of one rail in one case under one another: loading, shear, bending moment, torsion, over the stations."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from ladderfe.checks import Findings
from ladderfe.report.labels import Box, Clutter
from ladderfe.report.legend import round_ticks
from ladderfe.report.sheets.dimensions import Label, Stations, labels_beside, labels_height
from ladderfe.report.sheets.letters import DOWN, UP, width_of
from ladderfe.report.sheets.pen import NARROW, WIDE, Pen, Point
from ladderfe.report.sheets.rail_curves import Curve, RailCurves, level_values, rail_curves, turning_values
from ladderfe.report.sheets.rail_loading import draw_loading
from ladderfe.report.sheets.words import mm

__all__ = ["rail_diagrams"]

SIGNS = (
    "V: upward forces ahead of a station less the downward ones, drawn upward. M: sagging positive and drawn downward, "
    "on the side of the rail that is in tension. T: about the rail's rearward axis, right-handed, drawn upward. "
    "V and M in the section's own axes, loads upright. Scales are those of both rails."
)
#: Highs and lows that stand out by this part of the greatest value are told.
LEAST = 0.05
#: What a value beside its turning point may cost (`Clutter.place`), and what one of the greatest may.
NEARBY, ANYWHERE = 45.0, 400.0


@dataclass(frozen=True, slots=True)
class _Panel:
    """One diagram: its words, unit, curve, the greatest value of both rails, and 1 where positive is drawn upward."""

    name: str
    letter: str
    unit: str
    per_unit: float
    curve: Curve
    most: float
    up: int

    def told(self, value: float) -> str:
        """A value in the panel's unit, three digits of the greatest."""
        size = self.most / self.per_unit
        digits = 1 if size >= 100 else 2 if size >= 1 else 3
        text = f"{value / self.per_unit:.{digits}f}"
        return text.lstrip("-") if not float(text) else text


def rail_diagrams(findings: Findings, side: str, case: str, *, narrow: bool = False) -> str:
    """Loading, shear, moment and torsion of the rail of a side in a case, as an SVG document.

    `narrow`: for a page 360 px wide.  Raises KeyError if there is no case of that name.
    """
    c = rail_curves(findings, side, case)
    other = rail_curves(findings, "left" if side == "right" else "right", case)
    state = "" if findings.as_found is None else ", as found"
    title = f"{side.capitalize()} rail, {case}{state}"
    about = f"Loading, shear, moment and torsion. {findings.chassis.title}. {SIGNS}"
    pen = Pen(NARROW if narrow else WIDE, title, about)
    rail = next(r for r in findings.chassis.rails if r.side == side)
    f = pen.format
    x_of = Stations(rail.start, rail.end, f.margin + 1.2 * f.size, f.width - f.margin - 1.2 * f.size)
    y = pen.head([findings.chassis.title, SIGNS])
    top = draw_loading(pen, x_of, c, y + 4, _greatest(c, other))
    y = top
    for panel in _panels(c, other):
        y = _draw(pen, x_of, panel, y, c.contraflexure if panel.letter == "M" else ())
    bottom = _ruler(pen, x_of, y + 6)
    supports = [p.station for p in c.points if p.support]
    guides = [[(x_of(s), top), (x_of(s), y + 6)] for s in supports]
    first = Pen(f, "", "")
    first.lines("grid", guides)
    pen.shapes[:0] = first.shapes
    pen.kinds |= first.kinds
    return pen.svg(bottom + f.margin)


def _greatest(*curves: RailCurves) -> tuple[float, float]:
    """The greatest line load and point load of both rails."""
    lines = [abs(v) for c in curves for q in c.lines for v in (q.at_start, q.at_end)]
    return max(lines, default=0.0), max((abs(p.force) for c in curves for p in c.points), default=0.0)


def _panels(c: RailCurves, other: RailCurves) -> tuple[_Panel, ...]:
    rows = (
        ("Shear force", "V", "kN", 1e3, c.shear, other.shear, 1),
        ("Bending moment", "M", "kN m", 1e6, c.moment, other.moment, -1),
        ("Torsion", "T", "kN m", 1e6, c.torsion, other.torsion, 1),
    )
    return tuple(_Panel(n, a, u, k, own, max(own.most, two.most), up) for n, a, u, k, own, two, up in rows)


def _draw(pen: Pen, x_of: Stations, panel: _Panel, top: float, changes: Sequence[float]) -> float:
    """One diagram with its values and, at stations where it changes sign, rings; returns the height below it."""
    f, narrow = pen.format, pen.format is NARROW
    y = top + 1.6 * f.size
    pen.write(f"{panel.name} {panel.letter}, {panel.unit}", (f.margin, y), bold=True, what="panel")
    high = 74.0 if narrow else 92.0
    drawn = panel.up * panel.curve.known
    most = panel.most or 1.0
    above, below = max(0.0, float(drawn.max(initial=0.0))) / most, max(0.0, -float(drawn.min(initial=0.0))) / most
    air = 2.2 * f.size
    axis = y + 0.5 * f.size + air + above * high
    bottom = axis + below * high + air

    def at(station: float, value: float) -> Point:
        return x_of(station), axis - panel.up * value / most * high

    curve = [at(x, v) for x, v in zip(panel.curve.station.tolist(), panel.curve.value.tolist(), strict=True)]
    first, last = at(x_of.start, 0.0), at(x_of.end, 0.0)
    outline = _plain([first, *curve, last])
    pen.area("area", outline)
    pen.line("curve", *outline)
    pen.line("axis", (first[0] - 6, axis), (last[0] + 6, axis))
    _values(pen, panel, at, outline, (y + DOWN * f.size, bottom))
    if not changes:
        return bottom
    labels = [Label(x, f"{x:.0f}", axis + 4) for x in changes]
    for x in changes:
        pen.circle("zero", (x_of(x), axis), 3)
    labels_beside(pen, x_of, labels, bottom - 4, 99, up=False, what="contraflexure")
    foot = bottom - 4 + labels_height(pen, labels, 99) + f.small
    pen.write("rings: contraflexure, stations in mm below", (f.margin, foot + UP * f.small), "soft", size=f.small)
    return foot + f.small


def _plain(points: Sequence[Point]) -> list[Point]:
    """The points without those that lie on the line between their neighbours to a tenth of a pixel."""
    out = [points[0]]
    for k in range(1, len(points) - 1):
        (xa, ya), (xb, yb), (xc, yc) = out[-1], points[k], points[k + 1]
        size = float(np.hypot(xc - xa, yc - ya))
        off = abs((xc - xa) * (yb - ya) - (yc - ya) * (xb - xa)) / size if size > 1e-9 else 1.0
        if off > 0.08 and (abs(xb - xa) > 1e-9 or abs(yb - ya) > 1e-9):
            out.append(points[k])
    return [*out, points[-1]]


def _told(panel: _Panel) -> list[Point]:
    """(station, value) that a diagram tells, the greatest first: where it turns, and where torsion stays level."""
    if not panel.most:
        return []
    found = list(turning_values(panel.curve, LEAST * panel.most))
    if panel.letter == "T":
        length = float(panel.curve.at[-1] - panel.curve.at[0])
        least = LEAST * panel.most
        for station, value in level_values(panel.curve, 0.05 * length):
            if abs(value) >= least and all(abs(value - v) >= least for _, v in found):
                found.append((station, value))
    return sorted(found, key=lambda p: -abs(p[1]))


def _values(
    pen: Pen, panel: _Panel, at: Callable[[float, float], Point], outline: list[Point], room: tuple[float, float]
) -> None:
    """Values where the diagram turns, the greatest first, each clear of the curve and of one another."""
    f = pen.format
    turns = _told(panel)
    sheet = Box(2.0, room[0], f.width - 2.0, room[1])
    moved = np.array(outline) - (0.0, room[0])
    axis = moved[[0, -1]]
    area = Box(sheet.left, 0.0, sheet.right, room[1] - room[0])
    clutter = Clutter.of(area, np.zeros((int(area.bottom) + 1, int(f.width) + 1)), [moved, axis])
    for k, (station, value) in enumerate(turns):
        (x, y), words = at(station, value), panel.told(value)
        wide, tall = width_of(words, f.size), (UP + DOWN) * f.size
        box = clutter.place(np.array([x, y - room[0]]), wide + 2, tall, scale=0.35, most=ANYWHERE if k < 2 else NEARBY)
        if box is None:
            continue
        pen.circle("dot", (x, y), 1.7)
        pen.write(words, (box.left + 1, room[0] + box.top + UP * f.size), "value", what=f"turn {panel.letter}")


def _ruler(pen: Pen, x_of: Stations, y: float) -> float:
    """The common axis of stations; returns the height below it."""
    f = pen.format
    pen.line("axis", (x_of(x_of.start), y), (x_of(x_of.end), y))
    ticks = [float(v) for v in round_ticks(x_of.start - 1, x_of.end + 1, 7 if f is NARROW else 14)]
    for v in ticks:
        x = x_of(v)
        pen.line("axis", (x, y), (x, y + 5))
        pen.write(mm(v), (x, y + 6 + UP * f.small + 1), size=f.small, across="center", what="tick")
    y += 8 + 1.3 * f.small
    pen.write("station, mm from the datum", (f.margin, y + f.small), "soft", size=f.small)
    return y + f.small + 4
