"""Load cases as a chassis file states them, the usual set, and what stands in for what is left out.

Expected values are worked out by hand from the small file: 800 and 750 kg on the axles at 600 and 2900 mm.
"""

from __future__ import annotations

import pytest

from ladderfe.chassis import chassis_from_text, with_assumption

HOOKS = """
[[mounts]]
name = "tow eye"
on = "rear"

[[mounts]]
name = "winch plate"
on = "front"

[[mounts]]
name = "recovery eye"
on = "both rails"
station = 60

[[mounts]]
name = "jack pad"
on = "both rails"
station = 2400
"""
TOWING = """
[towing]
coupling = "tow eye"
trailer = 1500
winch = "winch plate"
line_pull = "8000 lbf"
recovery = ["recovery eye"]
"""
WORKSHOP = """
[workshop]
jack = "jack pad"
pads = ["engine mount", "jack pad"]
stands = ["engine mount", "jack pad left", "jack pad right"]
"""
ROAD = [
    "static", "amplified", "front axle bounce", "rear axle bounce", "one wheel bump, front left",
    "one wheel bump, front right", "cross-axle, front left up", "cross-axle, front right up", "cornering left",
    "cornering right", "braking", "drive-off",
]  # fmt: skip
TOWED = [
    "nose weight", "drawbar pull", "rear overhang whip", "winch, straight", "winch, 30 degrees left",
    "winch, 30 degrees right", "recovery, recovery eye left", "recovery, recovery eye right",
]  # fmt: skip
LIFTED = ["jack at jack pad left", "jack at jack pad right", "two-post lift", "stands", "stands, one 10 mm low"]
POUND_FORCE = 0.45359237 * 9.80665  # N: pound and standard gravity by definition
WEIGHT = 1550 * 9.80665  # N


@pytest.fixture(scope="module")
def full(minimal):
    return chassis_from_text(minimal + HOOKS + TOWING + WORKSHOP)


def case(name, kind, *lines):
    return "\n".join(["", "[[cases]]", f'name = "{name}"', f'kind = "{kind}"', *lines, ""])


@pytest.fixture
def read(minimal):
    """The cases of the small file with hooks, by name, and the chassis."""

    def reader(*cases, more=""):
        chassis = chassis_from_text(minimal + HOOKS + "".join(cases) + more)
        return {c.name: c for c in chassis.cases}, chassis

    return reader


def test_the_usual_set(minimal, full):
    assert [c.name for c in chassis_from_text(minimal).cases] == ROAD
    assert [c.name for c in full.cases] == ROAD + TOWED + LIFTED
    assert all(len(c.name) <= 28 for c in full.cases)  # as much as tables of 100 columns have room for


def test_an_axle_on_loose_coils_hangs_on_its_dampers(minimal, full):
    """Where it hangs in some case: their travel is then assumed, as a coil loose on its seat holds nothing."""
    def travels(chassis):
        return {a.key: a.used for a in chassis.assumptions if a.key.endswith(".droop")}

    assert travels(full) == {"axles.front.droop": 120, "axles.rear.droop": 120}
    assert [a.droop for a in full.axles] == [120, 120]
    assert travels(chassis_from_text(minimal)) == {}
    held = (minimal + HOOKS + WORKSHOP).replace("track = ", "pull = 20\ntrack = ")
    assert travels(chassis_from_text(held)) == {"axles.front.droop": 120, "axles.rear.droop": 120}


def test_the_usual_set_has_what_there_is(minimal):
    """A coupling alone whips; a nose weight or a trailer loads it."""
    def names(*lines):
        text = minimal + HOOKS + "\n[towing]\n" + "\n".join(lines)
        return [c.name for c in chassis_from_text(text).cases][len(ROAD):]

    assert names('coupling = "tow eye"') == ["rear overhang whip"]
    assert names('coupling = "tow eye"', "nose_weight = 75") == ["nose weight", "rear overhang whip"]
    assert names('recovery = "tow eye"') == ["recovery, tow eye"]


def test_what_usual_cases_do(full):
    c = {case.name: case for case in full.cases}
    assert c["one wheel bump, front right"].wheels == ("front right",)
    assert c["cross-axle, front right up"].wheels == ("front right", "rear left")
    assert c["cross-axle, front right up"].height == 200
    assert (c["cornering right"].side, c["cornering right"].acceleration) == ("right", 1.0)
    assert c["braking"].acceleration == 1.1
    assert (c["drive-off"].axle, c["drive-off"].acceleration) == ("rear", 0.5)
    assert [c[f"winch, {way}"].angle for way in ("straight", "30 degrees left", "30 degrees right")] == [0, -30, 30]
    assert c["winch, straight"].force == pytest.approx(8000 * POUND_FORCE)
    assert (c["winch, straight"].at, c["winch, straight"].against) == (("winch plate",), "dug in")
    assert c["recovery, recovery eye left"].at == ("recovery eye left",)
    assert c["recovery, recovery eye left"].against == "inertia"
    assert c["jack at jack pad left"].wheels == ("rear left",)  # 2400 is nearer to 2900 than to 600
    assert (c["jack at jack pad left"].at, c["jack at jack pad left"].factor) == (("jack pad left",), 1.1)
    assert len(c["two-post lift"].at) == 4
    assert c["stands, one 10 mm low"].heights == (("engine mount left", -10.0),)
    assert (c["rear overhang whip"].factor, c["rear overhang whip"].at) == (3.5, ("tow eye",))


