"""As found against as built on the page, in JSON and in tables: against hand sums of the plain ladder."""

from __future__ import annotations

import json

import pytest

from ladderfe.checks.found import check_found, unread_metres
from ladderfe.condition import Options, as_found, readings_from_text
from ladderfe.report.data import csv_tables, findings_json
from ladderfe.report.findings_text import findings_text
from ladderfe.report.found_text import found_text

ROWS = """side,station,wall,reading,to,rim,note
left,1000,bottom,1.6
left,1000,bottom,1.8
left,1000,bottom,1.7
left,1600,outer,2.0
left,2400,bottom,hole,2440,20,laced
right,3000,bottom,hole,3010
left,2800,top,suspect,,,dull
right,2000,top,4.1
right,2000,inner,
"""


@pytest.fixture(scope="module")
def checked(made):
    """Boxes of 150 x 75 x 2 mm, 4 m long, with some rust."""
    chassis = made.chassis()
    return check_found(as_found(chassis, readings_from_text(ROWS, "rust.csv", chassis)), assumptions=False)


def test_the_metal_that_is_lost_and_where_it_was(checked):
    """By hand: bottom walls between the uprights are 75 - 2 x 2 mm wide by the shape's own area, 0.3 mm less over 500
    mm, the whole wall over 80 and 30 mm; the flange edges of an opened box end at the outline."""
    f = checked.as_found
    rho = 7.85e-9
    lid = 71 * 2  # the uprights run to the outline beside a wall that is gone
    parts = [(71 * 0.3 * 500, 1000.0, -1), (lid * 80, 2420.0, -1), (lid * 30, 3005.0, 1)]
    volume = sum(v for v, _, _ in parts)
    assert f.lost == pytest.approx(volume * rho, rel=1e-9)
    x, y, z = f.centre
    assert x == pytest.approx(sum(v * s for v, s, _ in parts) / volume, rel=1e-9)
    assert y == pytest.approx(sum(v * 400 * sign for v, _, sign in parts) / volume, rel=1e-9)
    assert z == pytest.approx((71 * 0.3 * 500 * (1.85 - 75) + lid * 110 * (1 - 75)) / volume, rel=1e-9)


def test_what_is_left_of_a_section(checked):
    """Area and second moment of 150 x 75 x 2 with a bottom wall of 1.7 mm by rectangles."""
    use = next(u for u in checked.as_found.uses if u.stretch.side == "left" and u.stretch.start == 750)
    whole = 150 * 75 - 146 * 71
    a = whole - 71 * 0.3
    z = 71 * 0.3 * (75 - 1.85) / a
    i0 = (75 * 150**3 - 71 * 146**3) / 12
    i = i0 - 71 * 0.3**3 / 12 - 71 * 0.3 * (75 - 1.85) ** 2 - a * z**2
    assert pytest.approx(a / whole, rel=1e-9) == use.left.A
    left = use.left
    assert pytest.approx(i / i0, rel=1e-9) == left.I
    a, d = whole - 71 * 0.4, 75 - 1.8
    z = 71 * 0.4 * d / a
    i = i0 - 71 * 0.4**3 / 12 - 71 * 0.4 * d**2 - a * z**2
    assert pytest.approx((i / (75 + z)) / (i0 / 75), rel=1e-9) == left.Z


def test_metres_that_nobody_read(checked):
    metres = unread_metres(checked.as_found.readings)
    assert metres["left", "bottom"] == pytest.approx(4 - 0.5 - 0.08)
    assert metres["left", "outer"] == pytest.approx(3.5)
    assert metres["right", "inner"] == pytest.approx(4)
    assert metres["right", "bottom"] == pytest.approx(4 - 0.03)


def test_holes_are_measured_to_the_nearest_mounting(checked):
    """Crossmembers at 100, 1900 and 3900 mm, springs at 700 and 3300 mm."""
    left, right = checked.as_found.holes
    assert (left.nearest.name, left.distance, left.near_mount) == ("middle", 500, False)
    assert (right.nearest.name, right.distance, right.near_mount) == ("rear spring seat", 290, True)


