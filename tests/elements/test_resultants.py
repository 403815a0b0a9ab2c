"""Section resultants anywhere inside members against statics and against the strain they go with."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.elements import LineLoads, resultants

E, G, L = 205_000.0, 79_000.0, 1200.0
CENTROID, SHEAR_CENTRE = (-9.0, 14.0), (27.0, -6.0)


@pytest.fixture(scope="module")
def bar(frames):
    return frames.Bar(
        E=E, G=G, A=900.0, Iy=2e6, Iz=1e6, Iyz=0.7e6, J=1e5, Asy=300.0, Asz=500.0, shear_yz=4e-4,
        centroid=CENTROID, shear_centre=SHEAR_CENTRE,
    )  # fmt: skip


def gauss(a, b, points=6):
    """Places and weights from a to b, exact to degree 11."""
    x, w = np.polynomial.legendre.leggauss(points)
    return a + (b - a) * (x + 1) / 2, w * (b - a) / 2


def beyond(x, tip_load, tip_moment, loads):
    """By hand: what acts on the part between x and the free tip, as N Vy Vz T My Mz on the face that looks to +x'."""
    force, moment = np.array(tip_load), tip_moment + np.cross([L - x, 0, 0], tip_load)
    for start, end, point, c in loads:
        if end > x:
            places, weights = gauss(max(start, x), end)
            for at, weight in zip(places, weights, strict=True):
                s = at - start
                q = (c[0] + c[1] * s + c[2] * s**2) * weight
                force = force + q
                moment = moment + np.cross([at - x, *point], q)
    n, vy, vz = force
    (yc, zc), (ys, zs) = CENTROID, SHEAR_CENTRE
    return [n, vy, vz, moment[0] - ys * vz + zs * vy, moment[1] - zc * n, moment[2] + yc * n]


