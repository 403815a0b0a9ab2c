"""Many columns solved on squares of a band factor, beside LAPACK's solvers of full matrices and of single columns."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg.lapack import dpbtrf

from ladderfe.mesh import build_mesh
from ladderfe.solve.band import MANY
from ladderfe.solve.members import frame_of
from ladderfe.solve.squares import Squares
from ladderfe.solve.supports import factorised


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 9), st.integers(1, 60), st.integers(1, 20), st.integers(0, 1000))
def test_columns_beside_full_matrices(width, n, columns, seed):
    """Bands of any width, matrices that end anywhere in the last square, smaller than one included.  Diagonally
    dominant, so conditioned to about ten: rounding of 1e-13.  What lies beyond the matrix in band storage is no
    number."""
    rng = np.random.default_rng(seed)
    band = np.asfortranarray(rng.uniform(-1, 1, (width + 1, n)))
    band[0] = 2 * width + 1
    for column in range(n):
        band[n - column :, column] = np.nan
    right = rng.standard_normal((n, columns))
    lower, info = dpbtrf(band, lower=1)
    assert info == 0
    below = sum(np.diag(band[k, : n - k], -k) for k in range(min(width + 1, n)))
    full = below + np.tril(below, -1).T
    got = right.copy()
    Squares.of(lower).solve(got)
    assert got == pytest.approx(np.linalg.solve(full, right), abs=1e-13)


def test_frame_by_many_columns_and_by_one(made):
    """The same movements, whichever way they are solved; rounding grows by the frame's conditioning, 1e5 to 1e6."""
    frame = frame_of(build_mesh(made.worked_chassis()))
    factor = factorised(frame)
    loads = np.random.default_rng(2).standard_normal((frame.unknowns, MANY))
    at_once = factor.solve(loads)
    assert not at_once[factor.held].any()
    for column, own in zip(at_once.T, loads.T, strict=True):
        one = factor.solve(own[:, None])[:, 0]
        assert column == pytest.approx(one, abs=1e-9 * np.abs(one).max())