def test_what_a_trailer_weighs_and_pulls(full):
    """7 % of 1500 kg on the coupling (4 to 10 %); D = g T R / (T + R) with T = 1.55 t and R = 1.5 t is 7.476 kN
    (the term of UN Regulation 55, value from memory)."""
    c = {case.name: case for case in full.cases}
    assert full.towing.nose == pytest.approx(0.105)
    assert c["nose weight"].mass == c["rear overhang whip"].mass == full.towing.nose
    assert c["nose weight"].factor == 2.5
    assert c["drawbar pull"].force == pytest.approx(9806.65 * 1.55 * 1.5 / 3.05)
    assert c["drawbar pull"].force == pytest.approx(7475.6, abs=0.1)


#: Key of what is assumed -> low, used, high, and the case and field that it moves (times a factor).
ASSUMED = {
    "towing.nose_weight": (60.0, 105.0, 150.0, "nose weight", "mass", 1e-3),
    "cases.nose weight.factor": (2.0, 2.5, 3.0, "nose weight", "factor", 1.0),
    "cases.rear overhang whip.factor": (3.0, 3.5, 4.0, "rear overhang whip", "factor", 1.0),
    "cases.recovery.force": (2.0, 2.0, 3.0, "recovery, recovery eye left", "force", WEIGHT),
    "cases.jack.factor": (1.0, 1.1, 1.1, "jack at jack pad right", "factor", 1.0),
    "cases.two-post lift.factor": (1.0, 1.1, 1.1, "two-post lift", "factor", 1.0),
}


@pytest.mark.parametrize("key", ASSUMED)
def test_what_is_assumed_of_towing_and_lifting(full, key):
    low, used, high, name, field, unit = ASSUMED[key]
    a = next(a for a in full.assumptions if a.key == key)
    assert (a.low, a.used, a.high) == pytest.approx((low, used, high))
    for value in (low, used, high):
        moved = {c.name: c for c in with_assumption(full, key, value).cases}[name]
        assert getattr(moved, field) == pytest.approx(value * unit, rel=1e-12)


def test_own_cases_beside_the_usual_ones(read):
    cases, chassis = read(case("mine", "static"), "\n[[cases]]\nkind = \"usual\"\n", case("last", "braking"))
    assert list(cases) == ["mine", *ROAD, "last"]
    assert [c.kind for c in chassis.cases][1:3] == ["static", "amplified"]


def test_cases_of_the_road(read):
    cases, _ = read(
        case("bend", "cornering", 'side = "right"', 'acceleration = "7 m/s2"'),
        case("stop", "braking", 'acceleration = "0.8 g"'),
        case("go", "drive-off", 'axle = "both"', "acceleration = 0.6"),
        case("hole", "pothole", 'wheels = "rear right"', "factor = 4", 'height = "6 in"'),
        case("kerb", "kerb strike", 'axle = "rear"', 'side = "right"'),
        case("ruts", "cross-axle", 'wheels = ["front right", "rear left"]', "height = 150"),
    )
    assert cases["bend"].acceleration == pytest.approx(7 / 9.80665)
    assert (cases["bend"].side, cases["stop"].acceleration) == ("right", 0.8)
    assert (cases["go"].axle, cases["go"].acceleration) == ("both", 0.6)
    assert (cases["hole"].wheels, cases["hole"].factor) == (("rear right",), 4)
    assert cases["hole"].height == pytest.approx(152.4)
    kerb = cases["kerb"]
    assert (kerb.axle, kerb.side, kerb.factor) == ("rear", "right", 1.4)
    assert (cases["ruts"].wheels, cases["ruts"].height) == (("front right", "rear left"), 150)


def test_the_step_of_a_pothole_goes_with_the_tyre(read):
    """Half the radius of the axle that hits: 370 mm assumed in front, 400 mm stated at the rear."""
    holes = case("front hole", "pothole"), case("rear hole", "pothole", 'wheels = "rear left"')
    cases, chassis = read(*holes, more="")
    assert [c.height for c in cases.values()] == [185, 185]
    assert cases["front hole"].factor == 4.5
    moved = with_assumption(chassis, "axles.rear.tyre_radius", 400)
    assert [c.height for c in moved.cases] == [185, 200]
    moved = with_assumption(moved, "cases.pothole.height", 0.3)
    assert [c.height for c in moved.cases] == pytest.approx([111, 120])


