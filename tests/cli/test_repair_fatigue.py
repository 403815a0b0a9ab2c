"""Fatigue on the page of a repair plan: ratios by hand, cycles that a plan states, pitted metal, and what is refused.

Categories are those of EN 1993-1-9:2005, from memory, text not seen: 100 along a seam by hand, 50 and 56 at ends of
lapped plates, 36, 71 and 90 for butt welds from one side, on a strip and from both, 90 for drilled holes.
"""

from __future__ import annotations

import json
import re

import pytest

from ladderfe.cli.main import UNUSABLE, run
from ladderfe.report.table import two_figures

PLATE = '[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "bottom"\nfrom = 1500\nto = 2500\nthickness = {}\n{}'
PIECE = '[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 1500\nto = 2500\nmade = "{}"\n'
FACTOR = '[[cases]]\nname = "amplified"\nfactor = 2\n'
SUPPORT = '[repair]\nsupport = "unloaded"\n'


@pytest.fixture
def told(plans, tmp_path, capsys):
    """From the text of a plan to the document that the command prints."""

    def ask(text, *, readings=""):
        plans.frame(tmp_path, "", plans.TWIST + FACTOR)
        run(["repair", str(plans.plan(tmp_path, SUPPORT + text, readings=readings)), "--json"])
        out = capsys.readouterr()
        assert not out.err
        return json.loads(out.out)

    return ask


def rows(document):
    table = document["details in fatigue"]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


def worst(document, words):
    return document["fatigue"]["worst place over worst place"][words]


@pytest.mark.parametrize(("text", "category"), [
    (PLATE.format(2, ""), 50), (PLATE.format(1.5, ""), 56), (PLATE.format(2, 'ends = "spear"'), 50),
    (PIECE.format("one side"), 36), (PIECE.format("backing strip"), 71), (PIECE.format("both sides"), 90),
])  # fmt: skip
def test_where_stress_stays_damage_goes_with_the_cube_of_the_categories(told, text, category):
    """Pieces as thick as what they replace change no stress, and plates hardly any just outside their ends, where the
    frame's moment hangs little on stiffness; before there was the box's own seam, category 100."""
    document = told(text)
    for row in rows(document):
        assert row["category MPa"] == category
        assert row["over as built"] == pytest.approx((100 / category) ** 3, rel=1e-8 if "insert" in text else 0.1)
        assert row["over as found"] == row["over as built"]  # nothing was read
        assert row["status"] == "value from memory, not confirmed in the text"
    assert {row["station mm"] for row in rows(document)} == {1500, 2500}
    ratio = worst(document, "as repaired over as built")
    assert ratio["low"] == pytest.approx(ratio["ratio"] / 8)
    assert ratio["high"] == pytest.approx(ratio["ratio"] * 8)
    assert worst(document, "as found over as built")["ratio"] == pytest.approx(1)


def test_cycles_that_a_plan_states(told):
    """Between the static case and twice it the range is the static stress; the bounce that is taken otherwise goes from
    a half to twice, 1.5 times that."""
    own = '[[cycles]]\nfirst = "static"\nsecond = "{}"\nshare = {}\n'
    own = own.format("amplified", 3) + own.format("twist", 1)
    text = PIECE.format("one side")
    usual, stated = told(text), told(text + own)
    spans = [[float(v) for v in rows(d)[0]["ranges MPa as repaired"].split(" / ")] for d in (usual, stated)]
    assert spans[0][0] == pytest.approx(1.5 * spans[1][0], rel=1e-5)  # six figures are told
    assert [c["share"] for c in stated["fatigue"]["cycles"]] == [0.75, 0.25]
    assert [c["share"] for c in usual["fatigue"]["cycles"]] == [0.5, 0.5]
    assert any("ASSUMED: 50 % of all cycles are twists" in n for n in usual["fatigue"]["notes"])
    assert not any("ASSUMED" in n for n in stated["fatigue"]["notes"])


def test_a_hole_works_on_what_it_leaves(told):
    """20 mm drilled in the inner web: stress on the net section is 1/(1 - 20/h) times, in category 90 for 100."""
    text = '[[holes]]\nrail = "left"\nwall = "inner"\nstation = 2000\ndiameter = 20\n'
    (row,) = rows(told(text))
    assert row["category MPa"] == 90
    assert row["over as built"] == pytest.approx((100 / 90 * row["share of stress"]) ** 3)
    assert row["share of stress"] == pytest.approx(148 / (148 - 20))  # mid-lines of the flanges


