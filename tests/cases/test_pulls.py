"""Pulls at mounts: directions, legs of a bridle, what they are held by.  Closed forms of statics; right to rounding."""

from math import cos, hypot, pi, sin

import numpy as np
import pytest

from ladderfe.cases import load_cases
from ladderfe.cases.pulls import bridle, pull

EXACT = 1e-12
G = 9806.65  # mm/s2
DEGREE = pi / 180


def cases(statics, made, *specs):
    return load_cases(statics.fitted(made, cases=tuple(made.CaseSpec(**s) for s in specs)))


@pytest.mark.parametrize(
    ("angle", "up", "rearward", "force"),
    [
        (0, 0, False, (-1, 0, 0)),
        (0, 0, True, (1, 0, 0)),
        (30, 0, False, (-cos(30 * DEGREE), 0.5, 0)),
        (-30, 0, True, (cos(30 * DEGREE), -0.5, 0)),
        (90, 0, False, (0, 1, 0)),
        (0, 90, True, (0, 0, 1)),
        (60, 45, False, (-0.5 * cos(45 * DEGREE), cos(30 * DEGREE) * sin(45 * DEGREE), sin(45 * DEGREE))),
    ],
)
def test_way_of_a_pull(angle, up, rearward, force):
    """Away from the vehicle, the angle to the driver's right at either end, up last; spherical coordinates."""
    got = pull(10e3, angle, up, rearward)
    assert got == pytest.approx(10e3 * np.array(force), rel=EXACT, abs=1e-9)
    assert np.linalg.norm(got) == pytest.approx(10e3, rel=EXACT)


@pytest.mark.parametrize("way", [np.array([-1.0, 0, 0]), np.array([-cos(0.3), 0, sin(0.3)]), np.array([1.0, 0, 0])])
def test_legs_of_a_straight_bridle(way):
    """Each leg pulls F/(2 cos b), tan b = half the distance of the points over the reach."""
    points = np.array([[60.0, -400, 10], [60.0, 400, 10]])
    half = np.arctan(400 / 700)
    legs = bridle(points, 24e3 * way, 700.0)
    assert np.linalg.norm(legs, axis=1) == pytest.approx([24e3 / (2 * cos(half))] * 2, rel=EXACT)
    assert legs.sum(axis=0) == pytest.approx(24e3 * way, abs=1e-8)
    assert legs[:, 1] == pytest.approx([24e3 / 2 * 400 / 700, -24e3 / 2 * 400 / 700], rel=EXACT)  # towards each other


@pytest.mark.parametrize("angle", [-25.0, 10.0, 29.0])
def test_legs_of_a_bridle_pulled_to_a_side(angle):
    """Two legs of one length meet straight ahead, b = 29.7 degrees to either side; law of sines in the triangle of
    forces: the leg on the far side of the pull takes F sin(b + a)/sin 2b, the near one F sin(b - a)/sin 2b."""
    points = np.array([[60.0, -400, 10], [60.0, 400, 10]])
    b, a = np.arctan(400 / 700), angle * DEGREE
    legs = bridle(points, pull(24e3, angle, 0, False), 700.0)
    left = 24e3 * sin(b + a) / sin(2 * b)
    right = 24e3 * sin(b - a) / sin(2 * b)
    assert np.linalg.norm(legs, axis=1) == pytest.approx([left, right], rel=EXACT)
    for leg, y in zip(legs, (400, -400), strict=True):
        assert leg / np.linalg.norm(leg) == pytest.approx(np.array([-700, y, 0]) / hypot(700, 400), rel=EXACT)


@pytest.mark.parametrize(("angle", "taut"), [(31.0, 0), (-31.0, 1), (80.0, 0), (90.0, 0), (-90.0, 1)])
def test_a_leg_goes_slack(angle, taut):
    """Pulled farther to a side than the legs lean, the far point's leg takes all, along the pull."""
    points = np.array([[60.0, -400, 10], [60.0, 400, 10]])
    whole = pull(24e3, angle, 0, False)
    legs = bridle(points, whole, 700.0)
    assert legs[taut] == pytest.approx(whole, rel=EXACT, abs=1e-9)
    assert legs[1 - taut] == pytest.approx(np.zeros(3), abs=0)


