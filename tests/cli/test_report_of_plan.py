"""`ladderfe report` of a repair plan: the plan's page, its plates and welds in the record, and its inputs."""

import base64
import json
import re
import zlib

import pytest

from ladderfe.cli.main import run
from ladderfe.report.record import inputs_of

PLAN = """base = "{base}"
readings = "readings.csv"

[repair]
title = "A plate <b>lapped</b> & a piece let in"
support = "unloaded"

[[inserts]]
rail = "left"
wall = "bottom"
from = 1900
to = 2200

[[plates]]
kind = "doubler"
rail = "right"
wall = "top"
from = 1800
to = 2300
thickness = 2
"""
READINGS = "side,station,wall,reading\nleft,2050,bottom,1.4\nright,2050,top,1.5\n"


@pytest.fixture(scope="module")
def made(tmp_path_factory, plain_file):
    folder = tmp_path_factory.mktemp("plan")
    (folder / "frame.toml").write_text(plain_file.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "plan.toml").write_text(PLAN.format(base="frame.toml"), encoding="utf-8")
    (folder / "readings.csv").write_text(READINGS, encoding="utf-8")
    out = folder / "record.html"
    assert run(["report", str(folder / "plan.toml"), "--quick", "--output", str(out), "--date", "2031-05-17"]) in (0, 1)
    return folder, out.read_text(encoding="utf-8")


def test_the_chapter_has_plates_uses_and_welds(made):
    _, text = made
    chapter = re.search(r'<section[^>]*id="repairs".*?</section>', text, re.DOTALL)[0]
    assert "Insert, left rail, bottom, 1900 to 2200 mm" in chapter
    assert "500 x 73 x 2" in re.sub(r"<[^>]*>", "", chapter)  # the box is 75 wide with walls of 2 mm
    for words in ("as built", "as found", "as repaired", "Rules of the trade", "Welds"):
        assert words in chapter


def test_the_sheet_tells_the_frame_as_repaired(made, worked_out):
    """The plan's title, the large number of the frame as repaired with those before it, and a column of each state."""
    _, text = made
    sheet = " ".join(
        re.sub(r"<[^>]*>", " ", re.search(r'<section id="record".*?</section>', text, re.DOTALL)[0]).split()
    )
    sheet = sheet.replace("\u00a0", " ")
    assert "Repair plan A plate &lt;b&gt;lapped&lt;/b&gt; &amp; a piece let in chassis file" in sheet
    assert "case as built as found as repaired" in sheet
    f = worked_out
    three = [f"{100 * s.utilisations[0].ratio:.1f} %" for s in (f.built, f.found, f.repaired)]
    assert three[2] not in three[:2]
    large, found, built = re.search(
        r"([\d.]+ %) of the limit,(?: OVER,)? as repaired as found ([\d.]+ %)(?: OVER)? as built ([\d.]+ %)", sheet
    ).groups()
    assert [built, found, large] == three
    for words in (f"As built {built}", f"As found (as read in readings.csv) {found}", f"As repaired {large}"):
        assert words in sheet


def _worked_out(plan):
    from ladderfe.checks.repair import check_repair
    from ladderfe.cli.readings import REACH, Asked
    from ladderfe.cli.subject import subject_of

    return check_repair(subject_of(plan, Asked(None, REACH, 0.0, 0.0, lower_bound=False)).states)


@pytest.fixture(scope="module")
def worked_out(made):
    """Findings of the plan."""
    return _worked_out(made[0] / "plan.toml")


def test_the_plans_words_stay_words(made):
    _, text = made
    assert "A plate <b>lapped" not in text
    assert "A plate &lt;b&gt;lapped&lt;/b&gt; &amp; a piece let in" in text


def test_plan_base_and_readings_are_carried_and_give_the_record_again(made, tmp_path, monkeypatch):
    folder, text = made
    files, options = inputs_of(text, "record.html")
    assert [f.name for f in files] == ["plan.toml", "frame.toml", "readings.csv"]
    for f in files:
        assert f.data == (folder / f.name).read_bytes()
        (tmp_path / f.name).write_bytes(f.data)
    monkeypatch.chdir(tmp_path)
    run([*options["arguments"], "--output", "again.html"])
    assert (tmp_path / "again.html").read_text(encoding="utf-8") == text


