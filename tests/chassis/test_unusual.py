"""Slips of the pen that no rule forbids look unusual; the models, and values inside their usual ranges, do not.

The ranges are values from memory and common practice, there is no source to check them against.  What is checked: that
each slip is seen where it stands, with the right question, and that nothing is refused.
"""

from dataclasses import replace
from math import inf
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.chassis import CaseSpec, Joint, chassis_from_text, read_chassis
from ladderfe.chassis.unusual import Unusual, unusual
from ladderfe.chassis.usual import Usual

MODELS = Path(__file__).resolve().parents[2] / "models"

FILE = """\
title = "Slips"
wheelbase = 2400
[rails]
path = [
    { station = 0, half_spacing = 410, height = 0 },
    { station = 1000, half_spacing = 410, height = 0 },
    { station = 2000, half_spacing = 411, height = 0 },
    { station = 3800, half_spacing = 410, height = 0 },
]
sections = [{ shape = "box", depth = 140, width = 70, wall = 2.5 }]
[[crossmembers]]
name = "front"
station = 100
shape = "box"
depth = 80
width = 60
wall = 2.4
[[crossmembers]]
name = "gearbox"
station = 1700
shape = "tube"
diameter = 76
wall = 3
joint = { doubler = 3, margin = 20 }
[[crossmembers]]
name = "rear"
station = 3700
shape = "channel"
opens = "rearward"
depth = 90
width = 50
wall = 3.1
[[outriggers]]
name = "body bracket"
rail = "both"
station = 1200
length = 250
shape = "box"
depth = 70
width = 50
wall = 2.2
[[mounts]]
name = "engine mount"
on = "both rails"
station = 600
[[masses]]
name = "engine"
mass = 210
at = { station = 610, y = 0, height = 250 }
on = ["engine mount"]
aboard = true
[[axles]]
name = "front"
station = 700
load = 960
track = 1470
unsprung = 165
spring_base = 790
rate = 31
[[axles]]
name = "rear"
load = 850
track = 1480
[[cases]]
name = "on the road"
kind = "amplified"
factor = 2.2
[[cases]]
name = "ramp"
kind = "raised"
wheels = ["front left"]
height = 190
[material]
yield_stress = 240
[criteria]
bending = 155
shear = 96
"""


def seen(old, new):
    """What looks unusual once `old` in the file reads `new`."""
    assert FILE.count(old) == 1, old
    return unusual(chassis_from_text(FILE.replace(old, new)))


def only(found, where):
    """The one finding whose place is this."""
    (one,) = [u for u in found if where in u.where]
    return one


@pytest.mark.parametrize("path", sorted(MODELS.glob("*.toml")), ids=lambda p: p.stem)
def test_the_models_have_nothing_unusual(path):
    assert unusual(read_chassis(path)) == ()


def test_the_file_of_these_tests_has_nothing_unusual():
    assert unusual(chassis_from_text(FILE)) == ()


