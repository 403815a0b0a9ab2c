"""Tables of readings: as spreadsheets write them, broken ones with each message whole, and whatever else bytes hold."""

from __future__ import annotations

import csv
import io
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.condition import Hole, Reading, Readings, Suspect, Unread, read_readings, readings_csv
from ladderfe.condition.reading_file import decoded, readings_from_text
from ladderfe.errors import InputError, Problem

FAULTS = tomllib.loads(Path(__file__).with_name("faults.toml").read_text(encoding="utf-8"))["fault"]
HEAD = "side,station,wall,reading,to,rim,note"


def problems_of(text, chassis):
    with pytest.raises(InputError) as caught:
        readings_from_text(text, "readings.csv", chassis)
    return caught.value.problems


@pytest.mark.parametrize("fault", FAULTS, ids=[f["name"] for f in FAULTS])
def test_every_fault_is_told_whole(stepped, fault):
    found = problems_of(fault.get("head", HEAD) + "\n" + fault["text"], stepped)
    assert list(found) == [Problem(file="readings.csv", **p) for p in fault["problems"]]


def test_the_table_of_faults_is_rich():
    assert len({f["name"] for f in FAULTS}) == len(FAULTS) >= 30


def test_all_faults_are_told_at_once_in_the_order_of_lines(stepped):
    rows = [f for f in FAULTS if "head" not in f and f["problems"][0]["line"] == 2 and "\n" not in f["text"]]
    text = "\n".join([HEAD, "", *(f["text"] for f in rows)])
    found = problems_of(text, stepped)
    wanted = [p | {"line": k + 3} for k, f in enumerate(rows) for p in f["problems"]]
    assert list(found) == [Problem(file="readings.csv", **p) for p in wanted]


def test_one_line_of_a_message(stepped):
    with pytest.raises(InputError) as caught:
        readings_from_text(HEAD + "\nleft,1000,botom,2.1", "readings.csv", stepped)
    assert str(caught.value) == (
        "readings.csv:2: wall: must be a wall of the left rail at 1000 mm, which has top, bottom, outer and inner "
        '(got "botom"). Did you mean "bottom"? Otherwise write one of these.'
    )


ROWS = [
    ["side", "station", "wall", "reading", "to", "rim", "note"],
    ["left", "1000", "bottom", "2.1", "", "", "pitted, behind the outrigger"],
    ["Right", "1200.5", "OUTER", "2.25 mm", "", "", ""],
    ["left", "1300", "bottom", "hole", "1350", "12.5", 'a "lace" edge'],
    ["left", "1400", "bottom", "Suspect", "", "", "rings dull\nbelow the strap"],
    ["left", "40 in", "top", "0.09 in", "", "", ""],
    ["right", "2000", "web", "", "", "", "not reached"],
    ["right", "2100", "web", "hole", "2150", "", ""],
]
WANTED = Readings(
    source="readings.csv",
    readings=(
        Reading(side="left", station=1000, wall="bottom", value=2.1, note="pitted, behind the outrigger"),
        Reading(side="right", station=1200.5, wall="outer", value=2.25),
        Reading(side="left", station=1016, wall="top", value=0.09 * 25.4),
    ),
    holes=(
        Hole(side="left", wall="bottom", start=1300, end=1350, rim=12.5, note='a "lace" edge'),
        Hole(side="right", wall="web", start=2100, end=2150, rim=10, rim_given=False),
    ),
    suspects=(Suspect(side="left", station=1400, wall="bottom", note="rings dull below the strap"),),
    unread=(Unread(side="right", station=2000, wall="web", note="not reached"),),
)


def without_lines(r):
    rows = {k: tuple(replace(x, line=0) for x in getattr(r, k)) for k in ("readings", "holes", "suspects", "unread")}
    return Readings(source=r.source, **rows)


def written(separator, end="\r\n"):
    """As the library's own writer of tables writes it, which knows nothing of this reader."""
    out = io.StringIO()
    quoting = csv.QUOTE_ALL if end == "\r" else csv.QUOTE_MINIMAL  # it would leave breaks of other systems bare
    csv.writer(out, delimiter=separator, lineterminator=end, quoting=quoting).writerows(ROWS)
    return out.getvalue()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_tables_as_spreadsheets_write_them(stepped, separator, end):
    found = readings_from_text(written(separator, end), "readings.csv", stepped)
    assert without_lines(found) == WANTED


def test_decimal_commas(stepped):
    comma = [[c.replace(".", ",") for c in row] for row in ROWS]
    for separator in (";", "\t", ","):
        out = io.StringIO()
        csv.writer(out, delimiter=separator).writerows(comma)
        assert without_lines(readings_from_text(out.getvalue(), "readings.csv", stepped)) == WANTED


def test_spaces_may_come_before_quotes(read):
    """As a person writes it who was told to put numbers with a decimal comma in quotes."""
    found = read('left, 1000, bottom, "2,1", , , "pitted, wet"\nleft,1100, "bottom" ,2.2')
    assert [(r.station, r.wall, r.value, r.note) for r in found.readings] == [
        (1000, "bottom", 2.1, "pitted, wet"), (1100, "bottom", 2.2, "")
    ]  # fmt: skip