def test_nothing_is_written_over_the_plans_readings(made):
    folder, _ = made
    before = (folder / "readings.csv").read_bytes()
    status = run(["report", str(folder / "plan.toml"), "--output", str(folder / "readings.csv"), "--overwrite"])
    assert status == 2
    assert (folder / "readings.csv").read_bytes() == before


def test_the_frame_is_shown_as_repaired_too(made, worked_out):
    """Three states to choose from; bars and places of each case are those of the plan's findings."""
    _, text = made
    states = re.findall(r'name="state" value="\d"[^>]*> ([^<]*)</label>', text)
    assert states == ["as found", "as built", "as repaired"]
    packed = json.loads(re.search(r'id="figures-data"[^>]*>(.*?)</script>', text, re.DOTALL)[1])["packed"]
    figures = json.loads(zlib.decompress(base64.b64decode(packed), wbits=-15))
    assert [s["name"] for s in figures["states"]] == states
    found, built, after = ([bar[0].replace("\u00a0", " ") for bar in s["bars"]] for s in figures["states"])
    cases = {c.name: c for c in worked_out.cases}
    for k, (case, _) in enumerate(figures["about"][1:]):
        own = cases[case]
        told = zip((built[k], found[k], after[k]), (own.built, own.found, own.repaired), strict=True)
        for words, u in told:
            assert float(words.split()[0]) == pytest.approx(100 * u.ratio, abs=0.051)
    frame = json.loads(re.search(r'id="frame-data"[^>]*>(.*?)</script>', text, re.DOTALL)[1])
    assert [s["name"] for s in frame["states"]] == states


RENAMED = """base = "frame.toml"
readings = "readings.csv"

[[remove]]
case = ["amplified", "front axle bounce"]

[[cases]]
name = "rough road"
kind = "amplified"

[[cases]]
name = "one wheel up"
kind = "one wheel bump"
wheels = ["front left"]

[[inserts]]
rail = "left"
wall = "bottom"
from = 1900
to = 2200
"""


def test_the_frame_as_repaired_is_shown_where_the_plan_names_cases_otherwise(plain_file, tmp_path):
    """A renamed case stands under its old name, one that the plan takes out has no figure, one of the plan alone is
    named."""
    (tmp_path / "frame.toml").write_text(plain_file.read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "plan.toml").write_text(RENAMED, encoding="utf-8")
    (tmp_path / "readings.csv").write_text(READINGS, encoding="utf-8")
    out = tmp_path / "record.html"
    assert run(["report", str(tmp_path / "plan.toml"), "--quick", "--output", str(out)]) in (0, 1)
    text = out.read_text(encoding="utf-8")
    assert re.findall(r'name="state" value="\d"[^>]*> ([^<]*)</label>', text) == ["as found", "as built", "as repaired"]
    packed = json.loads(re.search(r'id="figures-data"[^>]*>(.*?)</script>', text, re.DOTALL)[1])["packed"]
    figures = json.loads(zlib.decompress(base64.b64decode(packed), wbits=-15))
    names = [name for name, _ in figures["about"][1:]]
    assert names[:3] == ["static", "amplified", "front axle bounce"]
    after = figures["states"][-1]
    alone = _worked_out(tmp_path / "plan.toml").repaired.first_of_cases()
    for k, name in enumerate(names):
        told = after["bars"][k][0].replace("\u00a0", " ")
        if name == "front axle bounce":
            assert told == "none"
            assert after["rows"][k + 1][0][0].startswith("This state has no such case")
        else:
            own = alone["rough road" if name == "amplified" else name]
            assert float(told.split()[0]) == pytest.approx(100 * own.ratio, abs=0.051)
    assert "Cases of the plan alone, shown here under all cases together only: one wheel up." in text
