"""The sheet of readings on a telephone: its tables scroll in boxes of their own, and its words are explained."""

from types import SimpleNamespace

from ladderfe.report.grid_sheet import STYLE, grid_sheet


def test_tables_scroll_in_their_own_box(monkeypatch):
    for name in ("off_words", "spared_words"):
        monkeypatch.setattr(f"ladderfe.report.grid_sheet.{name}", lambda grid: "")
    sheet = grid_sheet(SimpleNamespace(stations=(), readings=0, of=lambda side: ()), "Van")
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in sheet
    assert sheet.count('<div class="scroll"') == sheet.count("<table>") == 2
    assert ".scroll { overflow-x: auto;" in STYLE
    assert "datum" not in sheet
    assert "station 0 of the chassis file, as a rule the front end of the rails" in sheet
