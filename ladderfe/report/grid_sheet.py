"""The reading grid as a sheet to print on A4 and fill in by hand: one HTML file with all it needs."""

from __future__ import annotations

from html import escape

from ladderfe.checks.grid import Grid, GridStation
from ladderfe.report.grid_text import ADVICE, off_words, spared_words, why_three

__all__ = ["SHEET_MARK", "grid_sheet"]

SHEET_MARK = b'<meta name="generator" content="ladderfe measure">'
STYLE = """
@page { size: A4 portrait; margin: 12mm 12mm 14mm 12mm; }
* { box-sizing: border-box; }
body { font: 9.5pt/1.3 sans-serif; color: #000; max-width: 186mm; margin: 0 auto; }
h1 { font-size: 15pt; margin: 0 0 1mm; }
h2 { font-size: 12pt; margin: 5mm 0 1.5mm; }
section.rail { break-before: page; }
section.rail h2 { margin-top: 0; }
p { margin: 0 0 1.5mm; }
.lines { display: grid; grid-template-columns: 1fr 1fr; gap: 0 8mm; margin: 3mm 0; }
.lines div { border-bottom: 0.3mm solid #000; height: 8.5mm; padding-top: 4mm; }
ul { margin: 0; padding-left: 5mm; }
li { margin-bottom: 0.8mm; }
table { width: 100%; border-collapse: collapse; }
thead { display: table-header-group; }
tbody { break-inside: avoid; }
th { text-align: left; font-weight: bold; border-bottom: 0.5mm solid #000; padding: 1mm 1.2mm; }
td { border: 0.2mm solid #777; height: 6.1mm; padding: 0 1.2mm; }
tbody tr:first-child td { border-top: 0.5mm solid #000; }
td.number, th.number { text-align: right; }
td.off { background: #ddd; color: #555; text-align: center; print-color-adjust: exact;
  -webkit-print-color-adjust: exact; }
td.place { font-size: 8.5pt; width: 38mm; }
th.fill { width: 19mm; } th.note { width: 36mm; }
@media screen {
  body { padding: min(8mm, 3vw); overflow-wrap: break-word; }
  .scroll { overflow-x: auto; max-width: 100%; }
  .scroll table { min-width: 165mm; }
}
@media screen and (max-width: 34rem) { .lines { grid-template-columns: 1fr; } }
"""


def grid_sheet(grid: Grid, title: str) -> str:
    """HTML of the sheet."""
    name = escape(title)
    lines = ("Vehicle", "Date, by whom", "Gauge and probe", "Sound speed set, m/s", "Step block before: reads, is",
             "Step block after: reads, is")  # fmt: skip
    out = [
        "<!DOCTYPE html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        SHEET_MARK.decode(),
        f"<title>Wall thicknesses: {name}</title><style>{STYLE}</style></head><body>",
        f"<h1>Wall thicknesses: {name}</h1>",
        f"<p>{len(grid.stations)} stations, {grid.readings} readings. Stations are mm rearward from station 0 of the "
        "chassis file, as a rule the front end of the rails. Walls stand in one order on both rails, once round: "
        "outer, top, inner, bottom. Cells with a dash need no reading.</p>",
        '<div class="lines">' + "".join(f"<div>{escape(x)}:</div>" for x in lines) + "</div>",
        "".join(f"<p>{escape(x)}</p>" for x in (off_words(grid), why_three(), spared_words(grid)) if x),
        "<h2>While reading</h2><ul>" + "".join(f"<li>{escape(x)}</li>" for x in ADVICE) + "</ul>",
    ]
    for side in ("left", "right"):
        out.append(_rail(grid.of(side), side))
    return "\n".join([*out, "</body></html>", ""])


def _rail(stations: tuple[GridStation, ...], side: str) -> str:
    count = sum(s.readings for s in stations)
    head = "".join(
        f'<th class="{kind}">{words}</th>'
        for kind, words in (
            ("number", "mm"), ("place", "what is there"), ("", "wall"), ("number", "as built"), ("fill", "reading 1"),
            ("fill", "reading 2"), ("fill", "reading 3"), ("note", "note, hole from / to / rim"),
        )
    )  # fmt: skip
    body = "".join(_station(s) for s in stations)
    return (
        f'<section class="rail"><h2>{side.capitalize()} rail: {count} readings</h2>'
        f'<div class="scroll" tabindex="0" role="region" aria-label="Readings of the {side} rail">'
        f"<table><thead><tr>{head}</tr></thead>{body}</table></div>"
        "<p>Lower corners and seams (where, how long, rings dull?):</p>"
        '<div class="lines"><div></div><div></div><div></div><div></div></div></section>'
    )


def _station(s: GridStation) -> str:
    rows = []
    for k, p in enumerate(s.places):
        cells = "".join("<td></td>" if n < p.count else '<td class="off">&ndash;</td>' for n in range(3))
        first = ""
        if k == 0:
            span = f' rowspan="{len(s.places)}"'
            first = f'<td class="number"{span}>{s.station:g}</td><td class="place"{span}>{escape(s.at)}</td>'
        rows.append(f'<tr>{first}<td>{escape(p.wall)}</td><td class="number">{p.nominal:g}</td>{cells}<td></td></tr>')
    return "<tbody>" + "".join(rows) + "</tbody>\n"
