"""What stands on the ground: grip, tipping, jacks and stands, against statics by hand."""

import numpy as np
import pytest

from ladderfe.checks.ground import held_up, tipped, under_wheels
from ladderfe.solve import solve_chassis

G = 9.80665
WEIGHT = 1.8e3 * G  # 0.9 t on each axle
ROUNDING = 1e-9
#: A case that tips over is taken a millionth short of it.
SHORT = 2e-6


@pytest.fixture(scope="module")
def solved(made):
    return solve_chassis(made.worked_chassis())


def under(solution, name):
    k = solution.case(name)
    return next(w for w in under_wheels(solution) if w.case == k)


def test_cornering_tips_at_half_the_track_over_the_height_of_the_centre(solved, made):
    """a/g = T/(2 h), the static stability factor of rollover ratings (NHTSA), with T 1480 and h 700 mm; 3 g are stated
    and only that is taken."""
    (t,) = tipped(solved)
    assert solved.cases[t.case].name == "cornering left"
    assert t.stated == pytest.approx(3.0, rel=1e-12)
    assert t.unit == "g"
    assert t.share * t.stated == pytest.approx(1480 / (2 * 700), rel=SHORT)
    assert t.words.startswith("tips over about the line through front right wheel and rear right wheel")
    assert under(solved, "cornering left").lifted == ("front left", "rear left")


@pytest.mark.parametrize(("against", "lever"), [("wheels", 550.0), ("dug in", 180.0)])
def test_a_pull_that_tips_is_told_in_newtons(made, against, lever):
    """Sideways at the frame's height, held on the ground 550 mm below or at the wheels' centres: F h = W T/2."""
    pull = made.CaseSpec(name="winch", kind="winch", at=("winch",), force=100_000.0, angle=90.0, against=against)
    s = solve_chassis(made.worked_chassis(made.STATIC, pull))
    (t,) = tipped(s)
    assert (t.stated, t.unit) == (pytest.approx(100_000.0), "N")
    assert t.share * t.stated == pytest.approx(WEIGHT * 740 / lever, rel=SHORT)


def test_a_nose_weight_that_tips_as_the_overhang_whips_is_told_in_newtons(made):
    """5 t at the ball, 600 mm behind the rear axle: W_front L = m g a by the body's weight, since loose coils leave the
    front axle on the ground."""
    whip = made.CaseSpec(name="whip", kind="rear overhang whip", factor=2.0, at=("ball",), mass=5.0)
    s = solve_chassis(made.worked_chassis(made.STATIC, whip, axles=made.AXLES))
    (t,) = tipped(s)
    assert (t.stated, t.unit) == (pytest.approx(5e3 * G), "N")
    assert t.share * t.stated == pytest.approx((0.9 - 0.15) * 1e3 * G * 2600 / 600, rel=SHORT)


@pytest.mark.parametrize(("case", "grip"), [("braking", 1.1), ("cornering right", 0.5)])
def test_grip_of_a_steady_acceleration_is_that_acceleration(solved, case, grip):
    """Both axles hold by their loads when braking; turning, each holds the force of its share of the mass."""
    assert under(solved, case).most_grip == pytest.approx(grip, rel=1e-6)


def test_grip_of_a_level_pull_is_pull_over_weight(solved):
    w = under(solved, "drawbar pull")
    assert w.grip == pytest.approx((9000 / WEIGHT, 9000 / WEIGHT), rel=1e-6)
    assert under(solved, "winch, straight").most_grip == pytest.approx(36_000 / WEIGHT, rel=1e-6)


def test_driven_wheels_alone_hold_the_vehicle_back(solved):
    w = under(solved, "drive-off")
    assert w.grip[0] is None
    rear = w.forces[2:].sum(axis=0)
    assert rear[0] == pytest.approx(-0.5 * WEIGHT, rel=1e-6)
    assert w.most_grip == pytest.approx(0.5 * WEIGHT / rear[2], rel=1e-9)


def test_strikes_and_standing_ask_for_no_grip(solved):
    for case in ("static", "pothole", "kerb strike", "jack", "nose weight"):
        assert under(solved, case).grip == (None, None), case
    assert under(solved, "pothole").in_plan
    assert not under(solved, "static").in_plan


def test_cases_that_say_nothing_of_the_ground_are_left_out(solved):
    shown = {solved.cases[w.case].name for w in under_wheels(solved)}
    assert not shown & {
        "amplified", "front axle bounce", "rear axle bounce", "rear overhang whip", "recovery", "two-post lift",
        "stands, one low",
    }  # fmt: skip
    assert {"as weighed", "one wheel bump, front left", "pothole", "braking in a bend", "jack"} <= shown


def test_a_combination_adds_up_the_ground(solved):
    both = under(solved, "braking in a bend").forces
    added = 0.5 * under(solved, "braking").forces + under(solved, "cornering right").forces
    assert both == pytest.approx(added, rel=1e-9, abs=1e-4 * np.abs(both).max())


def test_stands_and_pads_carry_the_whole_vehicle(solved):
    """Wheels hang: their weight comes down through the springs' straps too.  The lift takes all times 1.1."""
    held = held_up(solved)
    for case, factor in (("stands, one low", 1.0), ("two-post lift", 1.1)):
        own = [h for h in held if h.case == solved.case(case)]
        assert len(own) == 4
        assert sum(h.force for h in own) == pytest.approx(factor * WEIGHT, rel=1e-6)


def test_a_stand_that_is_too_low_is_told(solved, made):
    low = [h for h in held_up(solved) if h.case == solved.case("stands, one low")]
    assert [h.place for h in low if h.lifted] == [made.PADS[0]]
    assert not any(h.lifted for h in held_up(solved) if h.case == solved.case("two-post lift"))


def test_a_jack_takes_what_the_wheels_lose(solved):
    """All results times 1.1; the wheel that clears carries nothing."""
    (jack,) = [h for h in held_up(solved) if h.jack]
    w = under(solved, "jack")
    assert w.lifted == ("front left",)
    assert jack.force + w.forces[:, 2].sum() == pytest.approx(1.1 * WEIGHT, rel=1e-6)
    assert jack.force > 0.3 * WEIGHT / 2
