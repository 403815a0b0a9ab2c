"""A drawing as plain shapes and words, made once: rendered to PNG by the canvas, written as SVG with real text.

Places are pixels, right and down from the upper left; sizes of type are pixels too.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from ladderfe.report.canvas import Canvas
from ladderfe.report.colours import INK, PAPER
from ladderfe.report.labels import Box

__all__ = [
    "FONTS", "SVG", "Area", "Drawing", "Segments", "Words", "escaped", "fitted", "number", "png_of", "points_text",
    "svg_of", "width_of",
]  # fmt: skip

#: What stands at the head of every SVG file of this house.
SVG: Final = b"<svg"
#: Share of the size of type by which letters reach above and below the line they stand on.
UP, DOWN = 0.78, 0.24
#: Narrower than the first where that is missing, so that words which have room keep it.
FONTS: Final = "DejaVu Sans, Helvetica, Arial, sans-serif"

Point = tuple[float, float]
Across = Literal["left", "center", "right"]


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon; kind says what it stands for ("hole")."""

    points: tuple[Point, ...]
    fill: str = "none"
    edge: str = "none"
    width: float = 0.0
    kind: str = ""

    @classmethod
    def of(cls, box: Box, fill: str = "none", edge: str = "none", width: float = 0.0, kind: str = "") -> Area:
        """A rectangle."""
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        return cls(corners, fill, edge, width, kind)

    @property
    def box(self) -> Box:
        """The rectangle around it."""
        x, y = zip(*self.points, strict=True)
        return Box(min(x), min(y), max(x), max(y))


@dataclass(frozen=True, slots=True)
class Segments:
    """Separate straight lines, each from one point to another."""

    ends: tuple[tuple[Point, Point], ...]
    colour: str = INK
    width: float = 1.0
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words that stands on `at`; turn: degrees by which it rises about that point.  Characters that XML
    1.0 does not know are replaced."""

    words: str
    at: Point
    size: float
    colour: str = INK
    bold: bool = False
    across: Across = "left"
    turn: float = 0.0
    kind: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "words", _known(self.words))

    @property
    def box(self) -> Box:
        """The rectangle around the words before they are turned."""
        wide = width_of(self.words, self.size, self.bold)
        left = self.at[0] - wide * {"left": 0.0, "center": 0.5, "right": 1.0}[self.across]
        return Box(left, self.at[1] - UP * self.size, left + wide, self.at[1] + DOWN * self.size)


Item = Area | Segments | Words


@dataclass(frozen=True, slots=True)
class Drawing:
    """A sheet: its title, size and what is on it, in the order of painting; words lie on top."""

    title: str
    width: int
    height: int
    items: tuple[Item, ...]

    def areas(self, kind: str) -> tuple[Area, ...]:
        """Areas of a kind."""
        return tuple(i for i in self.items if isinstance(i, Area) and i.kind == kind)

    def segments(self, kind: str) -> tuple[Segments, ...]:
        """Lines of a kind."""
        return tuple(i for i in self.items if isinstance(i, Segments) and i.kind == kind)

    def words(self, kind: str | None = None) -> tuple[Words, ...]:
        """Words of a kind, or all."""
        return tuple(i for i in self.items if isinstance(i, Words) and kind in (None, i.kind))


@lru_cache(maxsize=1)
def _gauge() -> Canvas:
    return Canvas(10, 10)


@contextmanager
def _any_letters() -> Iterator[None]:
    """Letters that the font lacks are drawn as boxes, and no word is lost about it."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph", UserWarning)
        yield


@lru_cache(maxsize=4096)
def width_of(words: str, size: float, bold: bool = False) -> float:
    """Width of words in pixels."""
    with _any_letters():
        return _gauge().measure(words, size, bold)[0] if words else 0.0


def fitted(words: str, size: float, room: float, bold: bool = False) -> str:
    """The words, cut short with an ellipsis where they are wider than the room."""
    with _any_letters():
        return _gauge().fitted(words, size, room, bold)


def png_of(drawing: Drawing) -> bytes:
    """The drawing as a PNG file; the same drawing gives the same bytes."""
    with _any_letters():
        return _png(drawing)


def _png(drawing: Drawing) -> bytes:
    canvas = Canvas(drawing.width, drawing.height)
    for item in drawing.items:
        if isinstance(item, Area):
            canvas.area(np.array(item.points), item.fill, item.edge, item.width * 0.72)
        elif isinstance(item, Segments):
            canvas.segments(np.array(item.ends), item.colour, item.width * 0.72, 5)
        else:
            canvas.stand(item.words, item.at, item.size, item.colour, item.bold, item.across, item.turn)
    return canvas.png()


def svg_of(drawing: Drawing) -> str:
    """The drawing as an SVG document (SVG 1.1) with real text."""
    size = f'viewBox="0 0 {drawing.width} {drawing.height}" width="{drawing.width}" height="{drawing.height}"'
    shapes = [i for i in drawing.items if not isinstance(i, Words)]
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" {size} font-family="{FONTS}" role="img">',
        f"<title>{escaped(drawing.title)}</title>",
        f'<rect width="100%" height="100%" fill="{PAPER}"/>',
        *(_shape(i) for i in shapes),
        *(_words(i) for i in drawing.words()),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _shape(item: Area | Segments) -> str:
    kind = f" class={quoteattr(item.kind)}" if item.kind else ""
    if isinstance(item, Area):
        edge = f' stroke="{item.edge}" stroke-width="{number(item.width)}"' if item.edge != "none" else ""
        return f'<polygon{kind} points="{points_text(item.points)}" fill="{item.fill}"{edge}/>'
    path = "".join(f"M{points_text([a])}L{points_text([b])}" for a, b in item.ends)
    return f'<path{kind} d="{path}" fill="none" stroke="{item.colour}" stroke-width="{number(item.width)}"/>'


def _words(item: Words) -> str:
    x, y = (number(v) for v in item.at)
    kind = f" class={quoteattr(item.kind)}" if item.kind else ""
    anchor = {"left": "", "center": ' text-anchor="middle"', "right": ' text-anchor="end"'}[item.across]
    bold = ' font-weight="bold"' if item.bold else ""
    turn = f' transform="rotate({number(-item.turn)} {x} {y})"' if item.turn else ""
    look = f'x="{x}" y="{y}" font-size="{number(item.size)}" fill="{item.colour}"'
    return f"<text{kind} {look}{bold}{anchor}{turn}>{escaped(item.words)}</text>"


def escaped(words: str, *, quoted: bool = False) -> str:
    """Words with the signs of XML escaped, quotation marks too where they stand in an attribute."""
    return escape(_known(words), {'"': "&quot;"} if quoted else {})


def _known(words: str) -> str:
    """Words whose characters XML 1.0 (section 2.2) knows; others are replaced."""
    return "".join(
        "\ufffd" if (c < " " and c not in "\t\n\r") or "\ud800" <= c <= "\udfff" or c in "\ufffe\uffff" else c
        for c in words
    )


def points_text(points: Iterable[Point]) -> str:
    """Points as an attribute of SVG."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def number(value: float) -> str:
    """To a hundredth of a pixel, without zeros that say nothing."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
