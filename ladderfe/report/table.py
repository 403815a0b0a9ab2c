"""Plain tables that fit 100 columns."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

__all__ = ["WIDTH", "heading", "paragraph", "table"]

WIDTH = 100


def heading(words: str) -> list[str]:
    """A heading with a rule under it."""
    return ["", words, "-" * len(words)]


def paragraph(text: str, indent: str = "", first: str | None = None) -> list[str]:
    """Text broken at 100 columns."""
    return wrap(text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent)


def table(head: Sequence[str], rows: Sequence[Sequence[str]], align: str, gap: str = "  ") -> list[str]:
    """Aligned columns: align has one letter per column, l(eft), r(ight) or w (left, wrapped to what is left of 100
    columns; the last column only)."""
    columns = len(head)
    fixed = columns - 1 if align.endswith("w") else columns
    width = [max(len(head[k]), *(len(r[k]) for r in rows)) if rows else len(head[k]) for k in range(fixed)]
    used = sum(width) + len(gap) * fixed
    out = [_line(head, align, width, gap)]
    for row in rows:
        if fixed == columns:
            out.append(_line(row, align, width, gap))
            continue
        parts = wrap(row[-1], max(20, WIDTH - used)) or [""]
        out.append(_line([*row[:-1], parts[0]], align, width, gap))
        out += [" " * used + part for part in parts[1:]]
    return out


def _line(cells: Sequence[str], align: str, width: Sequence[int], gap: str) -> str:
    done = [c.rjust(w) if a == "r" else c.ljust(w) for c, a, w in zip(cells, align, width, strict=False)]
    return gap.join([*done, *cells[len(width) :]]).rstrip()
