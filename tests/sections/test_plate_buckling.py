"""Plate buckling: the tables against plate theory, their limits, and what holds whatever the wall."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.sections.plate_buckling import (
    critical_stress,
    internal_factor,
    outstand_factor,
    reduction,
    shear_reduction,
    shear_slenderness,
    slenderness,
    slenderness_limit,
    strain_factor,
    wall_class,
    width_limit,
)

PSI = st.floats(-6, 1)
TABLE = 2e-2  # the tables are rounded and, between their points, fitted


def ritz(at_start: float, at_end: float, *, held_end: bool, nu: float = 0.3) -> float:
    """k of a long plate, held at its start and at its end or not, under edge stresses linear in between (compression
    positive, 1 the greatest): energy of w = f(y) sin(pi x/a) with polynomials f, least over half-waves a."""
    roots, weights = np.polynomial.legendre.leggauss(40)
    y, weights = (roots + 1) / 2, weights / 2
    edge = np.polynomial.Polynomial([0, 1]) * (np.polynomial.Polynomial([1, -1]) if held_end else 1)
    basis = [edge * np.polynomial.Legendre.basis(j, [0, 1]).convert(kind=np.polynomial.Polynomial) for j in range(10)]
    f, f1, f2 = (np.array([p.deriv(m)(y) for p in basis]) for m in (0, 1, 2))
    stress = at_start + (at_end - at_start) * y
    best = np.inf
    for a in np.geomspace(0.2, 12, 100):
        q = np.pi / a
        bend = np.einsum("iy,jy,y->ij", f2, f2, weights) + q**4 * np.einsum("iy,jy,y->ij", f, f, weights)
        mixed = np.einsum("iy,jy,y->ij", f, f2, weights)
        bend += -nu * q**2 * (mixed + mixed.T) + 2 * (1 - nu) * q**2 * np.einsum("iy,jy,y->ij", f1, f1, weights)
        load = q**2 * np.einsum("iy,jy,y->ij", f, f, weights * stress)
        root = np.linalg.inv(np.linalg.cholesky(bend))
        best = min(best, 1 / np.linalg.eigvalsh(root @ load @ root.T).max())
    return float(best / np.pi**2)


@pytest.mark.parametrize("psi", [1, 0.5, 0, -0.5, -1, -2])
def test_internal_factors_are_those_of_plate_theory(psi):
    assert float(internal_factor(psi)) == pytest.approx(ritz(1, psi, held_end=True), rel=TABLE)


@pytest.mark.parametrize(("psi", "tip"), [(1, True), (0, True), (-1, True), (1, False), (0, False), (-1, False)])
def test_outstand_factors_at_the_tables_points_are_those_of_plate_theory(psi, tip):
    """The longest half-wave here, 12 widths, adds 1/144, 1.6 % of 0.43."""
    theory = ritz(psi, 1, held_end=False) if tip else ritz(1, psi, held_end=False)
    assert float(outstand_factor(psi, tip)) == pytest.approx(theory, rel=2e-2)


@pytest.mark.parametrize("psi", [0.5, -0.2, -0.5, -0.8, -2, -3, -5])
def test_outstand_factors_elsewhere_are_not_above_plate_theory(psi):
    """The table's fits lie below it (as much as a third), and so do the continuations where it ends; 2 % as above."""
    assert float(outstand_factor(psi, True)) <= ritz(psi, 1, held_end=False) * 1.02
    assert float(outstand_factor(psi, False)) <= ritz(1, psi, held_end=False) * 1.02


def test_tables_at_their_points():
    """EN 1993-1-5 Tables 4.1 and 4.2, from memory."""
    assert outstand_factor([1, 0, -1], True) == pytest.approx([0.43, 0.57, 0.85], rel=1e-9)
    assert outstand_factor([1, 0, -1], False) == pytest.approx([0.43, 1.70, 23.8], rel=4e-3)  # 0.578/1.34 = 0.4313
    assert width_limit(1.0, False, False) == pytest.approx(38.2, rel=1e-3)
    assert width_limit(1.0, True, True) == pytest.approx(13.9, rel=4e-3)


@pytest.mark.parametrize("place", [0.0, -1.0, -3.0])
@pytest.mark.parametrize("factor", [
    internal_factor, lambda p: outstand_factor(p, True), lambda p: outstand_factor(p, False)
])  # fmt: skip
def test_factors_hardly_step_where_formulas_change(factor, place):
    """The tables' constants are rounded: 7.81 for 7.8095, 23.9 for 23.88 and 23.92."""
    assert float(factor(place - 1e-7)) == pytest.approx(float(factor(place + 1e-7)), rel=2e-3)


def test_slenderness_is_that_of_the_critical_stress():
    """28.4 eps sqrt(k) is sqrt(E pi^2/(12 (1 - nu^2) fy) k), rounded in the third digit."""
    for fy, E in ((235.0, 210e3), (355.0, 205e3)):
        by_stress = np.sqrt(fy / critical_stress(4.0, 2.5, 140.0, E))
        assert float(slenderness(140 / 2.5, 4.0, strain_factor(fy, E))) == pytest.approx(by_stress, rel=1e-3)


@given(psi=PSI, outstand=st.booleans(), slender=st.floats(0.01, 10))
def test_rho_is_one_up_to_the_limit_and_falls_beyond(psi, outstand, slender):
    limit = float(slenderness_limit(psi, outstand))
    rho = float(reduction(slender, psi, outstand))
    assert 0 < rho <= 1
    assert (rho == 1) == (slender <= limit) or slender == pytest.approx(limit, rel=1e-6)
    assert float(reduction(limit * (1 + 1e-9), psi, outstand)) == pytest.approx(1.0, abs=1e-8)
    assert float(reduction(slender * 1.01, psi, outstand)) <= rho


@given(psi=PSI, other=PSI, outstand=st.booleans(), tip=st.booleans())
def test_uniform_compression_allows_the_least_width(psi, other, outstand, tip):
    """So a wall within that limit is never looked at; and the limit grows as psi falls, but for the tables' steps and
    for outstands pressed at the tip, whose factor is a parabola that falls until psi = 1 only."""
    low, high = min(psi, other), max(psi, other)
    assert float(width_limit(low, outstand, tip)) >= float(width_limit(high, outstand, tip)) * (1 - 2e-3)


@given(slender=st.floats(1, 300), psi=PSI, outstand=st.booleans(), tip=st.booleans(), fy=st.floats(180, 800))
def test_classes_grow_with_slenderness_and_yield(slender, psi, outstand, tip, fy):
    grade = int(wall_class(slender, psi, outstand, tip, strain_factor(fy)))
    assert 1 <= grade <= int(wall_class(slender * 1.1, psi, outstand, tip, strain_factor(fy))) <= 4
    assert grade <= int(wall_class(slender, psi, outstand, tip, strain_factor(fy * 1.1)))


def test_shear_reduction_at_its_corners():
    """EN 1993-1-5 Table 5.1, from memory: eta up to 0.83/eta, and the two end posts part at 1.08."""
    assert float(shear_reduction(0.83 / 1.2)) == pytest.approx(1.2)
    assert float(shear_reduction(2.0)) == pytest.approx(0.415)
    assert float(shear_reduction(2.0, rigid_end_post=True)) == pytest.approx(1.37 / 2.7)
    assert float(shear_reduction(1.08, rigid_end_post=True)) == pytest.approx(0.83 / 1.08, rel=2e-3)
    assert float(shear_slenderness(235 * 0.76**2, 235)) == pytest.approx(1.0)
