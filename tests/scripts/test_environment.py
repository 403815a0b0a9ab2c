"""scripts/demo, scripts/ladderfe and scripts/test on machines that lack something: a stand-in for Python, a bare PATH.

Nothing is downloaded here: the stand-in plays Python, its venv and pip.  What Debian's python3 says where its venv
package is missing is from memory.
"""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

CLONE = Path(__file__).resolve().parents[2]
TOOLS = [
    "awk", "bash", "cat", "chmod", "cp", "cut", "df", "dirname", "env", "find", "flock", "grep", "mkdir", "readlink",
    "rm", "sed", "sha256sum", "sort", "tail", "tee", "wc",
]
LACKING = 69  # the status with which the scripts stop

# Plays python3: says its version, makes "environments" that hold itself, "installs" by noting what it was asked for.
STAND_IN = """#!/bin/bash
here="$(dirname "$0")"
case "$*" in
    *version_info*) echo "{version}" ;;
    --version) echo "Python {version}.4" ;;
    *"import venv"*) exit {no_venv} ;;
    "-m venv "*)
        if [ -n "$SPOILT_VENV" ]; then
            echo "The virtual environment was not created successfully because ensurepip is not available."
            exit 1
        fi
        mkdir -p "$3/bin" && cp "$0" "$3/bin/python"
        cp "$0" "$3/bin/ladderfe" ;;
    "check "*)
        while [ "$1" != --out ]; do shift; done
        echo x >"$2/picture.png"
        exit "${{CHECK_STATUS:-0}}" ;;
    "-m pip --version") echo "pip 25" ;;
    "-m pip install"*)
        echo "  Downloading big-9.7.2-cp311-x86_64.whl (139.6 MB)"
        [ -z "$CUT_SHORT" ] || {{ echo "ERROR: connection lost"; exit 2; }}
        echo "$*" >>"$here/installed" ;;
    "-m ruff"*) echo "ran: $*"; exit "${{RUFF_STATUS:-0}}" ;;
    "-m mypy"*) echo "ran: $*"; exit "${{MYPY_STATUS:-0}}" ;;
    "-m pytest"*) echo "ran: $*"; exit "${{PYTEST_STATUS:-0}}" ;;
    tell*) printf '%s|' "$PWD" "$@"; exit 3 ;;
esac
"""


class Machine:
    """A clone in a folder with spaces, and a PATH with little on it."""

    def __init__(self, tmp_path):
        self.clone = tmp_path / "a clone"
        self.bin = tmp_path / "bin"
        self.bin.mkdir()
        shutil.copytree(CLONE / "scripts", self.clone / "scripts")
        shutil.copy(CLONE / "pyproject.toml", self.clone)
        for tool in TOOLS:
            if found := shutil.which(tool):
                (self.bin / tool).symlink_to(found)

    def python(self, name="python3", version="3.12", no_venv=0):
        program = self.bin / name
        program.write_text(STAND_IN.format(version=version, no_venv=no_venv))
        program.chmod(0o755)

    def run(self, script, *args, folder="/", **environment):
        command = [str(self.bin / "bash"), str(self.clone / "scripts" / script), *args]
        return subprocess.run(
            command, cwd=folder, env={"PATH": str(self.bin), "HOME": str(self.clone), **environment},
            capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=30, check=False,
        )


@pytest.fixture
def machine(tmp_path):
    return Machine(tmp_path)


def test_scripts_are_executable():
    """They can be started as they are."""
    for name in ("scripts/demo", "scripts/ladderfe", "scripts/test", ".ci/run"):
        assert os.access(CLONE / name, os.X_OK), name


@pytest.mark.parametrize("script", ["demo", "ladderfe", "test"])
@pytest.mark.parametrize(
    ("pythons", "line"),
    [
        ([], "Python is missing. As root: apt-get install python3 python3-venv"),
        ([("python3", "3.9", 0)], "Python 3.11 to 3.13 is needed, python3 is 3.9. As root, on Debian 12 or newer: "
                                  "apt-get install python3 python3-venv"),
        ([("python3", "3.14", 0)], "Python 3.11 to 3.13 is needed, python3 is 3.14. As root: "
                                   "apt-get install python3.13 python3.13-venv"),
        ([("python3", "3.11", 1)], "Python's venv is missing. As root: apt-get install python3-venv"),
        ([("python3", "3.14", 0), ("python3.13", "3.13", 1)],
         "Python's venv is missing. As root: apt-get install python3.13-venv"),
    ],
    ids=["no python", "too old", "too new", "no venv", "no venv for the second"],
)
def test_what_is_missing_is_said_in_one_line(machine, script, pythons, line):
    """One line with the apt command on the error stream, status 69, nothing made and nothing downloaded."""
    for name, version, no_venv in pythons:
        machine.python(name, version, no_venv)
    done = machine.run(script)
    assert (done.returncode, done.stderr) == (LACKING, line + "\n")
    assert not (machine.clone / ".environment").exists()


