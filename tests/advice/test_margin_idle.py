"""A place that hardly works: nothing presses its walls, so that no thickness is where one begins to buckle."""

import numpy as np

from ladderfe.advice.states import looked_at, slenderness
from ladderfe.chassis import read_chassis


def test_rows_without_stress_press_no_wall():
    looked = looked_at(read_chassis("models/test-frame.toml"))
    seen, rows = (looked.rows, looked.stresses), np.arange(len(looked.rows.member))
    mesh = looked.solution.mesh
    assert slenderness(mesh, seen, rows[:2], greatest=1e9) == {}
    assert slenderness(mesh, seen, rows, greatest=0.0) != {}
