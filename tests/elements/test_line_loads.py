"""Line loads inside members against numerical integration, tables and fine meshes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from ladderfe.elements import LineLoads, equivalent_loads

E, G, L = 205_000.0, 79_000.0, 1000.0
QUAD = 1e-8  # quad's own error on these polynomials is about 1e-14; the rest is rounding
SHAPES = {"constant": (2.0, 0.0, 0.0), "linear": (2.0, -0.006, 0.0), "quadratic": (-1.0, 0.01, -2e-5)}
RANGES = {"whole": (0.0, L), "part": (270.0, 810.0), "at the root": (0.0, 150.0)}


@pytest.fixture(params=SHAPES.values(), ids=SHAPES)
def shape(request):
    return request.param


@pytest.fixture(params=RANGES.values(), ids=RANGES)
def span(request):
    return request.param


@pytest.fixture(scope="module")
def bar(frames):
    return frames.Bar(E=E, G=G, A=1500.0, Iy=2.7e6, Iz=0.9e6, J=2e5, Asy=300.0, Asz=600.0)


def cantilever(frames, bar):
    m = frames.Model()
    root, tip = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(root, tip, bar)
    m.hold(root)
    return m, tip


def on(shape, direction):
    """Coefficients of a load along `direction` for Model.line."""
    d = np.array(direction, float)
    return {"force": shape[0] * d, "slope": shape[1] * d, "bend": shape[2] * d}


def integral(shape, span, influence):
    """int q(x) influence(x) dx, x from the root."""
    a, b = span
    c0, c1, c2 = shape
    return quad(lambda x: (c0 + c1 * (x - a) + c2 * (x - a) ** 2) * influence(x), a, b, epsabs=0, epsrel=1e-12)[0]


@pytest.mark.parametrize(("axis", "I", "As"), [(2, 2.7e6, 600.0), (1, 0.9e6, 300.0)], ids=["upright", "sideways"])
def test_cantilever_tip_under_a_line_load(frames, bar, shape, span, axis, I, As):
    """Tip movement and turn per force at x: x²(3L - x)/(6EI) + x/(GA) and x²/(2EI) (cantilever, standard formulas)."""
    m, tip = cantilever(frames, bar)
    m.line(0, start=span[0], end=span[1], **on(shape, np.eye(3)[axis]))
    u = m.solve().move(tip)
    turn = u[5] if axis == 1 else -u[4]
    move = integral(shape, span, lambda x: x**2 * (3 * L - x) / (6 * E * I) + x / (G * As))
    assert u[axis] == pytest.approx(move, rel=QUAD)
    assert turn == pytest.approx(integral(shape, span, lambda x: x**2 / (2 * E * I)), rel=QUAD)


def test_cantilever_tip_under_an_axial_load_beside_the_line(frames, bar, shape, span):
    """Along the member at (y, z): stretch x/(EA); the couples z q and -y q per length turn by x/(EI)."""
    m, tip = cantilever(frames, bar)
    m.line(0, start=span[0], end=span[1], point=(35.0, -70.0), **on(shape, (1, 0, 0)))
    u = m.solve().move(tip)
    first = integral(shape, span, lambda x: x)
    assert u[0] == pytest.approx(first / (E * 1500.0), rel=QUAD)
    assert u[4] == pytest.approx(-70.0 * first / (E * 2.7e6), rel=QUAD)
    assert u[5] == pytest.approx(-35.0 * first / (E * 0.9e6), rel=QUAD)
    # a couple c against the turn about y at x lifts the tip by c x (L - x/2)/(EI)
    lift = integral(shape, span, lambda x: 70.0 * x * (L - x / 2) / (E * 2.7e6))
    assert u[2] == pytest.approx(lift, rel=QUAD)


def test_cantilever_tip_twists_under_a_load_beside_the_line(frames, bar, shape, span):
    """Upright at y = 40 and sideways at z = -25: torque y qz - z qy, twist x/(GJ)."""
    m, tip = cantilever(frames, bar)
    m.line(0, start=span[0], end=span[1], point=(40.0, 0.0), **on(shape, (0, 0, 1)))
    m.line(0, start=span[0], end=span[1], point=(0.0, -25.0), **on(shape, (0, 1, 0)))
    u = m.solve().move(tip)
    assert u[3] == pytest.approx(65.0 * integral(shape, span, lambda x: x / (G * 2e5)), rel=QUAD)


def test_end_moments_of_the_built_in_member(frames, shape, span):
    """Force P at a, both ends built in: moments P a b²/L² and P a² b/L² (standard table), shear neglected."""
    p = frames.beams([frames.Bar(E=E, G=G, A=1500.0, Iy=2.7e6, Iz=0.9e6, J=2e5)], [L])
    force = np.zeros((1, 3, 3, 1))
    force[0, :, 2, 0] = shape
    load = LineLoads(np.array([0]), np.array([span[0]]), np.array([span[1]]), np.zeros((1, 2)), force)
    out = equivalent_loads(p, load)[0, :, 0]
    assert -out[4] == pytest.approx(integral(shape, span, lambda x: x * (L - x) ** 2 / L**2), rel=QUAD)
    assert out[10] == pytest.approx(integral(shape, span, lambda x: x**2 * (L - x) / L**2), rel=QUAD)


def lumped(shape, span, low, high):
    """Weight of the load between two places, by the trapezoidal rule."""
    low, high = max(span[0], low), min(span[1], high)
    s = np.linspace(low, max(high, low), 9) - span[0]
    return np.trapezoid(shape[0] + shape[1] * s + shape[2] * s**2, s)


def test_one_member_against_a_fine_mesh(frames, bar, shape):
    """A built-in and propped beam; the load lumped on the nodes of 400 short members is right to second order: 1e-4."""
    span, parts, seen = (270.0, 810.0), 400, []
    for fine in (False, True):
        m = frames.Model()
        root, prop = m.node(0, 0, 0), m.node(L, 0, 0)
        run, _ = m.chain(root, prop, bar, parts if fine else 1)
        m.hold(root)
        m.hold(prop, "uz rx")
        if fine:
            half = L / parts / 2
            for node in run:
                m.load(node, (0, 0, lumped(shape, span, m.nodes[node][0] - half, m.nodes[node][0] + half)))
        else:
            m.line(0, start=span[0], end=span[1], **on(shape, (0, 0, 1)))
        answer = m.solve()
        seen.append([answer.reaction(prop)[2], answer.reaction(root)[4], answer.move(prop)[4]])
    assert seen[0] == pytest.approx(seen[1], rel=1e-4)


@settings(max_examples=40, deadline=None)
@given(
    start=st.floats(0, 0.9),
    length=st.floats(0.01, 1),
    c=st.lists(st.floats(-3, 3), min_size=9, max_size=9),
    offsets=st.lists(st.floats(-60, 60), min_size=6, max_size=6),
)
def test_end_loads_weigh_what_the_line_load_weighs(frames, start, length, c, offsets):
    """Force and moment about end 1 of the end loads = those of the line load (equilibrium), for any section."""
    yc, zc, ys, zs, y, z = offsets
    bar = frames.Bar(
        E=E, G=G, A=900.0, Iy=2e6, Iz=1e6, Iyz=0.7e6, J=1e5, Asy=300, Asz=500, centroid=(yc, zc), shear_centre=(ys, zs)
    )
    a, b = start * L, min((start + length) * L, L)
    c = np.array(c).reshape(3, 3) * np.array([1, 1e-3, 1e-6])[:, None]
    load = LineLoads(np.array([0]), np.array([a]), np.array([b]), np.array([[y, z]]), c[None, :, :, None])
    out = equivalent_loads(frames.beams([bar], [L]), load)[0, :, 0]
    x, weight = np.polynomial.legendre.leggauss(6)  # exact for these cubics
    s = (b - a) * (x + 1) / 2
    q = (c[0] + np.outer(s, c[1]) + np.outer(s**2, c[2])) * weight[:, None] * (b - a) / 2
    arm = np.stack([a + s, np.full(6, y), np.full(6, z)], axis=1)
    weighed = np.concatenate([q.sum(axis=0), np.cross(arm, q).sum(axis=0)])
    carried = np.concatenate([out[:3] + out[6:9], out[3:6] + out[9:12] + np.cross([L, 0, 0], out[6:9])])
    assert carried == pytest.approx(weighed, rel=1e-9, abs=1e-7)  # N and N mm; loads of kN, moments of kN m


def test_none_and_join(frames, bar):
    """No loads give none; joined loads add up."""
    p = frames.beams([bar, bar], [L, L])
    assert LineLoads.none(3).cases == 3
    assert len(LineLoads.none(3)) == 0
    assert not equivalent_loads(p, LineLoads.none(3)).any()
    rng = np.random.default_rng(1)
    place = np.array([10.0]), np.array([400.0]), np.array([[1.0, 2.0]])
    parts = [LineLoads(np.array([k]), *place, rng.normal(size=(1, 3, 3, 2))) for k in (1, 0, 1)]
    joined = LineLoads.join(parts)
    assert len(joined) == 3
    assert equivalent_loads(p, joined) == pytest.approx(sum(equivalent_loads(p, x) for x in parts), rel=1e-12)
