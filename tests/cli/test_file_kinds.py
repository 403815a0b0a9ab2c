"""A file of another kind than is expected is told for what it looks like, with what takes it; plans are drawn."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from ladderfe.cli.main import run

MODELS = Path(__file__).parents[2] / "models"
CHASSIS = str(MODELS / "short-4x4.toml")
READINGS = str(MODELS / "short-4x4-readings.csv")
PLAN = str(MODELS / "plans" / "short-4x4-let-in.toml")
CATALOGUE = str(MODELS / "plans" / "short-4x4-catalogue.toml")
UNUSABLE = 2


@pytest.mark.parametrize(
    ("words", "file", "told"),
    [
        (["check"], READINGS, "looks like a table of thickness readings, and a chassis file is expected here. Name the "
         "chassis file first and this one behind --readings"),
        (["repair"], READINGS, "looks like a table of thickness readings"),
        (["weld"], READINGS, "looks like a table of thickness readings"),
        (["hand"], PLAN, "looks like a repair plan, and a chassis file is expected here. Give it to `ladderfe repair`"),
        (["check"], CATALOGUE, "looks like a catalogue of repairs, and a chassis file is expected here. Give it to "
         "`ladderfe compare`"),
        (["repair"], CATALOGUE, "looks like a catalogue of repairs, and a repair plan is expected here"),
        (["repair"], CHASSIS, "looks like a chassis file, and a repair plan is expected here. It stands first, as in "
         "`ladderfe check"),
        (["check", CHASSIS, "--readings"], CHASSIS, "looks like a chassis file, and a table of thickness readings is"),
        (["check", CHASSIS, "--readings"], PLAN, "looks like a repair plan, and a table of thickness readings is"),
        (["square", CHASSIS, "--measured"], READINGS, "looks like a table of thickness readings, and a table of "
         "lengths and heights"),
    ],
)  # fmt: skip
def test_another_kind_of_file_is_one_sentence(words, file, told, capsys):
    assert run([*words, file]) == UNUSABLE
    err = " ".join(capsys.readouterr().err.split())
    assert f"{file}: file: {told}" in err
    assert "cannot be read" not in err
    assert "known" not in err


def test_a_table_of_lengths_is_known_for_what_it_is(tmp_path, capsys):
    file = tmp_path / "before.csv"
    assert run(["square", CHASSIS, "--out", str(file)]) == 0
    capsys.readouterr()
    assert run(["check", CHASSIS, "--readings", str(file)]) == UNUSABLE
    err = capsys.readouterr().err
    assert "looks like a table of lengths and heights that were measured" in err
    assert f"`ladderfe square my-chassis.toml --measured {file}`" in err


def test_a_slip_in_a_chassis_file_is_told_as_such(tmp_path, capsys):
    file = tmp_path / "frame.toml"
    file.write_text('title = "x"\nwheelbase 2400\n')
    assert run(["check", str(file)]) == UNUSABLE
    assert "no equals sign stands behind the key" in capsys.readouterr().err


def test_a_plan_is_drawn_as_repaired(plans, tmp_path, capsys):
    """The picture is not that of the frame as built, and says which state it is."""
    plans.frame(tmp_path)
    text = '[[plates]]\nkind = "cheek"\nrail = "left"\nwall = "outer"\nfrom = 1400\nto = 2700\nthickness = 3\n'
    plan = plans.plan(tmp_path, text)
    target = tmp_path / "repaired.png"
    assert run(["picture", str(plan), str(target)]) == 0
    told = capsys.readouterr().out
    assert "Drawn as repaired" in told
    with Image.open(target) as picture:
        assert picture.size[0] > 1000
    assert run(["picture", str(plan), "--unrolled"]) == UNUSABLE
    assert "--unrolled draws what was read, not what a plan puts back" in capsys.readouterr().err


def test_a_plans_key_in_a_whole_chassis_file_is_told_by_its_line(plain_file, tmp_path, capsys):
    """Such a file stays a chassis file, and its other faults are told too."""
    file = tmp_path / "mine.toml"
    text = plain_file.read_text(encoding="utf-8")
    file.write_text(text.replace("[body]", "[repair]\n\n[body]\nsplitt = 1", 1), encoding="utf-8")
    assert run(["check", str(file)]) == UNUSABLE
    told = capsys.readouterr().err
    line = text.splitlines().index("[body]") + 1
    assert f"{file}:{line}: repair: belongs to a repair plan. Give the file to `ladderfe repair`" in told
    assert "splitt: is not a known key" in told
