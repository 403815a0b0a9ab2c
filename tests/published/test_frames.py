"""Space frames, portals and grids of text books against the frame solver; each test names its source and status.

Book units are kept: the kernels take any consistent set.  Member axes follow this project (y' = z' x x').
"""

import numpy as np
import pytest


def test_three_members_meeting_at_a_joint(frames):
    """FR-01: D. L. Logan, A First Course in the Finite Element Method, 4th ed., Example 5.8 (kip, inch).
    Status: answers recalled; a copy of inputs and printed answers was seen elsewhere.  Printed to 3 or 4 figures."""
    bar = frames.Bar(E=30e3, G=10e3, A=10, Iy=100, Iz=100, J=50)
    m = frames.Model()
    joint = m.node(0, 0, 0)
    for place, upright in (((-100, 0, 0), (0, 1, 0)), ((0, 0, -100), (0, 1, 0)), ((0, -100, 0), (1, 0, 0))):
        far = m.node(*place)
        m.hold(far)
        m.member(far, joint, bar, z=upright)
    m.load(joint, (0, -50, 0), (-1000, 0, 0))
    u = m.solve().move(joint)
    assert u == pytest.approx([7.098e-5, -0.014, -0.002352, -0.003996, 1.78e-5, -0.0001033], rel=1e-3)


# Joint 1, then the reactions of supports 2, 3, 4
KASSIMALI = {
    0: [-0.0013522, -0.0027965, -0.001812, -0.0030021, 0.0010569, 0.0064986],
    1: [5.3757, 44.106, -0.74272, 2.1722, 58.987, 2330.5],
    2: [-4.6249, 11.117, -6.4607, -515.55, -0.76472, 369.67],
    3: [-0.75082, 4.7763, 7.2034, -383.5, -60.166, -4.702],
}


def test_rolled_sections_under_a_member_load(frames):
    """FR-02: A. Kassimali, Matrix Analysis of Structures, Example 8.4 (kip, inch; Y up; angles of roll 0, 90, 30).
    Status: from memory, source text not seen; all 24 recalled values reproduced to the printed five figures (5e-4)."""
    bar = frames.Bar(E=29_000, G=11_500, A=32.9, Iz=716, Iy=236, J=15.1)
    m = frames.Model()
    joint, *supports = (m.node(*p) for p in ((0, 0, 0), (-240, 0, 0), (0, -240, 0), (0, 0, -240)))
    m.hold(supports)
    beam = m.member(supports[0], joint, bar, z=(0, 0, 1))  # y' up (+Y)
    m.member(supports[1], joint, bar, z=(0, 0, 1), roll=90)  # upright; y' towards -X before the roll
    m.member(supports[2], joint, bar, z=(-1, 0, 0), roll=30)  # y' up before the roll
    m.line(beam, (0, -0.25, 0))
    m.load(joint, moment=(-1800, 0, 1800))
    s = m.solve()
    assert s.move(joint) == pytest.approx(KASSIMALI[0], rel=5e-4)
    for k in (1, 2, 3):
        assert s.reaction(supports[k - 1]) == pytest.approx(KASSIMALI[k], rel=5e-4)


def test_grid_of_two_members(frames):
    """FR-04: A. J. M. Ferreira, N. Fantuzzi, MATLAB Codes for Finite Element Analysis, grid problem 14 (N, m).
    Status: inputs confirmed in text; printed results not seen, values computed apart (MY and R by hand statics)."""
    bar = frames.Bar(E=210e9, G=84e9, A=0.02, Iy=20e-5, Iz=20e-5, J=5e-5)
    m = frames.Model()
    tip, *fixed = (m.node(*p) for p in ((4, 0, 0), (0, 3, 0), (0, -3, 0)))
    for f in fixed:
        m.hold(f)
        m.member(tip, f, bar)
    m.load(tip, (0, 0, -10_000))
    s = m.solve()
    assert s.move(tip)[2] == pytest.approx(-0.0047622, rel=1e-4)
    assert s.move(tip)[4] == pytest.approx(0.00176106, rel=1e-4)
    for f in fixed:
        assert np.abs(s.reaction(f)[2:5]) == pytest.approx([5000.0, 13_890.5, 20_000.0], rel=1e-4)


