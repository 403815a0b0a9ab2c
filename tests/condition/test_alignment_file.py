"""Tables of distances and heights: as spreadsheets write them, and broken ones with each message whole."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.chassis import read_chassis
from ladderfe.condition.alignment_file import alignment_from_text
from ladderfe.condition.alignment_types import AlignmentReading, RailPoint
from ladderfe.condition.rail_points import facing, place_of
from ladderfe.errors import InputError

DEMO = read_chassis(Path(__file__).resolve().parents[2] / "models" / "short-4x4.toml")
HEAD = "kind,from,to,reading,note"
SIDE = 'Write side and station, as in "left 250".'

#: Text below the first row -> the messages, whole.
FAULTS = {
    "distnce,left 0,right 0,700,": [
        'm.csv:2: kind: must be distance, height or offset (got "distnce"). Did you mean "distance"? Otherwise write '
        "one of these."
    ],
    ",left 0,right 0,700,": ["m.csv:2: kind: is missing. Write distance, height or offset."],
    "distance,lft 0,right 0,700,": [
        'm.csv:2: from: must begin with left or right (got "lft 0"). Did you mean "left"? Otherwise write side and '
        'station, as in "left 250".'
    ],
    "distance,,right 0,700,": [f"m.csv:2: from: is missing. {SIDE}"],
    "distance,left,right 0,700,": [
        'm.csv:2: from: has no station (got "left"). Write mm from the datum, as in "left 250".'
    ],
    "distance,left 0,right 4000,700,": [
        'm.csv:2: to: lies off the right rail, which reaches from 0 to 3900 mm (got "right 4000"). Measure it from the '
        "same datum as the stations of the chassis file."
    ],
    "height,left 250 botom,,700,": [
        'm.csv:2: from: may end in a face of the rail: top, bottom, inner or outer (got "left 250 botom"). Did you '
        'mean "bottom"? Otherwise leave the face out.'
    ],
    "height,left 1.180,,700,": [
        'm.csv:2: from: its station may mean a thousand or a fraction (got "left 1.180"). Write 1180, or the fraction '
        "with other than three figures."
    ],
    "height,left 250,right 250,700,": [
        "m.csv:2: to: belongs to distances only, and this is a row of kind height (got \"right 250\"). Leave it empty."
    ],
    "distance,left 250,left 250,700,": [
        'm.csv:2: to: is the point that the distance begins at (got "left 250"). Name another point.'
    ],
    "distance,left 0,right 0,-700,": [
        'm.csv:2: reading: must not be negative (got "-700"). Write the tape\'s reading.'
    ],
    "offset,left 0,,-350,": [
        'm.csv:2: reading: must not be negative (got "-350"). Write it without a sign; the side tells which way.'
    ],
    "distance,left 0,right 0,70,": [
        'm.csv:2: reading: is less than half the 700.0 mm as built (got "70"). Which unit is it, and between which '
        "points? Write mm, or the unit behind it."
    ],
    "distance,left 0,right 0,7000,": [
        'm.csv:2: reading: is more than twice the 700.0 mm as built (got "7000"). Which unit is it, and between which '
        "points? Write mm, or the unit behind it."
    ],
    "distance,left 0,right 0,about,": [
        'm.csv:2: reading: must be a length in mm (got "about"). Write a number such as 1180, or one with its unit as '
        'in "1180 mm".'
    ],
    "distance,left 0,right 0,700,5,a,b": [
        'm.csv:2: row: has 7 cells under 5 columns. Put numbers with a decimal comma in quotes, as in "827,5", or '
        "separate the cells with semicolons."
    ],
    "distance,lft 0,,x,\nhight,left 0,,1,": [
        'm.csv:2: from: must begin with left or right (got "lft 0"). Did you mean "left"? Otherwise write side and '
        'station, as in "left 250".',
        f"m.csv:2: to: is missing. {SIDE}",
        'm.csv:2: reading: must be a length in mm (got "x"). Write a number such as 1180, or one with its unit as in '
        '"1180 mm".',
        'm.csv:3: kind: must be distance, height or offset (got "hight"). Did you mean "height"? Otherwise write one '
        "of these.",
    ],
    "distance,left 0,right 0,,": ["m.csv: file: has no reading in it. Fill in the column reading, in mm."],
    "": ["m.csv: file: has no reading in it. Fill in the column reading, in mm."],
}  # fmt: skip
HEADS = {
    "": ["m.csv: file: has nothing in it. Write a first row: kind, from, to, reading, note."],
    "kind,from,too,reading\n": ['m.csv:1: column 3: is not a known column (got "too"). Did you mean "to"? Otherwise '
                                "take it out."],
    "kind,from,reading\nheight,left 0,5": ["m.csv:1: first row: has no column called to. Known columns are kind, from, "
                                           "to, expected, reading and note."],
}  # fmt: skip


def told(text):
    with pytest.raises(InputError) as caught:
        alignment_from_text(text, "m.csv", DEMO)
    return str(caught.value).splitlines()


@pytest.mark.parametrize("rows", FAULTS, ids=range(len(FAULTS)))
def test_every_fault_is_told_whole(rows):
    assert told(f"{HEAD}\n{rows}\n") == FAULTS[rows]


@pytest.mark.parametrize("text", HEADS, ids=range(len(HEADS)))
def test_a_first_row_that_will_not_do(text):
    assert told(text) == HEADS[text]


@pytest.mark.parametrize(
    "text",
    [
        "kind,from,to,reading,note\ndistance,left 0,right 250,743.5,hooked\nheight,Right 1110 bottom,,520,\n",
        "\ufeffKind;From;To;Reading (mm);Note\r\nDistance;left 0;right 250;743,5;hooked\r\n"
        "height;R 1110 Bottom;;520;\r\n",
        "kind\tfrom\tto\treading\tnote\ndistance\tL 0 mm\tright 250\t74.35 cm\thooked\n"
        "height\tright 1 110 bottom\t\t520,0\t\n",
        '# head\nkind,from,to,expected,reading,note\ndistance,left 0,right 250,743.3,"743,5",hooked\n'
        "height,right 1110 bottom,,0,520,\nheight,left 0,,60,,not reached\n",
    ],
    ids=["plain", "semicolons and decimal comma", "tabs and units", "as printed"],
)  # fmt: skip
def test_tables_as_spreadsheets_write_them(text):
    found = alignment_from_text(text, "m.csv", DEMO)
    first = found.readings[0].line
    assert found.readings == (
        AlignmentReading(kind="distance", first=RailPoint("left", 0.0), second=RailPoint("right", 250.0), value=743.5,
                         note="hooked", line=first),
        AlignmentReading(kind="height", first=RailPoint("right", 1110.0, "bottom"), value=520.0, line=first + 1),
    )  # fmt: skip
    assert found.unread == text.count("not reached")


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet='kindfromtoreadingleftrightheight,;\t"\n0123456789.- ', max_size=200))
def test_any_text_is_read_or_told(rows):
    problems = ()
    try:
        read = alignment_from_text(f"{HEAD}\n{rows}", "m.csv", DEMO).readings
    except InputError as error:
        read, problems = (), error.problems
    assert bool(read) != bool(problems)
    assert all(p.file == "m.csv" and p.rule and p.suggestion for p in problems)


def test_points_face_each_other():
    """Stations of the chassis file; the other end of a crossmember that slants."""
    from dataclasses import replace

    point = RailPoint("left", 1520.0, "inner")
    assert facing(DEMO, point) == RailPoint("right", 1520.0, "inner")
    slanting = replace(DEMO, crossmembers=(replace(DEMO.crossmembers[2], station_right=1580.0), *DEMO.crossmembers[3:]))
    assert facing(slanting, point) == RailPoint("right", 1580.0, "inner")
    assert facing(slanting, RailPoint("right", 1580.0)) == RailPoint("left", 1520.0)
    assert place_of(DEMO, RailPoint("right", 450.0, "inner")) == (450.0, 350.0 - 35.0, 60.0)