numbers = st.floats(-1, 1)
line_load = st.tuples(
    st.floats(0, 0.9), st.floats(0.05, 1), st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
    st.lists(numbers, min_size=9, max_size=9),
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(
    force=st.tuples(numbers, numbers, numbers), moment=st.tuples(numbers, numbers, numbers),
    drawn=st.lists(line_load, max_size=4), cut=st.floats(0.01, 0.99),
)  # fmt: skip
def test_cantilever_against_the_part_beyond_the_cut(frames, bar, force, moment, drawn, cut):
    """The kernel adds up from end 1, this test from the free tip: reactions, line loads and offsets must all agree.
    Statics is exact, so 1e-9 of the largest force (some kN) and moment (some kN m)."""
    force, moment = 1000 * np.array(force), 1e6 * np.array(moment)
    loads = [
        (a * L, min((a + b) * L, L), point, np.array(c).reshape(3, 3) * np.array([1, 1e-3, 1e-6])[:, None])
        for a, b, point, c in drawn
    ]
    m = frames.Model()
    root, tip = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(root, tip, bar)
    m.hold(root)
    m.load(tip, force, moment)
    for start, end, point, c in loads:
        m.line(0, c[0], start=start, end=end, point=point, slope=c[1], bend=c[2])
    s = m.solve()
    for x in (0.0, cut * L, L):
        size = np.array([1e3, 1e3, 1e3, 1e6, 1e6, 1e6])
        assert s.section(0, x) / size == pytest.approx(beyond(x, force, moment, loads) / size, abs=1e-9)


def test_shear_is_the_slope_of_the_moment(frames, bar):
    """Vz = dMy/dx and Vy = -dMz/dx, hence V = dM/dx with M = -My, V = -Vz, inside a redundant member under partial
    loads; central differences at 1 mm miss slope/6 of the linear load, 1e-5 of these shears."""
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(a, b, bar)
    m.hold(a)
    m.hold(b, "ux uy uz rx ry")
    m.line(0, (0, 0.8, -2.0), start=200.0, end=950.0, slope=(0, 0, 0.004), bend=(0, 1e-6, 0))
    s = m.solve()
    for x in (50.0, 300.0, 700.0, 1100.0):
        before, here, after = s.section(0, [x - 1, x, x + 1]).T
        assert (after[4] - before[4]) / 2 == pytest.approx(here[2], rel=1e-4)
        assert -(after[5] - before[5]) / 2 == pytest.approx(here[1], rel=1e-4)
        assert (s.M(0, x + 1) - s.M(0, x - 1)) / 2 == pytest.approx(s.V(0, x), rel=1e-4)


def test_resultants_go_with_the_strain(frames, bar):
    """N = EA u', T = GJ theta', (Mz, -My) = B (rz, -ry)' and (Vy, Vz) = f^-1 (shear strains), from the movement inside.
    Central differences at 1 mm of what runs linearly or as a square: 1e-6."""
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(a, b, bar)
    m.hold(a)
    m.load(b, (3000, -700, 1100), (2e5, -4e5, 3e5))
    s = m.solve()
    (yc, zc), (ys, zs) = CENTROID, SHEAR_CENTRE
    for x in (100.0, 640.0):
        u0, u, u2 = (s.inside(0, at) for at in (x - 1, x, x + 1))
        rate = (u2 - u0) / 2
        n, vy, vz, t, my, mz = s.section(0, x)
        assert n == pytest.approx(E * 900.0 * (rate[0] + zc * rate[4] - yc * rate[5]), rel=1e-6)
        assert t == pytest.approx(G * 1e5 * rate[3], rel=1e-6)
        assert mz == pytest.approx(E * (1e6 * rate[5] - 0.7e6 * rate[4]), rel=1e-6)
        assert -my == pytest.approx(E * (0.7e6 * rate[5] - 2e6 * rate[4]), rel=1e-6)
        strain = np.array([rate[1] - zs * rate[3] - u[5], rate[2] + ys * rate[3] + u[4]])  # of the shear centre line
        flexibility = np.array([[1 / 300.0, 4e-4], [4e-4, 1 / 500.0]]) / G
        assert strain == pytest.approx(flexibility @ [vy, vz], rel=1e-4)  # V h²/(6EI) beside V/(GA): 2e-5


def test_loads_of_many_members_find_their_own(frames, bar):
    """Rows in any order, several loads on one member, none on another: each row sees its own member's loads only."""
    p = frames.beams([bar] * 3, [L] * 3)
    rng = np.random.default_rng(7)
    member = np.array([2, 0, 2, 0, 2])
    loads = LineLoads(
        member, np.array([0.0, 100, 300, 500, 20]), np.array([400.0, 900, 1200, 600, 30]), rng.normal(size=(5, 2)) * 20,
        rng.normal(size=(5, 3, 3, 2)) * np.array([1, 1e-3, 1e-6])[:, None, None],
    )  # fmt: skip
    end_1 = rng.normal(size=(3, 6, 2)) * 100
    rows, x = np.array([1, 2, 0, 2, 0, 1]), np.array([5.0, 350, 550, 1200, 0, 700])
    together = resultants(p, end_1, loads, rows, x)
    for i, (row, at) in enumerate(zip(rows, x, strict=True)):
        own = np.nonzero(member == row)[0]
        alone = LineLoads(0 * own, loads.start[own], loads.end[own], loads.point[own], loads.force[own])
        single = resultants(p.take(np.array([row])), end_1[[row]], alone, np.array([0]), np.array([at]))
        assert together[i] == pytest.approx(single[0], rel=1e-12)
    assert np.array_equal(resultants(p, end_1, LineLoads.none(2), rows, x)[[0, 5]], together[[0, 5]])


def test_a_force_at_a_node_jumps_the_shear(frames, bar):
    """Equilibrium of the node between two members: V drops by an upward force, M runs on."""
    m = frames.Model()
    places = [m.node(x, 0, 0) for x in (0.0, 500.0, L)]
    for a, b in pairwise(places):
        m.member(a, b, bar)
    m.hold(places[0])
    m.hold(places[2])
    m.load(places[1], (0, 0, 900.0), at=(0, SHEAR_CENTRE[0], SHEAR_CENTRE[1]))
    s = m.solve()
    ahead, behind = s.section(0, 500.0), s.section(1, 0.0)
    assert behind - ahead == pytest.approx([0, 0, -900.0, 0, 0, 0], abs=1e-5)  # moments are of 1e5 N mm
