"""`ladderfe twist`: statuses, what is printed where, result files; by the function behind `ladderfe`."""

import json
import re
from dataclasses import replace

import pytest

import ladderfe.cli.twist as room
from ladderfe.cli.main import COMMANDS, run
from ladderfe.report.twist_results import MARKS


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
def studied(monkeypatch, plain_twist):
    """The study of the test frame, made once; what it was asked for is noted."""
    asked = {}

    def study(chassis, **options):
        asked.update(options, chassis=chassis)
        return replace(plain_twist, height=options["height"])

    monkeypatch.setattr(room, "check_twist", study)
    return asked


@pytest.fixture
def file(plain_file, tmp_path):
    path = tmp_path / "frame.toml"
    path.write_text(plain_file.read_text())
    return path


def test_it_is_among_the_commands(ladderfe):
    assert COMMANDS["twist"] == "twist"
    status, out, _ = ladderfe("--help")
    assert status == 0
    assert "twist" in out
    status, out, _ = ladderfe("twist", "--help")
    assert "--height MM" in " ".join(out.split())
    assert "default: 200" in " ".join(out.split())


def test_the_page_of_a_real_frame_and_status_1_over_a_limit(ladderfe, plain_file):
    status, out, err = ladderfe("twist", plain_file)
    assert (status, err) == (1, "")
    assert out.startswith("Test frame for closed forms: twist\n")
    assert "Torsional stiffness of the bare frame" in out
    assert "Self-check: 15 of 15 proofs hold" in out
    assert re.search(r"Rigid joints come out \d+ % too stiff", out)
    assert " OVER" in out


def test_within_all_limits_is_status_0(ladderfe, plain_file, studied, plain_twist, monkeypatch):
    low = tuple(replace(u, ratio=u.ratio / 10) for u in plain_twist.findings.utilisations)
    thin = replace(plain_twist.findings.buckling, effective=(), shear=(), seats=())
    within = replace(plain_twist, findings=replace(plain_twist.findings, utilisations=low, buckling=thin))
    monkeypatch.setattr(room, "check_twist", lambda *a, **k: within)
    status, _, err = ladderfe("twist", plain_file)
    assert (status, err) == (0, "")


@pytest.mark.usefixtures("studied")
def test_json_instead_of_the_page(ladderfe, plain_file):
    status, out, err = ladderfe("twist", plain_file, "--json")
    assert (status, err) == (1, "")
    assert json.loads(out)["limited by axle"] == "front"


def test_height_and_factor_reach_the_study(ladderfe, plain_file, studied):
    _, out, _ = ladderfe("twist", plain_file, "--height", "350", "--factor", "1.8")
    assert (studied["height"], studied["factor"]) == (350.0, 1.8)
    assert "Wheels raised by 350 mm" in out
    ladderfe("twist", plain_file)
    assert (studied["height"], studied["factor"]) == (200.0, 1.3)


@pytest.mark.parametrize(("value", "mm"), [("200 mm", 200.0), ("0.35m", 350.0), ("8 in", 203.2), ("1 mm", 1.0)])
def test_height_with_its_unit(ladderfe, plain_file, studied, value, mm):
    """An inch is 25.4 mm (international yard and pound agreement of 1959)."""
    ladderfe("twist", plain_file, "--height", value, "--json")
    assert studied["height"] == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--height", "0", "'--height'"),
        ("--height", "1001", "'--height'"),
        ("--height", "nan", "no number to reckon with"),
        ("--height", "high", "'--height'"),
        ("--height", "0.3", "0.3 mm?"),
        ("--height", "2 m", "'--height'"),
        ("--height", "8 kg", "'--height'"),
        ("--factor", "-1", "'--factor'"),
        ("--factor", "inf", "no number to reckon with"),
    ],
)
def test_what_cannot_be_reckoned_with_is_status_2(ladderfe, plain_file, option, value, words):
    status, out, err = ladderfe("twist", plain_file, option, value)
    assert (status, out) == (2, "")
    assert words in err


def test_a_file_that_cannot_be_used_is_status_2(ladderfe, file):
    file.write_text(file.read_text().replace("rate = 30", "rate = 0", 1))
    status, out, err = ladderfe("twist", file)
    assert (status, out) == (2, "")
    assert err.startswith(f"{file}:")


def test_short_of_proof_is_status_3_and_nothing_written(ladderfe, plain_file, plain_twist, tmp_path, monkeypatch):
    broken = replace(plain_twist.proofs[0], difference=1.0)
    short = replace(plain_twist, proofs=(broken, *plain_twist.proofs[1:]))
    monkeypatch.setattr(room, "check_twist", lambda *a, **k: short)
    status, out, err = ladderfe("twist", plain_file, "--out", tmp_path / "results")
    assert (status, err) == (3, "")
    assert "The self-check fell short" in " ".join(out.split())
    assert "Torsional stiffness of the bare frame" not in out
    status, out, _ = ladderfe("twist", plain_file, "--json")
    assert status == 3
    assert json.loads(out)["proven"] is False
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("studied")
def test_results_in_a_folder(ladderfe, file, tmp_path):
    """Page, JSON and three diagrams, each as SVG and PNG; not over earlier ones unasked; the page as printed."""
    out_folder = tmp_path / "results"
    status, out, err = ladderfe("twist", file, "--out", out_folder)
    assert (status, err) == (1, "")
    assert {p.name for p in out_folder.iterdir()} == set(MARKS)
    assert len(MARKS) == 8
    assert out.startswith((out_folder / "twist.txt").read_text())
    assert f"Results in {out_folder}:" in out
    assert json.loads((out_folder / "twist.json").read_text())["file"] == str(file)

    status, out, err = ladderfe("twist", file, "--out", out_folder)
    assert (status, out) == (2, "")
    assert "holds results already (twist.txt, twist.json, twist-angle.svg, ...)" in err
    before = (out_folder / "twist-angle.svg").read_bytes()
    status, out, err = ladderfe("twist", file, "--out", out_folder, "--overwrite", "--json")
    assert status == 1
    json.loads(out)
    assert "Results in" in err
    assert (out_folder / "twist-angle.svg").read_bytes() == before


def test_what_is_no_earlier_result_stays(ladderfe, file, tmp_path, monkeypatch):
    monkeypatch.setattr(room, "check_twist", lambda *a, **k: pytest.fail("calculated first"))
    mine = tmp_path / "wheel-loads.svg"
    mine.write_text("my own notes")
    status, out, err = ladderfe("twist", file, "--out", tmp_path, "--overwrite")
    assert (status, out) == (2, "")
    assert "is no earlier result of the same kind" in err
    assert mine.read_text() == "my own notes"


@pytest.mark.parametrize("name", ["pick-up", "light-lorry", "short-4x4", "short-4x4-tube-crossmember"])
def test_the_gallery(ladderfe, demo_file, name):
    status, out, err = ladderfe("twist", demo_file.with_name(f"{name}.toml"))
    assert status in (0, 1)
    assert err == ""
    assert max(map(len, out.splitlines())) <= 100
    assert "Self-check: 15 of 15 proofs hold" in out
