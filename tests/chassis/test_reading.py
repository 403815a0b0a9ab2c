"""What a chassis file says, and what the Chassis then holds; expected values are worked out by hand."""

from __future__ import annotations

import subprocess
import sys
from math import inf

import pytest

from ladderfe.chassis import chassis_from_text, place_of_case, with_assumption
from ladderfe.errors import InputError
from ladderfe.sections import Angle, Box, Channel, Flat, TopHat, Tube

SECTIONS = 'sections = [{ shape = "box", depth = 120, width = 65, wall = 2.5 }]'
BOX = Box(depth=120, width=65, top=2.5, bottom=2.5, minus=2.5, plus=2.5)
REAR_TUBE = 'shape = "tube"\ndiameter = 60\nwall = 3'


@pytest.fixture
def read(minimal):
    """Reads the small file with text replaced in it and more text at its end."""

    def reader(*changes, more=""):
        text = minimal
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        return chassis_from_text(text + more)

    return reader


def test_units_are_those_of_the_inside(read):
    c = read(("mass = 180", 'mass = "400 lb"'), more='unsprung = 150\n[material]\ndensity = "7.85 t/m3"\n')
    assert c.masses[0].mass == pytest.approx(0.4 * 0.45359237)  # t
    assert c.axles[0].load == pytest.approx(0.8)
    assert c.axles[1].unsprung == pytest.approx(0.15)
    assert c.material.density == pytest.approx(7.85e-9)  # t/mm3
    in_inches = read(("depth = 120, width = 65", 'depth = "4 3/4 in", width = "2 1/2 in"')).rails[0].spans[0].shape
    assert (in_inches.depth, in_inches.width) == pytest.approx((120.65, 63.5))


def test_left_and_right_mirror_each_other(read):
    channel = '{ shape = "channel", depth = 120, width = 60, wall = 4, opens = "inward" }'
    left, right = read((SECTIONS, f"sections = [{channel}]")).rails
    assert (left.spans[0].shape.opens, right.spans[0].shape.opens) == ("+y", "-y")  # toward the centre line
    assert left.path == right.path
    assert (left.sign, right.sign) == (-1, 1)


def test_walls_by_name(read):
    walls = '{ shape = "box", depth = 120, width = 65, top = 2, bottom = 2.2, inner = 2.4, outer = 2.6 }'
    left, right = read((SECTIONS, f"sections = [{walls}]")).rails
    assert right.spans[0].shape == Box(depth=120, width=65, top=2, bottom=2.2, minus=2.4, plus=2.6)
    assert left.spans[0].shape == Box(depth=120, width=65, top=2, bottom=2.2, minus=2.6, plus=2.4)


def test_sections_follow_each_other(read):
    sections = (
        'sections = [{ to = 1000, shape = "box", depth = 80, depth_end = 120, width = 65, wall = 2.5 }, '
        '{ shape = "box", depth = 120, width = 65, wall = 2.5 }, '
        '{ from = 3000, shape = "tube", diameter = 80, wall = 3 }]'
    )
    spans = read((SECTIONS, sections)).rails[1].spans
    assert [(s.start, s.end) for s in spans] == [(0, 1000), (1000, 3000), (3000, 3600)]
    assert (spans[0].shape.depth, spans[0].shape_end) == (80, BOX)
    assert spans[1].shape_end is None
    assert spans[2].shape == Tube(diameter=80, wall=3)


@pytest.mark.parametrize(
    ("spacing_to", "height_to", "half", "height"),
    [("middle", "middle", 380, 0), ("outside", "top", 380 - 32.5, -60), ("inside", "bottom", 380 + 32.5, 60)],
)
def test_faces_that_were_measured(read, spacing_to, height_to, half, height):
    """The path is that of the outline's middle: half a width (65) and half a depth (120) from the measured face."""
    c = read(("[rails]", f'[rails]\nspacing_to = "{spacing_to}"\nheight_to = "{height_to}"'))
    assert [(p.half_spacing, p.height) for p in c.rails[1].path] == [(half, height)] * 2


