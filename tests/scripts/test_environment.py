"""scripts/demo and scripts/test on machines that lack something, with a stand-in for Python and a bare PATH.

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
    "awk", "bash", "cat", "chmod", "cp", "cut", "df", "dirname", "env", "find", "flock", "grep", "mkdir", "rm", "sed",
    "sha256sum", "sort", "tail", "tee", "wc",
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
    "-m ruff"* | "-m mypy"* | "-m pytest"*) echo "ran: $*" ;;
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

    def run(self, script, *args, **environment):
        command = [str(self.bin / "bash"), str(self.clone / "scripts" / script), *args]
        return subprocess.run(
            command, cwd="/", env={"PATH": str(self.bin), "HOME": str(self.clone), **environment},
            capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=30, check=False,
        )


@pytest.fixture
def machine(tmp_path):
    return Machine(tmp_path)


def test_scripts_are_executable():
    """They can be started as they are."""
    for name in ("scripts/demo", "scripts/test", ".ci/run"):
        assert os.access(CLONE / name, os.X_OK), name


@pytest.mark.parametrize("script", ["demo", "test"])
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


def test_demo_says_first_what_it_downloads_and_last_where_the_results_are(machine):
    """Sizes come before the first download; the folder with the results is named last."""
    machine.python()
    done = machine.run("demo")
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    sizes, download = (next(i for i, x in enumerate(lines) if w in x) for w in ("1 GB on disk", "Downloading big"))
    assert sizes < download
    assert lines[-1] == f"Picture and result files are in {machine.clone}/demo-results"
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
    assert "ran: -m pytest -k a b tests/x y" in machine.run("test", "-k", "a b", "tests/x y").stdout
    assert machine.run("demo", CHECK_STATUS="1").returncode == 0
    assert machine.run("demo", CHECK_STATUS="3").returncode == 3
    assert machine.run("demo", "--nonsense").returncode == 2


def test_environment_of_another_python_is_made_anew(machine):
    """When python3 has moved on to another release the old environment is replaced."""
    machine.python(version="3.11")
    machine.run("demo")
    machine.python(version="3.12")
    assert "Step 1 of 2: making the environment with Python 3.12" in machine.run("demo").stdout