def test_utilisations_by_stretch_are_those_of_the_whole_frame(checked):
    f = checked.as_found
    rails = max(u.ratio for u in checked.utilisations if u.kind == "rail" and u.side == "left")
    assert f.uses[0].found.ratio <= max(u.ratio for u in checked.utilisations)
    assert max(u.found.ratio for u in f.uses if u.stretch.side == "left") <= rails * (1 + 1e-9)
    assert [u.found.ratio for u in f.uses] == sorted((u.found.ratio for u in f.uses), reverse=True)
    assert f.cases[0][1].ratio == f.built.first_of_cases()[f.cases[0][0]].ratio
    assert f.cases[0][2].ratio == checked.first_of_cases()[f.cases[0][0]].ratio


def test_rails_share_what_the_frame_carries(checked):
    """Two rails of one kind, evenly laden: half each as built; the sums of both states agree (same loads)."""
    (built, found) = checked.as_found.shares
    assert built[0] == pytest.approx(built[1], rel=1e-6)
    assert found.sum(axis=0)[0] == pytest.approx(built.sum(axis=0)[0], rel=2e-3)


def test_what_the_page_says(checked):
    page = "\n".join(found_text(checked))
    flat = " ".join(page.split())
    for words in (
        "As found against as built",
        "The rails' walls are as read in rust.csv: 5 readings at 3 places, 2 holes, 1 suspect place, 1 place with "
        "DOUBTFUL readings, named further down.",
        "ASSUMED: 30.4 of 32.0 m of the rails' walls were not read and count as built: left rail top 4.00 m, bottom "
        "3.42 m, outer 3.50 m, inner 4.00 m; right rail top 3.50 m, bottom 3.97 m, inner 4.00 m, outer 4.00 m.",
        "ASSUMED: the rim of thinned metal around 1 hole is 10 mm (common practice, no source), as none is given: "
        "right rail, bottom at 3000 mm.",
        "left bottom 1000 750 to 1250 3 2.00 1.70 1.60 1.36 80 %",
        "right rail, top at 2000 mm: 4.1 mm is more than the 2 mm as built and counts as 2 mm (line 9)",
        "left rail, top at 2800 mm: suspect (dull)",
        "left rail, bottom: hole from 2400 to 2440 mm; the wall counts as gone from 2380 to 2460 mm, rims included. "
        "Nearest: crossmember middle at 1900 mm, 500 mm from its edge, not within 300 mm.",
        "rear spring seat at 3300 mm, 290 mm from its edge, WITHIN 300 mm.",
        "Torsional stiffness of the bare frame: as built",
        "Metal lost from the rails: 0.2 kg",
    ):
        assert words in flat, words
    assert max(map(len, page.splitlines())) <= 100
    whole = findings_text(checked, "ladder.toml")
    order = ["Governing: ", "As found against", "Metres of rail above", "Doubtful readings", "Greatest utilisation"]
    assert sorted(order, key=whole.index) == order
    assert max(map(len, whole.splitlines())) <= 100
    assert "Rust where nobody read" in whole


def test_a_loss_assumed_of_unread_walls_is_told(made):
    chassis = made.chassis()
    found = as_found(chassis, readings_from_text(ROWS, "rust.csv", chassis), Options(unread_loss=0.15))
    page = " ".join("\n".join(found_text(check_found(found, assumptions=False))).split())
    assert "were not read and count at 85 % of their thickness as built" in page


def test_json_and_tables_hold_all_of_it(checked):
    document = json.loads(findings_json(checked, "ladder.toml"))
    told = document["as found"]
    assert told["file"] == "rust.csv"
    assert told["assumed"].startswith("ASSUMED: 30.4 of 32.0 m")
    over = [(r["rail"], r["above"]) for r in told["rails above a limit m"]]
    assert over == [("left", 1.0), ("left", 0.8), ("right", 1.0), ("right", 0.8)]
    assert told["mass lost kg"] == pytest.approx(1000 * checked.as_found.lost)
    assert len(document["as-found-stretches"]["rows"]) == len(checked.as_found.uses)
    assert len(document["readings-places"]["rows"]) == 3
    names = [name for name, _ in csv_tables(checked)]
    assert {"as-found-walls.csv", "readings-holes.csv", "utilisations.csv"} <= set(names)


