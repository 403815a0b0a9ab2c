"""Torsion of thin-walled sections: Bredt-Batho closed cells, open walls, several cells.

Source: Bredt-Batho theory of closed cells, J = 4 Am^2 / closed integral ds/t, tau = T/(2 Am t), and J = sum b t^3/3 for
open walls.  Status: from memory, source text not seen; closed forms, re-computed by an independent multi-cell solver.
Tolerance 1e-6 throughout: closed forms, what is left is the digits printed.
"""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

import pytest

from ladderfe.sections import Section, Wall, flow_of, properties, rectangle_torsion

CLOSED_FORM = 1e-6


def loop(corners, thicknesses):
    """Walls around mid-line corners, plates as long as their mid-lines."""
    return Section(tuple(
        Wall(f"wall {i}", corners[i], corners[(i + 1) % len(corners)], t) for i, t in enumerate(thicknesses)))


def box(*thicknesses):
    return loop([(-30.0, -50.0), (30.0, -50.0), (30.0, 50.0), (-30.0, 50.0)], thicknesses)


def test_closed_box_uniform_wall():
    """TR-01: mid-line box 100 x 60 mm, t = 3 mm, T = 1e6 N mm, G = 81000 N/mm2."""
    p = properties(box(3.0, 3.0, 3.0, 3.0))
    assert p.J == pytest.approx(1_350_000.0, rel=CLOSED_FORM)
    assert abs(p.points.tau[:, 2] * 1e6) == pytest.approx(27.7777778, rel=CLOSED_FORM)
    assert 1e6 / (81_000 * p.J) * 1000 == pytest.approx(0.00914494742, rel=CLOSED_FORM)


def test_closed_box_with_one_wall_at_half():
    """TR-02: as TR-01 with one 100 mm wall at 1.5 mm; the ratio is to the sound box."""
    section = box(3.0, 1.5, 3.0, 3.0)
    p = properties(section)
    thin = [i for i, name in enumerate(p.points.wall) if name == "wall 1"]
    assert p.J == pytest.approx(1_028_571.43, rel=CLOSED_FORM)
    assert abs(p.points.tau[thin, 2] * 1e6) == pytest.approx(55.5555556, rel=CLOSED_FORM)
    assert p.J / properties(box(3.0, 3.0, 3.0, 3.0)).J == pytest.approx(0.761904762, rel=CLOSED_FORM)


def test_open_channel():
    """TR-03: mid-lines web 100, flanges 50 mm, t = 3 mm, T = 1e5 N mm, free warping, no root correction."""
    corners = [(50.0, 50.0), (0.0, 50.0), (0.0, -50.0), (50.0, -50.0)]
    p = properties(Section(tuple(Wall("wall", corners[i], corners[i + 1], 3.0) for i in range(3))))
    assert p.J == pytest.approx(1800.0, rel=CLOSED_FORM)
    assert abs(p.points.tau_face) * 1e5 == pytest.approx(166.666667, rel=CLOSED_FORM)
    assert not p.points.tau[:, 2].any()


def test_square_tube_closed_against_slit():
    """TR-04: mid-line square of 60 mm, t = 2 mm; slit along one wall: J_closed/J_slit = (3/4)(a/t)^2.  The slit is
    1e-5 mm wide, which shortens the wall by 4e-8 of the perimeter."""
    closed = loop([(0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0)], (2.0, 2.0, 2.0, 2.0))
    slit = properties(closed.gap("wall 2", 0.5, 1e-5))
    assert properties(closed).J == pytest.approx(432_000.0, rel=CLOSED_FORM)
    assert slit.J == pytest.approx(640.0, rel=CLOSED_FORM)
    assert properties(closed).J / slit.J == pytest.approx(675.0, rel=CLOSED_FORM)
    assert slit.cells == 0


@pytest.mark.parametrize(("slenderness", "coefficient"), [(1, 0.1406), (2, 0.229), (10, 0.312)])
def test_solid_rectangle(slenderness, coefficient):
    """TR-05: Timoshenko & Goodier, Theory of Elasticity, torsion of rectangular bars, table of k1.  Status: from
    memory, source text not seen; a 2D warping solution gives 0.14058, 0.22868, 0.31233.  Tolerance 0.3 %: table
    rounded."""
    assert rectangle_torsion(4.0 * slenderness, 4.0) / (4.0**4 * slenderness) == pytest.approx(coefficient, rel=0.003)
    plate = Section((Wall("plate", (0.0, 0.0), (0.0, 4.0 * slenderness), 4.0),))
    assert properties(plate).J == rectangle_torsion(4.0 * slenderness, 4.0)


def test_two_cell_box():
    """SP-13: mid-line cells 80 x 60 and 40 x 60 mm side by side, outer walls 3 mm, common wall 2 mm, T = 1e6 N mm."""
    a, b, c, d, e, f = (0.0, 0.0), (80.0, 0.0), (120.0, 0.0), (120.0, 60.0), (80.0, 60.0), (0.0, 60.0)
    section = Section((Wall("first", a, b, 3.0), Wall("second", b, c, 3.0), Wall("second", c, d, 3.0),
                       Wall("second", d, e, 3.0), Wall("first", e, f, 3.0), Wall("first", f, a, 3.0),
                       Wall("common", b, e, 2.0)))
    flow, p = flow_of(section), properties(section)
    assert p.cells == 2
    assert p.J == pytest.approx(1_738_936.71, rel=CLOSED_FORM)
    assert flow.at(0, 0.5)[2] * 1e6 == pytest.approx(72.0649895, rel=CLOSED_FORM)
    assert flow.at(1, 0.5)[2] * 1e6 == pytest.approx(64.2033543, rel=CLOSED_FORM)
    assert flow.at(6, 0.5)[2] * 1e6 == pytest.approx(7.86163522, rel=CLOSED_FORM)
