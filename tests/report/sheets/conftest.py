"""Sheets are read back from their SVG: words with their boxes, measured in the true font instead of by the table."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import combinations

import pytest

from ladderfe.report.labels import Box
from ladderfe.report.vector import DOWN, UP, width_of

NS = "{http://www.w3.org/2000/svg}"


def true_width(words: str, size: float, bold: bool) -> float:
    """Width in the font, measured ten times as large: small letters are rounded to whole pixels there."""
    return width_of(words, 10 * size, bold) / 10


@dataclass(frozen=True)
class Told:
    """A line of words of a sheet: what it says, its classes, size of type and box."""

    words: str
    kinds: frozenset[str]
    size: float
    box: Box

    @property
    def number(self) -> float:
        """The number that it begins with; spaces that do not break stand between thousands."""
        return float(re.match(r"-?[\d\u00a0.]+", self.words).group().replace("\u00a0", ""))


class Sheet:
    """An SVG document that was read back."""

    def __init__(self, svg: str) -> None:
        self.svg, self.root = svg, ET.fromstring(svg)
        self.left, self.top, self.width, self.height = map(float, self.root.get("viewBox").split())
        self.told = [self._told(e) for e in self.root.iter(f"{NS}text")]

    @staticmethod
    def _told(e: ET.Element) -> Told:
        size, x, y = (float(e.get(k)) for k in ("font-size", "x", "y"))
        wide = true_width(e.text or "", size, e.get("font-weight") == "bold")
        before = wide * {"middle": 0.5, "end": 1.0}.get(e.get("text-anchor"), 0.0)
        if e.get("transform"):
            box = Box(x - UP * size, y + before - wide, x + DOWN * size, y + before)
        else:
            box = Box(x - before, y - UP * size, x - before + wide, y + DOWN * size)
        return Told(e.text or "", frozenset(e.get("class").split()), size, box)

    def of(self, what: str) -> list[Told]:
        """All words that tell one kind of thing."""
        return [t for t in self.told if f"is-{what}" in t.kinds]

    def shapes(self, kind: str) -> list[ET.Element]:
        """Elements of a class beside words."""
        return [e for e in self.root.iter() if e.get("class") == kind and not e.tag.endswith("text")]

    def overlaps(self) -> list[tuple[str, str]]:
        """Pairs of words whose boxes overlap by more than half a pixel."""
        return [(a.words, b.words) for a, b in combinations(self.told, 2) if a.box.meets(b.box, -0.5)]

    def beyond(self) -> list[str]:
        """Words that reach beyond the sheet."""
        whole = Box(0, 0, self.width, self.height)
        return [
            t.words
            for t in self.told
            if t.box.left < whole.left - 0.5 or t.box.right > whole.right + 0.5
            or t.box.top < whole.top or t.box.bottom > whole.bottom
        ]  # fmt: skip

    def in_order(self) -> None:
        """What holds of every sheet."""
        assert not self.overlaps()
        assert not self.beyond()
        assert min(t.size for t in self.told) >= 9
        assert self.root.get("role") == "img"
        assert self.root.find(f"{NS}title").text
        assert self.root.find(f"{NS}desc").text
        for rule in re.findall(r"var\([^)]*\)", self.svg):
            assert re.fullmatch(r"var\(--(ink|paper|line|accent|faint|over),#[0-9a-f]{6}\)", rule)


@pytest.fixture(scope="session")
def sheet_of() -> type[Sheet]:
    """Reads an SVG document back."""
    return Sheet
