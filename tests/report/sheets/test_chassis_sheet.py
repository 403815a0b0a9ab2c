"""The chassis drawing: numbers are those of the chassis, chains add up, what is drawn is to scale."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from ladderfe.report.sheets import chassis_drawing
from ladderfe.report.sheets.chassis_labels import over_rails
from ladderfe.report.sheets.chassis_sheet import PLAN, _views
from ladderfe.report.sheets.outlines import stretches
from ladderfe.report.sheets.words import section_words, span_words


@pytest.fixture(scope="module", params=[False, True], ids=["wide", "narrow"])
def views(request, demo_findings, sheet_of):
    """Plan and side view."""
    return tuple(sheet_of(svg) for svg in chassis_drawing(demo_findings, narrow=request.param))


@pytest.fixture(scope="module")
def plan(views):
    return views[0]


@pytest.fixture(scope="module")
def side(views):
    return views[1]


def test_chains_add_up_to_the_overall_length(side):
    """Of the demo chassis file: 0 to 3900 mm, axles at 680 and 680 + 2360 mm, sections to 600 and 2750 mm."""
    assert [t.number for t in side.of("overall")] == [3900]
    assert [t.number for t in side.of("overhangs")] == [680, 2360, 860]
    assert [t.number for t in side.of("sections")] == [600, 2150, 1150]


def test_chains_add_up_for_stations_with_many_decimals(demo_findings, sheet_of):
    """Values are differences of rounded stations, so that they add up whatever the stations are."""
    front, rear = demo_findings.chassis.axles
    axles = replace(front, station=680.04), replace(rear, station=3039.97)
    chassis = replace(demo_findings.chassis, axles=axles)
    sheet = sheet_of(chassis_drawing(replace(demo_findings, chassis=chassis))[1])
    assert [t.number for t in sheet.of("overhangs")] == [680, 2360, 860]


def test_which_way_the_plan_is_seen(demo_findings):
    """x rearward, y right, z up: with stations to the right of the sheet, who stands above has the right rail above
    (x cross y is z, toward the eye); with the left rail above one would look from below."""
    v = _views(demo_findings, "plan", PLAN, narrow=False)
    left_above = v.in_plan(0, -1)[1] < v.in_plan(0, 1)[1]  # heights of the sheet count downward
    assert v.in_plan(1, 0)[0] > v.in_plan(0, 0)[0]
    assert not left_above
    assert "as seen from ABOVE: the LEFT rail below" in PLAN


def test_stations_are_those_of_the_chassis(plan, demo_findings):
    c = demo_findings.chassis
    told = [t.words for t in plan.of("station")]
    wanted = {(m.station_left, m.name) for m in c.crossmembers} | {(o.station, o.name.split()[0]) for o in c.outriggers}
    wanted |= {(a.station, f"{a.name} axle") for a in c.axles} | {
        (s, "spring eye") for a in c.axles for s, _ in a.seats
    }
    wanted |= {(m.station, m.name.split()[0]) for m in c.mounts} | {(0.0, "datum"), (3900.0, "rear end")}
    for station, name in wanted:
        assert any(w.startswith(f"{station:g} ") and (name in w or w.endswith("…")) for w in told), (station, name)


def test_sizes_at_the_ends(plan, side, demo_findings):
    """By the file: half spacing 350 and 400 mm to the middle, rails 70 wide; depths 110 and 100; ground 540 below."""
    assert sorted(t.number for t in plan.of("spacing")) == [2 * 350 + 70, 2 * 400 + 70]
    assert sorted(t.number for t in side.of("depth")) == [100, 110]
    assert [t.number for t in side.of("ground")] == [540]
    assert over_rails(demo_findings.chassis, 900) == 2 * 370 + 70


def test_stations_lie_to_scale(side):
    """Extension lines of the overall dimension and of the wheelbase stand as far apart as they should."""
    middle = {t.number: (t.box.left + t.box.right) / 2 for what in ("overall", "overhangs") for t in side.of(what)}
    # middles of 3900 (1950), 680 (340), 2360 (1860) and 860 (3470)
    places = [(1950, middle[3900]), (340, middle[680]), (1860, middle[2360]), (3470, middle[860])]
    scales = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(sorted(places))]
    assert scales == pytest.approx([scales[0]] * 3, rel=0.01)  # words are put to a hundredth of a pixel


def test_rails_are_drawn_to_one_scale(plan, side):
    """Both rails in plan 70 mm wide at their ends, the side view 110 mm deep at its front end, in the overall scale."""
    metal = [e for v in (plan, side) for e in v.shapes("metal")]
    polygons = [[tuple(map(float, p.split(","))) for p in e.get("points").split()] for e in metal]
    assert len(polygons) == 3
    sizes = []
    for points in polygons:
        left = min(x for x, _ in points)
        ys = [y for x, y in points if x == left]
        sizes.append((max(ys) - min(ys)) / (max(x for x, _ in points) - left) * 3900)
    assert sizes == pytest.approx([70, 70, 110], abs=0.3)  # hundredths of a pixel over a few of them


def test_letters_are_no_smaller_than_seven_points_on_paper(demo_findings, sheet_of):
    """Printed in a box of 180 mm x 235 mm, as `print.css` has it for A4 held upright; a point is 1/72 inch."""
    for svg in chassis_drawing(demo_findings):
        sheet = sheet_of(svg)
        scale = min(180 / sheet.width, 235 / sheet.height) / 25.4 * 72
        assert min(t.size for t in sheet.told) * scale >= 7


def test_stretches_cut_for_readings_are_one_again(demo_findings):
    rail = demo_findings.chassis.rails[0]
    whole = stretches(rail)
    taper = rail.spans[0]
    from ladderfe.condition.rails import shape_in

    middle = shape_in(taper, 250.0)
    cut = replace(rail, spans=(replace(taper, end=250.0, shape_end=middle),
                               replace(taper, start=250.0, shape=middle), *rail.spans[1:]))  # fmt: skip
    assert stretches(cut) == whole
    thinner = replace(middle, top=1.0)
    other = replace(rail, spans=(replace(taper, end=250.0, shape_end=middle),
                                 replace(taper, start=250.0, shape=thinner), *rail.spans[1:]))  # fmt: skip
    assert len(stretches(other)) == len(whole) + 1


def test_words_for_sections(made):
    assert section_words(made.box(140, 70, 2.5)) == "box 140 x 70 x 2.5"
    channel = made.Channel(depth=150, width=60, web=4, top=3, bottom=3, opens="-y")
    assert section_words(channel) == "channel 150 x 60 x 4 (web) and 3 (flanges)"
    assert span_words(made.box(110, 70, 2.5), made.box(140, 70, 2.5)) == "box 110 to 140 x 70 x 2.5"
