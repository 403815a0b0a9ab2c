"""The record as PDF; where weasyprint or its libraries are missing the test is NOT RUN."""

from __future__ import annotations

import re
import zlib

import pytest

from ladderfe.errors import ModelError
from ladderfe.report.record.pdf import PDF, may_make_pdf, pdf_of


def test_the_record_becomes_a_pdf(record_maker, plain_file):
    """Pages, and no warning of the maker that a drawing could not be read; the same again gives the same bytes: looked
    at on the sheet and the first chapters, some of which have drawings."""
    try:
        may_make_pdf()
    except ModelError as error:
        pytest.skip(f"NOT RUN: {error}")
    import logging

    said = []
    handler = logging.Handler()
    handler.emit = lambda record: said.append(record.getMessage())
    logging.getLogger("weasyprint").addHandler(handler)
    page = record_maker(plain_file, None)
    made = pdf_of(page)
    logging.getLogger("weasyprint").removeHandler(handler)
    assert made.startswith(PDF)
    whole = made + b"".join(_unpacked(made))
    assert 8 <= len(re.findall(rb"/Type ?/Page\b(?!s)", whole)) <= 40
    assert not [words for words in said if words.startswith(("Failed", "Ignored `background"))]
    few = "".join(re.split(r"(?=<section )", page)[:6])
    assert "<svg" in few
    assert len(few) < len(page)
    assert pdf_of(few) == pdf_of(few)


def _unpacked(pdf):
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            yield zlib.decompress(stream)
        except zlib.error:
            continue


def test_drawings_are_made_plain_for_it():
    """Variables become the page's colours or what the drawing says without them; rims around words are left out."""
    from ladderfe.report.record import pdf

    seen = []

    class Maker:
        class HTML:
            def __init__(self, string):
                seen.append(string)

            def write_pdf(self, pdf_identifier):
                return pdf.PDF

    page = (
        "<style>:root { --ink: #123456; } /* dark */ :root { --ink: #fff; }</style><script>let a;</script>"
        "<svg><style>.sheet .a{fill:var(--ink,#000)}.sheet .b{fill:var(--none,#abcdef)}.sheet text{paint-order:stroke;"
        "stroke:var(--paper,#fff)}</style></svg>"
    )
    original, pdf._weasyprint = pdf._weasyprint, lambda: Maker
    try:
        pdf.pdf_of(page)
    finally:
        pdf._weasyprint = original
    assert "<svg><style>.sheet .a{fill:#123456}.sheet .b{fill:#abcdef}</style></svg>" in seen[0]
    assert "script" not in seen[0]
