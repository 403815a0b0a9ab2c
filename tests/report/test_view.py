"""The view: a true parallel projection that fits its box; which sides of walls are edges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.report.legend import round_ticks
from ladderfe.report.view import View, edges, sides, spread, triangles

SHEET = (40.0, 120.0, 1200.0, 740.0)


def test_view_is_a_turn_and_a_scale(ladder):
    """Rows of the turn are orthonormal and right-handed (right, down, toward the eye: left-handed as an image)."""
    view = View.fitted(ladder.quads.reshape(-1, 3), *SHEET)
    assert view.turn @ view.turn.T == pytest.approx(np.eye(3), abs=1e-12)  # rounding
    assert np.linalg.det(view.turn) == pytest.approx(-1)


def test_front_is_left_and_up_is_up(ladder):
    """The front of the vehicle is to the left, the left rail in front, and up is up."""
    view = View.fitted(ladder.quads.reshape(-1, 3), *SHEET)
    origin, rearward, right, up = view.project(np.vstack([np.zeros(3), np.eye(3)]))
    assert rearward[0] > origin[0]
    assert up[1] < origin[1]
    assert up[0] == pytest.approx(origin[0])
    assert right[2] < origin[2]


def test_frame_fills_its_box(ladder):
    """The frame touches two opposite sides of its box and leaves none."""
    flat = View.fitted(ladder.quads.reshape(-1, 3), *SHEET).project(ladder.quads.reshape(-1, 3))[:, :2]
    low, high = flat.min(0), flat.max(0)
    assert (low >= np.array(SHEET[:2]) - 1e-6).all()
    assert (high <= np.array(SHEET[2:]) + 1e-6).all()
    assert max((high - low) / np.subtract(SHEET[2:], SHEET[:2])) == pytest.approx(1)


def test_edges_of_an_open_box():
    """A box of two lengths of four walls, open at both ends: 4 x 2 long edges, 4 at each end; none where it goes on."""
    y, z = [-50.0, 50.0, 50.0, -50.0], [50.0, 50.0, -50.0, -50.0]
    quads = np.array([
        [(x, y[i], z[i]), (x + 500.0, y[i], z[i]), (x + 500.0, y[j], z[j]), (x, y[j], z[j])]
        for x in (0.0, 500.0) for i, j in ((0, 1), (1, 2), (2, 3), (3, 0))
    ])
    found = sides(quads, edges(quads))
    assert len(found) == 16
    assert not any((end[:, 0] == 500.0).all() for end in found)


def test_flat_neighbours_share_no_edge():
    """Two walls in one plane have 6 edges around them and none between; folded by 40 degrees they have 7."""
    flat = _two_plates(0.0)
    assert len(edges(flat)) == 6
    flat[1, :, 2] += 3.0  # a step, as between two lengths of a taper
    assert len(edges(flat)) == 6
    assert len(edges(_two_plates(40.0))) == 7


def _two_plates(fold):
    """Two plates of 100 mm side by side, the second turned up by so many degrees."""
    across, up = 100 + 100 * np.cos(np.radians(fold)), 100 * np.sin(np.radians(fold))
    return np.array([
        [(0, 0, 0), (100, 0, 0), (100, 100, 0), (0, 100, 0)],
        [(100, 0, 0), (across, 0, up), (across, 100, up), (100, 100, 0)],
    ])


def test_round_member_has_an_outline_in_the_view():
    """A tube of 24 flat sides: two rings of 24 sides at its ends, and in the view two lines along it."""
    turn = np.arange(25) * 2 * np.pi / 24
    ring = 40 * np.stack([np.zeros(25), np.cos(turn), np.sin(turn)], axis=1)
    far = ring + np.array([600.0, 0, 0])
    tube = np.stack([ring[:-1], far[:-1], far[1:], ring[1:]], axis=1)
    assert len(edges(tube)) == 48
    assert len(edges(tube, View.fitted(tube.reshape(-1, 3), *SHEET))) == 50


def test_triangles_keep_area_and_values(ladder):
    """Four triangles to a wall cover it (planar walls: areas add up) and meet in the mean of its values."""
    shapes, values = triangles(ladder.quads, ladder.values)
    area = np.linalg.norm(np.cross(shapes[:, 1] - shapes[:, 0], shapes[:, 2] - shapes[:, 0]), axis=1).sum() / 2
    diagonals = np.cross(ladder.quads[:, 2] - ladder.quads[:, 0], ladder.quads[:, 3] - ladder.quads[:, 1])
    assert area == pytest.approx(np.linalg.norm(diagonals, axis=1).sum() / 2)
    assert values[:4, 2] == pytest.approx(ladder.values[0].mean())


def test_comb_is_spread_evenly():
    """A comb given by three uneven points has arrows at even spacing, its vectors interpolated between them."""
    heads, shafts = spread(np.array([[0.0, 0], [3, 4], [3, 10]]), np.array([[0.0, 1], [0, 6], [0, 12]]), 1.0)
    assert len(heads) == 12
    assert np.hypot(*np.diff(heads, axis=0).T) == pytest.approx(1)
    assert shafts[:, 1] == pytest.approx(1 + np.arange(12))


@given(low=st.floats(-1e4, 1e4), span=st.floats(1e-3, 1e5), most=st.integers(2, 9))
def test_ticks_are_round_few_and_inside(low, span, most):
    """Ticks lie strictly inside, are no more than asked for, and at least one where four are allowed."""
    ticks = round_ticks(low, low + span, most)
    assert len(ticks) <= most + 1
    assert ((ticks > low - 1e-9 * span) & (ticks < low + span * (1 + 1e-9))).all()
    if most >= 4:
        assert len(ticks) >= 1
