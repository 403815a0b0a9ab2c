"""Beam kernels against closed forms and against what every stiffness must obey."""

from dataclasses import replace
from math import atan2, cos, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.elements import deformation, influence, stiffness
from ladderfe.solve.frame import rigid_arm

E, G = 205_000.0, 79_000.0
EXACT = 1e-9  # closed form at the nodes: rounding only
QUICK = settings(max_examples=40, deadline=None)


@st.composite
def bar_data(draw):
    """Sizes of any thin-walled rail section, unsymmetric and eccentric; Iyz and the shear coupling stay admissible."""

    def size(low, high):
        return draw(st.floats(low, high))

    Iy, Iz, Asy, Asz = size(1e5, 5e6), size(1e5, 5e6), size(100, 1000), size(100, 1000)
    return {
        "E": E, "G": G, "A": size(200, 3000), "J": size(1e3, 4e6),
        "Iy": Iy, "Iz": Iz, "Iyz": size(-0.8, 0.8) * sqrt(Iy * Iz),
        "Asy": Asy, "Asz": Asz, "shear_yz": size(-0.8, 0.8) / sqrt(Asy * Asz),
        "centroid": (size(-40, 40), size(-40, 40)), "shear_centre": (size(-60, 60), size(-60, 60)),
    }  # fmt: skip


def cantilever(frames, bar, length, members=1):
    m = frames.Model()
    root, tip = m.node(0, 0, 0), m.node(length, 0, 0)
    m.chain(root, tip, bar, members)
    m.hold(root)
    return m, tip


@pytest.mark.parametrize("members", [1, 8])  # exact at nodes, so the mesh must not matter
@pytest.mark.parametrize("length", [120.0, 1200.0], ids=["deep bracket", "slender rail"])
@pytest.mark.parametrize("plane", ["upright", "sideways"])
def test_cantilever_with_tip_force_and_moment(frames, members, length, plane):
    """Tip movement F L³/(3EI) + F L/(GA) + C L²/(2EI), turn F L²/(2EI) + C L/(EI): bending plus shear.  Source:
    S. P. Timoshenko, Strength of Materials, Part I, deflection of a cantilever, from memory; closed form."""
    bar = frames.Bar(E=E, G=G, A=1500.0, Iy=2.7e6, Iz=0.9e6, J=2e6, Asy=300.0, Asz=600.0)
    B, S = (E * 2.7e6, G * 600.0) if plane == "upright" else (E * 0.9e6, G * 300.0)  # EI, GA
    m, tip = cantilever(frames, bar, length, members)
    F, C = 1000.0, 2.0e5
    if plane == "upright":
        m.load(tip, (0, 0, F), (0, -C, 0))
    else:
        m.load(tip, (0, F, 0), (0, 0, C))
    u = m.solve().move(tip)
    move, turn = (u[2], -u[4]) if plane == "upright" else (u[1], u[5])
    assert move == pytest.approx(F * length**3 / (3 * B) + F * length / S + C * length**2 / (2 * B), rel=EXACT)
    assert turn == pytest.approx(F * length**2 / (2 * B) + C * length / B, rel=EXACT)


def test_pull_and_twist(frames):
    """F L/(EA) and T L/(GJ); closed forms."""
    m, tip = cantilever(frames, frames.Bar(E=E, G=G, A=1500.0, Iy=2.7e6, Iz=0.9e6, J=2e6), 900.0, 3)
    m.load(tip, (4000.0, 0, 0), (6.0e5, 0, 0))
    u = m.solve().move(tip)
    assert u[0] == pytest.approx(4000 * 900 / (E * 1500), rel=EXACT)
    assert u[3] == pytest.approx(6.0e5 * 900 / (G * 2e6), rel=EXACT)