@pytest.mark.parametrize(
    ("old", "new", "where", "value", "hint"),
    [
        ("wall = 2.5 ", "wall = 25 ", "both rails from 0 to 3800 mm, wall", 25, "a decimal point? 2.5 mm"),
        ("wall = 2.4", "wall = 24", "crossmember front, wall", 24, "a decimal point? 2.4 mm"),
        ("wall = 2.4", "wall = 0.9", "crossmember front, wall", 0.9, "rusted"),
        ("wall = 2.4", "top = 2.4\nbottom = 12\nfront = 2.4\nrear = 2.4", "front, bottom wall", 12, "measured so"),
        ("diameter = 76\nwall = 3", "diameter = 30\nwall = 6", "wall on 30 mm outside", 6, "wall or outside size?"),
        ("wall = 2.2", "wall = 22", "outrigger body bracket, both sides, wall", 22, "a decimal point? 2.2 mm"),
        ("depth = 140", "depth = 900", "both rails from 0 to 3800 mm, depth", 900, "a decimal point? 90 mm"),
        ("depth = 140", "depth = 14", "both rails from 0 to 3800 mm, depth", 14, "a decimal point? 140 mm"),
        ("depth = 140", "depth = 6", "both rails from 0 to 3800 mm, depth", 6, "inches? 152.4 mm"),
        ("depth = 140, width = 70", "depth = 70, width = 140", "from 0 to 3800 mm, width", 140, "swapped? Depth is up"),
        ("width = 70", "width = 700", "both rails from 0 to 3800 mm, width", 700, "a decimal point? 70 mm"),
        ("diameter = 76", "diameter = 760", "gearbox, diameter", 760, "a decimal point? 76 mm"),
        ("doubler = 3", "doubler = 30", "gearbox, joint at both rails, doubler", 30, "a decimal point? 3 mm"),
        ("margin = 20", "margin = 200", "gearbox, joint at both rails, margin", 200, "a decimal point? 20 mm"),
        ("doubler = 3, margin = 20", 'kind = "gusseted upright", gusset = 400', "joint at both rails, gusset", 400,
         "a decimal point? 40 mm"),
        ("length = 250", "length = 650", "outrigger body bracket, both sides, length", 650, "a decimal point? 65 mm"),
        ("yield_stress = 240", "yield_stress = 2400", "material, yield_stress", 2400, "a decimal point? 240 N/mm2"),
        ("yield_stress = 240", "yield_stress = 51", "material, yield_stress", 51, "ksi? 351.6 N/mm2"),
        ("bending = 155", "bending = 1550", "criteria, bending", 1550, "a decimal point? 155 N/mm2"),
        ("bending = 155", "bending = 250", "bending beside the yield stress", 250, "above the yield stress?"),
        ("shear = 96", "shear = 140", "shear beside the yield stress", 140, "above yield in shear?"),
        ("yield_stress = 240", "yield_stress = 240\ndensity = 2700", "density", 2700, "another metal"),
    ],
)  # fmt: skip
def test_steel(old, new, where, value, hint):
    one = only(seen(old, new), where)
    assert one.value == pytest.approx(value)
    assert hint in one.hint


@pytest.mark.parametrize(
    ("old", "new", "where", "value", "hint"),
    [
        ("station = 1700", "station = 1.7", "crossmember gearbox, station", 1.7, "metres? 1700 mm would be usual"),
        ("station = 1700", "station = 3797", "gearbox, from the rails' rear end", 3, "its face?"),
        ("station = 600", "station = 0.6", "engine mount, both sides, station", 0.6, "metres? 600 mm"),
        ("at = { station = 610", "at = { station = 0.61", "mass engine, station", 0.61, "metres? 610 mm"),
        ("height = 250", "height = 0.25", "mass engine, height", 0.25, "metres? 250 mm"),
        ("station = 1200", "station = 1003", "path point at 1000 and outrigger body bracket", 3, "measured twice?"),
        ("station = 1700", "station_left = 1700\nstation_right = 1100", "from its left to its right", -600, "datum?"),
    ],
)  # fmt: skip
def test_places(old, new, where, value, hint):
    one = only(seen(old, new), where)
    assert one.value == pytest.approx(value)
    assert hint in one.hint


def test_the_full_spacing_typed_as_half():
    """1640 mm between the rails with a track of 1470 mm; half of it is usual."""
    found = unusual(chassis_from_text(FILE.replace("half_spacing = 41", "half_spacing = 82")))
    assert [u.value for u in found if "from middle to middle" in u.where] == [1640, 1642]
    assert all(u.hint.startswith("half of the spacing? 82") for u in found if "middle to middle" in u.where)


def test_half_the_spacing_typed_as_the_whole():
    found = unusual(chassis_from_text(FILE.replace("half_spacing = 41", "spacing = 41")))
    assert found[0].hint.startswith("the whole spacing? 82")


