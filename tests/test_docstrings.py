"""Examples in docstrings come out as they stand, and every module can be imported.

Looked for in the text first: to have pytest look through all modules for them takes longer than to run them.
"""

import doctest
import importlib
from pathlib import Path

import pytest

import ladderfe

PACKAGE = Path(ladderfe.__file__).parent
#: Programs of their own, started as such.
PROGRAMS = {"ladderfe.__main__", "ladderfe.report.opengl_child"}


def dotted(path):
    """The name by which a file is imported."""
    return ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")


MODULES = {dotted(path): path for path in sorted(PACKAGE.rglob("*.py"))}
WITH_EXAMPLES = [name for name, path in MODULES.items() if ">>> " in path.read_text(encoding="utf-8")]


def test_there_are_examples():
    assert "ladderfe.units" in WITH_EXAMPLES


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_examples_come_out_as_they_stand(name):
    failed, tried = doctest.testmod(importlib.import_module(name))
    assert tried
    assert not failed


def test_every_module_can_be_imported():
    """Those that no other test asks for too."""
    for name in MODULES:
        if name not in PROGRAMS:
            assert importlib.import_module(name).__name__ == name