def test_matrix_of_a_symmetric_section(frames):
    """The 12 x 12 matrix entry by entry, Phi = 12 EI/(GA L²).  Source: J. S. Przemieniecki, Theory of Matrix Structural
    Analysis, 1968, section 5.6, from memory."""
    L, A, Iy, Iz, J, Asy, Asz = 700.0, 1500.0, 2.7e6, 0.9e6, 2e6, 300.0, 600.0
    k = stiffness(frames.beams([frames.Bar(E=E, G=G, A=A, Iy=Iy, Iz=Iz, J=J, Asy=Asy, Asz=Asz)], [L]))[0]
    expected = np.zeros((12, 12))
    for (v, r), B, S, sign in (((1, 5), E * Iz, G * Asy, 1), ((2, 4), E * Iy, G * Asz, -1)):
        phi = 12 * B / (S * L**2)
        plane = np.array([
            [12, 6 * L, -12, 6 * L],
            [6 * L, (4 + phi) * L**2, -6 * L, (2 - phi) * L**2],
            [-12, -6 * L, 12, -6 * L],
            [6 * L, (2 - phi) * L**2, -6 * L, (4 + phi) * L**2],
        ])  # fmt: skip
        flip = np.array([1, sign, 1, sign])
        at = np.array([v, r, v + 6, r + 6])
        expected[np.ix_(at, at)] = plane * np.outer(flip, flip) * B / (1 + phi) / L**3
    for at, value in ((0, E * A / L), (3, G * J / L)):
        expected[np.ix_([at, at + 6], [at, at + 6])] = value * np.array([[1, -1], [-1, 1]])
    assert k == pytest.approx(expected, rel=EXACT, abs=1e-12 * np.abs(expected).max())


@QUICK
@given(data=bar_data(), length=st.floats(30, 3000))
def test_member_stiffness_has_exactly_six_rigid_motions(frames, data, length):
    """Symmetric, no negative energy, six motions without energy and no seventh.  Scaled to a unit diagonal, rigid
    motions leave rounding only; the softest straining motion of these sections lies decades above."""
    k = stiffness(frames.beams([frames.Bar(**data)], [length]))[0]
    scale = 1 / np.sqrt(np.diag(k))
    scaled = k * np.outer(scale, scale)
    assert np.abs(scaled - scaled.T).max() < 1e-14
    energies = np.linalg.eigvalsh(scaled)
    assert np.abs(energies[:6]).max() < 1e-13
    assert energies[6] > 1e-10


@QUICK
@given(data=bar_data(), length=st.floats(30, 3000))
def test_rigid_motion_strains_nothing(frames, data, length):
    """u = t + r x p at both ends: no natural deformation (rounding of lengths up to 3000 mm)."""
    b = deformation(frames.beams([frames.Bar(**data)], [length]))[0]
    motion = np.concatenate([np.eye(6), rigid_arm(np.array([length, 0, 0]))])
    assert np.abs(b @ motion).max() < 1e-12


@QUICK
@given(data=bar_data(), length=st.floats(100, 3000), place=st.floats(0.05, 0.95))
def test_two_members_equal_one(frames, data, length, place):
    """The middle node of two members condensed away leaves the one member's matrix.  1e-8: the shorter part is up to
    20 times shorter, hence 20³ stiffer, and condensing takes those digits away."""
    bar = frames.Bar(**data)
    one = stiffness(frames.beams([bar], [length]))[0]
    first, second = stiffness(frames.beams([bar, bar], [place * length, (1 - place) * length]))
    both = np.zeros((18, 18))
    both[:12, :12] += first
    both[6:, 6:] += second
    ends, middle = np.r_[0:6, 12:18], np.r_[6:12]
    inner = np.linalg.solve(both[np.ix_(middle, middle)], both[np.ix_(middle, ends)])
    condensed = both[np.ix_(ends, ends)] - both[np.ix_(ends, middle)] @ inner
    size = np.sqrt(np.diag(one))
    assert np.abs((condensed - one) / np.outer(size, size)).max() < 1e-8


@QUICK
@given(data=bar_data(), length=st.floats(100, 3000), place=st.floats(0.05, 0.95))
def test_influence_is_the_movement_of_a_node_there(frames, data, length, place):
    """Movement inside one member per end unknown = movement of the node between two members (1e-8 as above)."""
    bar = frames.Bar(**data)
    first, second = stiffness(frames.beams([bar, bar], [place * length, (1 - place) * length]))
    middle = -np.linalg.solve(first[6:, 6:] + second[:6, :6], np.hstack([first[6:, :6], second[:6, 6:]]))
    inside = influence(frames.beams([bar], [length]), np.array([place * length]))[0]
    size = np.r_[np.ones(3), np.full(3, length)]  # mm and rad made alike
    assert np.abs((inside - middle) * size[:, None] / np.r_[size, size]).max() < 1e-8


