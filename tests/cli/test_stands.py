"""`ladderfe stands`: statuses, options, what is printed where; by the function behind `ladderfe`."""

import csv
import json

import pytest

from ladderfe.cli.main import COMMANDS, run


@pytest.fixture
def ladderfe(capsys):
    """Run a command: (status, stdout, stderr)."""

    def call(*args):
        status = run([str(a) for a in args])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return status, out, err

    return call


def test_it_is_among_the_commands(ladderfe):
    assert COMMANDS["stands"] == "stands"
    status, out, _ = ladderfe("stands", "--help")
    assert status == 0
    assert "--cut PLACE" in out
    assert "--readings FILE.csv" in out


@pytest.mark.parametrize(
    ("name", "station"), [("test-frame", 2000), ("short-4x4", 2600), ("pick-up", 2000), ("light-lorry", 2000)]
)
def test_the_gallery(ladderfe, demo_file, name, station):
    status, out, err = ladderfe("stands", demo_file.with_name(f"{name}.toml"), "--cut", f"left {station}")
    assert (status in (0, 1), err) == (True, "")
    assert "on stands, cut open" in out
    assert "Load on each stand, kN" in out
    assert f"Cut through the left rail at {station} mm: the brace's forces" in out
    assert "Four stands elsewhere" in out or "Where four stands may go" in out
    assert "3 of 3 proofs hold" in out
    assert max(map(len, out.splitlines())) <= 100


def test_without_a_cut_it_tells_loads_alone(ladderfe, demo_file):
    status, out, _ = ladderfe("stands", demo_file)
    assert status == 0
    assert "Cut through" not in out
    assert "1 of 1 proofs hold" in out
    assert "One stand low" in out


def test_the_page_and_the_document_say_the_same(ladderfe, demo_file):
    where = (demo_file, "--cut", "left 2600")
    _, page, _ = ladderfe("stands", *where)
    status, out, _ = ladderfe("stands", *where, "--json")
    told = json.loads(out)
    assert status == 1  # a crossmember's end works past its limit while the rail is open
    assert sum(told["whole"]["loads kN"].values()) == pytest.approx(19.27, abs=0.005)
    free = told["cuts"][0]["free"]
    assert f"{free['step mm']['up']:+.1f}" in page
    assert free["closes at"] == ["top", "bottom", "inner side", "outer side"]
    assert told["cuts"][0]["brace"]["Vz kN"] == pytest.approx(-2.76, abs=0.005)
    assert told["cut open"]["lifted"] == ["front jack pad right"]
    assert " ".join(told["short answer"]) in " ".join(page.split())
    assert "BOTH RAILS" not in page


def test_both_rails_between_the_same_stands(ladderfe, demo_file):
    """Told loudly; a stand between the cuts takes the warning away."""
    cuts = ("--cut", "left 1700", "--cut", "right 2000")
    _, out, _ = ladderfe("stands", demo_file, *cuts)
    assert "BOTH RAILS ARE CUT BETWEEN THE SAME STANDS" in out
    at = [f"{side} {s}" for s in (600, 1850, 3000) for side in ("left", "right")]
    _, out, _ = ladderfe("stands", demo_file, *cuts, *(x for words in at for x in ("--at", words)))
    assert "BOTH RAILS ARE CUT" not in out


def test_an_end_that_nothing_holds_is_an_answer(ladderfe, demo_file):
    status, out, _ = ladderfe("stands", demo_file, "--cut", "left 3860")
    assert status == 1
    assert "The left rail from 3860 to 3900 mm is held by nothing" in out


def test_stands_by_the_name_of_mounts(ladderfe, demo_file):
    _, by_name, _ = ladderfe("stands", demo_file, "--at", "front jack pad", "--at", "rear jack pad left", "--at",
                             "rear jack pad right")  # fmt: skip
    _, of_file, _ = ladderfe("stands", demo_file)
    assert " ".join(by_name.split()).replace("as given", "those of the chassis file") == " ".join(of_file.split())


