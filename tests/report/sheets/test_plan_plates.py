"""Drawings of a plan's pieces and plates: sizes that the plan's file states, and those that follow from the rail."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from ladderfe.condition.plan_file import read_plan
from ladderfe.condition.repaired import repaired
from ladderfe.report.sheets import plan_drawings, plate_sheet, undrawn

PLANS = Path(__file__).resolve().parents[3] / "models/plans"


def drawn(name):
    states = repaired(read_plan(PLANS / f"{name}.toml"))
    return states, plan_drawings(states)


def test_plates_are_those_of_the_file():
    """A cheek plate 130 x 6 on webs of a box 140 deep, 2.5 mm thick; a patch 60 x 3 on its bottom, 70 wide."""
    states, plates = drawn("short-4x4-cheek-plates")
    cheek = [p for p in plates if p.wall == "outer"]
    assert {(p.rail, p.start, p.end, p.width, p.thickness) for p in cheek} == {
        (rail, 1620, 2020, 130, 6) for rail in ("left", "right")
    }
    patch = next(p for p in plates if p.wall == "bottom")
    assert (patch.start, patch.end, patch.width, patch.thickness) == (1150, 1330, 60, 3)
    assert patch.wall_width == pytest.approx(70 - 2.5)  # from web middle to web middle
    assert {w.size for w in (*cheek[0].welds, *patch.welds)} == {0.7 * 2.5}  # of the thinner, the rail's wall
    assert undrawn(states) == ()


def test_inserts_are_drawn_wall_by_wall_as_thick_as_built():
    _, plates = drawn("short-4x4-let-in")
    names = [p.name for p in plates]
    assert "Insert, left rail, bottom, 1040 to 1470 mm" in names
    assert "Insert, left rail, outer, 1040 to 1470 mm" in names
    assert len([n for n in names if "right rail" in n and "3050 to 3900" in n]) == 4
    assert {p.thickness for p in plates} == {2.5}
    assert plates[0].welds[0].words == "on a backing strip"
    assert plates[-1].welds[0].words == "from both sides"


@pytest.mark.parametrize("narrow", [False, True])
def test_the_sheet_has_them_all(narrow):
    _, plates = drawn("short-4x4-cheek-plates")
    text = plate_sheet(plates, "Plates", narrow=narrow)
    ET.fromstring(text)
    for p in plates:
        assert re.search(rf"{p.end - p.start:g} x {p.width:g} x {p.thickness:g}", text)
