"""Commands with thickness readings: what they print and write, their status, what they refuse."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from ladderfe.cli.main import EXCEEDED, UNUSABLE, run
from ladderfe.cli.readings import LEAST, REACH, Asked
from ladderfe.condition import Options
from ladderfe.condition.types import LEAST_REACH

HERE = Path(__file__).resolve().parents[2] / "models"
PLAIN = str(HERE / "test-frame.toml")
MODELS = {name: (str(HERE / f"{name}.toml"), str(HERE / f"{name}-readings.csv")) for name in ("short-4x4", "pick-up")}


@pytest.fixture
def rust(tmp_path):
    """A few readings on the test frame."""
    file = tmp_path / "rust.csv"
    file.write_text("side;station;wall;reading\nleft;1500;bottom;1,9\nleft;1500;bottom;2,1\nright;1500;bottom;1,8\n")
    return str(file)


@pytest.mark.parametrize(
    ("name", "commands"), [("short-4x4", ("check", "hand")), ("pick-up", ("twist", "compare", "picture"))]
)
def test_the_worked_readings_are_used_by_every_command(name, commands, capsys, tmp_path):
    """Each page says what is assumed, fits 100 columns and keeps its status."""
    chassis, readings = MODELS[name]
    assert Path(readings).read_text(encoding="utf-8").startswith("# Thickness readings of the ")
    pages = {
        "check": [chassis, "--quick"], "hand": [chassis, "--alone"], "twist": [chassis], "compare": [chassis],
        "picture": [chassis, str(tmp_path / "frame.png")],
    }  # fmt: skip
    for command in commands:
        args = pages[command]
        status = run([command, *args, "--readings", readings])
        page = capsys.readouterr().out
        assert "m of the rails' walls were not read and count as built" in " ".join(page.split()), command
        assert status == (EXCEEDED if command in ("check", "twist", "compare") else status)
        assert status in (0, EXCEEDED)
        assert max(len(line) for line in page.splitlines() if str(tmp_path) not in line) <= 100
    assert "picture" not in commands or (tmp_path / "frame.png").stat().st_size > 10_000


def test_check_shows_as_found_against_as_built_right_under_what_governs(capsys, rust):
    assert run(["check", PLAIN, "--quick", "--readings", rust]) in (0, EXCEEDED)
    page = capsys.readouterr().out
    assert page.index("Governing: ") < page.index("As found against as built") < page.index("Governing stresses")
    assert "left bottom 1500 1250 to 1750 2 " in " ".join(page.split())


def test_json_says_what_was_read(capsys, rust):
    run(["check", PLAIN, "--quick", "--json", "--readings", rust, "--reach", "100", "--unread-loss", "10"])
    told = json.loads(capsys.readouterr().out)["as found"]
    assert told["options"] == {"reach": 100.0, "pool": 0.0, "strength": "smallest", "unread_loss": 0.1}
    assert "count at 90 % of their thickness" in told["assumed"]
    run(["twist", PLAIN, "--json", "--readings", rust])
    assert json.loads(capsys.readouterr().out)["as found"]["readings"] == 3
    run(["compare", PLAIN, "--json", "--readings", rust])
    document = json.loads(capsys.readouterr().out)
    assert [f["file"] for f in document["files"]] == [f"{PLAIN}, as built", f"{PLAIN}, as found by {rust}"]
    assert document["as found"][0]["file"] == rust


def test_compare_takes_one_file_with_readings_only(capsys, rust):
    assert run(["compare", PLAIN]) == UNUSABLE
    assert "With --readings one is enough" in capsys.readouterr().err
    assert run(["compare", "--readings", rust]) == UNUSABLE


def test_files_of_results_come_with_tables_of_the_readings(capsys, tmp_path, rust):
    out = tmp_path / "results"
    assert run(["check", PLAIN, "--quick", "--readings", rust, "--out", str(out)]) in (0, EXCEEDED)
    assert (out / "readings-places.csv").read_text().splitlines()[1].startswith("1,left,bottom,1500")
    assert "As found against as built" in (out / "findings.txt").read_text()
    assert run(["check", PLAIN, "--quick", "--readings", rust, "--out", str(out)]) == UNUSABLE
    capsys.readouterr()


def test_readings_are_never_written_over(capsys, rust):
    before = Path(rust).read_bytes()
    assert run(["picture", PLAIN, rust, "--readings", rust, "--overwrite"]) == UNUSABLE
    assert Path(rust).read_bytes() == before
    capsys.readouterr()


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--pool", "30"], "--reach, --pool, --unread-loss and --lower-bound go with --readings FILE.csv."),
        (["--lower-bound"], "--reach, --pool, --unread-loss and --lower-bound go with --readings FILE.csv."),
        (["--readings", "R", "--reach", "nan"], "nan is no number to reckon with"),
        (["--readings", "R", "--reach", "0"], "Invalid value for '--reach'"),
        (["--readings", "R", "--unread-loss", "100"], "Invalid value for '--unread-loss'"),
        (["--readings", "no-such.csv"], "no-such.csv: file: does not exist. Check its name and folder."),
    ],
)
def test_what_is_refused(capsys, rust, args, words):
    assert run(["check", PLAIN, *(rust if a == "R" else a for a in args)]) == UNUSABLE
    assert words in capsys.readouterr().err


def test_all_problems_of_a_file_are_told(capsys, tmp_path):
    bad = tmp_path / "bad.csv"
    bad.write_text("side,station,wall,reading\nleft,99999,bottom,2\nleft,1500,botom,2\n")
    assert run(["hand", PLAIN, "--readings", str(bad)]) == UNUSABLE
    told = capsys.readouterr().err
    assert f"{bad}:2: station: lies off the left rail" in told
    assert f"{bad}:3: wall: must be a wall of the left rail" in told
    assert "2 problems; nothing was calculated." in told


def test_the_usual_reach_is_that_of_readings():
    """The command's options must not import what readings need, so they have the number themselves."""
    from ladderfe.cli.readings import REACH
    from ladderfe.condition import Options

    assert Options().reach == REACH


def test_defaults_of_the_options_are_those_of_the_chassis_as_found():
    assert Asked(None, REACH, 0.0, 0.0, lower_bound=False).options == Options()
    assert LEAST == LEAST_REACH
