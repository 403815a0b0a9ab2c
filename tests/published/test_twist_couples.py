"""Twist couples of vehicles as texts and the trade reckon them, put to the functions of the study of twist.

Sources: Motor Vehicle Structures: Concepts and Fundamentals (2002), load cases: the couple that the road can bring is
that which takes a wheel of the lighter axle off the ground (an excerpt was read).  Springs and frame in series: own
arithmetic, worked by hand below.  Local forces: 9 kN front axle, 1.6 kN of it unsprung, track 1.48 m.
"""

from math import atan, degrees, pi

import pytest

from ladderfe.checks.twist_lifts import GroundLoad, Series

KNM_DEG = 1e6 * 180 / pi  # N mm/rad
TRACK = 1480.0


def series(rate=40.0, base=1000.0, frame=2.0 * KNM_DEG):
    """Both axles alike on springs of `rate` N/mm, `base` mm apart."""
    roll = rate * base**2 / 2
    return Series(front=roll, rear=roll, frame=frame, tracks=(TRACK, TRACK))


def test_springs_and_frame_in_series():
    """k = 40 N/mm at s = 1.0 m: k s^2/2 is 349 N m/deg per axle; with a frame of 2000 in series 161 N m/deg.  One wheel
    0.40 m up at t = 1.48 m is 15.5 degrees and brings 2.5 kN m.  Printed to three figures."""
    s = series()
    assert s.front / KNM_DEG * 1000 == pytest.approx(349, abs=0.5)
    assert s.total / KNM_DEG * 1000 == pytest.approx(161, abs=0.5)
    couple = s.couple(("front left",), 400.0)
    assert degrees(400 / TRACK) == pytest.approx(15.5, abs=0.05)
    assert couple / 1e6 == pytest.approx(2.5, abs=0.05)
    assert degrees(atan(400 / TRACK)) == pytest.approx(15.1, abs=0.05)  # the small angle is 2.5 % more


def test_it_stays_below_the_limit():
    """6.66 kN m for a 9 kN axle at 1.48 m track; 1.3 times that is 8.7 kN m; the springs let 2.5 kN m through."""
    axle = GroundLoad(axle="front", load=9000.0, unsprung=1600.0, track=TRACK)
    assert axle.couple / 1e6 == pytest.approx(6.66, rel=1e-12)
    assert 1.3 * axle.couple / 1e6 == pytest.approx(8.7, abs=0.05)
    assert series().couple(("front left",), 400.0) < 0.4 * axle.couple


def test_the_couple_without_unsprung_weight_is_another():
    """7.4 kN x 0.74 m = 5.48 kN m: what a reckoning on the springs' load alone would give, too little by 18 %."""
    axle = GroundLoad(axle="front", load=9000.0, unsprung=1600.0, track=TRACK)
    assert axle.couple_without_unsprung / 1e6 == pytest.approx(5.48, abs=0.005)
    assert axle.couple / axle.couple_without_unsprung == pytest.approx(9.0 / 7.4, rel=1e-12)


def test_a_diagonal_pair_brings_both_angles():
    s = series()
    one, pair = s.couple(("front left",), 400.0), s.couple(("front left", "rear right"), 400.0)
    assert pair == pytest.approx(2 * one, rel=1e-12)
    assert s.couple(("front right", "rear left"), 400.0) == -pair
    assert s.couple(("front left", "rear left"), 400.0) == pytest.approx(0, abs=1e-6)