def test_places_near_a_hole_are_marked(checked):
    """Holes with rims from 2380 to 2460 mm left and 2990 to 3020 mm right, rails 150 mm deep."""
    f = checked.as_found
    near = {"left": (2380 - 150, 2460 + 150), "right": (2990 - 150, 3020 + 150)}
    document = json.loads(findings_json(checked, "ladder.toml"))
    column = document["as-found-stretches"]["columns"].index("near a hole")
    told = [row[column] for row in document["as-found-stretches"]["rows"]]
    own = [near[u.stretch.side][0] <= u.found.along <= near[u.stretch.side][1] for u in f.uses]
    assert told == own
    assert {True, False} == set(own)
    page = "\n".join(found_text(checked))
    for u, marked in zip(f.uses, own, strict=True):
        (row,) = [
            line for line in page.splitlines() if f"{u.stretch.side} " in line[:7] and
            f" {u.stretch.start:.0f} to {u.stretch.end:.0f} " in line and f"{100 * u.found.ratio:.1f} %" in line
        ]  # fmt: skip
        assert ("~" in row) is marked, row
    assert "~ within one rail depth of a hole's rim: stress is rough there" in " ".join(page.split())


def test_the_governing_sentence_says_that_it_is_near_a_hole(made):
    """A long hole in the bottom wall governs; a wall that is thin elsewhere does not."""
    words = "That place lies within one rail depth of a hole's rim, where stress is rough"
    chassis = made.chassis()
    rows = "side,station,wall,reading,to\nleft,1950,bottom,hole,2250\n"
    holed = check_found(as_found(chassis, readings_from_text(rows, "r.csv", chassis)), assumptions=False)
    u = holed.utilisations[0]
    assert u.side == "left"
    assert 1790 <= u.along <= 2410
    whole = " ".join(findings_text(holed, "ladder.toml").split())
    assert whole.count(words) == 2  # beside as built, and in the summary
    page = page_of(made, "left,2000,bottom,1.5\nright,3960,bottom,hole,3970")
    assert "1 hole" in page
    assert words not in page


def test_rows_that_were_listed_and_not_read_are_told(checked):
    page = " ".join("\n".join(found_text(checked)).split())
    assert "ASSUMED: listed without a reading: 1 row of the table, 1 place: right rail, inner at 2000 mm." in page
    told = json.loads(findings_json(checked, "ladder.toml"))["as found"]
    assert [(u["side"], u["station"], u["wall"]) for u in told["listed and not read"]] == [("right", 2000, "inner")]
    assert "1 row of the table" in told["assumed"]


def page_of(made, rows, **options):
    chassis = made.chassis()
    found = as_found(
        chassis, readings_from_text("side,station,wall,reading,to\n" + rows, "r.csv", chassis), Options(**options)
    )
    f = check_found(found, assumptions=False)
    json.loads(findings_json(f, "x"))
    assert csv_tables(f)
    page = "\n".join(found_text(f))
    assert page in findings_text(f, "x")
    return " ".join(page.split())


TABLES = ("Greatest utilisation of each case", "Where walls were read or are gone", "The whole frame")


def test_nothing_lost_is_said_in_a_sentence(made):
    """Walls of 2 mm: 1.97 and 2.03 mm are 1.5 % off, 1.95 mm is 2.5 % off."""
    page = page_of(made, "left,1000,bottom,1.97\nright,2000,top,2.03")
    assert "Nothing was lost where it was read: no reading is more than 2 % below the wall as built." in page
    assert not any(words in page for words in TABLES)
    assert "Readings, place by place" in page
    page = page_of(made, "left,1000,bottom,1.95")
    assert "Nothing was lost" not in page
    assert all(words in page for words in TABLES)


def test_a_table_of_suspects_alone_and_of_holes_alone(made):
    page = page_of(made, "left,1000,bottom,suspect")
    assert "No thickness was read and no wall is gone: all walls count as built." in page
    assert not any(words in page for words in (*TABLES, "Readings, place by place"))
    assert "left rail, bottom at 1000 mm: suspect" in page
    page = page_of(made, "left,1000,bottom,suspect", unread_loss=0.1)
    assert "No thickness was read" not in page
    assert TABLES[0] in page
    page = page_of(made, "left,1000,bottom,hole,1020")
    assert all(words in page for words in TABLES)
    assert "Readings, place by place" not in page


def test_pages_without_readings_are_as_before(plain_findings):
    assert found_text(plain_findings) == []
    assert "as found" not in json.loads(findings_json(plain_findings, "x"))
