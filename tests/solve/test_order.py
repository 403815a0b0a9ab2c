"""Numbering of nodes for a narrow band, against scipy.sparse.csgraph."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import coo_array
from scipy.sparse.csgraph import reverse_cuthill_mckee

from ladderfe.solve.order import narrow_order


def band(order, ends):
    """Greatest distance of two joined nodes in the numbering."""
    rank = np.argsort(order)
    return np.abs(rank[ends[:, 0]] - rank[ends[:, 1]]).max()


def scipys(nodes, ends):
    i, j = np.concatenate([ends, ends[:, ::-1]]).T
    return reverse_cuthill_mckee(coo_array((np.ones(len(i)), (i, j)), shape=(nodes, nodes)).tocsr(), True)


NODES = 40
PAIR = st.tuples(st.integers(0, NODES - 1), st.integers(0, NODES - 1)).filter(lambda e: e[0] != e[1])


@given(st.lists(PAIR, min_size=1, max_size=120))
def test_any_frame_gets_the_band_of_scipy(pairs):
    ends = np.array(pairs)
    order = narrow_order(NODES, ends)
    assert sorted(order.tolist()) == list(range(NODES))
    assert band(order, ends) == band(scipys(NODES, ends), ends)


@pytest.mark.parametrize("bays", [1, 4, 30])
def test_a_ladder_is_numbered_bay_by_bay(bays):
    """Nodes left 0 .. n-1, right n .. 2n-1: neighbours lie three places apart at most, by hand."""
    n = bays + 1
    k = np.arange(bays)
    rails = np.concatenate([np.stack([k, k + 1], 1), np.stack([n + k, n + k + 1], 1)])
    ends = np.concatenate([rails, np.stack([np.arange(n), n + np.arange(n)], 1)])
    assert band(narrow_order(2 * n, ends), ends) <= 3