def test_venv_that_breaks_down_is_said_in_one_line(machine):
    """Where venv imports but cannot install pip, the line is the same."""
    machine.python()
    done = machine.run("demo", SPOILT_VENV="1")
    assert (done.returncode, done.stderr) == (
        LACKING, "Python's venv is missing. As root: apt-get install python3-venv\n"
    )


def test_demo_says_first_what_it_downloads_and_last_what_comes_next(machine):
    """Sizes come before the first download; the folder with the results and the next command are named last."""
    machine.python()
    done = machine.run("demo")
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    sizes, download = (next(i for i, x in enumerate(lines) if w in x) for w in ("1 GB on disk", "Downloading big"))
    assert sizes < download
    assert lines[-2] == f"Picture and result files are in {machine.clone}/demo-results"
    assert "scripts/ladderfe check my-chassis.toml" in lines[-1]
    assert (machine.clone / "demo-results" / "picture.png").exists()


def test_second_run_is_quick_and_silent(machine):
    """Nothing is installed again; a change of pyproject.toml installs anew; so does asking for the test tools."""
    machine.python()
    machine.run("demo")
    installed = machine.clone / ".environment" / "python" / "bin" / "installed"
    again = machine.run("demo")
    assert "download" not in again.stdout.lower()
    assert len(installed.read_text().splitlines()) == 1
    with (machine.clone / "pyproject.toml").open("a") as file:
        file.write("\n")
    assert "bringing it up to date" in machine.run("demo").stdout
    assert "test tools" in machine.run("test").stdout
    assert installed.read_text().splitlines()[-1].endswith(".[test]")
    assert "download" not in machine.run("demo").stdout.lower()  # what the tests need includes what the demo needs


def test_interrupted_installation_recovers(machine):
    """A lost connection stops with a clear word; the next run starts afresh and ends well."""
    machine.python()
    first = machine.run("demo", CUT_SHORT="1")
    assert first.returncode == LACKING
    assert "connection lost" in first.stderr
    assert "Check the network connection" in first.stderr
    second = machine.run("demo")
    assert second.returncode == 0
    assert "interrupted: starting it afresh" in second.stdout


def test_arguments_and_status_are_passed_on(machine):
    """scripts/test hands its arguments to pytest; scripts/demo ends well where a limit is exceeded, else as it was."""
    machine.python()
    told = machine.run("test", "-k", "a b", "tests/x y").stdout
    assert "ran: -m pytest -n auto --dist loadfile -k a b tests/x y" in told
    assert machine.run("demo", CHECK_STATUS="1").returncode == 0
    assert machine.run("demo", CHECK_STATUS="3").returncode == 3
    assert machine.run("demo", "--nonsense").returncode == 2


def test_the_command_keeps_folder_arguments_and_status(machine, tmp_path):
    """On the standard output stands what the command prints and nothing of the installation."""
    machine.python()
    folder = tmp_path / "my files"
    folder.mkdir()
    first = machine.run("ladderfe", "tell", "a b", "--x", folder=folder)
    assert (first.returncode, first.stdout) == (3, f"{folder}|tell|a b|--x|")
    assert "Downloading big" in first.stderr
    again = machine.run("ladderfe", "tell", folder=folder)
    assert (again.returncode, again.stdout, again.stderr) == (3, f"{folder}|tell|", "")


def test_the_command_can_be_linked_to(machine, tmp_path):
    """From a link elsewhere it finds its clone; what demo or test installed it uses as it is."""
    machine.python()
    machine.run("test")
    link = tmp_path / "a link"
    link.symlink_to(machine.clone / "scripts" / "ladderfe")
    done = machine.run(link, "tell")
    assert (done.returncode, done.stdout, done.stderr) == (3, "/|tell|", "")


@pytest.mark.parametrize(
    ("spoilt", "status", "last"),
    [
        ({}, 0, "style ok, types ok, tests ok"),
        ({"RUFF_STATUS": "1"}, 1, "style failed, types ok, tests ok"),
        ({"MYPY_STATUS": "2", "PYTEST_STATUS": "1"}, 2, "style ok, types failed, tests failed"),
        ({"PYTEST_STATUS": "5"}, 5, "style ok, types ok, tests failed"),
    ],
    ids=["all in order", "style", "types and tests", "no tests"],
)
def test_the_last_line_tells_how_each_step_ended(machine, spoilt, status, last):
    """A step that fails does not stop the others; the status is that of the first that failed."""
    machine.python()
    done = machine.run("test", **spoilt)
    assert (done.returncode, done.stdout.splitlines()[-1]) == (status, last)
    assert [x.split()[2] for x in done.stdout.splitlines() if x.startswith("ran: ")] == ["ruff", "pytest", "mypy"]


def test_environment_of_another_python_is_made_anew(machine):
    """When python3 has moved on to another release the old environment is replaced."""
    machine.python(version="3.11")
    machine.run("demo")
    machine.python(version="3.12")
    assert "Step 1 of 2: making the environment with Python 3.12" in machine.run("demo").stdout