def test_a_taper_measured_at_its_top_moves_its_middle(read):
    sections = (
        'sections = [{ to = 1000, shape = "box", depth = 120, width = 65, wall = 2.5 }, '
        '{ to = 1800, shape = "box", depth = 120, depth_end = 80, width = 65, wall = 2.5 }, '
        '{ shape = "box", depth = 80, width = 65, wall = 2.5 }]'
    )
    path = read(("[rails]", '[rails]\nheight_to = "top"'), (SECTIONS, sections)).rails[0].path
    assert [(p.station, p.height) for p in path] == [(0, -60), (1000, -60), (1800, -40), (3600, -40)]


def test_spacing_from_rail_to_rail(read):
    c = read(("station = 0, half_spacing = 380", "station = 0, spacing = 700"))
    assert [p.half_spacing for p in c.rails[0].path] == [350, 380]


def test_one_rail_may_differ(read):
    own = '[rails.left]\nsections = [{ shape = "box", depth = 120, width = 65, wall = 1.5 }]\n'
    left, right = read(more=own).rails
    assert left.spans[0].shape.top == 1.5
    assert right.spans[0].shape == BOX
    assert left.path == right.path


def test_crossmembers_of_every_shape(read):
    more = "".join(
        f'[[crossmembers]]\nname = "{shape} {i}"\nstation = {1000 + 200 * i}\nshape = "{shape}"\n{sizes}\n'
        for i, (shape, sizes) in enumerate(
            [
                ("channel", 'depth = 80\nwidth = 40\nweb = 4\nflange = 3\nopens = "rearward"'),
                ("channel", 'depth = 40\nwidth = 80\nwall = 3\nrear = 2\nopens = "down"\nradius = 6'),
                ("top hat", 'depth = 40\nwidth = 90\nwall = 2\nbrim = 15\nopens = "up"'),
                ("flat", "depth = 60\nthickness = 8"),
                ("angle", 'depth = 50\nwidth = 40\nwall = 4\ncorner = "bottom front"'),
            ]
        )
    )
    shapes = [c.shape for c in read(more=more).crossmembers[2:]]
    assert shapes == [  # +y is forward on a crossmember
        Channel(depth=80, width=40, web=4, top=3, bottom=3, opens="-y"),
        Channel(depth=40, width=80, web=3, top=2, bottom=3, opens="-z", radius=6),  # "top" is the flange at -y
        TopHat(depth=40, width=90, wall=2, brim=15, opens="+z"),
        Flat(depth=60, thickness=8),
        Angle(depth=50, width=40, wall=4, corner="+y-z"),
    ]


def test_crossmembers_slant_and_drop(read):
    slant = (
        "station_left = 3400\nstation_right = 3500\nheight_right = 20\n"
        "via = [{ y = -200, height = -90 }, { y = 200, height = -80 }]"
    )
    c = read(
        ("station = 3500", slant),
        ("station = 3600, half_spacing = 380, height = 0", "station = 3600, half_spacing = 380, height = 36"),
    )
    rear = c.crossmembers[1]
    assert (rear.station_left, rear.station_right) == (3400, 3500)
    assert (rear.height_left, rear.height_right) == pytest.approx((34, 20))  # the rail's own middle at the left
    assert rear.via == ((-200, -90), (200, -80))


def test_joints(read):
    soft = 'joint = { kind = "through", rx = 20, ry = "free", y = "5000 N/mm" }\njoint_right = "rigid"'
    rear = read((REAR_TUBE, f"{REAR_TUBE}\n{soft}")).crossmembers[1]
    assert rear.joint_left.stiffness == (inf, 5000, inf, 20e6, 0, inf)  # N/mm and N mm/rad
    assert (rear.joint_left.kind, rear.joint_left.given) == ("through", True)
    assert rear.joint_right.stiffness == (inf,) * 6
    assert rear.joint_right.given
    front = read().crossmembers[0].joint_left
    assert (front.kind, front.given, front.stiffness) == ("butted", False, (inf,) * 6)


