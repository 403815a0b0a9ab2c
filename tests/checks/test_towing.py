"""Limits of towing against closed forms: cantilever moments, statics of the vehicle, and put back in another way."""

from dataclasses import replace
from itertools import pairwise
from math import inf

import numpy as np
import pytest

from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import CaseSpec, Criteria, Towing
from ladderfe.checks import check
from ladderfe.checks.ground import WHEELS
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.checks.tow_loads import loads_of, with_mounts
from ladderfe.checks.tow_states import TowFrame
from ladderfe.checks.towing import check_towing
from ladderfe.errors import ModelError
from ladderfe.solve import solve_chassis

WEIGHT = 1.8 * GRAVITY  # N: both axles as weighed, 0.9 t each
BALL, EYE = 4000.0, 0.0


@pytest.fixture
def towing(made):
    """The plain ladder with a coupling, a winch and two recovery eyes."""

    def build(**changes):
        mounts = (
            made.mount("ball", "rear", 3900.0, 0.0),
            made.mount("winch", "front", 100.0, 0.0),
            made.mount("left eye", "left rail", 0.0, -made.HALF),
            made.mount("right eye", "right rail", 0.0, made.HALF),
        )
        named = Towing(coupling="ball", winch=("winch",), recovery=("left eye", "right eye"))
        axles = tuple(replace(a, pull=1e5) for a in made.AXLES)  # leaf springs: they hold on when pulled
        return made.chassis(**({"mounts": mounts, "towing": named, "axles": axles} | changes))

    return build


@pytest.fixture(scope="module")
def limits():
    """`check_towing`, asked once for each of the chassis that several tests look at."""
    known = []

    def asked(chassis):
        answer = next((t for c, t in known if c == chassis), None)
        if answer is None:
            answer = check_towing(chassis)
            known.append((chassis, answer))
        return answer

    return asked


def by_name(t):
    return {x.load.name: x for x in t.limits}


def bare(made, criteria, **changes):
    """Two weightless prismatic box rails, rigid crossmembers, the body's weight ahead of the rear axle only."""
    body = made.Body(start=0.0, end=made.REAR, split=made.LENGTH / 2)
    heavy = made.axle("front", made.FRONT, 0.9), made.axle("rear", made.REAR, 0.6)
    return made.chassis(material=made.WEIGHTLESS, body=body, criteria=criteria, axles=heavy, **changes)


def test_cantilever_behind_the_rear_spring(made):
    """Rear spring seat of both rails at the axle: M = factor F a/2 of each rail, sigma = M/Z, Z = (B H3 - b h3)/6 H.

    Hand calculation of a cantilever with an end load.  Both rails bend alike, so crossmembers take no part, and the
    beams are exact: what is left is rounding (1e-9), which Z of the walls' corners shares."""
    t = check_towing(bare(made, Criteria(bending=165.0, shear=1e6, von_mises=1e6)), behind=2.5)
    z = (75 * 150**3 - 71 * 146**3) / (6 * 150)
    limit = 165.0
    own = t.of("behind")
    assert [x.load.station for x in own] == [3300.0, 3550.0, 3800.0, 4000.0]
    for x in own[1:]:
        a = x.load.station - made.REAR
        assert x.greatest == pytest.approx(2 * limit * z / (2.5 * a), rel=1e-9)
        assert x.moment == pytest.approx(-limit * z, rel=1e-9)
        u = x.governing
        assert (u.part in ("left rail", "right rail"), u.along, u.criterion) == (True, made.REAR, "bending")
        assert u.wall in ("top", "bottom")
        assert u.ratio == pytest.approx(1, abs=1e-4)
    assert own[0].reach.how == "none"  # the load goes straight into the axle
    assert t.proven


def test_von_mises_of_a_cantilever(made):
    """The same with von Mises alone: at the corner sqrt(sigma2 + 3 tau2) with tau = V Q/(I t) of the flange's half.

    Q of half a flange (thin walls to the mid-line of the web); mid-line and outline differ by 0.3 % of the shear
    stress, which is less than a twentieth of sigma here: within 1e-3."""
    t = check_towing(bare(made, Criteria(bending=1e6, shear=1e6, von_mises=150.0)), behind=2.0)
    x = t.of("behind")[-1]
    a, z = 4000.0 - made.REAR, (75 * 150**3 - 71 * 146**3) / (6 * 150)
    per_newton = a / z  # of F: factor 2, half on each rail
    tau = 73 / 2 * 2 * 74 / (z * 75 * 2)
    assert x.greatest == pytest.approx(150 / np.hypot(per_newton, np.sqrt(3) * tau), rel=1e-3)
    assert x.governing.criterion == "von Mises"


