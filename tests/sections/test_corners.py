"""Torsion constant of boxes with sharp corners against a two-dimensional finite-element solution."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.sections import Box, box_torsion, properties
from ladderfe.sections.corners import corner_factor, corner_factors, squares

#: depth, width, top, bottom, minus, plus -> J in mm4 by sectionproperties 3 (a general library; triangles of 0.8 mm2
#: and less, 0.02 %).  Solved once; the first is solved anew below.
SOLVED = {
    (70, 60, 3, 3, 3, 3): 722_570,
    (80, 60, 3, 3, 3, 3): 881_560,
    (120, 60, 3, 3, 3, 3): 1_559_776,
    (120, 60, 2, 4, 3, 1.5): 1_157_008,
}


def box(depth, width, top, bottom, minus, plus, radius=0.0):
    return Box(depth=depth, width=width, top=top, bottom=bottom, minus=minus, plus=plus, radius=radius)


@pytest.mark.parametrize("sizes", SOLVED)
def test_against_a_2d_solution(sizes):
    """Within 0.2 % (what is left is of second order in t/b); Bredt's mid-lines alone are 1.5 to 2.3 % low."""
    assert box_torsion(box(*sizes)) == pytest.approx(SOLVED[sizes], rel=2e-3)
    assert properties(box(*sizes).section()).J / SOLVED[sizes] < 0.985


def test_one_of_them_solved_anew():
    from sectionproperties.analysis import Section
    from sectionproperties.pre.library import rectangular_hollow_section

    made = rectangular_hollow_section(d=70, b=60, t=3, r_out=0, n_r=1)
    section = Section(made.create_mesh(mesh_sizes=[2.0]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    assert float(section.get_j()) == pytest.approx(SOLVED[70, 60, 3, 3, 3, 3], rel=5e-4)


def test_a_square_corner():
    """(2/pi) (pi/2 - ln 2) = 0.5587: the corner of a square coaxial line (classical, value from memory)."""
    assert squares(3.0, 3.0) == pytest.approx(0.5587, abs=1e-4)


@given(a=st.floats(0.5, 8), b=st.floats(0.5, 8), scale=st.floats(0.1, 10))
def test_corners_are_symmetric_and_without_size(a, b, scale):
    assert squares(a, b) == pytest.approx(squares(b, a), rel=1e-9)
    assert squares(scale * a, scale * b) == pytest.approx(squares(a, b), rel=1e-9)
    assert squares(a, b) < (a / b + b / a) / 2


@pytest.mark.parametrize(("radius", "solved"), [(0.1, 722_551), (3.0, 721_042), (6.0, 725_560)])
def test_rounded_corners(radius, solved):
    """70 x 60 x 3, J by the same library with eight points a corner: within 0.5 %; no jump from 0 to 0.1 mm."""
    assert box_torsion(box(70, 60, 3, 3, 3, 3, radius=radius)) == pytest.approx(solved, rel=5e-3)


def test_well_rounded_corners_are_left_as_they_are():
    round_box = box(80, 60, 3, 3, 3, 3, radius=6)
    q = properties(round_box.section())
    assert box_torsion(round_box) == pytest.approx(q.J + q.J_plates, rel=1e-12)


def test_many_boxes_have_the_factors_of_each():
    """Sharp, hardly rounded and well rounded, in several thicknesses; rounding is of a few operations."""
    outline = np.array([(120.0, 60.0, 0.0), (80.0, 60.0, 3.5), (80.0, 75.0, 9.0)])
    walls = np.random.default_rng(3).uniform(1.0, 4.0, (5, 3, 4))  # minus, plus, top, bottom
    found = corner_factors(outline, walls)
    for state, row in zip(walls, found, strict=True):
        for (depth, width, radius), (minus, plus, top, bottom), factor in zip(outline, state, row, strict=True):
            one = box(depth, width, top, bottom, minus, plus, radius)
            assert factor == pytest.approx(corner_factor(one), rel=1e-14)
    assert (found[:, 2] == 1).all()
    assert (found[:, :2] > 1).all()
