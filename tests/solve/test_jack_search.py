"""The force at which a jack clears its wheel, on loads that fall along straight pieces made by hand, whose end is
known."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.solve.jack import clearing

WEIGHT = 20_000.0
ROUNDING = 1e-9  # of the weight; the search works on differences of a millionth of it


def case(name="jacked"):
    return SimpleNamespace(name=name, jack="pad", clears="front left")


def wheel(corners, tips=np.inf):
    """Load under a push, straight between corners (push, load); -1 beyond the last, nan from `tips` on."""
    push, load = np.array(corners).T

    def of(x):
        out = np.where(x > push[-1], -1.0, np.interp(x, push, load))
        return np.where(x >= tips, np.nan, out)

    return of


def found(*wheels):
    def left(forces):
        return np.stack([of(x) for of, x in zip(wheels, forces, strict=True)])

    return clearing(left, np.full(len(wheels), WEIGHT), [case(f"jacked {k}") for k in range(len(wheels))])


@settings(max_examples=60)
@given(st.lists(st.tuples(st.floats(10, 4000), st.floats(5, 4000)), min_size=1, max_size=4), st.floats(0.01, 1.0))
def test_straight_pieces(steps, share):
    """Pieces of any slope, each at least 10 N long, together within the weight: the end of the last is the force."""
    long, high = np.array(steps).T
    long = long * share * WEIGHT / long.sum()
    push = np.concatenate([[0.0], np.cumsum(np.maximum(long, 10.0))])
    load = np.concatenate([[high.sum()], high.sum() - np.cumsum(high)])
    load[-1] = 0.0
    if push[-1] < WEIGHT:
        assert found(wheel(list(zip(push, load, strict=True))))[0] == pytest.approx(push[-1], abs=ROUNDING * WEIGHT)


def test_jacks_do_not_mind_each_other():
    """One straight fall, one with a late bend, one that is clear without a push."""
    bent = [(0, 5000), (9000, 4900), (9100, 0)]
    force = found(wheel([(0, 5000), (7000, 0)]), wheel(bent), wheel([(-1, 0)]))
    assert force == pytest.approx([7000.0, 9100.0, 0.0], abs=ROUNDING * WEIGHT)


def test_tips_before_it_clears():
    """The vehicle tips at 6000 N, the wheel would clear at 7000; and a wheel that the whole weight does not lift."""
    with pytest.raises(ModelError, match="case jacked 1: the jack at pad does not clear the front left wheel before"):
        found(wheel([(0, 5000), (7000, 0)]), wheel([(0, 5000), (7000, 0)], tips=6000.0))
    with pytest.raises(ModelError, match="case jacked 0"):
        found(wheel([(0, 5000), (3 * WEIGHT, 0)]))
