"""What leads an axle along and across: places as stated, and what is taken where a file is silent."""

from __future__ import annotations

import pytest

from ladderfe.chassis import Damper, Links, chassis_from_text, with_assumption

REAR = "track = 1440\n"
RISING = (
    "{ station = 3600, half_spacing = 380, height = 0 }",
    "{ station = 3600, half_spacing = 560, height = 360 }",
)
NONE = {"side_station": None, "side_y": None}


@pytest.fixture
def rear(minimal):
    """The rear axle of the small file with lines added to it."""

    def reader(*lines, change=("", ""), top=""):
        text = minimal.replace(*change).replace("[rails]", f"{top}\n[rails]", 1)
        return chassis_from_text(text + "\n".join(lines) + "\n").axles[1]

    return reader


def test_eyes_of_leaf_springs(rear):
    """Rails 120 mm deep at height 0: their lower edge is at -60, the eyes are taken 60 mm lower."""
    leaf = ('spring = "leaf"', "eyes = [2400, 3500]")
    taken = Links(kind="eyes", station=2400, spacing=760, height=-120, side_height=-120, **NONE)
    assert rear(*leaf).links == taken
    stated = rear(*leaf, 'fixed_eye = "rear"', "eye_height = -95").links
    assert stated == Links(kind="eyes", station=3500, spacing=760, height=-95, side_height=-95, **NONE)
    assert rear(*leaf, "roll_centre = 300", top="height_above_ground = 500").links.side_height == -200
    assert rear("eyes = [2400, 3500]").links == taken


def test_eyes_follow_rails_that_spread_and_rise(rear):
    """At 3500 of rails that rise from 0 to 360 mm over 3600 mm: 350; under the springs, 525 where the axle is, 2900."""
    links = rear('spring = "leaf"', "eyes = [2400, 3500]", 'fixed_eye = "rear"', change=RISING).links
    assert (links.spacing, links.height) == pytest.approx((1050, 350 - 60 - 60))


def test_arms_of_a_beam_axle_on_coils(rear):
    """Taken 700 mm inward of the axle at 2900."""
    assert rear('spring = "coil"').links == Links(
        kind="arms", station=2200, spacing=760, height=-120, side_height=-120, **NONE
    )
    stated = rear("arms = { station = 2150, spacing = 700, height = -80 }").links
    assert stated == Links(kind="arms", station=2150, spacing=700, height=-80, side_height=-80, **NONE)


def test_arms_lead_inward_and_stay_between_the_axles(minimal):
    front = chassis_from_text(minimal).axles[0]
    assert front.links.station == 1300
    near = chassis_from_text(minimal.replace("wheelbase = 2300", "wheelbase = 1000"))
    assert [a.links.station for a in near.axles] == [600 + 450, 1600 - 450]  # at most 0.45 of the wheelbase
    a = next(a for a in near.assumptions if a.key == "axles.front.arms.station")
    assert a.low <= a.used <= a.high


def test_track_bar(rear):
    links = rear("track_bar = { y = -400, height = -30 }").links
    assert (links.side_station, links.side_y, links.side_height) == (2900, -400, -30)
    assert rear("track_bar = { station = 2950, y = 390, height = -30 }").links.side_station == 2950


def test_pivots_of_independent_wheels(rear):
    """Side forces of independent wheels enter 50 mm (0 to 150) above the ground, 550 mm below the rails."""
    links = rear('suspension = "independent"').links
    assert links == Links(kind="pivots", station=2900, spacing=760, height=-120, side_height=-500, **NONE)
    stated = rear('suspension = "independent"', "pivots = { spacing = 640, height = -50 }", "roll_centre = 90").links
    assert stated == Links(kind="pivots", station=2900, spacing=640, height=-50, side_height=-460, **NONE)
    assert rear('suspension = "independent"', 'torsion_bar = "front"').torsion_bar == "front"


def test_a_torsion_bar_turns_about_the_pivots_that_are_stated(rear):
    """A bar has no seat: the wheel's force is on the arm's pivots, and the bar's couple is that about them."""
    bar = ('suspension = "independent"', 'torsion_bar = "front"')
    assert rear(*bar).spring_base == 760  # under the middle of the rails
    assert rear(*bar, "pivots = { spacing = 640 }").spring_base == 640
    assert rear(*bar, "pivots = { spacing = 640 }", "spring_base = 700").spring_base == 700
    assert rear(bar[0], "pivots = { spacing = 640 }").spring_base == 760


def test_the_roll_centre_goes_with_the_ground(minimal):
    chassis = chassis_from_text(minimal + 'suspension = "independent"\n')
    assert with_assumption(chassis, "height_above_ground", 600).axles[1].links.side_height == -550
    assert with_assumption(chassis, "axles.rear.roll_centre", 150).axles[1].links.side_height == -400
    assert with_assumption(chassis, "axles.rear.pivots.height", -90).axles[1].links.height == -90


def test_the_roll_centre_of_independent_wheels_is_said_where_it_is_used(minimal):
    text = minimal + 'suspension = "independent"\n'
    stop, bend = (f'[[cases]]\nname = "a"\nkind = "{kind}"\n' for kind in ("braking", "cornering"))
    keys = [{a.key for a in chassis_from_text(text + c).assumptions} for c in (stop, bend)]
    assert ["axles.rear.roll_centre" in k for k in keys] == [False, True]


def test_dampers(rear):
    axle = rear('damper = { force = "2 kN" }')
    assert axle.damper == Damper(station=2900, spacing=axle.spring_base, height=0, force=2000)
    stated = rear('damper = { station = 2850, spacing = 640, height = 70, force = "450 lbf" }').damper
    assert (stated.station, stated.spacing, stated.height) == (2850, 640, 70)
    assert stated.force == pytest.approx(450 * 0.45359237 * 9.80665)
    assert rear().damper is None


def test_tyres(rear, minimal):
    assert rear("tyre_radius = 355").tyre_radius == 355
    a = next(a for a in chassis_from_text(minimal).assumptions if a.key == "axles.rear.tyre_radius")
    assert (a.low, a.used, a.high) == (300, 370, 420)


def test_an_unknown_spring_that_is_tried_as_a_leaf_keeps_its_arms(minimal):
    """What is assumed does not change its kind while it is moved."""
    chassis = chassis_from_text(minimal)
    moved = with_assumption(chassis, "axles.rear.eyes", 1100)
    assert [a.key for a in moved.assumptions] == [a.key for a in chassis.assumptions]
    assert moved.axles[1].links == chassis.axles[1].links
