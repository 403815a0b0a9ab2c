"""What the road can ask and what the springs let through: limit couple, series, raised wheels, twist cases."""

from dataclasses import replace
from math import inf
from types import SimpleNamespace

import numpy as np
import pytest

from ladderfe.cases import wheel_loads
from ladderfe.chassis import CaseSpec, Joint
from ladderfe.checks.ground import twisted
from ladderfe.checks.twist import LEVELS, _cases, check_twist, twist_cases
from ladderfe.checks.twist_lifts import DIAGONALS, WHEELS, ground_loads, raise_wheels, series_of
from ladderfe.checks.twist_stiffness import twist_frame
from ladderfe.solve import solve_chassis
from ladderfe.solve.on_axles import limit_couple
from ladderfe.solve.supports import factorised

EXACT = 1e-9
G = 9806.65  # mm/s2
FRONT, REAR, UNSPRUNG, TRACK, BASE = 9000.0, 11000.0, 1600.0, 1480.0, 800.0  # N and mm
RATE, STIFF = 40.0, 250.0  # N/mm


def axles(made, *, front=FRONT, rear=REAR, tracks=(TRACK, TRACK), **more):
    """Axles of 9 and 11 kN, springs right above the rails' middles."""
    return tuple(
        made.axle(name, x, load / G, unsprung=UNSPRUNG / G, track=track, spring_base=BASE, **({"rate": RATE} | more))
        for name, x, load, track in (("front", made.FRONT, front, tracks[0]), ("rear", made.REAR, rear, tracks[1]))
    )


def vehicle(made, *, soft=True, more=(), **axle):
    """The plain ladder with estimated joints, all its weight on the rails, on 9 and 11 kN."""
    joint = Joint() if soft else made.sprung()
    rungs = tuple(replace(c, joint_left=joint, joint_right=joint) for c in made.LADDER)
    return made.chassis(**({"crossmembers": rungs, "axles": axles(made, **axle), "cases": (made.STATIC,)} | dict(more)))


def raised(chassis, up_to=600.0):
    """The part of the study that raises wheels, without the rest of it."""
    s = solve_chassis(chassis)
    t = twist_frame(chassis)
    return SimpleNamespace(
        chassis=chassis,
        twisted=t,
        stiffness=t.stiffness,
        series=series_of(s.suspensions, t.stiffness),
        lifts=raise_wheels(chassis, s, up_to),
        ground=ground_loads(s.suspensions, s.support_forces[:, s.case("static")]),
    )


@pytest.fixture(scope="module")
def held(made):
    """Stiff springs that pull: the line of springs and frame in series goes on until a wheel lifts."""
    return check_twist(vehicle(made, rate=STIFF, pull=inf))


def lift_of(t, *wheels):
    return next(lift for lift in t.lifts if lift.wheels == wheels)


# --- limit couple ---------------------------------------------------------------------------------------------------


def test_limit_couple_counts_unsprung_weight(held):
    """9 kN x 1.48 m/2 = 6.66 kN m; sprung weight alone, 7.4 kN, would give 5.48 kN m and is wrong: the axle's own
    weight holds the wheel down too.  Source: Motor Vehicle Structures: Concepts and Fundamentals (2002), load cases;
    an excerpt was read, the numbers are own arithmetic."""
    assert held.couple / 1e6 == pytest.approx(6.66, rel=EXACT)
    assert held.couple / 1e6 != pytest.approx(5.476, rel=0.1)
    assert held.lighter == "front"
    front, rear = held.ground
    assert (front.load, rear.load) == pytest.approx((FRONT, REAR), rel=EXACT)
    assert front.couple_without_unsprung / 1e6 == pytest.approx(5.476, rel=EXACT)
    assert rear.couple / 1e6 == pytest.approx(8.14, rel=EXACT)


def test_the_wheel_lifts_at_the_limit_couple_not_before(held):
    """Followed on the frame: where the front right wheel carries nothing the springs bring just 6.66 kN m."""
    lift = lift_of(held, "front left", "rear right")
    (change,) = lift.changes
    assert (change.support, change.lifts) == ("front right wheel", True)
    assert lift.couple_at(change.height) == pytest.approx(held.couple, rel=EXACT)
    assert lift.couple[-1] == pytest.approx(held.couple, rel=EXACT)
    at = lift.at(change.height)
    assert at["front right wheel"] == pytest.approx(0, abs=1e-6)
    assert at["front left wheel"] == pytest.approx(FRONT, rel=EXACT)


