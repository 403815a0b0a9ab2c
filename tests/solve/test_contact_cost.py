"""Contact is small work beside the frame: one factorisation and one solve serve all cases, whatever opens and closes.
scripts/contact-cost tells what it takes in time."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import CaseSpec, read_chassis
from ladderfe.checks.twist import twist_cases
from ladderfe.checks.twist_lifts import raise_wheels
from ladderfe.mesh import build_mesh
from ladderfe.solve import Factor, hanging_of
from ladderfe.solve.analyse import analyse


@pytest.fixture
def counted(monkeypatch):
    """How often frames are factorised and solved."""
    seen = {"factorised": 0, "solved": 0}
    make, solve = Factor.__init__, Factor.solve

    def init(self, *args, **more):
        seen["factorised"] += 1
        make(self, *args, **more)

    def answer(self, loads):
        seen["solved"] += 1
        return solve(self, loads)

    monkeypatch.setattr(Factor, "__init__", init)
    monkeypatch.setattr(Factor, "solve", answer)
    return seen


def test_one_factorisation_serves_all_cases_and_the_way_up(counted, demo_file):
    """The demo at 450 mm: stops and straps hold and a wheel lifts under the diagonal pairs."""
    chassis = read_chassis(demo_file)
    cases = (CaseSpec(name="static", kind="static"), *twist_cases(450.0))
    chassis = replace(chassis, cases=cases)
    mesh = build_mesh(chassis)
    s = analyse(mesh, hanging_of(chassis, mesh))
    assert counted == {"factorised": 1, "solved": 1}
    lifted = {c.name: off for c, off in zip(s.cases, s.lifted, strict=True) if off}
    assert lifted == {
        "front left and rear right raised": ("front right wheel",),
        "front right and rear left raised": ("front left wheel",),
    }
    lifts = raise_wheels(chassis, s, 600.0)
    assert counted == {"factorised": 1, "solved": 1}
    assert sum(len(lift.changes) for lift in lifts) >= 10
    assert np.isfinite(s.movements).all()
