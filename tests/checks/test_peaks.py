"""The greatest stresses of every case, found a few rows at a time, beside the stresses of all rows."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks import peaks as module
from ladderfe.checks.peaks import peaks
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.solve import solve_chassis


@pytest.mark.parametrize("at_a_time", [1, 7, 2000])
def test_peaks_are_those_of_all_rows(made, monkeypatch, at_a_time):
    """Sections of unlike numbers of points; the first case only presses, so its greatest size is a negative one."""
    monkeypatch.setattr(module, "AT_A_TIME", at_a_time)
    solution = solve_chassis(made.chassis())
    rows = look_at(solution)
    pressed = rows.resultants.copy()
    pressed[:, 1:, 0], pressed[:, 0, 0] = 0, np.linspace(-1e4, -5e3, len(pressed))
    rows = replace(rows, resultants=pressed)
    s = stresses(solution, rows)
    by_hand = [np.abs(s.normal).max(axis=(0, 1)), np.abs(s.mean).max(axis=(0, 1)), s.von_mises.max(axis=(0, 1))]
    assert s.peaks == pytest.approx(np.array(by_hand), rel=1e-12)
    assert peaks(solution, rows) == pytest.approx(np.array(by_hand), rel=1e-12)
    group = np.arange(len(solution.cases)) % 3  # unlike neighbours
    of_groups = np.stack([s.peaks[:, group == k].max(axis=1) for k in range(3)], axis=1)
    assert peaks(solution, rows, group) == pytest.approx(of_groups, rel=1e-12)
