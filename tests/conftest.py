"""Fixtures that several rooms' tests share."""

from __future__ import annotations

import gc
import importlib.util
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

HERE = Path(__file__).resolve().parent
MODELS = HERE.parent / "models"

#: Tests that take long and look at what others look at too, on another chassis or another way: only with --long.
LONG = (
    "tests/report/record/test_document.py::test_the_same_inputs_give_the_same_bytes",
    "tests/report/test_unrolled.py::test_words_do_not_overlap_on_a_crowded_rail[2]",
    "tests/report/test_unrolled.py::test_words_do_not_overlap_on_a_crowded_rail[3]",
    "tests/report/test_data.py::test_hand_rows_without_a_number_are_null",
    "tests/cli/test_readings.py::test_the_worked_readings_are_used_by_every_command[pick-up-commands1]",
    "tests/cli/test_readings.py::test_files_of_results_come_with_tables_of_the_readings",
    "tests/cli/test_report.py::test_the_inputs_taken_out_give_the_same_record",
    "tests/cli/test_margin.py::TestHowThinMayThisWallGet::test_nothing_was_read_yet",
    "tests/cli/test_unrolled.py::test_results_hold_both_drawings",
    "tests/cli/test_vibration.py::test_the_gallery[pick-up]",
    "tests/cli/test_vibration.py::test_a_sheet_of_three_modes",
    "tests/cli/test_tow.py::test_the_gallery[pick-up]",
    "tests/cli/test_twist.py::test_the_gallery[pick-up]",
    "tests/cli/test_compare.py::test_the_page_fits_and_has_every_chapter[five]",
    "tests/cli/test_compare.py::test_the_summary_stands_on_top_and_tells_what_each_file_alone_does",
    "tests/cli/test_splice.py::test_pages_of_the_gallery_fit[80-pick-up]",
    "tests/advice/test_scatter.py::test_draws_stand_on_fewer_taper_steps_and_say_so",
    "tests/advice/test_limit_thickness.py::test_states_together_are_as_one_by_one",
    "tests/sections/test_against_2d.py::test_random_sections",
    "tests/checks/test_towing.py::test_factors_come_from_the_chassis_own_cases",
    "tests/checks/test_influence_tips.py::test_a_trial_without_an_answer_leaves_the_others",
)


#: Files that take longest, first the longest: they begin first, so that no process is left with one at the end.
DEAR = (
    "report/record/test_in_browser.py",  # makes the record that others of its folder then find
    "cli/test_worked_plans.py",
    "report/test_pictures.py",
    "advice/test_limit_thickness.py",
    "checks/test_towing.py",
    "checks/test_variants.py",
    "cli/test_compare.py",
    "cli/test_margin.py",
    "report/record/test_document.py",
    "cli/test_report_of_plan.py",
    "cli/test_splice.py",
    "cli/test_twist.py",
    "report/test_twist_text.py",
    "cli/test_outputs.py",
    "cli/test_repair.py",
    "cli/test_tow.py",
    "cli/test_readings.py",
    "cli/test_catalogue.py",
    "report/test_frame_scene.py",
    "solve/test_contact_random.py",
    "checks/test_vibration.py",
    "report/record/test_pdf.py",
    "report/test_findings_text.py",
    "advice/test_scatter.py",
    "checks/test_sensitivities.py",
    "checks/test_sag.py",
    "report/test_data.py",
    "test_gallery.py",
    "test_readme.py",
    "checks/test_odd_plans.py",
)

gc.disable()  # until all tests are known: what collecting them makes stays


def pytest_addoption(parser: pytest.Parser) -> None:
    """--long: run all tests."""
    parser.addoption("--long", action="store_true", help="run the tests that take long, too")


def pytest_configure(config: pytest.Config) -> None:
    """Processes take files in the order that is made here."""
    if hasattr(config.option, "loadscopereorder"):
        config.option.loadscopereorder = False


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop() -> None:
    """Collect garbage from here on, among what is made from here on."""
    gc.enable()
    gc.freeze()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Dear files first; leave out what takes long unless asked for."""
    place = {f"tests/{name}": number for number, name in enumerate(DEAR)}
    files = {item: item.nodeid.split("::")[0] for item in items}
    items.sort(key=lambda item: (place.get(files[item], len(place)), files[item]))
    if config.getoption("--long"):
        return
    skip = pytest.mark.skip(reason="NOT RUN: takes long; scripts/test --long runs it")
    for item in items:
        if item.nodeid in LONG:
            item.add_marker(skip)


#: How long an example takes says something of the machine and what else it does, not of the code.
settings.register_profile("calm", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("calm")

#: Pictures are drawn in this process unless a test says otherwise: another one with OpenGL takes several times as long.
#: tests/report/test_pictures.py draws both ways and compares them.
os.environ["LADDERFE_PICTURES"] = "plain"

#: Pages follow COLUMNS where it is set (parallel test runners set it); tests look at the full page.
os.environ.pop("COLUMNS", None)


@pytest.fixture(autouse=True)
def _quiet(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """No progress on stderr, however slow the machine: tests compare what else is told there."""
    of = getattr(getattr(request.node, "module", None), "__name__", "")
    if "test_progress" not in of:
        monkeypatch.setattr("ladderfe.cli.progress.EVERY", float("inf"))


COARSE = 0.02


@pytest.fixture(scope="session")
def coarse_tapers() -> Any:
    """A context in which tapers may be 2 % off and not 0.2 %: enough where no number is asked for, and a fifth of the
    work."""

    @contextmanager
    def coarse() -> Iterator[None]:
        with pytest.MonkeyPatch.context() as patch:
            for room in ("findings", "selfcheck", "twist_proofs"):
                patch.setattr(f"ladderfe.checks.{room}.TAPER_LIMIT", COARSE)
            yield

    return coarse


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