def test_the_axle_that_brings_least_limits(made):
    """The lighter axle stands wider: 10 kN x 1.7 m against 11 kN x 1.4 m; the rear limits though it is heavier."""
    t = check_twist(vehicle(made, front=10_000.0, tracks=(1700.0, 1400.0)))
    assert (t.lighter, t.couple / 1e6) == ("rear", pytest.approx(7.7, rel=EXACT))


def test_what_was_loaded_after_weighing_counts(made):
    """Another 100 kg right over the front axle: 9.98 kN there."""
    more = {
        "mounts": (made.mount("rack", "left rail", made.FRONT, -400), made.mount("bar", "right rail", made.FRONT, 400)),
        "masses": (made.mass("load", 0.1, (made.FRONT, 0, 300), ("rack", "bar"), aboard=False),),
    }
    t = raised(vehicle(made, more=more))
    assert t.ground[0].load == pytest.approx(FRONT + 0.1 * G, rel=EXACT)
    assert t.ground[0].couple == pytest.approx((FRONT + 0.1 * G) * TRACK / 2, rel=EXACT)


# --- springs and frame in series ------------------------------------------------------------------------------------


def test_springs_and_frame_in_series(held, made):
    """1/K = 1/K_front + 1/K_rear + 1/K_frame, K = k s^2/2 on a beam axle.  Springs sit at the axles' stations at the
    rails' shear centres, so that the frame between them is the frame of the torsional stiffness: exact."""
    roll = STIFF * BASE**2 / 2
    frame = twist_frame(held.chassis).stiffness
    K = 1 / (2 / roll + 1 / frame)
    assert held.series.total == pytest.approx(K, rel=EXACT)
    for lift in held.lifts:
        assert lift.couple_at(200.0) == pytest.approx(held.series.couple(lift.wheels, 200.0), rel=EXACT)
    assert lift_of(held, "front left").couple_at(200.0) == pytest.approx(K * 200 / TRACK, rel=EXACT)
    assert lift_of(held, "front right", "rear left").couple_at(200.0) == pytest.approx(-2 * K * 200 / TRACK, rel=EXACT)


@pytest.mark.parametrize(
    ("more", "roll"),
    [
        ({"anti_roll": 1.5e7}, RATE * BASE**2 / 2 + 1.5e7),
        ({"tyre_rate": 180.0}, 1 / (2 / (RATE * BASE**2) + 2 / (180 * TRACK**2))),
    ],
    ids=["anti-roll bar", "soft tyres"],
)
def test_bars_and_tyres_are_in_the_series(made, more, roll):
    """A bar beside the springs; tyres, k_t t^2/2, in series with a beam axle's springs."""
    t = raised(vehicle(made, pull=inf, **more))
    assert t.series.front == pytest.approx(roll, rel=EXACT)
    K = 1 / (2 / roll + 1 / t.stiffness)
    assert lift_of(t, "rear right").couple_at(150.0) == pytest.approx(K * 150 / TRACK, rel=EXACT)


def test_independent_wheels_twist_the_rails_too(made):
    """Wheel rate m^2 k, roll stiffness m^2 k t^2/2.  A wheel's force comes to the rail with its couple, so that the
    frame between the wheels is not quite the frame between its rails: here its stiffness is found at the wheels, by
    forces on rigid arms.  The page's series takes the rails' and says so by standing beside what is solved."""
    t = raised(vehicle(made, pull=inf, kind="independent", motion_ratio=0.6))
    roll = 0.36 * RATE * TRACK**2 / 2
    assert t.series.front == pytest.approx(roll, rel=EXACT)
    K = 1 / (2 / roll + 1 / between_wheels(t.twisted, made))
    assert lift_of(t, "rear right").couple_at(150.0) == pytest.approx(K * 150 / TRACK, rel=EXACT)
    assert 1 / (2 / roll + 1 / t.stiffness) == pytest.approx(K, rel=0.2)