def test_joints_to_be_estimated(read):
    """Without a stiffness a joint is left to the estimate, however well it is described."""
    plated = 'joint = { kind = "through" }\njoint_left = { doubler = 3, margin = "1 in" }\n'
    c = read((REAR_TUBE, f"{REAR_TUBE}\n{plated}"), more='[joints]\nestimate = "low"\n')
    left, right = c.crossmembers[1].joint_left, c.crossmembers[1].joint_right
    assert (left.kind, left.given, left.doubler, left.margin) == ("butted", False, 3, 25.4)
    assert (right.kind, right.given, right.doubler, right.margin) == ("through", False, 0, 0)
    assert c.joint_level == -1
    made = 'joint_left = { kind = "gusseted in plan", gusset = "2 in" }\njoint_right = { kind = "wrapped" }'
    left, right = ((r := read((REAR_TUBE, f"{REAR_TUBE}\n{made}")).crossmembers[1]).joint_left, r.joint_right)
    assert (left.kind, left.given, left.gusset) == ("gusseted in plan", False, 50.8)
    assert (right.kind, right.given, right.gusset) == ("wrapped", False, 0)
    bolted = read((REAR_TUBE, f'{REAR_TUBE}\njoint = {{ kind = "bolted", rx = 20 }}')).crossmembers[1].joint_left
    assert (bolted.kind, bolted.given, bolted.stiffness[3]) == ("bolted", True, 20e6)
    assert read(more='[joints]\nestimate = "rigid"\n').joint_level == inf
    assert read(more="[joints]\n").joint_level == read().joint_level == 0
    box = read(more=OUTRIGGER.replace("wall = 3", 'wall = 3\njoint = { kind = "through" }')).outriggers
    assert [(o.joint.kind, o.joint.given) for o in box] == [("through", False)] * 2


OUTRIGGER = """
[[outriggers]]
name = "step"
rail = "both"
station = 1500
length = 200
shape = "tube"
diameter = 40
wall = 3
"""


def test_outriggers_and_their_mounts(read):
    mounts = '[[mounts]]\nname = "body"\non = "step"\n[[mounts]]\nname = "tank"\non = "step left"\ny = -500\n'
    c = read(more=OUTRIGGER + mounts)
    assert [(o.name, o.side, o.length) for o in c.outriggers] == [
        ("step left", "left", 200),
        ("step right", "right", 200),
    ]
    tip = 380 + 65 / 2 + 200  # rail's middle, half its width, length
    found = {m.name: (m.part, m.station, m.y, m.height) for m in c.mounts}
    assert found["body left"] == ("step left", 1500, -tip, 0)
    assert found["body right"] == ("step right", 1500, tip, 0)
    assert found["tank"] == ("step left", 1500, -500, 0)


def test_mounts_on_rails_and_crossmembers(read):
    mounts = (
        '[[mounts]]\nname = "shock"\non = "left rail"\nstation = 1000\noffset = 50\nheight = 90\n'
        '[[mounts]]\nname = "tail"\non = "rear"\n[[mounts]]\nname = "hook"\non = "rear"\ny = 100\nstation = 3550\n'
    )
    c = read(more=mounts)
    found = {m.name: (m.part, m.station, m.y, m.height) for m in c.mounts}
    assert found["engine mount left"] == ("left rail", 700, -380, 0)
    assert found["engine mount right"] == ("right rail", 700, 380, 0)
    assert found["shock"] == ("left rail", 1000, -430, 90)
    assert found["tail"] == ("rear", 3500, 0, 0)
    assert found["hook"] == ("rear", 3550, 100, 0)


