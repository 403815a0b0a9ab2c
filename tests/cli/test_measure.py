"""`ladderfe measure`: stations and counts against the chassis file, tables that read back, sheets to print."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from ladderfe.chassis import Span, read_chassis
from ladderfe.checks import check
from ladderfe.checks.grid import alike, hardest_of, reading_grid
from ladderfe.cli.main import UNUSABLE, run
from ladderfe.condition import as_found, readings_from_text, walls_at
from ladderfe.report.grid_sheet import grid_sheet
from ladderfe.report.grid_text import grid_csv, grid_text
from ladderfe.sections import TopHat

MODELS = Path(__file__).resolve().parents[2] / "models"
PLAIN, LORRY = str(MODELS / "test-frame.toml"), MODELS / "light-lorry.toml"


@pytest.fixture(scope="module")
def lorry():
    """Findings of a frame that works lightly here and there."""
    return check(read_chassis(LORRY), assumptions=False)


@pytest.fixture(scope="module")
def demo_grid(demo_findings):
    return reading_grid(demo_findings)


def test_there_is_a_station_wherever_something_is_mounted(demo_findings, demo_grid):
    """Within 50 mm, as the chassis file of the demo has them."""
    chassis = demo_findings.chassis
    for side in ("left", "right"):
        stations = np.array([s.station for s in demo_grid.of(side)])
        wanted = [c.station_left for c in chassis.crossmembers] + [1180, 2250]  # outriggers
        wanted += [250, 1110, 2520, 3580, 900, 2350, 2750, 0, 3900]  # hangers, bends, ends
        wanted += [m.station for m in chassis.mounts if m.part == f"{side} rail"]
        assert all(np.abs(stations - x).min() <= 50 for x in wanted)
        assert np.diff(stations).max() <= 200.5
        assert np.diff(stations).min() > 0


@pytest.mark.parametrize("spacing", [150.0, 250.0])
def test_stations_are_no_further_apart_than_asked(demo_findings, spacing):
    grid = reading_grid(demo_findings, spacing)
    for side in ("left", "right"):
        assert np.diff([s.station for s in grid.of(side)]).max() <= spacing + 0.5


def test_every_wall_is_read_and_the_hardest_one_three_times(demo_findings, demo_grid):
    rail = demo_findings.chassis.rails[0]
    for s in demo_grid.of("left"):
        assert not s.light
        assert {p.wall for p in s.places} == set(walls_at(rail, s.station))
        assert sorted(p.count for p in s.places) == [1, 1, 1, 3]
        assert max(s.places, key=lambda p: p.count).use >= 0.95 * max(p.use for p in s.places)
    assert demo_grid.readings == sum(p.count for s in demo_grid.stations for p in s.places)


def test_walls_stand_in_one_order_on_both_rails_wherever_they_are(demo_grid, lorry):
    """One walks round a rail: outer, top, inner, bottom, whichever works hardest."""
    assert {tuple(p.wall for p in s.places) for s in demo_grid.stations} == {("outer", "top", "inner", "bottom")}
    full = reading_grid(lorry, light=0.0).stations
    assert {tuple(p.wall for p in s.places) for s in full} == {("web", "top", "bottom")}


@pytest.mark.parametrize(("beside", "front"), [([], 1690), ([1660.0], 1660)])
def test_both_sections_are_read_at_a_step(made, beside, front):
    """A channel in front of 1700 mm and a much thinner box behind it; what is mounted 40 mm in front is read with its
    own section, whose use is not that of the other."""
    spans = (Span(start=0, end=1700, shape=made.channel(150, 75, 6, "-y")), Span(start=1700, end=4000, shape=made.box(
        150, 75, 1)))  # fmt: skip
    mounts = tuple(made.mount(f"mount {x:g}", "left rail", x, -made.HALF) for x in beside)
    findings = check(made.chassis(rails=made.rails(spans=spans), mounts=mounts), assumptions=False)
    stations = {s.station: s for s in reading_grid(findings).of("left")}
    assert [p.wall for p in stations[front].places] == ["web", "top", "bottom"]
    assert {p.wall for p in stations[1700].places} == {"outer", "top", "inner", "bottom"}
    assert all(x == front or not 1650 <= x < 1700 for x in stations)
    uses = {x: max(p.use for p in stations[x].places) for x in (front, 1700)}
    members = [u for u in findings.utilisations if u.part == "left rail"]
    for x, own in ((front, [u for u in members if u.along <= 1700]), (1700, members)):
        assert uses[x] <= max(u.ratio for u in own) * (1 + 1e-9)
    assert uses[1700] > 1.5 * uses[front]


def test_what_stands_beside_its_station_is_told_with_its_own(made):
    """A crossmember at 1900 mm and a mount 40 mm in front of it are read at one station, that of the mount."""
    mounts = (made.mount("tank", "left rail", 1860.0, -400.0),)
    grid = reading_grid(check(made.chassis(mounts=mounts), assumptions=False))
    station = next(s for s in grid.of("left") if s.station == 1860)
    assert station.at == "tank, crossmember middle (at 1900)"
    assert not any(1860 < s.station <= 1900 for s in grid.of("left"))
    for page in (grid_text(grid, "Frame"), grid_sheet(grid, "Frame")):
        words = " ".join(page.split())
        assert "1900)" in words
        assert "within 50 mm of each other share one station" in words


def test_use_is_never_less_than_that_of_the_section_itself(lorry):
    """Between two nodes of a long member, too: the greatest of the rail is found at some station."""
    grid = reading_grid(lorry)
    for side in ("left", "right"):
        greatest = max(u.ratio for u in lorry.utilisations if u.part == f"{side} rail")
        assert max(p.use for s in grid.of(side) for p in s.places) == pytest.approx(greatest, rel=1e-9)
        assert min(p.use for s in grid.of(side) for p in s.places) > 0


@pytest.mark.parametrize("kind", ["tube", "top-hat"])
def test_rails_of_one_thickness_all_round_have_one_wall_to_read(made, kind):
    """Its use is that of the hardest quarter, crown, side or brim."""
    hat = TopHat(depth=140, width=120, wall=3, brim=25, opens="-z")
    frame = made.chassis(rails=made.rails(made.Tube(diameter=140, wall=4) if kind == "tube" else hat))
    findings = check(frame, assumptions=False)
    grid = reading_grid(findings)
    assert {p.wall for s in grid.stations for p in s.places} == {"wall"}
    for side in ("left", "right"):
        greatest = max(u.ratio for u in findings.utilisations if u.part == f"{side} rail")
        assert max(p.use for s in grid.of(side) for p in s.places) == pytest.approx(greatest, rel=1e-9)
    table = readings_from_text(grid_csv(grid, "Frame"), "grid.csv", frame)
    assert len(table.unread) == grid.readings


def test_few_readings_where_all_walls_work_lightly_and_nothing_is_mounted(lorry):
    grid, none = reading_grid(lorry), reading_grid(lorry, light=0.0)
    assert not none.spared
    assert len(grid.spared) > 5
    assert grid.readings < none.readings
    for s in grid.spared:
        assert [p.count for p in s.places] == [1]
        assert s.places[0].use < 0.25
        assert not any(f.held for f in s.features)
    text = " ".join(grid_text(grid, "Lorry").split())
    assert f"Where not to bother: {len(grid.spared)} of {len(grid.stations)} stations, whose walls work at less" in text
    spared = grid.spared[0]
    assert f"{spared.station:g} ({100 * spared.places[0].use:.1f} %)" in text


def test_the_table_reads_back_and_can_be_filled_in(demo_findings, demo_grid):
    chassis = demo_findings.chassis
    text = grid_csv(demo_grid, chassis.title)
    empty = readings_from_text(text, "grid.csv", chassis)
    assert len(empty.unread) == demo_grid.readings
    assert as_found(chassis, empty).chassis.rails == as_found(chassis, replace(empty, unread=())).built.rails
    filled = text.replace("bottom,,,,", "bottom,2.1,,,", 3)
    found = as_found(chassis, readings_from_text(filled, "grid.csv", chassis))
    assert [p.values for p in found.places] == [(2.1, 2.1, 2.1)]


def test_the_table_stays_one_when_a_spreadsheet_turns_it_to_semicolons_and_decimal_commas(demo_findings, demo_grid):
    """Cells joined by semicolons without any quotes, every reading with a decimal comma: nothing in a note parts it."""
    chassis = demo_findings.chassis
    text = grid_csv(demo_grid, chassis.title)
    assert ";" not in text
    lines = [x for x in text.splitlines() if not x.startswith("#")]
    rows = [[c if k != 3 or n == 0 else "2,1" for k, c in enumerate(r)] for n, r in enumerate(csv.reader(lines))]
    turned = "\n".join(";".join(r) for r in rows)
    assert '"' not in turned
    read = readings_from_text(turned, "grid.csv", chassis)
    assert len(read.readings) == demo_grid.readings
    assert {r.value for r in read.readings} == {2.1}
    plain = readings_from_text(text, "grid.csv", chassis).unread
    assert [r.note for r in read.readings] == [r.note for r in plain]
    assert [(r.side, r.station, r.wall) for r in read.readings] == [(r.side, r.station, r.wall) for r in plain]


def test_stations_that_work_alike_stand_on_one_line(demo_grid):
    """No line has the walls and the share of the one above it, and all stations are on the page."""
    text = grid_text(demo_grid, "Demo")
    rail = text[text.index("Left rail") : text.index("Right rail")]
    lines = re.findall(r"^([\d, ]+?)  +((?:top|bottom|outer|inner).*?) +(\d+ %)", rail, re.M)
    assert all(one[1:] != two[1:] for one, two in pairwise(lines))
    told = [float(x) for numbers, _, _ in lines for x in numbers.split(",")]
    assert told == [s.station for s in demo_grid.of("left")]
    assert len(lines) < len(told)
    assert "Stations of one line work alike; read at each of them." in " ".join(text.split())


@pytest.mark.parametrize("most", [1, 7, 1000])
def test_the_hardest_worked_stations_alone(demo_grid, most):
    """One of every stretch first: as many stations as asked, in the grid's order, none of them twice as light as one
    left out while its stretch has another."""
    few = hardest_of(demo_grid, most)
    assert len(few.stations) == min(most, len(demo_grid.stations))
    assert [s for s in demo_grid.stations if s in few.stations] == list(few.stations)
    runs = alike(demo_grid.stations)
    if most < len(runs):
        assert few.whole == len(demo_grid.stations)
        assert all(sum(s in run for s in few.stations) <= 1 for run in runs)
        worst = sorted((max(max(p.use for p in s.places) for s in run) for run in runs), reverse=True)[:most]
        kept = sorted((max(p.use for p in s.places) for s in few.stations), reverse=True)
        assert kept == pytest.approx(worst, abs=0.011)  # a stretch is alike to 1 %
        told = f"{most} stations on both rails of {few.whole}, the hardest worked ones"
        assert told in " ".join(grid_text(few, "Demo").split())
    else:
        assert few == demo_grid


def test_one_station_alone_is_the_one_next_to_where_a_rail_works_hardest(lorry, demo_findings):
    """A member may be longer than stations are apart, and its greatest stress at one end of it."""
    for findings in (lorry, demo_findings):
        u = next(u for u in findings.utilisations if u.kind == "rail")
        grid = reading_grid(findings)
        (one,) = hardest_of(grid, 1).stations
        assert one.side == u.side
        assert abs(one.station - u.along) == min(abs(s.station - u.along) for s in grid.of(u.side))


class Cells(HTMLParser):
    """Counts the cells to fill in and gathers tags that load something."""

    def __init__(self):
        super().__init__()
        self.open, self.loads = 0, []

    def handle_starttag(self, tag, attrs):
        if tag == "td" and not attrs:
            self.open += 1
        self.loads += [tag] if tag in ("script", "link", "img", "iframe") or dict(attrs).get("src") else []


def test_the_sheet_has_a_cell_for_each_reading_and_loads_nothing(demo_grid):
    sheet = grid_sheet(demo_grid, "Demo")
    cells = Cells()
    cells.feed(sheet)
    places = sum(len(s.places) for s in demo_grid.stations)
    assert cells.open == demo_grid.readings + 2 * places  # beside the readings the wall's name and the note
    assert cells.loads == []
    assert "http" not in sheet
    assert "@page { size: A4" in sheet
    for words in ("bright metal", "Never drill a flange", "Gauge and probe", "Step block before", "suspect"):
        assert words in sheet


def test_text_in_the_sheet_is_escaped(demo_grid):
    nasty = '<script>alert("x")</script> & co'
    s = demo_grid.stations[0]
    odd = replace(s, features=(replace(s.features[0], kind="mount", name=nasty), *s.features[1:]))
    sheet = grid_sheet(replace(demo_grid, stations=(odd, *demo_grid.stations[1:])), nasty)
    assert "<script" not in sheet
    assert sheet.count("&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp; co") == 3


def test_the_command_writes_what_is_asked_and_nothing_over(capsys, tmp_path):
    table, sheet, text = tmp_path / "r.csv", tmp_path / "r.html", tmp_path / "r.txt"
    assert run(["measure", PLAIN, "--out", str(table), "--sheet", str(sheet)]) == 0
    page = capsys.readouterr().out
    assert max(len(line) for line in page.splitlines() if str(tmp_path) not in line) <= 100
    count = re.search(r"(\d+) readings", page)[1]
    assert f"{table}: {count} rows to fill in" in page
    before = table.read_bytes()
    assert run(["measure", PLAIN, "--out", str(table)]) == UNUSABLE
    assert "is there already. Choose another name or add --overwrite." in capsys.readouterr().err
    assert table.read_bytes() == before
    assert run(["measure", PLAIN, "--out", str(table), "--sheet", str(text), "--overwrite"]) == 0
    assert "where to read wall thicknesses" in text.read_text()
    other = tmp_path / "other.csv"
    other.write_text("side,station\n")
    assert run(["measure", PLAIN, "--out", str(other), "--overwrite"]) == UNUSABLE
    assert "is no earlier result of the same kind" in capsys.readouterr().err
    assert run(["measure", PLAIN, "--out", str(tmp_path / "r.toml")]) == UNUSABLE
    assert "r.toml: ends in .toml. Name it r.csv." in capsys.readouterr().err
    assert run(["measure", PLAIN, "--spacing", "nan"]) == UNUSABLE
    capsys.readouterr()


def test_a_filled_in_table_is_not_written_over_without_being_asked(capsys, tmp_path):
    table = tmp_path / "r.csv"
    assert run(["measure", PLAIN, "--out", str(table)]) == 0
    table.write_text(table.read_text().replace(",,,,", ",2.1,,,", 1))
    assert run(["measure", PLAIN, "--out", str(table), "--overwrite"]) == UNUSABLE
    assert "holds readings" in capsys.readouterr().err
    assert ",2.1,,," in table.read_text()
    table.write_text(table.read_text().replace(",reading,", ",reading (in),", 1))
    assert run(["measure", PLAIN, "--out", str(table), "--overwrite"]) == UNUSABLE
    assert "holds readings" in capsys.readouterr().err
