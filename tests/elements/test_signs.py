"""The sign convention, fixed by eight cases worked by hand.

Axes: x rearward, y to the right, z up; member axes x' along the member, z' up, y' = z' x x'.  On the face with outward
normal +x': N = int s dA, My = int s z dA, Mz = -int s y dA, T right-handed about x'; diagrams M = -My (sagging
positive), V = -Vz = dM/dx.  A rail is 1000 mm long and built in at its front end unless the case says otherwise.

Each row: what is done, what the section at the probe carries (N Vy Vz T My Mz, in N and N mm, by hand), and where the
plain beam stress s = N/A + My z/Iy - Mz y/Iz is tension: a point (y', z') of the section, None where nothing is.
"""

from dataclasses import dataclass

import pytest

E, G = 205_000.0, 79_000.0
A, IY, IZ, J = 900.0, 2.5e6, 1.0e6, 1.2e6
TOP, BOTTOM, LEFT = (0.0, 50.0), (0.0, -50.0), (-30.0, 0.0)
REARWARD = LEFT  # of a crossmember: y' looks forward


@dataclass(frozen=True)
class Row:
    """One case: how to build it, then (member, x, resultants, tension side) for every probe."""

    build: str
    force: tuple[float, float, float]
    moment: tuple[float, float, float]
    probes: tuple


ROWS = {
    "1 pull at the rearward end": Row("rail", (1000, 0, 0), (0, 0, 0), ((0, 400, (1000, 0, 0, 0, 0, 0), TOP),)),
    "2 push at the rearward end": Row("rail", (-1000, 0, 0), (0, 0, 0), ((0, 400, (-1000, 0, 0, 0, 0, 0), None),)),
    # weight at the middle of a span of 2000 mm: M = +F L/4 = +500 000 there, at a quarter +250 000
    "3 sagging beam": Row("span", (0, 0, -1000), (0, 0, 0), ((0, 1000, (0, 0, -500, 0, -500_000, 0), BOTTOM),)),
    # to the right at the rearward end: +F on the face, F (L - x) about z, the left side stretches
    "4 sideways bending": Row("rail", (0, 1000, 0), (0, 0, 0), ((0, 400, (0, 1000, 0, 0, 0, 600_000), LEFT),)),
    "5 torsion": Row("rail", (0, 0, 0), (70_000, 0, 0), ((0, 400, (0, 0, 0, 70_000, 0, 0), None),)),
    # the same weight: V = dM/dx is +500 ahead of it and -500 behind it, hence Vz -500 and +500
    "6 shear either way": Row(
        "span", (0, 0, -1000), (0, 0, 0),
        ((0, 500, (0, 0, -500, 0, -250_000, 0), BOTTOM), (1, 500, (0, 0, 500, 0, -250_000, 0), BOTTOM)),
    ),
    # a crossmember of 800 mm, x' to the right, y' forward: pushed rearward and down at its middle.  Rearward is -y':
    # +250 from the left support, so -250 on the face; the rearward side (y' < 0) and the bottom stretch
    "7 crossmember's axes": Row(
        "crossmember", (500, 0, -1000), (0, 0, 0), ((0, 200, (0, -250, -500, 0, -100_000, 50_000), BOTTOM),
                                                    (0, 200, (0, -250, -500, 0, -100_000, 50_000), REARWARD)),
    ),
    # a frame stiff in bending, rear right corner lifted: w = k x y, rails turn by k x about x (twist k, T = +GJk) and
    # crossmembers by -k y about y (T = -GJk); k = 1e-6 rad per mm lifts each corner by 0.4 mm (L = 2000, b = 800)
    "8 twist, rear right corner up": Row(
        "ladder", (0, 0, 0), (0, 0, 0),
        ((0, 500, (0, 0, 0, G * J * 1e-6, 0, 0), None), (1, 500, (0, 0, 0, G * J * 1e-6, 0, 0), None),
         (2, 400, (0, 0, 0, -G * J * 1e-6, 0, 0), None), (3, 400, (0, 0, 0, -G * J * 1e-6, 0, 0), None)),
    ),
}  # fmt: skip


def rail(frames, bar):
    m = frames.Model()
    front, rear = m.node(0, 0, 0), m.node(1000, 0, 0)
    m.member(front, rear, bar)
    m.hold(front)
    return m, rear


def span(frames, bar, along=(1, 0, 0), half=1000.0):
    """A beam on two supports, loaded at its middle."""
    m = frames.Model()
    a, c, b = (m.node(*(k * half * d for d in along)) for k in (-1, 0, 1))
    m.member(a, c, bar)
    m.member(c, b, bar)
    m.hold(a, "ux uy uz rx" if along[0] else "ux uy uz ry")
    m.hold(b, "uy uz" if along[0] else "ux uz")
    return m, c


def crossmember(frames, bar):
    return span(frames, bar, (0, 1, 0), 400.0)


def ladder(frames, bar):
    """L = 2000, b = 800; bending 1e8 times stiffer than given; the force that the two twisting ways take at k = 1e-6:
    K = 2GJ/L + 2GJ b/L², lift 4w = k L b at the one free corner, F = K lift/b²."""
    stiff = frames.Bar(E=E, G=G, A=A, Iy=IY * 1e8, Iz=IZ * 1e8, J=J)
    built = frames.ladder([0.0, 2000.0], 400.0, stiff, stiff)
    m = built.model
    for corner in (built.left[0], built.right[0], built.left[1]):
        m.hold(corner, "uz")
    m.hold(built.left[0], "ux uy rz")
    stiffness = 2 * G * J / 2000 + 2 * G * J * 800 / 2000**2
    m.load(built.right[1], (0, 0, stiffness * 1e-6 * 2000 * 800 / 800**2))
    return m, built.right[1]


BUILD = {"rail": rail, "span": span, "crossmember": crossmember, "ladder": ladder}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS)
def test_sign(frames, row):
    """Statics: 1e-6 of the largest number of the row (case 8: the rigid limit at 1e8 bending)."""
    bar = frames.Bar(E=E, G=G, A=A, Iy=IY, Iz=IZ, J=J)
    m, place = BUILD[row.build](frames, bar)
    m.load(place, row.force, row.moment)
    s = m.solve()
    for member, x, expected, tension in row.probes:
        found = s.section(member, x)
        checked = [3] if row.build == "ladder" else range(6)  # the stiff ladder's bending is not the case's subject
        for i in checked:
            assert found[i] == pytest.approx(expected[i], abs=1e-6 * max(map(abs, expected)))
        n, _, _, _, my, mz = found
        if tension is not None:
            y, z = tension
            assert n / A + my * z / IY - mz * y / IZ > 0
