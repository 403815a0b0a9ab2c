"""A catalogue of sections: each as walls and, built apart from them, as the true outline that a 2D library can mesh.

Reached through the fixture `outlines` (conftest.py of this room); scripts/sections-2d solves the outlines once and
keeps the answers in tests/data/sections.csv.  mm.  Every maker takes the wall thickness t and leaves the outline's size
as it is, so that t over the smaller size b may be chosen.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import cos, hypot, pi, sin, sqrt

from sectionproperties.analysis import Section as Solved
from sectionproperties.pre import CompoundGeometry, Geometry, Material
from shapely import LineString, Polygon, unary_union
from shapely import box as rectangle
from shapely.affinity import affine_transform

from ladderfe.sections import (
    Angle,
    Box,
    Channel,
    Fillet,
    Flat,
    Section,
    TopHat,
    Tube,
    Wall,
    boxing_plate,
    lapped_plate,
)

#: Wall thickness over the smaller size of the outline.
RATIOS = (0.08, 0.04, 0.02)
#: Largest triangle over t^2 of the two meshes that each outline is solved on.
MESHES = {"coarse": 0.5, "fine": 0.125}
#: What the library is asked for.
QUANTITIES = ("A", "yc", "zc", "Iyy", "Izz", "Iyz", "J", "ys", "zs", "Asy", "Asz", "Iw")
#: Gap between lapped plates outside their welds, in wall thicknesses: enough to mesh.
GAP = 0.1
#: Chords to a quarter circle in outlines.
ARC = 32


@dataclass(frozen=True)
class Case:
    """A section and its true outline: one piece per metal, with its modulus over the reference."""

    section: Section
    pieces: tuple[tuple[Polygon, float], ...]

    @property
    def area(self) -> float:
        return sum(piece.area * modulus for piece, modulus in self.pieces)


def solve(case: Case, size: float) -> dict[str, float]:
    """The library's answers at nu = 0, triangles of at most `size` mm2; moduli divided out.

    Asy, Asz: shear areas, V^2/(2 G As) being the strain energy of one force alone.  Iw about the shear centre.
    """
    parts = [Geometry(piece, Material("metal", modulus, 0.0, 1.0, 1.0, "grey")) for piece, modulus in case.pieces]
    whole = parts[0] if len(parts) == 1 else CompoundGeometry(parts)
    whole.create_mesh(mesh_sizes=[size] * len(parts))
    true = Solved(whole)
    true.calculate_geometric_properties()
    true.calculate_warping_properties()
    values = (true.get_ea(), *true.get_c(), *true.get_eic(e_ref=1.0), true.get_ej(e_ref=1.0), *true.get_sc(),
              *true.get_eas(e_ref=1.0), true.get_egamma(e_ref=1.0))
    return dict(zip(QUANTITIES, map(float, values), strict=True))


# --- outlines -----------------------------------------------------------------------------------------------------


def plain(section: Section, outline: Polygon) -> Case:
    return Case(section, ((outline, 1.0),))


def frame(y: float, z: float, minus: float, plus: float, bottom: float, top: float) -> Polygon:
    """Box outline of half sizes y and z: outer rectangle less the room inside."""
    return rectangle(-y, -z, y, z) - rectangle(minus - y, bottom - z, y - plus, z - top)


def bent(*corners: tuple[float, float], t: float, radius: float) -> Polygon:
    """A strip of thickness t along mid-line corners (right angles), bent to that outside radius."""
    mean, places = radius - t / 2, [corners[0]]
    for before, corner, after in zip(corners, corners[1:], corners[2:], strict=False):
        way, onward = ((q[0] - p[0], q[1] - p[1]) for p, q in ((before, corner), (corner, after)))
        way, onward = ((v[0] / hypot(*v), v[1] / hypot(*v)) for v in (way, onward))
        for i in range(ARC + 1):
            angle = i / ARC * pi / 2
            back, out = mean * (sin(angle) - 1), mean * (1 - cos(angle))
            places.append((corner[0] + back * way[0] + out * onward[0], corner[1] + back * way[1] + out * onward[1]))
    return LineString([*places, corners[-1]]).buffer(t / 2, cap_style="flat", join_style="mitre")


def rounded(y: float, z: float, radius: float) -> Polygon:
    """Rectangle of half sizes y and z with that corner radius."""
    return rectangle(radius - y, radius - z, y - radius, z - radius).buffer(radius, quad_segs=ARC)


def disc(radius: float) -> Polygon:
    """A circle as a polygon of the same area."""
    n = 8 * ARC
    reach = radius * sqrt(2 * pi / n / sin(2 * pi / n))
    return Polygon([(reach * cos(2 * pi * i / n), reach * sin(2 * pi * i / n)) for i in range(n)])


def plate(wall: Wall) -> Polygon:
    """The true rectangle of a straight wall."""
    along = [(e - s) / wall.length for s, e in zip(wall.start, wall.end, strict=True)]
    y, z = -along[1] * wall.thickness / 2, along[0] * wall.thickness / 2
    (ys, zs), (ye, ze) = wall.start, wall.end
    ys, zs = ys - wall.grow_start * along[0], zs - wall.grow_start * along[1]
    ye, ze = ye + wall.grow_end * along[0], ze + wall.grow_end * along[1]
    return Polygon([(ys + y, zs + z), (ye + y, ze + z), (ye - y, ze - z), (ys - y, zs - z)])


# --- boxes --------------------------------------------------------------------------------------------------------


def box(t: float, h: float = 120.0, b: float = 80.0, minus: float = 1.0, plus: float = 1.0, bottom: float = 1.0,
        top: float = 1.0, modulus: float = 1.0) -> Case:
    """Walls as shares of t; the top wall may be of another metal."""
    minus, plus, bottom, top = t * minus, t * plus, t * bottom, t * top
    section = Box(depth=h, width=b, top=top, bottom=bottom, minus=minus, plus=plus).section()
    outline = frame(b / 2, h / 2, minus, plus, bottom, top)
    if modulus == 1:
        return plain(section, outline)
    lid = rectangle(-b / 2, h / 2 - top, b / 2, h / 2)
    wall = section.named("top")[0]
    across = replace(wall, modulus=modulus, grow_start=plus / 2, grow_end=minus / 2)  # between the webs no longer
    webs = [replace(w, grow_start=min(w.grow_start, -top / 2) if w.start[1] > 0 else w.grow_start,
                    grow_end=min(w.grow_end, -top / 2) if w.end[1] > 0 else w.grow_end)
            for w in section.walls if w.name in ("minus", "plus")]
    walls = (*section.named("bottom"), *webs, across)
    return Case(replace(section, walls=walls), ((outline - lid, 1.0), (lid, modulus)))


def round_box(t: float, h: float = 120.0, b: float = 80.0, radius: float = 2.0) -> Case:
    """Outside corner radius in wall thicknesses."""
    shape = Box(depth=h, width=b, top=t, bottom=t, minus=t, plus=t, radius=radius * t)
    inner = rounded(b / 2 - t, h / 2 - t, (radius - 1) * t)
    return plain(shape.section(), rounded(b / 2, h / 2, radius * t) - inner)


def opened_box(t: float, name: str, at: float, width: float, h: float = 120.0, b: float = 80.0) -> Case:
    """A box with a gap (slit, hole) in a wall, `at` its fraction."""
    closed = box(t, h, b)
    section = closed.section.gap(name, at, width)
    wall = closed.section.named(name)[0]
    (ys, zs), (ye, ze) = wall.start, wall.end
    y, z = ys + at * (ye - ys), zs + at * (ze - zs)
    wide, tall = (width / 2, t) if zs == ze else (t, width / 2)
    return plain(section, closed.pieces[0][0] - rectangle(y - wide, z - tall, y + wide, z + tall))


def bottomless_box(t: float, h: float = 120.0, b: float = 80.0) -> Case:
    closed = box(t, h, b)
    lost = rectangle(t - b / 2, -h / 2, b / 2 - t, t - h / 2)
    return plain(closed.section.without(["bottom"]), closed.pieces[0][0] - lost)


def tube(t: float, d: float = 80.0) -> Case:
    return plain(Tube(diameter=d, wall=t).section(), disc(d / 2) - disc(d / 2 - t))


# --- open sections ------------------------------------------------------------------------------------------------


def channel(t: float, h: float = 120.0, b: float = 60.0, web: float = 1.0, top: float = 1.0, bottom: float = 1.0,
            opens: str = "+y", lip: float = 0.0) -> Case:
    """Walls as shares of t.  Opening up, h is its width and b its depth."""
    web, top, bottom = t * web, t * top, t * bottom
    depth, width = (h, b) if opens[1] == "y" else (b, h)
    shape = Channel(depth=depth, width=width, web=web, top=top, bottom=bottom, opens=opens, lip=lip)
    outline = frame(b / 2, h / 2, web, 0.0, bottom, top) - rectangle(b / 2, -h, b, h)
    if lip:
        upper = rectangle(b / 2 - top, h / 2 - lip, b / 2, h / 2)
        outline = unary_union([outline, upper, rectangle(b / 2 - bottom, -h / 2, b / 2, lip - h / 2)])
    turn = {"+y": (1, 0, 0, 1), "-y": (-1, 0, 0, 1), "+z": (0, -1, 1, 0), "-z": (0, -1, -1, 0)}[opens]
    return plain(shape.section(), affine_transform(outline, [*turn, 0, 0]))


def round_channel(t: float, h: float = 120.0, b: float = 60.0, lip: float = 0.0, radius: float = 2.5) -> Case:
    shape = Channel(depth=h, width=b, web=t, top=t, bottom=t, opens="+y", lip=lip, radius=radius * t)
    y, z = b / 2 - t / 2, h / 2 - t / 2
    if lip:
        corners = [(y, h / 2 - lip), (y, z), (-y, z), (-y, -z), (y, -z), (y, lip - h / 2)]
    else:
        corners = [(b / 2, z), (-y, z), (-y, -z), (b / 2, -z)]
    return plain(shape.section(), bent(*corners, t=t, radius=radius * t))


def top_hat(t: float, h: float = 50.0, b: float = 120.0, brim: float = 20.0) -> Case:
    """Opening down."""
    shape = TopHat(depth=h, width=b, wall=t, brim=brim, opens="-z")
    inner, low = b / 2 - brim, -h / 2
    brims = [rectangle(-b / 2, low, -inner, low + t), rectangle(inner, low, b / 2, low + t)]
    crown = rectangle(-inner, low, inner, h / 2) - rectangle(t - inner, low, inner - t, h / 2 - t)
    return plain(shape.section(), unary_union([*brims, crown]))


def round_hat(t: float, h: float = 50.0, b: float = 120.0, brim: float = 25.0, radius: float = 2.0) -> Case:
    shape = TopHat(depth=h, width=b, wall=t, brim=brim, opens="-z", radius=radius * t)
    rim, side, crown, edge = t / 2 - h / 2, b / 2 - brim - t / 2, h / 2 - t / 2, b / 2
    corners = [(-edge, rim), (-side, rim), (-side, crown), (side, crown), (side, rim), (edge, rim)]
    return plain(shape.section(), bent(*corners, t=t, radius=radius * t))


def closed_hat(t: float, h: float = 50.0, b: float = 120.0, brim: float = 20.0) -> Case:
    """A cell with outstands: the hat's sides joined by a floor."""
    hat = top_hat(t, h, b, brim)
    y, z = b / 2 - brim, t / 2 - h / 2
    floor = Wall("floor", (t / 2 - y, z), (y - t / 2, z), t, -t / 2, -t / 2)
    below = rectangle(-y, -h / 2, y, t - h / 2)
    return plain(Section((*hat.section.walls, floor)), unary_union([hat.pieces[0][0], below]))


