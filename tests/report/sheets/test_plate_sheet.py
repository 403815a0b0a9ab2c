"""Repair plates: shapes of their ends, sizes that add up, marks of welds."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from ladderfe.errors import ModelError
from ladderfe.report.sheets import PlateDrawing, PlateHole, PlateWeld, plate_sheet
from ladderfe.report.sheets.weld_marks import runs_of, stitch_words

PLATE = PlateDrawing(
    name="doubler <1>", rail="left", wall="outer", start=1080, end=1480, width=100, thickness=2.5, wall_width=135,
    ends="tapered", taper=70, holes=(PlateHole(station=1180, above=10, diameter=17),),
    welds=(
        PlateWeld(edge="upper", size=1.8, run=40, gap=30), PlateWeld(edge="lower", size=1.8),
        PlateWeld(edge="front end", size=1.8), PlateWeld(edge="rear end", kind="single-V butt", size=2.5),
    ),
)  # fmt: skip


def area_of(corners):
    """Shoelace formula."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1], strict=True))) / 2


@pytest.mark.parametrize(("ends", "tip"), [("square", 1.0), ("tapered", 1 / 3), ("spear", 0.0)])
def test_outline_of_each_kind_of_end(ends, tip):
    """Areas by hand: a rectangle and two trapezia or triangles."""
    taper = 0.0 if ends == "square" else 70.0
    plate = replace(PLATE, ends=ends, taper=taper, centre=5.0)
    corners = plate.outline()
    assert area_of(corners) == pytest.approx((400 - 2 * taper) * 100 + 2 * taper * 100 * (1 + tip) / 2)
    assert {min(x for x, _ in corners), max(x for x, _ in corners)} == {1080, 1480}
    assert (min(z for _, z in corners), max(z for _, z in corners)) == (-45, 55)


@pytest.mark.parametrize("narrow", [False, True], ids=["wide", "narrow"])
def test_sizes_add_up_and_words_keep_apart(narrow, sheet_of):
    others = (
        replace(PLATE, name="b", start=2600, end=3800, ends="spear", taper=140, width=135, holes=()),
        replace(PLATE, name="c", wall="bottom", start=0, end=150, width=40, wall_width=65, ends="square", taper=0,
                holes=(), welds=(PlateWeld(edge="all round", size=2.1),)),
    )  # fmt: skip
    sheet = sheet_of(plate_sheet([PLATE, *others], "Plates & marks", narrow=narrow))
    sheet.in_order()
    assert [t.number for t in sheet.of("length")] == [400, 1200, 150]
    assert [t.number for t in sheet.of("ends")] == [70, 260, 70, 140, 920, 140]
    assert [t.number for t in sheet.of("holes")] == [100, 300]
    assert [t.number for t in sheet.of("width")] == [100, 135, 40]
    assert [t.number for t in sheet.of("wall")] == [135, 65]
    assert [t.words for t in sheet.of("name")] == ["doubler <1>", "b", "c"]


def test_marks_tell_throat_depth_and_stitches(sheet_of):
    """The upper edge is 260 mm long without its tapered ends: 4 runs of 40 mm with 30 mm between (4 x 40 + 3 x 30)."""
    sheet = sheet_of(plate_sheet([PLATE], "Plates"))
    told = [t.words for t in sheet.of("weld")]
    assert sorted(told) == sorted(["a1.8", "4 x 40 (30)", "a1.8", "a1.8", "s2.5"])


def test_runs_of_a_stitched_seam():
    weld = PlateWeld(edge="upper", run=50, gap=50)
    assert runs_of(weld, 930) == [(40 + 100 * k, 90 + 100 * k) for k in range(9)]
    assert stitch_words(weld, 930) == "9 x 50 (50)"
    assert runs_of(PlateWeld(edge="upper"), 930) == [(0, 930)]
    assert runs_of(weld, 30) == [(0, 30)]


def test_plates_are_drawn_to_scale(sheet_of):
    sheet = sheet_of(plate_sheet([PLATE], "Plates"))
    points = [tuple(map(float, p)) for p in re.findall(r"([\d.]+),([\d.]+)", sheet.shapes("plate")[0].get("points"))]
    wide, high = (max(p[k] for p in points) - min(p[k] for p in points) for k in (0, 1))
    assert wide / high == pytest.approx(400 / 100, rel=1e-3)
    radius = float(sheet.shapes("hole")[0].get("r"))
    assert 2 * radius / wide == pytest.approx(17 / 400, rel=1e-3)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"end": 1080}, "its length is 0 mm"),
        ({"width": -5}, "its width is -5 mm"),
        ({"thickness": float("inf")}, "its thickness is inf mm"),
        ({"taper": 250}, "tapered ends of 250 mm do not fit 400 mm"),
        ({"ends": "square"}, "square ends of 70 mm do not fit 400 mm"),
    ],
)
def test_plates_that_cannot_be_are_refused(change, words):
    with pytest.raises(ModelError, match=words):
        replace(PLATE, **change)