@pytest.mark.parametrize("index", [1, 2])
def test_one_path_point_among_others_leaves_their_line(index):
    """820 among 410s over 1000 mm and more: the line turns by atan(410/1000) and atan(410/1800) or /1000."""
    lines = FILE.splitlines(keepends=True)
    at = next(k for k, line in enumerate(lines) if "station = 0," in line) + index
    lines[at] = lines[at].replace("410", "820").replace("411", "820")
    found = unusual(chassis_from_text("".join(lines)))
    kink = only(found, "kink in plan")
    assert kink.where == f"both rails at {index * 1000} mm, kink in plan"
    assert kink.value == pytest.approx({1: 44.5, 2: 35.1}[index], abs=0.1)  # arc tangents by hand
    assert only(found, f"middle to middle, at {index * 1000} mm").value == 1640


def test_a_kick_up_is_no_kink_and_a_step_in_height_is_one():
    usual = FILE.replace("{ station = 2000, half_spacing = 411, height = 0 }",
                         "{ station = 2000, half_spacing = 411, height = 0 },\n"
                         "    { station = 2300, half_spacing = 411, height = 150 }")
    assert unusual(chassis_from_text(usual)) == ()
    steep = usual.replace("station = 2300", "station = 2100")
    assert only(unusual(chassis_from_text(steep)), "kink in height").value == pytest.approx(56.3 + 5.0, abs=0.2)


@pytest.mark.parametrize(
    ("old", "new", "where", "value", "hint"),
    [
        ("load = 850", "load = 160\nunsprung = 100", "rear axle, load", 160, "a decimal point? 1600 kg would be usual"),
        ("load = 850", "load = 8500", "rear axle, load", 8500, "a decimal point? 850 kg"),
        ("load = 850", "load = 5000", "front axle, part of the whole weight", 100 * 960 / 5960, "weighed alike"),
        ("wheelbase = 2400", "wheelbase = 1700", "wheelbase", 1700, "read it again"),
        ("wheelbase = 2400", "wheelbase = 1300", "rails behind the rear axle", 1800, "wheelbase"),
        ("station = 700", "station = 1390", "rails ahead of the front axle", 1390, "front end?"),
        ("track = 1480", "track = 750", "rear axle, track", 750, "from one side to the other? 1500 mm"),
        ("unsprung = 165", "unsprung = 16.5", "front axle, unsprung", 16.5, "a decimal point? 165 kg"),
        ("unsprung = 165", "unsprung = 500", "front axle, unsprung as a part", 52.083, "below the springs?"),
        ("spring_base = 790", "spring_base = 395", "front axle, spring_base", 395, "to the other? 790 mm"),
        ("rate = 31", "rate = 310", "front axle, rate", 310, "a decimal point? 31 N/mm"),
        ("rate = 31", "rate = 3.1", "front axle, rate", 3.1, "a decimal point? 31 N/mm"),
        ("rate = 31", "rate = 31\ntyre_rate = 25", "front axle, tyre_rate", 25, "a decimal point? 250 N/mm"),
        ("rate = 31", "rate = 31\nbump_gap = 0.06\nbump_rate = 900", "front axle, bump_gap", 0.06, "read it again"),
        ("rate = 31", "rate = 31\ndroop = 80\nstrap_rate = 20", "front axle, strap_rate", 20, "a decimal point?"),
        ("rate = 31", "rate = 31\nanti_roll = 350", "front axle, anti_roll", 350, "N m/deg?"),
        ("mass = 210", "mass = 0.21", "mass engine", 0.21, "tonnes? 210 kg"),
        ("mass = 210", "mass = 1050", "mass engine", 1050, "a decimal point? 105 kg"),
        ("at = { station = 610", "at = { station = -900", "mass engine, beyond the rails' end", 900, "same datum?"),
        ("mass = 210", "people = 12", "mass engine, people", 12, "persons, or their mass in kg?"),
        ("mass = 210", 'litres = 1300\nfluid = "water"\nfill = 0.9', "engine, litres in it", 1170, "point? 117 l"),
        ("station = 600", "station = 600\nrate = 9", "engine mount, both sides, rate", 9, "a decimal point? 90 N/mm"),
        ("station = 600", "station = 600\nrate = 300\nrate_along = 2000", "sides, rate_along", 2000, "200 N/mm"),
        ('on = ["engine mount"]', "spread = { from = 500, to = 1100 }", "middle of its spread", -190, "pulled up"),
        ("y = 0, height = 250", "y = 1400, height = 250", "mass engine, from the centre line", 1400, "decimal point?"),
        ("height = 250", "height = 2500", "mass engine, above the rails' middle", 2500, "a decimal point? 250 mm"),
        ("factor = 2.2", "factor = 0.22", "case on the road, factor", 0.22, "a decimal point? 2.2 would be usual"),
        ("height = 190", "height = 0.19", "case ramp, height", 0.19, "metres? 190 mm"),
        ("height = 190", "height = 1900", "case ramp, height", 1900, "a decimal point? 190 mm"),
        ("[material]", "[body]\nfrom = 3000\n[material]", "body, part of the rails' length", 100 * 8 / 38, "stations?"),
    ],
)  # fmt: skip
def test_weights_and_springs(old, new, where, value, hint):
    one = only(seen(old, new), where)
    assert one.value == pytest.approx(value, rel=1e-4)
    assert hint in one.hint


