"""Small steps on arrays beside numpy's own."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.elements.arrays import inverse, powers, solved, sum_by, sum_rows

ROUNDING = 1e-13


@given(st.lists(st.integers(0, 5), max_size=12), st.booleans())
def test_sums_by_row(rows, in_fields):
    """As `np.add.at`, rows without values being zero; unit loads are taken times the cases' fields."""
    rng = np.random.default_rng(len(rows))
    row = np.sort(np.array(rows, dtype=np.int64))
    values, fields = rng.standard_normal((len(row), 2, 3)), rng.standard_normal((3, 4))
    wanted = np.zeros((6, 2, 3))
    np.add.at(wanted, row, values)
    if in_fields:
        assert sum_rows(6, row, values, fields) == pytest.approx(wanted @ fields, abs=ROUNDING)
    else:
        assert sum_rows(6, row, values) == pytest.approx(wanted, abs=ROUNDING)


@given(st.lists(st.integers(0, 5), max_size=12))
def test_sums_in_any_order(rows):
    """As `np.add.at`."""
    row = np.array(rows, dtype=np.int64)
    values = np.random.default_rng(len(rows)).standard_normal((len(row), 2, 3))
    wanted = np.zeros((6, 2, 3))
    np.add.at(wanted, row, values)
    assert sum_by(6, row, values) == pytest.approx(wanted, abs=ROUNDING)


def test_small_systems_side_by_side():
    """As numpy's own, one by one; the matrices are conditioned to about ten."""
    rng = np.random.default_rng(5)
    half, right = rng.standard_normal((7, 4, 4)), rng.standard_normal((7, 4))
    matrix = half @ half.transpose(0, 2, 1) + 4 * np.eye(4)
    got = solved(matrix.transpose(1, 2, 0), right.T).T
    assert got == pytest.approx(np.linalg.solve(matrix, right[:, :, None])[:, :, 0], rel=1e-12, abs=1e-12)


def test_powers():
    s = np.array([[0.0, 1.5], [-2.0, 3.0]])
    assert powers(s, 5) == pytest.approx(s[:, None] ** np.arange(5)[:, None], rel=ROUNDING)


def test_inverse_of_uneven_matrices():
    """Rows that differ by 1e6 in size: as numpy's inverse once they are scaled to one."""
    even = np.array([[[1.0, 0.3], [0.3, 1.0]], [[1.0, -0.999], [-0.999, 1.0]]])
    size = np.array([[2e3, 3e-3], [5.0, 7.0]])
    m = even * size[:, :, None] * size[:, None, :]
    got = inverse(m) * size[:, :, None] * size[:, None, :]
    assert got == pytest.approx(np.linalg.inv(even), rel=1e-12)  # conditioned to 2e3
