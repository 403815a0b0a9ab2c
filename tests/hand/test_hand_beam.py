"""The beam on two supports: independent integration, and the properties that statics demands."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_bvp

from ladderfe.errors import ModelError
from ladderfe.hand import Beam, LineLoad, PointLoad, deflection, solve_beam

FORCE = 1e-9  # of the sum of forces: rounding of sums of ten doubles, with room to spare
loads = st.integers(-30, 60).map(lambda n: n / 10)


@st.composite
def beams(draw):
    places = sorted(draw(st.lists(st.integers(1, 399), min_size=8, max_size=8, unique=True)))
    x = [10.0 * p for p in places]
    front, rear = draw(st.sampled_from([(x[0], x[7]), (x[2], x[5]), (0.0, x[6]), (x[1], x[4])]))
    assume(rear - front > 200)
    lines = [LineLoad(0.0, x[3], draw(loads), draw(loads)), LineLoad(x[1], 4000.0, draw(loads), draw(loads))]
    points = [PointLoad(s, 1000 * draw(loads)) for s in draw(st.lists(st.sampled_from([0.0, *x, 4000.0]), max_size=3))]
    return Beam(start=0.0, end=4000.0, supports=(front, rear), line_loads=tuple(lines), point_loads=tuple(points))


def size(beam):
    line = sum((abs(q.q_start) + abs(q.q_end)) * (q.end - q.start) for q in beam.line_loads)
    return line + sum(abs(p.force) for p in beam.point_loads) + 1.0


def line_load(beam, x):
    """N/mm at x, straight from the given loads."""
    on = [q for q in beam.line_loads if q.start <= x < q.end]
    return sum(q.q_start + (q.q_end - q.q_start) * (x - q.start) / (q.end - q.start) for q in on)


def sampled(beam, count=41):
    """Stations away from every knot, where V and M are smooth."""
    knots = {*beam.supports, *(p.station for p in beam.point_loads)}
    return [x for x in np.linspace(3.7, 3996.3, count) if all(abs(x - k) > 1 for k in knots)]


@settings(max_examples=40, deadline=None)
@given(beams())
def test_equilibrium_against_quadrature(beam):
    """Reactions balance the loads, summed here by scipy's quadrature rather than by the formulas of the code."""
    result = solve_beam(beam)
    breaks = [x for q in beam.line_loads for x in (q.start, q.end) if 0 < x < 4000]
    force = quad(lambda x: line_load(beam, x), 0, 4000, points=breaks)[0] + sum(p.force for p in beam.point_loads)
    first = quad(lambda x: x * line_load(beam, x), 0, 4000, points=breaks)[0]
    first += sum(p.force * p.station for p in beam.point_loads)
    a, b = beam.supports
    assert sum(result.reactions) == pytest.approx(force, abs=1e-7 * size(beam))  # quadrature's own accuracy
    assert result.reactions[0] * a + result.reactions[1] * b == pytest.approx(first, abs=1e-7 * size(beam) * 4000)


@settings(max_examples=40, deadline=None)
@given(beams())
def test_shear_and_moment_from_the_forces_ahead(beam):
    """V and M at any station are the sums over what lies ahead of it, by direct summation."""
    result = solve_beam(beam)
    for x in sampled(beam, 9):
        shear = sum(r for r, s in zip(result.reactions, beam.supports, strict=True) if s < x)
        moment = sum(r * (x - s) for r, s in zip(result.reactions, beam.supports, strict=True) if s < x)
        shear -= sum(p.force for p in beam.point_loads if p.station < x)
        moment -= sum(p.force * (x - p.station) for p in beam.point_loads if p.station < x)
        for q in beam.line_loads:
            if q.start < x:
                end = min(x, q.end)
                q_cut = q.q_start + (q.q_end - q.q_start) * (end - q.start) / (q.end - q.start)
                mean, third = (q.q_start + q_cut) / 2, (q_cut - q.q_start) / 12
                shear -= mean * (end - q.start)
                moment -= mean * (end - q.start) * (x - (q.start + end) / 2) - third * (end - q.start) ** 2
        assert result.shear(x) == pytest.approx(shear, abs=FORCE * size(beam))
        assert result.moment(x) == pytest.approx(moment, abs=FORCE * size(beam) * 4000)


