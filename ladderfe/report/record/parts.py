"""What chapters of a record are made of: words, drawings, steps of a calculation, and panes with a template of their
own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from ladderfe.report.blocks import Block, Heading, Paragraph, Table, blocks_of

__all__ = ["Chapter", "Figure", "Pane", "Part", "Prose", "prose"]


@dataclass(frozen=True, slots=True, eq=False)
class Prose:
    """Headings, paragraphs, lists and tables of a text page."""

    blocks: tuple[Block, ...]
    kind: str = "prose"


@dataclass(frozen=True, slots=True, eq=False)
class Figure:
    """A drawing as SVG text, and the words under it.  narrow: the same for a telephone upright; on_white: it brings
    its own white ground; wide: it lies across the paper when printed and keeps its size on small screens."""

    svg: str
    words: str
    narrow: str = ""
    on_white: bool = False
    wide: bool = False
    kind: str = "figure"


@dataclass(frozen=True, slots=True, eq=False)
class Pane:
    """A part with a template of its own, named `name`, which gets `data`."""

    name: str
    data: dict[str, Any] = field(default_factory=dict)
    kind: str = "pane"


Part = Prose | Figure | Pane


@dataclass(frozen=True, slots=True, eq=False)
class Chapter:
    """A chapter under a short key; one without parts is left out of the record."""

    key: str
    title: str
    parts: tuple[Part, ...]

    @property
    def across(self) -> bool:
        """Whether all of it lies across the paper."""
        return all(isinstance(p, Figure) and p.wide for p in self.parts)


def prose(*lines: Iterable[str], without: Sequence[str] = ()) -> tuple[Prose, ...]:
    """Lines of text pages as one part; nothing where there are none.  Headings that begin with a word of `without` are
    left out: the chapter's title says the same."""
    blocks = [b for own in lines for b in blocks_of(own)]
    kept = tuple(b for b in blocks if not (isinstance(b, Heading) and b.words.startswith(tuple(without) or ("\0",))))
    return (Prose(kept),) if kept else ()


def is_list(block: Block) -> bool:
    """Whether a paragraph is an entry of a list."""
    return isinstance(block, Paragraph) and bool(block.label)


def groups(blocks: Iterable[Block]) -> list[tuple[str, list[Block]]]:
    """Blocks by what they become in HTML: (heading, paragraph, list or table; its blocks); entries that follow each
    other are one list."""
    out: list[tuple[str, list[Block]]] = []
    for b in blocks:
        kind = "heading" if isinstance(b, Heading) else "table" if isinstance(b, Table) else "paragraph"
        if is_list(b):
            kind = "list"
            if out and out[-1][0] == "list":
                out[-1][1].append(b)
                continue
        out.append((kind, [b]))
    return out