def test_greatest_load_falls_along_the_overhang(made):
    """Nearer to the rail's end everything behind the spring bears less."""
    t = check_towing(made.chassis(rails=made.rails(path=((0, 400, 0), (6500, 400, 0))),
                                  body=made.Body(start=0.0, end=5000.0, split=2000.0)))  # fmt: skip
    own = t.of("behind")
    assert [x.load.station for x in own] == [3300.0, 4300.0, 5300.0, 6300.0, 6500.0]
    greatest = [x.greatest for x in own[1:]]
    assert all(a > b for a, b in pairwise(greatest))


def test_put_back_as_a_mass_that_came_aboard_later(made, limits):
    """A listed mass on two mounts, not aboard when weighed, under the amplified case: another way into the program
    than the pulls that are searched with.  1 within 1e-4."""
    plain = made.chassis()
    x = limits(plain).of("behind")[-1]
    assert x.load.factor == 2.0
    more = with_mounts(plain)
    mass = made.mass("load", x.greatest / GRAVITY, (made.LENGTH, 0, 0), x.load.case.at, aboard=False)
    solution = solve_chassis(replace(more, masses=(mass,)))
    own = check(replace(more, masses=(mass,)), assumptions=False)
    worst = max(u.ratio for u in own.utilisations if u.case == "twice")
    assert worst == pytest.approx(1, abs=1e-4)
    assert solution.share[solution.case("twice")] == 1


@pytest.mark.parametrize("factor", [0.999, 1.001])
def test_on_either_side_of_the_limit(towing, limits, factor):
    """A little less is below 1, a little more above, for every kind of load: not a root of something else."""
    chassis = towing()
    t = limits(chassis)
    assert all(x.reach.how in ("found", "none") for x in t.limits)
    cases = tuple(x.load.spec(x.greatest * factor) for x in t.limits if x.greatest)
    found = check(replace(with_mounts(chassis), cases=cases), assumptions=False)
    for case in cases:
        ratio = max(u.ratio for u in found.utilisations if u.case == case.name)
        assert (ratio > 1) == (factor > 1), case.name
        assert ratio == pytest.approx(1, abs=2.5e-3)


def test_straight_line_between_states_of_one_contact(towing):
    """Resultants at the middle of two loads are the mean of both (superposition), while no wheel lifts.  Pulls held by
    the wheels are left out: axles share them by loads that the pull itself shifts, which is no superposition."""
    chassis = with_mounts(towing())
    frame = TowFrame(chassis, solve_chassis(chassis))
    straight = [x for x in loads_of(chassis, 2.5, 2.0) if x.weight or x.given]
    assert len(straight) == 1 + 15 + 4
    for load in straight:
        a, m, b = frame.states([(load, size) for size in (500.0, 1000.0, 1500.0)])
        mean = (a.resultants + b.resultants) / 2
        assert np.abs(m.resultants - mean).max() < 1e-9 * np.abs(m.resultants).max(), load.name
        assert a.at(1000.0, b) == pytest.approx(m.ratio, rel=1e-9)


def test_mirror_image_loads_bear_alike(towing, limits):
    """The frame is a mirror image of itself: eye and side swapped together change nothing."""
    own = by_name(limits(towing()))
    for angle in (15, 30):
        for side, other in (("left", "right"), ("right", "left")):
            a = own[f"left eye, {angle} degrees {side}"].greatest
            assert a == pytest.approx(own[f"right eye, {angle} degrees {other}"].greatest, rel=1e-7)
        assert own[f"bridle, {angle} degrees left"].greatest == pytest.approx(
            own[f"bridle, {angle} degrees right"].greatest, rel=1e-7
        )
    assert own["bridle, straight"].greatest > own["left eye, straight"].greatest
    assert own["winch, 30 degrees left"].greatest == pytest.approx(own["winch, 30 degrees right"].greatest, rel=1e-7)


