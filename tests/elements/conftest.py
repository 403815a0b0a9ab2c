"""Fixtures of these tests."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def chains() -> ModuleType:
    """Runs of members with warping or racking, of tests/chains.py."""
    path = Path(__file__).parent.with_name("chains.py")
    spec = importlib.util.spec_from_file_location("ladderfe_test_chains", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their own module up
    spec.loader.exec_module(module)
    return module
