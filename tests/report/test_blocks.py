"""Lines of text pages know their blocks: what is shown elsewhere are the same words."""

from __future__ import annotations

from ladderfe.report.blocks import Heading, Line, Paragraph, Table, blocks_of
from ladderfe.report.table import heading, page_width, paragraph, table

LONG = "A sentence that is long enough to be broken into several lines on any page of this house, however wide it is."


def test_a_block_comes_back_once_and_unbroken():
    """Whatever the width of the page, words and cells are those that went in."""
    rows = [["a", "1.5"], ["b", "20"]]
    for width in (80, 100):
        with page_width(width):
            lines = [*heading("Head"), *paragraph(LONG), *paragraph(LONG, "  ", "- "), *table(["x", "mm"], rows, "lr")]
        head, words, entry, cells = blocks_of(lines)
        assert isinstance(head, Heading)
        assert head.words == "Head"
        assert (words.words, words.label) == (LONG, "")
        assert (entry.words, entry.label) == (LONG, "-")
        assert isinstance(cells, Table)
        assert (cells.head, cells.rows, cells.align) == (("x", "mm"), (("a", "1.5"), ("b", "20")), "lr")


def test_equal_paragraphs_side_by_side_are_two():
    """Blocks are told apart by what they are, not by what they say."""
    assert len(blocks_of([*paragraph("Same."), *paragraph("Same.")])) == 2


def test_plain_lines_are_paragraphs_and_lines_stay_text():
    """Lines that were put together by hand are not lost; a line with a block is a string like any other."""
    (only,) = blocks_of(["", "  by hand", ""])
    assert isinstance(only, Paragraph)
    assert only.words == "by hand"
    line = paragraph("words")[0]
    assert isinstance(line, Line)
    assert "\n".join([line, "x"]) == "words\nx"
