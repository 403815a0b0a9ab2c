"""The sheet that engineering drawings are made on: lines, areas and words as SVG, coloured by names of a page.

Places are units of the viewBox, right and down from the upper left.  Every element has a class; colours are custom
properties of the page (`--ink`, `--paper`, `--line`, `--accent`, `--faint`, `--over`), each with a value of its own for
a sheet that is opened alone.  The same strokes give the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from ladderfe.report.colours import ACCENT, BANDS, FAINT, INK, PAPER, SOFT
from ladderfe.report.labels import Box
from ladderfe.report.sheets.letters import DOWN, UP, width_of, wrapped
from ladderfe.report.vector import FONTS, escaped, number, points_text

__all__ = ["NARROW", "TICK", "UPRIGHT", "WIDE", "Across", "Format", "Pen", "Point", "box_of"]

Point = tuple[float, float]
Across = Literal["left", "center", "right"]

_INK, _PAPER, _LINE = f"var(--ink,{INK})", f"var(--paper,{PAPER})", f"var(--line,{SOFT})"
_ACCENT, _FAINT, _OVER = f"var(--accent,{ACCENT})", f"var(--faint,{FAINT})", f"var(--over,{BANDS[4]})"
_CHAIN, _HIDDEN = "stroke-dasharray:9 2.5 1.5 2.5", "stroke-dasharray:3.5 2.5"

#: Between strokes that stand for a weld, and their length, pixels.
STROKE, TICK = 6.0, 5.0
#: What elements of a class look like: visible outlines thick, all else thin, centre lines as chains (ISO 128).
STYLE: Final[dict[str, str]] = {
    "paper": f"fill:{_PAPER}",
    "metal": f"fill:{_FAINT};fill-opacity:.35;stroke:{_INK};stroke-width:1.3;stroke-linejoin:round",
    "cross": f"fill:{_FAINT};fill-opacity:.16;stroke:{_INK};stroke-width:1;stroke-linejoin:round",
    "outline": f"fill:none;stroke:{_INK};stroke-width:1.3",
    "thin": f"fill:none;stroke:{_INK};stroke-width:.7",
    "hidden": f"fill:none;stroke:{_INK};stroke-width:.8;{_HIDDEN}",
    "centre": f"fill:none;stroke:{_LINE};stroke-width:.7;{_CHAIN}",
    "axle": f"fill:none;stroke:{_INK};stroke-width:.8;{_CHAIN}",
    "wheel": f"fill:none;stroke:{_LINE};stroke-width:.8;stroke-dasharray:9 2 1.5 2 1.5 2",
    "ground": f"fill:none;stroke:{_LINE};stroke-width:.8",
    "dim": f"fill:none;stroke:{_LINE};stroke-width:.6",
    "tip": f"fill:{_LINE};stroke:none",
    "mark": f"fill:{_PAPER};stroke:{_INK};stroke-width:1.1;stroke-linejoin:round",
    "dot": f"fill:{_INK};stroke:none",
    "axis": f"fill:none;stroke:{_INK};stroke-width:1",
    "grid": f"fill:none;stroke:{_FAINT};stroke-width:.6",
    "area": f"fill:{_ACCENT};fill-opacity:.16;stroke:none",
    "curve": f"fill:none;stroke:{_ACCENT};stroke-width:1.5;stroke-linejoin:round",
    "load": f"fill:none;stroke:{_ACCENT};stroke-width:1.1",
    "loadtip": f"fill:{_ACCENT};stroke:none",
    "zero": f"fill:{_PAPER};stroke:{_ACCENT};stroke-width:1.2",
    "wall": f"fill:{_INK};fill-rule:evenodd;stroke:{_INK};stroke-width:.4;stroke-linejoin:round",
    "gone": f"fill:none;stroke:{_OVER};stroke-width:1.2;{_HIDDEN}",
    "rust": f"fill:{_OVER};stroke:{_OVER};stroke-width:.4",
    "point": f"fill:none;stroke:{_ACCENT};stroke-width:1.3",
    "plate": f"fill:{_FAINT};fill-opacity:.4;stroke:{_INK};stroke-width:1.5;stroke-linejoin:round",
    "weld": f"fill:none;stroke:{_ACCENT};stroke-width:1.2",
    "strokes": f"fill:none;stroke:{_ACCENT};stroke-width:{TICK:g};stroke-dasharray:1.2 {STROKE - 1.2:g}",
    "hole": f"fill:{_PAPER};stroke:{_INK};stroke-width:1.1",
    "text": f"fill:{_INK}",
    "soft": f"fill:{_LINE}",
    "value": f"fill:{_ACCENT}",
}
HALO: Final = f"paint-order:stroke;stroke:{_PAPER};stroke-width:3px;stroke-linejoin:round"


@dataclass(frozen=True, slots=True)
class Format:
    """Width of a sheet and its sizes of type: titles, words and values, lesser words."""

    width: float
    title: float
    size: float
    small: float
    margin: float

    @property
    def pitch(self) -> float:
        """From line to line of words."""
        return round(1.35 * self.size, 1)


WIDE: Final = Format(1100, 17, 12, 11, 20)
#: For a page of A4 held upright, 180 mm x 235 mm of it: letters of 11 are 7.2 pt there on sheets up to 1018 high.
UPRIGHT: Final = Format(780, 17, 12, 11, 16)
#: For a telephone held upright: no letters under 9.
NARROW: Final = Format(360, 12.5, 9.5, 9, 8)


@dataclass(slots=True)
class Pen:
    """A sheet that is being drawn: shapes in the order of painting, words on top of them, and the boxes of words."""

    format: Format
    title: str
    about: str
    shapes: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    kinds: set[str] = field(default_factory=set)

    def line(self, kind: str, *points: Point) -> None:
        """A line through points."""
        self.lines(kind, [points])

    def lines(self, kind: str, runs: Iterable[Sequence[Point]]) -> None:
        """Separate lines as one element."""
        path = "".join("M" + "L".join(points_text([p]) for p in run) for run in runs)
        if path:
            self._shape(kind, f'<path {{}} d="{path}"/>')

    def area(self, kind: str, points: Iterable[Point]) -> None:
        """A closed polygon."""
        self._shape(kind, f'<polygon {{}} points="{points_text(points)}"/>')

    def box(self, kind: str, box: Box) -> None:
        """A rectangle."""
        x, y, wide, high = (number(v) for v in (box.left, box.top, box.right - box.left, box.high))
        self._shape(kind, f'<rect {{}} x="{x}" y="{y}" width="{wide}" height="{high}"/>')

    def circle(self, kind: str, at: Point, radius: float) -> None:
        """A circle."""
        x, y, r = (number(v) for v in (*at, radius))
        self._shape(kind, f'<circle {{}} cx="{x}" cy="{y}" r="{r}"/>')

    def path(self, kind: str, d: str) -> None:
        """A path by its commands."""
        self._shape(kind, f'<path {{}} d="{d}"/>')

    def _shape(self, kind: str, element: str) -> None:
        self.kinds.add(kind)
        self.shapes.append(element.format(f'class="{kind}"'))

    def write(
        self, words: str, at: Point, kind: str = "text", *, size: float | None = None, across: Across = "left",
        upright: bool = False, bold: bool = False, what: str = "",
    ) -> Box:  # fmt: skip
        """A line of words that stands on `at`, or `upright`, reading upward; returns and keeps their box.

        what: further classes, "is-" before them, that tell what the words say.
        """
        size = self.format.size if size is None else size
        box = box_of(words, at, size, across, upright, bold)
        self.kinds.add(kind)
        self.boxes.append(box)
        x, y = (number(v) for v in at)
        anchor = {"left": "", "center": ' text-anchor="middle"', "right": ' text-anchor="end"'}[across]
        turn = f' transform="rotate(-90 {x} {y})"' if upright else ""
        heavy = ' font-weight="bold"' if bold else ""
        name = " ".join([kind, *(f"is-{w}" for w in what.split())])
        look = f'class="{name}" x="{x}" y="{y}" font-size="{number(size)}"{heavy}{anchor}{turn}'
        self.words.append(f"<text {look}>{escaped(words)}</text>")
        return box

    def free(self, box: Box, gap: float = 1.0) -> bool:
        """Whether no words lie there and it is within the sheet's sides."""
        inside = box.left >= 1 and box.right <= self.format.width - 1
        return inside and not any(box.meets(b, gap) for b in self.boxes)

    def first_free(
        self, words: str, places: Iterable[tuple[Point, Across]], kind: str = "text", *, size: float | None = None,
        what: str = "",
    ) -> Box | None:  # fmt: skip
        """Write words at the first place that is free; None where none is."""
        size = self.format.size if size is None else size
        for at, across in places:
            if self.free(box_of(words, at, size, across, False, False)):
                return self.write(words, at, kind, size=size, across=across, what=what)
        return None

    def head(self, lines: Sequence[str]) -> float:
        """The title and lesser lines below it, wrapped; returns the height below them."""
        f = self.format
        room, y = f.width - 2 * f.margin, f.margin + f.title * UP
        for k, row in enumerate(wrapped(self.title, f.title, room, True)):
            y += 1.25 * f.title if k else 0.0
            self.write(row, (f.margin, y), size=f.title, bold=True)
        return self.notes(lines, y + f.title * DOWN + 2)

    def notes(self, lines: Iterable[str], top: float, kind: str = "soft", left: float | None = None) -> float:
        """Lesser lines of words, wrapped to the sheet, below a height; returns the height below them."""
        f = self.format
        left = f.margin if left is None else left
        y = top
        for line in lines:
            for row in wrapped(line, f.small, f.width - f.margin - left):
                y += 1.3 * f.small
                self.write(row, (left, y), kind, size=f.small)
        return y + DOWN * f.small + 2

    def svg(self, height: float) -> str:
        """The sheet as an SVG document that takes the width of its place."""
        box = f"0 0 {number(self.format.width)} {number(height)}"
        rules = [f".sheet .{k}{{{STYLE[k]}}}" for k in STYLE if k in self.kinds | {"paper"}]
        return "\n".join([
            f'<svg xmlns="http://www.w3.org/2000/svg" class="sheet" viewBox="{box}" width="100%" role="img" '
            f'font-family="{FONTS}" aria-label="{escaped(self.title, quoted=True)}">',
            f"<title>{escaped(self.title)}</title>",
            f"<desc>{escaped(self.about)}</desc>",
            f"<style>{''.join(rules)}.sheet text{{{HALO}}}</style>",
            '<rect class="paper" width="100%" height="100%"/>',
            *self.shapes,
            *self.words,
            "</svg>",
            "",
        ])  # fmt: skip


def box_of(words: str, at: Point, size: float, across: Across, upright: bool, bold: bool) -> Box:
    """The rectangle that words take."""
    wide = width_of(words, size, bold)
    before = wide * {"left": 0.0, "center": 0.5, "right": 1.0}[across]
    x, y = at
    if upright:
        return Box(x - UP * size, y - wide + before, x + DOWN * size, y + before)
    return Box(x - before, y - UP * size, x - before + wide, y + DOWN * size)
