"""The chassis drawing: plan and side view to scale, stations from the datum, dimension chains and section notes."""

from __future__ import annotations

from collections.abc import Iterable

from ladderfe.chassis import Chassis
from ladderfe.checks import Findings
from ladderfe.condition.rails import rail_of, shape_at
from ladderfe.mesh.rails import rail_point
from ladderfe.report.sheets.chassis_labels import Named, bends, hung_parts, over_rails, parts
from ladderfe.report.sheets.chassis_views import Views, draw_plan, draw_side, plan_half, side_reach
from ladderfe.report.sheets.dimensions import Label, chain, labels_beside, labels_height, scale_bar, upright_dimension
from ladderfe.report.sheets.letters import width_of
from ladderfe.report.sheets.outlines import stretches
from ladderfe.report.sheets.pen import NARROW, UPRIGHT, Across, Pen, Point
from ladderfe.report.sheets.words import mm, section_words, span_words

__all__ = ["chassis_drawing"]

PLAN = (
    "Plan to scale, front to the left, as seen from ABOVE: the LEFT rail below, nearer to the reader. Lengths in mm; "
    "stations count rearward from the datum, station 0 of the chassis file. Thin chain lines: centre lines and axles; "
    "wheels for orientation, their width is not given."
)
SIDE = (
    "Left rail from the left to the same scale, front to the left. Lengths in mm; stations count rearward from the "
    "datum, station 0 of the chassis file; heights are those of the rails' middle."
)
PLAN_KEY = (
    "Triangle: mount. Ring: spring eye or seat. Filled triangle: datum. Figures at the ends: over the rails' outer "
    "faces."
)
SIDE_KEY = (
    "Triangle: mount. Ring: spring eye or seat. Dashed: behind the rail. Figures at the ends: depth. Below: A, B, ...: "
    "the rails' sections; overhangs and wheelbase; the whole length."
)
BENDS = "Over the side view: station: height of the rail's middle / over the outer faces of both rails."


def chassis_drawing(findings: Findings, *, narrow: bool = False) -> tuple[str, str]:
    """The chassis of findings as built, plan and side view, as SVG documents; `narrow`: for a page 360 px wide."""
    v = _views(findings, "plan", PLAN, narrow)
    plan = v.pen.svg(_plan_key(v, _plan(v, v.pen.head([PLAN]))) + v.pen.format.margin / 2)
    v = _views(findings, "side view", SIDE, narrow)
    y = _chains(v, _side(v, v.pen.head([SIDE])))
    return plan, v.pen.svg(_key(v, y) + v.pen.format.margin / 2)


def _views(findings: Findings, name: str, about: str, narrow: bool) -> Views:
    """An empty sheet with the scale that both views have."""
    state = findings if findings.as_found is None else findings.as_found.built
    chassis, mesh = state.chassis, state.solution.mesh
    pen = Pen(NARROW if narrow else UPRIGHT, f"{chassis.title}: {name}", about)
    low, high = _reach(chassis)
    left = pen.format.margin + 2.4 * pen.format.size
    return Views(pen, chassis, mesh, (pen.format.width - 2 * left) / (high - low), left, low)


def _reach(chassis: Chassis) -> tuple[float, float]:
    """From where to where anything is drawn."""
    xs = [s for r in chassis.rails for s in (r.start, r.end)] + [m.station for m in chassis.mounts if not m.spread]
    xs += [a.station + k * a.tyre_radius for a in chassis.axles for k in (-1, 1)]
    return min(xs), max(xs)


def _plan(v: Views, top: float) -> float:
    """The plan with words above and below it; returns the height below them."""
    pen, c, narrow = v.pen, v.chassis, v.pen.format is NARROW
    room, half = (150.0 if narrow else 340.0), plan_half(c)
    above, below = parts(c, short=narrow), hung_parts(c)
    edge = top + labels_height(pen, _labels(v, above, -1), room) + 4
    v.plan = edge + 8 + half * v.scale
    draw_plan(v)
    labels_beside(pen, v.x_of, _labels(v, above, -1), edge, room, up=True)
    _datum(v, edge)
    foot = v.plan + half * v.scale + 8
    under = _labels(v, below, 1)
    labels_beside(pen, v.x_of, under, foot, room, up=False)
    rail = rail_of(c, "left")
    for station, way in ((rail.start, -1), (rail.end, 1)):
        wide = over_rails(c, station)
        ends = v.in_plan(station, wide / 2)[1], v.in_plan(station, -wide / 2)[1]
        edge_x = v.x_of(station)
        at = (pen.format.margin + 1.1 * pen.format.size) if way < 0 else pen.format.width - pen.format.margin
        upright_dimension(pen, at, ends, mm(wide), (edge_x + 3 * way, edge_x + 3 * way), "spacing")
    return foot + labels_height(pen, under, room)


def _datum(v: Views, edge: float) -> None:
    """The mark of the datum: a filled triangle on its extension line."""
    x, s = v.x_of(0), 0.55 * v.pen.format.size
    y = edge + 0.3 * (v.plan - edge)
    v.pen.area("dot", [(x, y + s), (x - 0.7 * s, y - 0.4 * s), (x + 0.7 * s, y - 0.4 * s)])


def _labels(v: Views, named: Iterable[Named], way: int) -> list[Label]:
    """Labels whose leaders begin outside what they name in the plan."""
    return [Label(n.station, n.words, v.in_plan(0, -way * n.reach)[1] + 4 * way, n.heavy) for n in named]


