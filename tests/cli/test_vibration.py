"""`ladderfe vibration`: statuses, what is printed where, result files; by the function behind `ladderfe`."""

import json
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

import ladderfe.cli.vibration as room
from ladderfe.cli.main import COMMANDS, run
from ladderfe.report.vibration_results import MARKS


@pytest.fixture
def ladderfe(capsys):
    """Run a command: (status, stdout, stderr)."""

    def call(*args):
        status = run([str(a) for a in args])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return status, out, err

    return call


@pytest.fixture
def studied(monkeypatch, demo_vibration):
    """The study of the demo chassis, made once."""
    monkeypatch.setattr(room, "check_vibration", lambda *a, **k: demo_vibration)


@pytest.fixture
def file(demo_file, tmp_path):
    path = tmp_path / "frame.toml"
    path.write_text(demo_file.read_text())
    return path


@pytest.fixture
def quick(monkeypatch):
    """Sheets are not drawn, only marked as PNG."""
    from ladderfe.report import pictures
    from ladderfe.report.files import PNG, write_whole

    def draw(scenes, path, overwrite=False, **more):
        write_whole(path, PNG + f"{len(scenes)} scenes".encode(), overwrite, PNG)
        return "a note"

    monkeypatch.setattr(pictures, "draw_sheet", draw)


def test_it_is_among_the_commands(ladderfe):
    assert COMMANDS["vibration"] == "vibration"
    status, out, _ = ladderfe("vibration", "--help")
    assert status == 0
    assert "--state" in out


@pytest.mark.parametrize("name", ["pick-up", "light-lorry", "test-frame", "short-4x4-no-gearbox-crossmember"])
def test_the_gallery(ladderfe, demo_file, name):
    status, out, err = ladderfe("vibration", demo_file.with_name(f"{name}.toml"))
    assert (status, err) == (0, "")
    assert max(map(len, out.splitlines())) <= 100
    assert "Self-check: 6 of 6 proofs hold" in out
    assert "first twist" in out


@pytest.mark.usefixtures("studied")
def test_json_instead_of_the_page(ladderfe, file):
    status, out, err = ladderfe("vibration", file, "--json")
    assert (status, err) == (0, "")
    assert json.loads(out)["proven"] is True


def test_a_file_that_cannot_be_used_is_status_2(ladderfe, file):
    file.write_text(file.read_text().replace("rate = 28", "rate = 0", 1))
    status, out, err = ladderfe("vibration", file)
    assert (status, out) == (2, "")
    assert err.startswith(f"{file}:")


def test_short_of_proof_is_status_3_and_nothing_written(ladderfe, file, demo_vibration, tmp_path, monkeypatch):
    broken = replace(demo_vibration.proofs[0], difference=1.0)
    short = replace(demo_vibration, proofs=(broken, *demo_vibration.proofs[1:]))
    monkeypatch.setattr(room, "check_vibration", lambda *a, **k: short)
    out_folder, picture = tmp_path / "results", tmp_path / "modes.png"
    status, out, err = ladderfe("vibration", file, "--out", out_folder, "--picture", picture)
    assert (status, err) == (3, "")
    assert "The self-check fell short" in " ".join(out.split())
    assert not out_folder.exists()
    assert not picture.exists()


@pytest.mark.usefixtures("studied", "quick")
def test_results_in_a_folder(ladderfe, file, tmp_path):
    """Page, JSON and a sheet for each state; not over earlier ones unasked; the page as printed."""
    out_folder = tmp_path / "results"
    status, out, err = ladderfe("vibration", file, "--out", out_folder)
    assert (status, err) == (0, "")
    assert {p.name for p in out_folder.iterdir()} == set(MARKS)
    assert out.startswith((out_folder / "vibration.txt").read_text())
    assert "a note" in out
    for name, mark in MARKS.items():
        assert mark in (out_folder / name).read_bytes()[:65536]
    status, out, err = ladderfe("vibration", file, "--out", out_folder)
    assert (status, out) == (2, "")
    assert "holds results already" in err
    status, out, err = ladderfe("vibration", file, "--out", out_folder, "--overwrite", "--json")
    assert status == 0
    json.loads(out)
    assert "Results in" in err


def test_what_is_no_earlier_result_stays(ladderfe, file, tmp_path, monkeypatch):
    monkeypatch.setattr(room, "check_vibration", lambda *a, **k: pytest.fail("calculated first"))
    mine = tmp_path / "modes-laden.png"
    mine.write_text("my own notes")
    for option in (("--out", tmp_path), ("--picture", mine)):
        status, out, err = ladderfe("vibration", file, *option, "--overwrite")
        assert (status, out) == (2, "")
        assert "is no earlier result of the same kind" in err
    assert mine.read_text() == "my own notes"


def test_no_picture_of_what_has_no_mass(ladderfe, plain_file, tmp_path):
    status, out, err = ladderfe("vibration", plain_file, "--picture", tmp_path / "modes.png", "--state", "bare")
    assert (status, out) == (2, "")
    assert "draw another --state" in err


@pytest.mark.usefixtures("studied")
def test_a_sheet_of_three_modes(ladderfe, file, tmp_path, monkeypatch):
    """Three panels below each other, each with walls drawn in more than one colour; the same bytes each time."""
    monkeypatch.setenv("LADDERFE_PICTURES", "plain")
    picture = tmp_path / "modes.png"
    status, out, err = ladderfe("vibration", file, "--picture", picture, "--state", "bare")
    assert (status, err) == (0, "")
    assert f"{picture}: bare: first twist 32.9 Hz, first vertical bending 48.9 Hz" in out
    pixels = np.asarray(Image.open(picture).convert("RGB"))
    assert pixels.shape == (1500, 1400, 3)
    for panel in np.split(pixels, 3):
        assert len(np.unique(panel[130:420, 100:1200].reshape(-1, 3), axis=0)) > 500
