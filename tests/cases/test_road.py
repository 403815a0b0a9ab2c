"""Cases of the road as asked for: directions, shares and pushes, by hand."""

from math import pi, sqrt, tan

import pytest

from ladderfe.cases import Push, load_cases
from ladderfe.cases.road import rise

G = 9806.65  # mm/s2


def case(made, **spec):
    (found,) = load_cases(made.chassis(cases=(made.CaseSpec(name="a", **spec),)))
    return found


@pytest.mark.parametrize(
    ("step", "up"),
    [
        (370.0, 0.0),
        (400.0, 0.0),
        (740.0, 0.0),
        (900.0, 0.0),
        (185.0, tan(pi / 6)),
        (370 * (1 - sqrt(0.5)), 1.0),
        (370 - 222.0, 0.75),
    ],
)
def test_an_edge_pushes_through_the_hub(step, up):
    """A wheel of 370 mm: a step as high as the hub pushes straight back, one of half the radius 30 degrees up, one that
    the wheel meets at 45 degrees as much up as back; 3-4-5 triangle.  Higher steps meet it with their
    upright face."""
    assert rise(step, 370.0) == pytest.approx(up, rel=1e-12, abs=1e-12)


def test_pothole_pushes_one_wheel_back_and_up(made):
    found = case(made, kind="pothole", factor=4.5, wheels=("rear right",), height=185.0)
    (push,) = found.pushes
    wanted = Push(wheel="rear right", of="rear right", x=4.5, z=pytest.approx(4.5 / sqrt(3), rel=1e-12), hub=True)
    assert push == wanted
    assert not found.on_ground


@pytest.mark.parametrize(("side", "sign"), [("left", -1), ("right", 1)])
def test_turning_accelerates_towards_its_side(made, side, sign):
    found = case(made, kind="cornering", side=side, acceleration=0.7)
    assert found.acceleration == (0.0, pytest.approx(sign * 0.7 * G))
    assert found.on_ground


def test_braking_and_driving_off(made):
    """x is rearward: slowing down accelerates that way, by all wheels; driving off the other way, by those driven."""
    stop = case(made, kind="braking", acceleration=1.1)
    assert stop.acceleration == (pytest.approx(1.1 * G), 0.0)
    assert stop.holds == ("front", "rear")
    for axle, holds in (("front", ("front",)), ("rear", ("rear",)), ("both", ("front", "rear"))):
        off = case(made, kind="drive-off", acceleration=0.5, axle=axle)
        assert off.acceleration == (pytest.approx(-0.5 * G), 0.0)
        assert off.holds == holds


def test_a_kerb_takes_all_of_its_axles_load(made):
    """Right wheels against it: pushed to the left by 1.4 times what tips the axle's load over, which comes over to
    them."""
    found = case(made, kind="kerb strike", factor=1.4, axle="front", side="right")
    side, over, off = found.pushes
    assert side == Push(wheel="front right", of="front", tip=-1.4)
    assert over == Push(wheel="front right", of="front left", z=1.0)
    assert off == Push(wheel="front left", of="front left", z=-1.0)
    assert len(case(made, kind="kerb strike", side="left").pushes) == 6


def test_whip_comes_through_the_stops_and_carries_the_nose(made, statics):
    c = statics.fitted(made, cases=(made.CaseSpec(name="a", kind="rear overhang whip", factor=3.5, at=("ball",),
                                                  mass=0.08),))  # fmt: skip
    (found,) = load_cases(c)
    assert found.static_factors == (("front", 1.0), ("rear", 1.0))
    assert found.stop_factors == (("rear", 2.5),)
    assert found.hung == (("ball", 0.08),)
