"""`ladderfe report`: what it writes, what it refuses, and that its inputs give the same record again."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
from pathlib import Path

import pytest

from ladderfe.cli.main import EXCEEDED, UNUSABLE, run

MODELS = Path(__file__).resolve().parents[2] / "models"
PLAIN = MODELS / "test-frame.toml"
DAY = ["--date", "2031-05-17", "--quick"]


@pytest.fixture
def rust(tmp_path):
    """A few readings on the test frame, in a folder of their own."""
    (tmp_path / "read").mkdir()
    file = tmp_path / "read" / "rust.csv"
    file.write_bytes(b"\xef\xbb\xbfside;station;wall;reading\r\nleft;1500;bottom;1,9\r\nleft;1500;bottom;2,1\r\n")
    return file


def test_the_inputs_taken_out_give_the_same_record(tmp_path, rust, capsys):
    """Byte for byte, from other folders; the command that the record names does it."""
    chassis = tmp_path / "frame.toml"
    chassis.write_bytes(PLAIN.read_bytes())
    first, again = tmp_path / "first.html", tmp_path / "again.html"
    said = ["--measured-by", "A. Nother", "--gauge", "step 5 mm", "--reach", "300"]
    status = run(["report", str(chassis), "--readings", str(rust), "--output", str(first), *DAY, *said])
    assert status in (0, EXCEEDED)
    text = first.read_text(encoding="utf-8")
    assert "A. Nother" in text
    assert "2031-05-17" in text
    out = tmp_path / "out"
    assert run(["report", str(first), "--inputs", str(out)]) == 0
    told = capsys.readouterr().out
    assert "Made by: ladderfe report frame.toml --readings read/rust.csv --reach 300" in told
    assert (out / "frame.toml").read_bytes() == chassis.read_bytes()
    assert (out / "read" / "rust.csv").read_bytes() == rust.read_bytes()
    args = ["report", str(out / "frame.toml"), "--readings", str(out / "read" / "rust.csv"), "--output", str(again)]
    assert run([*args, *DAY, *said]) == status
    assert again.read_bytes() == first.read_bytes()
    assert run(["report", str(first), "--inputs", str(out)]) == UNUSABLE
    assert "is there already" in capsys.readouterr().err


def test_rounds_of_measuring_stand_on_the_sheet_and_in_a_chapter(tmp_path, capsys):
    """The record says what `ladderfe square` says; its inputs give it again, byte for byte."""
    chassis, before, after = tmp_path / "frame.toml", tmp_path / "tape" / "before.csv", tmp_path / "tape" / "after.csv"
    chassis.write_bytes(PLAIN.read_bytes())
    before.parent.mkdir()
    run(["square", str(chassis), "--out", str(before)])
    rows = [r.split(",") for r in before.read_text(encoding="utf-8").splitlines() if not r.startswith("#")]
    short = {("left 0", "right 0"): -3.6}
    for file, off in ((before, {}), (after, short)):
        read = [[*r[:4], f"{float(r[3]) + off.get((r[1], r[2]), 0):.1f}", ""] for r in rows[1:]]
        file.write_text("\n".join(map(",".join, [rows[0], *read])), encoding="utf-8")
    both = ["--measured", str(before), "--measured", str(after)]
    capsys.readouterr()
    run(["square", str(chassis), *both])
    words = "Nothing outside the tolerance; 1 reading moved since the round before"
    assert words in capsys.readouterr().out
    first, again, out = tmp_path / "first.html", tmp_path / "again.html", tmp_path / "out"
    status = run(["report", str(chassis), *both, "--output", str(first), *DAY])
    text = first.read_text(encoding="utf-8")
    assert f"{words}." in text  # on the sheet
    assert text.count(words) >= 2  # and over the chapter
    assert "diagonal, front left to rear right" not in text
    assert "Is the frame straight" in text
    capsys.readouterr()
    run(["report", str(first), "--inputs", str(out)])
    told = capsys.readouterr().out
    assert "report frame.toml --measured tape/before.csv --measured tape/after.csv" in told
    both = ["--measured", str(out / "tape" / "before.csv"), "--measured", str(out / "tape" / "after.csv")]
    assert run(["report", str(out / "frame.toml"), *both, "--output", str(again), *DAY]) == status
    assert again.read_bytes() == first.read_bytes()
    assert run(["report", str(chassis), "--measured", str(after), *both[2:], "--measured", str(after)]) == UNUSABLE


def test_the_file_below_is_carried_too(tmp_path, capsys):
    """A chassis file that is laid over another one: both come out, beside each other, and can be read."""
    from ladderfe.chassis import read_chassis
    from ladderfe.cli.shared import files_read
    from ladderfe.report.record.inputs import read_inputs

    files = read_inputs(files_read(MODELS / "short-4x4-tube-crossmember.toml"))
    assert [f.name for f in files] == ["short-4x4-tube-crossmember.toml", "short-4x4.toml"]
    for f in files:
        (tmp_path / f.name).write_bytes(f.data)
    assert read_chassis(tmp_path / files[0].name).title == read_chassis(MODELS / files[0].name).title


def test_the_date_may_come_from_the_environment(monkeypatch):
    """Source: SOURCE_DATE_EPOCH specification, seconds since 1970 in UTC; 1 000 000 000 is 9 September 2001."""
    from ladderfe.cli.report import _day

    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    assert _day(None, None, None) == "2001-09-09"
    assert _day(None, None, "2031-05-17") == "2031-05-17"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", _day(None, None, None))


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ([str(PLAIN), "--date", "yesterday"], "is no date such as 2031-05-17"),
        ([str(PLAIN), "--output", "{folder}/report.docx"], "reports are written as HTML files"),
        ([str(PLAIN), "--output", "{folder}/missing/r.html"], "does not exist"),
        ([str(PLAIN), "--output", "{folder}/mine.html", "--overwrite"], "no earlier result of the same kind"),
        ([str(PLAIN), "--output", "{folder}/mine.html"], "is there already"),
        (["-", "--output", "{folder}/r.html"], "name a file instead of -"),
        ([str(PLAIN), "--inputs", "{folder}"], "holds no inputs"),
        (["{folder}/none.html", "--inputs", "{folder}"], "none.html: cannot be used"),
        ([str(PLAIN), "--reach", "100"], "go with --readings"),
    ],
)
def test_what_it_refuses(args, words, tmp_path, capsys):
    """One sentence, nothing written."""
    (tmp_path / "mine.html").write_text("<html>my own page</html>")
    before = sorted(tmp_path.rglob("*"))
    assert run(["report", *(a.format(folder=tmp_path) for a in args)]) == UNUSABLE
    said = " ".join(capsys.readouterr().err.split())
    assert words in said
    assert "Traceback" not in said
    assert sorted(tmp_path.rglob("*")) == before


def test_pdf_without_weasyprint_is_told_in_a_line(tmp_path, monkeypatch, capsys):
    """Before anything is calculated."""
    real = importlib.util.find_spec
    monkeypatch.setattr(
        "ladderfe.report.record.pdf.find_spec", lambda name: None if name == "weasyprint" else real(name)
    )
    assert run(["report", str(PLAIN), "--pdf", "--output", str(tmp_path / "r.html")]) == UNUSABLE
    error = capsys.readouterr().err
    assert error.startswith("--pdf: needs weasyprint, which is not installed. ")
    assert error.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_pdf_without_the_system_libraries_is_told_in_a_line(tmp_path, monkeypatch, capsys):
    """weasyprint raises OSError as it is imported where Pango is missing (seen with release 70.0)."""

    class Missing:
        def find_spec(self, name, path=None, target=None):
            if name == "weasyprint":
                raise OSError("cannot load library 'libpango-1.0-0'")

    monkeypatch.setattr("ladderfe.report.record.pdf.find_spec", lambda name: object())
    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    assert run(["report", str(PLAIN), "--pdf", "--output", str(tmp_path / "r.html")]) == UNUSABLE
    assert "apt-get install libpango-1.0-0 libpangoft2-1.0-0" in capsys.readouterr().err


def test_nothing_that_draws_is_imported_for_a_check():
    """The command is known without the modules that fill templates."""
    program = "import sys; from ladderfe.cli.main import run; run(['report', '--help']); print(sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    loaded = done.stdout.splitlines()[-1]
    for name in ("jinja2", "matplotlib", "weasyprint", "PIL"):
        assert f"'{name}'" not in loaded
