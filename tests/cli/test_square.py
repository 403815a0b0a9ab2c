"""`ladderfe square`: the table to fill in, pages with readings, status, JSON."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from ladderfe.cli.main import EXCEEDED, UNUSABLE, run

MODELS = Path(__file__).resolve().parents[2] / "models"
DEMO = str(MODELS / "short-4x4.toml")
#: The demo's rails end to end and across, as built.
ALONG = {("left 0", "left 3900"): 3900.6, ("right 0", "right 3900"): 3900.6, ("left 0", "right 3900"): 3971.8,
         ("right 0", "left 3900"): 3971.8}  # fmt: skip


@pytest.fixture
def table(tmp_path, capsys):
    """Fill in the table as printed, with what is to be added to rows by their points; returns the file."""

    def made(name="m.csv", off=None, only=None):
        empty = tmp_path / f"empty-{name}"
        assert run(["square", DEMO, "--out", str(empty)]) == 0
        capsys.readouterr()
        with open(empty, encoding="utf-8", newline="") as file:
            rows = list(csv.reader(line for line in file if not line.startswith("#")))
        for row in rows[1:]:
            row[4] = f"{float(row[3]) + (off or {}).get((row[1], row[2]), 0.0) + 400 * (row[0] == 'height'):.1f}"
        rows = [r for k, r in enumerate(rows) if not k or only is None or only(r)]
        path = tmp_path / name
        with open(path, "w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
        return str(path)

    return made


@pytest.mark.parametrize("model", [p.name for p in sorted(MODELS.glob("*.toml"))])
def test_what_to_measure_on_every_chassis(model, capsys):
    assert run(["square", str(MODELS / model)]) == 0
    page = capsys.readouterr().out
    assert max(map(len, page.splitlines())) <= 100
    for words in ("Across", "Along the left rail", "Along the right rail", "Diagonals", "Heights over a level datum"):
        assert f"\n{words}\n" in page


def test_readings_as_built_stand_within(table, capsys):
    assert run(["square", DEMO, "--measured", table()]) == 0
    page = capsys.readouterr().out
    assert "Nothing outside the tolerance" in page
    assert "OVER" not in page
    assert max(map(len, page.splitlines())) <= 100
    assert "All readings that others bear out fit them within the error of measuring." in " ".join(page.split())
    for word in ("sag", "twist", "bow", "diamond", "left side", "right side", "spread"):
        assert any(line.startswith(word) and "below the error" in line for line in page.splitlines()), word


def test_what_is_over_is_told_with_its_limit(table, capsys):
    off = {("left 0", "right 3900"): 4.0, ("right 0", "left 3900"): -4.0, ("left 1520", "right 1520"): 5.5}
    file = table(off=off)
    assert run(["square", DEMO, "--measured", file]) == EXCEEDED
    page = " ".join(capsys.readouterr().out.split())
    assert "- Distance left 1520 to right 1520: +5.5 mm, limit +-5 mm (over by 0." in page
    assert "- Diagonals left 0 to right 3900 and right 0 to left 3900: +8.0 mm, limit 6 mm" in page
    assert "loosen the tacks" in page
    assert "NZTA VIRM repair manual (as quoted, source text not seen)" in page
    assert run(["square", DEMO, "--measured", file, "--points", "6", "--diagonals", "9"]) == 0
    assert "as chosen (--points)" in capsys.readouterr().out
    assert run(["square", DEMO, "--measured", file, "--tolerance", "diagonals-only", "--diagonals", "9"]) == 0


def test_a_slip_is_named_with_its_line(table, capsys):
    run(["square", DEMO, "--measured", table(off={("left 1520", "right 2520"): 10.0})])
    page = " ".join(capsys.readouterr().out.split())
    assert "Line 23 (distance left 1520 to right 2520) does not fit the others by 10 mm: it reads too long" in page


def test_too_few_readings_say_which_to_add(table, capsys):
    file = table(only=lambda r: "across" in r[5])
    assert run(["square", DEMO, "--measured", file]) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "For diamond: both diagonals left 0 to right 3900 and right 0 to left 3900." in page
    assert "For twist: heights at left 0, right 0, left 3900 and right 3900." in page
    assert "No pair of diagonals was measured" in page
    heights = table("h.csv", only=lambda r: r[0] == "height" and r[1] in ("left 0", "right 0", "left 3900"))
    assert run(["square", DEMO, "--measured", heights]) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "Nothing can be compared yet" in page
    assert "Too few to be compared: four heights or more are needed" in page


def test_the_readings_to_add_fix_every_mode(tmp_path, capsys):
    """As the page of a single height asks for them: then no mode is open."""
    file = tmp_path / "m.csv"
    rows = ["kind,from,to,reading", "height,left 0,,560"]
    file.write_text("\n".join(rows), encoding="utf-8")
    run(["square", DEMO, "--measured", str(file), "--json"])
    asked = json.loads(capsys.readouterr().out)["rounds"][0]["readings to add"]
    assert len(asked) == 7
    assert all(f"{a} to {b}" in " ".join(asked) for a, b in ALONG)
    rows += [f"height,{side} {x},,{z}" for x, z in ((0, 560), (1520, 500), (3900, 610)) for side in ("left", "right")]
    rows += [f"offset,left {x},,{y}" for x, y in ((0, 350), (1520, 383), (3900, 400))]
    rows += [f"distance,{a},{b},{d}" for (a, b), d in ALONG.items()]
    rows += [f"distance,left {x},right {x},{y}" for x, y in ((0, 700), (1520, 765.7), (3900, 800))]
    file.write_text("\n".join(rows), encoding="utf-8")
    run(["square", DEMO, "--measured", str(file), "--json"])
    last = json.loads(capsys.readouterr().out)["rounds"][0]
    assert last["readings to add"] == []
    assert all(m["size"] is not None for m in last["modes"])


def test_two_rounds_tell_what_moved(table, capsys):
    pulled = {("left 0", "right 3900"): 4.0, ("right 0", "left 3900"): -4.0}
    before, after = table("before.csv", off=pulled), table("after.csv")
    assert run(["square", DEMO, "--measured", before, "--measured", after]) == 0  # the last round counts
    page = capsys.readouterr().out
    assert "53 readings are in both, 2 of them changed" in " ".join(page.split())
    row = next(r for r in page.splitlines() if r.startswith("distance  left 0 to right 3900"))
    assert row.split()[-4:] == ["3975.8", "3971.8", "-4.0", "1.4"]
    assert run(["square", DEMO, "--measured", after, "--measured", before]) == EXCEEDED


def test_what_moved_stands_at_the_top(table, capsys):
    """Within every limit and yet moved: the heading says so; the greatest change by its size, not its sign."""
    weld = {("left 0", "right 0"): -3.5, ("left 1520", "right 1520"): 3.2}  # mm: beyond 2 sqrt(2), within 5
    before, after = table("before.csv"), table("after.csv", off=weld)
    assert run(["square", DEMO, "--measured", before, "--measured", after]) == 0
    page = capsys.readouterr().out
    top = " ".join(page.split("\nDistances\n")[0].split())
    assert "Nothing outside the tolerance; 2 readings moved since the round before ---" in top
    words = (
        "2 of 53 readings changed by more than twice the error of both, most distance left 0 to right 0, by -3.5 mm."
    )
    assert words in top
    assert "No mode moved beyond its error." in top
    run(["square", DEMO, "--measured", before, "--measured", after, "--json"])
    assert json.loads(capsys.readouterr().out)["moved"][0]["in short"].partition("after.csv ")[2] in top
    run(["square", DEMO, "--measured", before, "--measured", before])
    assert "Nothing outside the tolerance; nothing moved since the round before\n" in capsys.readouterr().out


def test_modes_that_moved_are_named_and_slips_told(table, capsys):
    """The rear turned by 8 mm over the rails' 800; one diagonal's slip is no movement."""
    short = {("left 3900", ""): -4.0, ("right 3900", ""): 4.0, ("left 1520", "right 2520"): 30.0}
    before, after = table("before.csv"), table("after.csv", off=short)
    run(["square", DEMO, "--measured", before, "--measured", after])
    top = " ".join(capsys.readouterr().out.split("\nDistances\n")[0].split())
    assert "most distance left 1520 to right 2520, by +30.0 mm, which does not fit the others and may be a slip" in top
    assert "Outside the tolerance; 3 readings and 1 mode moved since the round before" in top
    assert "MOVED: twist +0." in top


def test_json_holds_what_the_page_tells(table, capsys):
    before, after = table("before.csv"), table("after.csv", off={("left 1520", "right 2520"): 10.0})
    assert run(["square", DEMO, "--measured", before, "--measured", after, "--json"]) == EXCEEDED
    found = json.loads(capsys.readouterr().out)
    assert [r["file"] for r in found["rounds"]] == [before, after]
    last = found["rounds"][1]
    assert last["does not fit"][0]["off mm"] == pytest.approx(10, abs=0.3)  # expected values have one decimal
    over = [d for d in last["diagonals"] if d["exceeded"]]
    assert [(d["one"], d["differ mm"]) for d in over] == [("left 1520 to right 2520", 10.0)]
    assert {m["mode"] for m in last["modes"]} >= {"sag", "bow", "twist", "diamond"}
    assert len(last["readings"]) == 53
    assert len(found["moved"]) == 1
    assert run(["square", DEMO, "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["to measure"]["rows"]) == 53


def test_json_of_few_readings_has_null_for_what_is_open(table, capsys):
    assert run(["square", DEMO, "--measured", table(only=lambda r: r[0] == "height"), "--json"]) == 0
    modes = {m["mode"]: m for m in json.loads(capsys.readouterr().out)["rounds"][0]["modes"]}
    assert modes["bow"]["size"] is None
    assert modes["sag"]["size"] == pytest.approx(0, abs=0.1)


def test_a_table_with_readings_is_not_lost(table, tmp_path, capsys):
    full, empty = table(), tmp_path / "empty-m.csv"
    assert run(["square", DEMO, "--out", str(empty)]) == UNUSABLE
    assert run(["square", DEMO, "--out", str(empty), "--overwrite"]) == 0
    with open(full, "a+", encoding="utf-8") as file:
        file.seek(0)
        text = file.read()
    Path(full).write_text(empty.read_text(encoding="utf-8").split("kind,")[0] + text, encoding="utf-8")
    capsys.readouterr()
    assert run(["square", DEMO, "--out", full, "--overwrite"]) == UNUSABLE
    assert capsys.readouterr().err == f"{full}: holds readings, and they would be lost. Choose another name.\n"


@pytest.mark.parametrize(
    ("extra", "words"),
    [
        (["--out", "x.txt"], "x.txt: ends in .txt. Name it x.csv."),
        (["--measured", "nothing.csv"], "nothing.csv: file: does not exist. Check its name and folder."),
        (["--measured", "x.csv", "--out", "y.csv"], "--out and --face make the table to fill in"),
        (["--tape", "nan"], "nan"),
        (["--tape", "0"], "--tape"),
    ],
)
def test_what_cannot_be_done_is_told(extra, words, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert run(["square", DEMO, *extra]) == UNUSABLE
    assert words in capsys.readouterr().err


def test_all_faults_of_a_file_are_told_and_nothing_else(tmp_path, capsys):
    file = tmp_path / "bad.csv"
    file.write_text("kind,from,to,reading\nheight,lft 0,,5\ndistance,left 0,right 0,7\n", encoding="utf-8")
    assert run(["square", DEMO, "--measured", str(file)]) == UNUSABLE
    out, err = capsys.readouterr()
    assert out == ""
    assert [line.split(": ")[0] for line in err.splitlines()[:2]] == [f"{file}:2", f"{file}:3"]
    assert err.endswith("2 problems; nothing was calculated.\n")