@settings(max_examples=40, deadline=None)
@given(beams())
def test_slopes_ends_and_jumps(beam):
    """dM/dx = V and dV/dx = -q by central differences; M and V vanish past the ends; V jumps by the reaction."""
    result, h = solve_beam(beam), 0.5
    knots = result.load.knots
    for x in sampled(beam):
        if np.min(np.abs(knots - x)) > h:
            slope = (result.moment(x + h) - result.moment(x - h)) / (2 * h)
            assert slope == pytest.approx(result.shear(x), abs=1e-6 * size(beam))  # truncation h^2/6 x slope of q
            rate = (result.shear(x + h) - result.shear(x - h)) / (2 * h)
            assert rate == pytest.approx(-line_load(beam, x), abs=1e-8 * size(beam))
    assert abs(result.moment(4000.0)) < FORCE * size(beam) * 4000
    assert result.moment(0.0) == 0.0
    for support, reaction in zip(beam.supports, result.reactions, strict=True):
        ahead, behind = result.shear_beside(support)
        point = sum(p.force for p in beam.point_loads if p.station == support)
        assert behind - ahead == pytest.approx(reaction - point, abs=FORCE * size(beam))
    last = sum(p.force for p in beam.point_loads if p.station == 4000.0)
    assert result.shear_beside(4000.0)[0] == pytest.approx(last, abs=FORCE * size(beam))


@settings(max_examples=40, deadline=None)
@given(beams())
def test_contraflexure_and_turning_points_are_where_signs_change(beam):
    """Every one found is a root; none is missed, against a dense sampling of the sign."""
    result = solve_beam(beam)
    x = np.linspace(0.05, 3999.95, 8001)
    for function, found, zero in (
        (result.moment, result.contraflexure, 1e-9 * size(beam) * 4000),
        (result.shear, [p.station for p in result.turning_points], 1e-9 * size(beam)),
    ):
        value = function(x)
        clear = np.abs(value) > zero
        kept, signs = x[clear], np.sign(value[clear])
        for i in np.flatnonzero(np.diff(signs)):
            assert any(kept[i] - 1e-6 <= s <= kept[i + 1] + 1e-6 for s in found)
    slack = 1e-11 * size(beam) * 4000
    assert all(abs(result.moment(s)) < slack for s in result.contraflexure)
    smooth = [p.station for p in result.turning_points if p.kind == "V = 0"]
    assert all(abs(result.shear(s)) < 1e-8 * size(beam) for s in smooth)
    assert result.greatest_sagging.moment >= np.max(result.moment(x)) - slack
    assert result.greatest_hogging.moment <= np.min(result.moment(x)) + slack
    assert abs(result.greatest_shear[1]) >= np.max(np.abs(result.shear(x))) - 1e-9 * size(beam)


@settings(max_examples=30, deadline=None)
@given(beams())
def test_contraflexure_against_numpy_roots(beam):
    """Roots of the cubic in each piece by the companion matrix (numpy.roots), where they are well apart."""
    result = solve_beam(beam)
    coefficients, knots = result.moment.coefficients, result.moment.knots
    for s in result.contraflexure:
        if np.min(np.abs(knots - s)) < 1.0:
            continue
        i = int(np.searchsorted(knots, s)) - 1
        length = knots[i + 1] - knots[i]
        scaled = coefficients[i] * length ** np.arange(4)
        roots = knots[i] + length * np.roots(scaled[::-1])
        assert np.min(np.abs(roots - s)) < 1e-3  # mm; a double root costs the companion matrix half its digits


@settings(max_examples=30, deadline=None)
@given(beams(), beams())
def test_superposition(one, other):
    other = replace(other, supports=one.supports)
    both = replace(one, line_loads=one.line_loads + other.line_loads, point_loads=one.point_loads + other.point_loads)
    a, b, ab = solve_beam(one), solve_beam(other), solve_beam(both)
    x = np.array(sampled(both))
    assert ab.shear(x) == pytest.approx(a.shear(x) + b.shear(x), abs=FORCE * size(both))
    assert ab.moment(x) == pytest.approx(a.moment(x) + b.moment(x), abs=FORCE * size(both) * 4000)


@settings(max_examples=30, deadline=None)
@given(beams())
def test_reversed_beam_gives_reversed_results(beam):
    """Front and rear exchanged: M mirrored, V mirrored with its sign turned."""
    turned = Beam(
        start=0.0, end=4000.0, supports=(4000 - beam.supports[1], 4000 - beam.supports[0]),
        line_loads=tuple(LineLoad(4000 - q.end, 4000 - q.start, q.q_end, q.q_start) for q in beam.line_loads),
        point_loads=tuple(PointLoad(4000 - p.station, p.force) for p in beam.point_loads),
    )
    a, b = solve_beam(beam), solve_beam(turned)
    x = np.array(sampled(beam))
    assert b.moment(4000 - x) == pytest.approx(a.moment(x), abs=FORCE * size(beam) * 4000)
    assert b.shear(4000 - x) == pytest.approx(-a.shear(x), abs=FORCE * size(beam))
    assert b.reactions[::-1] == pytest.approx(a.reactions, abs=FORCE * size(beam))