def between_wheels(t, made):
    """N mm/rad of a bare frame between couples of forces at +-track/2, on rigid arms from the rails."""
    row = np.zeros((t.frame.unknowns, 1))
    for station, end in ((made.FRONT, 1), (made.REAR, -1)):
        for side, sign in (("left", -1), ("right", 1)):
            part = t.mesh.part(f"{side} rail")
            nodes = t.mesh.ends[list(part.members)].ravel()
            node = int(nodes[np.argmin(np.abs(t.mesh.nodes[nodes, 0] - station))])
            arm = np.array([0, sign * (TRACK - BASE) / 2, 0])
            unknown, part_of = t.frame.row(node, arm, np.array([0, 0, 1.0, 0, 0, 0]))
            row[unknown, 0] += end * sign * part_of / TRACK
    return 1 / float((row.T @ factorised(t.frame).solve(row))[0, 0])


def test_a_loose_coil_ends_the_line(made):
    """7.4 kN sprung on springs 0.8 m apart: with one loose the couple is 7.4 kN x 0.4 m = 2.96 kN m and stays."""
    t = raised(vehicle(made, pull=0.0))
    lift = lift_of(t, "front left", "rear right")
    (loose,) = lift.changes
    assert (loose.support, loose.lifts) == ("front right spring", True)
    assert lift.lifting == ()
    assert lift.couple[-1] == pytest.approx((FRONT - UNSPRUNG) * BASE / 2, rel=EXACT)
    assert loose.height == pytest.approx(lift.couple[-1] / t.series.total * TRACK / 2, rel=EXACT)


def test_bump_stops_and_straps_are_told_with_their_heights(made, held):
    """A stop 15 mm above the front springs and a strap 20 mm below: the stop takes hold where one spring is 15 mm
    shorter than standing, the couple then being k s x 15 mm, as both springs move by as much."""
    front, rear = axles(made, rate=STIFF, pull=inf)
    stops = replace(front, bump_gap=15.0, bump_rate=900.0, droop=20.0, strap_rate=800.0)
    t = raised(vehicle(made, more={"axles": (stops, rear)}))
    lift = lift_of(t, "front left", "rear right")
    stop, strap = lift.changes[:2]
    assert (stop.support, stop.lifts) == ("front left bump stop", False)
    assert (strap.support, strap.lifts) == ("front right droop strap", False)
    assert lift.couple_at(stop.height) == pytest.approx(STIFF * BASE * 15, rel=EXACT)
    assert lift.at(stop.height)["front left bump stop"] == pytest.approx(0, abs=1e-6)
    assert lift.at(600.0)["front left bump stop"] > 0
    assert lift.lifting[0].height < lift_of(held, *lift.wheels).lifting[0].height


# --- raised wheels --------------------------------------------------------------------------------------------------


def test_couples_at_both_axles_are_equal_and_opposite(demo_twist):
    """Nothing else turns the frame about its length: 1e-9; what the wheels carry balances each axle."""
    for lift in demo_twist.lifts:
        assert lift.couple == pytest.approx(-lift.rear_couple, rel=EXACT, abs=1e-6)
        by_balance = np.array(wheel_loads(demo_twist.chassis, lift.spring_forces))
        assert lift.wheel_forces == pytest.approx(by_balance, rel=EXACT, abs=1e-6)
        assert lift.wheel_forces.min() > -1e-6
        assert lift.wheel_forces.sum(axis=0) == pytest.approx(lift.wheel_forces[:, 0].sum(), rel=EXACT)
        assert lift.couple[0] == 0


def test_mirrored_loads_mirror_the_lifts(held):
    """The plain ladder is its own mirror image."""
    for (a, b), swapped in ((("front left", "front right"), [1, 0, 3, 2]), (("rear left", "rear right"), [1, 0, 3, 2])):
        one, other = lift_of(held, a), lift_of(held, b)
        assert other.wheel_forces == pytest.approx(one.wheel_forces[swapped], rel=EXACT)
        assert other.couple == pytest.approx(-one.couple, rel=EXACT)


def test_followed_as_far_as_asked(made):
    t = raised(vehicle(made, pull=inf), 750.0)
    assert {float(lift.height[-1]) for lift in t.lifts} == {750.0}
    assert np.isnan(t.lifts[0].couple_at(800.0))
    assert np.isnan(list(t.lifts[0].at(800.0).values())).all()
    assert [lift.wheels for lift in t.lifts] == [*((w,) for w in WHEELS), *DIAGONALS]


