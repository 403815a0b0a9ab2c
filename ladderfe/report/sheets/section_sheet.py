"""Sections to scale: walls with their thickness, centroid, shear centre, what they are worth; rust as it was found."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot

from ladderfe.checks import Findings
from ladderfe.condition import Found
from ladderfe.report.labels import Box
from ladderfe.report.sheets.dimensions import Stations, chain, scale_bar, upright_dimension
from ladderfe.report.sheets.letters import DOWN, TIED, UP, wrapped
from ladderfe.report.sheets.pen import NARROW, UPRIGHT, Across, Pen, Point, box_of
from ladderfe.report.sheets.section_cards import Card, Numbers, cards_of, numbers_of
from ladderfe.report.sheets.section_walls import ring_path, wall_middles, wall_polygons
from ladderfe.report.sheets.words import grouped, mm, section_words

__all__ = ["section_count", "section_sheet"]

At = Callable[[float, float], Point]

#: Walls are drawn so thick at least, pixels, by a whole factor up to `MOST`.
THICK, MOST = 4.5, 4
ABOUT = "Cross sections to one scale with the thickness of every wall, outside sizes in mm."


@dataclass(frozen=True, slots=True)
class _Look:
    """Pixels per mm, by how much walls are drawn thicker, room for the drawing and for words beside it."""

    scale: float
    thicker: int
    drawing: float
    words: float


def section_count(findings: Findings) -> int:
    """How many sections a sheet has."""
    found = None if findings.as_found is None else findings.as_found.readings
    return len(cards_of(findings.chassis if found is None else found.built, found))


def section_sheet(
    findings: Findings, found: Found | None = None, *, narrow: bool = False, part: slice = slice(None)
) -> str:  # fmt: skip
    """Every distinct section as built and, with readings, the worst of each stretch as found, as an SVG document.

    `found`: by default that of the findings, if they have one; `narrow`: for a page 360 px wide; `part`: which of the
    sections, to the scale of all.
    """
    if found is None and findings.as_found is not None:
        found = findings.as_found.readings
    chassis = findings.chassis if found is None else found.built
    cards = cards_of(chassis, found)
    pen = Pen(NARROW if narrow else UPRIGHT, f"{chassis.title}: sections", ABOUT)
    look = _look(pen, cards)
    cards = cards[part]
    notes = [
        ABOUT + f" Walls are drawn {look.thicker} times as thick as they are, from their outer faces inward."
        if look.thicker > 1
        else ABOUT,
        "C: centroid. S: shear centre. I about the level axis, Z the weaker of its two section moduli, J torsion "
        "constant.",
    ]
    if found is not None:
        notes.append("As found: full what is left by what strength goes by, coloured what is lost, dashed a wall gone.")
    y = pen.head(notes) + 4
    columns = 1 if narrow else 2
    wide = pen.format.width / columns
    for k in range(0, len(cards), columns):
        row = [_card(pen, look, c, i * wide, y) for i, c in enumerate(cards[k : k + columns])]
        y = max(row) + 10
    scale_bar(pen, pen.format.width - pen.format.margin, y, look.scale, 120.0)
    return pen.svg(y + 12 + pen.format.margin / 2)


def _look(pen: Pen, cards: list[Card]) -> _Look:
    narrow = pen.format is NARROW
    drawing, words = (170.0, 170.0) if narrow else (170.0, 188.0)
    sides = 7.2 * pen.format.size
    scale = min((drawing - sides) / max(c.shape.width for c in cards), 190.0 / max(c.shape.depth for c in cards))
    thinnest = min(w.thickness for c in cards for w in c.section.walls)
    return _Look(scale, max(1, min(MOST, round(THICK / (thinnest * scale)))), drawing, words)


def _card(pen: Pen, look: _Look, card: Card, left: float, top: float) -> float:
    """A section with its words; returns the height below it."""
    f = pen.format
    high, n = card.shape.depth * look.scale, numbers_of(card.left or card.shape, card.sides)
    off = (abs(n.shear_centre[1]) - card.shape.depth / 2) * look.scale + f.size  # of the shear centre beyond the walls
    above, below = (max(2.4 * f.size, off if sign * n.shear_centre[1] > 0 else 0.0) for sign in (1, -1))
    middle = left + f.margin + look.drawing / 2 + 0.6 * f.size, top + above + high / 2

    def at(y: float, z: float) -> Point:
        return middle[0] + y * look.scale, middle[1] - z * look.scale

    _walls(pen, look, card, at, middle)
    _marks(pen, n, at)
    _thickness(pen, card, at)
    half = card.shape.width / 2
    bottom = top + above + high + below - 2.4 * f.size
    x = left + f.margin + 1.1 * f.size
    z = card.shape.depth / 2
    upright_dimension(pen, x, (at(0, z)[1], at(0, -z)[1]), mm(card.shape.depth), (at(-half, 0)[0] - 4,) * 2, "depth")
    stations = Stations(-half, half, at(-half, 0)[0], at(half, 0)[0])
    chain(pen, stations, (-half, half), bottom + 3.4 * f.size, bottom + 2.2 * f.size, "width")
    words = _words(pen, look, card, left + f.margin + look.drawing + 10, top)
    return max(bottom + 4.4 * f.size, words)


def _walls(pen: Pen, look: _Look, card: Card, at: At, middle: Point) -> None:
    """As built; as found what is lost in colour, what is left dark on top of it, walls that are gone dashed."""
    ring = ring_path(card.shape, middle, look.scale, look.thicker)
    if ring is not None:
        pen.path("wall", ring)
        return
    built, state = card.section, card.section if card.left is None else card.left.section(card.sides)
    if card.left is not None:
        names = frozenset(w.name for w in built.walls)
        gone = frozenset(n for n in names if n.removesuffix(" lip") in card.gone)
        _fill(pen, "rust", look, at, wall_polygons(built, look.thicker, names - gone))
        _fill(pen, "gone", look, at, wall_polygons(built, look.thicker, gone))
    _fill(pen, "wall", look, at, wall_polygons(state, look.thicker))


def _fill(pen: Pen, kind: str, look: _Look, at: At, plates: list[list[Point]]) -> None:
    for corners in plates:
        pen.area(kind, [at(y, z) for y, z in corners])


def _thickness(pen: Pen, card: Card, at: At) -> None:
    """The thickness of every wall beside its outer face."""
    size = pen.format.small
    for name, built, middle, (y, z) in wall_middles(card.section):
        words = f"{name} {card.told(name, built)}"
        px, py = at(*middle)
        if abs(z) > abs(y):
            place = (px, py - 4 if z > 0 else py + 4 + UP * size)
            pen.first_free(words, [(place, "center")], size=size, what="thickness")
            continue
        x, high = px + (4 + UP * size if y > 0 else -4 - DOWN * size), at(0, 0)[1] - at(0, card.shape.depth)[1]
        for v in (py, py - 0.22 * high, py + 0.22 * high):
            if pen.free(box_of(words, (x, v), size, "center", True, False)):
                pen.write(words, (x, v), size=size, across="center", upright=True, what="thickness")
                break


def _marks(pen: Pen, n: Numbers, at: At) -> None:
    """Centroid as a ringed cross with C, shear centre as a slanting cross with S."""
    r, size = 0.4 * pen.format.size, pen.format.small
    (cx, cy), (sx, sy) = at(*n.centroid), at(*n.shear_centre)
    pen.circle("point", (cx, cy), r)
    pen.lines("point", [[(cx - 1.5 * r, cy), (cx + 1.5 * r, cy)], [(cx, cy - 1.5 * r), (cx, cy + 1.5 * r)]])
    pen.lines("point", [[(sx - r, sy - r), (sx + r, sy + r)], [(sx - r, sy + r), (sx + r, sy - r)]])
    pen.boxes += [Box(x - r, y - r, x + r, y + r) for x, y in ((cx, cy), (sx, sy))]
    if hypot(cx - sx, cy - sy) < r:
        below: list[tuple[Point, Across]] = [((cx, cy + 2 * r + UP * size), "center"), ((cx, cy - 2 * r), "center")]
        pen.first_free("C, S", below, "value", size=size, what="point")
        return
    for word, right, (x, y), way in (("C", n.centroid[0], (cx, cy), -1), ("S", n.shear_centre[0], (sx, sy), 1)):
        first = way if right >= 0 else -way
        beside: list[tuple[Point, Across]] = []
        for side in (first, -first):
            across: Across = "left" if side > 0 else "right"
            beside += [((x + side * 1.8 * r, y + up * 1.2 * r + 0.36 * size), across) for up in (0.0, -1.0, 1.0, 2.2)]
        pen.first_free(word, beside, "value", size=size, what="point")


def _words(pen: Pen, look: _Look, card: Card, left: float, top: float) -> float:
    """What a card says beside its drawing; returns the height below."""
    f, y = pen.format, top + 1.2 * pen.format.size
    rows: list[tuple[str, str, bool]] = [(card.title, "text", True)]
    rows += [(", ".join(card.places), "text", False), (section_words(card.shape), "text", False)]
    rows.append((card.seen, "soft", False))
    built, mean = numbers_of(card.shape, card.sides), card.mean or card.shape
    rows += [(f"as found: {', '.join(f'{n} {t}' for n, t in card.list_told())}", "text", False)] if card.left else []
    if card.left is None:
        rows += [(line, "text", False) for line in _worth(built)]
    else:
        now, least = numbers_of(mean, card.sides), numbers_of(card.left, card.sides)
        rows += [(line, "text", False) for line in _worth(built, replace(now, Z=least.Z))]
    for words, kind, bold in rows:
        for row in wrapped(words, f.small, look.words, bold):
            pen.write(row, (left, y), kind, size=f.small, bold=bold, what="words")
            y += 1.3 * f.small
    return y


def _worth(built: Numbers, now: Numbers | None = None) -> list[str]:
    """Area, second moments, section modulus and torsion constant in words; with what is left of them."""
    rows = (
        ("area A", "A", "mm2"), ("second moment I", "I", "mm4"), ("I about the upright axis", "I_upright", "mm4"),
        ("section modulus Z", "Z", "mm3"), ("torsion constant J", "J", "mm4"),
    )  # fmt: skip
    out = []
    for words, name, unit in rows:
        value = getattr(built, name)
        if now is None:
            out.append(f"{words} {grouped(value)}{TIED}{unit}")
        else:
            left = getattr(now, name)
            of = f"of {grouped(value)}{TIED}{unit}, {100 * left / value:.1f}{TIED}%"
            out.append(f"{'I upright' if name == 'I_upright' else name} {grouped(left)} {of}")
    return out
