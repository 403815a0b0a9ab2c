"""Inputs carried in a record: byte for byte, and nothing in them ends their block."""

from __future__ import annotations

import base64
import hashlib
import json

import pytest

from ladderfe.errors import ModelError
from ladderfe.report.record.inputs import InputFile, inputs_json, inputs_of, read_inputs, script_json

NASTY = [
    b"plain = 1\n",
    b"\xef\xbb\xbfside;station\r\nleft;1\r\n",
    "# </script><script>alert(1)</script> <!-- & \u2028 \u2029 \"quotes\" 'both' \\u003c\n".encode(),
    b"\xff\xfe not UTF-8 \x00\x01",
    b"",
]


def page_of(files, options=None):
    return f'<p></p><script type="application/json" id="inputs">{inputs_json(files, options or {})}</script><p>x'


def test_bytes_come_back():
    """Marks, line ends, signs of HTML and bytes that are no text."""
    files = tuple(InputFile(f"part/{k}.toml", data) for k, data in enumerate(NASTY))
    found, options = inputs_of(page_of(files, {"quick": True}), "page")
    assert found == files
    assert options == {"quick": True}


def test_no_sign_of_html_is_in_the_block():
    """Source: HTML standard, 'Restrictions for contents of script elements': "</script" and "<!--" end or change
    it."""
    text = inputs_json([InputFile("a.toml", data) for data in NASTY], {})
    assert not set("<>&\u2028\u2029") & set(text)
    assert json.loads(text)["files"][2]["text"].encode() == NASTY[2]
    assert json.loads(script_json("a\u2028<b>")) == "a\u2028<b>"


def test_the_sum_is_sha256():
    """Source: FIPS 180-4 example "abc", and hashlib."""
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert InputFile("a", b"abc").sha256 == known == hashlib.sha256(b"abc").hexdigest()


def test_a_changed_input_is_refused():
    """One digit of a thickness."""
    page = page_of([InputFile("a.toml", b"wall = 2.5\n")]).replace("2.5", "3.5")
    with pytest.raises(ModelError, match=r"page: the input 'a\.toml' was changed"):
        inputs_of(page, "page")


@pytest.mark.parametrize("name", ["../a.toml", "/etc/a.toml", "a/../../b", "C:a.toml", "a\\b.toml", "", "a\0b",
                                  "a\x1b[2J"])  # fmt: skip
def test_names_stay_inside_the_folder(name):
    """Whatever somebody wrote into a report that was handed on."""
    data = base64.b64encode(b"x").decode()
    block = json.dumps({"files": [{"name": name, "sha256": hashlib.sha256(b"x").hexdigest(), "base64": data}]})
    with pytest.raises(ModelError, match="no name inside of a folder"):
        inputs_of(f'<script type="application/json" id="inputs">{block}</script>', "page")


@pytest.mark.parametrize("block", ["", "{", "[]", '{"files": []}', '{"files": [{"name": "a"}]}', '{"files": 3}',
                                   '{"files": [{"name": "a", "sha256": "", "text": 5}]}',
                                   '{"files": [], "options": [1]}'])  # fmt: skip
def test_what_is_no_record_is_refused(block):
    """One sentence, no traceback."""
    page = f'<script type="application/json" id="inputs">{block}</script>' if block else "<html></html>"
    with pytest.raises(ModelError, match="inputs"):
        inputs_of(page, "page")


@pytest.mark.parametrize("names", [("a", "a"), ("a", "./a"), ("a", "a/b"), ("a/b", "a")])
def test_names_that_cannot_all_be_written_are_refused_before_any_is(names):
    """Taking inputs out stops before the first file, not behind it."""
    page = page_of([InputFile(name, b"x") for name in names])
    with pytest.raises(ModelError, match="stands in it twice, or is the folder of another one"):
        inputs_of(page, "page")


@pytest.mark.parametrize("arguments", [5, {"a": 1}, [1], "check"])
def test_a_command_that_is_none_is_refused(arguments):
    with pytest.raises(ModelError, match="the command that made it cannot be read"):
        inputs_of(page_of([InputFile("a", b"x")], {"arguments": arguments}), "page")


def test_what_commands_a_terminal_is_not_handed_to_it():
    """Words of a record that somebody handed on are printed when its inputs are taken out; umlauts stay."""
    page = page_of([InputFile("a", b"x")], {"arguments": ["--gauge", "M\u00fc\u00a0\x1b[2J\x9b"]})
    _, options = inputs_of(page, "page")
    assert options["arguments"] == ["--gauge", "M\u00fc\u00a0\ufffd[2J\ufffd"]


def test_names_are_those_beside_each_other(tmp_path):
    """Nothing is told of where the folders lie."""
    (tmp_path / "made").mkdir()
    (tmp_path / "made" / "a.toml").write_text("x")
    (tmp_path / "r.csv").write_text("y")
    files = read_inputs([tmp_path / "made" / "a.toml", tmp_path / "r.csv"])
    assert [f.name for f in files] == ["made/a.toml", "r.csv"]
    assert [f.name for f in read_inputs([tmp_path / "r.csv"])] == ["r.csv"]