def angle(t: float, h: float = 80.0, b: float = 60.0) -> Case:
    shape = Angle(depth=h, width=b, wall=t, corner="-y-z")
    legs = rectangle(-b / 2, -h / 2, t - b / 2, h / 2), rectangle(-b / 2, -h / 2, b / 2, t - h / 2)
    return plain(shape.section(), unary_union(legs))


def flat(t: float, h: float = 60.0) -> Case:
    return plain(Flat(depth=h, thickness=t).section(), rectangle(-t / 2, -h / 2, t / 2, h / 2))


def beam(t: float, h: float = 100.0, top: tuple[float, float] = (30.0, 30.0),
         bottom: tuple[float, float] = (30.0, 30.0), thick: float = 1.0) -> Case:
    """A web with flanges that reach that far to either side of its middle: I, tee, zed.  Bottom `thick` times t."""
    low, parts = thick * t, [rectangle(-t / 2, -h / 2, t / 2, h / 2)]
    base, crown = (low / 2 if any(bottom) else 0.0) - h / 2, h / 2 - t / 2
    walls = [Wall("web", (0.0, base), (0.0, crown), t, -low / 2 if any(bottom) else 0.0, -t / 2)]
    for name, z, depth, reaches in (("top", crown, t, top), ("bottom", base, low, bottom)):
        left, right = (r if r else t / 2 for r in reaches)
        if any(reaches):
            parts.append(rectangle(-left, z - depth / 2, right, z + depth / 2))
        if reaches[0]:
            walls.append(Wall(name, (0.0, z), (-left, z), depth, 0.0 if reaches[1] else t / 2))
        if reaches[1]:
            walls.append(Wall(name, (0.0, z), (right, z), depth, 0.0 if reaches[0] else t / 2))
    return plain(Section(tuple(walls)), unary_union(parts))


