"""The workbook, read back by another library (openpyxl): the same numbers as the tables, text that stays text."""

import io
from dataclasses import replace
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook

from ladderfe.report.data import findings_tables
from ladderfe.report.workbook import LEFT_OUT, findings_workbook


@pytest.fixture(scope="module")
def data(plain_findings):
    return findings_workbook(plain_findings, "models/test-frame.toml")


@pytest.fixture(scope="module")
def book(data):
    return load_workbook(io.BytesIO(data))


def test_a_sheet_for_every_table(book, plain_findings):
    names = [n for n in findings_tables(plain_findings) if n not in LEFT_OUT]
    assert book.sheetnames == ["summary", *names]
    assert all(len(n) <= 31 for n in book.sheetnames)  # what a sheet's name may be long


@pytest.mark.parametrize("name", ["utilisations", "resultants", "reactions", "self-check", "assumptions"])
def test_cells_are_the_tables_values(book, plain_findings, name):
    head, rows = findings_tables(plain_findings)[name]
    cells = list(book[name].iter_rows(values_only=True))
    assert cells[0] == head
    assert len(cells) == len(rows) + 1
    for shown, row in zip(cells[1:], rows, strict=True):
        for cell, value in zip(shown, row, strict=True):
            if isinstance(value, float):
                assert cell == pytest.approx(value, rel=1e-15)  # xlsx keeps 16 digits
            else:
                assert cell == value


def test_the_summary_has_the_governing_number_of_every_case(book, plain_findings):
    rows = {r[0]: r for r in book["summary"].iter_rows(values_only=True)}
    for case, u in plain_findings.first_of_cases().items():
        assert rows[case][1] == pytest.approx(u.ratio, rel=1e-15)
        assert rows[case][2] == u.part


def test_the_summary_tells_a_case_over_at_a_seat_only(plain_findings):
    """All stresses below their limits, a web at a spring seat over its own: `check` tells that case OVER, and so does
    the first sheet."""
    f = plain_findings
    seat = replace(f.buckling.seats[0], by_case=((f.buckling.seats[0].case, 1.234),))
    f = replace(f, buckling=replace(f.buckling, seats=(seat,)))
    assert [name for name, _ in f.cases_over()] == [seat.case]
    sheet = load_workbook(io.BytesIO(findings_workbook(f, "frame.toml")))["summary"]
    (row,) = [r for r in sheet.iter_rows() if r[0].value == seat.case]
    assert (row[7].value, "OVER" in row[7].number_format) == (pytest.approx(1.234), True)
    assert row[1].value < 1


def test_what_is_over_is_marked_in_words_too(book, plain_findings):
    column = book["utilisations"]["J"][1:]
    ratios = [(c.value, "OVER" in c.number_format) for c in column]
    assert all(over == (value > 1) for value, over in ratios)


def test_the_same_findings_give_the_same_bytes(data, plain_findings):
    assert findings_workbook(plain_findings, "models/test-frame.toml") == data


def test_text_that_looks_like_a_formula_or_a_link_stays_text(plain_findings):
    evil = "=HYPERLINK(\"http://x\")"
    f = replace(plain_findings, chassis=replace(plain_findings.chassis, title=evil))
    made = findings_workbook(f, "https://example.org/file.toml")
    cell = load_workbook(io.BytesIO(made))["summary"]["A1"]
    assert (cell.value, cell.data_type) == (evil, "s")
    names = ZipFile(io.BytesIO(made)).namelist()
    sheets = [ZipFile(io.BytesIO(made)).read(n).decode() for n in names if n.startswith("xl/worksheets/")]
    assert sheets
    assert not any("<f>" in s or "hyperlink" in s for s in sheets)
