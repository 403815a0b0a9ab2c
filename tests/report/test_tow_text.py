"""The page and the data of the limits of towing: what is said, how wide, that both say the same."""

import json
import re
from dataclasses import replace

import pytest

from ladderfe.chassis import CaseSpec, Criteria, Towing
from ladderfe.checks.towing import check_towing
from ladderfe.report.table import page_width
from ladderfe.report.tow_data import tow_json
from ladderfe.report.tow_text import tow_text
from ladderfe.report.tow_words import down


@pytest.fixture(scope="module")
def chassis(made):
    mounts = (
        made.mount("tow coupling with a long name", "rear", 3900.0, 0.0),
        made.mount("winch", "front", 100.0, 0.0),
        made.mount("left front recovery eye", "left rail", 0.0, -made.HALF),
        made.mount("right front recovery eye", "right rail", 0.0, made.HALF),
    )
    eyes = ("left front recovery eye", "right front recovery eye")
    named = Towing(coupling=mounts[0].name, winch=("winch",), recovery=eyes, nose=0.08, line_pull=36e3)
    return made.chassis(mounts=mounts, towing=named)


@pytest.fixture(scope="module")
def limits(chassis):
    return check_towing(chassis, grip=0.75)


@pytest.mark.parametrize("columns", [80, 100])
def test_the_page_fits(limits, columns):
    with page_width(columns):
        page = tow_text(limits, "my-chassis.toml")
    assert max(map(len, page.splitlines())) <= columns
    assert page.startswith("plain ladder: limits of towing\nmy-chassis.toml\n")


def test_what_the_page_says(limits):
    page = " ".join(tow_text(limits, "x.toml").split())
    for words in (
        "it counts 2.5 times for bounces (value from memory of the authors, 2 to 3)",
        "vehicle and load times 2 (that of the chassis' case twice)",
        "drawbar pull: all four wheels",
        "left front recovery eye: inertia",
        "asked for 0.75 times its load",
        "Without any of these loads: ",
        "Stated nose weight 80 kg:",
        "of the limit for winch, straight, OVER.",
        "legs meet 800 mm in front of the two points",
        "just behind the rearmost spring seat (3300 mm)",
        "load at 3300 mm: no limit up to",
        "flies with enough force to kill",
        "Not checked",
        "utilisation at every limit, solved again",
    ):
        assert words in page, words
    for verdict in ("safe ", "roadworthy", "legal", "passes"):
        assert verdict not in page.lower()


def test_only_the_worse_way_of_straps_is_shown_and_all_in_the_data(limits):
    page, data = tow_text(limits, "x"), json.loads(tow_json(limits, "x"))
    names = [x["load"] for x in data["limits"]]
    assert len(names) == 3 + 3 + 15 + 4
    rows = [x for x in data["limits"] if x["load"].startswith("left front recovery eye, 15")]
    assert len(rows) == 2
    worse = min(rows, key=lambda x: x["greatest"])
    assert len(re.findall(r"(?m)^left front .* kN ", page)) == 3
    assert f"{down(worse['greatest']):.4g} kN" in page


def test_data_and_page_agree(limits):
    data = json.loads(tow_json(limits, "x.toml"))
    assert data["proven"] is True
    assert data["grip"] == 0.75
    nose = data["limits"][0]
    assert (nose["load"], nose["unit"], nose["found"]) == ("nose weight", "kg", "found")
    assert nose["utilisation with it"] == pytest.approx(1, abs=1e-6)
    assert f"{down(nose['greatest']):.4g} kg" in tow_text(limits, "x.toml")
    assert nose["governing"]["criterion"] in ("bending", "web shear", "von Mises")
    last = data["limits"][-1]
    assert (last["station mm"], last["behind the axle mm"]) == (4000, 700)
    assert last["rail moment at the rearmost spring seat kN m"] < 0
    assert all(p["holds"] for p in data["self-check"])


@pytest.mark.parametrize(
    ("value", "shown"), [(536.29, 536.2), (12345.9, 12340.0), (0.0123456, 0.01234), (100.0, 100.0)]
)
def test_limits_are_rounded_down(value, shown):
    assert down(value) == pytest.approx(shown, rel=1e-12)