def test_no_ratio_on_pitted_metal(told):
    """The plate's ends lie on what is read at half its thickness."""
    rusty = "left,2000,bottom,1.0,,\n"
    document = told(PLATE.format(2, "").replace("1500", "1900").replace("2500", "2100"), readings=rusty)
    assert all(row["pitted"] and row["over as built"] is None for row in rows(document))
    assert worst(document, "as repaired over as found")["pitted"]
    place = worst(document, "as found over as built")["places"][1]
    assert not ("bottom" in place and 1750 <= float(place.split(" at ")[1].split(" mm")[0]) <= 2250)
    replaced = told(PIECE.format("both sides"), readings=rusty)  # it reaches past the rust
    assert not any(row["pitted"] for row in rows(replaced))


def test_the_page_tells_it(plans, tmp_path, capsys):
    plans.frame(tmp_path, "", plans.TWIST)
    run(["repair", str(plans.plan(tmp_path, SUPPORT + PLATE.format(2, "")))])
    page = " ".join(capsys.readouterr().out.split())
    for words in ("ratios of damage, never a life", "As repaired over as built, worst place of each", "from memory",
                  "end of doubler on bottom, left rail at 1500 mm", "On pitted metal"):  # fmt: skip
        assert words in page, words


def test_cycles_of_cases_that_are_not_there(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    own = '[[cycles]]\nfirst = "static"\nsecond = "{}"\nshare = 1\n'
    text = "[repair]\n" + own.format("statik") + own.format("static")
    assert run(["repair", str(plans.plan(tmp_path, text))]) == UNUSABLE
    told = capsys.readouterr().err
    assert 'cycle 1, second: is not the name of a case of this chassis (got "statik"). Did you mean "static"?' in told
    assert "is the case that the cycle begins with" in told


def test_a_case_that_only_the_plan_has_makes_no_cycle_of_three_states(told):
    new = '[[cases]]\nname = "heavy"\nkind = "amplified"\nfactor = 3\n'
    document = told(new + '[[cycles]]\nfirst = "static"\nsecond = "heavy"\nshare = 1\n')
    assert document["fatigue"] == {"not told for": "not every state has the case 'heavy'"}


def test_a_worst_place_is_told_once_and_ratios_bear_two_figures(plans, tmp_path, capsys):
    """Nothing was read, and the piece let in is at a place that hardly works: all states have one worst place."""
    plans.frame(tmp_path, "", plans.TWIST + FACTOR)
    run(["repair", str(plans.plan(tmp_path, SUPPORT + PIECE.format("both sides").replace("2500", "1800")))])
    page = " ".join(capsys.readouterr().out.split())
    part = page[page.index("ratios of damage, never a life") : page.index("detail of the plan")]
    assert part.count("rail at") == 1
    assert "It is the same one each time: " in part
    assert "As repaired over as built, worst place of each: 1.0 (0.12 to 8.0)." in part


def test_the_page_has_one_ranking(plans, tmp_path, capsys):
    """The table begins with the worst place as repaired that the sentences name, whether the plan made it or not."""
    piece = SUPPORT + PIECE.format("both sides")
    thick = SUPPORT + '[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "bottom"\nfrom = 1950\nto = 2250\n'
    thick += "thickness = 6\n"
    for text, made in ((piece.replace("2500", "1800"), False), (thick, True)):
        plans.frame(tmp_path, "", "" if made else plans.TWIST + FACTOR)
        run(["repair", str(plans.plan(tmp_path, text))])
        page = " ".join(capsys.readouterr().out.split())
        part = page[page.index("ratios of damage, never a life") :]
        told, _, rows = part.partition("over as built over as found")
        assert rows.startswith(" worst place, not of the plan: ") is not made
        side, station = re.findall(r"(left|right) rail at (\d+) mm", told)[-1]
        first = rows.split()[:24]  # a name breaks off for the figures of its row
        assert {side, station} <= set(first)
        assert told.index("Worst place: of all places of the rails that have a category") > 0
        assert part.count("worst place of all") == 0


@pytest.mark.parametrize(("value", "words"), [
    (0.9903, "0.99"), (0.1238, "0.12"), (7.923, "7.9"), (0.996, "1.0"), (9.97, "10"), (13.94, "14"), (99.6, "100"),
    (1234.0, "1200"), (0.00456, "0.0046"), (0.0, "0"), (float("inf"), "inf"),
])  # fmt: skip
def test_two_figures(value, words):
    assert two_figures(value) == words