# --- plates and cells ---------------------------------------------------------------------------------------------


def lapped(base: Case, wall: str, t: float, width: float, inside: bool = False, centre: float | None = None) -> Case:
    """A plate of thickness t lapped on a wall, joined along its edges over t and GAP t away from it between."""
    section = lapped_plate(base.section, wall, width=width, thickness=t, throat=t, inside=inside, centre=centre)
    found, welds = section.named(f"{wall} plate")[0], [w for w in section.walls if " weld " in w.name]
    off = [(e - s) / welds[0].length * GAP * t for s, e in zip(welds[0].start, welds[0].end, strict=True)]

    def away(place: tuple[float, float]) -> tuple[float, float]:
        return place[0] + off[0], place[1] + off[1]

    moved = replace(found, start=away(found.start), end=away(found.end))
    section = section.swapped(found, [moved])
    bridges = []
    for i, joint in enumerate(welds):
        half = (joint.length + GAP * t) / 2
        section = section.swapped(joint, [replace(joint, end=away(joint.end), grow_start=-half, grow_end=-half)])
        edge, inward = (moved.start, 1) if i == 0 else (moved.end, -1)
        grow = moved.grow_start if i == 0 else moved.grow_end
        along = [inward * (e - s) / moved.length for s, e in zip(moved.start, moved.end, strict=True)]
        middle = [p + (t / 2 - grow) * a - o * (t / 2 + GAP * t / 2) / (GAP * t)
                  for p, a, o in zip(edge, along, off, strict=True)]
        start, end = ([m + s * o for m, o in zip(middle, off, strict=True)] for s in (-1.0, 1.0))
        bridges.append((middle, plate(Wall("weld", (start[0], start[1]), (end[0], end[1]), t))))
    fillets = tuple(Fillet(y, z, GAP * t * t) for (y, z), _ in bridges)
    outline = unary_union([base.pieces[0][0], plate(moved), *(bridge for _, bridge in bridges)])
    return plain(replace(section, fillets=(*section.fillets, *fillets)), outline)


