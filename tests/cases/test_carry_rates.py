"""How a mass hangs on mounts with rates: a rigid body on springs.

Checked against statics (three mounts on a plane are determinate for upright loads), the elastic bolt group with unlike
bolts (F_i = k_i (1/sum k + e x_i/sum k x^2) about the centre of the rates; any text on connections, from memory), and
a displacement method written here from skew matrices, which shares nothing with the code under test.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ladderfe.cases import mount_wrenches

ROUNDING = 1e-9
DOWN = np.array([0.0, 0.0, -1.0])
CORNERS = [(x, y, 0) for x in (-600, 600) for y in (-400, 400)]

rates = st.floats(10, 10_000)
place = st.tuples(*[st.integers(-2000, 2000)] * 3)
hung = st.lists(st.tuples(place, st.tuples(rates, rates, rates)), min_size=1, max_size=8, unique_by=lambda p: p[0])


def hang(made, places, stiff, centre):
    """(n, 6, 3) wrenches of a mass on mounts with these places and rates along, sideways, upright (None: without)."""
    mounts = tuple(
        replace(made.mount(f"m{k}", "left rail", *p), rates=r)
        for k, (p, r) in enumerate(zip(places, stiff, strict=True))
    )
    return mount_wrenches(made.mass("body", 0.2, centre, [m.name for m in mounts]), mounts)


def alike(k, n):
    return [(k, k, k)] * n


def skew(r):
    x, y, z = r
    return np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])


def by_movements(places, stiff, centre):
    """(n, 3, 3) forces on the frame for unit forces at the centre: the body moves by u and turns by t about the
    centre, so that a mount at r moves by u - skew(r) t; its six equations of equilibrium are solved."""
    whole, own = np.zeros((6, 6)), []
    for p, k in zip(places, stiff, strict=True):
        r = np.subtract(p, centre)
        moves = np.hstack([np.eye(3), -skew(r)])
        own.append(np.diag(k) @ moves)
        whole += moves.T @ np.diag(k) @ moves
    size = np.diag([1, 1, 1, 1e-3, 1e-3, 1e-3])  # mm and rad times m: a well scaled system
    moved = size @ np.linalg.solve(size @ whole @ size, size @ np.vstack([np.eye(3), np.zeros((3, 3))]))
    return np.array([k @ moved for k in own])


@pytest.mark.parametrize("stiff", [(1, 1, 1), (300, 40, 900)], ids=["alike", "unlike"])
def test_three_mounts_bear_what_statics_says_whatever_their_rates(made, stiff):
    """Mounts at (0, -300), (0, 300), (900, 0), centre at (300, 60), all level: about the front pair the rear one bears
    300/900 = 1/3; of the 2/3 ahead the right one 1/3 + 60/600 = 13/30 and the left one 7/30."""
    w = hang(made, [(0, -300, 0), (0, 300, 0), (900, 0, 0)], [(k, k, k) for k in stiff], (300, 60, 0)) @ DOWN
    assert -w[:, 2] == pytest.approx([7 / 30, 13 / 30, 1 / 3], abs=ROUNDING)
    assert w[:, [0, 1, 3, 4, 5]] == pytest.approx(np.zeros((3, 5)), abs=ROUNDING)


def test_unlike_mounts_in_a_row_share_as_an_elastic_bolt_group(made):
    """Pairs of 100, 300 and 200 N/mm at 0, 1000 and 2000 mm: centre of the rates (0 + 300 + 400)/600 x 1000 = 7000/6
    mm; with the mass there each bears k/1200, and 300 mm behind it k (1/1200 + 300 d/sum k d^2) more."""
    k, x = np.repeat([100.0, 300.0, 200.0], 2), np.repeat([0.0, 1000.0, 2000.0], 2)
    places = [(v, y, 0) for v, y in zip(x, [-500, 500] * 3, strict=True)]
    middle = 7000 / 6
    d = x - middle
    stiff = [(v, v, v) for v in k]
    at_it = hang(made, places, stiff, (middle, 0, 0)) @ DOWN
    assert -at_it[:, 2] == pytest.approx(k / 1200, abs=ROUNDING)
    behind = hang(made, places, stiff, (middle + 300, 0, 0)) @ DOWN
    assert -behind[:, 2] == pytest.approx(k * (1 / 1200 + 300 * d / (k @ d**2)), abs=ROUNDING)


def test_a_push_at_a_height_tips_the_body_on_its_mounts(made):
    """Pushed rearward by 1 at 500 mm above mounts of 200 along and 800 upright: each takes 1/4 along, and the rear
    pair 500/(2 x 1200) each down, the front pair as much up, whatever the rates."""
    w = hang(made, CORNERS, [(200, 90, 800)] * 4, (0, 0, 500)) @ [1.0, 0, 0]
    assert w[:, 0] == pytest.approx([0.25] * 4, abs=ROUNDING)
    assert w[:, 2] == pytest.approx([500 / 2400] * 2 + [-500 / 2400] * 2, abs=ROUNDING)


def test_four_unlike_mounts_at_unlike_heights(made):
    places = [(-600, -420, 40), (-580, 430, 0), (700, -390, 120), (640, 400, 90)]
    stiff = [(120, 80, 400), (300, 90, 350), (60, 200, 900), (150, 150, 150)]
    centre = (80, -50, 620)
    w = hang(made, places, stiff, centre)
    assert w[:, :3] == pytest.approx(by_movements(places, stiff, centre), abs=ROUNDING)
    assert w[:, 3:] == pytest.approx(np.zeros((4, 3, 3)), abs=1e-6)  # 1e-9 of arms of a metre


@given(hung, place)
def test_any_mounts_as_the_movements_say(made, mounts, centre):
    places, stiff = zip(*mounts, strict=True)
    arms = np.subtract(places, np.mean(places, axis=0))
    spread = np.linalg.svd(arms, compute_uv=False)
    assume(len(places) >= 3 and spread[1] > 50)  # clearly not on one line, where the movements are not determined
    w = hang(made, places, stiff, centre)
    # lengths of up to 4 m about arms of 50 mm, squared in the equations of movement, and rates 1 to 1000
    assert w[:, :3] == pytest.approx(by_movements(places, stiff, centre), rel=1e-6, abs=1e-6)


@given(hung, place)
def test_whatever_the_rates_statics_holds(made, mounts, centre):
    """Forces add up to the force at the centre and their moment about it is nothing."""
    places, stiff = zip(*mounts, strict=True)
    total = np.zeros((6, 3))
    for p, w in zip(places, hang(made, places, stiff, centre), strict=True):
        total[:3] += w[:3]
        total[3:] += w[3:] + np.cross(np.subtract(p, centre), w[:3], axisb=0, axisc=0)
    assert total[:3] == pytest.approx(np.eye(3), abs=1e-9)
    assert total[3:] == pytest.approx(np.zeros((3, 3)), abs=1e-5)  # 1e-9 of arms of some metres


@given(st.lists(place, min_size=1, max_size=8, unique=True), place, rates)
def test_equal_rates_share_like_mounts_without(made, places, centre, k):
    n = len(places)
    w, plain = (hang(made, places, r, centre) for r in (alike(k, n), [None] * n))
    assert w == pytest.approx(plain, rel=1e-9, abs=1e-9)


@given(hung, place, st.floats(0.01, 100))
def test_only_the_proportion_of_the_rates_counts(made, mounts, centre, factor):
    places, stiff = zip(*mounts, strict=True)
    more = [tuple(factor * v for v in r) for r in stiff]
    w, scaled = (hang(made, places, r, centre) for r in (stiff, more))
    assert scaled == pytest.approx(w, rel=1e-6, abs=1e-6)  # arms of 1 mm among metres lose half of the digits


@given(hung, place)
def test_in_the_mirror_the_forces_are_mirrored(made, mounts, centre):
    """Left and right changed about: forces across and moments about x and z change sign, for forces across all."""
    places, stiff = zip(*mounts, strict=True)
    w = hang(made, places, stiff, centre)
    other = hang(made, [(x, -y, z) for x, y, z in places], stiff, (centre[0], -centre[1], centre[2]))
    sign = np.array([1, -1, 1, -1, 1, -1])[:, None] * np.array([1, -1, 1])
    assert other == pytest.approx(sign * w, rel=1e-6, abs=1e-6)


@given(st.integers(0, 3), st.tuples(st.integers(-300, 300), st.integers(-200, 200)))
def test_a_mount_that_is_next_to_nothing_leaves_three_point_statics(made, soft, off):
    """Four corners, one of them 1e-6 as stiff as the others: these bear what a plane through three says."""
    stiff = [(1e-1,) * 3 if k == soft else (1e5,) * 3 for k in range(4)]
    w = hang(made, CORNERS, stiff, (*off, 0)) @ DOWN
    three = [p for k, p in enumerate(CORNERS) if k != soft]
    share = np.linalg.solve([[1, 1, 1], [p[0] for p in three], [p[1] for p in three]], [1, *off])
    assert np.delete(-w[:, 2], soft) == pytest.approx(share, abs=1e-5)  # its own part is of the order of 1e-6
    assert abs(w[soft, 2]) < 1e-5


def test_a_very_stiff_pair_holds_the_body_as_a_hinge(made):
    """Front pair 1e6 as stiff as the four behind: about it, the rear four bear 300/1200 of the weight in proportion to
    arm and rate; the front pair the rest, by the lever across."""
    places = [(0, -400, 0), (0, 400, 0), (1000, -400, 0), (1000, 400, 0), (1400, -400, 0), (1400, 400, 0)]
    stiff = [(1e5,) * 3] * 2 + [(0.1,) * 3] * 4
    w = -(hang(made, places, stiff, (300, 0, 0)) @ DOWN)[:, 2]
    turn = 300 / (2 * 1000**2 + 2 * 1400**2)
    assert w[2:] == pytest.approx([1000 * turn] * 2 + [1400 * turn] * 2, rel=1e-5)  # 1e-6 of stiffness
    assert w[:2] == pytest.approx([(1 - 4800 * turn) / 2] * 2, rel=1e-5)


def test_mounts_on_one_line_hold_a_couple_about_it_by_equal_moments(made):
    """Three unlike mounts across, centre 60 mm behind their line: weight by rates and lever, a third of 60 mm each."""
    places, k = [(0, -500, 0), (0, 100, 0), (0, 500, 0)], np.array([100.0, 300.0, 200.0])
    y = np.array([-500.0, 100.0, 500.0])
    middle = k @ y / k.sum()
    w = hang(made, places, [(v, v, v) for v in k], (60, 0, 0)) @ DOWN
    d = y - middle
    assert -w[:, 2] == pytest.approx(k * (1 / 600 - middle * d / (k @ d**2)), abs=ROUNDING)
    assert w[:, 4] == pytest.approx([20.0] * 3, abs=1e-7)
