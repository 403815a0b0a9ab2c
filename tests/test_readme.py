"""What README.md shows is what comes out: its chassis files are written, its commands run, their output compared whole.

Only the rounding that the self-check measures differs from machine to machine; it is held to its limit by the check.
"""

import re
import runpy
import shlex
from importlib import import_module
from pathlib import Path

import pytest

from ladderfe.chassis import json_schema
from ladderfe.cli.main import COMMANDS, run

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
FILES = re.findall(r"<!-- file: (\S+) -->\n```(?:toml|csv)\n(.*?)```", README, re.DOTALL)
OUTPUTS = re.findall(r"<!-- output: (ladderfe .*?) -->\n```text\n(.*?)```", README, re.DOTALL)
KEYS = re.search(r"<!-- keys -->\n(.*?)<!-- end of keys -->", README, re.DOTALL)
PYTHON = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
#: A line of the self-check: what was compared, how far apart it came out, its limit.
PROOF = re.compile(r"^(holds  .*? )( *\d+\.\d(?:e[-+]\d\d)?)(  +\S+  (?:relative|digits of 16))$", re.MULTILINE)


def without_rounding(page):
    return PROOF.sub(r"\1#\3", page)


def test_there_is_a_file_and_an_output():
    assert FILES
    assert OUTPUTS


@pytest.mark.parametrize(("command", "shown"), OUTPUTS, ids=[c for c, _ in OUTPUTS])
def test_commands_print_what_the_readme_shows(command, shown, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for name, text in FILES:
        (tmp_path / name).write_text(text, encoding="utf-8")
    status = run(shlex.split(command)[1:])
    printed = capsys.readouterr().out
    assert status in (0, 1)
    assert without_rounding(printed) == without_rounding(shown)


def test_rounding_is_left_out_of_the_comparison_and_nothing_else():
    line = "holds  axle reactions by the lever rule                           6.1e-16  1e-09  relative"
    assert without_rounding(line) == "holds  axle reactions by the lever rule #  1e-09  relative"
    assert without_rounding(line.replace("holds", "SHORT")) == line.replace("holds", "SHORT")
    row = "static             left rail          1.358   2077        -1.150   3318     -4.04   3318"
    assert without_rounding(row) == row


def test_the_commands_that_take_readings_are_those_that_have_the_option():
    told = re.search(r"These commands take it with `--readings`: (.*?);", README, re.DOTALL)
    have = [name for name, module in COMMANDS.items()
            if any("--readings" in p.opts for p in import_module(f"ladderfe.cli.{module}").command.params)]  # fmt: skip
    assert re.findall(r"`(\w+)`", told[1]) == have


def test_everything_the_readme_points_at_is_there():
    """Pictures, scripts, models and files named in links or in the two commands."""
    links = re.findall(r"\]\(([^)#:]+)\)", README)
    named = re.findall(r"\b((?:scripts|models|tests|ladderfe)/[\w./-]*\w)", README)
    assert links
    for target in {*links, *named}:
        assert (ROOT / target).exists(), target


def test_shown_pages_fit_100_columns():
    for _, shown in OUTPUTS:
        assert max(map(len, shown.splitlines())) <= 100


@pytest.mark.parametrize("code", PYTHON)
def test_python_blocks_run(code, monkeypatch, capsys):
    """From the folder of the clone, as they stand."""
    monkeypatch.chdir(ROOT)
    exec(compile(code, "README.md", "exec"), {})
    assert capsys.readouterr().out.strip()


def test_there_is_a_python_block():
    assert PYTHON


@pytest.fixture(scope="module")
def keys_markdown():
    """The maker of the tables of keys that scripts/refresh-readme uses."""
    return runpy.run_path(str(ROOT / "scripts" / "chassis_keys.py"))["keys_markdown"]


def test_tables_of_keys_are_fresh(keys_markdown):
    """scripts/refresh-readme writes them anew."""
    assert KEYS is not None
    assert KEYS[1] == keys_markdown()


def test_every_key_of_the_file_and_of_overlays_is_told():
    """From the schema itself: the maker of the tables might leave one out."""
    told = set(re.findall(r"`([\w]+)`", KEYS[1]))
    for schema in (json_schema(), json_schema(overlay=True)):
        for table in (schema, *schema["$defs"].values()):
            assert set(table["properties"]) <= told


@pytest.mark.parametrize(
    "row",
    [
        "| `load` | kg | what the axle weighed | needed |",
        '| `spacing_to` | "middle", "outside", "inside" | which face of the rail the spacings were measured to '
        "| ASSUMED the middle |",
        "| `rate` | N/mm | rate of one spring | ASSUMED front 30 (20 to 40) N/mm, rear 40 (25 to 60) N/mm |",
        '| `rx` | kN m/rad or "rigid", "free" | about x: bending of the crossmember on the rail\'s side |  |',
        '| "tube" | `diameter`, `wall` |  |  |',
    ],
)
def test_rows_of_the_tables_of_keys(row):
    """As the reader of the file and its assumptions have it, written down by hand."""
    assert row in KEYS[1].splitlines()


def test_headings_that_are_linked_to_are_there():
    anchors = {re.sub(r"[^\w -]", "", h.lower()).replace(" ", "-") for h in re.findall(r"^#+ (.*)$", README, re.M)}
    assert set(re.findall(r"\]\(#([\w-]+)\)", README)) <= anchors