def test_a_bridle_between_points_that_are_not_level():
    """Points of different height and station: the legs lie in the plane of the points and the pull, add up to it, and
    are of one length."""
    points = np.array([[60.0, -400, 10], [110.0, 380, -30]])
    whole = pull(24e3, 12, 8, False)
    legs = bridle(points, whole, 900.0)
    assert legs.sum(axis=0) == pytest.approx(whole, rel=EXACT)
    normal = np.cross(points[1] - points[0], whole)
    assert legs @ normal / (np.linalg.norm(normal) * 24e3) == pytest.approx([0, 0], abs=1e-15)
    ways = legs / np.linalg.norm(legs, axis=1)[:, None]
    along = (points[1] - points[0]) / np.linalg.norm(points[1] - points[0])
    assert ways[0] @ along == pytest.approx(-(ways[1] @ along), rel=1e-9)  # an isosceles triangle


def test_without_reach_both_points_pull_alike():
    whole = pull(24e3, 40, 5, False)
    assert bridle(np.array([[0.0, -400, 0], [0.0, 400, 0]]), whole, 0.0) == pytest.approx(np.stack([whole / 2] * 2))


def test_either_end_is_pulled_away_from_the_vehicle(statics, made):
    """The winch pulls forward, the ball rearward; a push is the same turned round."""
    out, back, push = cases(
        statics, made,
        {"name": "a", "kind": "winch", "at": ("winch",), "force": 3e4, "angle": 30.0},
        {"name": "b", "kind": "drawbar pull", "at": ("ball",), "force": 1.5e4},
        {"name": "c", "kind": "drawbar pull", "at": ("ball",), "force": -1.5e4},
    )  # fmt: skip
    assert out.pulls == (("winch", pytest.approx((-3e4 * cos(30 * DEGREE), 1.5e4, 0))),)
    assert back.pulls == (("ball", pytest.approx((1.5e4, 0, 0))),)
    assert push.pulls == (("ball", pytest.approx((-1.5e4, 0, 0))),)


def test_a_pull_held_by_another_mount(statics, made):
    (case,) = cases(
        statics, made, {"name": "a", "kind": "recovery", "at": ("winch",), "force": 3e4, "against": "ball"}
    )
    assert dict(case.pulls) == {"winch": pytest.approx((-3e4, 0, 0)), "ball": pytest.approx((3e4, 0, 0))}
    assert case.on_ground


def test_nose_weight_presses_with_its_factor(statics, made):
    """80 kg times 2.5: 1.96 kN down."""
    (case,) = cases(statics, made, {"name": "a", "kind": "nose weight", "at": ("ball",), "mass": 0.08, "factor": 2.5})
    assert case.pulls == (("ball", pytest.approx((0, 0, -0.2 * G))),)


def test_further_forces_act_beside_any_case(statics, made):
    (case,) = cases(statics, made, {"name": "a", "kind": "static", "forces": (("ball", (1.0, 2.0, 3.0)),)})
    assert case.pulls == (("ball", (1.0, 2.0, 3.0)),)
    assert case.on_ground
    assert case.in_plan


@pytest.mark.parametrize("reach", [1.0, 1e4, 1e9])
def test_far_and_near_bridles(reach):
    """A short one pulls its points together with F b/2 reach, a long one hardly: F/2 each."""
    points = np.array([[0.0, -400, 0], [0.0, 400, 0]])
    legs = bridle(points, np.array([-2e3, 0, 0]), reach)
    assert legs[:, 0] == pytest.approx([-1e3, -1e3], rel=EXACT)
    assert legs[:, 1] == pytest.approx([4e5 / reach, -4e5 / reach], rel=EXACT)


def test_a_bridle_from_one_place_has_legs_alike():
    whole = pull(24e3, 20.0, 5.0, False)
    both = np.array([[20.0, -400, 10], [20.0, -400, 10]])
    assert bridle(both, whole, 500.0) == pytest.approx(np.stack([whole / 2] * 2))
