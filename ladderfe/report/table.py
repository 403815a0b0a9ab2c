"""Plain tables that fit 100 columns."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from textwrap import wrap

__all__ = ["WIDTH", "heading", "paragraph", "table"]

WIDTH = 100
#: Text columns are not made narrower than this.
LONG_TEXT, SHORT_TEXT = 20, 8


def heading(words: str) -> list[str]:
    """A heading with a rule under it."""
    return ["", words, "-" * len(words)]


def paragraph(text: str, indent: str = "", first: str | None = None) -> list[str]:
    """Text broken at 100 columns."""
    return wrap(text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent)


def table(head: Sequence[str], rows: Sequence[Sequence[str]], align: str, gap: str = "  ") -> list[str]:
    """Aligned columns: align has one letter per column, l(eft), r(ight) or w (left, meant for longer text).

    Where the table is wider than 100 columns, text of w columns is broken first, then that of the widest l columns.
    """
    cells = [head, *rows]
    width = _widths([max(len(r[k]) for r in cells) for k in range(len(head))], align, gap)
    out: list[str] = []
    for row in cells:
        broken = [wrap(c, w) or [""] for c, w in zip(row, width, strict=True)]
        for line in zip_longest(*broken, fillvalue=""):
            done = [c.rjust(w) if a == "r" else c.ljust(w) for c, a, w in zip(line, align, width, strict=True)]
            out.append(gap.join(done).rstrip())
    return out


def _widths(wanted: Sequence[int], align: str, gap: str) -> list[int]:
    """Widths of the columns, made narrower until the table fits or no text column can give any more."""
    width = list(wanted)
    over = sum(width) + len(gap) * (len(width) - 1) - WIDTH
    while over > 0:
        least = {"w": LONG_TEXT, "l": SHORT_TEXT}
        able = [k for k, a in enumerate(align) if width[k] > least.get(a, width[k])]
        if not able:
            break
        width[max(able, key=lambda k: (align[k] == "w", width[k]))] -= 1
        over -= 1
    return width