def _side(v: Views, top: float) -> float:
    """The side view with heights above it; returns the height below it."""
    pen, c = v.pen, v.chassis
    room = 150.0 if pen.format is NARROW else 340.0
    named = bends(c, short=pen.format is NARROW)
    probe = [Label(n.station, n.words, 0.0) for n in named]
    edge = top + 10 + labels_height(pen, probe, room)
    low, high = side_reach(c)
    v.side = edge + 8 + high * v.scale
    draw_side(v)
    rail = rail_of(c, "left")
    tops = [Label(n.station, n.words, v.from_side(0, float(rail_point(rail, n.station)[2]))[1]) for n in named]
    for label in tops:
        pen.circle("dot", (v.x_of(label.station), label.start), 1.6)
    labels_beside(pen, v.x_of, tops, edge, room, up=True)
    _depths(v)
    _heights(v)
    return v.side - low * v.scale + 8


def _depths(v: Views) -> None:
    """Depth at both ends, and the datum height over the ground."""
    pen, rail = v.pen, rail_of(v.chassis, "left")
    f = pen.format
    for station, at in ((rail.start, f.margin + 1.1 * f.size), (rail.end, f.width - f.margin)):
        z, depth = float(rail_point(rail, station)[2]), shape_at(rail, station).depth
        ends = v.from_side(0, z + depth / 2)[1], v.from_side(0, z - depth / 2)[1]
        x = v.x_of(station) + (3 if station == rail.end else -3)
        upright_dimension(pen, at, ends, mm(depth), (x, x), "depth")


def _heights(v: Views) -> None:
    """The datum height line, and how far it is above the ground."""
    pen, c, f = v.pen, v.chassis, v.pen.format
    y, ground = v.from_side(0, 0)[1], v.from_side(0, c.ground)[1]
    left, right = f.margin + 1.4 * f.size, f.width - f.margin - 1.4 * f.size
    pen.line("centre", (left, y), (right, y))
    words = "height 0" if f is NARROW else "datum height 0"
    rail = rail_of(c, "left")
    front, rear = c.axles
    middle = (front.station + front.tyre_radius + rear.station - rear.tyre_radius) / 2
    places: list[tuple[Point, Across]] = []
    for station, across in ((middle, "left"), (rail.end, "right"), (rail.start, "left")):
        bottom = v.from_side(0, float(rail_point(rail, station)[2]) - shape_at(rail, station).depth / 2)[1]
        x = v.x_of(station) + (-4 if across == "right" else 6)
        places += [((x, max(bottom, y) + k * f.small), across) for k in (1.2, 2.4)]  # type: ignore[misc]
    pen.first_free(words, places, "soft", size=f.small, what="datum")
    x = v.x_of(middle)
    upright_dimension(pen, x, (y, ground), mm(-c.ground), (x - 6, x - 6), "ground")


def _chains(v: Views, top: float) -> float:
    """Rows of dimensions below the side view: sections of the left rail, overhangs and wheelbase, the whole."""
    pen, rail = v.pen, rail_of(v.chassis, "left")
    row = 1.9 * pen.format.size
    own = stretches(rail)
    cuts = [own[0].start, *(s.end for s in own)]
    y = top + row
    chain(pen, v.x_of, cuts, y, top, "sections")
    for k, s in enumerate(own):
        middle, words = v.x_of((s.start + s.end) / 2), chr(65 + k)
        note = f"{words}: {span_words(s.first, s.last)}"
        fits = width_of(note, pen.format.small) < (s.end - s.start) * v.scale - 8
        at = middle, y + 1.25 * pen.format.small
        pen.write(note if fits else words, at, size=pen.format.small, across="center", what="section")
    y += 1.3 * pen.format.small + row
    axles = [a.station for a in v.chassis.axles]
    chain(pen, v.x_of, [rail.start, *axles, rail.end], y, y - 0.6 * row, "overhangs")
    y += row
    chain(pen, v.x_of, [rail.start, rail.end], y, y - 0.6 * row, "overall")
    return y + 8


def _plan_key(v: Views, top: float) -> float:
    """The key of signs and the scale bar."""
    pen, c = v.pen, v.chassis
    y = top
    if pen.format is NARROW:
        y = pen.notes(["Crossmembers:"], y, "soft")
        y = pen.notes([f"{m.name}: {section_words(m.shape)}" for m in c.crossmembers], y - 2, "text")
        tracks = ", ".join(f"{a.name} {mm(a.track)}" for a in c.axles)
        y = pen.notes([f"Track: {tracks}."], y, "soft")
    return _scale(v, pen.notes([PLAN_KEY], y))


def _scale(v: Views, y: float) -> float:
    """The scale bar below a height; returns the height below it."""
    f = v.pen.format
    scale_bar(v.pen, f.width - f.margin, y + f.size, v.scale, f.width / 4)
    return y + 2 * f.size


def _key(v: Views, top: float) -> float:
    """Section notes, the key of signs and the scale bar."""
    pen, narrow = v.pen, v.pen.format is NARROW
    own = stretches(rail_of(v.chassis, "left"))
    y = pen.notes(["Sections of the rails, outside depth x width x wall:"], top, "soft")
    rows = [f"{chr(65 + k)}, {mm(s.start)} to {mm(s.end)}: {span_words(s.first, s.last)}" for k, s in enumerate(own)]
    y = pen.notes(rows, y - 2, "text")
    y = pen.notes([BENDS] if narrow else [], y)
    return _scale(v, pen.notes([SIDE_KEY], y))
