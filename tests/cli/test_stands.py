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


def told_of(out, name):
    """The page up to its first heading, and what stands under "Mind", on the stand of that name."""
    head, _, rest = " ".join(out.split()).partition(" Mind ---- ")
    mind = rest.partition(" Load on each stand")[0]
    return [part for part in (head, mind) if f"Stand {name} is" in part]


@pytest.mark.parametrize(
    ("station", "words"),
    [
        (2740, "40 mm from the cut"),
        (2849, "149 mm from the cut"),
        (2850, ""),
        (2551, "149 mm from the cut"),
    ],
)
def test_a_stand_keeps_clear_of_a_cut_through_its_rail(ladderfe, demo_file, station, words):
    """150 mm, as places that are proposed; the other rail's cut is none of its business."""
    others = [x for p in ("left 600", "right 600", "left 3400", "right 3400", f"right {station}") for x in ("--at", p)]
    cut = (demo_file, "--cut", "left 2700", *others)
    _, out, _ = ladderfe("stands", *cut)
    assert "Stand right rail at" not in out
    status, out, _ = ladderfe("stands", *cut, "--at", f"left {station}")
    name = f"left rail at {station} mm"
    assert len(told_of(out, name)) == (2 if words else 0)
    assert not words or (words in out and "Move it to 2550 or 2850 mm" in " ".join(out.split()))
    document = json.loads(ladderfe("stands", *cut, "--at", f"left {station}", "--json")[1])
    off = {s["stand"]: s["mm from the cut"] for s in document["stands"]}[name]
    assert off == (abs(station - 2700) if words else None)
    assert not words or status == 1


@pytest.fixture
def holed(demo_file, tmp_path):
    """Readings with a hole in the bottom and a doubtful place, far apart."""
    out = tmp_path / "read.csv"
    out.write_text(
        "side,station,wall,reading,to,rim\nleft,1800,bottom,hole,1850,20\nright,3000,bottom,suspect,,\n"
        "left,2300,bottom,2.0,,\n", encoding="utf-8",
    )  # fmt: skip
    return out


@pytest.mark.parametrize(
    ("stand", "words", "better"),
    [
        ("left 1820", "bottom gone", "1670 or 1980"),
        ("left 1940", "bottom gone from 1780 to 1870 mm, 70 mm off", "1670 or 1980"),
        ("right 2950", "doubtful place at 3000 mm", "2890 or 3110"),
        ("left 1975", "", ""),
    ],
)
def test_a_stand_under_bad_metal_is_outside_the_limit(ladderfe, demo_file, holed, stand, words, better):
    """Told at the top and under "Mind", with the nearest good places; holes keep 100 mm, rims included."""
    others = [x for p in ("left 600", "right 600", "left 3400", "right 3400") for x in ("--at", p)]
    asked = (demo_file, "--readings", holed, *others)
    assert ladderfe("stands", *asked)[0] == 0
    status, out, _ = ladderfe("stands", *asked, "--at", stand)
    side, station = stand.split()
    assert (status, len(told_of(out, f"{side} rail at {station} mm"))) == ((1, 2) if words else (0, 0))
    flat = " ".join(out.split())
    assert not words or (words in flat and f"Move it to {better} mm, the nearest" in flat)
    assert (f"- under {side} rail at {station} mm: no upright web" in flat) == (stand == "left 1820")


def test_thin_metal_over_a_stand_is_told_with_a_better_place(ladderfe, demo_file, holed):
    """What its webs bear is worked out with the walls as read, so it is no excess by itself."""
    others = [x for p in ("left 600", "right 600", "left 3400", "right 3400") for x in ("--at", p)]
    status, out, _ = ladderfe("stands", demo_file, "--readings", holed, *others, "--at", "left 2300")
    assert status == 0
    words = "Stand left rail at 2300 mm: bottom 2.00 of 2.5 mm; UNREAD: top, outer, inner. Move it to 2040 or 2560 mm"
    assert words in " ".join(out.split())


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


def test_a_low_stand_that_overloads_another_is_outside_the_limit(ladderfe, plain_file, tmp_path):
    """By statics: of four stands at the corners of a rectangle the one that carries nothing leaves half of the load to
    either of the two beside it together with what lies opposite; level, each web bears what it has."""
    thin = 'shape = "box", depth = 150, width = 75, top = 6, bottom = 6, inner = 1.1, outer = 1.1'
    file = tmp_path / "thin.toml"
    file.write_text(plain_file.read_text().replace('shape = "box", depth = 150, width = 75, wall = 2', thin, 1))
    at = [x for p in ("left 1900", "right 1900", "left 2350", "right 2350") for x in ("--at", p)]
    status, out, _ = ladderfe("stands", file, *at, "--json")
    document = json.loads(out)
    webs = {g["stand"]: g["web"]["bears kN"] for g in document["stands"]}
    assert all(force < webs[name] for name, force in document["whole"]["loads kN"].items())
    most = max(max(r["loads kN"].values()) for r in document["one stand low"])
    assert most == pytest.approx(document["weight kN"] / 2, rel=1e-3)
    assert most > max(webs.values())
    assert document["greatest utilisation"]["whole"]["ratio"] < 1  # nothing else is over a limit
    assert status == 1
    pressed = {n for r in document["one stand low"] for n, force in r["loads kN"].items() if force > webs[n]}
    assert pressed == {n for n in webs if f"Stand {n}, with" in " ".join(document["mind"])}
    _, page, _ = ladderfe("stands", file, *at)
    assert f"{most:.2f}  {100 * most / min(webs.values()):.0f} %" in page