DAMPED = ("track = 1480", "track = 1480\ndamper = { force = 2 }")
EXTRA = """
[towing]
coupling = "hook"
trailer = 1500
nose_weight = 90
winch = "plate"
line_pull = 36
[body]
stiffening = 1.4
[[mounts]]
name = "hook"
on = "rear"
height = -80
[[mounts]]
name = "plate"
on = "front"
[[cases]]
name = "bend"
kind = "cornering"
acceleration = 0.8
[[cases]]
name = "haul"
kind = "winch"
at = ["engine mount"]
force = 20
angle = 20
bridle = 700
[[cases]]
name = "props"
kind = "stands"
at = ["engine mount", "hook", "plate"]
low = { "plate" = 10 }
forces = [{ at = "hook", z = -2 }]
[[cases]]
name = "both"
kind = "combination"
of = [{ case = "bend", times = 0.7 }, { case = "haul" }]
"""
TOP = ("wheelbase = 2400", "wheelbase = 2400\nheight_above_ground = 540\ncentre_of_gravity = 690")


@pytest.mark.parametrize(
    ("old", "new", "where", "value", "hint"),
    [
        ("height_above_ground = 540", "height_above_ground = 54", "middle between the axles, above the", 54, "540 mm"),
        ("centre_of_gravity = 690", "centre_of_gravity = 1900", "centre_of_gravity", 1900, "read it again"),
        ("damper = { force = 2 }", "tyre_radius = 740", "rear axle, tyre_radius", 740, "the diameter? 370 mm"),
        ("damper = { force = 2 }", "damper = { force = 900 }", "rear axle, damper, force", 900, "newtons? 0.9 kN"),
        ("damper = { force = 2 }", "arms = { height = 540 }", "rear axle, arms above the rails'", 540, "point? 54 mm"),
        ("damper = { force = 2 }", "arms = { station = 600 }", "from the axle to its arms", 2500, "point? 250 mm"),
        ("damper = { force = 2 }", "roll_centre = -300", "rear axle, side forces above", -300, "point? -30 mm"),
        ("trailer = 1500", "trailer = 15000", "towing, trailer", 15000, "a decimal point? 1500 kg"),
        ("nose_weight = 90", "nose_weight = 400", "nose_weight as a part of the trailer", 26.667, "drawbar weighs"),
        ("nose_weight = 90", "nose_weight = 0.09", "towing, nose_weight", 0.09, "tonnes? 90 kg"),
        ("line_pull = 36", "line_pull = 360", "towing, line_pull", 360, "a decimal point? 36 kN"),
        ("stiffening = 1.4", "stiffening = 14", "body, stiffening", 14, "a decimal point? 1.4 would"),
        ('"hook"\non = "rear"\nheight = -80', '"hook"\non = "front"\nheight = -80', "coupling behind the rear", -3000,
         "datum?"),
        ("height = -80\n", "height = 800\n", "coupling above the ground", 1340, "rails' datum?"),
        ("acceleration = 0.8", "acceleration = 0.08", "case bend, acceleration", 0.08, "a decimal point? 0.8 g"),
        ("force = 20\n", "force = 0.2\n", "case haul, force", 0.2, "kN?"),
        ("angle = 20", "angle = 0.5236", "case haul, angle", 0.5236, "radians? 30 degrees"),
        ("angle = 20", "angle = 80", "case haul, angle", 80, "measured from straight on?"),
        ("angle = 20", "up = 90", "case haul, up", 90, "measured from level?"),
        ("bridle = 700", "bridle = 0.7", "case haul, bridle", 0.7, "metres? 700 mm"),
        ('"plate" = 10', '"plate" = 400', "case props, low, plate", 400, "a decimal point? 40 mm"),
        ("z = -2", "z = -600", "case props, force at hook", 600, "newtons? 0.6 kN"),
        ("times = 0.7", "times = 0.07", "case both, times bend", 0.07, "a decimal point? 0.7"),
    ],
)  # fmt: skip
def test_links_towing_and_cases(old, new, where, value, hint):
    text = FILE.replace(*TOP).replace(*DAMPED) + EXTRA
    assert unusual(chassis_from_text(text)) == ()
    assert old in text
    found = [u for u in unusual(chassis_from_text(text.replace(old, new, 1))) if where in u.where]
    assert [u.value for u in found] == [pytest.approx(value, rel=1e-4)]
    assert hint in found[0].hint


