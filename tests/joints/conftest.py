"""The T-joints solved in solids, as scripts/joint-accuracy reads them (tests/data/README.md describes them)."""

from __future__ import annotations

import importlib.util
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

import pytest

SCRIPT = Path(__file__).resolve().parents[2] / "scripts" / "joint-accuracy"


@pytest.fixture(scope="session")
def study() -> ModuleType:
    """The script, whose functions give the rows, their geometry and how the estimate compares."""
    loader = SourceFileLoader("joint_accuracy", str(SCRIPT))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec is not None
    module = importlib.util.module_from_spec(spec)
    loader.exec_module(module)
    return module