# --- cases ----------------------------------------------------------------------------------------------------------


def spring_forces(t, case):
    s = t.findings.solution
    return s.support_forces[:4, s.case(case)]


@pytest.mark.parametrize(("more", "arm"), [({}, BASE), ({"kind": "independent", "motion_ratio": 0.7}, TRACK)],
                         ids=["beam", "independent"])  # fmt: skip
def test_the_couple_enters_at_springs_or_wheels(made, more, arm):
    """The limit couple alone: springs of a beam axle change by +-T/spring base, forces of independent wheels by
    +-T/track; up on the side that is named, the other way at the other axle; no weight."""
    t = check_twist(vehicle(made, **more))
    push = t.couple / arm
    assert spring_forces(t, "limit twist, front left up") == pytest.approx([push, -push, -push, push], rel=EXACT)
    assert spring_forces(t, "limit twist, front right up") == pytest.approx([-push, push, push, -push], rel=EXACT)


def test_a_bump_is_standing_and_the_couple_on_top(held):
    """1.3 x 6.66 kN m at 0.8 m: 10.8 kN more or less on 3.7 and 4.7 kN."""
    push = 1.3 * held.couple / BASE
    still = np.array([3700.0, 3700.0, 4700.0, 4700.0])
    for wheel, signs in (("front left", (1, -1, -1, 1)), ("rear left", (-1, 1, 1, -1))):
        forces = spring_forces(held, f"one wheel bump, {wheel}")
        assert forces == pytest.approx(still + push * np.array(signs), rel=EXACT)


def test_factor_and_height_are_those_asked_for(made):
    t = check_twist(vehicle(made, pull=inf), height=120.0, factor=1.8)
    assert spring_forces(t, "one wheel bump, rear right")[3] == pytest.approx(4700 + 1.8 * t.couple / BASE, rel=EXACT)
    couple = t.series.couple(("front left",), 120.0)
    assert spring_forces(t, "front left raised")[0] == pytest.approx(3700 + couple / BASE, rel=EXACT)


def test_an_own_case_of_a_usual_name_hides_none_that_is_asked_for(made):
    """Names say nothing of heights and factors: what is asked for comes beside an own case that is called the same."""
    own = (
        CaseSpec(name="front left raised", kind="raised", wheels=("front left",), height=80.0),
        CaseSpec(name="one wheel bump, rear left", kind="one wheel bump", wheels=("rear left",), factor=1.1),
        CaseSpec(name="diagonal", kind="raised", wheels=("rear right", "front left"), height=250.0),
    )
    cases = _cases(vehicle(made, more={"cases": (made.STATIC, *own)}), 250.0, 1.5)
    assert len({c.name for c in cases}) == len(cases)
    asked = [(c.kind, set(c.wheels), c.height, c.factor) for c in cases]
    for c in twist_cases(250.0, 1.5):
        assert asked.count((c.kind, set(c.wheels), c.height, c.factor)) == 1, c.name
    names = [c.name for c in cases]
    assert "front left raised, 250 mm" in names
    assert "one wheel bump, rear left, 1.5 x limit couple" in names


def test_the_chassis_own_twist_cases_come_first_and_once(made):
    """Its own names and heights; the usual ones that say the same are left out."""
    own = (
        CaseSpec(name="kerb", kind="raised", wheels=("front left",), height=150.0),
        CaseSpec(name="track", kind="one wheel bump", factor=1.3, wheels=("rear left",)),
        CaseSpec(name="bounce", kind="bounce", factor=2.5),
    )
    t = check_twist(vehicle(made, more={"cases": own}))
    names = [c.name for c in t.findings.chassis.cases]
    assert names[:3] == ["static", "kerb", "track"]
    assert "one wheel bump, rear left" not in names
    assert "front left raised" in names
    assert "bounce" not in names
    assert len(names) == 1 + 2 + len(twist_cases()) - 1


# --- joints ---------------------------------------------------------------------------------------------------------


def test_rigid_joints_make_a_butted_box_ladder_much_stiffer(plain_twist):
    """Four butted crossmembers between box rails: at least 40 % (own studies in solids: 60 to 80 % and more with thin
    webs, no published source)."""
    assert len(plain_twist.chassis.crossmembers) == 4
    assert plain_twist.rigid_error >= 0.4
    K = [plain_twist.twisted[name].stiffness for name in LEVELS]
    assert sorted(K) == K