def test_readings_are_told_at_the_stands(ladderfe, demo_file):
    readings = demo_file.with_name("short-4x4-readings.csv")
    _, out, _ = ladderfe("stands", demo_file, "--readings", readings, "--at", "left 1700", "--at", "right 1110", "--at",
                         "left 3000", "--at", "right 3000")  # fmt: skip
    assert "The rails' walls are as read in" in " ".join(out.split())
    assert "UNREAD" in out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--cut", "lft 2500"), 'names no place: write rail (left or right) and station in mm, as in --cut "left'),
        (("--cut", "left 9999"), "the left rail has no metal on both sides of 9999 mm; it runs from 0 to 3900 mm"),
        (("--at", "left 4000"), "the left rail has no station 4000 mm; it runs from 0 to 3900 mm"),
        (("--at", "rear jak pad left"), 'or the name of a mount. Did you mean "rear jack pad left"?'),
        (("--cut", "left 2500"), "the crossmember kick-up is joined to the rail there. Cut beside it, before 2465"),
        (("--at", "left 600", "--at", "right 600"), "it takes three stands that are not in one line"),
        (("--at", "left 100", "--at", "right 100", "--at", "left 700"), "tips over"),
        (("--reach", "100"), "go with --readings"),
    ],
)
def test_what_cannot_be_used_is_told_in_a_sentence(ladderfe, demo_file, options, words):
    status, out, err = ladderfe("stands", demo_file, *options)
    assert (status, out) == (2, "")
    assert words in " ".join(err.split())


@pytest.mark.parametrize(("station", "refused"), [(2300, True), (2302, True), (2276, True), (2330, False)])
def test_no_stand_bears_on_both_faces_of_a_cut(ladderfe, demo_file, station, refused):
    """A stand bears on 50 mm of the rail: nearer than half of that, which face it holds decides what the cut does."""
    places = [f"left {station}", "right 2300", "left 600", "right 600", "left 3300", "right 3300"]
    at = [x for words in places for x in ("--at", words)]
    status, _, err = ladderfe("stands", demo_file, "--cut", "left 2300", *at)
    assert (status == 2) == refused
    assert ("bears on 50 mm of the rail, on both sides of the cut" in " ".join(err.split())) == refused


def test_results_are_written_as_the_page_has_them(ladderfe, demo_file, tmp_path):
    out = tmp_path / "results"
    where = ("stands", demo_file, "--cut", "left 2600", "--out", out)
    status, page, _ = ladderfe(*where)
    assert status == 1
    text = (out / "stands.txt").read_text()
    assert page.startswith(text.rstrip("\n"))
    told = json.loads((out / "stands.json").read_text())
    loads = list(csv.DictReader((out / "stand-loads.csv").read_text().splitlines()))
    assert {r["stand"]: float(r["cut_kN"]) for r in loads} == pytest.approx(told["cut open"]["loads kN"], abs=1e-6)
    assert sum(float(r["whole_kN"]) for r in loads) == pytest.approx(told["weight kN"], abs=1e-5)
    (brace,) = csv.DictReader((out / "cut-forces.csv").read_text().splitlines())
    assert float(brace["Vz_kN"]) == pytest.approx(told["cuts"][0]["brace"]["Vz kN"], abs=1e-6)
    free, *props = csv.DictReader((out / "cut-movements.csv").read_text().splitlines())
    assert float(free["step_up_mm"]) == told["cuts"][0]["free"]["step mm"]["up"]
    assert len(props) == len(told["cuts"][0]["props"])
    assert free["stands_lifted"] == "front jack pad right"
    status, _, err = ladderfe(*where)
    assert (status, "holds results already" in " ".join(err.split())) == (2, True)


def test_tables_of_an_earlier_cut_do_not_stay_beside_loads_without_one(ladderfe, demo_file, tmp_path):
    out = tmp_path / "results"
    ladderfe("stands", demo_file, "--cut", "left 2600", "--out", out)
    status, _, _ = ladderfe("stands", demo_file, "--out", out, "--overwrite")
    assert status == 0
    assert sorted(f.name for f in out.iterdir()) == ["stand-loads.csv", "stands.json", "stands.txt"]