def test_marks_comments_empty_lines_and_any_order_of_columns(stepped):
    text = (
        '\ufeffsep=;\n# a comment with a "quote\n\n;;;;\nNote;READING (mm);Wall;Station [mm];Side;\n# left;1;2;3\n'
        '"# in quotes; too"\n pitted ; 2,1 ;bottom; 1 000 ;l;\n;;;;;\n'
    )
    found = readings_from_text(text, "readings.csv", stepped)
    assert found.readings == (Reading(side="left", station=1000, wall="bottom", value=2.1, note="pitted", line=8),)


def test_lines_count_breaks_in_quotes(read):
    found = read('left,1000,bottom,2.1,,,"two\nlines"\n\nleft,1100,bottom,2.2')
    assert [r.line for r in found.readings] == [2, 5]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_that_spreadsheets_use(tmp_path, stepped, encoding):
    (tmp_path / "r.csv").write_bytes(f"{HEAD}\nleft,1000,bottom,2.1,,,brüchig\n".encode(encoding))
    assert read_readings(tmp_path / "r.csv", stepped).readings[0].note == "brüchig"


def test_files_that_are_none(tmp_path, stepped):
    def told(path):
        with pytest.raises(InputError) as caught:
            read_readings(path, stepped)
        return str(caught.value)

    (tmp_path / "readings.csv").write_text(HEAD)
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0")
    (tmp_path / "odd.csv").write_bytes(b"\xff\xfea")
    where = str(tmp_path)
    assert told(tmp_path) == f"{where}: file: is a folder. Give the file of readings in it."
    assert told(tmp_path / "raedings.csv") == (
        f'{where}/raedings.csv: file: does not exist. Did you mean "{where}/readings.csv"? '
        "Otherwise check its name and folder."
    )
    assert told(tmp_path / "none" / "r.csv").endswith("does not exist. Check its name and folder.")
    assert told(tmp_path / "picture.csv").endswith("file: is not text. Save the table as CSV.")
    assert told(tmp_path / "odd.csv").endswith("file: is not text. Save the table as CSV.")
    (tmp_path / "large.csv").write_bytes(b"x" * 2_000_001)
    assert "larger than 2 MB" in told(tmp_path / "large.csv")


def reads_or_refuses(data, chassis):
    try:
        readings_from_text(decoded(data, "readings.csv"), "readings.csv", chassis)
    except InputError as error:
        problems = error.problems
    else:
        return
    assert problems
    assert all(p.rule and p.suggestion and p.file == "readings.csv" for p in problems)


@given(data=st.binary(max_size=300))
@settings(max_examples=300, deadline=None)
def test_any_bytes_are_read_or_refused(stepped, data):
    reads_or_refuses(data, stepped)


CELLS = st.sampled_from(
    ["left", "right", "LEFT ", "1000", "1e3", "-1", "nan", "inf", "hole", "suspect", "", "bottom", "web", "2.1", "2,1",
     '"', '""', "#", "1/8 in", "1 000", "1,000.5", "\u0663", "²", "4000", "0", "1e400", "9" * 70, "2.1 mm", "−2", "½"]
)  # fmt: skip


@given(rows=st.lists(st.lists(CELLS | st.text(max_size=5), max_size=8), max_size=5), by=st.sampled_from(",;\t"))
@settings(max_examples=300, deadline=None)
def test_any_rows_are_read_or_refused(stepped, rows, by):
    text = by.join(HEAD.split(",")) + "\n" + "\n".join(by.join(r) for r in rows)
    reads_or_refuses(text.encode("utf-8", "surrogatepass"), stepped)


SIDES = st.sampled_from(["left", "right"])
STATIONS = st.floats(0, 1499) | st.integers(0, 1499).map(float) | st.integers(0, 11_992).map(lambda n: n / 8)
WALLS = st.sampled_from(["top", "bottom", "outer", "inner"])
NOTES = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=12).map(lambda t: " ".join(t.split()))
AT = {"side": SIDES, "station": STATIONS, "wall": WALLS, "note": NOTES}
HOLES = st.builds(
    lambda side, wall, start, rim, note, given: Hole(
        side=side, wall=wall, start=min(start, 1496.0), end=min(start, 1496.0) + 2.5, rim=rim if given else 10.0,
        rim_given=given, note=note,
    ),
    SIDES, WALLS, STATIONS, st.floats(0, 500), NOTES, st.booleans(),
)  # fmt: skip


@given(
    readings=st.lists(st.builds(Reading, value=st.floats(0.3, 7.5), **AT), max_size=4),
    holes=st.lists(HOLES, max_size=1),  # several might overlap
    suspects=st.lists(st.builds(Suspect, **AT), max_size=2),
    unread=st.lists(st.builds(Unread, **AT), min_size=1, max_size=2),
    form=st.sampled_from([(",", "."), (";", ","), ("\t", ","), (",", ",")]),
)
@settings(max_examples=300, deadline=None)
def test_what_is_written_reads_back(stepped, readings, holes, suspects, unread, form):
    made = Readings(
        source="readings.csv", readings=tuple(readings), holes=tuple(holes), suspects=tuple(suspects),
        unread=tuple(unread),
    )  # fmt: skip
    text = readings_csv(made, *form)
    assert without_lines(readings_from_text(text, "readings.csv", stepped)) == made