def test_pulls(read):
    cases, _ = read(
        case("haul", "winch", 'at = "recovery eye"', 'force = "30 kN"', "angle = -15", 'up = "0.1 rad"',
             "bridle = 600", 'against = "tow eye"'),
        case("tug", "drawbar pull", 'at = "tow eye"', "force = 9", 'against = "inertia"'),
        case("snatch", "recovery", 'at = ["recovery eye left"]'),
    )  # fmt: skip
    haul, tug, snatch = cases["haul"], cases["tug"], cases["snatch"]
    assert (haul.at, haul.force) == (("recovery eye left", "recovery eye right"), 30_000)
    assert (haul.angle, haul.bridle, haul.against) == (-15, 600, "tow eye")
    assert haul.up == pytest.approx(5.729578)
    assert (tug.at, tug.force, tug.against, tug.angle) == (("tow eye",), 9000, "inertia", 0)
    assert (snatch.against, snatch.at) == ("inertia", ("recovery eye left",))
    assert snatch.force == pytest.approx(2 * WEIGHT)


def test_jacks_and_stands(read):
    cases, _ = read(
        case("lift", "jack", 'at = "engine mount right"', "factor = 1"),
        case("far", "jack", 'at = "jack pad left"', 'wheels = ["front left"]'),
        case("pads", "two-post lift", 'at = ["engine mount", "jack pad"]'),
        case("stands", "stands", 'at = ["engine mount", "jack pad"]', 'low = { "jack pad" = "1/2 in" }'),
    )
    assert (cases["lift"].wheels, cases["lift"].factor) == (("front right",), 1)
    assert cases["far"].wheels == ("front left",)
    assert cases["pads"].at == ("engine mount left", "engine mount right", "jack pad left", "jack pad right")
    assert cases["stands"].heights == (("jack pad left", -12.7), ("jack pad right", -12.7))


def test_combinations_and_further_forces(read):
    force = '{ at = "jack pad left", x = 1, z = "-200 kgf" }'
    cases, _ = read(
        case("both", "combination", 'of = [{ case = "stop", times = 0.6 }, { case = "bend" }]'),
        case("stop", "braking", f"forces = [{force}]"),
        case("bend", "cornering"),
    )
    assert cases["both"].of == (("stop", 0.6), ("bend", 1.0))
    ((mount, vector),) = cases["stop"].forces
    assert mount == "jack pad left"
    assert vector == pytest.approx((1000, 0, -200 * 9.80665))


def test_a_combination_may_name_usual_cases(read):
    cases, _ = read('\n[[cases]]\nkind = "usual"\n', case("both", "combination", 'of = [{ case = "braking" }]'))
    assert cases["both"].of == (("braking", 1.0),)


LEVEL = {"height_above_ground", "centre_of_gravity"}


@pytest.mark.parametrize(
    ("cases", "said"),
    [
        (case("a", "static") + case("b", "cross-axle"), set()),
        (case("a", "static", 'forces = [{ at = "tow eye", z = 1 }]'), set()),
        (case("a", "static", 'forces = [{ at = "tow eye", y = 1 }]'), LEVEL),
        *((case("a", kind), LEVEL) for kind in ("braking", "cornering", "drive-off", "pothole")),
        (case("a", "kerb strike", 'axle = "front"'), LEVEL),
        (case("a", "winch", 'at = "tow eye"', "force = 20"), LEVEL),
    ],
)
def test_heights_are_assumed_only_where_a_case_needs_them(read, cases, said):
    """Other cases find the same values in the chassis, without a word."""
    _, chassis = read(cases)
    keys = {a.key for a in chassis.assumptions}
    assert keys & LEVEL == said
    assert {"axles.front.tyre_radius", "axles.rear.arms.height"} <= keys or not said
    assert not (not said and any("arms" in k or "tyre_radius" in k for k in keys))
    assert (chassis.ground, chassis.centre_height, chassis.axles[0].tyre_radius) == (-550, 700, 370)


def test_the_ground_is_below_the_rails_whatever_heights_count_from(minimal):
    """Rails at 600 mm in heights that count from the ground: their middle is taken 550 mm above it, so it is at 50."""
    text = minimal.replace("height = 0", "height = 600")
    chassis = chassis_from_text(text)
    assert chassis.ground == 50
    a = next(a for a in chassis.assumptions if a.key == "height_above_ground")
    assert (a.low, a.used, a.high) == (-150, -50, 100)
    stated = chassis_from_text(text.replace("[rails]", 'height_above_ground = 0\ncentre_of_gravity = "27 in"\n[rails]'))
    assert stated.ground == 0
    assert stated.centre_height == pytest.approx(685.8)
    assert not LEVEL & {a.key for a in stated.assumptions}


def test_the_body_may_stiffen(minimal):
    assert chassis_from_text(minimal).body.stiffening == 1
    assert chassis_from_text(minimal + "[body]\nstiffening = 1.6\n").body.stiffening == 1.6
