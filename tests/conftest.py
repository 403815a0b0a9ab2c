"""Fixtures that several rooms' tests share."""

from __future__ import annotations

import importlib.util
import os
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

HERE = Path(__file__).resolve().parent
MODELS = HERE.parent / "models"

#: How long an example takes says something of the machine and what else it does, not of the code.
settings.register_profile("calm", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("calm")

#: Pages follow COLUMNS where it is set (parallel test runners set it); tests look at the full page.
os.environ.pop("COLUMNS", None)


@pytest.fixture(autouse=True)
def _quiet(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """No progress on stderr, however slow the machine: tests compare what else is told there."""
    of = getattr(getattr(request.node, "module", None), "__name__", "")
    if "ladderfe.cli.progress" in sys.modules and "test_progress" not in of:
        monkeypatch.setattr("ladderfe.cli.progress.EVERY", float("inf"))


def _helper(name: str) -> ModuleType:
    """A module of helpers that stands beside this file."""
    spec = importlib.util.spec_from_file_location(f"ladderfe_test_{name}", HERE / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their own module up
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def frames() -> ModuleType:
    """The frame builder of tests/frames.py."""
    return _helper("frames")


@pytest.fixture(scope="session")
def made() -> ModuleType:
    """The makers of plain chassis of tests/made.py."""
    return _helper("made")


@pytest.fixture(scope="session")
def statics() -> ModuleType:
    """Statics worked out from masses and levers, of tests/statics.py."""
    return _helper("statics")


@pytest.fixture(scope="session")
def warped() -> ModuleType:
    """The builder of frames that warp and rack, of tests/warped.py."""
    return _helper("warped")


@pytest.fixture(scope="session")
def vibrating() -> ModuleType:
    """Masses and modes for the frames of the other builders, of tests/vibrating.py."""
    return _helper("vibrating")


@pytest.fixture(scope="session")
def ladder_beams() -> ModuleType:
    """The ladders of tests/data/ladders.toml as beams, of tests/ladder_beams.py."""
    return _helper("ladder_beams")


@pytest.fixture(scope="session")
def demo_file() -> Path:
    """The demo chassis' file."""
    return MODELS / "short-4x4.toml"


@pytest.fixture(scope="session")
def plain_file() -> Path:
    """The file of the test frame for closed forms."""
    return MODELS / "test-frame.toml"


@pytest.fixture(scope="session")
def demo_findings(demo_file: Path) -> Any:
    """Findings of the demo chassis, assumptions not moved."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks import check

    return check(read_chassis(demo_file), assumptions=False)


@pytest.fixture(scope="session")
def plain_findings(plain_file: Path) -> Any:
    """Findings of the test frame for closed forms, its assumptions moved and ranked."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks import check

    return check(read_chassis(plain_file))


@pytest.fixture(scope="session")
def demo_twist(demo_file: Path) -> Any:
    """Twist of the demo chassis."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks.twist import check_twist

    return check_twist(read_chassis(demo_file))


@pytest.fixture(scope="session")
def demo_vibration(demo_file: Path) -> Any:
    """Natural frequencies of the demo chassis."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks.vibration import check_vibration

    return check_vibration(read_chassis(demo_file))


@pytest.fixture(scope="session")
def plain_vibration(plain_file: Path) -> Any:
    """Natural frequencies of the test frame for closed forms, whose steel weighs nothing."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks.vibration import check_vibration

    return check_vibration(read_chassis(plain_file))


@pytest.fixture(scope="session")
def plain_twist(plain_file: Path) -> Any:
    """Twist of the test frame for closed forms: four butted crossmembers between box rails."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks.twist import check_twist

    return check_twist(read_chassis(plain_file))


@pytest.fixture(scope="session")
def plans() -> ModuleType:
    """The writers of repair plans of tests/plans.py."""
    return _helper("plans")
