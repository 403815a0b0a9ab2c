"""The demo's record, made once for all test processes, and a browser to look at it."""

from __future__ import annotations

import importlib.util
import sys
import time
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
MODELS = HERE.parents[2] / "models"
#: Another process may take so long to make the record, s: it is made beside all other tests.
PATIENCE = 900


def made_record(chassis_file, readings_file, **said):
    """The record of a chassis file with readings or without, assumptions not moved."""
    from ladderfe.chassis import read_chassis
    from ladderfe.checks import check
    from ladderfe.checks.found import check_found
    from ladderfe.checks.twist import check_twist
    from ladderfe.condition import Options, as_found, read_readings
    from ladderfe.report.record import Said, read_inputs, record_html

    chassis = read_chassis(chassis_file)
    files = [chassis_file]
    if readings_file is None:
        findings, twist = check(chassis, assumptions=False), check_twist(chassis)
    else:
        found = as_found(chassis, read_readings(readings_file, chassis), Options())
        findings, twist = check_found(found, assumptions=False), check_twist(found.chassis)
        files.append(readings_file)
        said["readings_name"] = readings_file.name
    told = Said(date="2031-05-17", chassis_name=chassis_file.name, command="ladderfe report", **said)
    return record_html(findings, twist, read_inputs(files), told)


@pytest.fixture(scope="session")
def record_maker():
    """`made_record`."""
    return made_record


@pytest.fixture(scope="session")
def demo_record(tmp_path_factory):
    """The path of the demo's record with readings: all cases, both states."""
    folder = tmp_path_factory.getbasetemp()
    if folder.name.startswith("popen-"):  # of one process among several: they share the folder above
        folder = folder.parent
    target, lock = folder / "demo-record.html", folder / "demo-record.lock"
    try:
        lock.mkdir()
    except FileExistsError:
        end = time.monotonic() + PATIENCE
        while not target.exists() and time.monotonic() < end:
            time.sleep(0.5)
        return target
    text = made_record(MODELS / "short-4x4.toml", MODELS / "short-4x4-readings.csv")
    part = target.with_suffix(".part")
    part.write_text(text, encoding="utf-8")
    part.rename(target)
    return target


@pytest.fixture(scope="session")
def browser():
    """A headless Chromium; where none is there the tests that want it are NOT RUN."""
    spec = importlib.util.spec_from_file_location("ladderfe_test_browser", HERE / "browser.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    if module.chromium() is None:
        pytest.skip("NOT RUN: no Chromium on this machine (apt-get install chromium)")
    with module.Browser() as opened:
        yield opened