def boxed(t: float, h: float = 120.0, b: float = 60.0, thick: float = 1.0, over: bool = False,
          modulus: float = 1.0) -> Case:
    """A channel closed by a plate of `thick` times t between its flanges or over their edges."""
    base, s = channel(t, h, b), thick * t
    section = boxing_plate(base.section, "top", "bottom", s, over=over)
    cover = rectangle(b / 2, -h / 2, b / 2 + s, h / 2) if over else rectangle(b / 2 - s, t - h / 2, b / 2, h / 2 - t)
    if modulus == 1:
        return plain(section, unary_union([base.pieces[0][0], cover]))
    wall = section.named("boxing plate")[0]
    return Case(section.swapped(wall, [replace(wall, modulus=modulus)]), (base.pieces[0], (cover, modulus)))


def cells(t: float, h: float = 60.0, spans: tuple[float, ...] = (60.0, 60.0), common: float = 1.0,
          modulus: float = 1.0) -> Case:
    """Cells in a row, mid-lines `spans` apart; the walls between them `common` times t, perhaps of another metal."""
    low, high, s = t / 2 - h / 2, h / 2 - t / 2, common * t
    stations = [sum(spans[:i]) for i in range(len(spans) + 1)]
    last = len(spans)
    walls, outline = [], rectangle(-t / 2, -h / 2, stations[-1] + t / 2, h / 2)
    between = []
    for i, y in enumerate(stations):
        own = t if i in (0, last) else s
        ratio = 1.0 if i in (0, last) else modulus
        walls.append(Wall(f"upright {i}", (y, low), (y, high), own, -t / 2, -t / 2, modulus=ratio))
        if 0 < i < last:
            between.append(rectangle(y - s / 2, t - h / 2, y + s / 2, h / 2 - t))
        if i < last:
            ends = (t / 2 if i == 0 else 0.0, t / 2 if i == last - 1 else 0.0)
            right = stations[i + 1]
            walls += [Wall(f"{name} {i}", (y, z), (right, z), t, *ends) for name, z in (("low", low), ("high", high))]
            outline -= rectangle(y + own / 2, t - h / 2, right - (t if i == last - 1 else s) / 2, h / 2 - t)
    if modulus == 1:
        return plain(Section(tuple(walls)), outline)
    inner = unary_union(between)
    return Case(Section(tuple(walls)), ((outline - inner, 1.0), *((piece, modulus) for piece in between)))


