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
    assert (right.nearest.name, right.distance, right.near_mount) == ("rear spring", 290, True)


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
        "The rails' walls are as read in rust.csv: 5 readings at 3 places, 2 holes, 1 suspect place.",
        "ASSUMED: 30.4 of 32.0 m of the rails' walls were not read and count as built: left rail top 4.00 m, bottom "
        "3.42 m, outer 3.50 m, inner 4.00 m; right rail top 3.50 m, bottom 3.97 m, inner 4.00 m, outer 4.00 m.",
        "ASSUMED: the rim of thinned metal around 1 hole is 10 mm (common practice, no source), as none is given: "
        "right rail, bottom at 3000 mm.",
        "left bottom 1000 750 to 1250 3 2.00 1.70 1.60 1.36 80 %",
        "right rail, top at 2000 mm: 4.1 mm is more than the 2 mm as built and counts as 2 mm (line 9)",
        "left rail, top at 2800 mm: suspect (dull)",
        "left rail, bottom: hole from 2400 to 2440 mm; the wall counts as gone from 2380 to 2460 mm, rims included. "
        "Nearest: crossmember middle at 1900 mm, 500 mm from its edge, not within 300 mm.",
        "hanger rear spring at 3300 mm, 290 mm from its edge, WITHIN 300 mm.",
        "Torsional stiffness of the bare frame: as built",
        "Metal lost from the rails: 0.2 kg",
    ):
        assert words in flat, words
    assert max(map(len, page.splitlines())) <= 100
    whole = findings_text(checked, "ladder.toml")
    assert whole.index("As found against as built") < whole.index("Governing: ")
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
    assert told["mass lost kg"] == pytest.approx(1000 * checked.as_found.lost)
    assert len(document["as-found-stretches"]["rows"]) == len(checked.as_found.uses)
    assert len(document["readings-places"]["rows"]) == 3
    names = [name for name, _ in csv_tables(checked)]
    assert {"as-found-walls.csv", "readings-holes.csv", "utilisations.csv"} <= set(names)


def test_pages_without_readings_are_as_before(plain_findings):
    assert found_text(plain_findings) == []
    assert "as found" not in json.loads(findings_json(plain_findings, "x"))
