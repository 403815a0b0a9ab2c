"""Plain tables and paragraphs that fit the page: 100 columns, or as few as 80 where the terminal has no more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from itertools import zip_longest
from math import floor, isfinite, log10
from textwrap import wrap

from ladderfe.report.blocks import Heading, Paragraph, Table, lines_of

__all__ = ["FAR", "NARROWEST", "WIDTH", "heading", "number", "page_width", "paragraph", "share", "table", "two_figures",
           "use_share", "width_now"]  # fmt: skip

WIDTH = 100
#: Utilisations beyond this are told as no more than that.
FAR = 10.0
NARROWEST = 80
#: Text columns are not made narrower than this; long text gives way first as long as it keeps so many columns.
LONG_TEXT, SHORT_TEXT, ROOMY = 20, 8, 40
#: Longer words may be broken.
LONG_WORD = 16
_width = ContextVar("width of the page", default=WIDTH)


@contextmanager
def page_width(columns: int) -> Iterator[None]:
    """Make pages inside this block so many columns wide, 80 at least and 100 at most."""
    token = _width.set(min(max(columns, NARROWEST), WIDTH))
    try:
        yield
    finally:
        _width.reset(token)


def width_now() -> int:
    """Columns of the page that is being made."""
    return _width.get()


def heading(words: str) -> list[str]:
    """A heading with a rule under it."""
    lines = wrap(words, width_now())
    return ["", *lines_of([*lines, "-" * max(map(len, lines))], Heading(words))]


def paragraph(text: str, indent: str = "", first: str | None = None) -> list[str]:
    """Text broken at the page's width."""
    begin = indent if first is None else first
    lines = wrap(text, width_now(), initial_indent=begin, subsequent_indent=indent)
    return lines_of(lines, Paragraph(text, begin.strip()))


def number(value: float) -> str:
    """Four figures, never as a power of ten: 0.0012, 23.46, 205 000."""
    if abs(value) >= 10_000:
        return f"{value:,.0f}".replace(",", " ")
    return f"{value:.4g}" if abs(value) >= 1e-4 or value == 0 else f"{value:.7f}".rstrip("0")


def use_share(ratio: float, places: int = 1) -> str:
    """A utilisation in per cent as every page, table and picture writes it: 0.277 is 27.7 %, and what is beyond `FAR`
    times its limit is told as no more than that (steel has long given way, and formulas of how stresses act together
    do not go so far); the stress itself stands beside it."""
    return f"> {share(FAR, 0)}" if ratio > FAR else share(ratio, places)


def share(ratio: float, places: int = 1) -> str:
    """A ratio in per cent as pages write it, with a space (ISO 80000-1, from memory): 0.277 is 27.7 %."""
    return f"{100 * ratio:.{places}f} %"


def two_figures(value: float) -> str:
    """What bears no more than two figures, never as a power of ten: 0.22, 1.7, 14, 120."""
    if value == 0 or not isfinite(value):
        return f"{value:g}"
    rounded = float(f"{value:.2g}")
    return f"{rounded:.{max(1 - floor(log10(abs(rounded))), 0)}f}"


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], align: str, gap: str = "  ", below: Sequence[str] = ()
) -> list[str]:
    """Aligned columns: align has one letter per column, l(eft), r(ight) or w (left, meant for longer text).

    Where the table is wider than the page, text of w columns is broken first, then heads over numbers, then that of the
    widest l columns.  `below` has words to stand under each row, from the second column on ("" for none).
    """
    cells = [head, *rows]
    wanted = [max(len(r[k]) for r in cells) for k in range(len(head))]
    width = _widths(wanted, [_least(head, rows, k, a) for k, a in enumerate(align)], align, gap)
    out: list[str] = []
    for row, words in zip_longest(cells, ["", *below], fillvalue=""):
        broken = [_broken(c, w) for c, w in zip(row, width, strict=True)]
        for line in zip_longest(*broken, fillvalue=""):
            done = [c.rjust(w) if a == "r" else c.ljust(w) for c, a, w in zip(line, align, width, strict=True)]
            out.append(gap.join(done).rstrip())
        out += paragraph(words, " " * (width[0] + len(gap))) if words else []
    return lines_of(out, Table(tuple(head), tuple(map(tuple, rows)), align, tuple(below)))


def _broken(cell: str, width: int) -> list[str]:
    """The lines of a cell; what fits as it is stays, which most cells do."""
    if 0 < len(cell) <= width and cell.isprintable() and not cell.endswith(" "):
        return [cell]
    return (wrap(cell, width) if width else []) or [""]


def _least(head: Sequence[str], rows: Sequence[Sequence[str]], k: int, align: str) -> int:
    """How narrow a column may become: numbers stay whole, and so do the words of their heads and of text."""
    if align == "r":
        return max(map(len, [*head[k].split(), *(r[k] for r in rows)]), default=0)
    words = [len(word) for r in (head, *rows) for word in r[k].split()]
    least = LONG_TEXT if align == "w" else SHORT_TEXT
    return max([least, *(n for n in words if n <= LONG_WORD)])


def _widths(wanted: Sequence[int], least: Sequence[int], align: str, gap: str) -> list[int]:
    """Widths of the columns, made narrower until the table fits or none can give any more."""
    width = list(wanted)
    over = sum(width) + len(gap) * (len(width) - 1) - width_now()
    while over > 0:
        able = [k for k in range(len(width)) if width[k] > least[k]]
        if not able:
            break
        width[max(able, key=lambda k: (_gives(align[k], width[k]), width[k]))] -= 1
        over -= 1
    return width


def _gives(align: str, width: int) -> int:
    """How readily a column of that width becomes narrower."""
    if align == "w":
        return 3 if width > ROOMY else 1
    return 2 if align == "r" else 0