def test_a_mass_heavier_than_the_vehicle():
    """A load put on after weighing may weigh as much as all that was weighed, here 1810 kg."""
    put_on = FILE.replace("aboard = true", "aboard = false")
    assert unusual(chassis_from_text(put_on.replace("mass = 210", "mass = 1800"))) == ()
    one = only(unusual(chassis_from_text(put_on.replace("mass = 210", "mass = 2100"))), "mass engine")
    assert (one.high, one.unit) == (pytest.approx(1810), "kg")


def test_shares_of_the_whole():
    """Walls of 8 mm are within their range, and together much of a light vehicle; by hand: two rails of 3800 mm with
    8 (2 x 140 + 2 x 70 - 32) mm2 at 7.85e-6 kg/mm3 weigh 185 kg of 1000 weighed."""
    light = FILE.replace("load = 960", "load = 500").replace("load = 850", "load = 500")
    text = light.replace("wall = 2.5 ", "wall = 8 ")
    one = only(unusual(chassis_from_text(text)), "frame itself")
    assert 18.5 < one.value < 22  # the rails alone, and what crossmembers and outriggers can add
    weightless = text.replace("yield_stress = 240", "yield_stress = 240\ndensity = 0")
    assert not [u for u in unusual(chassis_from_text(weightless)) if "frame" in u.where]


def test_too_little_is_left_for_the_rest():
    """1810 kg weighed, less 165 and 170 unsprung, about 85 of frame, 210 and 1160 listed: some 20 kg or 1 %."""
    listed = '[[masses]]\nname = "all else"\nmass = 580\non = ["engine mount"]\naboard = true\n'
    text = FILE.replace("[[axles]]", listed + listed.replace("all else", "the other half") + "[[axles]]", 1)
    one = only(unusual(chassis_from_text(text)), "rest that is not listed")
    assert -1 < one.value < 2
    assert not [u for u in unusual(chassis_from_text(text.replace("580", "500"))) if "rest" in u.where]


def residual_height(text):
    return [u.value for u in unusual(chassis_from_text(text)) if "its centre above" in u.where]


def test_where_the_rest_would_have_its_centre():
    """By hand, heights from the rails' middle, which is 540 mm above the ground: 1810 kg at 430 - 540, less 165 kg
    (front axle, its wheels' centres 370 mm above the ground), 165 at the rear, 210 at 250 and some 90 kg of frame near
    0, leave 1180 kg at (1810 x -110 - 330 x -170 - 210 x 250) / 1180 = -166 mm.  With a centre of gravity that nobody
    stated or that no case needs nothing is said."""
    low = TOP[1].replace("690", "430")
    bend = '[[cases]]\nname = "bend"\nkind = "cornering"\n'
    text = FILE.replace(TOP[0], low).replace("load = 850", "load = 850\nunsprung = 165").replace(
        "[material]", f"{bend}[material]"
    )
    one = only(unusual(chassis_from_text(text)), "rest that is not listed, its centre above the rails' middle")
    assert one.value == pytest.approx(-166, abs=5)
    assert (one.low, one.high, one.source) == (0, 1500, "common practice, no source")
    assert one.hint == "centre_of_gravity, or the heights of listed masses?"
    assert residual_height(text.replace("430", "690")) == []
    assert residual_height(text.replace(bend, "")) == []
    assert residual_height(text.replace("\ncentre_of_gravity = 430", "")) == []
    deep = text.replace("height = 250", "height = -399").replace("mass = 210", "mass = 700").replace("430", "1200")
    assert [round(h, -2) for h in residual_height(deep)] == [2200]


