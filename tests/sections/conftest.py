"""The catalogue of outlines for the tests of this room."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def outlines() -> ModuleType:
    """The module tests/sections/outlines.py."""
    spec = importlib.util.spec_from_file_location("ladderfe_test_outlines", Path(__file__).with_name("outlines.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their own module up
    spec.loader.exec_module(module)
    return module