def test_movement_along_a_cantilever(frames):
    """w(x) = F x²(3L - x)/(6EI) + F x/(GA), turn F x(2L - x)/(2EI); closed form."""
    L, F, Iy, Asz = 800.0, 1500.0, 2.7e6, 600.0
    m, tip = cantilever(frames, frames.Bar(E=E, G=G, A=1500.0, Iy=Iy, Iz=0.9e6, J=2e6, Asz=Asz), L)
    m.load(tip, (0, 0, F))
    s = m.solve()
    for x in (0.0, 100.0, 333.0, 800.0):
        u = s.inside(0, x)
        bending, shear = F * x**2 * (3 * L - x) / (6 * E * Iy), F * x / (G * Asz)
        assert u[2] == pytest.approx(bending + shear, rel=EXACT, abs=1e-15)
        assert -u[4] == pytest.approx(F * x * (2 * L - x) / (2 * E * Iy), rel=EXACT, abs=1e-15)


def test_unsymmetric_section_bends_about_its_principal_axes(frames):
    """An angle-like section under an upright force at the tip.  By hand: principal axes turned by alpha, tan(2 alpha) =
    2 Iyz/(Izz - Iyy), the force resolved along them, F L³/(3EI) on each, the movements added up."""
    L, F, Iy, Iz, Iyz = 900.0, 1000.0, 2.0e6, 0.8e6, -0.7e6
    alpha = 0.5 * atan2(2 * Iyz, Iz - Iy)  # axis 1 from y towards z: the one with the greater int s1² dA
    mean, radius = (Iy + Iz) / 2, sqrt(((Iy - Iz) / 2) ** 2 + Iyz**2)
    along_1, along_2 = F * sin(alpha), F * cos(alpha)
    d1, d2 = along_1 * L**3 / (3 * E * (mean + radius)), along_2 * L**3 / (3 * E * (mean - radius))
    m, tip = cantilever(frames, frames.Bar(E=E, G=G, A=1500.0, Iy=Iy, Iz=Iz, Iyz=Iyz, J=2e6), L, 2)
    m.load(tip, (0, 0, F))
    u = m.solve().move(tip)
    assert u[1] == pytest.approx(d1 * cos(alpha) - d2 * sin(alpha), rel=EXACT)
    assert u[2] == pytest.approx(d1 * sin(alpha) + d2 * cos(alpha), rel=EXACT)
    assert u[1] > 0  # Iyz < 0: material where y and z differ in sign; an upward force then drives it to +y


def test_coupled_shear_moves_sideways(frames):
    """Shear flexibility with a coupling term: movement f V L beside the bending, both directions; by hand."""
    L, F = 200.0, 1000.0
    bar = frames.Bar(E=E, G=G, A=1500.0, Iy=2e6, Iz=2e6, J=2e6, Asy=400.0, Asz=500.0, shear_yz=0.0005)
    m, tip = cantilever(frames, bar, L, 2)
    m.load(tip, (0, 0, F))
    u = m.solve().move(tip)
    assert u[1] == pytest.approx(F * L * 0.0005 / G, rel=EXACT)
    assert u[2] == pytest.approx(F * L**3 / (3 * E * 2e6) + F * L / (G * 500.0), rel=EXACT)


def test_force_beside_the_shear_centre_twists(frames):
    """Channel rail open inward: shear centre 30 mm outboard of the reference line, centroid 12 mm inboard.  A force
    through the centroid twists by F (yc - ys) L/(GJ), one through the shear centre not at all; by hand."""
    L, F, J = 1000.0, 1000.0, 5e4
    bar = frames.Bar(E=E, G=G, A=1500.0, Iy=2e6, Iz=0.5e6, J=J, centroid=(-12.0, 0.0), shear_centre=(30.0, 0.0))
    for y, torque in ((-12.0, -42.0 * F), (30.0, 0.0)):
        m, tip = cantilever(frames, bar, L, 2)
        m.load(tip, (0, 0, F), at=(0, y, 0))
        s = m.solve()
        assert s.move(tip)[3] == pytest.approx(torque * L / (G * J), rel=EXACT, abs=1e-12)
        assert s.section(0, 250.0)[3] == pytest.approx(torque, rel=EXACT, abs=1e-6 * F)
        # the shear centre itself moves as if nothing twisted
        assert s.move(tip)[2] + 30.0 * s.move(tip)[3] == pytest.approx(F * L**3 / (3 * E * 2e6), rel=EXACT)


