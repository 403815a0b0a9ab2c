"""Lines of text pages that know what they are part of, so that other kinds of pages can show the same words.

`heading`, `paragraph` and `table` of `ladderfe.report.table` make lines for the terminal.  Every such line also carries
its block: the heading, paragraph or table as it was before it was broken into lines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Block", "Heading", "Line", "Paragraph", "Table", "blocks_of", "lines_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Heading:
    """Words over a part of a page."""

    words: str


@dataclass(frozen=True, slots=True, eq=False)
class Paragraph:
    """Running text; `label` is the sign before it in a list: "-", or a letter that tables refer to."""

    words: str
    label: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Cells of a head and of rows; `align` has a letter per column, l(eft), r(ight) or w (left, for longer text);
    `below` has words to stand under each row, where it is not empty."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: str
    below: tuple[str, ...] = ()


Block = Heading | Paragraph | Table


class Line(str):
    """A line of a text page and the block that it belongs to."""

    __slots__ = ("block",)
    block: Block

    def __new__(cls, text: str, block: Block) -> Line:
        line = super().__new__(cls, text)
        line.block = block
        return line


def lines_of(texts: Iterable[str], block: Block) -> list[str]:
    """Lines of one block."""
    return [Line(text, block) for text in texts]


def blocks_of(lines: Iterable[str]) -> tuple[Block, ...]:
    """The blocks of lines, in order; a line that knows none is a paragraph of its own, an empty one is nothing."""
    out: list[Block] = []
    for line in lines:
        if not isinstance(line, Line):
            out += [Paragraph(line.strip())] if line.strip() else []
        elif not out or out[-1] is not line.block:
            out.append(line.block)
    return tuple(out)