def test_all_is_given_for_the_joints_that_the_chassis_asks_for(made):
    low = check_twist(vehicle(made, more={"joint_level": -1.0}))
    assert low.used == "low"
    assert low.stiffness == low.twisted["low"].stiffness == low.series.frame
    for name, ratio in low.ratios["low"].items():
        worst = max(u.ratio for u in low.findings.utilisations if u.case == name)
        assert ratio == pytest.approx(worst, rel=EXACT)
    assert low.ratios["middle"] != low.ratios["low"]
    between = check_twist(vehicle(made, more={"joint_level": 0.5}))
    assert between.used == "as stated"
    K = [between.twisted[n].stiffness for n in ("middle", "as stated", "high")]
    assert sorted(K) == K


@pytest.mark.parametrize("rail", ["tube", "box"])
def test_given_joints_have_no_levels(made, rail):
    """Low, middle and high are one.  So is rigid on tubes, which stay what they are; there boxes stop racking, which
    makes them stiffer: a box that racks bends its walls against the crossmember's end, however rigid the joint (own
    studies in solids, no published source)."""
    shape = made.Tube(diameter=120, wall=3) if rail == "tube" else made.RAIL
    t = check_twist(vehicle(made, soft=False, more={"rails": made.rails(shape)}))
    K = [t.twisted[name].stiffness for name in LEVELS]
    assert pytest.approx([K[0]] * 3, rel=EXACT) == K[:3]
    alike = {name: pytest.approx(r, rel=1e-6) for name, r in t.ratios["low"].items()}
    assert alike == t.ratios["middle"] == t.ratios["high"]
    if rail == "tube":
        assert t.rigid_error == pytest.approx(0, abs=EXACT)
        assert alike == t.ratios["rigid"]
    else:
        assert t.rigid_error > 0.2


def test_the_couple_is_the_solvers(held):
    s = held.findings.solution
    assert held.couple == limit_couple(s.suspensions, s.support_forces[:, s.case("static")])


# --- a body that stiffens -------------------------------------------------------------------------------------------


def test_the_body_counts_in_series_and_in_what_is_within_reach(made):
    """A body that makes the frame s times as stiff: 1/K = 1/K front + 1/K rear + 1/(s K frame), by hand; and the limit
    couple turns the frame by couple/(s K frame), which is what the cases' movements show."""
    s = 4.0
    body = replace(made.chassis().body, stiffening=s)
    t = check_twist(vehicle(made, rate=STIFF, pull=inf, more={"body": body}), height=20.0)
    roll = STIFF * BASE**2 / 2
    frame = s * t.stiffness
    series = 1 / (2 / roll + 1 / frame)
    assert t.series.frame == pytest.approx(frame, rel=EXACT)
    for lift in t.lifts[:4]:
        assert abs(lift.couple_at(20.0)) == pytest.approx(series * 20.0 / TRACK, rel=1e-6)
    turned = dict(zip((c.name for c in t.findings.solution.cases), twisted(t.findings.solution), strict=True))
    angle = np.degrees(t.couple / frame)
    assert turned["limit twist, front left up"] == pytest.approx(angle, rel=1e-6)
    soft = replace(t, couple=t.couple * 31 / angle)  # a couple that needs 31 degrees with the body, 124 without
    assert soft.beyond_reach["limit twist, front left up"] == pytest.approx(31, rel=EXACT)
    assert not replace(t, couple=t.couple * 22 / angle).beyond_reach  # 22 and, of the bump, 1.3 x 22 degrees


def test_a_case_with_forces_of_its_own_stands_for_no_usual_one(made):
    """Raised as usual, and pulled besides: the plain one is looked at all the same."""
    plain = CaseSpec(name="mine", kind="raised", wheels=("front left",), height=200.0)
    pulled = replace(plain, forces=(("hook", (0.0, 0.0, 500.0)),))
    for own, there in ((plain, False), (pulled, True)):
        names = [c.name for c in _cases(vehicle(made, more={"cases": (own,)}), 200.0, 1.3)]
        assert names[:2] == ["static", "mine"]
        assert ("front left raised" in names) == there
