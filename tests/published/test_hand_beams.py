"""Textbook beams by the closed form on two supports.

Sources
-------
Beams 1 to 5: standard beam formulas (e.g. Young & Budynas, Roark's Formulas for Stress and Strain, beam tables;
S. P. Timoshenko, Strength of Materials).  Status: values from memory, source text not seen; closed forms, re-computed
independently with a frame solver.  Steel E = 210 000 N/mm2, I = 1.2e6 mm4, shear deformation neglected.
Overhanging rail: statics, derived; re-computed independently with a frame solver.

Tolerance 1e-5 throughout: the printed values have six digits or more, the formulas themselves no error.
"""

import pytest

from ladderfe.hand import Beam, LineLoad, PointLoad, deflection, solve_beam

EI = 210_000 * 1.2e6
L = 2400.0
six_digits = {"rel": 1e-5}


def simply_supported(line_loads=(), point_loads=()):
    return solve_beam(Beam(start=0.0, end=L, supports=(0.0, L), line_loads=line_loads, point_loads=point_loads))


def held_ends(front, rear):
    """Hogging end moments on the span, N mm: a load on an overhang of 100 mm at each held end."""
    points = [PointLoad(x, m / 100) for x, m in ((-100.0, front), (L + 100.0, rear)) if m]
    return tuple(points)


def test_central_point_load():
    result = simply_supported(point_loads=(PointLoad(L / 2, 5000.0),))
    w = deflection(result, EI)
    assert result.reactions == pytest.approx((2500.0, 2500.0), **six_digits)
    assert result.greatest_sagging.moment == pytest.approx(3_000_000.0, **six_digits)
    assert w(L / 2) == pytest.approx(5.71428571, **six_digits)
    assert w.derivative()(0.0) == pytest.approx(0.00714285714, **six_digits)


def test_uniform_load():
    result = simply_supported((LineLoad(0.0, L, 2.0, 2.0),))
    w = deflection(result, EI)
    assert result.reactions == pytest.approx((2400.0, 2400.0), **six_digits)
    assert result.greatest_sagging.moment == pytest.approx(1_440_000.0, **six_digits)
    assert w(L / 2) == pytest.approx(3.42857143, **six_digits)
    assert w.derivative()(0.0) == pytest.approx(0.00457142857, **six_digits)


def test_cantilever_as_an_overhang():
    """Tip load 1200 N and 1.5 N/mm on 900 mm; the tip's deflection is measured from the tangent at the support."""
    beam = Beam(
        start=0.0, end=1900.0, supports=(0.0, 1000.0),
        line_loads=(LineLoad(1000.0, 1900.0, 1.5, 1.5),), point_loads=(PointLoad(1900.0, 1200.0),),
    )
    result = solve_beam(beam)
    w = deflection(result, EI)
    root = float(w.derivative()(1000.0))
    assert result.shear_beside(1000.0)[1] == pytest.approx(2550.0, **six_digits)
    assert result.moment(1000.0) == pytest.approx(-1_687_500.0, **six_digits)
    assert w(1900.0) - 900 * root == pytest.approx(1.6453125, **six_digits)
    assert w.derivative()(1900.0) - root == pytest.approx(0.00265178571, **six_digits)


@pytest.mark.parametrize(
    ("line", "point", "end_moment", "mid_moment", "mid_deflection"),
    [
        ((), (PointLoad(L / 2, 5000.0),), 1_500_000.0, 1_500_000.0, 1.42857143),
        ((LineLoad(0.0, L, 2.0, 2.0),), (), 960_000.0, 480_000.0, 0.685714286),
    ],
    ids=["central load", "uniform load"],
)
def test_both_ends_held(line, point, end_moment, mid_moment, mid_deflection):
    """Force method on the two-support beam: end moments that bring the end slope back to nothing."""
    def span(moment):
        points = (*point, *held_ends(moment, moment))
        beam = Beam(start=-100.0, end=L + 100, supports=(0.0, L), line_loads=line, point_loads=points)
        result = solve_beam(beam)
        return result, deflection(result, EI)

    free, unit = (float(span(m)[1].derivative()(0.0)) for m in (0.0, 1e6))
    held = 1e6 * free / (free - unit)
    result, w = span(held)
    assert held == pytest.approx(end_moment, **six_digits)
    assert result.moment(0.0) == pytest.approx(-end_moment, **six_digits)
    assert result.moment(L / 2) == pytest.approx(mid_moment, **six_digits)
    assert w(L / 2) == pytest.approx(mid_deflection, **six_digits)


def test_one_end_held():
    """Propped cantilever, 2 N/mm, held at the front; greatest deflection w L^4 / (184.6 E I)."""
    def span(moment):
        beam = Beam(
            start=-100.0, end=L, supports=(0.0, L), line_loads=(LineLoad(0.0, L, 2.0, 2.0),),
            point_loads=held_ends(moment, 0.0),
        )
        result = solve_beam(beam)
        return result, deflection(result, EI)

    free, unit = (float(span(m)[1].derivative()(0.0)) for m in (0.0, 1e6))
    result, w = span(1e6 * free / (free - unit))
    assert result.reactions[1] == pytest.approx(1800.0, **six_digits)
    assert result.moment(0.0) == pytest.approx(-1_440_000.0, **six_digits)
    assert result.greatest_sagging.moment == pytest.approx(810_000.0, rel=1e-4)  # as printed with the value
    assert L - result.greatest_sagging.station == pytest.approx(900.0, rel=1e-4)
    assert w(L - 0.4215 * L) == pytest.approx(1.42614219, rel=2e-5)  # 184.6 has four digits


def test_overhanging_rail_with_two_line_loads():
    """Rail 4200 mm on axles at 700 and 3300 mm; 2.4 N/mm on the front half, 1.6 N/mm on the rear half."""
    beam = Beam(
        start=0.0, end=4200.0, supports=(700.0, 3300.0),
        line_loads=(LineLoad(0.0, 2100.0, 2.4, 2.4), LineLoad(2100.0, 4200.0, 1.6, 1.6)),
    )
    result = solve_beam(beam)
    assert result.reactions == pytest.approx((4555.38462, 3844.61538), **six_digits)
    assert result.support_moments == pytest.approx((-588_000.0, -648_000.0), **six_digits)
    assert result.greatest_sagging.moment == pytest.approx(1_134_465.98, **six_digits)
    assert result.greatest_sagging.station == pytest.approx(1898.07692, **six_digits)
    assert result.contraflexure == pytest.approx((925.766112, 3000.71921), **six_digits)
    assert result.moment(2100.0) == pytest.approx(1_085_538.46, **six_digits)
    assert result.shear_beside(700.0) == pytest.approx((-1680.0, 2875.38462), **six_digits)
    assert result.shear_beside(3300.0) == pytest.approx((-2404.61538, 1440.0), **six_digits)
