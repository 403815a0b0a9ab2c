"""Rigid arms, soft joints and releases against hand calculations."""

import numpy as np
import pytest

E, G = 205_000.0, 79_000.0
EXACT = 1e-9  # closed forms, rounding only


@pytest.fixture(scope="module")
def bar(frames):
    return frames.Bar(E=E, G=G, A=1500.0, Iy=2.0e6, Iz=1.0e6, J=8.0e5, Asy=400.0, Asz=600.0)


def test_rigid_arm_against_a_very_stiff_member(frames, bar):
    """A crossmember between two rails at its true ends, 60 and 45 mm off the reference lines and dropped by 80: arms by
    transformation, or short members 1e6 times stiffer than the rails.  They yield about 1e-6 of the greatest movement,
    up to 1e-4 of the smallest."""
    stiff = frames.Bar(E=1e6 * E, G=1e6 * G, A=1500.0, Iy=2.0e6, Iz=2.0e6, J=2.0e6)
    answers = []
    for by_arm in (True, False):
        m = frames.Model()
        corners = [m.node(x, y, 0) for x, y in ((0, -400), (900, -400), (0, 400), (900, 400))]
        m.member(corners[0], corners[1], bar)
        m.member(corners[2], corners[3], bar)
        left, right = (20.0, 60.0, -80.0), (-10.0, -45.0, -80.0)
        if by_arm:
            m.member(corners[1], corners[3], bar, arms=(left, right))
        else:
            ends = [m.node(*(m.nodes[c] + arm)) for c, arm in ((corners[1], left), (corners[3], right))]
            m.member(corners[1], ends[0], stiff, z=(1, 0, 0))
            m.member(corners[3], ends[1], stiff, z=(1, 0, 0))
            m.member(ends[0], ends[1], bar)
        m.hold(corners[0])
        m.hold(corners[2])
        m.load(corners[3], (700, -300, 1000), (1e5, 2e5, -1e5))
        s = m.solve()
        answers.append(np.concatenate([s.move(corners[1]), s.move(corners[3])]))
    assert answers[0] == pytest.approx(answers[1], rel=1e-4)


def test_a_force_on_an_arm_is_a_force_and_its_moment(frames, bar):
    """A tip force 150 mm to the right of a rail and 40 mm below: movement of the place it acts at, by hand."""
    L, F, arm = 1000.0, 800.0, np.array([0.0, 150.0, -40.0])
    m = frames.Model()
    root, tip = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(root, tip, bar)
    m.hold(root)
    m.load(tip, (0, 0, F), at=arm)
    s = m.solve()
    twist = 150 * F * L / (G * 8.0e5)
    down = F * L**3 / (3 * E * 2.0e6) + F * L / (G * 600.0)
    unknowns, row = s.frame.row(tip, arm, [0, 0, 1, 0, 0, 0])
    assert s.u[unknowns, 0] @ row == pytest.approx(down + 150 * twist, rel=EXACT)
    unknowns, row = s.frame.row(tip, arm, [0, 1, 0, 0, 0, 0])
    assert s.u[unknowns, 0] @ row == pytest.approx(40 * twist, rel=EXACT)


# what yields at the root of a cantilever of 1000 mm and what that adds to the tip: k in N/mm or N mm/rad
L, F, C = 1000.0, 1000.0, 3.0e5
SOFT = {
    "ux": (2e4, 0, F / 2e4),
    "uy": (5e3, 1, F / 5e3),
    "uz": (5e3, 2, F / 5e3),
    "rx": (4e7, 3, C / 4e7),
    "ry": (3e8, 2, F * L**2 / 3e8),
    "rz": (3e8, 1, F * L**2 / 3e8),
}


@pytest.mark.parametrize("end", [0, 1], ids=["first end", "second end"])
@pytest.mark.parametrize("motion", SOFT)
def test_soft_joint_adds_its_own_movement(frames, bar, motion, end):
    """Cantilever on a soft joint: tip = rigid tip + F/k or F L²/k (ry, rz) or C/k (rx); by hand.  The member may run to
    the joint (second end) or from it."""
    k, row, more = SOFT[motion]
    tips = []
    for soft in (False, True):
        m = frames.Model()
        root, tip = m.node(0, 0, 0), m.node(L, 0, 0)
        m.member(*((root, tip) if end == 0 else (tip, root)), bar)
        m.hold(root)
        m.load(tip, (F, F, F), (C, 0, 0))
        if soft:
            m.soften(0, end, motion, k)
        tips.append(m.solve().move(tip))
    assert tips[1][row] - tips[0][row] == pytest.approx(more, rel=1e-8)  # a difference: one digit less


