"""The example scripts run, and what they print are the product's own numbers."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"


def printed(name, *args):
    done = subprocess.run([sys.executable, SCRIPTS / name, *args], capture_output=True, text=True)
    return done.returncode, done.stdout, done.stderr


def test_study_of_twist():
    """As thick as it is nothing changes; thicker walls make the frame stiffer and heavier, step by step."""
    status, out, _ = printed("study-twist")
    assert status == 0
    rows = re.findall(r"^ +([\d.]+) +([\d.]+) kN m/deg +([+-][\d.]+)% +([\d.]+) kg$", out, re.MULTILINE)
    values = {float(a): (float(b), float(c), float(d)) for a, b, c, d in rows}
    assert list(values) == [0.5, 0.75, 1.0, 1.5, 2.0]
    assert values[1.0][1] == 0
    stiffness, _, mass = zip(*values.values(), strict=True)
    assert list(stiffness) == sorted(set(stiffness))
    assert list(mass) == sorted(set(mass))


def test_study_of_twist_names_the_crossmembers_it_knows():
    status, _, err = printed("study-twist", str(SCRIPTS.parent / "models/short-4x4.toml"), "gearbx")
    assert status == 1
    assert "has no crossmember 'gearbx'. It has front, engine, gearbox" in err


def test_crossmember_repair(demo_findings):
    """The first column is the demo's own check."""
    status, out, _ = printed("check-crossmember-repair")
    assert status == 0
    for case, u in demo_findings.first_of_cases().items():
        row = next(line for line in out.splitlines() if line.startswith(f"  {case} "))
        assert f"{100 * u.ratio:.1f} %" in row


def test_hand_calculation():
    """512 and 665 kg/m, 277.05 and 234.6 kg m: the worked example that the frame's file gives back."""
    status, out, _ = printed("check-hand-calculation")
    assert status == 0
    rows = [re.findall(r"[\d.]+$|[\d.]+(?= )", line)[-2:] for line in out.splitlines()[2:6]]
    values = [(float(a), float(b)) for a, b in rows]
    for (own, page), known in zip(values, (512, 665, 277.05, 234.6), strict=True):
        assert own == pytest.approx(known, abs=0.06)  # printed to 0.1
        assert page == pytest.approx(own, abs=0.11)
