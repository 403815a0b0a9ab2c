"""Findings as a spreadsheet workbook (Office Open XML, ISO/IEC 29500): a sheet that sums up, then a sheet per table."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from ladderfe import __version__
from ladderfe.checks import Findings
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.data import findings_tables

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook

__all__ = ["LEFT_OUT", "findings_workbook"]

#: Tables too long for a spreadsheet to be handled in: they are there as CSV.
LEFT_OUT = ("stresses",)
#: Written into every workbook, so that the same findings give the same bytes.
CREATED = datetime(2000, 1, 1)
#: Columns whose numbers are shares, shown in per cent.
SHARES = ("utilisation", "utilisation at low", "utilisation at high", "utilisation as built", "utilisation as found")
WIDEST, NARROWEST = 60, 8
#: Rows that the width of a column is taken from.
LOOKED_AT = 200


def findings_workbook(findings: Findings, source: str) -> bytes:
    """The workbook's bytes.  Sheets have the tables' names, header cells the columns' names with units; text that looks
    like a formula or a link stays text.  The same findings give the same bytes."""
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "nan_inf_to_errors": True}
    )
    book.set_properties({"title": findings.chassis.title, "comments": f"ladderfe {__version__}", "created": CREATED})
    bold = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    share = book.add_format({"num_format": "0.0 %"})
    over = book.add_format({"bold": True, "num_format": '0.0 % "OVER"'})
    _summary(book, findings, source, (bold, share, over))
    for name, (head, rows) in findings_tables(findings).items():
        if name not in LEFT_OUT:
            _sheet(book, name, (head, rows), (bold, share, over))
    book.close()
    return out.getvalue()


def _summary(book: Workbook, f: Findings, source: str, formats: tuple[Format, Format, Format]) -> None:
    """What the page begins with: greatest utilisation of every case, and the cautions."""
    bold, share, over = formats
    sheet = book.add_worksheet("summary")
    sheet.set_column(0, 0, 44)
    sheet.set_column(1, 1, 16)
    sheet.set_column(2, 7, 20)
    lines = [f.chassis.title, f"Chassis file: {source}", f"Weighed: {f.chassis.condition}", f"ladderfe {__version__}"]
    for k, line in enumerate(lines):
        sheet.write_string(k, 0, line)
    first = len(lines) + 1
    head = ("case", "utilisation", "part", "along mm", "wall", "criterion", "stress N/mm2",
            "utilisation, thin walls and seats counted")  # fmt: skip
    sheet.write_row(first, 0, head, bold)
    row, thin = first, f.buckling.by_case()
    for u in f.first_of_cases().values():
        row += 1
        sheet.write_string(row, 0, u.case)
        sheet.write_number(row, 1, u.ratio, over if u.ratio > 1 else share)
        sheet.write_row(row, 2, (u.part, round(u.along, 1), u.wall, u.criterion, round(u.stress, 1)))
        most = max(u.ratio, thin.get(u.case, 0.0))
        sheet.write_number(row, 7, most, over if most > 1 else share)
    row += 2
    sheet.write_string(row, 0, f"Not here but in CSV files, for their length: {', '.join(LEFT_OUT)}.")
    for k, text in enumerate(CAUTIONS):
        sheet.write_string(row + 2 + k, 0, text)


def _sheet(
    book: Workbook, name: str, table: tuple[Sequence[str], Sequence[Sequence[Any]]], formats: tuple[Format, ...]
) -> None:
    """One table: header frozen, filter on, columns as wide as what stands in them."""
    bold, share, over = formats
    head, rows = table
    sheet = book.add_worksheet(name)
    sheet.freeze_panes(1, 0)
    sheet.write_row(0, 0, head, bold)
    if rows:
        sheet.autofilter(0, 0, len(rows), len(head) - 1)
    for k, title in enumerate(head):
        shown = [len(_text(row[k])) for row in rows[:LOOKED_AT]]
        sheet.set_column(k, k, min(max([NARROWEST, *shown, min(len(title), 14)]) + 1, WIDEST))
    for r, row in enumerate(rows, start=1):
        for k, value in enumerate(row):
            if value is None:
                continue
            if head[k] in SHARES and isinstance(value, float):
                sheet.write_number(r, k, value, over if value > 1 else share)
            elif isinstance(value, str):
                sheet.write_string(r, k, value)
            else:
                sheet.write(r, k, value)


def _text(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