def test_masses_and_their_mounts(read):
    extra = (
        '[[masses]]\nname = "box"\nmass = 20\nat = { station = 900, y = 30, height = 200 }\n'
        'on = "engine mount right"\naboard = false\n'
    )
    engine, box = read(more=extra).masses
    assert engine.mounts == ("engine mount left", "engine mount right")
    assert engine.centre == (700, 0, 0)  # the middle of its mounts
    assert (box.centre, box.mounts, box.aboard) == ((900, 30, 200), ("engine mount right",), False)


def test_axles_by_wheelbase_or_station(read):
    front, rear = read().axles
    assert (front.name, front.station, rear.name, rear.station) == ("front", 600, "rear", 2900)
    swapped = read(("wheelbase = 2300\n", ""), ("station = 600", "station = 2900"), more="station = 600\n").axles
    assert [(a.name, a.station, a.load) for a in swapped] == [("front", 600, 0.75), ("rear", 2900, 0.8)]


def test_springs_and_wheel_loads(read):
    leaf = 'spring = "leaf"\neyes = [2400, 3500]\nwheel_loads = { left = 372, right = 382 }\n'
    front = ("load = 800", "load = 800\nwheel_loads = { left = 400, right = 400 }")
    rear = read(front, more=leaf).axles[1]
    assert rear.seats == ((2400, pytest.approx(600 / 1100)), (3500, pytest.approx(500 / 1100)))  # lever about 2900
    assert sum(rear.wheel_loads) == pytest.approx(rear.load, rel=1e-15)  # 754 weighed by wheel, brought to 750
    assert rear.wheel_loads[0] / rear.wheel_loads[1] == pytest.approx(372 / 382)
    assert read().axles[0].wheel_loads is None


def test_wheels_of_one_axle_only_are_told_at_the_other_ones_line(read, minimal):
    """The roll of the other axle would be a guess that the file does not list."""
    with pytest.raises(InputError) as caught:
        read(more="wheel_loads = { left = 372, right = 382 }\n")
    (problem,) = caught.value.problems
    assert problem.line == minimal[: minimal.index("[[axles]]")].count("\n") + 1
    assert problem.key == "axle 1, wheel_loads"
    assert "is missing" in problem.rule
    assert problem.suggestion == "Give wheel_loads for both axles or for neither"


def test_no_case_is_called_as_the_state_on_the_scales_is(read):
    """Every solution has that case first, and what is asked for by name would be its."""
    from ladderfe.solve import AS_WEIGHED

    with pytest.raises(InputError, match="is already the name of the state in which the vehicle was weighed"):
        read(more=f'[[cases]]\nname = "{AS_WEIGHED}"\nkind = "amplified"\nfactor = 3\n')


FIRST = '[[mounts]]\nname = "engine mount'
SILL = '[[outriggers]]\nname = "{}"\nrail = "{}"\nstation = {}\nlength = 200\n'
SILL += 'shape = "tube"\ndiameter = 60\nwall = 3\n'
OUTRIGGERS = SILL.format("sill left", "right", 900) + SILL.format("sill", "both", 1800)
STEPS = SILL.format("sill", "both", 900) + '[[mounts]]\nname = "step left"\non = "rear"\n'
STEPS += '[[mounts]]\nname = "step"\non = "sill"\n'


@pytest.mark.parametrize(("changes", "more", "key", "taken"), [
    ((FIRST, '[[mounts]]\nname = "engine mount left"\non = "rear"\n\n' + FIRST), "", "engine mount", "mount 1"),
    (("wall", "wall"), OUTRIGGERS, "sill", "outrigger 1"),
    (("wall", "wall"), STEPS, "step", "mount 2"),
    (('name = "front"', 'name = "crossmember 2"'), "", "", "crossmember 1"),
])  # fmt: skip
def test_names_of_what_stands_on_both_sides_are_its_own(read, changes, more, key, taken):
    """Two of one name would be one to all that names them: the load of the first would hang on the second, silently."""
    numbered = (changes,) if key else (changes, ('name = "rear"\n', ""))
    with pytest.raises(InputError) as caught:
        read(*numbered, more=more)
    (problem,) = caught.value.problems
    assert problem.rule.endswith(f"is already the name of {taken}")
    assert not key or f'calls the one on the left "{key} left"' in problem.rule