def test_shear_centre_above_the_line_twists_under_a_side_force(frames):
    """The same for a force to the right with the shear centre zs above the line: T = +zs Fy; by hand."""
    L, F, J = 1000.0, 1000.0, 5e4
    bar = frames.Bar(E=E, G=G, A=1500.0, Iy=2e6, Iz=0.5e6, J=J, shear_centre=(0.0, 25.0))
    m, tip = cantilever(frames, bar, L)
    m.load(tip, (0, F, 0))
    s = m.solve()
    assert s.section(0, 250.0)[3] == pytest.approx(25.0 * F, rel=EXACT)
    assert s.move(tip)[3] == pytest.approx(25.0 * F * L / (G * J), rel=EXACT)


def test_pull_on_the_line_bends_about_the_centroid(frames):
    """Centroid at (yc, zc): a pull on the reference line bends with My = -zc F and Mz = +yc F; by hand."""
    L, F, yc, zc = 1000.0, 10_000.0, 8.0, -20.0
    bar = frames.Bar(E=E, G=G, A=1500.0, Iy=2e6, Iz=0.5e6, J=5e4, centroid=(yc, zc))
    m, tip = cantilever(frames, bar, L)
    m.load(tip, (F, 0, 0))
    s = m.solve()
    n, _, _, _, my, mz = s.section(0, 600.0)
    assert (n, my, mz) == pytest.approx((F, -zc * F, yc * F), rel=EXACT)
    # the centroid moves F L/(EA) rearward; My > 0 stretches the top, so that the tip goes down
    ux, uy, uz, _, ry, rz = s.move(tip)
    assert ux + zc * ry - yc * rz == pytest.approx(F * L / (E * 1500), rel=EXACT)
    assert uz == pytest.approx(zc * F * L**2 / (2 * E * 2e6), rel=EXACT)
    assert uy == pytest.approx(yc * F * L**2 / (2 * E * 0.5e6), rel=EXACT)


@pytest.mark.parametrize("what", ["A", "J"])
def test_infinite_area_or_torsion_constant_does_not_yield(frames, what):
    """Stretch and twist under loads as large as the bending ones vanish beside the bending: below 1e-6 of it."""
    bar = replace(frames.Bar(E=E, G=G, A=1500.0, Iy=2e6, Iz=2e6, J=2e6), **{what: np.inf})
    m, tip = cantilever(frames, bar, 1000.0, 4)
    m.load(tip, (1000.0, 0, 1000.0), (1e6, 0, 0))
    u = m.solve().move(tip)
    assert u[2] == pytest.approx(1000.0 * 1000.0**3 / (3 * E * 2e6), rel=EXACT)
    stiff, soft = (u[0], u[3]) if what == "A" else (1000.0 * u[3], u[0])
    assert 0 < stiff < 1e-6 * u[2]
    assert soft == pytest.approx(1e9 / (G * 2e6) if what == "A" else 1e6 / (E * 1500), rel=EXACT)


def test_taking_members_keeps_their_properties(frames):
    bars = [
        frames.Bar(E=E, G=G, A=a, Iy=a * 1e3, Iz=a * 2e3, J=a * 10, Asy=a / 3, centroid=(a, 1), shear_centre=(2, a))
        for a in (200.0, 300.0, 400.0)
    ]
    p = frames.beams(bars, [100.0, 200.0, 300.0])
    assert len(p) == 3
    index = np.array([2, 0, 2])
    assert len(p.take(index)) == 3
    assert np.array_equal(stiffness(p.take(index)), stiffness(p)[index])