def test_soft_joint_acts_about_the_vehicle_axes_at_the_members_true_end(frames, bar):
    """Crossmember (x' to the right) begun 50 mm inboard of the rail, soft about x (its bending in the vertical plane)
    there: the spring sees F (L - 50), not F L; by hand."""
    k = 2.0e8
    tips = []
    for soft in (False, True):
        m = frames.Model()
        root, tip = m.node(0, 0, 0), m.node(0, L, 0)
        m.member(root, tip, bar, arms=((0, 50, 0), (0, 0, 0)))
        m.hold(root)
        m.load(tip, (0, 0, -F))
        if soft:
            m.soften(0, 0, "rx", k)
        tips.append(m.solve().move(tip)[2])
    assert tips[0] == pytest.approx(-F * 950**3 / (3 * E * 2.0e6) - F * 950 / (G * 600.0), rel=EXACT)
    assert tips[1] - tips[0] == pytest.approx(-F * 950**2 / k, rel=1e-8)


def test_portal_with_soft_corners(frames):
    """Fixed beam of span L with rotational springs k at both ends under a central force: end moment
    (F L/8)/(1 + 2EI/(k L)) (slope deflection: the fixed-end moment less its share of turning); by hand."""
    B, k, force = E * 2.0e6, 3.0e8, 4000.0  # B = EI
    bar = frames.Bar(E=E, G=G, A=1500.0, Iy=2.0e6, Iz=1.0e6, J=8e5)
    m = frames.Model()
    a, c, b = (m.node(x, 0, 0) for x in (0, L / 2, L))
    m.member(a, c, bar)
    m.member(c, b, bar)
    m.hold(a)
    m.hold(b)
    m.soften(0, 0, "ry", k)
    m.soften(1, 1, "ry", k)
    m.load(c, (0, 0, -force))
    s = m.solve()
    assert s.M(0, 0) == pytest.approx(-force * L / 8 / (1 + 2 * B / (k * L)), rel=EXACT)
    assert s.M(1, L / 2) == pytest.approx(s.M(0, 0), rel=EXACT)


@pytest.mark.parametrize(("motion", "index"), [("ux", 0), ("uy", 1), ("uz", 2), ("rx", 3), ("ry", 4), ("rz", 5)])
def test_release_carries_nothing(frames, bar, motion, index):
    """The force or moment of a released end in that direction is nothing, on a member built in at both ends and loaded
    all round between them."""
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(a, b, bar)
    m.hold(a)
    m.hold(b)
    m.soften(0, 1, motion)
    m.line(0, (0.7, 0.5, -2.0), start=100.0, end=800.0, point=(30.0, -20.0))
    s = m.solve()
    at_end = s.section(0, L)
    assert abs(at_end[index]) < 1e-9 * np.abs(s.reaction(a)).max()
    others = np.delete(at_end, index)
    assert np.all(np.abs(others) > 1e-3)


def test_release_equals_a_support_that_lets_turn(frames, bar):
    """A propped beam by release about y at its second end = the node free to turn."""
    answers = []
    for released in (True, False):
        m = frames.Model()
        a, b = m.node(0, 0, 0), m.node(L, 0, 0)
        m.member(a, b, bar)
        m.hold(a)
        m.hold(b, "ux uy uz rx ry rz" if released else "ux uy uz rx rz")
        if released:
            m.soften(0, 1, "ry")
        m.line(0, (0, 0, -2.0))
        s = m.solve()
        answers.append([s.reaction(a)[2], s.reaction(a)[4], s.reaction(b)[2], s.M(0, 400.0)])
    assert answers[0] == pytest.approx(answers[1], rel=EXACT)
    shear = 3 * E * 2.0e6 / (G * 600.0 * L**2)  # propped beam with shear: 3/8 w L (1 + 4 s/3)/(1 + s), by hand
    assert answers[0][2] == pytest.approx(3 / 8 * 2.0 * L * (1 + 4 / 3 * shear) / (1 + shear), rel=EXACT)


@pytest.mark.parametrize(("stiffness", "tolerance"), [(1e13, 1e-3), (1e16, 1e-6)])
def test_a_very_stiff_joint_is_a_rigid_one(frames, bar, stiffness, tolerance):
    """EI/(k L) is 4e-5 and 4e-8: the tip follows in proportion."""
    tips = []
    for k in (None, stiffness):
        m = frames.Model()
        root, tip = m.node(0, 0, 0), m.node(L, 0, 0)
        m.member(root, tip, bar)
        m.hold(root)
        m.load(tip, (0, 0, F))
        if k:
            m.soften(0, 0, "ry", k)
        tips.append(m.solve().move(tip)[2])
    assert tips[1] == pytest.approx(tips[0], rel=tolerance)
    assert tips[1] > tips[0]


@pytest.mark.parametrize(("motion", "index"), [("uz", 2), ("uy", 1), ("ux", 0)])
def test_springs_to_ground_of_the_test_builder(frames, bar, motion, index):
    """The builder's own springs: a held bar on one spring moves by F/k."""
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(L, 0, 0)
    m.member(a, b, bar)
    for node in (a, b):
        m.hold(node, " ".join(d for d in ("ux", "uy", "uz") if d != motion))
        m.spring(node, motion, 500.0)
    m.hold(a, "rx")
    force = np.zeros(3)
    force[index] = 600.0
    m.load(a, force)
    m.load(b, force)
    s = m.solve()
    assert s.move(a)[index] == pytest.approx(600.0 / 500.0, rel=EXACT)
