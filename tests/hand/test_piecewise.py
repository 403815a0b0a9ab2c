"""Piecewise polynomials against numpy's polynomial class and scipy's quadrature."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.polynomial import Polynomial
from scipy.integrate import quad

from ladderfe.hand.piecewise import Piecewise, sign_changes

numbers = st.integers(-50, 50).map(float)


@st.composite
def functions(draw, width=4):
    steps = draw(st.lists(st.integers(1, 9), min_size=1, max_size=4))
    rows = [draw(st.lists(numbers, min_size=width, max_size=width)) for _ in steps]
    return Piecewise(np.cumsum([0.0, *steps]), np.array(rows))


@settings(max_examples=40, deadline=None)
@given(functions())
def test_values_slope_and_integral(function):
    """Piece by piece as numpy.polynomial has it; the integral as scipy's quadrature (adaptive, 1e-9 of the size)."""
    total = 0.0
    integral = function.integral()
    for i, row in enumerate(function.coefficients):
        a, b = function.knots[i : i + 2]
        p = Polynomial(row)
        for s in (0.0, (b - a) / 3, 0.9 * (b - a)):
            assert function(a + s) == pytest.approx(p(s), rel=1e-12, abs=1e-9)
            assert function.derivative()(a + s) == pytest.approx(p.deriv()(s), rel=1e-12, abs=1e-9)
        assert function(b, "ahead") == pytest.approx(p(b - a), rel=1e-12, abs=1e-9)
        total += quad(function, a, b, limit=200)[0]
        assert integral(b, "ahead") == pytest.approx(total, rel=1e-9, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(functions(), st.lists(st.floats(0.01, 30.0), max_size=4))
def test_refined_is_the_same_function(function, stations):
    x = np.linspace(0, function.knots[-1], 57)
    assert function.refined(stations)(x) == pytest.approx(function(x), rel=1e-9, abs=1e-6)


@settings(max_examples=150, deadline=None)
@given(st.lists(numbers, min_size=2, max_size=6))
def test_sign_changes_are_the_odd_real_roots(row):
    """Against numpy.roots (eigenvalues of the companion matrix), for polynomials without near-double roots."""
    p = Polynomial(row)
    found = sign_changes(Piecewise(np.array([0.0, 8.0]), np.array([row])), 1e-9)
    roots = np.roots(row[::-1])
    real = [float(r.real) for r in roots if abs(r.imag) < 1e-3 and -1e-2 < r.real < 8.01]
    crowded = any(abs(a - b) < 1e-2 for i, a in enumerate(real) for b in real[:i])
    near_end = any(min(abs(r), abs(r - 8)) < 1e-2 for r in real)
    if not crowded and not near_end:
        expected = sorted(r for r in real if abs(p(r)) < 1e-3)
        assert found == pytest.approx(expected, abs=1e-6)  # companion-matrix accuracy, not ours
    for x in found:
        assert abs(p(x)) <= 1e-12 * sum(abs(c) * 8.0**k for k, c in enumerate(row)) + 1e-9


def test_jumps_touching_roots_and_empty_stretches():
    knots = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    jump = Piecewise(knots, np.array([[2.0], [-1.0], [-1.0], [3.0]]))
    assert sign_changes(jump, 0.0) == [1.0, 3.0]
    touch = Piecewise(np.array([0.0, 2.0]), np.array([[1.0, -2.0, 1.0]]))  # (x - 1)^2 touches and turns back
    assert sign_changes(touch, 1e-12) == []
    idle = Piecewise(knots, np.array([[1.0], [0.0], [0.0], [-1.0]]))
    assert sign_changes(idle, 0.0) == [1.0, 2.0, 3.0]
    quartic = Piecewise(np.array([0.0, 2.0]), np.array([[15 / 16, -4.0, 6.0, -4.0, 1.0]]))  # (x - 1)^4 - 1/16
    assert sign_changes(quartic, 1e-12) == pytest.approx([0.5, 1.5], rel=1e-12)
    cubic = Piecewise(np.array([0.0, 2.0]), np.array([[-1.0, 3.0, -3.0, 1.0]]))  # (x - 1)^3 crosses flat
    assert sign_changes(cubic, 1e-12) == pytest.approx([1.0], abs=1e-4)


def test_arrays_are_read_only():
    function = Piecewise(np.array([0.0, 1.0]), np.array([[1.0, 2.0]]))
    with pytest.raises(ValueError, match="read-only"):
        function.coefficients[0, 0] = 5.0
