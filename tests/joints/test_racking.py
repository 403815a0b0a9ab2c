"""Racking of box rails: frame stiffness, warping, decay, free ends, and the closed form for the spring about x."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.joints import JointGeometry, k_rx_closed, local_stiffness, racking
from ladderfe.joints.web import LEVEL, _strip, web_stiffness

wall = st.floats(1.0, 6.0)


def joint(**changes):
    """Crossmember 80 x 60 x 3 on a box rail 150 x 75 x 3."""
    return JointGeometry(rail="box", rail_depth=150.0, rail_width=75.0, top=3.0, bottom=3.0, web=3.0, far=3.0,
                         crossmember="box", depth=80.0, width=60.0, wall=3.0).changed(**changes)


@given(web=wall, flange=wall)
def test_frame_of_equal_webs_and_equal_flanges(web, flange):
    """k_D = 24/(hc/Dw + bc/Df) with clear spans; slope-deflection of a rigid rectangular frame, by symmetry each wall
    bends antisymmetrically.  Source: statics of frames, common knowledge, no book.  Exact to rounding."""
    it = joint(web=web, far=web, top=flange, bottom=flange)
    rack = racking(it)
    clear_depth, clear_width = 150 - 2 * flange, 75 - 2 * web
    Dw, Df = (205e3 * t**3 / 12 / (1 - 0.09) for t in (web, flange))
    assert rack.k_D == pytest.approx(24 / (clear_depth / Dw + clear_width / Df), rel=1e-12)
    phi = (Df / clear_width) / (Df / clear_width + Dw / clear_depth)
    assert rack.web == pytest.approx((phi, phi), rel=1e-12)


def test_worked_example():
    """Rail 150 x 75 x 3, crossmember 80 x 60 x 3: k_D 5.711e4 N, I_omega 3.067e9 mm6, 1/beta 324 mm, phi 0.676 (own
    study, figures as printed there); k_rx in solids 3.07e7 N mm/rad (row J030, good to 1.2 %; the closed form leaves
    the walls' shear out: 4 %)."""
    rack = racking(joint())
    assert rack.k_D == pytest.approx(5.711e4, rel=1e-4)
    assert rack.I_omega == pytest.approx(3.067e9, rel=2e-4)
    assert 1 / rack.beta == pytest.approx(324, abs=0.5)
    assert rack.web == pytest.approx((0.676, 0.676), abs=5e-4)
    assert k_rx_closed(local_stiffness(joint()), rack) == pytest.approx(3.07e7, rel=0.04)


@given(top=wall, bottom=wall, web=wall, far=wall)
def test_frame_of_four_walls_upside_down_and_from_the_far_side(top, bottom, web, far):
    it = joint(top=top, bottom=bottom, web=web, far=far)
    rack = racking(it)
    turned = racking(it.changed(top=bottom, bottom=top))
    other = racking(it.changed(web=far, far=web))
    assert turned.k_D == pytest.approx(rack.k_D, rel=1e-9)
    assert turned.web == pytest.approx(rack.web[::-1], rel=1e-9)
    assert (other.k_D, other.beta) == pytest.approx((rack.k_D, rack.beta), rel=1e-9)
    assert other.web == pytest.approx(rack.far, rel=1e-9)
    assert rack.from_far().web == rack.far


def foundation_beam(bending, k, at, length, couple):
    """Deflection under a unit load, or slope under a unit couple, at `at` of a free-free beam on an elastic foundation:
    cubic elements, 1600 to the length, with the consistent foundation matrix."""
    n = 1600
    L = length / n
    bend = bending / L**3 * np.array([[12, 6 * L, -12, 6 * L], [6 * L, 4 * L * L, -6 * L, 2 * L * L],
                                 [-12, -6 * L, 12, -6 * L], [6 * L, 2 * L * L, -6 * L, 4 * L * L]])
    bed = k * L / 420 * np.array([[156, 22 * L, 54, -13 * L], [22 * L, 4 * L * L, 13 * L, -3 * L * L],
                                  [54, 13 * L, 156, -22 * L], [-13 * L, -3 * L * L, -22 * L, 4 * L * L]])
    bands = np.zeros((4, 2 * n + 2))  # lower bands
    for row in range(4):
        for column in range(row + 1):
            bands[row - column, column:column + 2 * n:2] += (bend + bed)[row, column]
    from scipy.linalg import solveh_banded

    load = np.zeros(2 * n + 2)
    place = 2 * round(at / L) + couple
    load[place] = 1
    return solveh_banded(bands, load, lower=True)[place]


@pytest.mark.parametrize("to_end", [0.0, 75.0, 150.0, 400.0, 1200.0])
def test_free_end_as_a_beam_on_an_elastic_foundation(to_end):
    """Hetenyi's analogy solved by beam elements: with f = -gamma'/2 the energy E I_omega f'^2/2 is that of a beam of
    E I_omega/4, and a bimoment on f a couple of half its size on gamma', so that B/f = 4 M/gamma'.  12 decay lengths
    long, so that the other end does not matter (exp(-12)), 130 elements to the decay length: below 1e-4."""
    rack = racking(joint())
    length = 12 / rack.beta
    at = round(to_end / (length / 1600)) * (length / 1600)
    load, couple = (foundation_beam(205e3 * rack.I_omega / 4, rack.k_D, at, length, c) for c in (0, 1))
    assert rack.foundation(at) == pytest.approx(1 / load, rel=1e-4)
    assert rack.warping(at) == pytest.approx(4 / couple, rel=1e-4)


def test_at_the_very_end_a_quarter():
    """A beam on an elastic foundation is four times as soft at its end as in its middle, under load and couple.
    Source: M. Hetenyi, Beams on Elastic Foundation (1946), value from memory."""
    rack = racking(joint())
    assert rack.foundation(0.0) == pytest.approx(rack.foundation(inf) / 4, rel=1e-12)
    assert rack.warping(0.0) == pytest.approx(rack.warping(inf) / 4, rel=1e-12)


def test_strip_of_plate():
    """Beam of length g: far end clamped 12 D/g3, 6 D/g2, 4 D/g; far end pinned 3 D/g3, 3 D/g2, 3 D/g.  Closed forms,
    the stand-in for a clamp (1e12) is exact to 1e-8."""
    D, g = 5e5, 40.0
    clamped = np.array([[12 / g**3, 6 / g**2], [6 / g**2, 4 / g]]) * D
    pinned = np.array([[3 / g**3, 3 / g**2], [3 / g**2, 3 / g]]) * D
    assert pytest.approx(clamped, rel=1e-8) == _strip(D, g, 1e15, 0.0)
    assert pytest.approx(pinned, rel=1e-8) == _strip(D, g, 0.0, 0.0)


@given(corner=st.floats(0, 1e6), yielding=st.floats(0, 1e-3))
def test_strip_through_a_spring(corner, yielding):
    """The same by elimination: the edge's own slope and the far end's turn are unknowns free of load.  1e-9 for
    rounding."""
    D, g = 5e5, 40.0
    hold = 1 / (yielding + 1e-12)
    p, q = 6 * D / g**2, 2 * D / g
    K = np.array([  # value, slope of the crossmember's end, slope of the strip's edge, turn at the flange
        [2 * p / g, 0, p, p], [0, hold, -hold, 0], [p, -hold, 2 * q + hold, q], [p, 0, q, 2 * q + corner],
    ])
    found = K[:2, :2] - K[:2, 2:] @ np.linalg.solve(K[2:, 2:], K[2:, :2])
    assert pytest.approx(found, rel=1e-6) == _strip(D, g, corner, yielding + 1e-12)


@given(web=wall, far=wall, top=wall, bottom=wall, height=st.floats(-30, 30))
def test_local_stiffness_is_symmetric_and_positive(web, far, top, bottom, height):
    it = joint(web=web, far=far, top=top, bottom=bottom, height=height)
    K2 = local_stiffness(it)
    assert pytest.approx(K2.T, rel=1e-9) == K2
    assert np.all(np.linalg.eigvalsh(K2) > 0)
    level = web_stiffness(it, LEVEL)
    assert not level[2, :2].any()  # a web that does not bend with racking feels none of it


def test_a_channel_rail_does_not_rack():
    with pytest.raises(ModelError, match="does not rack"):
        racking(joint(rail="channel"))
