"""Start-up stays light: what commands import is seen in a process of its own."""

import json
import subprocess
import sys

DRAWING = {"pyvista", "vtkmodules", "matplotlib", "meshio", "jinja2", "xlsxwriter", "pandas"}
PROGRAM = """
import contextlib, io, json, sys
from ladderfe.cli.main import run
for line in json.loads(sys.argv[1]):
    page = io.StringIO()
    with contextlib.redirect_stdout(page):
        status = run(line)
    print(json.dumps([status, page.getvalue(), sorted({name.split(".")[0] for name in sys.modules})]))
"""


def modules_after(*lines):
    """(status, page, top-level modules loaded so far) after each of several commands in one new process."""
    command = [sys.executable, "-c", PROGRAM, json.dumps(lines)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return [(status, page, set(modules)) for status, page, modules in map(json.loads, done.stdout.splitlines())]


def test_check_imports_nothing_that_draws(demo_file):
    """The main job on the demo, assumptions included, without pyvista, matplotlib, meshio or jinja2."""
    ((status, page, modules),) = modules_after(["check", str(demo_file)])
    assert status in (0, 1)
    assert "Self-check" in page
    assert not modules & DRAWING
    assert {"numpy", "scipy", "pydantic_core", "click"} <= modules, "the look at sys.modules sees what is there"


def test_the_other_commands_without_pictures_do_not_either(plain_file):
    """`--version` answers without numpy; the rest without anything that draws."""
    version, *others = modules_after(["--version"], ["schema"], ["hand", str(plain_file), "--alone"], ["--help"])
    assert version[1].startswith("ladderfe, version ")
    assert not version[2] & {"numpy", "pydantic", *DRAWING}
    for status, page, modules in others:
        assert status == 0
        assert page
        assert not modules & DRAWING