@pytest.mark.parametrize("parts", [1, 6])
def test_portal_frame_under_a_side_load(frames, parts):
    """FR-06: Kleinlogel's rigid-frame formulas: foot (P h/2)(3k + 1)/(6k + 1), corner (P h/2) 3k/(6k + 1), sway
    (P h3/12EI1)(3k + 2)/(6k + 1), k = (I2/I1)(h/l).  Status: from memory; closed form.  1e-5: infinite area."""
    column = frames.Bar(E=210_000.0, Iy=1.2e6, Iz=1.2e6)
    beam = frames.Bar(E=210_000.0, Iy=2.4e6, Iz=2.4e6)
    m = frames.Model()
    foot, corner, far, far_foot = (m.node(*p) for p in ((0, 0, 0), (0, 0, 1500), (2000, 0, 1500), (2000, 0, 0)))
    _, up = m.chain(foot, corner, column, parts, z=(-1, 0, 0))
    _, across = m.chain(corner, far, beam, parts)
    m.chain(far, far_foot, column, parts, z=(1, 0, 0))
    m.plane(frames.OUT_OF_PLANE_XZ)
    m.hold((foot, far_foot))
    m.load(corner, (3000, 0, 0))
    s = m.solve()
    assert abs(s.reaction(foot)[4]) == pytest.approx(1_237_500.0, rel=1e-5)
    assert abs(s.M(across[0], 0)) == pytest.approx(1_012_500.0, rel=1e-5)
    assert abs(s.M(up[-1], 1500 / parts)) == pytest.approx(1_012_500.0, rel=1e-5)
    assert s.reaction(far_foot)[2] == pytest.approx(1012.5, rel=1e-5)
    assert s.reaction(foot)[2] == pytest.approx(-1012.5, rel=1e-5)
    assert s.move(corner)[0] == pytest.approx(2.17633929, rel=1e-5)


def test_space_portal_under_a_side_load(frames):
    """FR-08: A. J. M. Ferreira, MATLAB Codes for Finite Element Analysis, problem 13 (N, m; Y up).
    Status: inputs confirmed in text; printed results not seen: the values come from one other frame program written for
    the purpose, a regression, no book answer."""
    bar = frames.Bar(E=210e9, G=84e9, A=0.02, Iy=10e-5, Iz=20e-5, J=5e-5)
    m = frames.Model()
    plan = ((0, 0), (0, 4), (4, 4), (4, 0))
    feet = [m.node(x, 0, z) for x, z in plan]
    tops = [m.node(x, 5, z) for x, z in plan]
    for foot, top in zip(feet, tops, strict=True):
        m.hold(foot)
        m.member(foot, top, bar, z=(0, 0, 1))
    for a, b in zip(tops, tops[1:] + tops[:1], strict=True):
        along = m.nodes[b] - m.nodes[a]
        m.member(a, b, bar, z=np.cross(along, (0, 1, 0)))  # y' up
    m.load(tops[2], (-15_000, 0, 0))
    s = m.solve()
    loaded, opposite = s.move(tops[2]), s.move(tops[0])
    assert loaded[[0, 2, 4]] == pytest.approx([-0.00213205233, 0.000589345874, -0.000359396373], rel=1e-6)
    assert opposite[0] == pytest.approx(-0.000398980931, rel=1e-6)


def test_grid_of_three_members(frames):
    """FR-10: D. L. Logan, A First Course in the Finite Element Method, 4th ed., Example 5.5 (lb, inch), plan in feet.
    Status: from memory, source text not seen; layout accepted because all answers match.  Printed to 3 figures (3e-3);
    rotations as magnitudes, their sign hangs on the book's hand."""
    bar = frames.Bar(E=30e6, G=12e6, A=100.0, Iy=400, Iz=400, J=110)
    m = frames.Model()
    joint, *fixed = (m.node(12 * x, 12 * y, 0) for x, y in ((20, 10), (0, 20), (0, 0), (20, 0)))
    for f in fixed:
        m.hold(f)
        m.member(joint, f, bar)
    m.load(joint, (0, 0, -100_000))
    s = m.solve()
    assert s.move(joint)[2] == pytest.approx(-2.83, rel=3e-3)
    assert np.abs(s.move(joint)[3:5]) == pytest.approx([0.0295, 0.0169], rel=3e-3)
    assert sum(s.reaction(f)[2] for f in fixed) == pytest.approx(100_000.0, rel=1e-9)  # statics
