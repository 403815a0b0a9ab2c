"""Fixtures that several rooms' tests share."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def frames() -> ModuleType:
    """The frame builder of tests/frames.py."""
    spec = importlib.util.spec_from_file_location("ladderfe_test_frames", Path(__file__).with_name("frames.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their own module up
    spec.loader.exec_module(module)
    return module