def test_deflection_of_a_stepped_beam_against_a_boundary_value_solver():
    """EI w'' = -M with EI stepped, solved by scipy's collocation (its tolerance 1e-8)."""
    beam = Beam(start=0.0, end=3.0, supports=(0.0, 3.0), line_loads=(LineLoad(0.0, 3.0, 2.0, 5.0),))
    result = solve_beam(beam)
    ours = deflection(result, [(0.0, 1.0, 2.0), (1.0, 3.0, 6.0)])

    def rates(t, y):  # both parts mapped on 0..1: w and slope ahead of x = 1, w and slope behind it
        ahead, behind = result.moment(t), result.moment(1 + 2 * t)
        return np.vstack((y[1], -ahead / 2.0, 2 * y[3], -2 * behind / 6.0))

    def ends(ya, yb):
        return np.array([ya[0], yb[2], yb[0] - ya[2], yb[1] - ya[3]])

    solved = solve_bvp(rates, ends, np.linspace(0, 1, 41), np.zeros((4, 41)), tol=1e-8)
    t = np.linspace(0, 1, 23)
    assert ours(t) == pytest.approx(solved.sol(t)[0], rel=1e-6, abs=1e-7)
    assert ours(1 + 2 * t) == pytest.approx(solved.sol(t)[2], rel=1e-6, abs=1e-7)


@settings(max_examples=20, deadline=None)
@given(beams())
def test_deflection_curves_by_the_moment_and_rests_on_the_supports(beam):
    result = solve_beam(beam)
    ei = 5e11
    w = deflection(result, [(0.0, 1500.0, ei), (1500.0, 4000.0, 3 * ei)])
    room = 1e-12 * size(beam) * 4000**3 / ei
    assert [w(s) for s in beam.supports] == pytest.approx([0.0, 0.0], abs=room)
    curved = w.derivative().derivative()
    for x in sampled(beam):
        stiff = ei if x < 1500 else 3 * ei
        assert -stiff * curved(x) == pytest.approx(result.moment(x), abs=FORCE * size(beam) * 4000)


@pytest.mark.parametrize(
    ("broken", "message"),
    [
        ({"supports": (3000.0, 1000.0)}, "beam: supports at 3000 and 1000 mm do not fit a beam from 0 to 4000 mm. "
         "Give two supports on the beam, the front one first."),
        ({"supports": (-10.0, 1000.0)}, "beam: supports at -10 and 1000 mm do not fit a beam from 0 to 4000 mm. "
         "Give two supports on the beam, the front one first."),
        ({"point_loads": (PointLoad(4100.0, 5.0, "towbar"),)},
         "load towbar: it reaches from 4100 to 4100 mm, the beam from 0 to 4000 mm. "
         "Move the load onto the beam, or carry it at the mounts that hold it."),
        ({"end": float("nan")}, "beam: nan is not a number to calculate with. Give a finite number."),
    ],
)
def test_a_beam_that_cannot_be(broken, message):
    given_values = {"start": 0.0, "end": 4000.0, "supports": (1000.0, 3000.0)} | broken
    with pytest.raises(ModelError) as error:
        Beam(**given_values)
    assert str(error.value) == message


def test_a_load_without_length():
    with pytest.raises(ModelError) as error:
        LineLoad(100.0, 100.0, 1.0, 1.0, "tank")
    assert str(error.value) == (
        "line load tank: it begins at 100 mm and ends at 100 mm. Give it a length: the end lies behind the start."
    )


@pytest.mark.parametrize("stiffness", [0.0, [(0.0, 1000.0, 1.0)], [(0.0, 1.0, 1.0), (2.0, 4000.0, 1.0)], []])
def test_stiffness_with_a_gap(stiffness):
    result = solve_beam(Beam(start=0.0, end=4000.0, supports=(0.0, 4000.0)))
    with pytest.raises(ModelError, match="bending stiffness is not given end to end"):
        deflection(result, stiffness)


def test_moment_that_is_level_over_a_stretch():
    """Two equal loads: V is nothing between them; the stretch is given by its two ends, and nothing turns it over."""
    loads = (PointLoad(1000.0, 10.0), PointLoad(2000.0, 10.0))
    beam = Beam(start=0.0, end=3000.0, supports=(0.0, 3000.0), point_loads=loads)
    result = solve_beam(beam)
    assert [p.station for p in result.turning_points] == [1000.0, 2000.0]
    assert result.contraflexure == ()
    assert result.greatest_sagging.moment == pytest.approx(10_000.0)
    assert result.greatest_hogging.moment == 0.0
