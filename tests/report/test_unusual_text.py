"""What looks unusual stands under the title of the pages and in the JSON, and nowhere where nothing does."""

import json
from dataclasses import replace

import pytest

from ladderfe.checks import check
from ladderfe.checks.beside import hand_of
from ladderfe.checks.found import check_found
from ladderfe.condition import as_found, readings_from_text
from ladderfe.report.data import findings_json
from ladderfe.report.findings_text import findings_text
from ladderfe.report.hand_page import hand_text
from ladderfe.report.unusual_text import MOST, unusual_data, unusual_text


@pytest.fixture(scope="module")
def slip(made):
    """A gearbox crossmember with walls of 25 mm instead of 2.5."""
    thick = made.cross("gearbox", 1900.0, made.box(80, 60, 25))
    return made.chassis(crossmembers=(made.LADDER[0], thick, made.LADDER[2]))


@pytest.fixture(scope="module")
def findings(slip):
    return check(slip, assumptions=False)


def test_the_block_stands_right_under_the_title_and_what_governs(findings):
    lines = findings_text(findings, "slip.toml").splitlines()
    assert lines[1:3] == ["slip.toml", ""]
    assert lines[3].startswith("Governing: ")
    assert lines[lines.index("", 3) :][:3] == ["", "Looks unusual", "-------------"]
    row = next(line for line in lines if line.startswith("crossmember gearbox, wall"))
    assert " ".join(row.split()[3:]) == "25 mm 1.5 to 8 mm a decimal point? 2.5 mm would be usual"
    assert lines.index(row) < lines.index("Governing stresses, N/mm2")
    assert max(map(len, lines)) <= 100


def test_the_hand_calculation_has_it_too(slip):
    page = hand_text(hand_of(slip), unusual_text(slip))
    assert page.index("Hand calculation") < page.index("Looks unusual") < page.index("Reactions")


def test_nothing_is_said_where_nothing_is_unusual(demo_findings):
    assert unusual_text(demo_findings.chassis) == []
    assert unusual_data(demo_findings.chassis) == []
    assert "unusual" not in findings_text(demo_findings, "demo.toml")
    assert json.loads(findings_json(demo_findings, "demo.toml"))["looks unusual"] == []


def test_json_says_the_same(findings):
    """A bound that there is none of is null: JSON knows no infinity."""
    told = json.loads(findings_json(findings, "slip.toml"), parse_constant=pytest.fail)["looks unusual"]
    assert told[0] == {
        "where": "crossmember gearbox, wall", "value": 25.0, "usual from": 1.5, "usual to": 8, "unit": "mm",
        "source": "value from memory of the authors", "hint": "a decimal point? 2.5 mm would be usual",
    }  # fmt: skip


def test_a_bound_that_is_not_there_is_null(made):
    path = ((0, 400, 0), (1000, 800, 0), (2000, 400, 0), (4000, 400, 0))
    kink = next(u for u in unusual_data(made.chassis(rails=made.rails(path=path))) if "kink" in u["where"])
    assert (kink["usual from"], kink["usual to"]) == (None, 20)


def test_very_many_are_counted_only(slip, made):
    crossmembers = tuple(made.cross(f"no {i}", 130.0 * i + 100, made.box(80, 60, 25)) for i in range(MOST + 5))
    lines = unusual_text(replace(slip, crossmembers=crossmembers))
    more = next(line for line in lines if line.startswith("and "))
    assert sum(line.startswith("crossmember no") for line in lines) == MOST
    assert int(more.split()[1]) >= 5


def test_readings_that_look_unusual_stand_apart_from_what_the_file_states(slip):
    """A wall of 25 mm is a slip in the file; 1.1 mm left of 2 was read: each in its own block, the file's first, and no
    more often because readings cut the rails."""
    rows = "side,station,wall,reading\nleft,1200,bottom,1.1\nleft,2900,top,1.9\n"
    f = check_found(as_found(slip, readings_from_text(rows, "r.csv", slip)), assumptions=False)
    page = findings_text(f, "slip.toml")
    order = ["Governing: ", "Looks unusual\n", "As found against as built", "Readings that look unusual\n"]
    assert sorted(order, key=page.index) == order
    stated, read = (page[page.index(name) :].split("\n\n\n")[0] for name in (order[1], order[3]))
    assert "crossmember gearbox" in stated
    assert "left rail" not in stated[: stated.index("As found against")]
    assert "left rail, bottom at 1200 mm  1.1 mm" in read
    assert "2900" not in read[: read.index("Greatest utilisation")]
    told = json.loads(findings_json(f, "slip.toml"))
    assert [u["where"] for u in told["looks unusual"]] == [u["where"] for u in unusual_data(slip)]
    assert [(u["where"], u["value"]) for u in told["readings that look unusual"]] == [
        ("left rail, bottom at 1200 mm", 1.1)
    ]