def test_already_over_and_tipping_in_words(chassis):
    over = check_towing(replace(chassis, criteria=Criteria(bending=1.0, shear=1.0, von_mises=1.0)))
    page = " ".join(tow_text(over, "x").split())
    assert "nose weight already over" in page
    assert "nose weight: already over without it, " in page
    strong = check_towing(replace(chassis, criteria=Criteria(bending=1e9, shear=1e9, von_mises=1e9)))
    page = " ".join(tow_text(strong, "x").split())
    assert "nose weight tips first" in page
    assert "nose weight: the vehicle tips over about the line through" in page
    assert "kg times 2.5, with" in page
    data = json.loads(tow_json(strong, "x"))
    assert data["limits"][0]["greatest"] is None
    assert data["limits"][0]["found"] == "tips over"


def test_a_case_of_the_chassis_that_is_over_without_any_load_is_told(chassis, limits):
    """Stress goes with the factor on all weights: one of 1.5 over the utilisation at 1 g makes 150 %."""
    plain = " ".join(tow_text(limits, "x").split())
    assert "OVER the limit already" not in plain
    at_rest = limits.limits[0].reach.without
    rough = CaseSpec(name="rough road", kind="amplified", factor=1.5 / at_rest)
    nose = CaseSpec(name="heavy nose", kind="nose weight", at=(chassis.towing.coupling,), mass=50.0, factor=2.5)
    t = check_towing(replace(chassis, cases=(*chassis.cases, rough, nose)), behind=2.0)
    assert t.limits[0].greatest == pytest.approx(limits.limits[0].greatest, rel=1e-6)
    told = "OVER the limit already without any of these loads: rough road, 150.0 % ("
    assert told in " ".join(tow_text(t, "x").split())
    assert any(words.startswith(told) for words in json.loads(tow_json(t, "x"))["notes"])


def test_a_load_without_limit_reads_so(limits):
    """Behind the axle at its own station: a word that nobody takes for "nothing may be carried"."""
    page = tow_text(limits, "x")
    assert re.search(r"(?m)^ +3300 +0\.00 +no limit ", page)
    assert re.search(r"(?m)^load at 3300 mm +kg +no limit +never .* never\b", page)
    assert not re.search(r"(?m)^(load|nose|winch|tow|left| +\d).*\bnone\b", page)


def crushed(t, name, ratio):
    """The same limits, with a seat of another utilisation at one of them."""
    b = t.findings.buckling
    seat = replace(b.seats[0], by_case=((name, ratio),))
    others = tuple(replace(s, by_case=()) for s in b.seats[1:])
    own = replace(b, seats=(seat, *others), effective=(), shear=())
    return replace(t, findings=replace(t.findings, buckling=own))


def test_limits_at_which_a_web_is_crushed_already_are_marked(limits):
    page = tow_text(crushed(limits, "load at 4000 mm", 1.234), "x")
    assert re.search(r"(?m)^ +4000 +0\.70 +[\d ]+\.?\d*  \*  100\.0 %", page)
    assert len(re.findall(r"(?m)\d  \*  ", page)) == 1
    told = "* Other checks are OVER at this load already, so the frame bears less: load at 4000 mm (web at a spring"
    assert f"{told} seat 123.4 %). See Thin walls." in " ".join(page.split())
    within = tow_text(crushed(limits, "load at 4000 mm", 1.0), "x")
    assert "  *  " not in within
    assert "bears less:" not in " ".join(within.split())
    data = json.loads(tow_json(crushed(limits, "nose weight", 1.3), "x"))
    assert data["limits"][0]["beside it"] == {"web at a spring seat": 1.3}
    assert "kg  *  " in tow_text(crushed(limits, "nose weight", 1.3), "x")


def test_what_is_missing_and_short_of_proof(made):
    t = check_towing(made.chassis())
    page = " ".join(tow_text(t, "x").split())
    assert 'add coupling = "NAME" under [towing], NAME being one of the [[mounts]]' in page
    assert "What the frame bears at coupling" not in page
    assert "Loads behind the rear axle" in page
    short = replace(t, proofs=(replace(t.proofs[0], difference=1.0),))
    page = tow_text(short, "x")
    assert "no limits are printed" in " ".join(page.split())
    assert "Loads behind the rear axle" not in page
    assert "limits" not in json.loads(tow_json(short, "x"))
