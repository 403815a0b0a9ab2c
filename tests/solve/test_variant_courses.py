"""Pieces of states together: shares of loads that tip against a linear programme, bands against whole matrices."""

from __future__ import annotations

import numpy as np
import pytest

from ladderfe.solve.support_problem import SupportProblem
from ladderfe.solve.tipping import best_corner
from ladderfe.solve.variant_band import Bands
from ladderfe.solve.variant_courses import carried_share

#: Four wheels of a rigid vehicle: x, y of each; they carry N, moments about x and y.
FEET = np.array([[0.0, -700.0], [0.0, 700.0], [2400.0, -700.0], [2400.0, 700.0]])
LEVER = np.stack([np.ones(4), FEET[:, 1], -FEET[:, 0]], axis=1)


def problem():
    return SupportProblem(names=("a", "b", "c", "d"), soft=np.eye(4), lever=LEVER, lowest=np.zeros(4))


def loads(rng, n):
    """Weights (n, 3) N between the wheels, and pushes to the left that tip over."""
    x, y = rng.uniform(900, 1500, n), rng.uniform(-100, 100, n)
    weight = -20e3 * np.stack([np.ones(n), y, -x], axis=1)
    more = np.zeros((n, 3))
    more[:, 1] = rng.uniform(1.6e7, 3e7, n)
    return weight, more


def test_the_share_that_is_borne_is_that_of_the_linear_programme():
    """scipy's linprog, state by state, its tolerance 1e-7; by hand: lifted wheels carry nothing when the weight's
    moment about the others is used up."""
    weight, more = loads(np.random.default_rng(1), 50)
    x = best_corner(problem(), weight[0], more[0])
    carrying = x[:-1] > 1e-9
    share, wrong = carried_share(LEVER, np.zeros(4), carrying, (weight, more))
    assert not wrong.any()
    expected = [best_corner(problem(), w, m)[-1] for w, m in zip(weight, more, strict=True)]
    assert share == pytest.approx(expected, rel=1e-6)
    by_hand = (700.0 + np.sign(more[:, 1]) * weight[:, 1] / weight[:, 0]) * 20e3 / np.abs(more[:, 1])
    assert share == pytest.approx(by_hand, rel=1e-9)


def test_a_corner_that_is_not_the_best_is_told():
    weight, more = loads(np.random.default_rng(2), 4)
    carrying = best_corner(problem(), weight[0], more[0])[:-1] > 1e-9
    more[1] *= -1  # tips to the other side
    more[2] *= 0.3  # is borne whole
    _, wrong = carried_share(LEVER, np.zeros(4), carrying, (weight, more))
    assert wrong.tolist() == [False, True, True, False]


@pytest.mark.parametrize("together", [2, 3, 5], ids=["two", "three, squares that do not come out even", "five"])
def test_bands_solve_what_whole_matrices_solve(together):
    """numpy's solve; a chain whose unknowns are numbered at random, and one place (9) that is none."""
    rng = np.random.default_rng(3)
    order = rng.permutation(9)
    meet = [np.array([*order[i : i + together], 9]) for i in range(10 - together)]
    first = np.diag(rng.uniform(1.0, 2.0, 9))
    bands = Bands.of(first, meet)
    assert bands.width == together
    parts, whole = [], np.repeat(first[None], 3, axis=0)
    for at in meet:
        half = rng.normal(size=(3, together + 1, together + 1))
        block = half @ half.swapaxes(1, 2)
        parts.append((at, block))
        whole[:, at[:together, None], at[None, :together]] += block[:, :together, :together]
    right = rng.normal(size=(3, 9, 2))
    factors, wanted = bands.factors(bands.added(parts)), np.linalg.solve(whole, right)
    halfway = factors.halfway(right)
    assert factors.movements(halfway) == pytest.approx(wanted, rel=1e-11)
    assert halfway.swapaxes(1, 2) @ halfway == pytest.approx(right.swapaxes(1, 2) @ wanted, rel=1e-11)
    flat = bands.added([(order[:2], np.array([[[0.0, 9.0], [9.0, 0.0]]]))])
    with pytest.raises(np.linalg.LinAlgError, match="not positive"):
        bands.factors(flat)
