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


SLEEVE = """[[splices]]
rail = "left"
station = 1950
cut = "square"
[[plates]]
kind = "sleeve"
rail = "left"
from = 1700
to = {to}
thickness = 3
slots = {{ wall = ["top", "outer"]{more} }}
"""


def test_slots_of_a_sleeve_are_drawn_with_their_size(plans, tmp_path):
    """Box 150 x 75 x 2, cut at 1950: usual slots 30 x 10 every 60 mm, four a side, in the middle of 250 mm each; the
    sleeve behind them is 71 less 2 x 3 mm wide under the top, 146 high behind the web."""
    plans.frame(tmp_path)
    states = plans.planned(tmp_path, SLEEVE.format(to=2200, more=""))
    assert undrawn(states) == ()
    top, outer = plan_drawings(states)
    assert [h.station for h in top.holes] == [1735, 1795, 1855, 1915, 1985, 2045, 2105, 2165]
    assert {(h.length, h.diameter, h.above) for d in (top, outer) for h in d.holes} == {(30, 10, 0)}
    assert (top.width, outer.width) == (pytest.approx(65), pytest.approx(146))
    assert (top.welds[0].kind, top.welds[0].words) == ("plug", "8 slots, filled")
    ends = [(x - 1735, z) for x, z in top.holes[0].outline()]
    assert max(x for x, _ in ends) == pytest.approx(15)
    assert max(z for _, z in ends) == pytest.approx(5)
    for narrow in (False, True):
        text = plate_sheet((top, outer), "Plates", narrow=narrow)
        ET.fromstring(text)
        words = " ".join(re.sub("<[^>]*>", " ", text).split())
        assert "Slots of 30 x 10 through the rail's wall at 1735, 1795, 1855, 1915, 1985" in words
        assert text.count('<polygon class="hole"') == 16
    more = ", filled = false, length = 12, width = 12, pitch = 60"
    fillet = plans.planned(tmp_path, SLEEVE.format(to=2200, more=more))
    (weld,) = plan_drawings(fillet)[0].welds
    assert (weld.kind, weld.size, weld.words) == ("fillet", 0.7 * 2, "round the edge of 8 slots")