def test_what_is_beside_the_springs(read):
    """N, mm and N mm/rad inside; words for no limit; nothing where there is none."""
    more = (
        'suspension = "independent"\nmotion_ratio = 0.7\nanti_roll = 12\nbump_gap = 65\nbump_rate = 900\n'
        'droop = "3 in"\nstrap_rate = 700\npull = 1.5\ntyre_rate = 210\n'
    )
    front, rear = read(more=more).axles
    assert (rear.motion_ratio, rear.anti_roll, rear.tyre_rate) == (0.7, 12e6, 210)
    assert (rear.bump_gap, rear.bump_rate) == (65, 900)
    assert (rear.droop, rear.strap_rate) == (pytest.approx(76.2), 700)
    assert rear.pull == 1500
    assert (front.motion_ratio, front.anti_roll) == (1, 0)
    assert (front.bump_gap, front.bump_rate, front.droop, front.strap_rate) == (inf, None, inf, None)
    words = read(more='pull = "held"\ntyre_rate = "rigid"\nmotion_ratio = 1\nanti_roll = "250 N m/deg"\n').axles[1]
    assert (words.pull, words.tyre_rate) == (inf, inf)
    assert words.anti_roll == pytest.approx(250e3 * 180 / 3.141592653589793)
    assert read(more='pull = "loose"\n').axles[1].pull == 0


BENCH = """
[[bench_tests]]
name = "levers"
held = [{ rail = "left", station = 600 }, { rail = "right", station = 600 }, { rail = "left", station = 2900 }]
loads = [{ rail = "right", station = 2900, force = -1.5 }]
gauges = [{ rail = "right", station = 2900, reading = -8.4 }, { rail = "right", station = "70 in", reading = -3.1 }]
"""


def test_bench_tests(read):
    (test,) = read(more=BENCH).bench_tests
    assert test.name == "levers"
    assert [(p.side, p.station, p.value) for p in test.held] == [("left", 600, 0), ("right", 600, 0), ("left", 2900, 0)]
    assert [(p.side, p.station, p.value) for p in test.loads] == [("right", 2900, -1500)]  # N
    assert [(p.side, p.station, p.value) for p in test.gauges] == [("right", 2900, -8.4), ("right", 1778, -3.1)]
    assert read().bench_tests == ()


def test_usual_cases_and_criteria(read):
    c = read()
    assert [(k.name, k.kind, k.factor, k.axle) for k in c.cases[:4]] == [
        ("static", "static", 1.0, "both"),
        ("amplified", "amplified", 2.0, "both"),
        ("front axle bounce", "bounce", 2.5, "front"),
        ("rear axle bounce", "bounce", 2.5, "rear"),
    ]
    assert (c.criteria.bending, c.criteria.shear) == (165, 100)  # common practice, no source
    assert c.criteria.von_mises == pytest.approx(235 / 1.5)
    assert c.criteria.source == (
        "bending 165 N/mm2 common practice, no source; average shear 100 N/mm2 common practice, no source; "
        "von Mises yield 235 over 1.5 (yield unknown)"
    )


def test_own_cases_and_criteria(read):
    more = (
        '[[cases]]\nname = "ditch"\nkind = "bounce"\naxle = "rear"\nfactor = 3\n'
        '[material]\nyield_stress = 355\n[criteria]\nbending = 200\nsource = "own test"\n'
    )
    c = read(more=more)
    assert [(k.name, k.factor, k.axle) for k in c.cases] == [("ditch", 3, "rear")]
    assert c.material.yield_stress == 355
    assert (c.criteria.bending, c.criteria.von_mises) == (200, pytest.approx(355 / 1.5))
    assert c.criteria.source == (
        "own test; average shear 100 N/mm2 common practice, no source; von Mises yield 355 over 1.5"
    )


