"""Broken chassis files: each message whole, several faults at once, and faults of the file itself."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from ladderfe.chassis import chassis_from_text, read_chassis
from ladderfe.chassis.faults import listed
from ladderfe.chassis.schema_cases import KINDS
from ladderfe.errors import InputError, Problem

FAULTS = [
    fault
    for name in ("faults.toml", "faults_of_cases.toml")
    for fault in tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))["fault"]
]


def problems_of(text):
    with pytest.raises(InputError) as caught:
        chassis_from_text(text, "frame.toml")
    return caught.value.problems


def spoilt(text, changes):
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_the_small_file_has_no_fault(minimal):
    assert chassis_from_text(minimal).title == "Small frame"


@pytest.mark.parametrize("fault", FAULTS, ids=[f["name"] for f in FAULTS])
def test_every_fault_is_told_whole(minimal, fault):
    found = problems_of(spoilt(minimal, fault["changes"]))
    assert list(found) == [Problem(file="frame.toml", **p) for p in fault["problems"]]


def test_the_table_of_faults_is_rich():
    assert len({f["name"] for f in FAULTS}) == len(FAULTS) >= 20


UNREADABLE = ("cannot be read", "given twice")  # with these nothing else can be told
READABLE = [f for f in FAULTS if not any(words in f["problems"][0]["rule"] for words in UNREADABLE)]


@pytest.mark.parametrize("fault", READABLE[::6], ids=[f["name"] for f in READABLE[::6]])
def test_faults_in_different_places_are_reported_together(minimal, fault):
    """Faults of the title and of the last case do not hide one that is found by reading tables or by comparing them."""
    extra = '[[cases]]\nname = "dip"\nkind = "bounse"\naxle = "front"\n'
    text = spoilt(minimal, [*fault["changes"], ('title = "Small frame"', "title = 3")]) + extra
    found = problems_of(text)
    rules = {(p.key, p.rule) for p in found}
    assert {(p["key"], p["rule"]) for p in fault["problems"]} <= rules
    assert ("title", "must be text") in rules
    kinds = listed([f'"{kind}"' for kind in KINDS])
    assert ('case "dip", kind', f"must be {kinds}") in rules
    assert [p.line for p in found] == sorted(p.line for p in found)


def test_three_faults_at_once(minimal):
    text = spoilt(
        minimal,
        [
            ("wall = 2.5 }", "wall = -2.5 }"),  # told by reading the tables
            ("station = 3500", "station = 9999"),  # told by comparing with the rails, whose wall is faulty
            ('on = ["engine mount"]', 'on = ["motor mount"]'),  # told by comparing names
            ("track = 1450", "track = 1450\nwidht = 3"),
        ],
    )
    with pytest.raises(InputError) as caught:
        chassis_from_text(text, "frame.toml")
    assert str(caught.value) == "\n".join(
        [
            "frame.toml:9: rails, section 1, wall: must be at least 0.3 mm (got -2.5). "
            'A number without a unit is in mm; another unit goes in quotes, as in "59 in".',
            'frame.toml:21: crossmember "rear", station: lies off the rails, which reach from 0 to 3600 mm (got 9999). '
            "Measure it from the same datum as the rails' stations.",
            'frame.toml:34: mass "engine", mount 1: no mount has this name (got "motor mount"). '
            'Known here: "engine mount".',
            "frame.toml:41: axle 1, widht: is not a known key (got 3). Take it out; known here are name, station, "
            "load, track, unsprung, spring_base, rate, spring, eyes, suspension, wheel_loads, motion_ratio "
            "and 16 more.",
        ]
    )


def of_file(path):
    with pytest.raises(InputError) as caught:
        read_chassis(path)
    return str(caught.value)


def test_files_that_are_none(tmp_path):
    (tmp_path / "frame.toml").write_bytes(b"title = 'x'")
    (tmp_path / "picture.toml").write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0")
    (tmp_path / "notepad.toml").write_bytes("title = 'x'".encode("utf-16"))
    (tmp_path / "latin.toml").write_bytes(b"# one\n# two\ntitle = 'f\xfcr'\n")
    (tmp_path / "empty.toml").write_bytes(b"# nothing\n")
    (tmp_path / "deep.toml").write_text("a = " + "[" * 5000)
    where = str(tmp_path)
    assert of_file(tmp_path) == f"{where}: file: is a folder. Give the chassis file in it."
    assert of_file(tmp_path / "farme.toml") == (
        f'{where}/farme.toml: file: does not exist. Did you mean "{where}/frame.toml"? '
        "Otherwise check its name and folder."
    )
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    for name in ("chassis.toml", "my-chassis.toml", "project.toml", "short-4x4.toml"):
        assert of_file(tmp_path / name) == f"{where}/{name}: file: does not exist. Check its name and folder."
    assert of_file(tmp_path / "other" / "frame.toml").endswith("does not exist. Check its name and folder.")
    assert of_file(tmp_path / "picture.toml").endswith("file: is not text. Give a TOML text file.")
    assert of_file(tmp_path / "notepad.toml").endswith("file: is stored as UTF-16 text. Store it as UTF-8.")
    assert of_file(tmp_path / "latin.toml") == (
        f"{where}/latin.toml:3: file: is not UTF-8 text here (got byte 0xfc). "
        "Store it as UTF-8, or write this line without special letters."
    )
    assert of_file(tmp_path / "empty.toml").endswith("file: has nothing in it. Start from an example in models.")
    assert of_file(tmp_path / "deep.toml").endswith("file: cannot be read as TOML. Start from an example in models.")


def test_a_text_editor_may_put_a_mark_at_the_start(tmp_path, minimal):
    (tmp_path / "frame.toml").write_bytes(b"\xef\xbb\xbf" + minimal.replace("\n", "\r\n").encode())
    assert read_chassis(tmp_path / "frame.toml").title == "Small frame"


def test_a_list_of_names_tells_how_many_more_there_are(minimal):
    """The first eight, each once, though a file may give one twice."""
    mount = '\n[[mounts]]\nname = "{}"\non = "rear"\n'
    text = minimal + "".join(mount.format(n) for n in ("B", "B", *"CDEFGHIJ"))
    text += '\n[towing]\ncoupling = "zz"\n'
    assert problems_of(text)[-1].suggestion == (
        'Known here: "engine mount", "B", "C", "D", "E", "F", "G", "H" and 2 more'
    )
