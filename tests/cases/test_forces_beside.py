"""Further forces at mounts: as stated in every kind of case, whatever its factor."""

from dataclasses import replace

import pytest

from ladderfe.chassis import CaseSpec
from ladderfe.solve import solve_chassis


def test_forces_in_an_amplified_case_are_as_stated(made):
    """2 x static with 4 kN down at the ball is twice the static case with 2 kN: springs, links and rails alike."""
    down = (("ball", (0.0, 0.0, -2000.0)),)
    cases = (
        CaseSpec(name="static", kind="static", forces=down),
        CaseSpec(name="plain", kind="amplified", factor=2.0),
        CaseSpec(name="twice", kind="amplified", factor=2.0, forces=(("ball", (0.0, 0.0, -4000.0)),)),
    )
    c = replace(made.chassis(mounts=(made.mount("ball", "rear", 3900.0, 0.0),)), cases=cases)
    s = solve_chassis(c)
    one, plain, two = (s.case(n) for n in ("static", "plain", "twice"))
    assert s.support_forces[:4, two] == pytest.approx(2 * s.support_forces[:4, one], rel=1e-9)
    assert s.end_forces[:, :, two] == pytest.approx(2 * s.end_forces[:, :, one], abs=1e-6)
    assert s.ground[:, 2, two].sum() - s.ground[:, 2, plain].sum() == pytest.approx(4000.0, rel=1e-9)
