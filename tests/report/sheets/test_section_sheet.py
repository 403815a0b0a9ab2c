"""Sections: areas and moments by rectangles, walls to scale, what is lost and what is gone."""

from __future__ import annotations

import re

import numpy as np
import pytest

from ladderfe.checks.found import check_found
from ladderfe.condition import as_found, readings_from_text
from ladderfe.condition.plan_file import read_plan
from ladderfe.condition.repaired import repaired
from ladderfe.report.record import drawings
from ladderfe.report.sheets import plan_drawings, section_count, section_sheet
from ladderfe.report.sheets.section_cards import CROSS, cards_of, numbers_of
from ladderfe.report.sheets.section_walls import wall_polygons

ROWS = """side,station,wall,reading,to,rim,note
left,1600,outer,1.2
left,2400,bottom,hole,2440,20,laced
"""


def test_numbers_of_a_box_by_rectangles(made):
    """140 x 70 x 2.5 mm: area and moments of the outer rectangle less the inner one; torsion by Bredt's formula
    4 Am^2/(s/t) within 2 %, which is what sharp corners and the walls' own t^3/3 add (textbook, about 1 to 2 %)."""
    n = numbers_of(made.box(140, 70, 2.5), CROSS)
    assert pytest.approx(140 * 70 - 135 * 65) == n.A
    assert pytest.approx((70 * 140**3 - 65 * 135**3) / 12) == n.I
    assert pytest.approx((140 * 70**3 - 135 * 65**3) / 12) == n.I_upright
    assert pytest.approx(n.I / 70) == n.Z
    bredt = 4 * (137.5 * 67.5) ** 2 * 2.5 / (2 * (137.5 + 67.5))
    assert bredt < n.J < 1.02 * bredt
    assert (*n.centroid, *n.shear_centre) == pytest.approx((0, 0, 0, 0), abs=1e-9)


def test_printed_numbers_are_those_of_the_section(demo_findings, sheet_of):
    """Four digits of the properties that the frame is solved with."""
    sheet = sheet_of(section_sheet(demo_findings))
    words = [t.words.replace("\u00a0", " ") for t in sheet.of("words")]
    assert "area A 1 025 mm2" in words
    assert "second moment I 2 680 000 mm4" in words
    assert "section modulus Z 38 280 mm3" in words
    mesh = demo_findings.solution.mesh
    section = int(mesh.section_of[mesh.part("left rail").first])
    assert mesh.shapes[section].width == 70
    assert "both rails 600 to 2750" in words
    assert {"box 140 x 70 x 2.5", "tube 76 x 3", "channel 100 x 50 x 3"} <= set(words)


def test_which_way_sections_are_seen(demo_findings):
    """Sheets draw y' to the right and z' up: who sees that looks along z' x y' (x rearward, y right, z up); inner walls
    of left rails are then on the right."""
    mesh, cards = demo_findings.solution.mesh, cards_of(demo_findings.chassis, None)
    ways = {(-1, 0, 0): "looking forward", (1, 0, 0): "looking rearward", (0, -1, 0): "looking to the left",
            (0, 1, 0): "looking to the right"}  # fmt: skip
    parts = {"Rail as built": "left rail", "Crossmember": next(p.name for p in mesh.parts if p.kind == "crossmember")}
    for title, name in parts.items():
        axes = mesh.axes[mesh.part(name).first]
        way = ways[tuple(int(v) for v in np.rint(np.cross(axes[2], axes[1])))]
        assert {way in c.seen for c in cards if c.title == title} == {True}


@pytest.mark.parametrize("thicker", [1, 3])
def test_outer_faces_stay_where_they_are(made, thicker):
    """However thick walls are drawn, the outline is the section's own size, and each is so many times as thick."""
    shapes = (made.box(140, 70, 2.5), made.Channel(depth=150, width=60, web=4, top=4, bottom=4, opens="-y"))
    for shape in shapes:
        polygons = wall_polygons(shape.section(CROSS), thicker)
        ys, zs = ([p[k] for polygon in polygons for p in polygon] for k in (0, 1))
        assert (max(ys) - min(ys), max(zs) - min(zs)) == pytest.approx((shape.width, shape.depth))
        for wall, polygon in zip(shape.section(CROSS).walls, polygons, strict=True):
            (ya, za), (yb, zb), *_, (yd, zd) = polygon
            assert ((yd - ya) ** 2 + (zd - za) ** 2) ** 0.5 == pytest.approx(thicker * wall.thickness)
            assert ((yb - ya) ** 2 + (zb - za) ** 2) ** 0.5 == pytest.approx(wall.true_length)


@pytest.fixture(scope="module")
def rusty(made):
    chassis = made.chassis()
    return check_found(as_found(chassis, readings_from_text(ROWS, "rust.csv", chassis)), assumptions=False)


def test_the_worst_place_as_found(rusty, sheet_of):
    """Plain boxes of 150 x 75 x 2 mm: least is left where the bottom wall is gone; nothing was read on the right."""
    found = [c for c in cards_of(rusty.as_found.readings.built, rusty.as_found.readings) if c.left is not None]
    assert [c.places for c in found] == [("left rail 2380 to 2460",)]
    assert found[0].gone == {"bottom"}
    sheet = sheet_of(section_sheet(rusty))
    assert len(sheet.shapes("gone")) == 1
    assert len(sheet.shapes("rust")) == 3
    told = [t.words for t in sheet.of("thickness")]
    assert {"bottom gone", "top 2 ASSUMED"} <= set(told)
    area = 75 * 2 + 2 * 148 * 2  # by hand: uprights run to the outline beside a wall that is gone
    words = [t.words.replace("\u00a0", " ") for t in sheet.of("words")]
    assert f"A {area} of {150 * 75 - 146 * 71} mm2, {100 * area / 884:.1f} %" in words


def test_what_is_drawn_thicker_is_said(demo_findings, sheet_of):
    sheet = sheet_of(section_sheet(demo_findings))
    assert any("times as thick as they are" in t.words for t in sheet.told)


def test_letters_are_7_pt_on_paper(demo_findings, plans):
    """A4 upright leaves 180 mm x 235 mm: a sheet is printed as wide as that or as high, whichever comes first; every
    section is on one of the sheets, and all are to one scale."""
    found = drawings.section_sheets(demo_findings)
    assert len(found) > 1
    states = repaired(read_plan(plans.MODELS / "plans/short-4x4-let-in.toml"))
    plates, _ = drawings.plate_sheets(states, "Plates")
    for d in (*found, *plates):
        wide, high = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', d.wide).groups())
        least = min(float(v) for v in re.findall(r'font-size="([\d.]+)"', d.wide))
        assert least * min(180 / wide, 235 / high) * 72 / 25.4 >= 7.0
    names = [n for d in found for n in re.findall(r'font-weight="bold">(Rail|Crossmember|Outrigger)', d.wide)]
    assert len(names) == section_count(demo_findings)
    assert sum(d.wide.count("Insert, ") for d in plates) == len(plan_drawings(states))