def test_cases_stand_on_their_lines(read, minimal):
    """An added case's table begins on the line behind the file's last; usual cases stand on none."""
    c = read(more='[[cases]]\nname = "ditch"\nkind = "bounce"\naxle = "rear"\nfactor = 3\n')
    assert place_of_case(c, "ditch") == f"chassis file:{len(minimal.splitlines()) + 1}"
    assert place_of_case(c, "hole") == ""
    usual = read()
    assert {place_of_case(usual, k.name) for k in usual.cases} == {""}


def test_cases_of_twist(read):
    more = (
        '[[cases]]\nname = "couple"\nkind = "limit twist"\n'
        '[[cases]]\nname = "bump"\nkind = "one wheel bump"\nwheels = "rear right"\nfactor = 1.5\n'
        '[[cases]]\nname = "ramp"\nkind = "raised"\nwheels = ["front right", "rear left"]\nheight = "8 in"\n'
        '[[cases]]\nname = "kerb"\nkind = "raised"\nwheels = ["rear left"]\nheight = 150\n'
    )
    found = [(k.name, k.kind, k.factor, k.wheels, k.height) for k in read(more=more).cases]
    assert found == [
        ("couple", "limit twist", 1.0, ("front left",), 0),
        ("bump", "one wheel bump", 1.5, ("rear right",), 0),
        ("ramp", "raised", 1.0, ("front right", "rear left"), pytest.approx(203.2)),
        ("kerb", "raised", 1.0, ("rear left",), 150),
    ]


PLATES = """
[[diaphragms]]
rail = "both"
station = 5
thickness = 3
[[diaphragms]]
name = "rear plate"
rail = "right"
station = "3.4 m"
thickness = "1/8 in"
"""


def test_diaphragms(read):
    """One for both rails is two; without a name they are numbered."""
    c = read(more=PLATES)
    assert [(d.name, d.side, d.station) for d in c.diaphragms] == [
        ("diaphragm 1 left", "left", 5.0), ("diaphragm 1 right", "right", 5.0), ("rear plate", "right", 3400.0),
    ]  # fmt: skip
    assert [d.thickness for d in c.diaphragms] == pytest.approx([3.0, 3.0, 3.175])
    assert read().diaphragms == ()


def test_a_diaphragm_at_the_end_of_a_box_is_in_the_box(read):
    """Where a channel follows, the plate that closes the box counts; a tenth of a millimetre on it does not."""
    channel = 'to = 2000 }, { shape = "channel", depth = 120, width = 65, wall = 4, opens = "inward" }]'
    stepped = ("wall = 2.5 }]", f"wall = 2.5, {channel}")
    c = read(stepped, more=PLATES.replace('"3.4 m"', "2000"))
    assert c.diaphragms[2].station == 2000.0
    with pytest.raises(InputError, match="the right rail is a channel, and only boxes rack"):
        read(stepped, more=PLATES.replace('"3.4 m"', "2000.1"))


def test_how_joints_are_modelled(read):
    assert read().joint_model == "walls"
    assert read(more='[joints]\nmodel = "walls"\n') == read()
    springs = read(more='[joints]\nmodel = "springs"\n')
    assert springs.joint_model == "springs"
    assert springs.joint_level == 0.0
    assert {a.key for a in springs.assumptions} == {a.key for a in read().assumptions}


def test_with_another_assumption_diaphragms_and_model_stay(read):
    c = read(more=PLATES + '[joints]\nmodel = "springs"\n')
    moved = with_assumption(c, "joints.level", 1.0)
    assert (moved.diaphragms, moved.joint_model, moved.joint_level) == (c.diaphragms, "springs", 1.0)


def test_importing_the_room_stays_light():
    """Neither pydantic nor anything that draws or solves is loaded before a file is read."""
    heavy = {"pydantic", "scipy", "tomllib", "pyvista", "matplotlib"}
    code = f"import sys, ladderfe.chassis; print({heavy} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