def test_statics_on_the_ground(towing):
    """Moments about the rear wheels' contact: W_front L = F a, with a the distance of a load behind the rear axle or
    the height of a pull above the ground; a straight pull slides at grip x weight; to the side the front axle goes
    first, where the pull's moment about the rear axle and its share of the pull along ask for grip x its load."""
    winch = CaseSpec(name="winch", kind="winch", at=("winch",), force=1e4, against="wheels")
    chassis = towing(cases=(*towing().cases, winch))
    t = check_towing(chassis, grip=0.7)
    own = by_name(t)
    length, front = 3300.0 - 700.0, 0.9 * GRAVITY
    assert own["nose weight"].ground.tips == pytest.approx(front * length / 600.0, rel=1e-5)
    assert own["load at 4000 mm"].ground.tips == pytest.approx(front * length / 700.0, rel=1e-5)
    assert own["load at 3300 mm"].ground.tips is None
    pull = own["drawbar pull"].ground
    assert pull.tips == pytest.approx(front * length / 550.0, rel=1e-5)
    assert pull.lifts == pytest.approx(pull.tips, rel=1e-5)
    assert pull.wheel == "front left and right"
    assert (pull.slides, pull.axle) == (pytest.approx(0.7 * WEIGHT, rel=1e-5), "both axles")
    assert own["drawbar push"].ground.wheel == "rear left and right"
    turned = own["winch, 30 degrees left"].ground
    assert turned.axle == "front"
    force, angle = turned.slides, np.radians(30)
    loads = front + np.array([1, -1]) * force * np.cos(angle) * 550.0 / length
    side = force * np.sin(angle) * (3300.0 - 100.0) / length
    fore = force * np.cos(angle) * loads[0] / loads.sum()
    assert np.hypot(fore, side) == pytest.approx(0.7 * loads[0], rel=1e-4)
    assert own["left eye, straight"].ground is None


def whipping(towing, **changes):
    """With an overhang that whips at 3.5 times the rear axle's static force."""
    whip = CaseSpec(name="whip", kind="rear overhang whip", factor=3.5, at=("ball",), mass=0.08)
    return towing(cases=(*towing().cases, whip), **changes)


def test_whip_has_its_limit(towing):
    """Less than a nose weight with its factor 2.5, for the whole rear end strikes with 3.5; put back, 1 within 1e-4; a
    little less is below, a little more above."""
    chassis = whipping(towing)
    t = check_towing(chassis)
    own = by_name(t)
    whip = own["nose weight, overhang whips"]
    assert whip.reach.how == "found"
    assert 0 < whip.greatest < own["nose weight"].greatest
    assert t.proven
    specs = [replace(whip.load.spec(whip.greatest * f), name=f"{f}") for f in (0.999, 1.0, 1.001)]
    found = check(replace(with_mounts(chassis), cases=tuple(specs)), assumptions=False)
    low, at, high = (max(u.ratio for u in found.utilisations if u.case == c.name) for c in specs)
    assert low < at < high
    assert at == pytest.approx(1, abs=1e-4)


def test_whip_that_tips_the_standing_vehicle_first(towing):
    """Steel that nothing breaks: W_front L = m g a with the ball a = 600 mm behind the rear axle; the factor is on the
    blow, not on the weight that stands."""
    whip = by_name(check_towing(whipping(towing, criteria=Criteria(bending=1e9, shear=1e9, von_mises=1e9))))[
        "nose weight, overhang whips"
    ]
    assert whip.reach.how == "tips over"
    assert whip.reach.words.startswith("tips over about the line through rear left wheel and rear right wheel")
    assert whip.reach.magnitude == pytest.approx(0.9 * GRAVITY * 2600.0 / 600.0, rel=1e-5)


def test_already_over(towing):
    """Permissible stresses below what the vehicle alone asks for: no load is left anywhere."""
    t = check_towing(towing(criteria=Criteria(bending=1.0, shear=1.0, von_mises=1.0)))
    assert {x.reach.how for x in t.limits} == {"already over"}
    assert all(x.greatest is None and x.governing.ratio == pytest.approx(x.reach.without) for x in t.limits)
    assert all(x.reach.without > 1 for x in t.limits)
    assert t.proven


