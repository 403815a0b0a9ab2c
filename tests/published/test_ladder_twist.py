"""Ladders in twist: closed forms of grillage theory (slope deflection, energy), derived for these tests.

Four corners: three held, a force at the fourth; the lift w of every corner in the twisted shape is a quarter of the
loaded corner's movement, the relative end twist 4w/b, so K = F b^2/(4w), here in N m per degree.
"""

from math import atan, degrees, pi

import pytest

E, G, L, B = 210_000.0, 81_000.0, 2400.0, 800.0
RAIL, CROSS = (2.5e6, 1.2e6), (1.5e6, 1.0e6)  # I, J in mm4


def twisted(frames, stations, bending=1.0):
    """The ladder with a force of 100 N up at its rear right corner."""
    rail, cross = (
        frames.Bar(E=E, G=G, A=1000.0, Iy=i * bending, Iz=i * bending, J=j) for i, j in (RAIL, CROSS)
    )  # fmt: skip
    ladder = frames.ladder(stations, B / 2, rail, cross)
    m = ladder.model
    for corner in (ladder.left[0], ladder.right[0], ladder.left[-1]):
        m.hold(corner, "uz")
    m.hold(ladder.left[0], "ux uy rz")
    m.load(ladder.right[-1], (0, 0, 100.0))
    return ladder, m.solve()


def stiffness_per_degree(answer, ladder):
    return 100.0 * B**2 / answer.move(ladder.right[-1])[2] * pi / 180 / 1000


def test_two_end_crossmembers(frames):
    """TR-09: exact for a beam grillage, 1e-5 by rounding of the printed value."""
    ladder, answer = twisted(frames, [0.0, L])
    assert stiffness_per_degree(answer, ladder) == pytest.approx(1707.06276, rel=1e-5)


def test_end_forces_of_the_two_crossmember_ladder(frames):
    """TR-09's own slope deflection solved here by hand: rail torque 2GJr phi/L = crossmember end moment
    (6EIc/b)(2w/b - phi), crossmember torque 2GJc psi/b = rail end moment (6EIr/L)(2w/L - psi)."""
    ladder, answer = twisted(frames, [0.0, L])
    w = answer.move(ladder.right[-1])[2] / 4
    (ir, jr), (ic, jc) = RAIL, CROSS
    phi = 2 * w / B / (1 + G * jr * B / (3 * E * ic * L))
    psi = 2 * w / L / (1 + G * jc * L / (3 * E * ir * B))
    right = answer.section(ladder.rails[1], 0)
    assert right[3] == pytest.approx(2 * G * jr * phi / L, rel=1e-9)  # rear right up: right-handed, positive
    assert answer.section(ladder.cross[0], 0)[3] == pytest.approx(-2 * G * jc * psi / B, rel=1e-9)
    assert answer.M(ladder.rails[1], 0) == pytest.approx(6 * E * ir / L * (2 * w / L - psi), rel=1e-9)
    assert answer.M(ladder.cross[1], 0) == pytest.approx(6 * E * ic / B * (2 * w / B - phi), rel=1e-9)
    cross = answer.section(ladder.cross[0], 0)
    assert 2 * abs(cross[3]) / L + 2 * right[3] / B == pytest.approx(100.0, rel=1e-9)  # corner force


def test_five_crossmembers_rigid_in_bending(frames):
    """TR-10: K = 2GJr/L + n GJc b/L^2, the upper bound; the limit is reached to about 1e-6 with bending times 1e6."""
    ladder, answer = twisted(frames, [0.0, 600.0, 1200.0, 1800.0, L], bending=1e6)
    assert stiffness_per_degree(answer, ladder) == pytest.approx(2395.4644, rel=1e-4)


def test_stiffness_from_a_twist_test(frames):
    """TR-11: K = T/atan((lift + drop)/b); one axle held, 1200 N up and down 1100 mm apart at the other, 6.2 mm lift and
    5.8 mm drop measured: 1320 N m, 0.625020074 degrees, 2111.93217 N m per degree.  A rail of that stiffness between
    rigid arms must turn and move so.  Movements to 5e-5: the frame is linear, it takes the angle for its tangent."""
    assert degrees(atan((6.2 + 5.8) / 1100)) == pytest.approx(0.625020074, rel=1e-6)
    m = frames.Model()
    front, rear = m.node(0, 0, 0), m.node(2000, 0, 0)
    bar = frames.Bar(E=E, G=1.0, A=1e3, Iy=1e6, Iz=1e6, J=2111.93217 * 1000 * 180 / pi * 2000.0)
    m.member(front, rear, bar)
    m.hold(front)
    for y in (550.0, -550.0):
        m.load(rear, (0, 0, 1200.0 if y > 0 else -1200.0), at=(0, y, 0))
    answer = m.solve()
    assert answer.section(0, 1000.0)[3] / 1e6 == pytest.approx(1.320, rel=1e-6)
    assert degrees(answer.move(rear)[3]) == pytest.approx(0.625020074, rel=1e-6)
    lift, drop = (answer.frame.row(rear, (0, y, 0), (0, 0, 1, 0, 0, 0))[1] @ answer.move(rear) for y in (550, -550))
    assert lift - drop == pytest.approx(6.2 + 5.8, rel=5e-5)