# --- the catalogue ------------------------------------------------------------------------------------------------

#: Name, smaller size of the outline in mm, and the maker.
CATALOGUE: dict[str, tuple[float, Callable[[float], Case]]] = {
    "box": (80.0, box),
    "square box": (80.0, lambda t: box(t, h=80.0)),
    "flat box": (50.0, lambda t: box(t, h=50.0, b=120.0)),
    "box with four walls": (80.0, lambda t: box(t, bottom=0.5, plus=0.7)),
    "box with a thin bottom": (80.0, lambda t: box(t, bottom=0.4)),
    "rounded box": (80.0, round_box),
    "rounded square box": (80.0, lambda t: round_box(t, h=80.0, radius=1.5)),
    "box with a slit": (80.0, lambda t: opened_box(t, "plus", 0.5, 4.0)),
    "box with a slit at a corner": (80.0, lambda t: opened_box(t, "plus", 0.1, 4.0)),
    "box with a hole in a web": (80.0, lambda t: opened_box(t, "minus", 0.6, 40.0)),
    "box with a hole below": (80.0, lambda t: opened_box(t, "bottom", 0.5, 25.0)),
    "box without its bottom": (80.0, bottomless_box),
    "tube": (80.0, tube),
    "channel": (60.0, channel),
    "channel with unequal flanges": (60.0, lambda t: channel(t, top=0.8, bottom=0.5)),
    "channel with a thin web": (60.0, lambda t: channel(t, web=0.6, opens="-y")),
    "channel opening up": (60.0, lambda t: channel(t, top=0.7, opens="+z")),
    "rounded channel": (60.0, round_channel),
    "lipped channel": (60.0, lambda t: channel(t, lip=20.0)),
    "unequal lipped channel": (60.0, lambda t: channel(t, top=0.7, lip=15.0)),
    "rounded lipped channel": (60.0, lambda t: round_channel(t, lip=20.0)),
    "top-hat": (50.0, top_hat),
    "deep top-hat": (70.0, lambda t: top_hat(t, h=90.0, b=70.0, brim=15.0)),
    "rounded top-hat": (50.0, round_hat),
    "closed top-hat": (50.0, closed_hat),
    "angle": (60.0, angle),
    "equal angle": (60.0, lambda t: angle(t, h=60.0)),
    "flat": (60.0, flat),
    "tee": (60.0, lambda t: beam(t, top=(30.0, 30.0), bottom=(0.0, 0.0))),
    "zed": (60.0, lambda t: beam(t, top=(30.0, 0.0), bottom=(0.0, 30.0))),
    "I-section": (60.0, beam),
    "unequal I-section": (60.0, lambda t: beam(t, top=(30.0, 30.0), bottom=(25.0, 15.0), thick=0.7)),
    "box with a plate on a web": (80.0, lambda t: lapped(box(t), "plus", t, 80.0)),
    "box with a plate below": (80.0, lambda t: lapped(box(t), "bottom", 0.8 * t, 60.0)),
    "box with a plate off the middle": (80.0, lambda t: lapped(box(t), "minus", t, 50.0, centre=40.0)),
    "channel with a plate on its back": (60.0, lambda t: lapped(channel(t), "web", t, 90.0)),
    "channel with a plate inside": (60.0, lambda t: lapped(channel(t), "web", t, 80.0, inside=True)),
    "channel with a plate below": (60.0, lambda t: lapped(channel(t), "bottom", t, 40.0)),
    "boxed channel": (60.0, boxed),
    "channel boxed over its edges": (60.0, lambda t: boxed(t, over=True, thick=0.7)),
    "channel boxed in another metal": (60.0, lambda t: boxed(t, modulus=0.35)),
    "box with a top of another metal": (80.0, lambda t: box(t, modulus=0.35)),
    "two cells": (60.0, cells),
    "two unequal cells": (60.0, lambda t: cells(t, spans=(80.0, 40.0), common=0.6)),
    "three cells": (60.0, lambda t: cells(t, spans=(50.0, 60.0, 70.0))),
    "two cells, two metals": (60.0, lambda t: cells(t, spans=(80.0, 40.0), modulus=2.0)),
}