def test_what_is_assumed_is_not_held_against_the_file():
    """Rear springs, unsprung mass and spring base of the file are assumed; stated just as unusual they would show."""
    axle = "load = 850\ntrack = 1480\n"
    wide = FILE.replace("half_spacing = 41", "half_spacing = 72")
    assert [u.where for u in unusual(chassis_from_text(wide)) if "spring_base" in u.where] == []
    stated = wide.replace(axle, axle + "spring_base = 1440\n")
    assert only(unusual(chassis_from_text(stated)), "rear axle, spring_base").value == 1440


def test_made_in_python_is_looked_at_too(made):
    c = made.chassis(cases=(CaseSpec(name="half", kind="amplified", factor=0.5),))
    assert only(unusual(c), "case half, factor").low == 1
    cross = replace(made.LADDER[1], joint_right=Joint(doubler=50.0))
    found = unusual(made.chassis(crossmembers=(made.LADDER[0], cross, made.LADDER[2])))
    assert only(found, "joint at right rail").value == 50


def test_axles_without_weight_are_no_stumbling_block(made):
    axles = (made.axle("front", 700.0, 0.0, unsprung=0.0), made.axle("rear", 3300.0, 0.0, unsprung=0.0))
    assert unusual(made.chassis(axles=axles)) == ()


def test_alike_left_and_right_is_told_once(made):
    left, right = made.rails(made.box(150, 75, 20))
    assert [u.where for u in unusual(made.chassis(rails=(left, right))) if "wall" in u.where] == [
        "both rails from 0 to 4000 mm, wall"
    ]
    other = made.rail("right", made.box(150, 75, 21))
    assert [(u.where.split()[0], u.value) for u in unusual(made.chassis(rails=(left, other))) if "wall" in u.where] == [
        ("left", 20), ("right", 21),
    ]  # fmt: skip


@given(st.floats(0.01, 1e6))
def test_a_range_is_silent_inside_and_speaks_outside(value):
    found = list(Usual(low=10, high=20).look("here", value))
    assert len(found) == (0 if 10 <= value <= 20 else 1)
    assert all(isinstance(u, Unusual) and u.value == value and u.hint for u in found)


def test_words():
    def words(low, high, unit="mm"):
        return Unusual(where="", value=1234.56, low=low, high=high, unit=unit, source="", hint="")

    assert words(1.5, 8).usual == "1.5 to 8 mm"
    assert words(10, inf).usual == "10 mm or more"
    assert words(-inf, 0.5, "").usual == "up to 0.5"
    assert words(1, 2, "").shown == "1235"


def test_diaphragms_of_unusual_thickness_and_place():
    plate = '[[diaphragms]]\nname = "front plate"\nrail = "left"\nstation = {}\nthickness = {}\n'
    assert unusual(chassis_from_text(FILE + plate.format(1000, 3))) == ()
    thick = only(unusual(chassis_from_text(FILE + plate.format(1000, 30))), "front plate")
    assert (thick.where, thick.value) == ("diaphragm front plate, thickness", 30)
    assert thick.hint == "a decimal point? 3 mm would be usual"
    near = only(unusual(chassis_from_text(FILE + plate.format(603, 3))), "front plate")
    assert near.where == "left rail, engine mount left at 600 and diaphragm front plate at 603 mm"
    assert only(unusual(chassis_from_text(FILE + plate.format(1.2, 3))), "diaphragm front plate, station").value == 1.2
