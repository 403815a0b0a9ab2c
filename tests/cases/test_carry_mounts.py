"""How a mass hangs on its mounts, against statics.

A rigid mass on equal mounts behaves like an elastic bolt group: F_i = 1/n + e x_i / sum x^2 (any text on connections;
common practice, from memory).  What forces alone cannot balance goes into the mounts as equal moments.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.cases import mount_wrenches

ROUNDING = 1e-9
DOWN = np.array([0.0, 0.0, -1.0])


def hang(made, places, centre):
    """(n, 6, 3) wrenches of a mass with this centre on mounts at these places."""
    mounts = tuple(made.mount(f"m{k}", "left rail", *p) for k, p in enumerate(places))
    return mount_wrenches(made.mass("engine", 0.2, centre, [m.name for m in mounts]), mounts)


def resultant(places, wrenches, about):
    """(6, 3) force and moment about a point of all mount wrenches."""
    out = np.zeros((6, 3))
    for p, w in zip(places, wrenches, strict=True):
        arm = np.subtract(p, about)
        out[:3] += w[:3]
        out[3:] += w[3:] + np.cross(arm, w[:3], axisb=0, axisc=0)
    return out


def test_one_mount_takes_the_force_and_its_moment(made):
    """Centre 30 behind, 40 to the right and 50 above the mount: weight 1 down gives moments r x f."""
    (w,) = hang(made, [(1000, -400, 0)], (1030, -360, 50))
    assert w @ DOWN == pytest.approx([0, 0, -1, -40, 30, 0], abs=ROUNDING)
    assert w @ [1, 0, 0] == pytest.approx([1, 0, 0, 0, 50, -40], abs=ROUNDING)


def test_two_mounts_share_by_the_lever(made):
    """Mounts 1000 mm apart across, centre 250 mm from the left one: three quarters and one quarter."""
    w = hang(made, [(1000, -500, 0), (1000, 500, 0)], (1000, -250, 0))
    assert w @ DOWN == pytest.approx(np.array([(0, 0, -0.75, 0, 0, 0), (0, 0, -0.25, 0, 0, 0)]), abs=ROUNDING)


def test_two_mounts_hold_a_centre_off_their_line_by_equal_moments(made):
    """Centre 60 mm behind the line through both: half of 60 mm each about y (behind and down turns it positive)."""
    w = hang(made, [(1000, -500, 0), (1000, 500, 0)], (1060, 0, 0))
    assert w @ DOWN == pytest.approx(np.array([(0, 0, -0.5, 0, 30, 0)] * 2), abs=ROUNDING)


def test_three_mounts_are_determinate(made):
    """Engine on two front mounts and one behind: moments about the axle of the front pair give the rear one 300/900."""
    places = [(600, -300, 0), (600, 300, 0), (1500, 0, 0)]
    w = hang(made, places, (900, 60, 0)) @ DOWN
    rear = -300 / 900
    more = 60 / 600  # of the weight, from left to right
    assert w[:, 2] == pytest.approx([-(1 + rear) / 2 + more, -(1 + rear) / 2 - more, rear], abs=ROUNDING)
    assert w[:, 3:] == pytest.approx(np.zeros((3, 3)), abs=ROUNDING)
    assert w[:, :2] == pytest.approx(np.zeros((3, 2)), abs=ROUNDING)


@pytest.mark.parametrize(("ex", "ey"), [(0, 0), (150, 0), (0, -90), (150, -90)])
def test_four_mounts_as_a_bolt_group(made, ex, ey):
    """Corners of 1200 x 800 mm: F_i = 1/4 + ex x_i/(4 x 600^2) + ey y_i/(4 x 400^2)."""
    x, y = np.array([-600, -600, 600, 600]), np.array([-400, 400, -400, 400])
    places = [(2000 + a, b, 100) for a, b in zip(x, y, strict=True)]
    w = hang(made, places, (2000 + ex, ey, 100)) @ DOWN
    assert -w[:, 2] == pytest.approx(0.25 + ex * x / (4 * 600**2) + ey * y / (4 * 400**2), abs=ROUNDING)
    assert w[:, 3:] == pytest.approx(np.zeros((4, 3)), abs=ROUNDING)


def test_a_high_centre_presses_the_far_mounts_when_it_is_pushed(made):
    """A pull of 1 rearward at 300 mm above four mounts: 1/4 each, and 300 x 600/(4 x 600^2) down behind, up ahead."""
    places = [(x, y, 0) for x in (-600, 600) for y in (-400, 400)]
    w = hang(made, places, (0, 0, 300)) @ [1.0, 0, 0]
    assert w[:, 0] == pytest.approx([0.25] * 4, abs=ROUNDING)
    assert w[:, 2] == pytest.approx([0.125, 0.125, -0.125, -0.125], abs=ROUNDING)


@given(
    st.lists(st.tuples(*[st.integers(-2000, 2000)] * 3), min_size=1, max_size=6, unique=True),
    st.tuples(*[st.integers(-2000, 2000)] * 3),
)
def test_whatever_the_mounts_statics_holds(made, places, centre):
    """Forces add up to the force at the centre and their moment about it is nothing, for any mounts in any order."""
    total = resultant(places, hang(made, places, centre), centre)
    assert total[:3] == pytest.approx(np.eye(3), abs=1e-9)
    assert total[3:] == pytest.approx(np.zeros((3, 3)), abs=1e-5)  # 1e-9 of arms of some metres


def test_forces_are_the_smallest_that_balance(made):
    """Any set that is in balance by itself is square to them: here a pair of pulls along the line of two mounts."""
    places = [(1000, -500, 0), (1000, 500, 0)]
    w = hang(made, places, (1000, 100, 80))
    for unit in np.eye(3):
        assert (w @ unit)[0, 1] - (w @ unit)[1, 1] == pytest.approx(0, abs=ROUNDING)
