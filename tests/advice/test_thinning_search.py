"""The search for the greatest thickness at which a number comes over its limit, on functions with known crossings."""

from __future__ import annotations

from math import inf, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.advice.search import FRACTIONS, Crossing, closed_in, fall, room, together


def run(search, ratio):
    """The crossing of a search for a ratio that depends on the thickness, and what was asked for."""
    asked = []

    def measure(points):
        asked.extend(t for _, t in points)
        return [room(ratio(t)) for _, t in points]

    return together({0: search}, measure)[0], asked


@pytest.mark.parametrize(
    ("ratio", "at"),
    [
        (lambda t: 0.5 / t if t else inf, 0.5),
        (lambda t: 1.3 / (t + 0.4), 0.9),
        (lambda t: 0.81 / t**2 if t else inf, 0.9),  # bending across a wall
        (lambda t: 0.2 + 1 / (1 + 3 * t), 1 / 12),
        (lambda t: sqrt(0.3 / (t + 1e-9)), 0.3),
    ],
)
def test_smooth_crossings_are_found(ratio, at):
    """Closed forms; 1e-6 mm is what the search promises."""
    found, asked = run(fall(2.0), ratio)
    assert found.how == "found"
    assert found.thickness == pytest.approx(at, abs=1e-6)
    assert len(asked) <= 12


def test_the_greatest_of_several_crossings_counts():
    """Over between 0.35 and 0.5 of the start, below 1 again under that, over once more under 0.1."""

    def ratio(t):
        return 1.5 if 0.35 < t < 0.5 or t < 0.1 else 0.8

    found, _ = run(fall(1.0), lambda t: ratio(t * 0.99))
    assert found.how == "jumps"
    assert found.thickness == pytest.approx(0.5 / 0.99, abs=1e-5)


def test_a_jump_ends_on_the_side_below_the_limit():
    found, _ = run(fall(2.0), lambda t: 0.7 if t >= 0.7 else 1.4)
    assert found.how == "jumps"
    assert found.thickness == pytest.approx(0.7, abs=2e-6)
    assert found.thickness >= 0.7


@pytest.mark.parametrize(
    ("ratio", "how"),
    [
        (lambda t: 0.4, "none"),
        (lambda t: 0.4 if t else 1.2, "gone"),
        (lambda t: 0.4 if t else inf, "gone"),
        (lambda t: 0.0, "none"),
        (lambda t: 1.2, "already over"),
    ],
)
def test_walls_without_a_crossing(ratio, how):
    assert run(fall(2.0), ratio)[0].how == how


def test_a_wall_that_may_not_go_is_not_asked_without_it():
    found, asked = run(fall(2.0, to_nothing=False), lambda t: 0.4)
    assert found.how == "none"
    assert min(asked) == pytest.approx(2.0 * FRACTIONS[-1])


def test_a_start_over_the_limit_looks_above():
    found, _ = run(fall(1.0, [1.2, 2.0]), lambda t: 1.5 / t)
    assert found == Crossing("found", pytest.approx(1.5, abs=1e-6))


def test_what_is_over_everywhere_is_told_at_the_thickest():
    assert run(fall(1.0, [1.2, 2.0]), lambda t: 3 / t)[0] == Crossing("already over", 2.0)


@given(
    load=st.floats(0.05, 0.95),
    rest=st.floats(0.0, 3.0),
    power=st.sampled_from([0.5, 1.0, 2.0]),
    start=st.floats(0.5, 8.0),
)
def test_as_a_scan_of_many_thicknesses(load, rest, power, start):
    """Walls that share their load with a rest: load at the start, over 1 where a fine scan says so."""

    def ratio(t):
        if t == 0 and rest == 0:
            return inf
        return load * ((1 + rest) / (t / start + rest)) ** power

    found, _ = run(fall(start), ratio)
    scan = np.linspace(start, start * 1e-6, 4001)
    over = [t for t in scan if ratio(t) >= 1]
    if found.how == "found":
        assert over
        assert found.thickness == pytest.approx(max(over), abs=3e-4 * start)
        assert ratio(found.thickness) == pytest.approx(1, abs=1e-4)
    else:
        assert not [t for t in over if t > FRACTIONS[-1] * start]


def test_closing_in_keeps_its_promise_of_width():
    """A bracket of 100 mm closed to 0.5 mm, as lengths of holes are."""
    search = closed_in((100.0, -0.2), (0.0, 0.5), narrow=0.5)
    asked = []

    def measure(points):
        x = points[0][1] / 100
        asked.append(x)
        return [0.37 - x + 0.2 * x**3]

    found = together({0: search}, measure)[0]
    assert found.thickness == pytest.approx(38.106, abs=0.5)  # x - 0.2 x^3 = 0.37 by Newton: 0.38106
    assert len(asked) < 8


def test_searches_go_side_by_side():
    """Every round asks for one thickness of every search that has not ended."""
    rounds = []

    def measure(points):
        rounds.append(len(points))
        return [room((0.2 if k else 0.9) / t if t else inf) for k, t in points]

    found = together({k: fall(2.0) for k in (0, 1)}, measure)
    assert found[0].thickness == pytest.approx(0.9, abs=1e-6)
    assert found[1].thickness == pytest.approx(0.2, abs=1e-6)
    assert rounds[0] == 2
    assert len(rounds) < 12