def test_over_only_with_the_factor(towing, limits):
    """Between one and two times the static utilisation loads behind the axle have no limit left, pulls have one."""
    static = limits(towing()).of("coupling")[0].reach.without
    middle = Criteria(bending=165 * 1.5 * static, shear=100 * 1.5 * static, von_mises=235 * static)
    t = check_towing(towing(criteria=middle))
    assert t.of("coupling")[0].reach.without == pytest.approx(1 / 1.5, rel=1e-6)
    assert {x.reach.how for x in t.of("behind")} == {"already over"}
    assert {x.reach.how for x in t.of("coupling", "winch")} == {"found"}


def test_no_limit_or_tipping_first(towing):
    """Steel that nothing breaks: straps find no limit, all that stands on wheels tips over first, by statics (the nose
    weight with its factor)."""
    own = by_name(check_towing(towing(criteria=Criteria(bending=1e9, shear=1e9, von_mises=1e9))))
    assert {x.reach.how for x in own.values() if x.load.group == "recovery"} == {"none"}
    assert own["load at 3300 mm"].reach.how == "none"
    for name in ("nose weight", "drawbar pull", "winch, straight", "load at 4000 mm"):
        assert own[name].reach.how == "tips over"
        assert own[name].reach.words.startswith("tips over about the line through")
        assert own[name].reach.ratio < 1
    front, length = 0.9 * GRAVITY, 2600.0
    assert own["nose weight"].reach.magnitude == pytest.approx(front * length / 600.0 / 2.5, rel=1e-5)
    assert own["drawbar pull"].reach.magnitude == pytest.approx(front * length / 550.0, rel=1e-5)


def test_springs_that_cannot_pull_let_go_first(towing, made):
    """Coil springs: the body lifts off the front springs, whose axle stays on the ground: its unsprung 0.15 t do not
    count in W_front L = F a."""
    own = by_name(check_towing(towing(axles=made.AXLES)))
    assert own["nose weight"].ground.tips == pytest.approx((0.9 - 0.15) * GRAVITY * 2600.0 / 600.0, rel=1e-5)
    assert own["nose weight"].ground.lifts is None


def test_a_pull_to_one_side_tips_where_the_case_itself_does(made):
    """A coupling on the left rail: wheels share the pull in plan by their loads, which do not grow in step.  Put back
    as cases of their own, just below the limit all is borne and just above it is not; a wheel lifts before."""
    mounts = (made.mount("ball", "left rail", made.LENGTH, -made.HALF),)
    chassis = made.chassis(mounts=mounts, towing=Towing(coupling="ball"))
    own = by_name(check_towing(chassis))["drawbar pull"]
    ground = own.ground
    sizes = [ground.tips * (1 - 1e-5), ground.tips * (1 + 1e-5), ground.lifts * 0.999, ground.lifts * 1.001]
    cases = tuple(replace(own.load.spec(size), name=f"{size:.3f} N") for size in sizes)
    solution = solve_chassis(replace(chassis, cases=cases))
    assert [share < 1 for share in solution.share[1:]] == [False, True, False, False]
    assert ground.words == solution.tips[2] != ""
    lifted = [solution.ground[:, 2, k] < 1e-6 * WEIGHT for k in (3, 4)]
    assert [int(x.sum()) for x in lifted] == [0, 1]
    assert WHEELS[int(lifted[1].argmax())] == ground.wheel
    assert ground.before(2 * ground.tips) == ("slides", "lifts", "tips")
    strong = replace(chassis, criteria=Criteria(bending=1e9, shear=1e9, von_mises=1e9))
    reach = by_name(check_towing(strong))["drawbar pull"].reach
    assert (reach.how, reach.magnitude) == ("tips over", pytest.approx(ground.tips, rel=1e-5))


def test_contact_that_changes_on_the_way(made):
    """A load behind the axle closes the rear bump stops on its way, and the limit put back in still gives 1 within
    1e-4.  Both springs and stops push at the same seats of a frame that is a mirror image of itself, so by statics the
    limit does not hang on the stops."""
    stopped = made.axle("rear", made.REAR, 0.9, bump_gap=15.0, bump_rate=700.0, seats=((2900.0, 0.5), (3700.0, 0.5)))
    free = replace(stopped, bump_rate=None, bump_gap=inf)
    found = []
    for rear in (stopped, free):
        chassis = made.chassis(axles=(made.AXLES[0], rear))
        x = check_towing(chassis).of("behind")[1]
        assert x.reach.how == "found"
        again = check(replace(with_mounts(chassis), cases=(x.load.spec(x.greatest),)), assumptions=False)
        assert any(again.solution.off_level) == (rear is stopped)
        assert again.utilisations[0].ratio == pytest.approx(1, abs=1e-4)
        found.append(x.greatest)
    assert found[0] == pytest.approx(found[1], rel=1e-8)
    assert found[0] > WEIGHT / 4


def test_factors_come_from_the_chassis_own_cases(towing):
    own = (
        CaseSpec(name="rough road", kind="amplified", factor=3.0),
        CaseSpec(name="trailer", kind="nose weight", at=("ball",), mass=0.05, factor=2.0),
        CaseSpec(name="pull out", kind="winch", at=("winch",), force=1e4, up=10.0, against="ball"),
    )
    t = check_towing(towing(cases=own))
    assert t.rear_factor == (3.0, "that of the chassis' case rough road")
    assert t.nose_factor == (2.0, "that of the chassis' case trailer")
    winch = by_name(t)["winch, straight"].load.case
    assert (winch.against, winch.up) == ("ball", 10.0)
    asked = check_towing(towing(cases=own), nose=2.8, behind=1.2)
    assert (asked.nose_factor, asked.rear_factor) == ((2.8, "as asked for"), (1.2, "as asked for"))
    bounce = towing(cases=(CaseSpec(name="rear", kind="bounce", axle="rear", factor=2.2),))
    assert check_towing(bounce).rear_factor[0] == 2.2
    assert check_towing(towing(cases=())).rear_factor[0] == 2.0


def test_twice_the_bounce_half_the_nose_weight(towing):
    """The factor multiplies the nose weight alone, so their product is the limit."""
    chassis = towing()
    once, twice = (check_towing(chassis, nose=f).of("coupling")[0].greatest for f in (1.5, 3.0))
    assert once == pytest.approx(2 * twice, rel=1e-8)


def test_what_is_not_named_is_told(made, limits):
    t = limits(made.chassis())
    assert [x.load.group for x in t.limits] == ["behind"] * 4
    assert [key in " ".join(t.missing) for key in ('coupling = "NAME"', 'winch = "NAME"', 'recovery = ["NAME"]')] == [
        True
    ] * 3
    one = made.chassis(mounts=(made.mount("eye", "left rail", 0.0, -400.0),), towing=Towing(recovery=("eye",)))
    t = check_towing(one)
    assert len(t.missing) == 2
    assert not [x for x in t.limits if x.load.name.startswith("bridle")]


@pytest.mark.parametrize(
    ("named", "words"),
    [
        (Towing(coupling="bal"), "towing, coupling: there is no mount bal"),
        (Towing(winch=("drum",)), "towing, winch: there is no mount drum"),
        (Towing(recovery=("left eye", "hook")), "towing, recovery: there is no mount hook"),
        (Towing(recovery=("left eye", "right eye", "ball")), "towing, recovery: has 3 mounts"),
    ],
)
def test_mounts_that_are_not_there_are_refused(towing, named, words):
    with pytest.raises(ModelError, match=words):
        check_towing(towing(towing=named))


def test_no_rail_behind_the_axle(made):
    short = made.rails(path=((0, 400, 0), (3300, 400, 0)))
    cross = tuple(made.cross(n, x) for n, x in (("front", 100.0), ("middle", 1900.0), ("rear", 3200.0)))
    t = check_towing(made.chassis(rails=short, crossmembers=cross, body=made.Body(start=0.0, end=3300.0, split=2000.0)))
    assert t.limits == ()
    assert t.proven


def test_sections_looked_at_hold_the_greatest_stress(towing, limits):
    """The limit's own case, looked at in sections of its own, shows nothing greater than 1 within 1e-4."""
    chassis = towing()
    x = by_name(limits(chassis))["winch, 30 degrees left"]
    alone = solve_chassis(replace(with_mounts(chassis), cases=(x.load.spec(x.greatest),)))
    s = stresses(alone, look_at(alone))
    c = chassis.criteria
    greatest = max(np.abs(s.normal[..., 1]).max() / c.bending, s.von_mises[..., 1].max() / c.von_mises)
    assert greatest == pytest.approx(1, abs=1e-4)
